/* SPDX-License-Identifier: MIT
 *
 * Monthly normals and the daily curve. See core/normals.h.
 */
#include "core/normals.h"

#include <math.h>
#include <string.h>

#include "core/degree_day.h"

#define PASSES 50           /* halves the error or better each time: exact to rounding */
#define MIN_DAYS_A_MONTH 20 /* of a month's days, for it to count as one of `min_years` */

static const int month_days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
static const int month_first[12] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334};

/* Engineering defaults, of the order that stations in western Germany and eastern North America
 * show; see the header. */
static const double usual_sd[12] = {4.5, 4.5, 4.0, 3.5, 3.5, 3.2, 3.2, 3.2, 3.2, 3.5, 4.0, 4.5};
static const double usual_range[12] = {6, 6, 8, 11, 11, 11, 11, 11, 11, 8, 8, 6};

void spl_normals_from_means(const double mean_c[12], gboolean south, struct spl_normals *normals)
{
    for (int m = 0; m < 12; m++) {
        int season = south ? (m + 6) % 12 : m;

        normals->mean_c[m] = mean_c[m];
        normals->sd_c[m] = usual_sd[season];
        normals->range_c[m] = usual_range[season];
    }
}

void spl_normals_from_extremes(const double tmin_c[12], const double tmax_c[12], gboolean south,
                               struct spl_normals *normals)
{
    double mean[12];

    for (int m = 0; m < 12; m++)
        mean[m] = (tmin_c[m] + tmax_c[m]) / 2;
    spl_normals_from_means(mean, south, normals);
    for (int m = 0; m < 12; m++)
        normals->range_c[m] = tmax_c[m] - tmin_c[m];
}

int spl_normals_index(struct spl_day day)
{
    int month, dom;

    spl_day_to_ymd(day, NULL, &month, &dom);
    return month_first[month - 1] + MIN(dom, month_days[month - 1]) - 1;
}

int spl_normals_index_after(int index, struct spl_day day)
{
    /* Where the year's end or 29 February may lie. */
    if (index == month_first[2] - 1 || index == SPL_NORMALS_DAYS - 1)
        return spl_normals_index(day);
    return index + 1;
}

static int month_of_index(int index)
{
    int m = 11;

    while (index < month_first[m])
        m--;
    return m;
}

gboolean spl_normals_from_days(const struct spl_weather_day *days, gsize n, int min_years,
                               struct spl_normals *normals)
{
    double curve[SPL_NORMALS_DAYS], squares[12] = {0};
    int count[12] = {0};
    struct spl_day month_start = SPL_DAY_NONE, month_end = SPL_DAY_NONE;
    int month = 0;

    memset(normals, 0, sizeof *normals);
    for (gsize i = 0; i < n; i++) {
        /* Days mostly come in order: ask the calendar once a month. */
        if (!spl_day_is_set(month_end) || days[i].day.n < month_start.n ||
            days[i].day.n >= month_end.n) {
            int year, one_based;

            spl_day_to_ymd(days[i].day, &year, &one_based, NULL);
            month = one_based - 1;
            month_start = spl_day_from_ymd(year, one_based, 1);
            month_end = spl_day_add_months(month_start, 1);
        }
        normals->mean_c[month] += (days[i].tmin_c + days[i].tmax_c) / 2;
        normals->range_c[month] += days[i].tmax_c - days[i].tmin_c;
        count[month]++;
    }
    for (int m = 0; m < 12; m++) {
        if (count[m] < MAX(min_years, 1) * MIN_DAYS_A_MONTH)
            return FALSE;
        normals->mean_c[m] /= count[m];
        normals->range_c[m] /= count[m];
    }
    spl_normals_daily(normals->mean_c, PASSES, curve);
    for (gsize i = 0; i < n; i++) {
        int index = spl_normals_index(days[i].day);
        double off = (days[i].tmin_c + days[i].tmax_c) / 2 - curve[index];

        squares[month_of_index(index)] += off * off;
    }
    for (int m = 0; m < 12; m++)
        normals->sd_c[m] = sqrt(squares[m] / count[m]);
    return TRUE;
}

static double mid_month(int m)
{
    return month_first[m] + month_days[m] / 2.0;
}

/* The lines through `knot` at the middle of every month, read at each day's noon. */
static void lines(const double knot[12], double day[SPL_NORMALS_DAYS])
{
    for (int m = 0; m < 12; m++) {
        int next = (m + 1) % 12;
        double from = mid_month(m);
        double to = mid_month(next) + (next == 0 ? SPL_NORMALS_DAYS : 0);

        for (int d = (int)ceil(from - 0.5); d + 0.5 < to; d++)
            day[d % SPL_NORMALS_DAYS] =
                knot[m] + (knot[next] - knot[m]) * (d + 0.5 - from) / (to - from);
    }
}

/* How the mean of a month hangs on the knots of the month before, its own and the next. */
static void month_weights(double weight[12][3])
{
    for (int m = 0; m < 12; m++) {
        weight[m][0] = weight[m][1] = weight[m][2] = 0;
        for (int d = 0; d < month_days[m]; d++) {
            int first = d + 0.5 < month_days[m] / 2.0 ? (m + 11) % 12 : m;
            double from = mid_month(first), to = mid_month((first + 1) % 12), part;
            double at = month_first[m] + d + 0.5;

            if (to < from)
                to += SPL_NORMALS_DAYS;
            if (at < from)
                at += SPL_NORMALS_DAYS;
            part = (at - from) / (to - from) / month_days[m];
            weight[m][first == m ? 1 : 0] += 1.0 / month_days[m] - part;
            weight[m][first == m ? 2 : 1] += part;
        }
    }
}

void spl_normals_daily(const double month[12], int passes, double day[SPL_NORMALS_DAYS])
{
    double knot[12], weight[12][3];

    memcpy(knot, month, sizeof knot);
    if (passes > 0)
        month_weights(weight);
    for (int pass = 0; pass < passes; pass++) {
        double off[12];

        for (int m = 0; m < 12; m++)
            off[m] = month[m] - weight[m][0] * knot[(m + 11) % 12] - weight[m][1] * knot[m] -
                     weight[m][2] * knot[(m + 1) % 12];
        for (int m = 0; m < 12; m++)
            knot[m] += off[m];
    }
    lines(knot, day);
}

void spl_normals_to_curve(const struct spl_normals *normals, struct spl_normals_curve *curve)
{
    double sd[12];

    spl_normals_daily(normals->mean_c, PASSES, curve->mean_c);
    for (int m = 0; m < 12; m++)
        sd[m] = spl_expected_sd(normals->sd_c[m], normals->range_c[m]);
    /* Plain lines: a spread need not keep its months, but must not be bent below 0. */
    spl_normals_daily(sd, 0, curve->sd_c);
}
