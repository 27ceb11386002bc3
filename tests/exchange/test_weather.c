/* SPDX-License-Identifier: MIT
 *
 * Weather files: every format by hand, units, stations, missing and failed values, bad files.
 */
#include <glib/gstdio.h>
#include <unistd.h>

#include "exchange/weather.h"
#include "expect.h"

static char *folder;

static char *file_of(const char *text)
{
    char *path = g_build_filename(folder, "weather.csv", NULL);

    if (!g_file_set_contents(path, text, -1, NULL))
        fail_msg("cannot write %s", path);
    return path;
}

static gboolean read_as(const char *text, enum spl_weather_unit unit, const char *station,
                        struct spl_weather_file *out, GError **error)
{
    g_autofree char *path = file_of(text);

    return spl_weather_file_read(path, unit, station, NULL, out, error);
}

static void read_ok(const char *text, enum spl_weather_unit unit, const char *station,
                    struct spl_weather_file *out)
{
    g_autoptr(GError) error = NULL;

    if (!read_as(text, unit, station, out, &error))
        fail_msg("%s", error->message);
}

static void expect_row(const struct spl_weather_file *file, guint i, const char *date, double low,
                       double high)
{
    const struct spl_weather_day *day = &g_array_index(file->days, struct spl_weather_day, i);
    char text[SPL_DAY_TEXT_SIZE];

    assert_true(i < file->days->len);
    assert_string_equal(spl_day_format(day->day, text), date);
    expect_near(day->tmin_c, low, 1e-9, "C");
    expect_near(day->tmax_c, high, 1e-9, "C");
}

static void plain_tables_are_read_under_many_headings(void **state)
{
    static const char *const heads[] = {"date,tmin,tmax",
                                        "Date;Min;Max",
                                        "day,temp_min,temp_max",
                                        "DATE,TMIN,TMAX",
                                        "time,Minimum temperature (°C),Maximum temperature (°C)",
                                        "date,tmin_c,tmax_c",
                                        "date,Tn,Tx",
                                        "Date,daily minimum temperature,daily maximum temperature"};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(heads); i++) {
        const char *mark = strchr(heads[i], ';') != NULL ? ";" : ",";
        g_autofree char *text = g_strdup_printf("%s\n2027-03-01%s-1.5%s8\n2027-03-02%s0%s9.5\n",
                                                heads[i], mark, mark, mark, mark);
        struct spl_weather_file file;

        read_ok(text, SPL_WEATHER_UNIT_SAID, NULL, &file);
        assert_int_equal(file.days->len, 2);
        expect_row(&file, 0, "2027-03-01", -1.5, 8);
        expect_row(&file, 1, "2027-03-02", 0, 9.5);
        assert_null(file.station);
        assert_false(file.has_normals);
        spl_weather_file_clear(&file);
    }
}

static void other_columns_are_no_temperatures(void **state)
{
    struct spl_weather_file file;

    (void)state;
    read_ok("\xEF\xBB\xBF"
            "date,min wind,precipitation,temp_max,temp_min,max gust\n"
            "20270301,3,1,12.8,5.0,9\n2027-03-02T00:00,3,1,NA,2,9\n2027-03-03,3,1,9,-9999,9\n",
            SPL_WEATHER_UNIT_SAID, NULL, &file);
    assert_int_equal(file.days->len, 1);
    expect_row(&file, 0, "2027-03-01", 5, 12.8);
    spl_weather_file_clear(&file);
}

static void fahrenheit_counts_when_it_is_said(void **state)
{
    struct spl_weather_file file;

    (void)state;
    read_ok("date,tmin (F),tmax (F)\n2027-03-01,32,50\n", SPL_WEATHER_UNIT_SAID, NULL, &file);
    expect_row(&file, 0, "2027-03-01", 0, 10);
    spl_weather_file_clear(&file);
    read_ok("date,tmin,tmax\n2027-03-01,-40,212\n", SPL_WEATHER_UNIT_TENTHS, NULL, &file);
    expect_row(&file, 0, "2027-03-01", -4, 21.2);
    spl_weather_file_clear(&file);
    read_ok("date,tmin,tmax\n2027-03-01,14,68\n", SPL_WEATHER_UNIT_F, NULL, &file);
    expect_row(&file, 0, "2027-03-01", -10, 20);
    spl_weather_file_clear(&file);
}

