/* SPDX-License-Identifier: MIT
 *
 * Drift curves and the exclusion zone, as their sources in drift.h give them.
 */
#include "core/drift.h"

#include <math.h>

struct curve {
    double a, b, c, d;
    double hinge_m; /* NAN: one power all the way */
    double least_m; /* where measuring began */
    double far_m;   /* and where it ended */
};

/* FOCUS Surface Water Scenarios, Appendix B, one application. */
static const struct curve curves[SPL_DRIFT_CROPS] = {
    [SPL_DRIFT_ARABLE] = {2.7593, -0.9778, NAN, NAN, NAN, 1, 100},
    [SPL_DRIFT_FRUIT_EARLY] = {66.702, -0.7520, 3867.9, -2.4183, 11.4, 3, 100},
    [SPL_DRIFT_FRUIT_LATE] = {60.396, -1.2249, 210.70, -1.7599, 10.3, 3, 100},
    [SPL_DRIFT_VINES_EARLY] = {15.793, -1.6080, NAN, NAN, NAN, 3, 100},
    [SPL_DRIFT_VINES_LATE] = {44.769, -1.5643, NAN, NAN, NAN, 3, 100},
    [SPL_DRIFT_HOPS] = {58.247, -1.0042, 8654.9, -2.8354, 15.3, 3, 100},
    [SPL_DRIFT_AERIAL] = {50.470, -0.3819, 281.10, -0.9989, 16.2, 1, 300},
};

double spl_drift_pct(enum spl_drift_crop crop, double distance_m)
{
    const struct curve *curve = &curves[crop];
    double x;

    if (!(distance_m > 0))
        return 100;
    x = MAX(distance_m, curve->least_m);
    return isnan(curve->hinge_m) || x < curve->hinge_m ? curve->a * pow(x, curve->b)
                                                       : curve->c * pow(x, curve->d);
}

gboolean spl_drift_is_extrapolated(enum spl_drift_crop crop, double distance_m)
{
    return distance_m > curves[crop].far_m;
}

double spl_drift_distance_m(enum spl_drift_crop crop, double pct)
{
    const struct curve *curve = &curves[crop];
    double x = pow(pct / curve->a, 1 / curve->b);

    if (!isnan(curve->hinge_m) && x >= curve->hinge_m)
        x = MAX(curve->hinge_m, pow(pct / curve->c, 1 / curve->d));
    return pct >= spl_drift_pct(crop, curve->least_m) ? curve->least_m : x;
}

gboolean spl_drift_crop_of(const char *method, enum spl_drift_crop *crop)
{
    if (g_strcmp0(method, "boom") == 0)
        *crop = SPL_DRIFT_ARABLE;
    else if (g_strcmp0(method, "airblast") == 0 || g_strcmp0(method, "unknown") == 0 ||
             g_strcmp0(method, "orchard") == 0)
        *crop = SPL_DRIFT_FRUIT_EARLY; /* the worst of those on the ground */
    else if (g_strcmp0(method, "vineyard") == 0)
        *crop = SPL_DRIFT_VINES_LATE;
    else if (g_strcmp0(method, "hops") == 0)
        *crop = SPL_DRIFT_HOPS;
    else if (g_strcmp0(method, "aerial") == 0)
        *crop = SPL_DRIFT_AERIAL;
    else
        return FALSE;
    return TRUE;
}

double spl_exclusion_zone_m(enum spl_spray_manner manner, gboolean fine, double height_m)
{
    switch (manner) {
    case SPL_MANNER_AERIAL:
    case SPL_MANNER_AIRBLAST:
    case SPL_MANNER_MIST:
        return 30.48;
    case SPL_MANNER_NOZZLES:
        if (fine)
            return 30.48;
        return height_m > 0.3048 ? 7.62 : 0;
    case SPL_MANNER_SOLID:
        break;
    }
    return 0;
}

gboolean spl_spray_manner_of(const char *method, enum spl_spray_manner *manner)
{
    if (g_strcmp0(method, "aerial") == 0)
        *manner = SPL_MANNER_AERIAL;
    else if (g_strcmp0(method, "airblast") == 0 || g_strcmp0(method, "unknown") == 0 ||
             g_strcmp0(method, "orchard") == 0 || g_strcmp0(method, "vineyard") == 0 ||
             g_strcmp0(method, "hops") == 0)
        *manner = SPL_MANNER_AIRBLAST;
    else if (g_strcmp0(method, "boom") == 0 || g_strcmp0(method, "handheld") == 0)
        *manner = SPL_MANNER_NOZZLES;
    else
        return FALSE;
    return TRUE;
}
