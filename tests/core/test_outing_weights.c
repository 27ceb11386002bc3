/* SPDX-License-Identifier: MIT
 *
 * What a plan weighs: ground that asks, small stands, spoilt leaves, amounts that make nothing
 * whole, days that are shut; and reserve days that hold whichever outings are rained off. Figures
 * by hand.
 */
#include "core/outing_check.h"
#include "core/outing_greedy.h"
#include "core/outing_problem.h"
#include "core/outing_slide.h"
#include "expect.h"

static struct spl_day day(int dom)
{
    return spl_day_from_ymd(2027, 7, dom);
}

/*
 * Home, Near 0.4 h away, Far 0.5 h, 0.2 h between them; one hour picks and works up 500 g. Yarrow
 * at both, open from the 1st to the 20th, 500 g at each; 100 g are needed. Days from the 1st to the
 * 20th, 5 h.
 */
static struct spl_outing_problem *two_places(void)
{
    struct spl_outing_problem *p = spl_outing_problem_new();
    const double hours[] = {0, 0.2, 0.4, 0.2, 0, 0.5, 0.4, 0.5, 0};

    for (int dom = 1; dom <= 20; dom++)
        spl_outing_add_day(p, day(dom), 5);
    spl_outing_add_site(p, "Near", 0);
    spl_outing_add_site(p, "Far", 0);
    spl_outing_add_material(p, "yarrow/herb", 1000, 1000);
    spl_outing_add_source(p, 0, 0, 500, day(1), day(3), day(17), day(20));
    spl_outing_add_source(p, 1, 0, 500, day(1), day(3), day(17), day(20));
    spl_outing_add_need(p, 0, 100, SPL_DAY_NONE, "yarrow");
    p->hours = g_memdup2(hours, sizeof hours);
    p->km = g_memdup2(hours, sizeof hours);
    return p;
}

static struct spl_outing_plan *plan_of(struct spl_outing_problem *p)
{
    struct spl_outing_plan *plan;
    g_autoptr(GPtrArray) wrong = NULL;
    GError *error = NULL;
    double hours;

    spl_outing_problem_check(p, &error);
    expect_ok(error);
    plan = spl_outing_dry_days(p, spl_outing_slide(p, spl_outing_greedy(p, 3)), &hours);
    wrong = spl_outing_check(p, plan);
    if (wrong->len > 0)
        fail_msg("%s", (char *)g_ptr_array_index(wrong, 0));
    return plan;
}

static const struct spl_outing *outing(const struct spl_outing_plan *plan, guint i)
{
    return &g_array_index(plan->outings, struct spl_outing, i);
}

static int only_site(struct spl_outing_problem *p)
{
    g_autoptr(spl_outing_plan) plan = plan_of(p);

    assert_int_equal(plan->outings->len, 1);
    assert_int_equal(outing(plan, 0)->sites->len, 1);
    return g_array_index(outing(plan, 0)->sites, int, 0);
}

static void all_asks(struct spl_outing_problem *p, int source, guint asks)
{
    for (int dom = 1; dom <= 20; dom++)
        spl_outing_set_asks(p, source, day(dom), asks);
}

/* Twelve minutes of road are saved at Near: neither a question nor a small stand is worth that. */
static void a_clear_place_is_worth_some_minutes(void **state)
{
    struct spl_outing_problem *p = two_places();

    (void)state;
    assert_int_equal(only_site(p), 0);
    all_asks(p, 0, 1);
    assert_int_equal(only_site(p), 1);
    p->ask_hours = 0.1; /* less than the 0.2 h */
    assert_int_equal(only_site(p), 0);
    all_asks(p, 0, 3); /* three things to ask: 0.3 h */
    assert_int_equal(only_site(p), 1);
    spl_outing_problem_free(p);

    p = two_places();
    SPL_OUTING_SOURCE(p, 0)->caution = TRUE;
    assert_int_equal(only_site(p), 1);
    p->caution_hours = 0;
    assert_int_equal(only_site(p), 0);
    spl_outing_problem_free(p);
}

