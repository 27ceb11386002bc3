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

/* A gap of more days is worth a word: the usual warmth stands in for it. */
#define SPL_WEATHER_LONG_GAP_DAYS 10

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
 * hundredth of the days ("like degrees Fahrenheit"), a month of days whose minima lie above 30 C in
 * the middle or whose days swing by more than 22 K in the mean (no climate does either; in
 * Fahrenheit most do), or half a year whose warmest day stays under 8 C while `scaled` (the values
 * were converted on somebody's word). NULL: nothing. Static text.
 */
const char *spl_weather_suspect_unit(const GArray *days, gboolean scaled);

/* TRUE if the winters of a place so far from the equator cannot be that warm: the mean of 20 or
 * more days of December to February (June to August in the south) above 18 C beyond 35 degrees. */
gboolean spl_weather_winter_too_warm(const GArray *days, double lat);

#endif
