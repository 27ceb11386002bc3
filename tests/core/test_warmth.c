/* SPDX-License-Identifier: MIT
 *
 * Warmth sums: running sums by hand, measured days in the place of expected ones.
 */
#include "core/warmth.h"
#include "expect.h"

static void flat_curve(struct spl_normals_curve *curve, double mean_c)
{
    for (int i = 0; i < SPL_NORMALS_DAYS; i++) {
        curve->mean_c[i] = mean_c;
        curve->sd_c[i] = 0;
    }
}

static void a_flat_ten_degrees_is_ten_a_day(void **state)
{
    struct spl_day first = spl_day_from_ymd(2027, 1, 1);
    struct spl_normals_curve curve;
    struct spl_warmth warmth;

    (void)state;
    flat_curve(&curve, 8);
    spl_warmth_init_normals(&warmth, first, 100, &curve, 2);
    expect_near(spl_warmth_between(&warmth, first.n, first.n + 60), 600, 1e-9, "degree-days");
    expect_near(spl_warmth_between(&warmth, first.n + 10, first.n + 12.5), 25, 1e-9, "degree-days");
    expect_near(spl_warmth_reach(&warmth, first.n + 5, 123), first.n + 17.3, 1e-9, "d");
    expect_near(spl_warmth_reach(&warmth, first.n + 5, 0), first.n + 5, 1e-9, "d");
    assert_true(isnan(spl_warmth_reach(&warmth, first.n, 1001)));
    assert_true(isnan(spl_warmth_reach(&warmth, first.n - 1, 10)));
    assert_true(isnan(spl_warmth_between(&warmth, first.n, first.n + 101)));
    assert_false(spl_day_is_set(warmth.known_until));
    spl_warmth_clear(&warmth);
}

static void measured_days_replace_expected_ones(void **state)
{
    /* Single sine above 0: (8, 20) mean 14; (-4, 3) 0.875472 by numerical integral. */
    static const double low[] = {8, NAN, -4}, high[] = {20, NAN, 3};
    struct spl_day first = spl_day_from_ymd(2027, 3, 1);
    struct spl_normals_curve curve;
    struct spl_warmth warmth;

    (void)state;
    flat_curve(&curve, 10);
    spl_warmth_init_normals(&warmth, first, 10, &curve, 0);
    spl_warmth_add_weather(&warmth, low, high, 3, 0);
    expect_near(warmth.sum_dd[1], 14, 1e-9, "degree-days");
    expect_near(warmth.sum_dd[2], 24, 1e-9, "degree-days");
    expect_near(warmth.sum_dd[3], 24.875472, 1e-6, "degree-days");
    expect_near(warmth.sum_dd[10], 94.875472, 1e-6, "degree-days");
    assert_int_equal(warmth.known_until.n, first.n + 2);
    spl_warmth_clear(&warmth);
}

/* Twelve degrees measured, ten expected: each day that is missing takes two off, the tenth as the
 * eleventh, and what was measured behind the gap counts. */
static void a_gap_hides_nothing_behind_it(void **state)
{
    struct spl_day first = spl_day_from_ymd(2027, 3, 1);
    struct spl_normals_curve curve;

    (void)state;
    flat_curve(&curve, 10);
    for (int gap = 0; gap <= 20; gap++) {
        struct spl_warmth warmth;
        double degrees[30];

        for (int i = 0; i < 30; i++)
            degrees[i] = i >= 5 && i < 5 + gap ? NAN : 12;
        spl_warmth_init_normals(&warmth, first, 40, &curve, 0);
        spl_warmth_add_weather(&warmth, degrees, degrees, 30, 0);
        expect_near(warmth.sum_dd[30], 30 * 12 - 2 * gap, 1e-9, "degree-days");
        assert_int_equal(warmth.known_until.n, first.n + 29);
        spl_warmth_clear(&warmth);
    }
}

static void nothing_measured_leaves_all_expected(void **state)
{
    static const double none[] = {NAN, NAN};
    struct spl_day first = spl_day_from_ymd(2027, 3, 1);
    struct spl_normals_curve curve;
    struct spl_warmth warmth;

    (void)state;
    flat_curve(&curve, 10);
    spl_warmth_init_normals(&warmth, first, 10, &curve, 0);
    spl_warmth_add_weather(&warmth, none, none, 2, 0);
    expect_near(warmth.sum_dd[10], 100, 1e-9, "degree-days");
    assert_false(spl_day_is_set(warmth.known_until));
    spl_warmth_clear(&warmth);
}

