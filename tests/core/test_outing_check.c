/* SPDX-License-Identifier: MIT
 *
 * The checker finds each planted fault, and lets good plans of many invented seasons pass.
 */
#include "core/outing_check.h"
#include "core/outing_greedy.h"
#include "expect.h"
#include "outing_season.h"

/* A season with a rack, an interval, a deadline and two parts on one stand. */
static struct spl_outing_problem *season(guint32 seed)
{
    struct spl_outing_problem *p = outing_season(seed, 6, 6, 90);
    int rack = spl_outing_add_store(p, "the rack", 2500, 6);

    SPL_OUTING_MATERIAL(p, 0)->store = rack;
    SPL_OUTING_MATERIAL(p, 1)->store = rack;
    SPL_OUTING_MATERIAL(p, 2)->every_days = 5;
    for (guint i = 1; i < p->sources->len; i++) {
        if (SPL_OUTING_SOURCE(p, i)->site == SPL_OUTING_SOURCE(p, 0)->site) {
            SPL_OUTING_SOURCE(p, i)->stand = 0;
            break;
        }
    }
    SPL_OUTING_NEED(p, 3)->by = spl_day_add(SPL_OUTING_DAY(p, 0)->day, 60);
    assert_true(spl_outing_problem_check(p, NULL));
    return p;
}

static guint n_wrong(const struct spl_outing_problem *p, const struct spl_outing_plan *plan)
{
    g_autoptr(GPtrArray) wrong = spl_outing_check(p, plan);

    return wrong->len;
}

static void good_plans_pass(void **state)
{
    (void)state;
    for (guint32 seed = 1; seed <= 40; seed++) {
        struct spl_outing_problem *p = season(seed);
        g_autoptr(spl_outing_plan) plan = spl_outing_greedy(p, 2);
        g_autoptr(GPtrArray) wrong = spl_outing_check(p, plan);

        if (wrong->len > 0)
            fail_msg("seed %u: %s", seed, (char *)g_ptr_array_index(wrong, 0));
        assert_true(plan->outings->len > 0);
        spl_outing_problem_free(p);
    }
}

static void greedy_gives_the_same_plan_again(void **state)
{
    struct spl_outing_problem *p = season(3);
    g_autoptr(spl_outing_plan) one = spl_outing_greedy(p, 2), two = spl_outing_greedy(p, 2);

    (void)state;
    assert_int_equal(one->outings->len, two->outings->len);
    assert_true(one->cost == two->cost);
    spl_outing_problem_free(p);
}

static struct spl_outing *outing_at(struct spl_outing_plan *plan, guint o)
{
    return &g_array_index(plan->outings, struct spl_outing, o);
}

static void finds(const struct spl_outing_problem *p, const struct spl_outing_plan *plan,
                  const char *part)
{
    g_autoptr(GPtrArray) wrong = spl_outing_check(p, plan);

    for (guint i = 0; i < wrong->len; i++) {
        if (strstr(g_ptr_array_index(wrong, i), part) != NULL)
            return;
    }
    fail_msg("'%s' was not found among %u complaints", part, wrong->len);
}

static void each_planted_fault_is_found(void **state)
{
    struct spl_outing_problem *p = season(5);
    g_autoptr(spl_outing_plan) good = spl_outing_greedy(p, 2);
    struct spl_outing_plan *plan;
    struct spl_outing_take *take;
    int none[] = {0};

    (void)state;
#define AGAIN()                                                                                    \
    plan = spl_outing_plan_copy(good);                                                             \
    take = &g_array_index(outing_at(plan, 0)->takes, struct spl_outing_take, 0)
#define FOUND(part)                                                                                \
    finds(p, plan, part);                                                                          \
    spl_outing_plan_free(plan)

    AGAIN();
    take->grams += 20000;
    FOUND("of what it can spare");
    AGAIN();
    take->grams += 5000;
    FOUND("takes");
    AGAIN();
    g_array_set_size(outing_at(plan, 0)->sites, 0);
    FOUND("without going there");
    AGAIN();
    outing_at(plan, 0)->day = (int)p->days->len - 1;
    g_array_set_size(plan->outings, 1);
    FOUND("outside the window");
    AGAIN();
    outing_at(plan, 1)->day = outing_at(plan, 0)->day;
    FOUND("two outings");
    AGAIN();
    outing_at(plan, 0)->reserve = outing_at(plan, 1)->day;
    FOUND("used twice");
    AGAIN();
    outing_at(plan, 0)->reserve = outing_at(plan, 0)->day;
    FOUND("reserve day before it");
    AGAIN();
    take->grams = 1;
    FOUND("said to be covered");
    AGAIN();
    take->source = 9999;
    FOUND("no stand bears");
    AGAIN();
    take->grams = NAN;
    FOUND("impossible amount");
    AGAIN();
    outing_at(plan, 0)->hours += 1;
    FOUND("said to take");
    AGAIN();
    g_array_set_size(plan->short_g, 0);
    FOUND("says nothing");
    spl_outing_fix_day(p, (int)p->days->len - 1, none, 1);
    AGAIN();
    FOUND("is gone or changed");
    spl_outing_problem_free(p);
}

static void racks_and_intervals_are_watched(void **state)
{
    struct spl_outing_problem *p = spl_outing_problem_new();
    g_autoptr(spl_outing_plan) plan = spl_outing_plan_new();
    const double none[] = {0, 0, 0, 0};
    struct spl_day first = spl_day_from_ymd(2027, 5, 1);
    struct spl_outing_take take = {0, 600};

    (void)state;
    spl_outing_add_day(p, first, 5);
    spl_outing_add_day(p, spl_day_add(first, 3), 5);
    spl_outing_add_site(p, "Withy Gill", 0);
    spl_outing_add_store(p, "the rack", 1000, 4);
    spl_outing_add_material(p, "nettle/leaf", 1000, INFINITY);
    spl_outing_add_source(p, 0, 0, 2000, first, first, spl_day_add(first, 9),
                          spl_day_add(first, 9));
    spl_outing_add_need(p, 0, 1200, SPL_DAY_NONE, "tea");
    SPL_OUTING_MATERIAL(p, 0)->store = 0;
    p->hours = g_memdup2(none, sizeof none);
    p->km = g_memdup2(none, sizeof none);
    assert_true(spl_outing_problem_check(p, NULL));
    for (int d = 0; d < 2; d++) {
        struct spl_outing *outing = spl_outing_plan_add(plan, d);
        int site = 0;

        g_array_append_val(outing->sites, site);
        g_array_append_val(outing->takes, take);
    }
    spl_outing_plan_finish(p, plan);
    /* 600 g on the 1st are still on the rack on the 4th: 1200 g of 1000. */
    finds(p, plan, "the rack holds 1200 g of 1000");
    SPL_OUTING_STORE(p, 0)->hold_days = 3;
    assert_int_equal(n_wrong(p, plan), 0);
    SPL_OUTING_MATERIAL(p, 0)->every_days = 4;
    finds(p, plan, "picked at one stand twice in 4 days");
    spl_outing_problem_free(p);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(good_plans_pass),
    cmocka_unit_test(greedy_gives_the_same_plan_again),
    cmocka_unit_test(each_planted_fault_is_found),
    cmocka_unit_test(racks_and_intervals_are_watched),
};
expect_main(tests)
