/* SPDX-License-Identifier: MIT
 *
 * Weather files of the world: Seattle's and New York's days (npm vega-datasets, NOAA). Skipped
 * without the npm package. */
#include "exchange/weather.h"
#include "expect.h"

#define VEGA SPL_SOURCE_DIR "/build/node/node_modules/vega-datasets/data/weather.csv"

static void expect_day_of(const struct spl_weather_file *file, guint i, int y, int m, int d,
                          double low, double high)
{
    const struct spl_weather_day *day = &g_array_index(file->days, struct spl_weather_day, i);

    assert_int_equal(day->day.n, spl_day_from_ymd(y, m, d).n);
    expect_near(day->tmin_c, low, 1e-9, "C");
    expect_near(day->tmax_c, high, 1e-9, "C");
}

static void two_stations_in_one_table(void **state)
{
    struct spl_weather_file file;
    g_autoptr(GError) error = NULL;
    GError *refused = NULL;

    (void)state;
    assert_false(spl_weather_file_read(VEGA, SPL_WEATHER_UNIT_SAID, NULL, NULL, &file, &refused));
    expect_error(refused, SPL_ERROR_AMBIGUOUS, "'Seattle', 'New York'");
    if (!spl_weather_file_read(VEGA, SPL_WEATHER_UNIT_SAID, "seattle", NULL, &file, &error))
        fail_msg("%s", error->message);
    /* 2012-2015 is 1461 days; no day of it is impossible. */
    assert_int_equal(file.days->len, 1461);
    assert_int_equal(file.left->len, 0);
    expect_day_of(&file, 0, 2012, 1, 1, 5.0, 12.8);
    expect_day_of(&file, 1, 2012, 1, 2, 2.8, 10.6);
    spl_weather_file_clear(&file);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(two_stations_in_one_table),
};

int main(void)
{
    if (!g_file_test(VEGA, G_FILE_TEST_EXISTS))
        return 77;
    return cmocka_run_group_tests(tests, NULL, NULL);
}