/* Clear until the 4th and from the 12th on: only those days are used, reserve day included. */
static void each_day_has_its_own_verdict(void **state)
{
    struct spl_outing_problem *p = two_places();
    g_autoptr(spl_outing_plan) plan = NULL;

    (void)state;
    all_asks(p, 0, SPL_OUTING_CLOSED);
    for (int dom = 5; dom <= 11; dom++)
        spl_outing_set_asks(p, 1, day(dom), SPL_OUTING_CLOSED);
    plan = plan_of(p);
    assert_int_equal(plan->outings->len, 1);
    assert_true(outing(plan, 0)->day < 4 || outing(plan, 0)->day >= 11);
    assert_true(outing(plan, 0)->reserve < 4 || outing(plan, 0)->reserve >= 11);
    assert_false(spl_outing_source_open(p, 1, 4));
    assert_true(spl_outing_source_open(p, 1, 3));
    spl_outing_problem_free(p);
}

/* An outing weighs 2 h and its round; half way to the edge all of a herb weighs half of 1 h, or of
 * 4 h where it is spoilt afterwards. */
static void days_before_it_spoils_weigh_more(void **state)
{
    struct spl_outing_problem *p = two_places();

    (void)state;
    /* the 18th: one of three days from the 17th to the 20th */
    expect_near(spl_outing_weigh(p, 0, day(18)).edge, 1.0 / 3, 1e-12, "h");
    SPL_OUTING_SOURCE(p, 0)->spoils = TRUE;
    expect_near(spl_outing_weigh(p, 0, day(18)).edge, 4.0 / 3, 1e-12, "h");
    /* early is early, whatever comes after */
    expect_near(spl_outing_weigh(p, 0, day(2)).edge, 0.5, 1e-12, "h");
    spl_outing_problem_free(p);
}

/* Leaves at Near until the 4th at best, over on the 12th; yarrow at Far from the 11th: together on
 * the 11th saves an outing, but costs 7/8 of 4 h. */
static void leaves_are_not_picked_in_the_tail_to_save_an_outing(void **state)
{
    for (gboolean spoils = FALSE; spoils <= TRUE; spoils++) {
        struct spl_outing_problem *p = two_places();
        g_autoptr(spl_outing_plan) plan = NULL;

        (void)state;
        spl_outing_add_material(p, "nettle/leaf", 1000, 1000);
        SPL_OUTING_SOURCE(p, 0)->material = 1;
        SPL_OUTING_SOURCE(p, 0)->likely_start = day(1);
        SPL_OUTING_SOURCE(p, 0)->likely_end = day(4);
        SPL_OUTING_SOURCE(p, 0)->latest = day(12);
        SPL_OUTING_SOURCE(p, 0)->spoils = spoils;
        SPL_OUTING_SOURCE(p, 1)->earliest = day(11);
        SPL_OUTING_SOURCE(p, 1)->likely_start = day(11);
        spl_outing_add_need(p, 1, 100, SPL_DAY_NONE, "nettle");
        plan = plan_of(p);
        assert_int_equal(plan->outings->len, spoils ? 2 : 1);
        spl_outing_problem_free(p);
    }
}

/* 500 g at Near, of 510 needed: the last 10 g are 2 %, and nobody drives on for them. Of 600 the
 * last 100 g make the batch whole. */
static void what_is_hardly_missed_is_not_gone_for(void **state)
{
    struct spl_outing_problem *p = two_places();
    g_autoptr(spl_outing_plan) little = NULL, much = NULL;

    (void)state;
    SPL_OUTING_NEED(p, 0)->grams = 510;
    little = plan_of(p);
    assert_int_equal(outing(little, 0)->sites->len, 1);
    expect_near(g_array_index(little->short_g, double, 0), 10, 1e-6, "g");
    assert_true(spl_outing_is_enough(p, 0, 10));
    assert_false(spl_outing_is_enough(p, 0, 16));
    SPL_OUTING_NEED(p, 0)->grams = 600;
    much = plan_of(p);
    expect_near(g_array_index(much->short_g, double, 0), 0, 1e-6, "g");
    spl_outing_problem_free(p);
}

