/* SPDX-License-Identifier: MIT
 *
 * Days: ISO 8601 in and out, calendar arithmetic, growing years.
 */
#include "expect.h"
#include "simpling/customs.h"
#include "simpling/day.h"

static void iso_dates_are_read_and_written(void **state)
{
    g_autoptr(GError) error = NULL;
    struct spl_day day;
    char text[SPL_DAY_TEXT_SIZE];

    (void)state;
    assert_true(spl_day_parse("1970-01-01", "--on", &day, &error));
    assert_int_equal(day.n, 0);
    /* 2000-03-01 is day 11017 of the Unix count (by hand: 30 years, 7 leap days, 60 days). */
    assert_true(spl_day_parse("2000-03-01", "--on", &day, &error));
    assert_int_equal(day.n, 30 * 365 + 7 + 60);
    assert_string_equal(spl_day_format(day, text), "2000-03-01");
    assert_true(spl_day_parse_or_month("2027-05", "--sprayed", &day, &error));
    assert_string_equal(spl_day_format(day, text), "2027-05-01");
}

static void days_that_do_not_exist_are_refused(void **state)
{
    static const char *const bad[] = {"2027-02-29", "2027-13-01", "2027-00-10", "2027-04-31",
                                      "0000-01-01", "27-05-04",   "2027-5-4",   "4 May 2027",
                                      "2027-05",    "",           "2027-05-04x"};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        g_autoptr(GError) error = NULL;
        struct spl_day day = SPL_DAY_NONE;

        assert_false(spl_day_parse(bad[i], "--on", &day, &error));
        expect_error(error, SPL_ERROR_INVALID, "--on");
        assert_false(spl_day_is_set(day));
    }
}

static void customs(enum spl_slash slash)
{
    spl_customs_set(&(struct spl_customs){.slash = slash, .today = spl_day_from_ymd(2027, 7, 20)});
}

static int no_customs(void **state)
{
    (void)state;
    spl_customs_set(&(struct spl_customs){.today = SPL_DAY_NONE});
    return 0;
}

/* 20 July 2027 is a Tuesday (by Python's datetime). */
static void days_are_read_as_people_say_them(void **state)
{
    static const struct {
        const char *text;
        enum spl_day_lie lie;
        const char *day;
    } rows[] = {
        {"2027-07-14", SPL_DAY_NEAR, "2027-07-14"},
        {"2027\342\200\22107\342\200\22114", SPL_DAY_NEAR, "2027-07-14"}, /* U+2011 */
        {"14 July", SPL_DAY_PAST, "2027-07-14"},
        {"July 14", SPL_DAY_PAST, "2027-07-14"},
        {"14th of July", SPL_DAY_PAST, "2027-07-14"},
        {"Tue 13 July", SPL_DAY_PAST, "2027-07-13"},
        {"July 14, 2027", SPL_DAY_NEAR, "2027-07-14"},
        {"14 Jul 2026", SPL_DAY_PAST, "2026-07-14"},
        {"14.7.2027", SPL_DAY_NEAR, "2027-07-14"},
        {"14.07.", SPL_DAY_PAST, "2027-07-14"},
        {"14/7", SPL_DAY_PAST, "2027-07-14"},
        {"7/14/27", SPL_DAY_PAST, "2027-07-14"},
        {"today", SPL_DAY_PAST, "2027-07-20"},
        {"Yesterday", SPL_DAY_PAST, "2027-07-19"},
        {"last Saturday", SPL_DAY_PAST, "2027-07-17"},
        {"saturday", SPL_DAY_PAST, "2027-07-17"},
        {"Saturday", SPL_DAY_AHEAD, "2027-07-24"},
        {"next tuesday", SPL_DAY_AHEAD, "2027-07-27"},
        {"31 May", SPL_DAY_AHEAD, "2028-05-31"},
        {"31 May", SPL_DAY_PAST, "2027-05-31"},
        {"31 May", SPL_DAY_NEAR, "2027-05-31"},
        {"29 Feb", SPL_DAY_AHEAD, "2028-02-29"},
        {"Sept 1", SPL_DAY_AHEAD, "2027-09-01"},
    };
    char text[SPL_DAY_TEXT_SIZE];
    struct spl_day day;

    (void)state;
    customs(SPL_SLASH_UNKNOWN);
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GError) error = NULL;

        spl_day_read(rows[i].text, "--on", rows[i].lie, FALSE, &day, &error);
        expect_ok(error);
        assert_string_equal(spl_day_format(day, text), rows[i].day);
    }
    assert_true(spl_day_read("May 2027", "--on", SPL_DAY_NEAR, TRUE, &day, NULL));
    assert_string_equal(spl_day_format(day, text), "2027-05-01");
    assert_true(spl_day_read("2020", "--since", SPL_DAY_PAST, TRUE, &day, NULL));
    assert_string_equal(spl_day_format(day, text), "2020-01-01");
    assert_false(spl_day_read("2020", "--on", SPL_DAY_PAST, FALSE, &day, NULL));
    assert_true(spl_day_read("may", "--on", SPL_DAY_PAST, TRUE, &day, NULL));
    assert_string_equal(spl_day_format(day, text), "2027-05-01");
}