/* A .dly line as NOAA's readme lays it out: ID 1-11, YEAR 12-15, MONTH 16-17, ELEMENT 18-21, then
 * 31 times VALUE (5), MFLAG, QFLAG, SFLAG. */
static char *dly_line(const char *element, const int tenths[31], int failed)
{
    GString *line = g_string_new("XX000000001202702");

    g_string_append(line, element);
    for (int i = 0; i < 31; i++)
        g_string_append_printf(line, "%5d %c7", tenths[i], i == failed ? 'I' : ' ');
    g_string_append_c(line, '\n');
    return g_string_free(line, FALSE);
}

static void dly_files_are_read(void **state)
{
    g_autofree char *low = NULL, *high = NULL, *rain = NULL, *text = NULL;
    struct spl_weather_file file;
    int lows[31], highs[31];

    (void)state;
    for (int i = 0; i < 31; i++) {
        lows[i] = i < 28 ? -50 + i : -9999;
        highs[i] = i < 28 ? 40 + i : -9999;
    }
    lows[3] = -9999;
    low = dly_line("TMIN", lows, -1);
    high = dly_line("TMAX", highs, 5);
    rain = dly_line("PRCP", highs, -1);
    text = g_strconcat(rain, high, low, NULL);
    read_ok(text, SPL_WEATHER_UNIT_SAID, NULL, &file);
    assert_string_equal(file.station, "XX000000001");
    assert_int_equal(file.flagged, 1);
    assert_int_equal(file.days->len, 26); /* without the 4th and the 6th */
    expect_row(&file, 0, "2027-02-01", -5, 4);
    expect_row(&file, 3, "2027-02-05", -4.6, 4.4);
    expect_row(&file, 25, "2027-02-28", -2.3, 6.7);
    spl_weather_file_clear(&file);
}

static void a_dly_value_on_30_february_is_refused(void **state)
{
    g_autofree char *text = NULL;
    struct spl_weather_file file;
    GError *error = NULL;
    int lows[31] = {0};

    (void)state;
    text = dly_line("TMIN", lows, -1);
    assert_false(read_as(text, SPL_WEATHER_UNIT_SAID, NULL, &file, &error));
    expect_error(error, SPL_ERROR_INVALID, "does not exist");
}

static void ghcn_csv_is_read_with_and_without_headings(void **state)
{
    struct spl_weather_file file;

    (void)state;
    read_ok("\"STATION\",\"DATE\",\"LATITUDE\",\"LONGITUDE\",\"ELEVATION\",\"NAME\",\"PRCP\","
            "\"PRCP_ATTRIBUTES\",\"TMAX\",\"TMAX_ATTRIBUTES\",\"TMIN\",\"TMIN_ATTRIBUTES\"\n"
            "\"XX000000001\",\"2027-03-01\",\"54.1\",\"-2.2\",\"180.5\",\"INVENTED MOOR, XX\","
            "\"    3\",\",,E\",\"  101\",\",,E\",\"  -12\",\",,E\"\n"
            "\"XX000000001\",\"2027-03-02\",\"54.1\",\"-2.2\",\"180.5\",\"INVENTED MOOR, XX\","
            "\"    3\",\",,E\",\"  290\",\",G,E\",\"  -12\",\",,E\"\n",
            SPL_WEATHER_UNIT_SAID, NULL, &file);
    assert_string_equal(file.station, "INVENTED MOOR, XX");
    expect_near(file.lat, 54.1, 1e-9, "degrees");
    expect_near(file.lon, -2.2, 1e-9, "degrees");
    expect_near(file.elevation_m, 180.5, 1e-9, "m");
    assert_int_equal(file.days->len, 1);
    assert_int_equal(file.flagged, 1);
    expect_row(&file, 0, "2027-03-01", -1.2, 10.1);
    spl_weather_file_clear(&file);

    read_ok("XX000000001,20270301,TMAX,101,,,E,\nXX000000001,20270301,PRCP,3,,,E,0700\n"
            "XX000000001,20270301,TMIN,-12,,,E,\nXX000000001,20270302,TMAX,50,,X,E,\n"
            "XX000000001,20270302,TMIN,-12,,,E,\n",
            SPL_WEATHER_UNIT_SAID, NULL, &file);
    assert_string_equal(file.station, "XX000000001");
    assert_int_equal(file.days->len, 1);
    assert_int_equal(file.flagged, 1);
    expect_row(&file, 0, "2027-03-01", -1.2, 10.1);
    spl_weather_file_clear(&file);
}

