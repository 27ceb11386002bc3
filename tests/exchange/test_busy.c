/* SPDX-License-Identifier: MIT
 *
 * Busy times as people's programs write them: zones by strange names, changes for "this and future"
 * ones, periods, durations over a change of the clock, two versions of one event; and what cannot
 * be understood, which is busy. The times were reckoned by hand from the rules of the zones.
 */
#include "exchange/busy.h"

#include <glib/gstdio.h>
#include <unistd.h>

#include "expect.h"

#define NAMES SPL_SOURCE_DIR "/data/zones.csv"

static struct spl_day day_of(const char *text)
{
    struct spl_day day = SPL_DAY_NONE;

    assert_true(spl_day_parse(text, "the table", &day, NULL));
    return day;
}

/* "05-10 540-600 title" a line, in order; then "left: why" for what was listed. */
static char *busy_of(const char *events, const char *zone, const char *first, const char *last)
{
    g_autofree char *path = NULL;
    g_autofree char *text = g_strconcat("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\n",
                                        events, "END:VCALENDAR\r\n", NULL);
    g_autoptr(GError) error = NULL;
    g_autoptr(GString) out = g_string_new(NULL);
    struct spl_busy_read busy;
    int fd = g_file_open_tmp("simpling-busy-XXXXXX.ics", &path, NULL);

    assert_true(fd >= 0);
    close(fd);
    assert_true(g_file_set_contents(path, text, -1, NULL));
    assert_true(
        spl_busy_read(path, day_of(first), day_of(last), zone, NAMES, FALSE, &busy, &error));
    for (guint i = 0; i < busy.busy->len; i++) {
        const struct spl_busy *piece = &g_array_index(busy.busy, struct spl_busy, i);
        char day[SPL_DAY_TEXT_SIZE];

        g_string_append_printf(out, "%s %d-%d %s\n", spl_day_format(piece->day, day) + 5,
                               piece->from_min, piece->to_min,
                               piece->what != NULL ? piece->what : "");
    }
    for (guint i = 0; i < busy.left_out->len; i++)
        g_string_append_printf(out, "left: %s\n",
                               g_array_index(busy.left_out, struct spl_ical_left, i).why);
    spl_record_clear(&spl_busy_read_shape, &busy);
    g_unlink(path);
    return g_string_free(g_steal_pointer(&out), FALSE);
}

#define EVENT(uid, lines)                                                                          \
    "BEGIN:VEVENT\r\nUID:" uid "\r\nSUMMARY:" uid "\r\n" lines "END:VEVENT\r\n"

/* Central European time as one family of programs describes it: from the year 1, or 1601. */
#define OWN_ZONE(name, year)                                                                       \
    "BEGIN:VTIMEZONE\r\nTZID:" name "\r\nBEGIN:STANDARD\r\nDTSTART:" year                          \
    "1028T030000\r\nTZOFFSETFROM:+0200\r\nTZOFFSETTO:+0100\r\n"                                    \
    "RRULE:FREQ=YEARLY;BYDAY=-1SU;BYMONTH=10\r\nEND:STANDARD\r\nBEGIN:DAYLIGHT\r\nDTSTART:" year   \
    "0325T020000\r\nTZOFFSETFROM:+0100\r\nTZOFFSETTO:+0200\r\n"                                    \
    "RRULE:FREQ=YEARLY;BYDAY=-1SU;BYMONTH=3\r\nEND:DAYLIGHT\r\nEND:VTIMEZONE\r\n"

