/* SPDX-License-Identifier: MIT
 *
 * What holds of every verdict, tried on random cases with fixed seeds.
 */
#include "verdict_some.h"

/* One change for the worse; what it was, for the message; NULL when there was nothing to change. */
static const char *worsen(GRand *rand, struct set *set)
{
    const struct spl_layer_near layer = {.name = "roads",
                                         .distance_m = g_rand_double_range(rand, 0, 60),
                                         .reach_m = 50,
                                         .incomplete = TRUE,
                                         .source = "roads.shp"};
    guint i;

    switch (g_rand_int_range(rand, 0, 14)) {
    case 0:
        add_some_hazard(rand, set);
        return "a hazard more";
    case 1:
        if (set->hazards->len == 0)
            return NULL;
        i = (guint)g_rand_int_range(rand, 0, (gint32)set->hazards->len);
        g_array_index(set->hazards, struct spl_hazard_near, i).distance_m *= g_rand_double(rand);
        return "a hazard nearer";
    case 2:
        if (set->hazards->len == 0)
            return NULL;
        i = (guint)g_rand_int_range(rand, 0, (gint32)set->hazards->len);
        g_array_index(set->hazards, struct spl_hazard_near, i).uncertainty_m = NAN;
        return "a hazard's position doubtful";
    case 3:
        set->ground.uncertainty_m += g_rand_double_range(rand, 0, 300);
        return "the site less well known";
    case 4:
        set->ground.uncertainty_m = NAN;
        return "the site's accuracy unknown";
    case 5:
        add_note(set, SPL_SPRAY_SPRAYED, some_day(rand, set, -10, 1300));
        return "a spraying";
    case 6:
        add_note(set, SPL_SPRAY_PLANNED, some_day(rand, set, -40, 1300));
        return "a plan";
    case 7:
        for (i = 0; i < set->notes->len; i++)
            if (g_array_index(set->notes, struct spl_spray_note, i).kind == SPL_SPRAY_UNSPRAYED) {
                g_array_remove_index(set->notes, i);
                return "a word less";
            }
        return NULL;
    case 8:
        for (i = 0; i < set->notes->len; i++) {
            struct spl_spray_note *note = &g_array_index(set->notes, struct spl_spray_note, i);

            if (note->kind == SPL_SPRAY_UNSPRAYED && spl_day_is_set(note->since)) {
                note->since = SPL_DAY_NONE;
                return "a word without its since";
            }
        }
        return NULL;
    case 9:
        for (i = 0; i < set->notes->len; i++) {
            struct spl_spray_note *note = &g_array_index(set->notes, struct spl_spray_note, i);

            if (note->kind == SPL_SPRAY_UNSPRAYED && !spl_day_is_set(note->until)) {
                note->until = some_day(rand, set, -30, 30);
                return "a word with an end";
            }
        }
        return NULL;
    case 10:
        for (i = set->permissions->len; i > 0; i--)
            if (g_array_index(set->permissions, struct spl_permission, i - 1).given)
                g_array_remove_index(set->permissions, i - 1);
        return "no leave noted";
    case 11:
        add_leave(set, FALSE, before(set, 0));
        return "a refusal";
    case 12:
        set->ground.contaminated = "tar";
        return "a mark of contamination";
    default:
        g_array_append_val(set->layers, layer);
        return "a layer with gaps";
    }
}

static void danger_or_ignorance_never_makes_it_milder(void **state)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(20270504);
    int seen[SPL_VERDICT_CLOSED + 1] = {0}, worse = 0;

    (void)state;
    for (int i = 0; i < 100000; i++) {
        struct set set;
        enum spl_verdict first, then;
        const char *what;

        some_case(rand, &set);
        first = spl_verdict_grade(&set.ground);
        seen[first]++;
        for (int k = 0; k < 3; k++) {
            what = worsen(rand, &set);
            then = spl_verdict_grade(&set.ground);
            if (then < first)
                fail_msg("case %d: %s made it %s, it was %s", i, what, spl_verdict_names[then],
                         spl_verdict_names[first]);
            worse += then > first;
            first = then;
        }
        end(&set);
    }
    /* the cases must not all be closed from the start, or this would prove nothing */
    assert_true(seen[SPL_VERDICT_CLEAR] > 2000 && seen[SPL_VERDICT_ASK] > 10000 && worse > 20000);
}

static void the_day_of_change_is_the_first_with_another_verdict(void **state)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(7);

    (void)state;
    for (int i = 0; i < 2000; i++) {
        struct set set;
        struct spl_day until, day;
        enum spl_verdict now;

        some_case(rand, &set);
        now = spl_verdict_grade(&set.ground);
        until = until_of(&set);
        day = set.ground.day;
        for (int k = 1; k < 1300; k++) {
            set.ground.day = spl_day_add(day, k);
            if (spl_verdict_grade(&set.ground) != now)
                break;
            if (k == 1299)
                set.ground.day = SPL_DAY_NONE;
        }
        if (until.n != set.ground.day.n)
            fail_msg("case %d: said %d days, is %d", i, until.n - day.n, set.ground.day.n - day.n);
        end(&set);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(danger_or_ignorance_never_makes_it_milder),
    cmocka_unit_test(the_day_of_change_is_the_first_with_another_verdict),
};
expect_main(tests)