/*
 * A file of a whole year holds all stations of the earth: it is read line by line, whatever its
 * size, and only the station that is meant is kept. Here it is longer than what is read at once,
 * its lines end like a DOS file's, and the last without an end.
 */
static void one_station_is_taken_out_of_a_whole_year(void **state)
{
    GString *text = g_string_new(NULL);
    struct spl_weather_file file;
    GError *error = NULL;

    (void)state;
    for (int day = 1; day <= 31; day++) {
        for (int station = 1; station <= 99; station++)
            g_string_append_printf(text,
                                   "XX0000000%02d,202703%02d,TMAX,%d,,,E,\r\n"
                                   "XX0000000%02d,202703%02d,PRCP,0,,,E,\r\n"
                                   "XX0000000%02d,202703%02d,TMIN,%d,,,E,%s",
                                   station, day, 100 + station, station, day, station, day, station,
                                   day == 31 && station == 99 ? "" : "\r\n");
    }
    assert_true(text->len > 3 * 65536);
    for (int station = 1; station <= 99; station += 49) {
        g_autofree char *id = g_strdup_printf("xx0000000%02d", station);

        read_ok(text->str, SPL_WEATHER_UNIT_SAID, id, &file);
        assert_int_equal(file.days->len, 31);
        expect_row(&file, 30, "2027-03-31", station / 10.0, 10 + station / 10.0);
        spl_weather_file_clear(&file);
    }
    assert_false(read_as(text->str, SPL_WEATHER_UNIT_SAID, NULL, &file, &error));
    expect_error(error, SPL_ERROR_AMBIGUOUS, "'XX000000001', 'XX000000002'");
    assert_false(read_as(text->str, SPL_WEATHER_UNIT_SAID, "Low Mill", &file, &error));
    expect_error(error, SPL_ERROR_AMBIGUOUS, "91 more");
    /* one alone bears any name */
    g_string_truncate(text, strcspn(text->str, "\n") + 1);
    g_string_append(text, "XX000000001,20270301,TMIN,10,,,E,\n");
    read_ok(text->str, SPL_WEATHER_UNIT_SAID, "Low Mill", &file);
    assert_int_equal(file.days->len, 1);
    spl_weather_file_clear(&file);
    /* no text */
    for (int i = 0; i < 70000; i++)
        g_string_append_c(text, 'x');
    assert_false(read_as(text->str, SPL_WEATHER_UNIT_SAID, "Low Mill", &file, &error));
    expect_error(error, SPL_ERROR_INVALID, ":3: a line without an end");
    g_string_free(text, TRUE);
}

static void one_of_several_stations_is_chosen(void **state)
{
    static const char *const text = "location,date,tmin,tmax\nLow Mill,2027-03-01,1,5\n"
                                    "High Moor,2027-03-01,-1,3\nLow Mill,2027-03-02,2,6\n";
    struct spl_weather_file file;
    GError *error = NULL;

    (void)state;
    assert_false(read_as(text, SPL_WEATHER_UNIT_SAID, NULL, &file, &error));
    expect_error(error, SPL_ERROR_AMBIGUOUS, "'Low Mill', 'High Moor'");
    assert_false(read_as(text, SPL_WEATHER_UNIT_SAID, "Town", &file, &error));
    expect_error(error, SPL_ERROR_AMBIGUOUS, "choose one");
    read_ok(text, SPL_WEATHER_UNIT_SAID, "low mill", &file);
    assert_string_equal(file.station, "Low Mill");
    assert_int_equal(file.days->len, 2);
    spl_weather_file_clear(&file);
}