static void a_zone_of_the_files_own_is_used(void **state)
{
    static const struct {
        const char *zone, *tzid;
    } cases[] = {
        {OWN_ZONE("W. Europe Standard Time", "1601"), "W. Europe Standard Time"},
        {OWN_ZONE("Customized Time Zone", "0001"), "Customized Time Zone"},
        {OWN_ZONE("My Zone", "1969"), "My Zone"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        /* summer and winter, and the description behind the events */
        g_autofree char *summer = g_strdup_printf(
            EVENT("a", "DTSTART;TZID=%s:20270510T100000\r\nDTEND;TZID=%s:20270510T110000\r\n"),
            cases[i].tzid, cases[i].tzid);
        g_autofree char *winter = g_strdup_printf(
            EVENT("b", "DTSTART;TZID=%s:20271101T100000\r\nDTEND;TZID=%s:20271101T110000\r\n"),
            cases[i].tzid, cases[i].tzid);
        g_autofree char *before = g_strconcat(cases[i].zone, summer, winter, NULL);
        g_autofree char *behind = g_strconcat(summer, winter, cases[i].zone, NULL);
        g_autofree char *one = busy_of(before, "Europe/London", "2027-01-01", "2027-12-31");
        g_autofree char *other = busy_of(behind, "Europe/Athens", "2027-01-01", "2027-12-31");

        assert_string_equal(one, "05-10 540-600 a\n11-01 540-600 b\n");
        assert_string_equal(other, "05-10 660-720 a\n11-01 660-720 b\n");
    }
}

static void the_clock_changes_on_the_files_own_days(void **state)
{
    /* 28 March 2027 is the last Sunday of March: 02:00 becomes 03:00 in the file's zone. */
    g_autofree char *got = busy_of(
        OWN_ZONE("My Zone", "1970") EVENT("a", "DTSTART;TZID=My Zone:20270327T120000\r\nDTEND;TZID="
                                               "My Zone:20270327T130000\r\nRRULE:FREQ=DAILY;"
                                               "COUNT=3\r\n"),
        "UTC", "2027-03-01", "2027-04-01");

    (void)state;
    assert_string_equal(got, "03-27 660-720 a\n03-28 600-660 a\n03-29 600-660 a\n");
}

static void names_without_a_description_are_found_in_the_table(void **state)
{
    static const char *const tzids[] = {"W. Europe Standard Time", "w. europe standard time",
                                        "europe/berlin", "EUROPE/BERLIN",
                                        "/example.org/20050126_1/Europe/Berlin"};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(tzids); i++) {
        g_autofree char *event = g_strdup_printf(
            EVENT("a", "DTSTART;TZID=%s:20270510T100000\r\nDTEND;TZID=%s:20270510T110000\r\n"),
            tzids[i], tzids[i]);
        g_autofree char *got = busy_of(event, "Europe/London", "2027-01-01", "2027-12-31");

        assert_string_equal(got, "05-10 540-600 a\n");
    }
    {
        g_autofree char *got = busy_of(
            EVENT("a", "DTSTART;TZID=\"tzone://Microsoft/Utc\":20270510T100000\r\nDTEND;TZID="
                       "\"tzone://Microsoft/Utc\":20270510T110000\r\n"),
            "Europe/London", "2027-01-01", "2027-12-31");

        assert_string_equal(got, "05-10 660-720 a\n");
    }
}

static void an_unknown_zone_takes_the_whole_day_and_is_listed(void **state)
{
    g_autofree char *got = busy_of(EVENT("a", "DTSTART;TZID=Nowhere Time:20270510T100000\r\nDTEND;"
                                              "TZID=Nowhere Time:20270510T110000\r\n"),
                                   "Europe/London", "2027-01-01", "2027-12-31");

    (void)state;
    assert_string_equal(got, "05-10 0-1440 a\nleft: its zone 'Nowhere Time' is not known here: the "
                             "whole day counts as busy\n");
}

static void a_rule_that_cannot_be_read_takes_every_day_and_is_listed(void **state)
{
    static const char *const rules[] = {"FREQ=DAILY;FOO=1", "FREQ=DAILY;INTERVAL=0", "FREQ=DAYLY",
                                        "FREQ=HOURLY", "FREQ=DAILY;BYHOUR=8,14"};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rules); i++) {
        g_autofree char *event =
            g_strdup_printf(EVENT("a", "DTSTART:20270510T100000Z\r\nDTEND:20270510T110000Z\r\n"
                                       "RRULE:%s\r\n"),
                            rules[i]);
        g_autofree char *got = busy_of(event, "UTC", "2027-05-09", "2027-05-12");

        if (strstr(got, "05-11 0-1440 a\n05-12 0-1440 a\n") == NULL ||
            strstr(got, "every day from its first counts as busy") == NULL ||
            strstr(got, "05-09") != NULL)
            fail_msg("%s:\n%s", rules[i], got);
    }
}

