/* SPDX-License-Identifier: MIT
 *
 * Degree-days of a day: the handbook's methods and cut-offs, published worked numbers, expected
 * values from a mean and its spread. */
#include "core/degree_day.h"
#include "sheet.h"

static double one(const char *method, double tmin, double tmax, double lower, double upper)
{
    enum spl_degree_day_cutoff cutoff = isnan(upper) ? SPL_CUTOFF_NONE : SPL_CUTOFF_HORIZONTAL;

    if (strcmp(method, "double_sine") == 0)
        return spl_degree_days_double(SPL_DEGREE_DAY_SINE, cutoff, tmin, tmax, tmin, lower, upper);
    if (strcmp(method, "sine") == 0)
        return spl_degree_days(SPL_DEGREE_DAY_SINE, cutoff, tmin, tmax, lower, upper);
    if (strcmp(method, "triangle") == 0)
        return spl_degree_days(SPL_DEGREE_DAY_TRIANGLE, cutoff, tmin, tmax, lower, upper);
    if (strcmp(method, "average_mean") == 0)
        return spl_degree_days(SPL_DEGREE_DAY_AVERAGE_MEAN, cutoff, tmin, tmax, lower, upper);
    if (strcmp(method, "average_extremes") == 0)
        return spl_degree_days(SPL_DEGREE_DAY_AVERAGE_EXTREMES, cutoff, tmin, tmax, lower, upper);
    if (strcmp(method, "modified") == 0)
        return spl_degree_days(SPL_DEGREE_DAY_MODIFIED, cutoff, tmin, tmax, lower, upper);
    fail_msg("no method %s", method);
    return NAN;
}

static void every_method_agrees_with_the_integral_over_the_day(void **state)
{
    static const char *const methods[] = {"average_mean", "average_extremes", "modified",
                                          "triangle", "sine"};
    g_autoptr(spl_sheet) sheet = sheet_open("degree_day.csv");
    guint checked = 0;

    (void)state;
    for (guint row = 0; row < sheet_rows(sheet); row++) {
        double tmin = sheet_number(sheet, row, "tmin"), tmax = sheet_number(sheet, row, "tmax");
        double lower = sheet_number(sheet, row, "lower"), upper = sheet_number(sheet, row, "upper");
        /* The Fahrenheit rows are printed with four decimals only. */
        double tolerance = row < 28 ? 1e-6 : 5.1e-5;

        for (guint i = 0; i < G_N_ELEMENTS(methods); i++) {
            double wanted = sheet_number(sheet, row, methods[i]);

            if (isnan(wanted))
                continue;
            checked++;
            expect_near(one(methods[i], tmin, tmax, lower, upper), wanted, tolerance,
                        "degree-days");
        }
    }
    assert_int_equal(checked, 28 * 5 + 5 * 2);
}

static void published_worked_numbers_come_out(void **state)
{
    g_autoptr(spl_sheet) sheet = sheet_open("degree_day_published.csv");

    (void)state;
    for (guint row = 0; row < sheet_rows(sheet); row++)
        expect_near(one(sheet_text(sheet, row, "method"), sheet_number(sheet, row, "tmin"),
                        sheet_number(sheet, row, "tmax"), sheet_number(sheet, row, "lower"),
                        sheet_number(sheet, row, "upper")),
                    sheet_number(sheet, row, "degree_days"), sheet_number(sheet, row, "tolerance"),
                    "degree-days");
}

static void fahrenheit_is_nine_fifths_of_celsius(void **state)
{
    (void)state;
    /* DD(F) = 1.8 DD(C) with thresholds converted as temperatures. */
    for (double tmin = -8; tmin < 32; tmin += 3.7) {
        double tmax = tmin + 9.3;

        expect_near(one("sine", tmin * 1.8 + 32, tmax * 1.8 + 32, 50, 86),
                    1.8 * one("sine", tmin, tmax, 10, 30), 1e-9, "degree-days F");
    }
}

/* Sums a day of 1,000,000 points by the definition of each cut-off. */
static double by_points(gboolean sine, enum spl_degree_day_cutoff cutoff, double tmin, double tmax,
                        double lower, double upper)
{
    const int n = 1000000;
    double sum = 0;

    for (int i = 0; i < n; i++) {
        double x = (i + 0.5) / n;
        double t = sine ? (tmin + tmax) / 2 + (tmax - tmin) / 2 * sin(2 * G_PI * x)
                        : tmin + (tmax - tmin) * (x < 0.5 ? 2 * x : 2 - 2 * x);
        double gain = MAX(t - lower, 0);

        if (t > upper && cutoff == SPL_CUTOFF_VERTICAL)
            gain = 0;
        else if (t > upper && cutoff == SPL_CUTOFF_INTERMEDIATE)
            gain = (upper - lower) - (t - upper);
        else if (t > upper && cutoff == SPL_CUTOFF_HORIZONTAL)
            gain = upper - lower;
        sum += gain;
    }
    return sum / n;
}

