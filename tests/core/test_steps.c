/* SPDX-License-Identifier: MIT
 *
 * Steps with real dates: topped up after a day, stands at least six weeks (common practice, no
 * source), shaken until it is strained, waiting for the herb added last.
 */
#include "expect.h"

#include "core/steps.h"

static const struct spl_step_rule rules[] = {
    {.step = SPL_STEP_TOP_UP,
     .earliest_days = 1,
     .usual_days = 1,
     .latest_days = 2,
     .alarm = TRUE,
     .words = "fill to the brim"},
    {.step = SPL_STEP_SHAKE,
     .earliest_days = 1,
     .usual_days = 1,
     .latest_days = 1,
     .repeat_days = 2,
     .words = "shake"},
    {.step = SPL_STEP_READY,
     .earliest_days = 42,
     .usual_days = 42,
     .latest_days = 42,
     .words = "may be strained"},
    {.step = SPL_STEP_STRAIN,
     .earliest_days = 42,
     .usual_days = 56,
     .latest_days = 90,
     .alarm = TRUE,
     .words = "strain and press"},
};

static GPtrArray *borrowed(void)
{
    GPtrArray *list = g_ptr_array_new();

    for (gsize i = 0; i < G_N_ELEMENTS(rules); i++)
        g_ptr_array_add(list, (gpointer)&rules[i]);
    return list;
}

static const struct spl_step_due *find(const GArray *schedule, enum spl_step step)
{
    for (guint i = 0; i < schedule->len; i++) {
        if (g_array_index(schedule, struct spl_step_due, i).step == (int)step)
            return &g_array_index(schedule, struct spl_step_due, i);
    }
    fail_msg("no step '%s'", spl_step_name(step));
    return NULL;
}

#define expect_day(day, wanted)                                                                    \
    do {                                                                                           \
        char text_[SPL_DAY_TEXT_SIZE];                                                             \
        assert_string_equal(spl_day_format(day, text_), wanted);                                   \
    } while (0)

static void a_batch_of_4_may_has_its_days(void **state)
{
    g_autoptr(GPtrArray) list = borrowed();
    struct spl_steps_ask ask = {spl_day_from_ymd(2027, 5, 4), SPL_DAY_NONE, SPL_DAY_NONE,
                                SPL_DAY_NONE};
    g_autoptr(GArray) schedule = spl_steps_schedule(list, &ask, NULL);

    (void)state;
    assert_int_equal(schedule->len, 4);
    expect_day(find(schedule, SPL_STEP_TOP_UP)->due, "2027-05-05");
    expect_day(find(schedule, SPL_STEP_READY)->due, "2027-06-15"); /* 6 weeks */
    expect_day(find(schedule, SPL_STEP_STRAIN)->due, "2027-06-29");
    expect_day(find(schedule, SPL_STEP_STRAIN)->latest, "2027-08-02");
    expect_day(find(schedule, SPL_STEP_SHAKE)->last, "2027-06-28");
    for (guint i = 0; i < schedule->len; i++) {
        assert_true(g_array_index(schedule, struct spl_step_due, i).open);
        assert_true(i == 0 ||
                    spl_day_compare(g_array_index(schedule, struct spl_step_due, i - 1).due,
                                    g_array_index(schedule, struct spl_step_due, i).due) <= 0);
    }
}

static void what_was_done_is_closed_and_what_repeats_comes_again(void **state)
{
    g_autoptr(GPtrArray) list = borrowed();
    struct spl_steps_ask ask = {spl_day_from_ymd(2027, 5, 4), SPL_DAY_NONE, SPL_DAY_NONE,
                                SPL_DAY_NONE};
    const struct spl_step_done all[] = {{SPL_STEP_SHAKE, spl_day_from_ymd(2027, 5, 9)},
                                        {SPL_STEP_TOP_UP, spl_day_from_ymd(2027, 5, 6)},
                                        {SPL_STEP_SHAKE, spl_day_from_ymd(2027, 5, 7)}};
    g_autoptr(GArray) done = g_array_new(FALSE, FALSE, sizeof all[0]);
    g_autoptr(GArray) schedule = NULL;

    (void)state;
    g_array_append_vals(done, all, 3);
    schedule = spl_steps_schedule(list, &ask, done);
    assert_false(find(schedule, SPL_STEP_TOP_UP)->open);
    expect_day(find(schedule, SPL_STEP_TOP_UP)->done, "2027-05-06");
    expect_day(find(schedule, SPL_STEP_TOP_UP)->due, "2027-05-05");
    expect_day(find(schedule, SPL_STEP_SHAKE)->done, "2027-05-09");
    expect_day(find(schedule, SPL_STEP_SHAKE)->due, "2027-05-11");
    assert_true(find(schedule, SPL_STEP_SHAKE)->open);
    assert_true(find(schedule, SPL_STEP_STRAIN)->open);
    /* shaken last on the day before straining: no more of it */
    g_array_index(done, struct spl_step_done, 0).on = spl_day_from_ymd(2027, 6, 27);
    g_clear_pointer(&schedule, g_array_unref);
    schedule = spl_steps_schedule(list, &ask, done);
    assert_false(find(schedule, SPL_STEP_SHAKE)->open);
    g_array_index(done, struct spl_step_done, 0).on = spl_day_from_ymd(2027, 6, 26);
    g_clear_pointer(&schedule, g_array_unref);
    schedule = spl_steps_schedule(list, &ask, done);
    assert_true(find(schedule, SPL_STEP_SHAKE)->open);
}

