/* SPDX-License-Identifier: MIT
 *
 * The season plan's question: nonsense is answered in words; rounds, edges, reserve days.
 */
#include "core/outing_check.h"
#include "core/outing_greedy.h"
#include "core/outing_problem.h"
#include "expect.h"

static struct spl_day day(int dom)
{
    return spl_day_from_ymd(2027, 5, dom);
}

/* Two sites on a line at 0.5 and 1 h from home, one material, three days. */
static struct spl_outing_problem *small(void)
{
    struct spl_outing_problem *p = spl_outing_problem_new();
    const double hours[] = {0, 0.5, 0.5, 0.5, 0, 1, 0.5, 1, 0};

    spl_outing_add_day(p, day(8), 5);
    spl_outing_add_day(p, day(9), 5);
    spl_outing_add_day(p, day(15), 5);
    spl_outing_add_site(p, "Withy Gill", 0.1);
    spl_outing_add_site(p, "Low Croft", 0.1);
    spl_outing_add_material(p, "nettle/leaf", 1000, 1000);
    spl_outing_add_source(p, 0, 0, 600, day(5), day(8), day(12), day(16));
    spl_outing_add_source(p, 1, 0, 800, day(5), day(8), day(12), day(16));
    spl_outing_add_need(p, 0, 1000, SPL_DAY_NONE, "winter tincture");
    p->hours = g_memdup2(hours, sizeof hours);
    p->km = g_memdup2(hours, sizeof hours);
    return p;
}

static void refuses(struct spl_outing_problem *p, const char *part)
{
    g_autoptr(GError) error = NULL;

    assert_false(spl_outing_problem_check(p, &error));
    expect_error(error, SPL_ERROR_INVALID, part);
    spl_outing_problem_free(p);
}

static void nonsense_is_answered_in_words(void **state)
{
    struct spl_outing_problem *p;
    const int both[] = {0, 1};

    (void)state;
    p = small();
    g_array_set_size(p->days, 0);
    refuses(p, "no day is left to go out");
    p = small();
    g_array_set_size(p->sources, 0);
    refuses(p, "what your sites bear");
    p = small();
    g_array_set_size(p->needs, 0);
    refuses(p, "plan a batch");
    p = small();
    SPL_OUTING_DAY(p, 1)->hours = -2;
    refuses(p, "2027-05-09 has -2 hours");
    p = small();
    SPL_OUTING_SOURCE(p, 0)->allowance_g = SPL_OUTING_SOURCE(p, 1)->allowance_g = 0;
    refuses(p, "no stand can spare anything");
    p = small();
    SPL_OUTING_SOURCE(p, 0)->latest = day(1);
    refuses(p, "not in order");
    p = small();
    SPL_OUTING_NEED(p, 0)->grams = NAN;
    refuses(p, "nettle/leaf");
    p = small();
    p->pickers = 0;
    refuses(p, "pickers cannot pick");
    p = small();
    SPL_OUTING_DAY(p, 0)->hours = 1.5;
    spl_outing_fix_day(p, 0, both, 2); /* the round takes 2.2 h */
    refuses(p, "the kept outing on 2027-05-08 cannot be");
    p = small();
    p->most_sites = 1;
    spl_outing_fix_day(p, 0, both, 2);
    refuses(p, "visits 2 sites");
    p = small();
    p->hours[1] = -1;
    refuses(p, "travel");
}

