/* SPDX-License-Identifier: MIT
 *
 * Monthly normals: the daily curve keeps them, and normals come back out of measured days.
 */
#include "core/degree_day.h"
#include "core/normals.h"
#include "sheet.h"

static const double months[12] = {1.7,  3.2,  7.6,  13.4, 18.5, 23.2,
                                  25.7, 24.9, 21.0, 14.7, 9.1,  4.2};
static const int lengths[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

static void plain_lines_agree_with_the_check_values(void **state)
{
    g_autoptr(spl_sheet) sheet = sheet_open("normals_daily.csv");
    double day[SPL_NORMALS_DAYS];
    guint checked = 0;

    (void)state;
    spl_normals_daily(months, 0, day);
    for (guint row = 0; row < sheet_rows(sheet); row++) {
        int d = (int)sheet_number(sheet, row, "day_of_year");

        if (strcmp(sheet_text(sheet, row, "method"), "lines") != 0)
            continue;
        expect_near(day[d - 1], sheet_number(sheet, row, "mean_c"), 6e-5, "C");
        checked++;
    }
    assert_int_equal(checked, 11);
}

static void adjusted_lines_keep_every_month(void **state)
{
    g_autoptr(spl_sheet) sheet = sheet_open("normals_daily.csv");
    double day[SPL_NORMALS_DAYS];
    int at = 0;

    (void)state;
    spl_normals_daily(months, 50, day);
    for (int m = 0; m < 12; m++) {
        double sum = 0;

        for (int d = 0; d < lengths[m]; d++)
            sum += day[at++];
        expect_near(sum / lengths[m], months[m], 1e-9, "C");
    }
    /* It is no curve of its own making: within half a degree of the exact six harmonics, which an
     * independent program solved (the two differ by 0.5 K at most against 60 years of days). */
    for (guint row = 0; row < sheet_rows(sheet); row++) {
        int d = (int)sheet_number(sheet, row, "day_of_year");

        if (strcmp(sheet_text(sheet, row, "method"), "six_harmonics") == 0)
            expect_near(day[d - 1], sheet_number(sheet, row, "mean_c"), 0.75, "C");
    }
}

static void a_flat_year_stays_flat(void **state)
{
    double flat[12], day[SPL_NORMALS_DAYS];

    (void)state;
    for (int m = 0; m < 12; m++)
        flat[m] = -3.25;
    spl_normals_daily(flat, 50, day);
    for (int d = 0; d < SPL_NORMALS_DAYS; d++)
        expect_near(day[d], -3.25, 1e-12, "C");
}

static void days_of_the_year_leave_out_29_february(void **state)
{
    (void)state;
    assert_int_equal(spl_normals_index(spl_day_from_ymd(2027, 1, 1)), 0);
    assert_int_equal(spl_normals_index(spl_day_from_ymd(2028, 2, 28)), 58);
    assert_int_equal(spl_normals_index(spl_day_from_ymd(2028, 2, 29)), 58);
    assert_int_equal(spl_normals_index(spl_day_from_ymd(2028, 3, 1)), 59);
    assert_int_equal(spl_normals_index(spl_day_from_ymd(2027, 3, 1)), 59);
    assert_int_equal(spl_normals_index(spl_day_from_ymd(2028, 12, 31)), 364);
}

/* Ten years of days made from a known curve: mean by month's number, +-2 K on alternate days and a
 * range of 8 K; so sd is 2 and range 8 but for the curve's slope within a month. */
static GArray *made_days(int years)
{
    GArray *days = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));
    double curve[SPL_NORMALS_DAYS];

    spl_normals_daily(months, 50, curve);
    for (struct spl_day day = spl_day_from_ymd(2001, 1, 1);
         day.n < spl_day_from_ymd(2001 + years, 1, 1).n; day.n++) {
        double mean = curve[spl_normals_index(day)] + (day.n % 2 == 0 ? 2 : -2);
        struct spl_weather_day one = {day, mean - 4, mean + 4};

        g_array_append_val(days, one);
    }
    return days;
}

static void normals_come_back_out_of_days(void **state)
{
    g_autoptr(GArray) days = made_days(10);
    struct spl_normals normals;

    (void)state;
    assert_true(
        spl_normals_from_days((const struct spl_weather_day *)days->data, days->len, 5, &normals));
    for (int m = 0; m < 12; m++) {
        expect_near(normals.mean_c[m], months[m], 0.05, "C");
        expect_near(normals.range_c[m], 8, 1e-9, "K");
        expect_near(normals.sd_c[m], 2, 0.1, "K");
    }
}

static void too_few_years_give_no_normals(void **state)
{
    g_autoptr(GArray) days = made_days(3);
    struct spl_normals normals;

    (void)state;
    assert_false(
        spl_normals_from_days((const struct spl_weather_day *)days->data, days->len, 5, &normals));
    assert_true(
        spl_normals_from_days((const struct spl_weather_day *)days->data, days->len, 3, &normals));
}

static void usual_spread_turns_south_of_the_equator(void **state)
{
    struct spl_normals north, south;

    (void)state;
    spl_normals_from_means(months, FALSE, &north);
    spl_normals_from_means(months, TRUE, &south);
    expect_near(north.sd_c[0], 4.5, 1e-12, "K");
    expect_near(north.sd_c[6], 3.2, 1e-12, "K");
    expect_near(south.sd_c[6], 4.5, 1e-12, "K");
    expect_near(south.range_c[0], 11, 1e-12, "K");
    for (int m = 0; m < 12; m++)
        expect_near(south.mean_c[m], months[m], 1e-12, "C");
}

static void extremes_give_mean_and_range(void **state)
{
    double low[12], high[12];
    struct spl_normals normals;

    (void)state;
    for (int m = 0; m < 12; m++) {
        low[m] = months[m] - 3;
        high[m] = months[m] + 4;
    }
    spl_normals_from_extremes(low, high, FALSE, &normals);
    for (int m = 0; m < 12; m++) {
        expect_near(normals.mean_c[m], months[m] + 0.5, 1e-12, "C");
        expect_near(normals.range_c[m], 7, 1e-12, "K");
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(plain_lines_agree_with_the_check_values),
    cmocka_unit_test(adjusted_lines_keep_every_month),
    cmocka_unit_test(a_flat_year_stays_flat),
    cmocka_unit_test(days_of_the_year_leave_out_29_february),
    cmocka_unit_test(normals_come_back_out_of_days),
    cmocka_unit_test(too_few_years_give_no_normals),
    cmocka_unit_test(usual_spread_turns_south_of_the_equator),
    cmocka_unit_test(extremes_give_mean_and_range),
};
expect_main(tests)
