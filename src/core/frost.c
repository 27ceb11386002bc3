/* SPDX-License-Identifier: MIT
 *
 * The first killing frost. See core/frost.h.
 */
#include "core/frost.h"

#include <math.h>

#define PASSES 50        /* of the curve that keeps its months */
#define RUNS 0.6         /* the exponent */
#define FIRST_NORTH 181  /* index of 1 July in a year of 365 days */
#define LONGEST_DAYS 300 /* after that the next summer is near */

void spl_frost_first(const double min_mean_c[12], const double min_sd_c[12], gboolean south,
                     struct spl_frost *frost)
{
    static const double left[3] = {0.9, 0.5, 0.1};
    double *const quantile[3] = {&frost->p10_d, &frost->median_d, &frost->p90_d};
    double mean[SPL_NORMALS_DAYS], sd[SPL_NORMALS_DAYS], without = 1;
    int found = 0;

    spl_normals_daily(min_mean_c, PASSES, mean);
    spl_normals_daily(min_sd_c, 0, sd); /* plain lines: never bent below 0 */
    frost->p10_d = frost->median_d = frost->p90_d = INFINITY;
    for (int day = 1; day <= LONGEST_DAYS && found < 3; day++) {
        int index = ((south ? 0 : FIRST_NORTH) + day - 1) % SPL_NORMALS_DAYS;
        double before = without;

        without *= pow(erfc((SPL_FROST_C - mean[index]) / sd[index] / G_SQRT2) / 2, RUNS);
        while (found < 3 && without <= left[found]) {
            *quantile[found] = day - 1 + (before - left[found]) / (before - without);
            found++;
        }
    }
}

void spl_frost_of_normals(const struct spl_normals *normals, gboolean south,
                          struct spl_frost *frost)
{
    double low[12];

    for (int m = 0; m < 12; m++)
        low[m] = normals->mean_c[m] - normals->range_c[m] / 2;
    spl_frost_first(low, normals->sd_c, south, frost);
}

void spl_frost_guess(const double mean_c[12], gboolean south, struct spl_frost *frost)
{
    double coldest = INFINITY, warmest = -INFINITY, low[12], sd[12], inland;

    for (int m = 0; m < 12; m++) {
        coldest = MIN(coldest, mean_c[m]);
        warmest = MAX(warmest, mean_c[m]);
    }
    inland = CLAMP((warmest - coldest - 12) / 16, 0.0, 1.5);
    for (int m = 0; m < 12; m++) {
        low[m] = mean_c[m] - (3.3 + 2.1 * inland);
        sd[m] = 3.3 + 1.4 * inland;
    }
    spl_frost_first(low, sd, south, frost);
}

double spl_frost_n(double days, int season, gboolean south)
{
    if (!(days < LONGEST_DAYS))
        return INFINITY;
    return spl_day_from_ymd(south ? season + 1 : season, south ? 1 : 7, 1).n - 1 + days;
}