static void every_figure_that_cannot_be_is_named(void **state)
{
    const int one[] = {0}, twice[] = {0, 0}, nowhere[] = {7};
    struct spl_outing_problem *p;

    (void)state;
#define REFUSED(change, part)                                                                      \
    p = small();                                                                                   \
    change;                                                                                        \
    refuses(p, part)
    REFUSED(SPL_OUTING_DAY(p, 1)->day = SPL_DAY_NONE, "day 2 of the plan has no date");
    REFUSED(SPL_OUTING_DAY(p, 1)->hours = NAN, "day 2 of the plan");
    REFUSED(SPL_OUTING_DAY(p, 1)->day = day(8), "2027-05-08 is listed twice");
    REFUSED(SPL_OUTING_MATERIAL(p, 0)->pick_g_per_h = 0, "nettle/leaf has no picking");
    REFUSED(SPL_OUTING_MATERIAL(p, 0)->process_g_per_h = NAN, "nettle/leaf has no picking");
    REFUSED(SPL_OUTING_MATERIAL(p, 0)->store = 0, "a rack that is not there");
    REFUSED(SPL_OUTING_MATERIAL(p, 0)->every_days = -1, "negative picking interval");
    REFUSED(SPL_OUTING_SOURCE(p, 1)->site = -1, "stand 2");
    REFUSED(SPL_OUTING_SOURCE(p, 1)->site = 2, "stand 2");
    REFUSED(SPL_OUTING_SOURCE(p, 1)->material = -1, "stand 2");
    REFUSED(SPL_OUTING_SOURCE(p, 1)->material = 1, "stand 2");
    REFUSED(SPL_OUTING_SOURCE(p, 1)->stand = -1, "stand 2");
    REFUSED(SPL_OUTING_SOURCE(p, 1)->stand = 2, "stand 2");
    REFUSED(SPL_OUTING_SOURCE(p, 0)->allowance_g = INFINITY, "nettle/leaf at Withy Gill");
    REFUSED(SPL_OUTING_SOURCE(p, 0)->allowance_g = -1, "may give -1 g");
    REFUSED(SPL_OUTING_SOURCE(p, 0)->earliest = SPL_DAY_NONE, "nettle/leaf at Withy Gill");
    REFUSED(SPL_OUTING_SOURCE(p, 0)->likely_start = SPL_DAY_NONE, "not in order");
    REFUSED(SPL_OUTING_SOURCE(p, 0)->likely_end = SPL_DAY_NONE, "not in order");
    REFUSED(SPL_OUTING_SOURCE(p, 0)->latest = SPL_DAY_NONE, "not in order");
    REFUSED(SPL_OUTING_SOURCE(p, 0)->earliest = day(9), "not in order");
    REFUSED(SPL_OUTING_SOURCE(p, 0)->likely_start = day(13), "not in order");
    REFUSED(SPL_OUTING_NEED(p, 0)->material = 1, "need 1");
    REFUSED(SPL_OUTING_NEED(p, 0)->material = -1, "need 1");
    REFUSED(SPL_OUTING_NEED(p, 0)->grams = 0, "more than 0 g");
    REFUSED(g_clear_pointer(&p->hours, g_free), "where home is");
    REFUSED(g_clear_pointer(&p->km, g_free), "where home is");
    REFUSED(p->hours[2] = NAN, "travel");
    REFUSED(p->km[2] = INFINITY, "travel");
    REFUSED(p->km[2] = -1, "travel");
    REFUSED(p->most_sites = 0, "1 to 6 sites, not 0");
    REFUSED(p->most_sites = 7, "1 to 6 sites, not 7");
    REFUSED(p->outing_hours = -1, "weighed by");
    REFUSED(p->outing_hours = NAN, "weighed by");
    REFUSED(p->edge_hours = -1, "weighed by");
    REFUSED(p->edge_hours = NAN, "weighed by");
    REFUSED(g_array_set_size(p->sites, 0), "add one first");
    REFUSED(SPL_OUTING_SITE(p, 1)->setup_hours = -0.1, "Low Croft takes -0.1 hours");
    REFUSED(SPL_OUTING_SITE(p, 1)->setup_hours = NAN, "Low Croft");
    REFUSED(spl_outing_add_store(p, "the rack", -1, 2), "the rack holds -1 g");
    REFUSED(spl_outing_add_store(p, "the rack", 100, 0), "for 0 days");
    REFUSED(spl_outing_fix_day(p, 0, one, 0), "names no site");
    REFUSED(spl_outing_fix_day(p, 0, twice, 2), "visits Withy Gill twice");
    REFUSED(spl_outing_fix_day(p, 0, nowhere, 1), "no known site");
#undef REFUSED
    p = small();
    p->pickers = 0;
    assert_false(spl_outing_problem_check(p, NULL)); /* nobody asks why */
    spl_outing_problem_free(p);
    spl_outing_problem_free(NULL);
}

