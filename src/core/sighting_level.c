/* SPDX-License-Identifier: MIT
 *
 * A site's offset that wanders. See core/sighting_level.h.
 */
#include "core/sighting_level.h"

#include <math.h>

#define PRIOR_NOTES 6.0
#define NOTHING 1e12 /* the variance of what is not known at all */

static int by_year(gconstpointer a, gconstpointer b)
{
    const struct spl_level_note *x = a, *y = b;

    return (x->year > y->year) - (x->year < y->year);
}

void spl_level_sort(GArray *notes)
{
    g_array_sort(notes, by_year);
}

static const struct spl_level_note *note(const GArray *notes, guint i)
{
    return &g_array_index(notes, struct spl_level_note, i);
}

/* N(mean, variance) of the offset, on its way through the years. */
struct level {
    double mean, variance;
};

/* Takes a note in; returns its log-likelihood but for a constant. */
static double take(struct level *level, const struct spl_level_note *one, double scale2)
{
    double own = scale2 * one->variance, all = level->variance + own;
    double off = one->residual_d - level->mean, gain = level->variance / all;

    level->mean += gain * off;
    level->variance = gain * own;
    return -0.5 * (log(all) + off * off / all);
}

static double likelihood(const GArray *notes, double drift, double scale2, double prior_variance)
{
    struct level level = {0, prior_variance};
    double sum = 0;

    for (guint i = 0; i < notes->len; i++) {
        if (i > 0)
            level.variance += drift * (note(notes, i)->year - note(notes, i - 1)->year);
        sum += take(&level, note(notes, i), scale2);
    }
    return sum;
}

void spl_level_learn(GArray *const *sites, guint n, double prior_variance,
                     struct spl_level_law *law)
{
    static const double drifts[] = {0, 0.1, 0.2, 0.4, 0.8, 1.6, 3.2};
    double best = -INFINITY;

    *law = (struct spl_level_law){0, 1};
    for (gsize d = 0; d < G_N_ELEMENTS(drifts); d++) {
        for (int s = -8; s <= 8; s++) {
            double scale2 = exp2(s / 4.0);
            double sum =
                -drifts[d] / SPL_LEVEL_DRIFT - PRIOR_NOTES / 2 * (log(scale2) + 1 / scale2);

            for (guint i = 0; i < n; i++)
                sum += likelihood(sites[i], drifts[d], scale2, prior_variance);
            if (sum <= best)
                continue;
            best = sum;
            *law = (struct spl_level_law){drifts[d], scale2};
        }
    }
}

/* Takes in `n` notes, the `first` and those after it (before it, with `step` -1), and goes on to
 * `year`. */
static void walk(const GArray *notes, int first, int n, int step, const struct spl_level_law *law,
                 double year, struct level *level)
{
    for (int i = 0; i < n; i++) {
        const struct spl_level_note *one = note(notes, (guint)(first + i * step));
        double next = i + 1 < n ? note(notes, (guint)(first + (i + 1) * step))->year : year;

        take(level, one, law->scale2);
        level->variance += law->drift * fabs(next - one->year);
    }
}

void spl_level_at(const GArray *notes, const struct spl_level_law *law, double prior,
                  double prior_variance, double year, double *mean, double *variance)
{
    /* The notes until then forwards from the prior, those after it backwards from knowing nothing:
     * the two-filter smoother. */
    struct level before = {prior, prior_variance}, after = {prior, NOTHING};
    int until = 0, n = (int)notes->len;
    double precision;

    while (until < n && note(notes, (guint)until)->year <= year)
        until++;
    walk(notes, 0, until, 1, law, year, &before);
    walk(notes, n - 1, n - until, -1, law, year, &after);
    precision = 1 / before.variance + 1 / after.variance;
    *mean = (before.mean / before.variance + after.mean / after.variance) / precision;
    *variance = 1 / precision;
}
