/* SPDX-License-Identifier: MIT
 *
 * Warmth sums. See core/warmth.h.
 */
#include "core/warmth.h"

#include <math.h>

#include "core/degree_day.h"

void spl_warmth_init_normals(struct spl_warmth *warmth, struct spl_day first, int days,
                             const struct spl_normals_curve *curve, double offset_c)
{
    double expected[SPL_NORMALS_DAYS];
    int index = spl_normals_index(first);

    for (int i = 0; i < SPL_NORMALS_DAYS; i++)
        expected[i] = spl_expected_degree_days(curve->mean_c[i] + offset_c, curve->sd_c[i],
                                               SPL_WARMTH_BASE_C, SPL_WARMTH_UPPER_C);
    warmth->first = first;
    warmth->days = days;
    warmth->sum_dd = g_new(double, (gsize)days + 1);
    warmth->known_until = SPL_DAY_NONE;
    warmth->known = NULL;
    warmth->sum_dd[0] = 0;
    for (int i = 0; i < days; i++) {
        warmth->sum_dd[i + 1] = warmth->sum_dd[i] + expected[index];
        index = spl_normals_index_after(index, spl_day_add(first, i + 1));
    }
}

void spl_warmth_add_weather(struct spl_warmth *warmth, const double *tmin_c, const double *tmax_c,
                            int n, double offset_c)
{
    double gained = 0; /* over the expected sums, so far */

    if (warmth->known == NULL)
        warmth->known = g_new0(guint8, (gsize)warmth->days);
    for (int i = 0; i < warmth->days; i++) {
        double expected = warmth->sum_dd[i + 1] - (warmth->sum_dd[i] - gained);

        if (i < n && !isnan(tmin_c[i]) && !isnan(tmax_c[i])) {
            double measured =
                spl_degree_days(SPL_DEGREE_DAY_SINE, SPL_CUTOFF_HORIZONTAL, tmin_c[i] + offset_c,
                                tmax_c[i] + offset_c, SPL_WARMTH_BASE_C, SPL_WARMTH_UPPER_C);

            if (!isnan(measured)) {
                gained += measured - expected;
                warmth->known_until = spl_day_add(warmth->first, i);
                warmth->known[i] = 1;
            }
        }
        warmth->sum_dd[i + 1] += gained;
    }
}

void spl_warmth_clear(struct spl_warmth *warmth)
{
    g_clear_pointer(&warmth->sum_dd, g_free);
    g_clear_pointer(&warmth->known, g_free);
    warmth->days = 0;
}

int spl_warmth_unknown(const struct spl_warmth *warmth, double from_n)
{
    int unknown = 0, from = MAX((int)(from_n - warmth->first.n), 0);

    if (warmth->known == NULL || !spl_day_is_set(warmth->known_until))
        return 0;
    for (int i = from; i <= spl_day_diff(warmth->known_until, warmth->first); i++)
        unknown += !warmth->known[i];
    return unknown;
}

/* A running sum at an instant, in days after the span's beginning; NAN outside the span. */
static double sum_at(const double *sum_dd, int days, double offset)
{
    double whole = floor(offset);
    int day = (int)whole;

    if (!(offset >= 0 && offset <= days))
        return NAN;
    if (day == days)
        return sum_dd[day];
    return sum_dd[day] + (sum_dd[day + 1] - sum_dd[day]) * (offset - whole);
}

double spl_warmth_between(const struct spl_warmth *warmth, double from_n, double to_n)
{
    return sum_at(warmth->sum_dd, warmth->days, to_n - warmth->first.n) -
           sum_at(warmth->sum_dd, warmth->days, from_n - warmth->first.n);
}

/* When the sum from `from` is reached, both in days after the span's beginning; NAN: not in it. */
static double reach(const double *sum_dd, int days, double from, double need_dd)
{
    double target = sum_at(sum_dd, days, from) + need_dd;
    int low, high = days;

    if (isnan(target) || target > sum_dd[high])
        return NAN;
    if (need_dd <= 0)
        return from;
    /* The first boundary of days that is not below the target; sums never fall. */
    low = (int)from;
    while (low < high) {
        int middle = low + (high - low) / 2;

        if (sum_dd[middle] < target)
            low = middle + 1;
        else
            high = middle;
    }
    if (low == 0)
        return 0;
    return low - 1 + (target - sum_dd[low - 1]) / (sum_dd[low] - sum_dd[low - 1]);
}

