/* SPDX-License-Identifier: MIT
 *
 * Invented seasons for the tests and benches of the season plan: any number of sites, materials and
 * days, the same for the same seed everywhere.
 */
#ifndef SPL_TESTS_OUTING_SEASON_H
#define SPL_TESTS_OUTING_SEASON_H

#include <glib.h>

#include "core/outing_problem.h"

/*
 * `sites` x `materials` over `span` days, three possible days a week, 5-hour days, about 40 % of
 * the pairs bearing, windows of 8-20 days, allowances 200-2500 g, needs up to 4 kg; sites within 12
 * km of home, picking 250-1500 g/h, working up 800-3000 g/h.
 */
static inline struct spl_outing_problem *outing_season(guint32 seed, int sites, int materials,
                                                       int span)
{
    struct spl_outing_problem *problem = spl_outing_problem_new();
    GRand *rand = g_rand_new_with_seed(seed);
    int first = spl_day_from_ymd(2027, 4, 1).n;
    double *lat = g_new(double, sites + 1), *lon = g_new(double, sites + 1);

    for (int d = 0; d < span; d++) {
        if (d % 7 == 2 || d % 7 == 3 || d % 7 == 6) /* 1 April 2027 is a Thursday: Sat, Sun, Wed */
            spl_outing_add_day(problem, (struct spl_day){first + d}, 5);
    }
    for (int s = 0; s < sites; s++) {
        g_autofree char *name = g_strdup_printf("site %d", s);

        spl_outing_add_site(problem, name, 0.2);
        lat[s] = 54.8 + g_rand_double_range(rand, -0.11, 0.11);
        lon[s] = -2.4 + g_rand_double_range(rand, -0.19, 0.19);
    }
    lat[sites] = 54.8;
    lon[sites] = -2.4;
    spl_outing_set_travel(problem, lat, lon, 1.3, 40);
    for (int m = 0; m < materials; m++) {
        g_autofree char *name = g_strdup_printf("plant %d/leaf", m);
        double pick = g_rand_double_range(rand, 250, 1500);
        double process = g_rand_double_range(rand, 800, 3000);
        int base = g_rand_int_range(rand, 0, span - 20);

        spl_outing_add_material(problem, name, pick, process);
        for (int s = 0; s < sites; s++) {
            gboolean bears = g_rand_double(rand) < 0.4;
            double allowance = g_rand_double_range(rand, 200, 2500);
            int length = g_rand_int_range(rand, 8, 21), shift = g_rand_int_range(rand, -8, 9);
            int start = CLAMP(base + shift, 0, span - length), quarter = length / 4;

            if (bears)
                spl_outing_add_source(problem, s, m, allowance, (struct spl_day){first + start},
                                      (struct spl_day){first + start + quarter},
                                      (struct spl_day){first + start + length - 1 - quarter},
                                      (struct spl_day){first + start + length - 1});
        }
        spl_outing_add_need(problem, m, g_rand_double_range(rand, 500, 4000), SPL_DAY_NONE, name);
    }
    g_rand_free(rand);
    g_free(lat);
    g_free(lon);
    return problem;
}

#endif
