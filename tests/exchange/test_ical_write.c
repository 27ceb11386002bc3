/* SPDX-License-Identifier: MIT
 *
 * The calendar writer: what it writes passes the checker, reads back as it was, and is the same on
 * every day. Sections are of RFC 5545 unless named otherwise. */
#include <glib/gstdio.h>

#include "base/file.h"
#include "exchange/ical_check.h"
#include "exchange/ical_read.h"
#include "exchange/ical_write.h"
#include "exchange/ical_zone.h"
#include "expect.h"

#define UID_A "0c8e1c52-7f5c-5a3e-8d0b-2a6a1f0c9b01"
#define UID_B "0c8e1c52-7f5c-5a3e-8d0b-2a6a1f0c9b02"

static char *folder;

static char *path_of(const char *name)
{
    return g_build_filename(folder, name, NULL);
}

static int set_up(void **state)
{
    (void)state;
    folder = g_dir_make_tmp("simpling-ical-XXXXXX", NULL);
    return folder == NULL;
}

static int tear_down(void **state)
{
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    const char *name;

    (void)state;
    while ((name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *path = path_of(name);

        g_unlink(path);
    }
    g_rmdir(folder);
    g_free(folder);
    return 0;
}

static void make_window(struct spl_entry *entry)
{
    spl_entry_init(entry);
    entry->uid = g_strdup(UID_A);
    entry->summary = g_strdup("Nettle leaf, Low Meadow");
    entry->description = g_strdup("Take at most 400 g; may begin 4 May.\nCheck again.");
    entry->location = g_strdup("Low Meadow");
    entry->category = g_strdup("windows");
    entry->first = spl_day_from_ymd(2027, 5, 4);
    entry->last = spl_day_from_ymd(2027, 5, 12);
    entry->alarm_min = 15 * 60;
    entry->status = SPL_ENTRY_CONFIRMED;
    entry->sequence = 2;
    entry->changed_at = 1803888000; /* 2027-03-01T08:00:00Z: 20878 days and 8 hours */
    spl_entry_add_x(entry, "X-SIMPLING-MATERIAL", "nettle/leaf");
}

/* Writes one entry, checks the file, returns its text. */
static char *write_and_check(const struct spl_ical_options *options, const struct spl_entry *entry)
{
    g_autofree char *path = path_of("one.ics");
    g_autoptr(GError) error = NULL;
    struct spl_ical_checked checked;
    char *text;

    assert_true(spl_ical_write_one(path, options, entry, &error) || error != NULL);
    expect_ok(error);
    assert_true(spl_ical_check_file(path, &checked, &error));
    for (guint i = 0; i < checked.findings->len; i++) {
        struct spl_ical_finding *finding =
            &g_array_index(checked.findings, struct spl_ical_finding, i);

        fail_msg("line %d: %s: %s", finding->line, finding->rule, finding->message);
    }
    spl_record_clear(&spl_ical_checked_shape, &checked);
    text = spl_file_read(path, 1 << 20, NULL, &error);
    expect_ok(error);
    return text;
}

static void expect_line(const char *text, const char *line)
{
    g_autofree char *whole = g_strconcat("\r\n", line, "\r\n", NULL);

    if (strstr(text, whole) == NULL)
        fail_msg("no line '%s' in\n%s", line, text);
}

static void expect_no(const char *text, const char *part)
{
    if (strstr(text, part) != NULL)
        fail_msg("'%s' stands in\n%s", part, text);
}

/* 3.6.1, 3.8.2.2: exclusive end; 3.8.2.7 transparent; 3.8.6.3 the alarm before the day begins. */
static void a_window_is_an_all_day_event_with_an_exclusive_end(void **state)
{
    struct spl_ical_options options = {.name = "Season 2027"};
    struct spl_entry entry;
    g_autofree char *text = NULL;

    (void)state;
    make_window(&entry);
    text = write_and_check(&options, &entry);
    expect_line(text, "NAME:Season 2027");
    expect_line(text, "X-WR-CALNAME:Season 2027");
    expect_line(text, "UID:" UID_A);
    expect_line(text, "DTSTART;VALUE=DATE:20270504");
    expect_line(text, "DTEND;VALUE=DATE:20270513");
    expect_line(text, "DTSTAMP:20270301T080000Z");
    expect_line(text, "LAST-MODIFIED:20270301T080000Z");
    expect_line(text, "SEQUENCE:2");
    expect_line(text, "TRANSP:TRANSPARENT");
    expect_line(text, "STATUS:CONFIRMED");
    expect_line(text, "CATEGORIES:windows");
    expect_line(text, "SUMMARY:Nettle leaf\\, Low Meadow");
    expect_line(text, "X-SIMPLING-MATERIAL:nettle/leaf");
    expect_line(text, "TRIGGER:-PT15H");
    /* RFC 4791 4.1; RFC 5546 3.2.1 wants an organiser with it. */
    expect_no(text, "METHOD");
    expect_no(text, "GEO");
    expect_no(text, "VTIMEZONE");
    /* The alarm stands last (common practice). */
    assert_non_null(strstr(text, "END:VALARM\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"));
    spl_entry_clear(&entry);
}

/* A task without a time has DUE alone, the day itself, which is what programs show and write; so
 * its alarm hangs on it (3.8.6.3, RELATED=END). */
static void a_task_is_due_on_its_last_day(void **state)
{
    struct spl_ical_options options = {.name = NULL};
    struct spl_entry entry;
    g_autofree char *text = NULL;

    (void)state;
    make_window(&entry);
    entry.kind = SPL_ENTRY_TASK;
    entry.status = SPL_ENTRY_NEEDS_ACTION;
    entry.last = SPL_DAY_NONE;
    entry.due = entry.first;
    entry.related_uid = g_strdup(UID_B);
    text = write_and_check(&options, &entry);
    expect_line(text, "BEGIN:VTODO");
    expect_line(text, "DUE;VALUE=DATE:20270504");
    expect_line(text, "TRIGGER;RELATED=END:-PT15H");
    expect_line(text, "DESCRIPTION:Tomorrow: Nettle leaf\\, Low Meadow");
    expect_no(text, "DTSTART");
    expect_line(text, "STATUS:NEEDS-ACTION");
    expect_line(text, "RELATED-TO:" UID_B);
    expect_no(text, "TRANSP");
    expect_no(text, "DTEND");
    spl_entry_clear(&entry);
}

/* Nine on the day before 4 May 2027 was over when this entry last changed. */
static void an_alarm_in_the_past_is_not_written(void **state)
{
    struct spl_ical_options options = {.name = NULL};
    struct spl_entry entry;
    g_autofree char *text = NULL;
    g_autofree char *before = NULL;

    (void)state;
    make_window(&entry);
    entry.changed_at = (gint64)entry.first.n * 86400 - 15 * 3600;
    before = write_and_check(&options, &entry);
    expect_line(before, "TRIGGER:-PT15H");
    entry.changed_at++;
    text = write_and_check(&options, &entry);
    expect_no(text, "VALARM");
    spl_entry_clear(&entry);
}

/* RFC 7986 5.7, 5.9; 3.8.2.1: COMPLETED is when it was done, not when that was written. */
static void colour_refreshing_and_the_time_of_doing_are_written(void **state)
{
    struct spl_ical_options options = {.name = NULL, .refresh_days = 1};
    struct spl_entry entry;
    g_autofree char *text = NULL;

    (void)state;
    make_window(&entry);
    entry.kind = SPL_ENTRY_TASK;
    entry.status = SPL_ENTRY_COMPLETED;
    entry.color = "peru";
    entry.completed = spl_day_from_ymd(2027, 5, 2);
    entry.completed_min = 11 * 60;
    text = write_and_check(&options, &entry);
    expect_line(text, "REFRESH-INTERVAL;VALUE=DURATION:P1D");
    expect_line(text, "X-PUBLISHED-TTL:P1D");
    expect_line(text, "COLOR:peru");
    expect_line(text, "COMPLETED:20270502T110000Z");
    spl_entry_clear(&entry);
}

/* 3.2.19, 3.6.5: a time has its zone, and the zone is in the file; summer time in Britain began on
 * 28 March 2027 at 01:00 UTC and ended on 31 October at 01:00 UTC (last Sundays, Summer Time Order
 * 2002 art. 2). */
static void a_timed_reminder_brings_its_zone_with_it(void **state)
{
    struct spl_ical_options options = {
        .zone = "Europe/London", .year_first = 2027, .year_last = 2027};
    struct spl_entry entry;
    g_autofree char *text = NULL;

    (void)state;
    make_window(&entry);
    entry.last = SPL_DAY_NONE;
    entry.start_min = 8 * 60 + 30;
    entry.zone = g_strdup("Europe/London");
    text = write_and_check(&options, &entry);
    expect_line(text, "DTSTART;TZID=Europe/London:20270504T083000");
    expect_line(text, "DTEND;TZID=Europe/London:20270504T090000");
    expect_line(text, "BEGIN:DAYLIGHT\r\nDTSTART:20270328T010000\r\nTZOFFSETFROM:+0000\r\n"
                      "TZOFFSETTO:+0100\r\nTZNAME:BST\r\nEND:DAYLIGHT");
    expect_line(text, "BEGIN:STANDARD\r\nDTSTART:20271031T020000\r\nTZOFFSETFROM:+0100\r\n"
                      "TZOFFSETTO:+0000\r\nTZNAME:GMT\r\nEND:STANDARD");
    /* The state at New Year is that of the change in October before, and nothing older is there. */
    expect_line(text, "BEGIN:STANDARD\r\nDTSTART:20261025T020000\r\nTZOFFSETFROM:+0100\r\n"
                      "TZOFFSETTO:+0000\r\nTZNAME:GMT\r\nEND:STANDARD");
    expect_no(text, "DTSTART:2025");
    expect_no(text, "DTSTART:2028");
    spl_entry_clear(&entry);
}

static void zones_south_of_the_equator_and_without_summer_time_are_cut_too(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *sydney = spl_zone_component("Australia/Sydney", 2027, 2027, &error);
    g_autofree char *kathmandu = spl_zone_component("Asia/Kathmandu", 2027, 2030, &error);
    g_autofree char *newfoundland = spl_zone_component("America/St_Johns", 2027, 2027, &error);

    (void)state;
    expect_ok(error);
    /* First Sundays of April and October (New South Wales, Standard Time Act 1987). */
    assert_non_null(strstr(sydney, "DTSTART:20261004T020000\r\nTZOFFSETFROM:+1000"));
    assert_non_null(strstr(sydney, "DTSTART:20270404T030000\r\nTZOFFSETFROM:+1100"));
    assert_non_null(strstr(sydney, "DTSTART:20271003T020000\r\nTZOFFSETFROM:+1000"));
    assert_non_null(strstr(kathmandu, "TZOFFSETFROM:+0545\r\nTZOFFSETTO:+0545"));
    assert_null(strstr(kathmandu, "DAYLIGHT"));
    assert_non_null(strstr(newfoundland, "TZOFFSETFROM:-0330\r\nTZOFFSETTO:-0230"));
    assert_null(spl_zone_component("Not/AZone", 2027, 2027, &error));
    expect_error(error, SPL_ERROR_INVALID, "Not/AZone");
    assert_null(spl_zone_component("../../etc/passwd", 2027, 2027, &error));
    expect_error(error, SPL_ERROR_INVALID, "passwd");
    assert_null(spl_zone_component("Europe/London", 2027, 2020, &error));
    expect_error(error, SPL_ERROR_INVALID, "2020");
}

/* 3.1: what may not stand in a value; 3.3.11: what is escaped. */
static void text_from_people_cannot_break_the_file(void **state)
{
    struct spl_ical_options options = {.name = "A, B; C\r\nMETHOD:PUBLISH"};
    struct spl_entry entry;
    g_autofree char *text = NULL;
    g_autoptr(GString) is_long = g_string_new(NULL);

    (void)state;
    make_window(&entry);
    g_free(entry.summary);
    g_free(entry.description);
    g_free(entry.location);
    g_free(entry.category);
    for (int i = 0; i < 300; i++)
        g_string_append(is_long, "\xe2\x82\xac"); /* 300 euro signs, 3 octets each */
    entry.summary = g_strdup(is_long->str);
    entry.description = g_strdup("a\x01\x02\x7f b\xff\xfe c\\d;e,f\r\nEND:VEVENT\nDTSTART:x");
    entry.location = g_strdup("\t \x0b");
    entry.category = g_strdup("windows, spring");
    spl_entry_add_x(&entry, "X-SIMPLING-NOTE", "a,b;c\\d\nX-EVIL:1");
    text = write_and_check(&options, &entry);
    expect_no(text, "LOCATION");
    expect_no(text, "\r\nX-EVIL");
    expect_no(text, "\r\nMETHOD");
    expect_line(text, "CATEGORIES:windows  spring");
    spl_entry_clear(&entry);
}

/* A URI is copied as it stands, so a line break in it would begin a property: refused. */
static void what_cannot_be_written_is_refused(void **state)
{
    struct spl_ical_options options = {.name = "Season"};
    g_autofree char *path = path_of("refused.ics");

    (void)state;
    for (int i = 0; i < 11; i++) {
        g_autoptr(GError) error = NULL;
        struct spl_entry entry;

        make_window(&entry);
        switch (i) {
        case 0:
            entry.url = g_strdup("https://example.org/\r\nX-EVIL:1");
            break;
        case 1:
            entry.url = g_strdup("example");
            break;
        case 2:
            entry.last = spl_day_add(entry.first, -1);
            break;
        case 3:
            g_free(entry.uid);
            entry.uid = g_strdup("someone@example.org"); /* RFC 7986 5.3 */
            break;
        case 4:
            g_clear_pointer(&entry.uid, g_free);
            break;
        case 5:
            entry.first = SPL_DAY_NONE;
            break;
        case 6:
            entry.start_min = 480;
            break;
        case 7:
            entry.start_min = 480;
            entry.zone = g_strdup("Europe/Paris");
            break;
        case 8:
            entry.lat = 91;
            entry.lon = 0;
            break;
        case 9:
            entry.first = spl_day_from_ymd(9999, 12, 31);
            entry.last = SPL_DAY_NONE;
            break;
        default:
            entry.kind = SPL_ENTRY_TASK;
            entry.due = spl_day_add(entry.first, -1);
            break;
        }
        if (spl_ical_write_one(path, &options, &entry, &error))
            fail_msg("case %d was written", i);
        expect_error(error, SPL_ERROR_INVALID, "Nettle leaf");
        assert_false(g_file_test(path, G_FILE_TEST_EXISTS));
        spl_entry_clear(&entry);
    }
}

/* 3.6: at least one component. */
static void an_empty_calendar_is_never_written(void **state)
{
    struct spl_ical_options options = {.name = "Season"};
    g_autofree char *path = path_of("empty.ics");
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_ical_writer) writer = spl_ical_writer_open(path, &options, &error);

    (void)state;
    assert_false(spl_ical_writer_commit(writer, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "nothing to write");
    assert_false(g_file_test(path, G_FILE_TEST_EXISTS));
}

/* 3.8.1.11; RFC 5546 3.2.5: a cancelled event has no alarm. */
static void what_is_off_stays_as_cancelled_without_an_alarm(void **state)
{
    struct spl_ical_options options = {.name = "Season"};
    struct spl_entry entry;
    g_autofree char *text = NULL;

    (void)state;
    make_window(&entry);
    entry.status = SPL_ENTRY_CANCELLED;
    text = write_and_check(&options, &entry);
    expect_line(text, "STATUS:CANCELLED");
    expect_no(text, "VALARM");
    spl_entry_clear(&entry);
}

/* 3.8.1.6: latitude;longitude, decimal points in every locale. */
static void a_place_is_written_only_when_asked(void **state)
{
    struct spl_ical_options options = {.name = "Season"};
    struct spl_entry entry;
    g_autofree char *text = NULL;

    (void)state;
    make_window(&entry);
    entry.lat = 54.9712;
    entry.lon = -2.461;
    text = write_and_check(&options, &entry);
    expect_line(text, "GEO:54.971200;-2.461000");
    spl_entry_clear(&entry);
}

static void what_was_written_reads_back(void **state)
{
    struct spl_ical_options options = {.name = "Season"};
    struct spl_entry entry, back;
    g_autofree char *path = path_of("one.ics");
    g_autofree char *text = NULL;
    g_autofree char *hash = NULL;
    g_autofree char *hash_back = NULL;
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_ical_reader) reader = NULL;

    (void)state;
    make_window(&entry);
    entry.url = g_strdup("geo:54.97,-2.46");
    text = write_and_check(&options, &entry);
    reader = spl_ical_reader_open(path, NULL, &error);
    expect_ok(error);
    spl_entry_init(&back);
    assert_true(spl_ical_reader_next(reader, &back, &error));
    assert_string_equal(back.uid, entry.uid);
    assert_int_equal(back.sequence, 2);
    assert_int_equal(back.changed_at, entry.changed_at);
    /* The alarm is read back as a list; all else is the same to a person. */
    assert_int_equal(back.n_alarms, 1);
    assert_int_equal(back.alarms[0].minutes, entry.alarm_min);
    back.n_alarms = -1;
    back.alarm_min = entry.alarm_min;
    hash = spl_entry_hash(&entry);
    hash_back = spl_entry_hash(&back);
    assert_string_equal(hash, hash_back);
    assert_false(spl_ical_reader_next(reader, &back, &error));
    expect_ok(error);
    spl_entry_clear(&entry);
    spl_entry_clear(&back);
}