static void a_round_is_the_shortest_order(void **state)
{
    struct spl_outing_problem *p = small();
    const int both[] = {1, 0};
    double km;

    (void)state;
    assert_true(spl_outing_problem_check(p, NULL));
    /* home - 0 - 1 - home = 0.5 + 0.5 + 1, and twice 0.1 h of arriving, by hand */
    expect_near(spl_outing_round(p, both, 2, NULL, &km), 2.2, 1e-12, "h");
    expect_near(km, 2.0, 1e-12, "km");
    expect_near(spl_outing_round(p, both, 0, NULL, NULL), 0, 0, "h");
    spl_outing_problem_free(p);
}

static void edges_rise_towards_the_ends_of_a_window(void **state)
{
    struct spl_outing_problem *p = small();
    const struct spl_outing_source *s = SPL_OUTING_SOURCE(p, 0);

    (void)state;
    expect_near(spl_outing_edge(s, day(5)), 1, 1e-12, "");
    expect_near(spl_outing_edge(s, day(8)), 0, 0, "");
    expect_near(spl_outing_edge(s, day(12)), 0, 0, "");
    expect_near(spl_outing_edge(s, day(14)), 0.5, 1e-12, "");
    expect_near(spl_outing_edge(s, day(16)), 1, 1e-12, "");
    spl_outing_problem_free(p);
}

static void the_greedy_plan_goes_once_in_the_middle_and_names_a_reserve(void **state)
{
    /* 1 kg takes 2 h; both sites in one round 2.2 h: one outing does, and the 8th or 9th lie in the
     * likely days. */
    struct spl_outing_problem *p = small();
    g_autoptr(spl_outing_plan) plan = NULL;
    g_autoptr(GPtrArray) wrong = NULL;
    const struct spl_outing *outing;

    (void)state;
    assert_true(spl_outing_problem_check(p, NULL));
    plan = spl_outing_greedy(p, 2);
    wrong = spl_outing_check(p, plan);
    assert_int_equal(wrong->len, 0);
    assert_int_equal(plan->outings->len, 1);
    outing = &g_array_index(plan->outings, struct spl_outing, 0);
    assert_true(outing->day < 2);
    /* the 15th: one wet spell takes the 9th with the 8th */
    assert_int_equal(outing->reserve, 2);
    expect_near(outing->hours, 4.2, 1e-6, "h");
    expect_near(plan->cost, 2 + 2.2, 1e-6, "h");
    expect_near(spl_outing_plan_shortage(p, plan), 0, 0, "");
    spl_outing_problem_free(p);
}

static void a_kept_outing_stays(void **state)
{
    struct spl_outing_problem *p = small();
    g_autoptr(spl_outing_plan) plan = NULL;
    g_autoptr(GPtrArray) wrong = NULL;
    const int one[] = {1};

    (void)state;
    spl_outing_fix_day(p, 2, one, 1);
    assert_true(spl_outing_problem_check(p, NULL));
    plan = spl_outing_greedy(p, 2);
    wrong = spl_outing_check(p, plan);
    assert_int_equal(wrong->len, 0);
    assert_int_equal(g_array_index(plan->outings, struct spl_outing, plan->outings->len - 1).day,
                     2);
    spl_outing_problem_free(p);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(nonsense_is_answered_in_words),
    cmocka_unit_test(every_figure_that_cannot_be_is_named),
    cmocka_unit_test(a_round_is_the_shortest_order),
    cmocka_unit_test(edges_rise_towards_the_ends_of_a_window),
    cmocka_unit_test(the_greedy_plan_goes_once_in_the_middle_and_names_a_reserve),
    cmocka_unit_test(a_kept_outing_stays),
};
expect_main(tests)
