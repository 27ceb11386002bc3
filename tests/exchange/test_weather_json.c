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

/* Hours of `days` days from 1 May 2027 on, in rows: 5 degrees at 4 o'clock, 15 at 14, 10 else; of
 * the second day those from `gap_from` on are missing, `gap` of them. */
static char *hours(const char *offset, int days, int gap_from, int gap, const char *beside)
{
    GString *text = g_string_new("{\"weather\": [");

    for (int dom = 1; dom <= days; dom++) {
        for (int hour = 0; hour < 24; hour++) {
            if (dom == 2 && hour >= gap_from && hour < gap_from + gap)
                continue;
            g_string_append_printf(
                text,
                "%s{\"timestamp\": \"2027-05-%02dT%02d:00:00%s\", \"source_id\": 7, "
                "\"wind_speed\": 3.5, \"temperature\": %d}",
                dom + hour == 1 ? "" : ", ", dom, hour, offset,
                hour == 4    ? 5
                : hour == 14 ? 15
                             : 10);
        }
    }
    g_string_append_printf(text, "]%s}", beside);
    return g_string_free(text, FALSE);
}

/* As asked for with tz=Europe/Berlin: the hours are local as they stand. */
static void hours_are_made_into_days_of_the_place(void **state)
{
    g_autofree char *text =
        hours("+02:00", 3, 9, 2,
              ", \"sources\": [{\"id\": 7, \"lat\": 50.1, \"lon\": 8.6, \"height\": 112, "
              "\"observation_type\": \"historical\"}]");
    struct spl_weather_file file;

    (void)state;
    assert_true(read_text(text, &file, NULL));
    assert_int_equal(file.days->len, 3); /* two hours are missing on the 2nd: it counts */
    for (int dom = 1; dom <= 3; dom++)
        expect_day(&file, (guint)dom - 1, dom, 5, 15);
    expect_near(file.lat, 50.1, 1e-9, "deg");
    expect_near(file.lon, 8.6, 1e-9, "deg");
    expect_near(file.elevation_m, 112, 1e-9, "m");
    spl_weather_file_clear(&file);
}

static void a_day_that_misses_hours_has_no_extremes(void **state)
{
    static const int gaps[][2] = {{0, 3}, {9, 3}, {21, 3}, {4, 20}};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(gaps); i++) {
        g_autofree char *text = hours("+02:00", 3, gaps[i][0], gaps[i][1], "");
        struct spl_weather_file file;

        assert_true(read_text(text, &file, NULL));
        assert_int_equal(file.days->len, 2);
        expect_day(&file, 0, 1, 5, 15);
        expect_day(&file, 1, 3, 5, 15);
        spl_weather_file_clear(&file);
    }
}

/*
 * In UTC at 175 degrees east the sun is twelve hours ahead: 4 o'clock UTC is the afternoon, 14 the
 * small hours of the next day. The first twelve hours end up on 1 May, which is half a day then,
 * and the last twelve on the 4th.
 */
static void hours_in_utc_are_moved_to_the_place(void **state)
{
    static const char *const beside[] = {
        ", \"latitude\": -41.3, \"longitude\": 175, \"elevation\": 4", ""};

    (void)state;
    for (int known = 1; known >= 0; known--) {
        g_autofree char *text = hours(known ? "Z" : "+00:00", 3, 0, 0, beside[!known]);
        struct spl_weather_file file;

        assert_true(read_text(text, &file, NULL));
        assert_int_equal(file.days->len, known ? 2 : 3);
        expect_day(&file, 0, known ? 2 : 1, 5, 15);
        spl_weather_file_clear(&file);
    }
}

