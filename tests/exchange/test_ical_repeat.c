/* SPDX-License-Identifier: MIT
 *
 * Repetition rules against the examples of RFC 5545 3.8.5.3 and days computed by python3-dateutil
 * (tests/data/ical/repeat.csv); busy times of a calendar. */
#include <unistd.h>

#include <glib/gstdio.h>

#include "exchange/busy.h"
#include "exchange/ical_repeat.h"
#include "expect.h"

static struct spl_day day_of(const char *text)
{
    struct spl_day day = SPL_DAY_NONE;

    assert_true(spl_day_parse(text, "the table", &day, NULL));
    return day;
}

static void the_days_are_those_of_the_standard_and_of_another_program(void **state)
{
    g_autofree char *text = NULL;
    g_auto(GStrv) lines = NULL;
    int rows = 0;

    (void)state;
    assert_true(
        g_file_get_contents(SPL_SOURCE_DIR "/tests/data/ical/repeat.csv", &text, NULL, NULL));
    lines = g_strsplit(text, "\n", -1);
    for (char **line = lines + 1; *line != NULL && **line != '\0'; line++) {
        char *rule = *line + 1, *rest = strchr(rule, '"');
        g_auto(GStrv) cells = NULL;
        g_autoptr(GError) error = NULL;
        g_autoptr(GArray) days = NULL;
        g_autoptr(GString) got = g_string_new(NULL);
        gint64 budget = 1000000;

        *rest = '\0';
        cells = g_strsplit(rest + 2, ",", -1);
        days = spl_repeat_days(rule, day_of(cells[0]), -1, NULL, day_of(cells[1]), day_of(cells[2]),
                               &budget, &error);
        expect_ok(error);
        for (guint i = 0; i < days->len; i++) {
            char day[SPL_DAY_TEXT_SIZE];

            g_string_append_printf(got, "%s%s", i > 0 ? " " : "",
                                   spl_day_format(g_array_index(days, struct spl_day, i), day));
        }
        if (strcmp(got->str, cells[3]) != 0)
            fail_msg("%s from %s:\n got %s\nnot %s (%s)", rule, cells[0], got->str, cells[3],
                     cells[4]);
        rows++;
    }
    assert_true(rows > 200); /* 14 of the standard, the others of the program */
}

static void rules_below_daily_and_nonsense_are_refused(void **state)
{
    static const char *const rules[] = {"FREQ=HOURLY",   "FREQ=MINUTELY;COUNT=3",
                                        "FREQ=SECONDLY", "FREQ=DAILY;BYMINUTE=1,2",
                                        "COUNT=3",       "",
                                        "FREQ=OFTEN"};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rules); i++) {
        g_autoptr(GError) error = NULL;
        gint64 budget = 1000;

        assert_null(spl_repeat_days(rules[i], day_of("2027-05-04"), -1, NULL, day_of("2027-01-01"),
                                    day_of("2027-12-31"), &budget, &error));
        expect_error(error, SPL_ERROR_INVALID,
                     i < 3    ? "more often than daily"
                     : i == 3 ? "within the day"
                              : "cannot be read");
    }
    {
        g_autoptr(GError) error = NULL;
        gint64 budget = 100;

        assert_null(spl_repeat_days("FREQ=DAILY", day_of("2027-01-01"), -1, NULL,
                                    day_of("2027-01-01"), day_of("2027-12-31"), &budget, &error));
        expect_error(error, SPL_ERROR_LIMIT, "too many");
    }
}

/* The last instance is at the moment of UNTIL, which is in UTC (RFC 5545 3.3.10). */
static void until_is_compared_on_the_clock_of_the_start(void **state)
{
    static const struct {
        const char *until;
        guint days;
    } cases[] = {{"FREQ=DAILY;UNTIL=20270506T080000Z", 3}, /* 09:00 in London */
                 {"FREQ=DAILY;UNTIL=20270506T075900Z", 2}};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        gint64 budget = 1000;
        g_autoptr(GArray) days =
            spl_repeat_days(cases[i].until, day_of("2027-05-04"), 540, "Europe/London",
                            day_of("2027-01-01"), day_of("2027-12-31"), &budget, NULL);

        assert_int_equal(days->len, cases[i].days);
    }
}

