/* SPDX-License-Identifier: MIT
 *
 * How much spray drifts how far: the published basic drift curves, and the zone that people must
 * keep out of while it is sprayed. Both only explain a verdict; its limits stand in
 * data/hazards.csv.
 */
#ifndef SPL_CORE_DRIFT_H
#define SPL_CORE_DRIFT_H

#include <glib.h>

enum spl_drift_crop {
    SPL_DRIFT_ARABLE,
    SPL_DRIFT_FRUIT_EARLY,
    SPL_DRIFT_FRUIT_LATE,
    SPL_DRIFT_VINES_EARLY,
    SPL_DRIFT_VINES_LATE,
    SPL_DRIFT_HOPS,
    SPL_DRIFT_AERIAL
};
#define SPL_DRIFT_CROPS 7

/*
 * Per cent of the field dose that settles on the ground `distance_m` from the edge, 90th percentile
 * of one application: Rautmann, Streloke and Winkler (2001), Mitt. Biol. Bundesanst. 383, 133-141,
 * as the curves of FOCUS, Surface Water Scenarios, Appendix B: A x^B up to H, C x^D from H on. At
 * or inside the edge 100. The curve is held at its value at 1 m (3 m for trees, vines and hops),
 * where its measurements begin; beyond 100 m (aerial: 300 m) it is an extrapolation.
 */
double spl_drift_pct(enum spl_drift_crop crop, double distance_m);

/* TRUE where spl_drift_pct leaves the range that was measured. */
gboolean spl_drift_is_extrapolated(enum spl_drift_crop crop, double distance_m);

/* The metres at which the curve has fallen to `pct` (> 0). */
double spl_drift_distance_m(enum spl_drift_crop crop, double pct);

/* The curve for a method of data/hazards.csv by slug; FALSE when none is published for it. */
gboolean spl_drift_crop_of(const char *method, enum spl_drift_crop *crop);

/* ---- application exclusion zone, 40 CFR 170.405(a)(1), in force since 3 December 2024 ---- */

enum spl_spray_manner {
    SPL_MANNER_AERIAL,
    SPL_MANNER_AIRBLAST, /* and anything else air-propelled */
    SPL_MANNER_MIST,     /* fumigant, smoke, mist, fog */
    SPL_MANNER_NOZZLES,
    SPL_MANNER_SOLID /* granules, wipes: not sprayed */
};

/*
 * Metres around the nozzles that people must keep out of while it is sprayed: 30.48 (100 ft), 7.62
 * (25 ft) or 0. `fine`: droplets smaller than medium (ASABE S572). `height_m`: of the nozzles above
 * the ground; the 25 ft hold for more than 12 in (0.3048 m).
 */
double spl_exclusion_zone_m(enum spl_spray_manner manner, gboolean fine, double height_m);

/* The manner of a method of data/hazards.csv by slug, FALSE when it is no spraying. */
gboolean spl_spray_manner_of(const char *method, enum spl_spray_manner *manner);

#endif