static void a_change_for_this_and_future_ones_moves_the_rest(void **state)
{
    /* Daily at 9 from Monday 10 May; from the 13th on a day later, at 14:00, two hours. */
    g_autofree char *got =
        busy_of(EVENT("a", "DTSTART:20270510T090000Z\r\nDTEND:20270510T100000Z\r\nRRULE:FREQ=DAILY;"
                           "COUNT=5\r\n")
                    EVENT("a", "RECURRENCE-ID;RANGE=THISANDFUTURE:20270512T090000Z\r\nDTSTART:"
                               "20270513T140000Z\r\nDTEND:20270513T160000Z\r\n"),
                "UTC", "2027-05-01", "2027-05-31");
    g_autofree char *ended =
        busy_of(EVENT("a", "DTSTART:20270510T090000Z\r\nDTEND:20270510T100000Z\r\nRRULE:FREQ=DAILY;"
                           "COUNT=5\r\n")
                    EVENT("a", "RECURRENCE-ID;RANGE=THISANDFUTURE:20270512T090000Z\r\nDTSTART:"
                               "20270512T090000Z\r\nSTATUS:CANCELLED\r\n"),
                "UTC", "2027-05-01", "2027-05-31");

    (void)state;
    assert_string_equal(got, "05-10 540-600 a\n05-11 540-600 a\n05-13 840-960 a\n05-14 840-960 a\n"
                             "05-15 840-960 a\n");
    assert_string_equal(ended, "05-10 540-600 a\n05-11 540-600 a\n");
}

static void a_period_has_its_own_time_and_length(void **state)
{
    g_autofree char *got = busy_of(
        EVENT("a", "DTSTART:20270510T090000Z\r\nDTEND:20270510T100000Z\r\nRDATE;VALUE=PERIOD:"
                   "20270511T120000Z/PT3H\r\nRDATE;VALUE=PERIOD:20270512T130000Z/20270512T133000Z"
                   "\r\nRDATE:20270513T080000Z\r\n"),
        "UTC", "2027-05-01", "2027-05-31");

    (void)state;
    assert_string_equal(got,
                        "05-10 540-600 a\n05-11 720-900 a\n05-12 780-810 a\n05-13 480-540 a\n");
}

static void hours_are_exact_and_days_are_not(void **state)
{
    /* The night of 27 to 28 March 2027 has an hour less in London. */
    g_autofree char *hours =
        busy_of(EVENT("a", "DTSTART;TZID=Europe/London:20270327T180000\r\nDURATION:PT24H\r\n"),
                "Europe/London", "2027-03-01", "2027-04-30");
    g_autofree char *day =
        busy_of(EVENT("a", "DTSTART;TZID=Europe/London:20270327T180000\r\nDURATION:P1D\r\n"),
                "Europe/London", "2027-03-01", "2027-04-30");

    (void)state;
    assert_string_equal(hours, "03-27 1080-1440 a\n03-28 0-1140 a\n");
    assert_string_equal(day, "03-27 1080-1440 a\n03-28 0-1080 a\n");
}

static void of_two_versions_the_newer_counts_in_either_order(void **state)
{
    static const char old[] = EVENT("a", "SEQUENCE:0\r\nDTSTART;VALUE=DATE:20270510\r\n"),
                      new[] = EVENT("a", "SEQUENCE:2\r\nDTSTART;VALUE=DATE:20270512\r\n"),
                      stamped[] = EVENT("b", "DTSTAMP:20270102T000000Z\r\nDTSTART;VALUE=DATE:"
                                             "20270515\r\n"),
                      earlier[] = EVENT("b", "DTSTAMP:20270101T000000Z\r\nDTSTART;VALUE=DATE:"
                                             "20270514\r\n");
    g_autofree char *one = g_strconcat(old, new, stamped, earlier, NULL);
    g_autofree char *other = g_strconcat(new, old, earlier, stamped, NULL);
    g_autofree char *got = busy_of(one, "UTC", "2027-05-01", "2027-05-31");
    g_autofree char *again = busy_of(other, "UTC", "2027-05-01", "2027-05-31");

    (void)state;
    assert_string_equal(got, "05-12 0-1440 a\n05-15 0-1440 b\n");
    assert_string_equal(again, got);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_zone_of_the_files_own_is_used),
        cmocka_unit_test(the_clock_changes_on_the_files_own_days),
        cmocka_unit_test(names_without_a_description_are_found_in_the_table),
        cmocka_unit_test(an_unknown_zone_takes_the_whole_day_and_is_listed),
        cmocka_unit_test(a_rule_that_cannot_be_read_takes_every_day_and_is_listed),
        cmocka_unit_test(a_change_for_this_and_future_ones_moves_the_rest),
        cmocka_unit_test(a_period_has_its_own_time_and_length),
        cmocka_unit_test(hours_are_exact_and_days_are_not),
        cmocka_unit_test(of_two_versions_the_newer_counts_in_either_order),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