double spl_warmth_reach(const struct spl_warmth *warmth, double from_n, double sum_dd)
{
    return warmth->first.n + reach(warmth->sum_dd, warmth->days, from_n - warmth->first.n, sum_dd);
}

void spl_warmth_years_init(struct spl_warmth_years *years, const struct spl_warmth *usual)
{
    gsize size = (gsize)usual->days + 1;

    *years = (struct spl_warmth_years){.first = usual->first,
                                       .days = usual->days,
                                       .usual_dd =
                                           g_memdup2(usual->sum_dd, size * sizeof *usual->sum_dd)};
}

void spl_warmth_years_add(struct spl_warmth_years *years, const double *tmin_c,
                          const double *tmax_c, double offset_c)
{
    gsize size = (gsize)years->days + 1;
    double *sum_dd;

    years->sum_dd = g_renew(double, years->sum_dd, ((gsize)years->n + 1) * size);
    sum_dd = years->sum_dd + (gsize)years->n * size;
    sum_dd[0] = 0;
    for (int i = 0; i < years->days; i++) {
        double dd = years->usual_dd[i + 1] - years->usual_dd[i];

        if (!isnan(tmin_c[i]) && !isnan(tmax_c[i]))
            dd = spl_degree_days(SPL_DEGREE_DAY_SINE, SPL_CUTOFF_HORIZONTAL, tmin_c[i] + offset_c,
                                 tmax_c[i] + offset_c, SPL_WARMTH_BASE_C, SPL_WARMTH_UPPER_C);
        sum_dd[i + 1] = sum_dd[i] + (isnan(dd) ? 0 : dd);
    }
    years->n++;
}

void spl_warmth_years_clear(struct spl_warmth_years *years)
{
    g_clear_pointer(&years->sum_dd, g_free);
    g_clear_pointer(&years->usual_dd, g_free);
    years->n = 0;
}

/* The same as reach() where the day is about `guess`, a boundary of days; it becomes the one that
 * was found. Years are alike: few days lie between them. */
static double reach_near(const double *sum_dd, int days, double from, double need_dd, int *guess)
{
    int least = (int)from, low = *guess;
    double target = sum_dd[least] + need_dd;

    if (least < days)
        target += (sum_dd[least + 1] - sum_dd[least]) * (from - least);
    if (target > sum_dd[days])
        return NAN;
    while (low > least && sum_dd[low - 1] >= target)
        low--;
    while (sum_dd[low] < target)
        low++;
    *guess = low;
    if (low == 0)
        return 0;
    return low - 1 + (target - sum_dd[low - 1]) / (sum_dd[low] - sum_dd[low - 1]);
}

void spl_warmth_run(const struct spl_warmth_years *years, const struct spl_warmth *usual,
                    double from_n, double need_dd, struct spl_warmth_ensemble *ensemble)
{
    double from = from_n - years->first.n, sum = 0, squares = 0;
    int n = 0, guess;

    *ensemble = (struct spl_warmth_ensemble){NAN, NAN};
    if (!(from >= 0 && from <= years->days) || isnan(need_dd))
        return;
    guess = (int)from;
    if (need_dd <= 0 && years->n >= SPL_WARMTH_YEARS_MIN)
        ensemble->sd_d = 0; /* reached already */
    if (need_dd > 0)
        need_dd = sum_at(years->usual_dd, years->days,
                         spl_warmth_reach(usual, from_n, need_dd) - years->first.n) -
                  sum_at(years->usual_dd, years->days, from);
    if (isnan(need_dd))
        return;
    for (int y = 0; y < years->n && need_dd > 0; y++) {
        const double *one = years->sum_dd + (gsize)y * ((gsize)years->days + 1);
        double days = reach_near(one, years->days, from, need_dd, &guess) - from;

        if (isnan(days))
            continue;
        sum += days;
        squares += days * days;
        n++;
    }
    if (n < SPL_WARMTH_YEARS_MIN)
        return;
    ensemble->mean_n = from_n + sum / n;
    ensemble->sd_d = sqrt(MAX(squares - sum * sum / n, 0) / (n - 1));
}
