/* SPDX-License-Identifier: MIT
 *
 * Whole-season degree-days of Seattle and New York 2012-2015 (npm vega-datasets, data/weather.csv,
 * NOAA's days) against sums by an independent program. Skipped when the package is not installed.
 */
#include "core/degree_day.h"
#include "sheet.h"
#include "simpling/day.h"

#define WEATHER "build/node/node_modules/vega-datasets/data/weather.csv"

static double of(enum spl_degree_day_method method, const spl_sheet *days, guint row, double lower,
                 double upper)
{
    return spl_degree_days(method, SPL_CUTOFF_HORIZONTAL, sheet_number(days, row, "temp_min"),
                           sheet_number(days, row, "temp_max"), lower, upper);
}

static void season_sums_agree_with_an_independent_program(void **state)
{
    static const double sums_wanted[] = {100, 200, 500};
    static const char *const columns[] = {"day_100", "day_200", "day_500"};
    g_autofree char *path = g_build_filename(SPL_SOURCE_DIR, WEATHER, NULL);
    g_autoptr(spl_sheet) days = sheet_open_path(path);
    g_autoptr(spl_sheet) wanted = sheet_open("season_sums.csv");

    (void)state;
    assert_non_null(days);
    for (guint w = 0; w < sheet_rows(wanted); w++) {
        double lower = sheet_number(wanted, w, "lower"), upper = sheet_number(wanted, w, "upper");
        double average = 0, modified = 0, triangle = 0, sine = 0;
        int reached[3] = {0, 0, 0}, n = 0;

        for (guint row = 0; row < sheet_rows(days); row++) {
            const char *date = sheet_text(days, row, "date");
            struct spl_day day;

            if (strcmp(sheet_text(days, row, "location"), sheet_text(wanted, w, "place")) != 0 ||
                strncmp(date, sheet_text(wanted, w, "year"), 4) != 0)
                continue;
            n++;
            assert_true(spl_day_parse(date, "date", &day, NULL));
            average += of(SPL_DEGREE_DAY_AVERAGE_EXTREMES, days, row, lower, upper);
            modified += of(SPL_DEGREE_DAY_MODIFIED, days, row, lower, upper);
            triangle += of(SPL_DEGREE_DAY_TRIANGLE, days, row, lower, upper);
            sine += of(SPL_DEGREE_DAY_SINE, days, row, lower, upper);
            for (int i = 0; i < 3; i++) {
                if (reached[i] == 0 && sine >= sums_wanted[i])
                    reached[i] = spl_day_of_year(day);
            }
        }
        assert_true(n >= 365);
        expect_near(average, sheet_number(wanted, w, "average_extremes"), 6e-4, "degree-days");
        expect_near(modified, sheet_number(wanted, w, "modified"), 6e-4, "degree-days");
        expect_near(triangle, sheet_number(wanted, w, "triangle"), 6e-4, "degree-days");
        expect_near(sine, sheet_number(wanted, w, "sine"), 6e-4, "degree-days");
        for (int i = 0; i < 3; i++)
            assert_int_equal(reached[i], (int)sheet_number(wanted, w, columns[i]));
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(season_sums_agree_with_an_independent_program),
};

int main(void)
{
    g_autofree char *path = g_build_filename(SPL_SOURCE_DIR, WEATHER, NULL);

    if (!g_file_test(path, G_FILE_TEST_EXISTS))
        return 77;
    return cmocka_run_group_tests(tests, NULL, NULL);
}
