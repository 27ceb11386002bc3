/* SPDX-License-Identifier: MIT
 *
 * One end of a window on its way to a date: from the almanac's own day by place, by warmth, by what
 * was seen. Private to core/window.c.
 *
 * Engineering choices, with what they rest on:
 * - between years a day of flowering or leafing varies by 14 d (sd) in December-February, 12 d in
 *   March, 8.5 d in April, 7.5 d in May, 6 d in June and July, 8 d later and for ripening, 9 d for
 *   die-back (open series: 5.9 d leaf-out, 6.3-8.8 d flowering at one station; the ranges of
 *   February, March and May flowers stand as 76 : 56 : 30 in Blomefield's calendar);
 * - the model itself errs by 5 d with all temperatures known (core/sighting.h). What it does not
 * know yet of the year is the spread of the station's other years over the rest of the way, in days
 * by the usual warmth of those days; without other years it loses its knowledge evenly over the 60
 * days before: var(lead) = s_m^2 + (s_0^2 - s_m^2) min(1, lead / 60);
 * - before April the sum of warmth is out of its depth (no chilling, no day length): from half of
 * it before March to all of it in April counts, and it never makes a date surer than 0.85 of what
 *   years vary by, in the same measure. No sum begins before the day length of 15 January;
 * - a station 100 km away is off by 5 d, one 1000 m higher or lower by 4.5 d (1 K per km of lapse
 *   rate, 4.5 d per K), each besides the place itself;
 * - a date that is not moved to its place is off by 10.5 d (raw spread of 31 flowering events over
 *   Norway), a shift by a quarter of itself (the middle half of those events' slopes), an unknown
 *   height counts as 150 m, a date of unknown years as 5 d,
 *   the other hemisphere as 12 d.
 */
#ifndef SPL_CORE_WINDOW_END_H
#define SPL_CORE_WINDOW_END_H

#include "core/window.h"

/* The memory of the warmth before an event, and of one sighting for another. */
#define SPL_WINDOW_MEMORY_DAYS 60.0

struct spl_window_end {
    double n;              /* P50 */
    double place_variance; /* lasting: the place against the model */
    double year_variance;  /* this year against the model */
    double lasting_sd;     /* year_variance's root when nothing of the year is known */
    double shift_d;        /* NAN: not moved by place */
    double usual_n;        /* without anything of this year */
    double needs_dd, from_n;
    double undated_variance; /* nobody says of which years the almanac's day is */
    double model_variance;   /* of year_variance, the part that no weather takes away */
    enum spl_basis basis;
};

/* Month and day of the year as the northern hemisphere counts them, 1-12 and 1-366. */
int spl_window_northern_month(double n, double lat);
double spl_window_northern_day(double n, double lat);

/* The almanac's own day `n`; `has_site`: for a place that it is not moved to. */
void spl_window_end_init(struct spl_window_end *end, double n, enum spl_event event, double lat,
                         gboolean has_site, gboolean undated);

/* By place. */
void spl_window_end_shift(struct spl_window_end *end, const struct spl_row_season *base,
                          enum spl_event event, const struct spl_window_site *site,
                          double elevation_m, gboolean assumed);

/* By warmth: what the event needs is what the reference place has by its normals, or, when the
 * almanac is silent about those, what the site itself usually has by the shifted date. The height
 * is in the temperatures: no shift on top. */
void spl_window_end_warm(struct spl_window_end *end, double from_n, double needs_dd,
                         double elevation_m, gboolean assumed, const struct spl_window_site *site);

/* By what was seen; returns the days that it moved by, `*year_d` of them by this year's. */
double spl_window_end_correct(struct spl_window_end *end, const struct spl_sighting_offset *offset,
                              const struct spl_sighting *now, const struct spl_year_effect *year,
                              double *year_d);

double spl_window_end_sd(const struct spl_window_end *end);

#endif