static void hours_in_columns_and_fahrenheit(void **state)
{
    g_autoptr(GString) times = g_string_new(NULL), degrees = g_string_new(NULL);
    g_autofree char *text = NULL;
    struct spl_weather_file file;

    (void)state;
    for (int hour = 0; hour < 24; hour++) {
        g_string_append_printf(times, "%s\"2027-05-01T%02d:00\"", hour == 0 ? "" : ", ", hour);
        g_string_append_printf(degrees, "%s%s", hour == 0 ? "" : ", ",
                               hour == 5    ? "41"
                               : hour == 15 ? "59"
                               : hour == 20 ? "null"
                                            : "50");
    }
    text = g_strdup_printf("{\"utc_offset_seconds\": -14400, \"longitude\": -71.3, \"latitude\": "
                           "42.4, \"hourly_units\": {\"temperature_2m\": \"\u00b0F\"}, "
                           "\"hourly\": {\"time\": [%s], \"temperature_2m\": [%s]}}",
                           times->str, degrees->str);
    assert_true(read_text(text, &file, NULL));
    assert_int_equal(file.days->len, 1);
    expect_day(&file, 0, 1, 5, 15);
    spl_weather_file_clear(&file);
}

/* The night that begins on the 1st is the 2nd's minimum. */
static void days_and_nights_of_a_forecast(void **state)
{
    static const char text[] =
        "{\"properties\": {\"units\": \"us\", \"periods\": ["
        "{\"startTime\": \"2027-05-01T13:00:00-04:00\", \"endTime\": "
        "\"2027-05-01T18:00:00-04:00\", "
        "\"isDaytime\": true, \"temperature\": 68, \"temperatureUnit\": \"F\"},"
        "{\"startTime\": \"2027-05-01T18:00:00-04:00\", \"endTime\": "
        "\"2027-05-02T06:00:00-04:00\", "
        "\"isDaytime\": false, \"temperature\": 41, \"temperatureUnit\": \"F\"},"
        "{\"startTime\": \"2027-05-02T06:00:00-04:00\", \"endTime\": "
        "\"2027-05-02T18:00:00-04:00\", "
        "\"isDaytime\": true, \"temperature\": 59, \"temperatureUnit\": \"F\"}]}}";
    g_autoptr(GString) hourly = g_string_new("{\"properties\": {\"periods\": [");
    struct spl_weather_file file, hours_file;

    (void)state;
    assert_true(read_text(text, &file, NULL));
    assert_int_equal(file.days->len, 1);
    expect_day(&file, 0, 2, 5, 15);
    spl_weather_file_clear(&file);
    /* the same service's hours */
    for (int hour = 0; hour < 24; hour++)
        g_string_append_printf(hourly,
                               "%s{\"startTime\": \"2027-05-%02dT%02d:00:00-04:00\", \"endTime\": "
                               "\"2027-05-%02dT%02d:00:00-04:00\", \"isDaytime\": %s, "
                               "\"temperature\": %d, \"temperatureUnit\": \"F\"}",
                               hour == 0 ? "" : ", ", 1, hour, 1 + hour / 23, (hour + 1) % 24,
                               hour >= 6 && hour < 18 ? "true" : "false",
                               hour == 4    ? 41
                               : hour == 14 ? 59
                                            : 50);
    g_string_append(hourly, "]}}");
    assert_true(read_text(hourly->str, &hours_file, NULL));
    assert_int_equal(hours_file.days->len, 1);
    expect_day(&hours_file, 0, 1, 5, 15);
    spl_weather_file_clear(&hours_file);
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
        {"{\"weather\": [{\"timestamp\": \"2027-05-01T00:00:00Z\", \"temperature\": 3}]}",
         "not one day"},
        {"{\"weather\": [{\"timestamp\": \"yesterday:\", \"temperature\": 3}]}", "no days"},
        {"{\"hourly\": {\"time\": [\"2027-05-01T00:00\"], \"temperature\": []}}", "no days"},
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
    cmocka_unit_test(hours_are_made_into_days_of_the_place),
    cmocka_unit_test(a_day_that_misses_hours_has_no_extremes),
    cmocka_unit_test(hours_in_utc_are_moved_to_the_place),
    cmocka_unit_test(hours_in_columns_and_fahrenheit),
    cmocka_unit_test(days_and_nights_of_a_forecast),
    cmocka_unit_test(what_is_no_weather_is_refused),
};

int main(int argc, char **argv)
{
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, begin, end);
}