static void a_frozen_stretch_is_passed_over(void **state)
{
    struct spl_day first = spl_day_from_ymd(2027, 1, 1);
    double low[20], high[20];
    struct spl_normals_curve curve;
    struct spl_warmth warmth;

    (void)state;
    flat_curve(&curve, 10);
    for (int i = 0; i < 20; i++)
        low[i] = high[i] = i < 5 ? 10 : -5;
    spl_warmth_init_normals(&warmth, first, 30, &curve, 0);
    spl_warmth_add_weather(&warmth, low, high, 20, 0);
    /* 50 by the end of day 5, nothing for 15 days; the sum of 50 is reached at once when it is. */
    expect_near(spl_warmth_reach(&warmth, first.n, 50), first.n + 5, 1e-9, "d");
    expect_near(spl_warmth_reach(&warmth, first.n, 55), first.n + 20.5, 1e-9, "d");
    spl_warmth_clear(&warmth);
}

/* Days that were not measured are counted, and other years run through the rest by themselves. */
static void unknown_days_are_counted_and_other_years_are_run(void **state)
{
    static const double means[12] = {10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10};
    struct spl_normals normals;
    struct spl_normals_curve curve;
    struct spl_warmth usual, year;
    struct spl_warmth_years years;
    struct spl_warmth_ensemble ensemble;
    double low[60], high[60];
    struct spl_day first = spl_day_from_ymd(2027, 3, 1);

    (void)state;
    spl_normals_from_means(means, FALSE, &normals);
    spl_normals_to_curve(&normals, &curve);
    spl_warmth_init_normals(&usual, first, 60, &curve, 0);
    spl_warmth_init_normals(&year, first, 60, &curve, 0);
    for (int i = 0; i < 60; i++)
        low[i] = high[i] = i >= 10 && i < 15 ? NAN : 12;
    spl_warmth_add_weather(&year, low, high, 20, 0);
    assert_int_equal(spl_warmth_unknown(&year, first.n), 5);
    assert_int_equal(spl_warmth_unknown(&year, first.n + 12), 3);
    assert_int_equal(spl_warmth_unknown(&usual, first.n), 0);
    /* Ten years of 6, 8 ... 24 degrees throughout: 120 degree-days take 120 / T days. */
    spl_warmth_years_init(&years, &usual);
    for (int y = 0; y < 10; y++) {
        for (int i = 0; i < 60; i++)
            low[i] = high[i] = 6 + 2 * y;
        if (y == 7) {
            spl_warmth_run(&years, &usual, first.n, 120, &ensemble);
            assert_true(isnan(ensemble.sd_d)); /* seven years say nothing */
        }
        spl_warmth_years_add(&years, low, high, 0);
    }
    spl_warmth_run(&years, &usual, first.n, 120, &ensemble);
    /* The mean and spread of 20, 15, 12, 10, 8.571, 7.5, 6.667, 6, 5.455, 5 by hand. */
    expect_near(ensemble.mean_n, first.n + 9.619264, 1e-5, "d");
    expect_near(ensemble.sd_d, 4.814486, 1e-5, "d");
    spl_warmth_run(&years, &usual, first.n, 0, &ensemble);
    expect_near(ensemble.sd_d, 0, 1e-12, "d"); /* it is there already */
    /* A place that is usually a fifth warmer needs 144 there for what they have with 120. */
    for (int i = 0; i <= usual.days; i++)
        usual.sum_dd[i] *= 1.2;
    spl_warmth_run(&years, &usual, first.n, 144, &ensemble);
    expect_near(ensemble.mean_n, first.n + 9.619264, 1e-5, "d");
    spl_warmth_clear(&usual);
    spl_warmth_clear(&year);
    spl_warmth_years_clear(&years);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(unknown_days_are_counted_and_other_years_are_run),
    cmocka_unit_test(a_flat_ten_degrees_is_ten_a_day),
    cmocka_unit_test(measured_days_replace_expected_ones),
    cmocka_unit_test(a_gap_hides_nothing_behind_it),
    cmocka_unit_test(nothing_measured_leaves_all_expected),
    cmocka_unit_test(a_frozen_stretch_is_passed_over),
};
expect_main(tests)