static void the_hash_follows_what_a_person_sees(void **state)
{
    struct spl_entry entry;
    g_autofree char *first = NULL;
    g_autofree char *same = NULL;
    g_autofree char *other = NULL;

    (void)state;
    make_window(&entry);
    first = spl_entry_hash(&entry);
    entry.sequence = 7;
    entry.changed_at = 0;
    same = spl_entry_hash(&entry);
    entry.last = spl_day_add(entry.last, 1);
    other = spl_entry_hash(&entry);
    assert_string_equal(first, same);
    assert_string_not_equal(first, other);
    spl_entry_clear(&entry);
}

static void unchanged_entries_leave_the_file_untouched(void **state)
{
    struct spl_ical_options options = {.name = "Season"};
    struct spl_entry entry;
    g_autofree char *first = NULL;
    g_autofree char *second = NULL;

    (void)state;
    make_window(&entry);
    first = write_and_check(&options, &entry);
    second = write_and_check(&options, &entry);
    assert_string_equal(first, second);
    spl_entry_clear(&entry);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_window_is_an_all_day_event_with_an_exclusive_end),
    cmocka_unit_test(a_task_is_due_on_its_last_day),
    cmocka_unit_test(an_alarm_in_the_past_is_not_written),
    cmocka_unit_test(colour_refreshing_and_the_time_of_doing_are_written),
    cmocka_unit_test(a_timed_reminder_brings_its_zone_with_it),
    cmocka_unit_test(zones_south_of_the_equator_and_without_summer_time_are_cut_too),
    cmocka_unit_test(text_from_people_cannot_break_the_file),
    cmocka_unit_test(what_cannot_be_written_is_refused),
    cmocka_unit_test(an_empty_calendar_is_never_written),
    cmocka_unit_test(what_is_off_stays_as_cancelled_without_an_alarm),
    cmocka_unit_test(a_place_is_written_only_when_asked),
    cmocka_unit_test(what_was_written_reads_back),
    cmocka_unit_test(the_hash_follows_what_a_person_sees),
    cmocka_unit_test(unchanged_entries_leave_the_file_untouched),
};

int main(int argc, char **argv)
{
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
