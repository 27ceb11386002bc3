/* SPDX-License-Identifier: MIT
 *
 * Random cases of the verdict, for what must hold of every one of them.
 */
#ifndef SPL_TESTS_VERDICT_SOME_H
#define SPL_TESTS_VERDICT_SOME_H

#include "verdict_set.h"

static inline struct spl_day some_day(GRand *rand, const struct set *set, int from, int to)
{
    return before(set, g_rand_int_range(rand, from, to));
}

static inline const struct spl_method *some_method(GRand *rand)
{
    static const struct spl_method *const all[] = {&boom, &road, &tip, &grazed};

    return all[g_rand_int_range(rand, 0, G_N_ELEMENTS(all))];
}

static inline void add_some_hazard(GRand *rand, struct set *set)
{
    struct spl_hazard_near *hazard = add_hazard(
        set, some_method(rand), MAX(0, g_rand_double_range(rand, -10, 80)),
        g_rand_int_range(rand, 0, 4) == 0 ? SPL_DAY_NONE : some_day(rand, set, -30, 1300));

    hazard->uncertainty_m =
        g_rand_int_range(rand, 0, 6) == 0 ? NAN : g_rand_double_range(rand, 0, 20);
}

static inline void some_case(GRand *rand, struct set *set)
{
    static const enum spl_part parts[] = {SPL_PART_ANY, SPL_PART_LEAF, SPL_PART_ROOT};

    bare(set, spl_day_add(ymd(2027, 1, 1), g_rand_int_range(rand, 0, 800)));
    set->ground.lat = g_rand_boolean(rand) ? 55 : -40;
    set->ground.own = g_rand_int_range(rand, 0, 4) == 0;
    set->ground.uncertainty_m = g_rand_double_range(rand, 0, 15);
    set->ground.part = parts[g_rand_int_range(rand, 0, 3)];
    set->ground.water_plant = g_rand_boolean(rand);
    for (int i = g_rand_int_range(rand, 0, 3); i > 0; i--)
        add_some_hazard(rand, set);
    for (int i = g_rand_int_range(rand, 0, 4); i > 0; i--)
        add_word(set, some_day(rand, set, -30, 250),
                 g_rand_int_range(rand, 0, 4) == 0 ? SPL_DAY_NONE : some_day(rand, set, 250, 2500),
                 g_rand_int_range(rand, 0, 4) == 0 ? some_day(rand, set, -60, 60) : SPL_DAY_NONE);
    if (g_rand_int_range(rand, 0, 5) == 0)
        add_note(set, SPL_SPRAY_SPRAYED, some_day(rand, set, -10, 1300));
    if (g_rand_int_range(rand, 0, 5) == 0)
        add_note(set, SPL_SPRAY_PLANNED, some_day(rand, set, -40, 1300));
    if (g_rand_int_range(rand, 0, 4) != 0) {
        struct spl_permission *leave = add_leave(set, TRUE, some_day(rand, set, -5, 500));

        if (g_rand_int_range(rand, 0, 3) == 0)
            leave->until = some_day(rand, set, -100, 30);
        leave->parts = (guint)g_rand_int_range(rand, 0, 256);
    }
}

#endif