#define EVENT(uid, lines) "BEGIN:VEVENT\r\nUID:" uid "\r\n" lines "END:VEVENT\r\n"

static const char calendar[] = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\n"
    /* a day off, opaque by default (3.8.2.7) */
    EVENT("a", "DTSTART;VALUE=DATE:20270510\r\nDTEND;VALUE=DATE:20270512\r\nSUMMARY:Away\r\n")
    /* transparent, cancelled, a task: none of them takes time */
    EVENT("b", "DTSTART;VALUE=DATE:20270510\r\nTRANSP:TRANSPARENT\r\n") EVENT(
        "c", "DTSTART;VALUE=DATE:20270510\r\nSTATUS:CANCELLED\r\n") "BEGIN:VTODO\r\nUID:"
                                                                    "d\r\nDTSTART;VALUE=DATE:"
                                                                    "20270510\r\nEND:VTODO\r\n"
    /* Tuesdays 9:00-10:30 in Vienna, which is 8:00-9:30 in London; one left out, one moved */
    EVENT("e", "DTSTART;TZID=Europe/Vienna:20270504T090000\r\nDTEND;TZID=Europe/Vienna:"
               "20270504T103000\r\nRRULE:FREQ=WEEKLY;COUNT=4\r\nSUMMARY:Clinic\r\n"
               "EXDATE;TZID=Europe/Vienna:20270511T090000\r\n")
        EVENT("e", "RECURRENCE-ID;TZID=Europe/Vienna:20270518T090000\r\n"
                   "DTSTART;TZID=Europe/Vienna:20270519T140000\r\nDTEND;TZID=Europe/Vienna:"
                   "20270519T150000\r\nSUMMARY:Clinic moved\r\n")
    /* over midnight, private */
    EVENT("f", "DTSTART:20270520T220000Z\r\nDTEND:20270521T010000Z\r\nCLASS:PRIVATE\r\n"
               "SUMMARY:secret\r\n")
    /* long before, still repeating */
    EVENT("g", "DTSTART;VALUE=DATE:20100523\r\nRRULE:FREQ=YEARLY\r\nSUMMARY:Fair\r\n")
    /* too often */
    EVENT("h", "DTSTART:20270630T100000Z\r\nDURATION:PT1M\r\nRRULE:FREQ=MINUTELY\r\n"
               "SUMMARY:Pill\r\n")
    /* extra days only */
    EVENT(
        "i",
        "DTSTART;VALUE=DATE:20270605\r\nRDATE;VALUE=DATE:20270607\r\nSUMMARY:Market\r\n") "END:"
                                                                                          "VCALENDA"
                                                                                          "R\r\n";