/* Far could spare 50 g of 1000: they make nothing whole, and 6 h for all of it are 0.3 h for them;
 * the way there and on is 0.3 h from Near, 3 h more when Far lies 1.7 h away. */
static void grams_that_make_nothing_whole_have_a_price(void **state)
{
    struct spl_outing_problem *p = two_places();
    g_autoptr(spl_outing_plan) plan = NULL;

    (void)state;
    SPL_OUTING_NEED(p, 0)->grams = 1000;
    SPL_OUTING_SOURCE(p, 1)->allowance_g = 50;
    p->hours[1] = p->hours[3] = p->hours[5] = p->hours[7] = 1.7;
    plan = plan_of(p);
    assert_int_equal(plan->outings->len, 1);
    assert_int_equal(outing(plan, 0)->sites->len, 1);
    expect_near(g_array_index(plan->short_g, double, 0), 500, 1e-6, "g");
    /* by hand: 2 to set out, 0.8 there and back; half of 6 h open, 12 for the batch */
    expect_near(plan->parts.outings + plan->parts.rounds, 2.8, 1e-9, "h");
    expect_near(plan->parts.open, 3 + 12, 1e-9, "h");
    expect_near(plan->cost, 17.8, 1e-9, "h");
    spl_outing_problem_free(p);
}

/* Two materials of one batch count together: without the one the other makes nothing whole. */
static void the_parts_of_a_batch_are_worth_most_together(void **state)
{
    struct spl_outing_problem *p = two_places();
    g_autoptr(spl_outing_plan) plan = NULL;

    (void)state;
    spl_outing_add_material(p, "nettle/leaf", 1000, 1000);
    SPL_OUTING_SOURCE(p, 1)->material = 1;
    spl_outing_add_need(p, 1, 900, SPL_DAY_NONE, "yarrow"); /* 500 are to be had */
    SPL_OUTING_NEED(p, 1)->batch = 0;
    plan = plan_of(p);
    expect_near(plan->parts.open, 6.0 * 400 / 900 + 12, 1e-6, "h");
    spl_outing_problem_free(p);
}

/* Two batches of one herb, 400 g and 300 g, and 410 g to be had: the smaller or the larger is
 * whole, not two halves. */
static void what_there_is_goes_to_whole_batches(void **state)
{
    struct spl_outing_problem *p = two_places();
    g_autoptr(spl_outing_plan) plan = NULL;

    (void)state;
    SPL_OUTING_SOURCE(p, 0)->allowance_g = 410;
    SPL_OUTING_SOURCE(p, 1)->allowance_g = 0;
    SPL_OUTING_NEED(p, 0)->grams = 400;
    spl_outing_add_need(p, 0, 300, SPL_DAY_NONE, "second");
    plan = plan_of(p);
    assert_int_equal(spl_outing_is_enough(p, 0, g_array_index(plan->short_g, double, 0)) +
                         spl_outing_is_enough(p, 1, g_array_index(plan->short_g, double, 1)),
                     1);
    /* to the larger 400 and 10 to the smaller, or 300 and 110: the second leaves less open */
    expect_near(plan->parts.open, 12 + 6 * 290.0 / 400, 1e-6, "h");
    spl_outing_problem_free(p);
}

/* ---- reserve days -------------------------------------------------------------------------- */

