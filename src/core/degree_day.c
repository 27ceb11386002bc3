/* SPDX-License-Identifier: MIT
 *
 * Degree-days of one day. See core/degree_day.h.
 */
#include "core/degree_day.h"

#include <math.h>

/* A(t) of the header and the share of the day above t. */
struct above {
    double excess, share;
};

static struct above above_sine(double tmin, double tmax, double t)
{
    double mean = (tmin + tmax) / 2, half = (tmax - tmin) / 2, angle;

    if (tmax <= t)
        return (struct above){0, 0};
    if (tmin >= t) /* holds for tmin == tmax too, so that half > 0 below */
        return (struct above){mean - t, 1};
    angle = asin(CLAMP((t - mean) / half, -1.0, 1.0));
    return (struct above){((mean - t) * (G_PI_2 - angle) + half * cos(angle)) / G_PI,
                          (G_PI_2 - angle) / G_PI};
}

static struct above above_triangle(double tmin, double tmax, double t)
{
    if (tmax <= t)
        return (struct above){0, 0};
    if (tmin >= t)
        return (struct above){(tmin + tmax) / 2 - t, 1};
    return (struct above){(tmax - t) * (tmax - t) / (2 * (tmax - tmin)),
                          (tmax - t) / (tmax - tmin)};
}

static double by_area(struct above (*above)(double, double, double),
                      enum spl_degree_day_cutoff cutoff, double tmin, double tmax, double lower,
                      double upper)
{
    struct above low = above(tmin, tmax, lower), high;

    if (cutoff == SPL_CUTOFF_NONE)
        return low.excess;
    high = above(tmin, tmax, upper);
    switch (cutoff) {
    case SPL_CUTOFF_HORIZONTAL:
        return low.excess - high.excess;
    case SPL_CUTOFF_INTERMEDIATE:
        return low.excess - 2 * high.excess;
    case SPL_CUTOFF_VERTICAL:
        return low.excess - high.excess - (upper - lower) * high.share;
    case SPL_CUTOFF_NONE:
        break;
    }
    return NAN;
}

double spl_degree_days(enum spl_degree_day_method method, enum spl_degree_day_cutoff cutoff,
                       double tmin, double tmax, double lower, double upper)
{
    gboolean cut = cutoff != SPL_CUTOFF_NONE;

    if (!isfinite(tmin) || !isfinite(tmax) || tmin > tmax || !isfinite(lower))
        return NAN;
    if (cut && !(isfinite(upper) && lower < upper))
        return NAN;
    if (method == SPL_DEGREE_DAY_SINE)
        return by_area(above_sine, cutoff, tmin, tmax, lower, upper);
    if (method == SPL_DEGREE_DAY_TRIANGLE)
        return by_area(above_triangle, cutoff, tmin, tmax, lower, upper);
    if (cutoff == SPL_CUTOFF_INTERMEDIATE || cutoff == SPL_CUTOFF_VERTICAL)
        return NAN;
    if (!cut)
        upper = INFINITY;
    switch (method) {
    case SPL_DEGREE_DAY_AVERAGE_MEAN:
        return MAX(MIN((tmin + tmax) / 2, upper) - lower, 0);
    case SPL_DEGREE_DAY_AVERAGE_EXTREMES:
        return MAX((MIN(tmin, upper) + MIN(tmax, upper)) / 2 - lower, 0);
    case SPL_DEGREE_DAY_MODIFIED:
        return (CLAMP(tmin, lower, upper) + CLAMP(tmax, lower, upper)) / 2 - lower;
    case SPL_DEGREE_DAY_SINE:
    case SPL_DEGREE_DAY_TRIANGLE:
        break;
    }
    return NAN;
}

double spl_degree_days_double(enum spl_degree_day_method method, enum spl_degree_day_cutoff cutoff,
                              double tmin, double tmax, double tmin_next, double lower,
                              double upper)
{
    return (spl_degree_days(method, cutoff, tmin, tmax, lower, upper) +
            spl_degree_days(method, cutoff, tmin_next, tmax, lower, upper)) /
           2;
}

double spl_expected_excess(double mean, double sd, double base)
{
    double z;

    if (!(sd > 0))
        return MAX(mean - base, 0);
    z = (mean - base) / sd;
    return (mean - base) * erfc(-z / G_SQRT2) / 2 + sd * exp(-z * z / 2) / sqrt(2 * G_PI);
}

double spl_expected_degree_days(double mean, double sd, double lower, double upper)
{
    return spl_expected_excess(mean, sd, lower) - spl_expected_excess(mean, sd, upper);
}

double spl_expected_sd(double daily_mean_sd, double daily_range)
{
    return sqrt(daily_mean_sd * daily_mean_sd + daily_range * daily_range / 8);
}