static void straining_waits_for_the_herb_added_last(void **state)
{
    g_autoptr(GPtrArray) list = borrowed();
    struct spl_steps_ask ask = {spl_day_from_ymd(2027, 5, 4), spl_day_from_ymd(2027, 5, 10),
                                SPL_DAY_NONE, SPL_DAY_NONE};
    g_autoptr(GArray) schedule = spl_steps_schedule(list, &ask, NULL);

    (void)state;
    expect_day(find(schedule, SPL_STEP_TOP_UP)->due, "2027-05-05");
    expect_day(find(schedule, SPL_STEP_READY)->due, "2027-06-21");
    expect_day(find(schedule, SPL_STEP_STRAIN)->due, "2027-07-05");
    expect_day(find(schedule, SPL_STEP_SHAKE)->last, "2027-07-04");
}

static void after_pressing_only_the_use_by_stays_open(void **state)
{
    g_autoptr(GPtrArray) list = borrowed();
    struct spl_steps_ask ask = {spl_day_from_ymd(2027, 5, 4), SPL_DAY_NONE,
                                spl_day_from_ymd(2027, 6, 20), spl_day_from_ymd(2030, 6, 20)};
    g_autoptr(GArray) schedule = spl_steps_schedule(list, &ask, NULL);

    (void)state;
    assert_int_equal(schedule->len, 5);
    for (guint i = 0; i < schedule->len; i++) {
        const struct spl_step_due *due = &g_array_index(schedule, struct spl_step_due, i);

        assert_int_equal(due->open, due->step == SPL_STEP_USE_BY);
    }
    expect_day(find(schedule, SPL_STEP_STRAIN)->done, "2027-06-20");
    expect_day(find(schedule, SPL_STEP_USE_BY)->due, "2030-06-20");
}

static void what_settles_is_poured_off_after_the_pressing(void **state)
{
    static const struct spl_step_rule decant = {.step = SPL_STEP_DECANT,
                                                .earliest_days = 50,
                                                .usual_days = 58,
                                                .latest_days = 60,
                                                .alarm = TRUE,
                                                .words = "pour the clear off"};
    g_autoptr(GPtrArray) list = borrowed();
    struct spl_steps_ask ask = {spl_day_from_ymd(2027, 5, 4), SPL_DAY_NONE,
                                spl_day_from_ymd(2027, 6, 20), SPL_DAY_NONE};
    g_autoptr(GArray) schedule = NULL, later = NULL;
    g_autoptr(GArray) done = g_array_new(FALSE, FALSE, sizeof(struct spl_step_done));
    struct spl_step_done poured = {SPL_STEP_DECANT, spl_day_from_ymd(2027, 6, 10)};

    (void)state;
    g_ptr_array_add(list, (gpointer)&decant);
    g_array_append_val(done, poured); /* before it was pressed */
    schedule = spl_steps_schedule(list, &ask, done);
    assert_true(find(schedule, SPL_STEP_DECANT)->open);
    expect_day(find(schedule, SPL_STEP_DECANT)->due, "2027-06-22"); /* two days after */
    poured.on = spl_day_from_ymd(2027, 6, 23);
    g_array_append_val(done, poured);
    later = spl_steps_schedule(list, &ask, done);
    assert_false(find(later, SPL_STEP_DECANT)->open);
}

static void the_days_of_a_repeated_step_are_all_listed(void **state)
{
    g_autoptr(GPtrArray) list = borrowed();
    struct spl_steps_ask ask = {spl_day_from_ymd(2027, 5, 4), SPL_DAY_NONE, SPL_DAY_NONE,
                                SPL_DAY_NONE};
    g_autoptr(GArray) schedule = spl_steps_schedule(list, &ask, NULL);
    g_autoptr(GArray) all = spl_steps_days(schedule, ask.started, spl_day_from_ymd(2028, 5, 4));
    g_autoptr(GArray) week =
        spl_steps_days(schedule, spl_day_from_ymd(2027, 5, 10), spl_day_from_ymd(2027, 5, 16));
    guint shakes = 0;

    (void)state;
    for (guint i = 0; i < all->len; i++)
        shakes += g_array_index(all, struct spl_step_done, i).step == SPL_STEP_SHAKE;
    /* 5 May to 28 June every second day: days 1, 3, ... 55. */
    assert_int_equal(shakes, 28);
    assert_int_equal(all->len, 31);
    assert_int_equal(week->len, 3); /* 11, 13, 15 May */
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_batch_of_4_may_has_its_days),
    cmocka_unit_test(what_was_done_is_closed_and_what_repeats_comes_again),
    cmocka_unit_test(straining_waits_for_the_herb_added_last),
    cmocka_unit_test(after_pressing_only_the_use_by_stays_open),
    cmocka_unit_test(what_settles_is_poured_off_after_the_pressing),
    cmocka_unit_test(the_days_of_a_repeated_step_are_all_listed),
};
expect_main(tests)