static void monthly_normals_are_read(void **state)
{
    struct spl_weather_file file;

    (void)state;
    read_ok("1.7 3.2 7.6 13.4 18.5 23.2\n25.7 24.9 21.0 14.7 9.1 4.2\n", SPL_WEATHER_UNIT_SAID,
            NULL, &file);
    assert_true(file.has_normals);
    expect_near(file.mean_c[0], 1.7, 1e-9, "C");
    expect_near(file.mean_c[11], 4.2, 1e-9, "C");
    assert_true(isnan(file.range_c[0]));
    spl_weather_file_clear(&file);

    read_ok(
        "month,tmin,tmax\nJanuary,0,6\n2,0,6\n3,0,6\n4,0,6\n5,0,6\n6,0,6\n7,8,18\n8,0,6\n9,0,6\n"
        "10,0,6\n11,0,6\nDec,-1,5\n",
        SPL_WEATHER_UNIT_SAID, NULL, &file);
    assert_true(file.has_normals);
    expect_near(file.mean_c[6], 13, 1e-9, "C");
    expect_near(file.range_c[6], 10, 1e-9, "K");
    spl_weather_file_clear(&file);
    read_ok("32,32,32,32,32,50,50,50,50,32,32,32", SPL_WEATHER_UNIT_F, NULL, &file);
    expect_near(file.mean_c[5], 10, 1e-9, "C");
    spl_weather_file_clear(&file);
}

