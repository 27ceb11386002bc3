/* SPDX-License-Identifier: MIT
 *
 * How long what stands lasts: figures by hand.
 */
#include "core/lasting.h"
#include "expect.h"

static struct spl_day day(const char *text)
{
    struct spl_day one;

    assert_true(spl_day_parse(text, "day", &one, NULL));
    return one;
}

/* 10 mL a day from 1 March (100 days to 9 June). */
static void one_lot_lasts_as_many_days_as_it_holds(void **state)
{
    struct spl_lasting_lot lot = {.amount = 600.0, .from = SPL_DAY_NONE, .use_by = SPL_DAY_NONE};
    struct spl_lasting told =
        spl_lasting_reckon(&lot, 1, 10.0, day("2028-03-01"), day("2028-06-09"));

    (void)state;
    expect_near(told.given, 600.0, 1e-6, "mL");
    expect_near(told.missing, 400.0, 1e-6, "mL");
    expect_near(told.late, 0.0, 1e-9, "mL");
    assert_true(told.lasts_until.n == day("2028-03-01").n + 59); /* the sixtieth day */
}

/* The first lot ends on 20 March: 20 days x 10 = 200 of its 300 go out, 100 are late. Then the
 * second serves the 80 days that are left: 800 wanted, 500 there. */
static void what_is_out_of_date_first_goes_first_and_the_rest_of_it_is_late(void **state)
{
    struct spl_lasting_lot lots[] = {
        {.amount = 500.0, .from = SPL_DAY_NONE, .use_by = day("2029-01-01")},
        {.amount = 300.0, .from = SPL_DAY_NONE, .use_by = day("2028-03-20")},
    };
    struct spl_lasting told =
        spl_lasting_reckon(lots, 2, 10.0, day("2028-03-01"), day("2028-06-09"));

    (void)state;
    expect_near(told.given, 700.0, 1e-6, "mL");
    expect_near(told.missing, 300.0, 1e-6, "mL");
    expect_near(told.late, 100.0, 1e-6, "mL");
    expect_near(lots[1].late, 100.0, 1e-6, "mL");
    expect_near(lots[0].late, 0.0, 1e-6, "mL");
}

/* Nothing until the jar is pressed on 1 April: 31 days x 10 are missing. */
static void a_jar_serves_from_the_day_on_which_it_is_pressed(void **state)
{
    struct spl_lasting_lot jar = {
        .amount = 2000.0, .from = day("2028-04-01"), .use_by = day("2032-04-01")};
    struct spl_lasting told =
        spl_lasting_reckon(&jar, 1, 10.0, day("2028-03-01"), day("2028-06-09"));

    (void)state;
    expect_near(told.missing, 310.0, 1e-6, "mL");
    expect_near(told.given, 690.0, 1e-6, "mL");
    assert_true(told.lasts_until.n == day("2028-02-29").n);
}

static void what_nobody_wants_is_late_when_its_day_comes(void **state)
{
    struct spl_lasting_lot lots[] = {
        {.amount = 100.0, .from = SPL_DAY_NONE, .use_by = day("2028-05-01")},
        {.amount = 100.0, .from = SPL_DAY_NONE, .use_by = day("2028-07-01")},
    };
    struct spl_lasting told =
        spl_lasting_reckon(lots, 2, 0.0, day("2028-03-01"), day("2028-06-09"));

    (void)state;
    expect_near(told.late, 100.0, 1e-9, "mL");
    expect_near(told.missing, 0.0, 1e-9, "mL");
    assert_false(spl_day_is_set(told.lasts_until));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_lot_lasts_as_many_days_as_it_holds),
        cmocka_unit_test(what_is_out_of_date_first_goes_first_and_the_rest_of_it_is_late),
        cmocka_unit_test(a_jar_serves_from_the_day_on_which_it_is_pressed),
        cmocka_unit_test(what_nobody_wants_is_late_when_its_day_comes),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