static void busy_times_are_those_that_take_time_up(void **state)
{
    static const struct {
        const char *day;
        int from_min, to_min;
        const char *what;
    } wanted[] = {
        {"2027-05-04", 480, 570, "Clinic"}, {"2027-05-10", 0, 1440, "Away"},
        {"2027-05-11", 0, 1440, "Away"},    {"2027-05-19", 780, 840, "Clinic moved"},
        {"2027-05-20", 1380, 1440, NULL},   {"2027-05-21", 0, 120, NULL},
        {"2027-05-23", 0, 1440, "Fair"},    {"2027-05-25", 480, 570, "Clinic"},
        {"2027-06-05", 0, 1440, "Market"},  {"2027-06-07", 0, 1440, "Market"},
        {"2027-06-30", 0, 1440, "Pill"}, /* how often, is not counted out */
    };
    g_autofree char *path = NULL;
    g_autoptr(GError) error = NULL;
    struct spl_busy_read out;
    int fd = g_file_open_tmp("simpling-busy-XXXXXX.ics", &path, NULL);

    (void)state;
    close(fd);
    assert_true(g_file_set_contents(path, calendar, -1, NULL));
    assert_true(spl_busy_read(path, day_of("2027-05-01"), day_of("2027-06-30"), "Europe/London",
                              NULL, FALSE, &out, &error));
    g_unlink(path);
    for (guint i = 0; i < out.busy->len && i < G_N_ELEMENTS(wanted); i++) {
        struct spl_busy *piece = &g_array_index(out.busy, struct spl_busy, i);
        char day[SPL_DAY_TEXT_SIZE];

        spl_day_format(piece->day, day);
        if (strcmp(day, wanted[i].day) != 0 || piece->from_min != wanted[i].from_min ||
            piece->to_min != wanted[i].to_min || g_strcmp0(piece->what, wanted[i].what) != 0)
            fail_msg("%u: %s %d-%d %s", i, day, piece->from_min, piece->to_min, piece->what);
    }
    assert_int_equal(out.busy->len, G_N_ELEMENTS(wanted));
    assert_int_equal(out.left_out->len, 1);
    assert_non_null(
        strstr(g_array_index(out.left_out, struct spl_ical_left, 0).why, "more often than daily"));
    /* 4 May: 8:00-9:30, looked at from 9:00 on; 10 May: all of it. */
    assert_int_equal(spl_busy_minutes(out.busy, day_of("2027-05-04"), 540, 1080), 30);
    assert_int_equal(spl_busy_minutes(out.busy, day_of("2027-05-10"), 540, 1080), 540);
    assert_int_equal(spl_busy_minutes(out.busy, day_of("2027-05-12"), 0, 1440), 0);
    spl_record_clear(&spl_busy_read_shape, &out);
}

static void a_span_that_is_none_and_an_unknown_zone_are_refused(void **state)
{
    g_autoptr(GError) error = NULL;
    struct spl_busy_read out;

    (void)state;
    assert_false(spl_busy_read("x.ics", day_of("2027-05-02"), day_of("2027-05-01"), NULL, NULL,
                               FALSE, &out, &error));
    expect_error(error, SPL_ERROR_INVALID, "later last");
    assert_false(spl_busy_read("x.ics", day_of("2027-05-01"), day_of("2037-05-01"), NULL, NULL,
                               FALSE, &out, &error));
    expect_error(error, SPL_ERROR_INVALID, "1100");
    assert_false(spl_busy_read("x.ics", day_of("2027-05-01"), day_of("2027-05-02"), "Mars/Base",
                               NULL, FALSE, &out, &error));
    expect_error(error, SPL_ERROR_INVALID, "Mars/Base");
}

static void overlapping_times_count_once(void **state)
{
    g_autoptr(GArray) busy = g_array_new(FALSE, TRUE, sizeof(struct spl_busy));
    static const int pieces[][2] = {{0, 100}, {50, 80}, {60, 150}, {200, 300}};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(pieces); i++) {
        struct spl_busy piece = {{100}, pieces[i][0], pieces[i][1], NULL};

        g_array_append_val(busy, piece);
    }
    assert_int_equal(spl_busy_minutes(busy, (struct spl_day){100}, 0, 1440), 250);
    assert_int_equal(spl_busy_minutes(busy, (struct spl_day){100}, 70, 210), 90);
    assert_int_equal(spl_busy_minutes(NULL, (struct spl_day){100}, 0, 1440), 0);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_days_are_those_of_the_standard_and_of_another_program),
    cmocka_unit_test(rules_below_daily_and_nonsense_are_refused),
    cmocka_unit_test(until_is_compared_on_the_clock_of_the_start),
    cmocka_unit_test(busy_times_are_those_that_take_time_up),
    cmocka_unit_test(a_span_that_is_none_and_an_unknown_zone_are_refused),
    cmocka_unit_test(overlapping_times_count_once),
};
expect_main(tests)
