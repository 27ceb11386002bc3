/* SPDX-License-Identifier: MIT
 *
 * Warmth sums: the degree-days of a place day by day, as running sums, and the days on which a
 * requirement is met (thermal time).
 *
 * Both sides of a comparison use one definition: the daily single sine above SPL_WARMTH_BASE_C, cut
 * horizontally at SPL_WARMTH_UPPER_C, or its expected value from normals (core/normals.h).
 */
#ifndef SPL_CORE_WARMTH_H
#define SPL_CORE_WARMTH_H

#include <glib.h>

#include "core/normals.h"
#include "simpling/day.h"

/*
 * Fixed before any test year was looked at: base 0 C and 30 C because bases from 0 to 6 hardly
 * differ; the sum begins about two months before the usual date, which matters more.
 */
#define SPL_WARMTH_BASE_C 0.0
#define SPL_WARMTH_UPPER_C 30.0
#define SPL_WARMTH_LEAD_DAYS 60

/* K per m: 6.5 K per km, the lower layer of the standard atmosphere (ISO 2533). */
#define SPL_LAPSE_K_PER_M 0.0065

struct spl_warmth {
    struct spl_day first;       /* first day of the span */
    int days;                   /* its length */
    double *sum_dd;             /* days + 1 running sums; sum_dd[i]: before the i-th day */
    struct spl_day known_until; /* last day that rests on measured weather, or SPL_DAY_NONE */
    guint8 *known;              /* of each day, whether it was measured; NULL: none */
};

/* A span whose every day has the degree-days that `curve` leads one to expect, `offset_c` warmer.
 */
void spl_warmth_init_normals(struct spl_warmth *warmth, struct spl_day first, int days,
                             const struct spl_normals_curve *curve, double offset_c);

/*
 * Puts measured days in the place of expected ones: day i of `tmin_c`, `tmax_c` is the i-th of the
 * span, NAN where nothing was measured (the expected value stays). `n` <= days.
 */
void spl_warmth_add_weather(struct spl_warmth *warmth, const double *tmin_c, const double *tmax_c,
                            int n, double offset_c);

void spl_warmth_clear(struct spl_warmth *warmth);

/* Days without a measurement from day `from` to `known_until`. */
int spl_warmth_unknown(const struct spl_warmth *warmth, double from_n);

/* Degree-days from the beginning of day `from` to the instant `to_n` (fractional days since 1970);
 * NAN outside the span. */
double spl_warmth_between(const struct spl_warmth *warmth, double from_n, double to_n);

/* The instant (fractional days since 1970) at which the sum from `from_n` reaches `sum_dd`; NAN if
 * the span does not hold it. */
double spl_warmth_reach(const struct spl_warmth *warmth, double from_n, double sum_dd);

/*
 * The same span in the station's other years: how far a stretch of a season may come out otherwise
 * than usual. They may stand for a place a little warmer or colder than their own: each is measured
 * by what is usual with them.
 */
struct spl_warmth_years {
    struct spl_day first; /* of the span */
    int days;
    int n;            /* years */
    double *usual_dd; /* running sums of what is usual with them */
    double *sum_dd;   /* n x (days + 1) running sums */
};

/* So many years tell a spread. */
#define SPL_WARMTH_YEARS_MIN 8

/* `usual`: what is usual at the height that the years are brought to. */
void spl_warmth_years_init(struct spl_warmth_years *years, const struct spl_warmth *usual);

/* Adds one more year's days, NAN where nothing was measured: the usual stands in. */
void spl_warmth_years_add(struct spl_warmth_years *years, const double *tmin_c,
                          const double *tmax_c, double offset_c);
void spl_warmth_years_clear(struct spl_warmth_years *years);

/* When `need_dd` from instant `from_n` was reached in those years: as much as they usually have
 * until the day on which the place's own `usual` has it. */
struct spl_warmth_ensemble {
    double mean_n, sd_d; /* NAN: outside the span, or with fewer than SPL_WARMTH_YEARS_MIN */
};
void spl_warmth_run(const struct spl_warmth_years *years, const struct spl_warmth *usual,
                    double from_n, double need_dd, struct spl_warmth_ensemble *ensemble);

#endif