static void a_reserve_is_not_the_next_day_where_another_is_free(void **state)
{
    struct spl_outing_problem *p = two_places();
    g_autoptr(spl_outing_plan) plan = NULL, narrow = NULL;

    (void)state;
    plan = plan_of(p);
    assert_true(outing(plan, 0)->reserve >= outing(plan, 0)->day + 2);
    assert_int_equal(outing(plan, 0)->lack, SPL_OUTING_LACK_NONE);
    /* Only the 4th and 5th are left. */
    for (int source = 0; source < 2; source++) {
        for (int dom = 1; dom <= 20; dom++)
            spl_outing_set_asks(p, source, day(dom), dom == 4 || dom == 5 ? 0 : SPL_OUTING_CLOSED);
    }
    narrow = plan_of(p);
    assert_int_equal(outing(narrow, 0)->day, 3);
    assert_int_equal(outing(narrow, 0)->reserve, 4);
    spl_outing_problem_free(p);
}

/* The word is too old from the 8th on: the reserve lies before. */
static void a_reserve_has_no_more_to_ask_where_another_has_not(void **state)
{
    struct spl_outing_problem *p = two_places();
    g_autoptr(spl_outing_plan) plan = NULL;

    (void)state;
    for (int source = 0; source < 2; source++) {
        for (int dom = 1; dom <= 20; dom++)
            spl_outing_set_asks(p, source, day(dom),
                                dom == 3 || dom == 7                ? 0
                                : dom == 5 || dom == 6 || dom >= 10 ? 1
                                                                    : SPL_OUTING_CLOSED);
    }
    plan = plan_of(p);
    assert_int_equal(outing(plan, 0)->day, 2);
    assert_int_equal(outing(plan, 0)->reserve, 6);
    spl_outing_problem_free(p);
}

/* Every day from the 3rd to the 17th weighs the same. */
static void a_plan_does_not_change_for_nothing(void **state)
{
    struct spl_outing_problem *p = two_places();
    g_autoptr(spl_outing_plan) first = NULL, again = NULL, away = NULL;

    (void)state;
    first = plan_of(p);
    assert_int_equal(outing(first, 0)->day, 2);
    SPL_OUTING_DAY(p, 9)->liked = TRUE;
    again = plan_of(p);
    assert_int_equal(outing(again, 0)->day, 9);
    /* but not at a cost */
    SPL_OUTING_DAY(p, 9)->liked = FALSE;
    SPL_OUTING_DAY(p, 18)->liked = TRUE;
    away = plan_of(p);
    assert_int_equal(outing(away, 0)->day, 2);
    spl_outing_problem_free(p);
}

static void why_there_is_no_reserve_is_known(void **state)
{
    struct spl_outing_problem *p = two_places();
    g_autoptr(spl_outing_plan) one = NULL, hours = NULL, room = NULL;

    (void)state;
    for (int source = 0; source < 2; source++) {
        for (int dom = 1; dom <= 20; dom++)
            spl_outing_set_asks(p, source, day(dom), dom == 4 ? 0 : SPL_OUTING_CLOSED);
    }
    one = plan_of(p);
    assert_int_equal(outing(one, 0)->reserve, -1);
    assert_int_equal(outing(one, 0)->lack, SPL_OUTING_LACK_WINDOW);
    for (int source = 0; source < 2; source++) {
        spl_outing_set_asks(p, source, day(5), 0);
        spl_outing_set_asks(p, source, day(6), 0);
    }
    SPL_OUTING_DAY(p, 4)->hours = SPL_OUTING_DAY(p, 5)->hours = 0.5;
    hours = plan_of(p);
    assert_int_equal(outing(hours, 0)->lack, SPL_OUTING_LACK_DAY);
    spl_outing_problem_free(p);
}

/*
 * The rack holds 300 g for 5 days. 200 g on the 4th and 200 g on the 12th: on any reserve of the
 * first from the 8th on both would lie there together.
 */
