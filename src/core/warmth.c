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
    warmth->sum_dd[0] = 0;
    for (int i = 0; i < days; i++) {
        warmth->sum_dd[i + 1] = warmth->sum_dd[i] + expected[index];
        /* Asking the calendar every day would cost more than all the rest: it is asked where the
         * year's end or 29 February may lie. */
        if (index == 58 || index == SPL_NORMALS_DAYS - 1)
            index = spl_normals_index(spl_day_add(first, i + 1));
        else
            index++;
    }
}

void spl_warmth_add_weather(struct spl_warmth *warmth, const double *tmin_c, const double *tmax_c,
                            int n, double offset_c)
{
    double gained = 0; /* over the expected sums, so far */

    for (int i = 0; i < warmth->days; i++) {
        double expected = warmth->sum_dd[i + 1] - (warmth->sum_dd[i] - gained);

        if (i < n && !isnan(tmin_c[i]) && !isnan(tmax_c[i])) {
            double measured =
                spl_degree_days(SPL_DEGREE_DAY_SINE, SPL_CUTOFF_HORIZONTAL, tmin_c[i] + offset_c,
                                tmax_c[i] + offset_c, SPL_WARMTH_BASE_C, SPL_WARMTH_UPPER_C);

            if (!isnan(measured)) {
                gained += measured - expected;
                warmth->known_until = spl_day_add(warmth->first, i);
            }
        }
        warmth->sum_dd[i + 1] += gained;
    }
}

void spl_warmth_clear(struct spl_warmth *warmth)
{
    g_clear_pointer(&warmth->sum_dd, g_free);
    warmth->days = 0;
}

/* The running sum at an instant; NAN outside the span. */
static double sum_at(const struct spl_warmth *warmth, double n)
{
    double offset = n - warmth->first.n, whole = floor(offset);
    int day = (int)whole;

    if (!(offset >= 0 && offset <= warmth->days))
        return NAN;
    if (day == warmth->days)
        return warmth->sum_dd[day];
    return warmth->sum_dd[day] + (warmth->sum_dd[day + 1] - warmth->sum_dd[day]) * (offset - whole);
}

double spl_warmth_between(const struct spl_warmth *warmth, double from_n, double to_n)
{
    return sum_at(warmth, to_n) - sum_at(warmth, from_n);
}

double spl_warmth_reach(const struct spl_warmth *warmth, double from_n, double sum_dd)
{
    double target = sum_at(warmth, from_n) + sum_dd;
    int low, high = warmth->days;

    if (isnan(target) || target > warmth->sum_dd[high])
        return NAN;
    if (sum_dd <= 0)
        return from_n;
    /* The first boundary of days that is not below the target; sums never fall. */
    low = (int)(from_n - warmth->first.n);
    while (low < high) {
        int middle = low + (high - low) / 2;

        if (warmth->sum_dd[middle] < target)
            low = middle + 1;
        else
            high = middle;
    }
    if (low == 0)
        return warmth->first.n;
    return warmth->first.n + low - 1 +
           (target - warmth->sum_dd[low - 1]) / (warmth->sum_dd[low] - warmth->sum_dd[low - 1]);
}
