/* SPDX-License-Identifier: MIT
 *
 * Moving a date by place: latitude, longitude and elevation.
 *
 * Spring and summer: 4 d per degree of latitude poleward up to 48 degrees (Hopkins 1918, for
 * temperate North America), falling evenly to 2.5 d at 60 degrees and beyond (13 events in flower
 * over Norway; Britain's 3.6 d of Jeffree 1960 lies between); 3.4 d per 100 m (Norway and half of
 * the Swiss cherries together, each set with the same weight); 0.8 d per degree eastward inside
 * temperate North America only. Ripening: 2.8 d per degree and 2.9 d per 100 m.
 *
 * Die-back is no mirror of that: it follows the warmth of September and October, 2.5 d later for
 * each kelvin. Where that is not known, -2.0 d per 100 m, -1 d per degree of latitude poleward, but
 * inside Europe none of that and -1 d per degree east, for at most 15 degrees.
 */
#ifndef SPL_CORE_SHIFT_H
#define SPL_CORE_SHIFT_H

#include <glib.h>

enum spl_event {
    SPL_EVENT_GROWTH,    /* leaves, shoots, buds, flowers */
    SPL_EVENT_RIPENING,  /* fruit and seed: BBCH 71-89 */
    SPL_EVENT_SENESCENCE /* BBCH 91-97, roots after die-back */
};

/*
 * Which of them a stage is (BBCH, NAN: not said). Without a stage the part decides: berries, fruit,
 * seed, hips and haws ripen; a root whose day of the (northern) year is after July is after
 * die-back. `material` may be NULL. `month` is 1-12, counted as if the place were in the northern
 * hemisphere.
 */
enum spl_event spl_event_of(double stage, const char *material, int month);

/* Days per degree of latitude poleward, per degree of longitude east, per 100 m up. */
struct spl_shift_rates {
    double lat_d, lon_d, elevation_d;
};

/* Hopkins' bioclimatic law (1918, Mon. Wea. Rev. Suppl. 9): 4 d per degree, per 5 degrees of
 * longitude, per 400 ft. For comparison only. */
struct spl_shift_rates spl_shift_rates_hopkins(void);

/*
 * Days later (+) at the second place by fixed rates; latitudes count by their absolute value,
 * longitude takes the short way round. Elevations in m. All finite.
 */
double spl_shift_days(struct spl_shift_rates rates, double lat0, double lon0, double elevation0_m,
                      double lat, double lon, double elevation_m);

/* A place that dates are moved from or to. */
struct spl_shift_place {
    double lat, lon, elevation_m; /* finite */
    double autumn_c; /* mean of September and October, of March and April in the south; NAN */
};

/* The mean of those two months out of twelve, January first. */
double spl_shift_autumn_c(const double mean_c[12], gboolean south);

/* Days later (+) at the second place by the house's rules. */
double spl_shift_event_days(enum spl_event event, const struct spl_shift_place *from,
                            const struct spl_shift_place *to);

/* Temperate North America: 25-60 N, 130-50 W. */
gboolean spl_shift_in_america(double lat, double lon);

#endif
