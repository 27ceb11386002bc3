/* SPDX-License-Identifier: MIT
 *
 * Daily minima and maxima as they come: put in order, the impossible left out and said, gaps found.
 */
#ifndef SPL_CORE_WEATHER_H
#define SPL_CORE_WEATHER_H

#include <glib.h>

#include "core/normals.h"
#include "simpling/day.h"
#include "simpling/row.h"

#define SPL_WEATHER_HOTTEST_C 60.0    /* above any ever measured in the air: 56.7 C (WMO archive) */
#define SPL_WEATHER_COLDEST_C (-95.0) /* below any: -89.2 C */
#define SPL_WEATHER_ROBUST_SD 5.0

/* Up to so many days in a row are bridged by expected values; a longer gap ends what is known. */
#define SPL_WEATHER_BRIDGE_DAYS 10

/* A day that was left out. */
struct spl_weather_left {
    struct spl_day day;
    double tmin_c, tmax_c;
    char *why;
};
extern const struct spl_shape spl_weather_left_shape;

/* Days in a row without measurement, between the first and the last. */
struct spl_weather_gap {
    struct spl_day first, last;
    int days;
};
extern const struct spl_shape spl_weather_gap_shape;

/*
 * Sorts `days` (of struct spl_weather_day) and takes out, with the reason in `left`: a day that
 * comes twice (the first one stays), minimum above maximum, values off the earth's record, and
 * values more than 5 robust standard deviations (1.4826 x the median absolute deviation, at least 1
 * K) from the median of the 35 days around that date over all years (where there are 60 of them).
 */
void spl_weather_clean(GArray *days, GArray *left);

/* The gaps of sorted days: a list of struct spl_weather_gap. */
GArray *spl_weather_gaps(const GArray *days);

/*
 * What is wrong with the unit, if it looks wrong: values off the earth's record in more than a
 * hundredth of the days ("like degrees Fahrenheit"), or half a year whose warmest day stays under
 * 8 C while `scaled` (the values were converted on somebody's word). NULL: nothing. Static text.
 */
const char *spl_weather_suspect_unit(const GArray *days, gboolean scaled);

/*
 * How many of the first `n` days of a span can be used: up to the first run of more than
 * SPL_WEATHER_BRIDGE_DAYS days without measurement; trailing missing days are not counted. Runs
 * that begin before day `from` do not count: what is missing there is taken as usual.
 */
int spl_weather_usable(const double *tmin_c, const double *tmax_c, int n, int from);

#endif
