/* SPDX-License-Identifier: MIT
 *
 * Monthly normals of a place, and the daily curve that reproduces them.
 */
#ifndef SPL_CORE_NORMALS_H
#define SPL_CORE_NORMALS_H

#include <glib.h>

#include "simpling/day.h"

#define SPL_NORMALS_DAYS 365    /* the curve's year; 29 February takes 28 February's value */
#define SPL_NORMALS_MIN_YEARS 5 /* a month needs so many years of days to give a normal */

/* January first. */
struct spl_normals {
    double mean_c[12];  /* (tmin + tmax) / 2 */
    double range_c[12]; /* mean of tmax - tmin */
    double sd_c[12];    /* of the daily mean about the seasonal curve, all years together */
};

/* The curve for each day of the year: mean, and the spread for expected degree-days. */
struct spl_normals_curve {
    double mean_c[SPL_NORMALS_DAYS];
    double sd_c[SPL_NORMALS_DAYS]; /* daily cycle included, see spl_expected_sd */
};

/* One measured day. */
struct spl_weather_day {
    struct spl_day day;
    double tmin_c, tmax_c;
};

/*
 * Normals from means alone: range and sd get the usual values (by season; `south` turns them by
 * half a year). Engineering defaults: sd 4.5 K December-February, 4 K March and November, 3.5 K
 * April, May and October, 3.2 K June-September; range 6 K December-February, 8 K March, October and
 * November, 11 K else.
 */
void spl_normals_from_means(const double mean_c[12], gboolean south, struct spl_normals *normals);

/* With monthly means of minimum and maximum: their ranges instead of the usual ones. */
void spl_normals_from_extremes(const double tmin_c[12], const double tmax_c[12], gboolean south,
                               struct spl_normals *normals);

/*
 * Normals from `n` measured days in any order. FALSE if some month has fewer than
 * `min_years` x 20 days.
 */
gboolean spl_normals_from_days(const struct spl_weather_day *days, gsize n, int min_years,
                               struct spl_normals *normals);

/*
 * A daily curve of straight lines between mid-months whose knots are adjusted `passes` times until
 * its monthly averages are the given ones (Killworth 1996, J. Phys. Oceanogr. 26:136, by
 * iteration). 0 passes: plain lines, which miss the means by up to half a degree. `day`: noon
 * values, 1 January first.
 */
void spl_normals_daily(const double month[12], int passes, double day[SPL_NORMALS_DAYS]);

/* Mean curve (preserving the months) and spread of every day. */
void spl_normals_to_curve(const struct spl_normals *normals, struct spl_normals_curve *curve);

/* Index of a day in the curve, 0-364. */
int spl_normals_index(struct spl_day day);

/* The same of `day` from `index`, that of the day before: cheaper than asking the calendar. */
int spl_normals_index_after(int index, struct spl_day day);

#endif
