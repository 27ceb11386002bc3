/* SPDX-License-Identifier: MIT
 *
 * A site's offset that wanders: how far a place runs ahead of the model need not stay the same for
 * decades (plants age, hedges grow, a station is moved), so that late notes say more of today than
 * early ones. The offset is a random walk, the local level model of time series (Harvey 1989,
 * Forecasting, Structural Time Series Models and the Kalman Filter, 2.3), read by the Kalman filter
 * and, for a year among the notes, its fixed-interval smoother.
 *
 * How much it wanders is learnt from the notes themselves; with few of them it stands still.
 */
#ifndef SPL_CORE_SIGHTING_LEVEL_H
#define SPL_CORE_SIGHTING_LEVEL_H

#include <glib.h>

struct spl_level_note {
    double year; /* when, in years from any beginning */
    double residual_d;
    double variance; /* of the note about its site's offset as it is taken for, d^2 */
};

struct spl_level_law {
    double drift;  /* d^2 a year by which the offset wanders; 0: it stands still */
    double scale2; /* how many times the variances turned out to be */
};

/* Notes in order of time. */
void spl_level_sort(GArray *notes);

/*
 * The law under which the notes of `n` sites (GArrays of struct spl_level_note, in order; each
 * site's first offset N(0, prior_variance)) are the most likely, on a grid, beside a prior: the
 * drift exponential with mean SPL_LEVEL_DRIFT, the scale as if six notes had shown it to be 1.
 */
#define SPL_LEVEL_DRIFT 0.5 /* 0.7 d in a year, 2 d in ten (a choice) */
void spl_level_learn(GArray *const *sites, guint n, double prior_variance,
                     struct spl_level_law *law);

/* The offset in `year`, N(mean, variance), of a site whose first is N(prior, prior_variance). */
void spl_level_at(const GArray *notes, const struct spl_level_law *law, double prior,
                  double prior_variance, double year, double *mean, double *variance);

#endif