static void what_a_slash_means_hangs_on_the_country(void **state)
{
    g_autoptr(GError) error = NULL;
    char text[SPL_DAY_TEXT_SIZE];
    struct spl_day day;

    (void)state;
    customs(spl_customs_slash("GB"));
    assert_true(spl_day_read("7/8", "--on", SPL_DAY_NEAR, FALSE, &day, NULL));
    assert_string_equal(spl_day_format(day, text), "2027-08-07");
    customs(spl_customs_slash("US-VT"));
    assert_true(spl_day_read("7/8", "--on", SPL_DAY_NEAR, FALSE, &day, NULL));
    assert_string_equal(spl_day_format(day, text), "2027-07-08");
    customs(spl_customs_slash("CA"));
    assert_false(spl_day_read("7/8", "--on", SPL_DAY_NEAR, FALSE, &day, &error));
    expect_error(error, SPL_ERROR_INVALID, "could be 7 August or 8 July");
}

static void a_day_that_cannot_be_is_refused_with_the_reason(void **state)
{
    static const struct {
        const char *text, *part;
    } rows[] = {
        {"Wed 13 July 2027", "13 July 2027 is a Tuesday"},
        {"31 June 2027", "no day of the calendar"},
        {"45/45", "no day of the calendar"},
        {"July", "which day of the month"},
        {"2027-05", "which day of the month"},
        {"30 July", "lies ahead in this year"},
        {"the 14th", "is not a date"},
        {"20270714", "is not a date"},
        {"14 July 15", "is not a date"},
        {"14-07-2027", "is not a date"},
        {"", "is not a date"},
        {"last 4 May", "is not a date"},
        {"2027-02-29", "there is no day"},
    };

    (void)state;
    customs(SPL_SLASH_UNKNOWN);
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GError) error = NULL;
        struct spl_day day = SPL_DAY_NONE;

        if (spl_day_read(rows[i].text, "--on", SPL_DAY_PAST, FALSE, &day, &error))
            fail_msg("'%s' was taken", rows[i].text);
        expect_error(error, SPL_ERROR_INVALID, rows[i].part);
        assert_false(spl_day_is_set(day));
    }
}

static void months_are_cut_to_their_length(void **state)
{
    char text[SPL_DAY_TEXT_SIZE];

    (void)state;
    assert_string_equal(spl_day_format(spl_day_add_months(spl_day_from_ymd(2027, 1, 31), 1), text),
                        "2027-02-28");
    assert_string_equal(spl_day_format(spl_day_add_months(spl_day_from_ymd(2027, 1, 15), -1), text),
                        "2026-12-15");
    assert_false(spl_day_is_set(spl_day_add(spl_day_from_ymd(9999, 12, 31), 1)));
}

/* 719,162 days from 1 January 0001 to 1970, 2,932,896 from there to 31 December 9999: by Python's
 * datetime. */
static void a_count_outside_the_calendar_is_no_day(void **state)
{
    const gint64 outside[] = {-719163, 2932897, G_MAXINT64, G_MININT64, (gint64)1 << 32};
    g_autofree char *words = spl_day_words((struct spl_day){-719163});
    char text[SPL_DAY_TEXT_SIZE];

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(outside); i++)
        assert_false(spl_day_is_set(spl_day_from_count(outside[i])));
    assert_string_equal(spl_day_format(spl_day_from_count(-719162), text), "0001-01-01");
    assert_string_equal(spl_day_format(spl_day_from_count(2932896), text), "9999-12-31");
    assert_string_equal(words, "");
}

static void growing_year_turns_in_july_south_of_the_equator(void **state)
{
    struct spl_day first, last;

    (void)state;
    assert_int_equal(spl_day_season(spl_day_from_ymd(2027, 3, 1), 54.0), 2027);
    assert_int_equal(spl_day_season(spl_day_from_ymd(2027, 3, 1), -43.5), 2026);
    assert_int_equal(spl_day_season(spl_day_from_ymd(2027, 7, 1), -43.5), 2027);
    spl_day_season_bounds(2026, -43.5, &first, &last);
    assert_int_equal(first.n, spl_day_from_ymd(2026, 7, 1).n);
    assert_int_equal(last.n, spl_day_from_ymd(2027, 6, 30).n);
}

/* GLib's GDate is the other side. */
static void every_day_has_the_date_that_glib_gives_it(void **state)
{
    static const int years[][2] = {{1, 5}, {1599, 2401}, {9996, 9999}};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(years); i++) {
        GDate *date = g_date_new_dmy(1, 1, (GDateYear)years[i][0]);
        struct spl_day day = spl_day_from_ymd(years[i][0], 1, 1);
        struct spl_day last = spl_day_from_ymd(years[i][1], 12, 31);

        for (; day.n <= last.n; day.n++) {
            int year, month, dom;

            spl_day_to_ymd(day, &year, &month, &dom);
            if (year != (int)g_date_get_year(date) || month != (int)g_date_get_month(date) ||
                dom != (int)g_date_get_day(date))
                fail_msg("day %d is not %d-%d-%d", day.n, year, month, dom);
            if (day.n < last.n)
                g_date_add_days(date, 1);
        }
        g_date_free(date);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_day_has_the_date_that_glib_gives_it),
    cmocka_unit_test(iso_dates_are_read_and_written),
    cmocka_unit_test(days_that_do_not_exist_are_refused),
    cmocka_unit_test_teardown(days_are_read_as_people_say_them, no_customs),
    cmocka_unit_test_teardown(what_a_slash_means_hangs_on_the_country, no_customs),
    cmocka_unit_test_teardown(a_day_that_cannot_be_is_refused_with_the_reason, no_customs),
    cmocka_unit_test(months_are_cut_to_their_length),
    cmocka_unit_test(a_count_outside_the_calendar_is_no_day),
    cmocka_unit_test(growing_year_turns_in_july_south_of_the_equator),
};
expect_main(tests)
