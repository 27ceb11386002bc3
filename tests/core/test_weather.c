/* SPDX-License-Identifier: MIT
 *
 * Cleaning daily temperatures: duplicates, impossible days, outliers, gaps, units that look wrong.
 */
#include "core/weather.h"
#include "expect.h"

static void add(GArray *days, struct spl_day day, double low, double high)
{
    struct spl_weather_day one = {day, low, high};

    g_array_append_val(days, one);
}

/* Three years of a smooth season, +-3 K from day to day. */
static GArray *seasons(void)
{
    GArray *days = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));

    for (struct spl_day day = spl_day_from_ymd(2021, 1, 1); day.n < spl_day_from_ymd(2024, 1, 1).n;
         day.n++) {
        double mean = 10 - 9 * cos(2 * G_PI * spl_day_of_year(day) / 365) + day.n % 7 - 3;

        add(days, day, mean - 4, mean + 4);
    }
    return days;
}

static const struct spl_weather_left *left_at(const GArray *left, guint i)
{
    return &g_array_index(left, struct spl_weather_left, i);
}

static void good_days_stay(void **state)
{
    g_autoptr(GArray) days = seasons();
    GArray *left = spl_list_new(&spl_weather_left_shape);
    g_autoptr(GArray) gaps = NULL;
    guint n = days->len;

    (void)state;
    spl_weather_clean(days, left);
    assert_int_equal(days->len, n);
    assert_int_equal(left->len, 0);
    gaps = spl_weather_gaps(days);
    assert_int_equal(gaps->len, 0);
    spl_list_free(&spl_weather_left_shape, left);
}

static void impossible_days_are_left_out_and_said(void **state)
{
    g_autoptr(GArray) days = seasons();
    GArray *left = spl_list_new(&spl_weather_left_shape);
    guint n = days->len;

    (void)state;
    g_array_index(days, struct spl_weather_day, 10).tmin_c = 30; /* above its maximum */
    g_array_index(days, struct spl_weather_day, 20).tmax_c = 61;
    /* 33 C on a February day: the kind of value that gap-filling leaves behind */
    g_array_index(days, struct spl_weather_day, 40).tmax_c = 33;
    add(days, spl_day_from_ymd(2022, 5, 5), 1, 2); /* the second of that day, out of order */
    spl_weather_clean(days, left);
    assert_int_equal(days->len, n - 3);
    assert_int_equal(left->len, 4);
    assert_non_null(strstr(left_at(left, 0)->why, "above the maximum"));
    assert_non_null(strstr(left_at(left, 1)->why, "no place on earth"));
    assert_non_null(strstr(left_at(left, 2)->why, "comes twice"));
    expect_near(left_at(left, 2)->tmax_c, 2, 1e-12, "C"); /* the first one stays */
    assert_non_null(strstr(left_at(left, 3)->why, "maximum is more than 5 robust"));
    assert_int_equal(left_at(left, 3)->day.n, spl_day_from_ymd(2021, 2, 10).n);
    spl_list_free(&spl_weather_left_shape, left);
}

static void few_days_are_not_judged_by_each_other(void **state)
{
    g_autoptr(GArray) days = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));
    GArray *left = spl_list_new(&spl_weather_left_shape);

    (void)state;
    for (int i = 0; i < 30; i++)
        add(days, spl_day_from_ymd(2027, 3, 1 + i), i == 15 ? 20 : 1, i == 15 ? 34 : 8);
    spl_weather_clean(days, left);
    assert_int_equal(days->len, 30);
    spl_list_free(&spl_weather_left_shape, left);
}

static void gaps_are_found(void **state)
{
    g_autoptr(GArray) days = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));
    g_autoptr(GArray) gaps = NULL;
    const struct spl_weather_gap *gap;

    (void)state;
    add(days, spl_day_from_ymd(2027, 2, 27), 1, 2);
    add(days, spl_day_from_ymd(2027, 3, 2), 1, 2);
    add(days, spl_day_from_ymd(2027, 3, 3), 1, 2);
    add(days, spl_day_from_ymd(2027, 3, 5), 1, 2);
    gaps = spl_weather_gaps(days);
    assert_int_equal(gaps->len, 2);
    gap = &g_array_index(gaps, struct spl_weather_gap, 0);
    assert_int_equal(gap->first.n, spl_day_from_ymd(2027, 2, 28).n);
    assert_int_equal(gap->last.n, spl_day_from_ymd(2027, 3, 1).n);
    assert_int_equal(gap->days, 2);
}

static void wrong_units_are_suspected(void **state)
{
    g_autoptr(GArray) days = seasons();

    (void)state;
    assert_null(spl_weather_suspect_unit(days, FALSE));
    assert_null(spl_weather_suspect_unit(days, TRUE));
    for (guint i = 0; i < days->len; i++) { /* Fahrenheit taken for Celsius */
        struct spl_weather_day *day = &g_array_index(days, struct spl_weather_day, i);

        day->tmin_c = day->tmin_c * 1.8 + 32;
        day->tmax_c = day->tmax_c * 1.8 + 32;
    }
    assert_non_null(spl_weather_suspect_unit(days, FALSE));
    for (guint i = 0; i < days->len; i++) { /* Celsius taken for Fahrenheit */
        struct spl_weather_day *day = &g_array_index(days, struct spl_weather_day, i);

        for (int twice = 0; twice < 2; twice++) {
            day->tmin_c = (day->tmin_c - 32) / 1.8;
            day->tmax_c = (day->tmax_c - 32) / 1.8;
        }
    }
    assert_non_null(spl_weather_suspect_unit(days, TRUE));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(good_days_stay),
    cmocka_unit_test(impossible_days_are_left_out_and_said),
    cmocka_unit_test(few_days_are_not_judged_by_each_other),
    cmocka_unit_test(gaps_are_found),
    cmocka_unit_test(wrong_units_are_suspected),
};
expect_main(tests)