static void the_other_cutoffs_agree_with_a_sum_over_the_day(void **state)
{
    static const enum spl_degree_day_cutoff cutoffs[] = {
        SPL_CUTOFF_NONE, SPL_CUTOFF_HORIZONTAL, SPL_CUTOFF_INTERMEDIATE, SPL_CUTOFF_VERTICAL};
    static const double days[][2] = {{2, 33}, {12, 34}, {31, 38}, {8, 20}, {-2, 3}};

    (void)state;
    for (guint c = 0; c < G_N_ELEMENTS(cutoffs); c++) {
        for (guint d = 0; d < G_N_ELEMENTS(days); d++) {
            expect_near(
                spl_degree_days(SPL_DEGREE_DAY_SINE, cutoffs[c], days[d][0], days[d][1], 5, 30),
                by_points(TRUE, cutoffs[c], days[d][0], days[d][1], 5, 30), 1e-4, "degree-days");
            expect_near(
                spl_degree_days(SPL_DEGREE_DAY_TRIANGLE, cutoffs[c], days[d][0], days[d][1], 5, 30),
                by_points(FALSE, cutoffs[c], days[d][0], days[d][1], 5, 30), 1e-4, "degree-days");
        }
    }
}

static void what_cannot_be_reckoned_is_no_number(void **state)
{
    const enum spl_degree_day_method sine = SPL_DEGREE_DAY_SINE;

    (void)state;
    assert_true(isnan(spl_degree_days(sine, SPL_CUTOFF_HORIZONTAL, 10, 9, 5, 30)));
    assert_true(isnan(spl_degree_days(sine, SPL_CUTOFF_HORIZONTAL, 1, 9, 30, 30)));
    assert_true(isnan(spl_degree_days(sine, SPL_CUTOFF_HORIZONTAL, NAN, 9, 5, 30)));
    assert_true(isnan(spl_degree_days(sine, SPL_CUTOFF_HORIZONTAL, 1, INFINITY, 5, 30)));
    assert_true(isnan(spl_degree_days(sine, SPL_CUTOFF_HORIZONTAL, 1, 9, 5, NAN)));
    assert_true(
        isnan(spl_degree_days(SPL_DEGREE_DAY_AVERAGE_MEAN, SPL_CUTOFF_VERTICAL, 1, 9, 5, 30)));
    assert_true(
        isnan(spl_degree_days(SPL_DEGREE_DAY_MODIFIED, SPL_CUTOFF_INTERMEDIATE, 1, 9, 5, 30)));
    assert_true(isnan(spl_degree_days_double(sine, SPL_CUTOFF_NONE, 1, 9, 10, 5, NAN)));
}

static void expected_excess_agrees_with_quadrature(void **state)
{
    g_autoptr(spl_sheet) sheet = sheet_open("expected_excess.csv");

    (void)state;
    assert_int_equal(sheet_rows(sheet), 12);
    for (guint row = 0; row < sheet_rows(sheet); row++) {
        double mean = sheet_number(sheet, row, "mean"), sd = sheet_number(sheet, row, "sd");
        double lower = sheet_number(sheet, row, "lower"), upper = sheet_number(sheet, row, "upper");

        expect_near(spl_expected_excess(mean, sd, lower), sheet_number(sheet, row, "excess"), 6e-7,
                    "degree-days");
        expect_near(spl_expected_degree_days(mean, sd, lower, upper),
                    sheet_number(sheet, row, "with_cutoff"), 6e-7, "degree-days");
        expect_near(spl_expected_excess(mean, 0, lower), sheet_number(sheet, row, "plain"), 1e-12,
                    "degree-days");
    }
    /* At the base itself: sd / sqrt(2 pi). */
    expect_near(spl_expected_excess(5, 3, 5), 3 * 0.3989422804, 1e-9, "degree-days");
    /* Variance of a sine of amplitude 5 is 12.5; with 4^2: sqrt(28.5). */
    expect_near(spl_expected_sd(4, 10), 5.338539126, 1e-9, "K");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_method_agrees_with_the_integral_over_the_day),
    cmocka_unit_test(published_worked_numbers_come_out),
    cmocka_unit_test(fahrenheit_is_nine_fifths_of_celsius),
    cmocka_unit_test(the_other_cutoffs_agree_with_a_sum_over_the_day),
    cmocka_unit_test(what_cannot_be_reckoned_is_no_number),
    cmocka_unit_test(expected_excess_agrees_with_quadrature),
};
expect_main(tests)