static void a_reserve_counts_the_racks_of_all_days(void **state)
{
    struct spl_outing_problem *p = two_places();
    struct spl_outing_plan *plan = spl_outing_plan_new();
    struct spl_outing_take take = {0, 200};
    int site = 0;

    (void)state;
    SPL_OUTING_NEED(p, 0)->grams = 400;
    spl_outing_add_store(p, "the rack", 300, 5);
    SPL_OUTING_MATERIAL(p, 0)->store = 0;
    assert_true(spl_outing_problem_check(p, NULL));
    for (int which = 0; which < 2; which++) {
        struct spl_outing *to = spl_outing_plan_add(plan, which == 0 ? 3 : 11);

        g_array_append_val(to->sites, site);
        g_array_append_val(to->takes, take);
    }
    spl_outing_plan_finish(p, plan);
    /* the 6th: gone from the rack on the 11th; the second's reserve is the 14th or later */
    assert_true(outing(plan, 0)->reserve == 5 || outing(plan, 0)->reserve == 6);
    assert_true(outing(plan, 1)->reserve >= 13);
    {
        g_autoptr(GPtrArray) wrong = spl_outing_check(p, plan);

        assert_int_equal(wrong->len, 0);
    }
    /* A reserve on the 9th would put 400 g there on the 12th. */
    g_array_index(plan->outings, struct spl_outing, 0).reserve = 8;
    {
        g_autoptr(GPtrArray) wrong = spl_outing_check(p, plan);

        assert_true(wrong->len > 0);
    }
    spl_outing_plan_free(plan);
    spl_outing_problem_free(p);
}

/* One outing a row: day of the month and source, 100 g of it. */
static struct spl_outing_plan *plan_by_hand(struct spl_outing_problem *p, const int (*rows)[2],
                                            int n)
{
    struct spl_outing_plan *plan = spl_outing_plan_new();

    assert_true(spl_outing_problem_check(p, NULL));
    for (int i = 0; i < n; i++) {
        struct spl_outing *to = spl_outing_plan_add(plan, rows[i][0] - 1);
        struct spl_outing_take take = {rows[i][1], 100};

        g_array_append_val(to->sites, SPL_OUTING_SOURCE(p, take.source)->site);
        g_array_append_val(to->takes, take);
    }
    spl_outing_plan_reckon(p, plan);
    return plan;
}

/* Open on the 5th, the 8th and the 10th, which has no day after it; on the 8th one thing must be
 * asked. Both other days have a reserve: the nearer one for 0.2 h, the farther for nothing. */
static void a_reserve_is_bought_where_it_is_cheapest(void **state)
{
    struct spl_outing_problem *p = two_places();
    const int on[][2] = {{10, 0}};
    struct spl_outing_plan *plan;
    double hours;

    (void)state;
    p->ask_hours = 0.2;
    for (int dom = 1; dom <= 20; dom++)
        spl_outing_set_asks(p, 0, day(dom),
                            dom == 5 || dom == 10 ? 0
                            : dom == 8            ? 1
                                                  : SPL_OUTING_CLOSED);
    plan = spl_outing_dry_days(p, plan_by_hand(p, on, 1), &hours);
    assert_int_equal(outing(plan, 0)->day, 4);
    expect_near(hours, 0, 1e-9, "h");
    spl_outing_plan_free(plan);
    /* with something to ask on the 5th too, twice as much, the nearer one */
    spl_outing_set_asks(p, 0, day(5), 2);
    plan = spl_outing_dry_days(p, plan_by_hand(p, on, 1), &hours);
    assert_int_equal(outing(plan, 0)->day, 7);
    expect_near(hours, 0.2, 1e-9, "h");
    spl_outing_plan_free(plan);
    spl_outing_problem_free(p);
}

/* Nettle at Far on the 8th, its last day, moves to the 6th and has the 8th for its reserve. Yarrow,
 * at its best from the 8th on, was a seventh of an hour early on the 7th: the 9th leaves both a
 * reserve, the 8th would not. */
