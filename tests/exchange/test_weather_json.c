/* SPDX-License-Identifier: MIT
 *
 * Weather as JSON: both forms as services write them, and what is none. Values invented.
 */
#include <glib/gstdio.h>
#include <unistd.h>

#include "exchange/weather.h"
#include "expect.h"

static char *folder;

static gboolean read_text(const char *text, struct spl_weather_file *file, GError **error)
{
    g_autofree char *path = g_build_filename(folder, "answer", NULL);

    assert_true(g_file_set_contents(path, text, -1, NULL));
    return spl_weather_file_read(path, SPL_WEATHER_UNIT_SAID, NULL, NULL, file, error);
}

static void expect_day(const struct spl_weather_file *file, guint i, int dom, double low,
                       double high)
{
    const struct spl_weather_day *day = &g_array_index(file->days, struct spl_weather_day, i);

    assert_true(i < file->days->len);
    assert_int_equal(day->day.n, spl_day_from_ymd(2027, 5, dom).n);
    expect_near(day->tmin_c, low, 1e-9, "C");
    expect_near(day->tmax_c, high, 1e-9, "C");
}

static void lists_by_column_are_read_with_their_units(void **state)
{
    static const char text[] =
        "{\"latitude\": 54.5, \"longitude\": -2.5, \"elevation\": 120, \"hourly\": {\"time\": "
        "[\"2027-05-01T00:00\"], \"wind\": [3]}, \"daily_units\": {\"time\": \"iso8601\", "
        "\"temperature_2m_max\": \"\\u00b0F\", \"temperature_2m_min\": \"\\u00b0F\"}, \"daily\": "
        "{\"time\": [\"2027-05-01\", \"2027-05-02\", \"2027-05-03\"], \"temperature_2m_max\": "
        "[59, null, 68], \"temperature_2m_min\": [41, 42, 50], \"weather\": [\"a, \\\"b\\\"\", 1, "
        "true]}}";
    struct spl_weather_file file;

    (void)state;
    assert_true(read_text(text, &file, NULL));
    assert_int_equal(file.days->len, 2); /* a day without its maximum is none */
    expect_day(&file, 0, 1, 5, 15);
    expect_day(&file, 1, 3, 10, 20);
    expect_near(file.lat, 54.5, 1e-9, "deg");
    expect_near(file.lon, -2.5, 1e-9, "deg");
    expect_near(file.elevation_m, 120, 1e-9, "m");
    spl_weather_file_clear(&file);
}

static void lists_of_rows_are_read_in_any_order(void **state)
{
    static const char text[] =
        " [{\"TMAX\": \"15.0\", \"DATE\": \"2027-05-01\", \"STATION\": \"UKM00012345\"},"
        "  {\"DATE\": \"2027-05-02\", \"STATION\": \"UKM00012345\", \"TMIN\": \"-1.5\","
        "   \"TMAX\": \" 9.5\"}]";
    struct spl_weather_file file;

    (void)state;
    assert_true(read_text(text, &file, NULL));
    assert_int_equal(file.days->len, 1);
    expect_day(&file, 0, 2, -1.5, 9.5);
    assert_string_equal(file.station, "UKM00012345");
    assert_string_equal(file.columns, "DATE, STATION, TMAX, TMIN");
    spl_weather_file_clear(&file);
    /* The same under a name. */
    assert_true(
        read_text("{\"days\": [{\"date\": \"20270504\", \"tmin\": 1, \"tmax\": 2}]}", &file, NULL));
    expect_day(&file, 0, 4, 1, 2);
    spl_weather_file_clear(&file);
}

static void what_is_no_weather_is_refused(void **state)
{
    static const struct {
        const char *text, *part;
    } bad[] = {
        {"{\"error\": true, \"reason\": \"no such place\"}", "no days with minima and maxima"},
        {"{}", "no days"},
        {"[]", "no days"},
        {"[1, 2]", "no days"},
        {"[{}]", "no days"},
        {"{\"daily\": {\"time\": [\"2027-05-01\"], \"tmax\": [1, 2], \"tmin\": [1]}}", "no days"},
        {"{\"daily\": {\"time\": [], \"tmax\": [], \"tmin\": []}}", "not one day"},
        {"{\"daily\": {\"time\": [\"2027-05-01\"", "no JSON"},
        {"{\"daily\": {\"time\": [\"2027-05-01\"], \"wind\": [3]}}", "no days"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        g_autoptr(GError) error = NULL;
        struct spl_weather_file file;

        if (read_text(bad[i].text, &file, &error))
            fail_msg("read: %s", bad[i].text);
        if (strstr(error->message, bad[i].part) == NULL)
            fail_msg("%s: '%s' does not say '%s'", bad[i].text, error->message, bad[i].part);
    }
}

static int begin(void **state)
{
    (void)state;
    folder = g_dir_make_tmp("simpling-json-XXXXXX", NULL);
    return folder == NULL;
}

static int end(void **state)
{
    g_autofree char *path = g_build_filename(folder, "answer", NULL);

    (void)state;
    g_unlink(path);
    g_rmdir(folder);
    g_free(folder);
    return 0;
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(lists_by_column_are_read_with_their_units),
    cmocka_unit_test(lists_of_rows_are_read_in_any_order),
    cmocka_unit_test(what_is_no_weather_is_refused),
};

int main(int argc, char **argv)
{
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, begin, end);
}