static void bad_files_are_refused_by_name(void **state)
{
    static const struct {
        const char *text;
        int code;
        const char *part;
    } bad[] = {
        {"date,tmin\n2027-03-01,1\n", SPL_ERROR_INVALID, "maxima"},
        {"tmin,tmax\n1,2\n", SPL_ERROR_INVALID, "days"},
        {"date,tmin,tmax\n2027-02-29,1,2\n", SPL_ERROR_INVALID, "2027-02-29"},
        {"date,tmin,tmax\n03/01/2027,1,2\n", SPL_ERROR_INVALID, "2027-05-04"},
        {"date,tmin,tmax\n2027-03-01,warm,2\n", SPL_ERROR_INVALID, "weather.csv:2"},
        {"date,tmin,tmax\n2027-07-01,55,90\n2027-07-02,58,91\n", SPL_ERROR_INVALID, "say the unit"},
        {"date,tmin,tmax,max temp\n2027-07-01,5,9,9\n", SPL_ERROR_INVALID, "seem to mean the same"},
        {"date,tmin (C),tmax (F)\n2027-07-01,5,9\n", SPL_ERROR_INVALID, "both"},
        {"date,tmin,tmax\n", SPL_ERROR_INVALID, "not one day"},
        {"date,tmin,tmax\n2027-07-01,NA,NA\n", SPL_ERROR_INVALID, "not one day"},
        {"1 2 3 4 5 6 7 8 9 10 11\n", SPL_ERROR_INVALID, "11 bare numbers"},
        {"month,mean\n1,5\n1,5\n", SPL_ERROR_INVALID, "twice"},
        {"month,mean\n1,5\n2,5\n", SPL_ERROR_INVALID, "twelve"},
        {"month,mean\n13,5\n", SPL_ERROR_INVALID, "no month"},
        {"", SPL_ERROR_INVALID, "weather.csv"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        struct spl_weather_file file;
        GError *error = NULL;

        if (read_as(bad[i].text, SPL_WEATHER_UNIT_SAID, NULL, &file, &error))
            fail_msg("'%s' was read", bad[i].text);
        expect_error(error, bad[i].code, bad[i].part);
    }
}

static void what_is_no_file_is_refused(void **state)
{
    struct spl_weather_file file;
    GError *error = NULL;

    (void)state;
    assert_false(spl_weather_file_read("/nowhere/at/all.csv", SPL_WEATHER_UNIT_SAID, NULL, NULL,
                                       &file, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "/nowhere/at/all.csv");
    assert_false(spl_weather_file_read(folder, SPL_WEATHER_UNIT_SAID, NULL, NULL, &file, &error));
    assert_non_null(error);
    g_clear_error(&error);
    assert_false(read_as("XX000000001202702TMIN  -50  7\nnonsense\n", SPL_WEATHER_UNIT_SAID, NULL,
                         &file, &error));
    expect_error(error, SPL_ERROR_INVALID, ":2:");
}

static void impossible_days_are_listed(void **state)
{
    struct spl_weather_file file;

    (void)state;
    read_ok("date,tmin,tmax\n2027-03-01,9,5\n2027-03-02,1,5\n2027-03-02,1,7\n2027-03-05,1,5\n",
            SPL_WEATHER_UNIT_SAID, NULL, &file);
    assert_int_equal(file.days->len, 2);
    assert_int_equal(file.left->len, 2);
    expect_row(&file, 0, "2027-03-02", 1, 5);
    spl_weather_file_clear(&file);
}

static void tables_as_spreadsheets_write_them_are_read(void **state)
{
    static const char *const texts[] = {
        "Datum;Minimum;Maximum\n1.5.2027;-1,5;12,25\n02.05.2027;3;11\n",
        "\xef\xbb\xbfTag;Tiefstwert (\u00b0C);H\u00f6chstwert "
        "(\u00b0C)\r\n01.05.2027;-1,5;12,25\r\n02.05.2027;3;11\r\n",
        /* Windows-1252 */
        "Datum;Tiefsttemperatur;H\xf6"
        "chsttemperatur\n01.05.2027;-1,5;12,25\n02.05.2027;3;11\n",
        /* What DWD, MeteoSwiss and a forecast service give, with their head lines. */
        "STATIONS_ID;MESS_DATUM;QN_3; TXK; TNK;eor\n  1234;20270501;3;12.25;-1.5;eor\n"
        "  1234;20270502;3;11;3;eor\n",
        "station_abbr;reference_timestamp;tre200d0;tre200dx;tre200dn\nABC;01.05.2027 "
        "00:00;5;12.25;-1.5\nABC;02.05.2027 00:00;7;11;3\n",
        "latitude,longitude,elevation,utc_offset_seconds\n47.5,7.6,316,3600\n\n"
        "time,temperature_2m_max (\u00b0C),temperature_2m_min (\u00b0C)\n2027-05-01,12.25,-1.5\n"
        "2027-05-02,11,3\n",
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(texts); i++) {
        struct spl_weather_file file;

        read_ok(texts[i], SPL_WEATHER_UNIT_SAID, NULL, &file);
        assert_int_equal(file.days->len, 2);
        expect_row(&file, 0, "2027-05-01", -1.5, 12.25);
        expect_row(&file, 1, "2027-05-02", 3, 11);
        spl_weather_file_clear(&file);
    }
}

static void normals_with_decimal_commas_are_read(void **state)
{
    struct spl_weather_file file;

    (void)state;
    read_ok("1,3 2,1 5,8 10 14,1 17,5 19,4 19 14,6 9,8 5,2 2,2\n", SPL_WEATHER_UNIT_SAID, NULL,
            &file);
    expect_near(file.mean_c[0], 1.3, 1e-12, "C");
    expect_near(file.mean_c[11], 2.2, 1e-12, "C");
    spl_weather_file_clear(&file);
    read_ok("Monat;Mittel\nJ\u00e4nner;1,3\nFeb;2\nM\u00e4rz;6\nApr;10\nMai;14\nJuni;17\nJuli;"
            "19\nAug;19\n"
            "Sept;15\nOkt;10\nNov;5\nDez;2\n",
            SPL_WEATHER_UNIT_SAID, NULL, &file);
    expect_near(file.mean_c[0], 1.3, 1e-12, "C");
    expect_near(file.mean_c[4], 14, 1e-12, "C");
    expect_near(file.mean_c[9], 10, 1e-12, "C");
    spl_weather_file_clear(&file);
}

static void bad_rows_are_left_out_and_named(void **state)
{
    struct spl_weather_file file;

    (void)state;
    read_ok("date,tmin,tmax\n2027-03-01,1,5\n2026-02-30,1,5\n2027-03-02,abc,5\n2027-03-03,1\n"
            "2027-03-04,2,6\n",
            SPL_WEATHER_UNIT_SAID, NULL, &file);
    assert_int_equal(file.days->len, 2);
    assert_int_equal(file.left->len, 3);
    assert_non_null(strstr(g_array_index(file.left, struct spl_weather_left, 0).why, ":3:"));
    assert_non_null(strstr(g_array_index(file.left, struct spl_weather_left, 1).why, "abc"));
    assert_non_null(strstr(g_array_index(file.left, struct spl_weather_left, 2).why, ":5:"));
    expect_row(&file, 1, "2027-03-04", 2, 6);
    spl_weather_file_clear(&file);
}

/* A spring of 41 to 59 degrees is none in Celsius; the same numbers said to be Fahrenheit are read.
 */
static void fahrenheit_is_noticed_by_its_shape(void **state)
{
    g_autoptr(GString) text = g_string_new("date,tmin,tmax\n"),
                       wide = g_string_new("date,tmin,tmax\n");
    struct spl_weather_file file;
    GError *error = NULL;

    (void)state;
    for (int day = 1; day <= 30; day++) {
        g_string_append_printf(text, "2027-04-%02d,%d,%d\n", day, 41 - day % 3, 57 + day % 4);
        g_string_append_printf(wide, "2027-04-%02d,%d,%d\n", day, 20 - day % 3, 46 + day % 4);
    }
    assert_false(read_as(text->str, SPL_WEATHER_UNIT_SAID, NULL, &file, &error));
    expect_error(error, SPL_ERROR_INVALID, "Fahrenheit");
    assert_false(read_as(wide->str, SPL_WEATHER_UNIT_SAID, NULL, &file, &error));
    expect_error(error, SPL_ERROR_INVALID, "Fahrenheit");
    read_ok(text->str, SPL_WEATHER_UNIT_F, NULL, &file);
    expect_row(&file, 2, "2027-04-03", 5, 60.0 / 1.8 - 32 / 1.8);
    spl_weather_file_clear(&file);
}

static void units_are_read(void **state)
{
    enum spl_weather_unit unit = SPL_WEATHER_UNIT_SAID;
    GError *error = NULL;

    (void)state;
    assert_true(spl_weather_unit_parse("F", "--unit", &unit, &error));
    assert_int_equal(unit, SPL_WEATHER_UNIT_F);
    assert_false(spl_weather_unit_parse("kelvin", "--unit", &unit, &error));
    expect_error(error, SPL_ERROR_INVALID, "--unit");
}

static int make_folder(void **state)
{
    (void)state;
    folder = g_dir_make_tmp("simpling-weather-XXXXXX", NULL);
    return folder == NULL ? -1 : 0;
}

static int drop_folder(void **state)
{
    g_autofree char *path = g_build_filename(folder, "weather.csv", NULL);

    (void)state;
    g_unlink(path);
    g_rmdir(folder);
    g_free(folder);
    return 0;
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(plain_tables_are_read_under_many_headings),
    cmocka_unit_test(other_columns_are_no_temperatures),
    cmocka_unit_test(fahrenheit_counts_when_it_is_said),
    cmocka_unit_test(dly_files_are_read),
    cmocka_unit_test(a_dly_value_on_30_february_is_refused),
    cmocka_unit_test(ghcn_csv_is_read_with_and_without_headings),
    cmocka_unit_test(one_station_is_taken_out_of_a_whole_year),
    cmocka_unit_test(one_of_several_stations_is_chosen),
    cmocka_unit_test(monthly_normals_are_read),
    cmocka_unit_test(bad_files_are_refused_by_name),
    cmocka_unit_test(what_is_no_file_is_refused),
    cmocka_unit_test(impossible_days_are_listed),
    cmocka_unit_test(tables_as_spreadsheets_write_them_are_read),
    cmocka_unit_test(normals_with_decimal_commas_are_read),
    cmocka_unit_test(bad_rows_are_left_out_and_named),
    cmocka_unit_test(fahrenheit_is_noticed_by_its_shape),
    cmocka_unit_test(units_are_read),
};

int main(int argc, char **argv)
{
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, make_folder, drop_folder);
}