static void an_outing_takes_the_better_day_that_another_left(void **state)
{
    struct spl_outing_problem *p = two_places();
    const int on[][2] = {{7, 0}, {8, 1}};
    struct spl_outing_plan *plan;
    double hours, before;

    (void)state;
    spl_outing_add_material(p, "nettle/leaf", 1000, 1000);
    SPL_OUTING_SOURCE(p, 1)->material = 1;
    spl_outing_add_need(p, 1, 100, SPL_DAY_NONE, "nettle");
    SPL_OUTING_SOURCE(p, 0)->likely_start = day(8);
    for (int dom = 1; dom <= 20; dom++)
        spl_outing_set_asks(p, 1, day(dom),
                            dom == 4 || dom == 6 || dom == 8 ? 0 : SPL_OUTING_CLOSED);
    plan = plan_by_hand(p, on, 2);
    before = plan->cost;
    plan = spl_outing_dry_days(p, plan, &hours);
    assert_int_equal(outing(plan, 0)->day, 5);
    assert_int_equal(outing(plan, 0)->reserve, 7);
    assert_int_equal(outing(plan, 1)->day, 8);
    assert_true(outing(plan, 1)->reserve > 8);
    expect_near(plan->cost, before - 1.0 / 7, 1e-9, "h");
    expect_near(hours, 0, 0, "h");
    spl_outing_plan_free(plan);
    spl_outing_problem_free(p);
}

/* ---- what the person set ------------------------------------------------------------------- */

/* 300 g on the 9th, though 100 g are enough: so it stays, and nothing else is planned. */
static void what_is_set_for_a_day_is_taken(void **state)
{
    struct spl_outing_problem *p = two_places();
    g_autoptr(spl_outing_plan) plan = NULL;
    int site = 1;

    (void)state;
    spl_outing_fix_day(p, 8, &site, 1);
    spl_outing_fix_take(p, 8, 1, 300);
    plan = plan_of(p);
    assert_int_equal(plan->outings->len, 1);
    assert_int_equal(outing(plan, 0)->day, 8);
    expect_near(g_array_index(outing(plan, 0)->takes, struct spl_outing_take, 0).grams, 300, 1e-9,
                "g");
    spl_outing_problem_free(p);
}

static void a_copied_question_is_its_own(void **state)
{
    struct spl_outing_problem *p = two_places(), *copy;
    g_autoptr(spl_outing_plan) plan = NULL;

    (void)state;
    copy = spl_outing_problem_copy(p);
    SPL_OUTING_DAY(copy, 0)->hours = 1;
    SPL_OUTING_NEED(copy, 0)->grams = 1;
    expect_near(SPL_OUTING_DAY(p, 0)->hours, 5, 0, "h");
    expect_near(SPL_OUTING_NEED(p, 0)->grams, 100, 0, "g");
    spl_outing_problem_free(p);
    plan = plan_of(copy);
    assert_int_equal(plan->outings->len, 1);
    spl_outing_problem_free(copy);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_clear_place_is_worth_some_minutes),
    cmocka_unit_test(each_day_has_its_own_verdict),
    cmocka_unit_test(days_before_it_spoils_weigh_more),
    cmocka_unit_test(leaves_are_not_picked_in_the_tail_to_save_an_outing),
    cmocka_unit_test(what_is_hardly_missed_is_not_gone_for),
    cmocka_unit_test(grams_that_make_nothing_whole_have_a_price),
    cmocka_unit_test(the_parts_of_a_batch_are_worth_most_together),
    cmocka_unit_test(what_there_is_goes_to_whole_batches),
    cmocka_unit_test(a_reserve_is_not_the_next_day_where_another_is_free),
    cmocka_unit_test(a_reserve_has_no_more_to_ask_where_another_has_not),
    cmocka_unit_test(a_plan_does_not_change_for_nothing),
    cmocka_unit_test(why_there_is_no_reserve_is_known),
    cmocka_unit_test(a_reserve_is_bought_where_it_is_cheapest),
    cmocka_unit_test(an_outing_takes_the_better_day_that_another_left),
    cmocka_unit_test(a_reserve_counts_the_racks_of_all_days),
    cmocka_unit_test(what_is_set_for_a_day_is_taken),
    cmocka_unit_test(a_copied_question_is_its_own),
};
expect_main(tests)
