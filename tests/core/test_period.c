/* SPDX-License-Identifier: MIT
 *
 * Dates of one period in the climate of another: what cherries really did, by hand, and texts.
 */
#include "core/period.h"
#include "expect.h"

static const struct spl_period old = {1961, 1990}, now = {1991, 2020};

static void spring_came_as_much_earlier_as_the_cherries_did(void **state)
{
    (void)state;
    /* Full flower of 37 Swiss stations below 600 m came 6.5 d earlier in 1991-2020 than in
     * 1961-1990 (MeteoSwiss by the GMU set; reckoned by an independent program); +1.3 K at 4.5 d/K
     * is 6. */
    expect_near(spl_period_days(SPL_EVENT_GROWTH, 108, old, now), -6.5, 1.6, "d");
    expect_near(spl_period_days(SPL_EVENT_GROWTH, 108, now, old), 6.5, 1.6, "d");
    /* Climate was level before 1975: a date of 1930-1950 moves as one of 1961-1990. */
    expect_near(spl_period_days(SPL_EVENT_GROWTH, 108, (struct spl_period){1930, 1950}, now),
                spl_period_days(SPL_EVENT_GROWTH, 108, old, now), 1e-9, "d");
    expect_near(spl_period_days(SPL_EVENT_GROWTH, 108, (struct spl_period){1981, 2010}, now),
                spl_period_days(SPL_EVENT_GROWTH, 108, old, now) / 3, 0.02, "d");
}

static void autumn_hardly_moves_and_later(void **state)
{
    (void)state;
    /* 2.5 d/K x the mean of 0.5 and 0.4 K */
    expect_near(spl_period_days(SPL_EVENT_SENESCENCE, 280, old, now), 1.125, 0.02, "d");
}

static void what_is_not_said_is_not_moved(void **state)
{
    (void)state;
    expect_near(spl_period_days(SPL_EVENT_GROWTH, 108, (struct spl_period){0, 0}, now), 0, 1e-12,
                "d");
    expect_near(spl_period_days(SPL_EVENT_GROWTH, 108, now, (struct spl_period){0, 0}), 0, 1e-12,
                "d");
}

static void nothing_moves_by_more_than_twelve_days(void **state)
{
    (void)state;
    expect_near(spl_period_days(SPL_EVENT_GROWTH, 108, old, (struct spl_period){2090, 2119}), -12,
                1e-12, "d");
}

static void a_period_is_two_years(void **state)
{
    static const char *const wrong[] = {"",          "1961",  "1961-",      "-1990",
                                        "1990-1961", "61-90", "1961-1990x", "1961 - 1990",
                                        "1600-1650", NULL};
    struct spl_period period = {0, 0};

    (void)state;
    assert_true(spl_period_parse("1961-1990", &period));
    assert_int_equal(period.from, 1961);
    assert_int_equal(period.to, 1990);
    for (int i = 0; wrong[i] != NULL; i++)
        assert_false(spl_period_parse(wrong[i], &period));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(spring_came_as_much_earlier_as_the_cherries_did),
    cmocka_unit_test(autumn_hardly_moves_and_later),
    cmocka_unit_test(what_is_not_said_is_not_moved),
    cmocka_unit_test(nothing_moves_by_more_than_twelve_days),
    cmocka_unit_test(a_period_is_two_years),
};
expect_main(tests)
