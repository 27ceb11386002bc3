/* SPDX-License-Identifier: MIT
 *
 * Calendars at the command line: what is written. RFC 5545 and 5546 sections stand beside the
 * checks.
 */
#include <glib/gstdio.h>

#include "calendar_file.h"

/* ---- writing --------------------------------------------------------------------------------- */

static void an_unchanged_book_writes_the_same_bytes_on_another_day(void **state)
{
    struct cli *cli = *state;
    g_autofree char *first = NULL;
    g_autofree char *second = NULL;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    first = read_file(cli, "a.ics");
    cli->today = "2027-09-03";
    expect_counts(cli, "calendar write --out a.ics --json", 0, 0, 0);
    second = read_file(cli, "a.ics");
    assert_string_equal(first, second);
}

static void every_way_of_writing_passes_the_check(void **state)
{
    static const char *const ways[] = {
        "calendar write --out w.ics",
        "calendar write --out w.ics --tasks",
        "calendar write --out w.ics --tasks-only",
        "calendar write --out w.ics --at 08:30 --zone Europe/London",
        "calendar write --out w.ics --at 07:00 --tasks --with-places",
        "calendar write --out w.ics --what steps",
        "calendar write --out w.ics --what windows,checks --from 2027-06-01 --to 2028-07-01",
        "calendar write --out w.ics --name 'Ours, and; theirs'",
    };
    struct cli *cli = *state;

    season(cli);
    for (gsize i = 0; i < G_N_ELEMENTS(ways); i++) {
        cli_ok(cli, ways[i]);
        cli_ok(cli, "calendar check w.ics");
    }
    /* No METHOD, places only when asked (RFC 5546 3.2.1; a stand's place is private). */
    {
        g_autofree char *text = NULL;

        cli_ok(cli, "calendar write --out w.ics");
        text = read_file(cli, "w.ics");
        assert_null(strstr(text, "METHOD"));
        assert_null(strstr(text, "\nGEO"));
        assert_null(strstr(text, "VTIMEZONE"));
    }
}

static void windows_reminders_and_alarms_stand_on_their_days(void **state)
{
    struct cli *cli = *state;
    json_t *windows, *batch;
    g_autofree char *text = NULL;
    g_autofree char *entry = NULL;
    g_autofree char *first = NULL;
    g_autofree char *trigger = NULL;
    gboolean found = FALSE;
    size_t i;
    json_t *item;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    text = read_file(cli, "a.ics");
    /* The window's days are those of `window list`. */
    windows = cli_json(cli, "window list --site 'Withy Gill' --material elder/flower --json");
    json_array_foreach(windows, i, item)
    {
        g_auto(GStrv) day = g_strsplit(json_text(item, "likely_start"), "-", 3);
        g_autofree char *plain = g_strjoinv("", day);
        g_autofree char *line = g_strconcat("DTSTART;VALUE=DATE:", plain, "\r\n", NULL);

        found = strstr(text, line) != NULL;
        if (!found)
            fail_msg("no %s", line);
    }
    assert_true(found);
    json_decref(windows);
    /* Straining is reminded of on the day that the batch says, with an alarm the day before. */
    batch = cli_json(cli, "batch show B27-001 --json");
    entry = entry_of(text, "Strain B27-001");
    first = value_of(entry, "DTSTART");
    trigger = value_of(entry, "TRIGGER");
    assert_string_equal(trigger, "-PT15H");
    found = FALSE;
    json_array_foreach(json_object_get(batch, "steps"), i, item)
    {
        g_auto(GStrv) day = g_strsplit(json_text(item, "due"), "-", 3);
        g_autofree char *plain = g_strjoinv("", day);

        if (strcmp(json_text(item, "step"), "strain") == 0)
            found = strcmp(plain, first) == 0;
    }
    assert_true(found);
    json_decref(batch);
}

/* RFC 5546 2.1.4, 2.1.5: SEQUENCE, DTSTAMP and LAST-MODIFIED rise together. */
static void a_change_raises_sequence_and_stamps_and_nothing_else(void **state)
{
    struct cli *cli = *state;
    g_autofree char *before = NULL, *after = NULL, *one = NULL, *other = NULL;
    g_autofree char *sequence = NULL, *stamp = NULL, *modified = NULL, *uid = NULL,
                    *uid_after = NULL;
    g_autofree char *stamp_before = NULL;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    before = read_file(cli, "a.ics");
    one = entry_of(before, "Shake B27-001");
    cli->today = "2027-06-22";
    cli_ok(cli, "batch step B27-001 top-up");
    cli_ok(cli, "calendar write --out a.ics");
    after = read_file(cli, "a.ics");
    /* What was not touched is the same to the octet. */
    other = entry_of(after, "Strain B27-001");
    g_free(one);
    one = entry_of(before, "Strain B27-001");
    assert_string_equal(one, other);
    g_free(one);
    g_free(other);
    one = entry_of(before, "Top up B27-001");
    other = entry_of(after, "Done: Top up B27-001");
    uid = value_of(one, "UID");
    uid_after = value_of(other, "UID");
    assert_string_equal(uid, uid_after);
    sequence = value_of(other, "SEQUENCE");
    assert_string_equal(sequence, "1");
    stamp_before = value_of(one, "DTSTAMP");
    stamp = value_of(other, "DTSTAMP");
    modified = value_of(other, "LAST-MODIFIED");
    assert_string_equal(stamp, modified);
    assert_true(strcmp(stamp, stamp_before) > 0);
    assert_null(strstr(other, "VALARM"));
}

/* RFC 5545 3.8.1.11, RFC 5546 3.2.5. */
static void what_the_book_no_longer_has_is_cancelled_once_and_stays_so(void **state)
{
    struct cli *cli = *state;
    g_autofree char *text = NULL, *entry = NULL, *status = NULL, *again = NULL;
    json_t *json;
    int cancelled;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    cli_ok(cli, "calendar write --new-only --out new.ics");
    cli_ok(cli, "strike B27-001 --why 'written twice'");
    /* A filter never cancels. */
    expect_counts(cli, "calendar write --what windows --as other --out f.ics --json", 2, 0, 0);
    json = cli_json(cli, "calendar write --out a.ics --json");
    cancelled = (int)json_number(json, "cancelled");
    assert_true(cancelled >= 2);
    json_decref(json);
    cli_ok(cli, "calendar check a.ics");
    text = read_file(cli, "a.ics");
    entry = entry_of(text, "Called off: Strain B27-001");
    status = value_of(entry, "STATUS");
    assert_string_equal(status, "CANCELLED");
    assert_null(strstr(entry, "VALARM"));
    /* Once in --new-only files, for ever the same in whole ones, until its year ends. */
    expect_counts(cli, "calendar write --new-only --out new.ics --json", 0, 0, cancelled);
    assert_true(
        g_str_has_prefix(cli_ok(cli, "calendar write --new-only --out new.ics"), "nothing"));
    expect_counts(cli, "calendar write --out a.ics --json", 0, 0, 0);
    again = read_file(cli, "a.ics");
    assert_string_equal(text, again);
    cli->today = "2028-01-02";
    cli_ok(cli, "calendar write --out a.ics --force");
    g_free(again);
    again = read_file(cli, "a.ics");
    assert_null(strstr(again, "Strain B27-001"));
}

static void each_target_has_its_own_record(void **state)
{
    struct cli *cli = *state;
    json_t *json;
    int all;

    season(cli);
    json = cli_json(cli, "calendar write --new-only --as phone --out p.ics --json");
    all = (int)json_number(json, "new");
    json_decref(json);
    assert_true(all > 3);
    expect_counts(cli, "calendar write --new-only --as phone --out p.ics --json", 0, 0, 0);
    expect_counts(cli, "calendar write --new-only --as desk --out d.ics --json", all, 0, 0);
    cli_ok(cli, "stage note 'Withy Gill' nettle/leaf 41 --on 2027-06-18");
    json = cli_json(cli, "calendar write --new-only --as phone --out p.ics --json");
    assert_true((int)json_number(json, "new") >= 1);
    assert_true((int)json_number(json, "new") < all);
    json_decref(json);
}

static void a_folder_holds_one_file_an_entry(void **state)
{
    struct cli *cli = *state;
    g_autofree char *folder = path_in(cli, "split");
    g_autoptr(GDir) dir = NULL;
    json_t *json;
    const char *name;
    int files = 0, entries;

    season(cli);
    json = cli_json(cli, "calendar write --tasks --split split --json");
    entries = (int)json_number(json, "events") + (int)json_number(json, "todos");
    json_decref(json);
    dir = g_dir_open(folder, 0, NULL);
    while ((name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *line = g_strdup_printf("calendar check split/%s", name);

        cli_ok(cli, line);
        files++;
    }
    assert_int_equal(files, entries);
    expect_counts(cli, "calendar write --tasks --split split --json", 0, 0, 0);
}

/* The only file of the folder whose text holds `wanted`; free it. */
static char *file_with(const struct cli *cli, const char *folder, const char *wanted)
{
    g_autofree char *path = path_in(cli, folder);
    g_autoptr(GDir) dir = g_dir_open(path, 0, NULL);
    const char *name;

    while ((name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *file = g_build_filename(folder, name, NULL);
        g_autofree char *text = read_file(cli, file);

        if (strstr(text, wanted) != NULL)
            return g_steal_pointer(&file);
    }
    fail_msg("no file with '%s' in %s", wanted, folder);
    return NULL;
}

static int files_in(const struct cli *cli, const char *folder)
{
    g_autofree char *path = path_in(cli, folder);
    g_autoptr(GDir) dir = g_dir_open(path, 0, NULL);
    int files = 0;

    while (g_dir_read_name(dir) != NULL)
        files++;
    return files;
}

/* A program that keeps the folder in step with a server brings back what was moved there, files it
 * merely wrote anew, and files under other names (RFC 4791 4.1: one UID, one file). */
static void a_folder_is_read_back_whole_and_written_again(void **state)
{
    struct cli *cli = *state;
    g_autofree char *one = NULL, *other = NULL, *text = NULL, *end = NULL, *from = NULL,
                    *was = NULL, *renamed = path_in(cli, "split/other-name.ics"), *again = NULL,
                    *moved = NULL;
    json_t *json;
    int files;

    season(cli);
    cli_ok(cli, "calendar write --split split");
    files = files_in(cli, "split");
    one = file_with(cli, "split", "SUMMARY:Strain B27-001");
    text = read_file(cli, one);
    was = value_of(text, "DTSTART");
    end = value_of(text, "DTEND");
    from = g_strdup_printf("DTSTART;VALUE=DATE:%s\r\nDTEND;VALUE=DATE:%s", was, end);
    change(cli, one, "Strain B27-001", from,
           "DTSTART;VALUE=DATE:20270810\r\nDTEND;VALUE=DATE:20270811");
    other = file_with(cli, "split", "SUMMARY:Ready B27-001");
    {
        g_autofree char *path = path_in(cli, other);

        assert_int_equal(g_rename(path, renamed), 0);
    }
    write_text(cli, "split/theirs.ics",
               "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\nBEGIN:VEVENT\r\nUID:q\r\n"
               "DTSTAMP:20270101T000000Z\r\nDTSTART;VALUE=DATE:20270701\r\nSUMMARY:Theirs\r\n"
               "END:VEVENT\r\nEND:VCALENDAR\r\n");
    write_text(cli, "split/broken.ics", "<html></html>");
    json = cli_json(cli, "calendar read split --apply --json");
    assert_int_equal(json_array_size(json_object_get(json, "moved")), 1);
    assert_string_equal(json_text(only(json, "moved"), "first"), "2027-08-10");
    assert_int_equal((int)json_number(json, "ours"), files);
    assert_int_equal((int)json_number(json, "foreign"), 1);
    assert_string_equal(json_text(only(json, "left_out"), "what"), "broken.ics");
    json_decref(json);
    /* What was taken over may be written over; the renamed file stays the one of its UID. */
    cli_ok(cli, "calendar write --split split");
    assert_int_equal(files_in(cli, "split"), files + 2);
    moved = read_file(cli, one);
    assert_non_null(strstr(moved, "DTSTART;VALUE=DATE:20270810"));
    again = read_file(cli, "split/other-name.ics");
    assert_non_null(strstr(again, "SUMMARY:Ready B27-001"));
    json = cli_json(cli, "calendar read split --apply --json");
    assert_int_equal(json_array_size(json_object_get(json, "moved")), 0);
    assert_int_equal((int)json_number(json, "unchanged"), files);
    json_decref(json);
    cli_refused(cli, "calendar read .", 1, "no .ics file");
}

/* On a phone only the title is seen. */
static void a_closed_place_is_closed_in_the_title(void **state)
{
    struct cli *cli = *state;
    g_autofree char *before = NULL, *after = NULL, *entry = NULL, *later = NULL, *freed = NULL,
                    *strike = NULL;
    json_t *json;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    before = read_file(cli, "a.ics");
    assert_null(strstr(before, "CLOSED"));
    json = cli_json(
        cli, "spray note 'Withy Gill' --kind sprayed --on 2027-06-19 --source 'the tenant' --json");
    strike = g_strdup_printf("strike %s --why 'another verge'", json_text(json, "code"));
    json_decref(json);
    cli_ok(cli, "calendar write --out a.ics");
    after = read_file(cli, "a.ics");
    entry = entry_of(after, "CLOSED: Elderflower\\, Withy Gill");
    assert_non_null(strstr(entry, "SEQUENCE:1"));
    cli_ok(cli, strike);
    /* One that closes while the window lasts. */
    cli_ok(cli, "spray note 'Withy Gill' --kind planned --on 2027-06-29 --source 'the tenant'");
    cli_ok(cli, "calendar write --out a.ics");
    later = read_file(cli, "a.ics");
    freed = entry_of(later, "CLOSED from 29 June: Elderflower\\, Withy Gill");
}

/* 26 March 2028 has no 01:30 in London (the last Sunday of March). */
static void an_hour_that_does_not_exist_is_not_written(void **state)
{
    struct cli *cli = *state;
    g_autofree char *text = NULL, *entry = NULL, *start = NULL;

    season(cli);
    cli_ok(cli, "batch step B27-001 strain --due 2028-03-26");
    cli_ok(cli, "calendar write --at 01:30 --zone Europe/London --out a.ics");
    text = read_file(cli, "a.ics");
    entry = entry_of(text, "Strain B27-001");
    start = value_of(entry, "DTSTART");
    assert_string_equal(start, "20280326T020000");
}

/* The last day of a jar left standing is no "not before", and has an alarm. */
static void the_use_by_of_a_jar_says_what_it_is(void **state)
{
    struct cli *cli = *state;
    g_autofree char *text = NULL, *entry = NULL, *description = NULL;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    text = read_file(cli, "a.ics");
    entry = entry_of(text, "Use by B27-001");
    description = value_of(entry, "DESCRIPTION");
    assert_null(strstr(description, "Not before"));
    assert_non_null(strstr(description, "The last day on which it may stand unpressed is"));
    assert_non_null(strstr(entry, "BEGIN:VALARM"));
    /* The steps of a batch hang together. */
    assert_non_null(strstr(entry, "RELATED-TO:"));
}

static void the_output_can_be_a_pipe(void **state)
{
    struct cli *cli = *state;
    const char *text;

    season(cli);
    text = cli_ok(cli, "calendar write --out -");
    assert_true(g_str_has_prefix(text, "BEGIN:VCALENDAR\r\n"));
    assert_true(g_str_has_suffix(text, "END:VCALENDAR\r\n"));
}

static void what_cannot_be_written_is_refused(void **state)
{
    struct cli *cli = *state;

    cli_refused(cli, "calendar write --out e.ics", 1, "nothing to write");
    season(cli);
    write_text(cli, "theirs.ics", "BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n");
    cli_refused(cli, "calendar write --out theirs.ics", 1, "not a file of this program");
    cli_ok(cli, "calendar write --out theirs.ics --force");
    cli_ok(cli, "calendar write --out a.ics");
    change(cli, "a.ics", "Strain B27-001", "SUMMARY:Strain", "SUMMARY:Please strain");
    cli_refused(cli, "calendar write --out a.ics", 1, "was changed");
    cli_refused(cli, "calendar write --what seeds", 2, "windows, outings, steps, checks");
    cli_refused(cli, "calendar write --at 25:00", 2, "--at");
    cli_refused(cli, "calendar write --at 08:00 --zone Mars/Base", 2, "Mars/Base");
    cli_refused(cli, "calendar write --zone Europe/London", 2, "--zone");
    cli_refused(cli, "calendar write --from 2027-06-01 --to 2027-05-01", 2, "later");
    cli_refused(cli, "calendar write --out no/such/folder/a.ics", 1, "no/such/folder");
    cli_refused(cli, "calendar write --tasks --tasks-only", 2, "--tasks");
    cli_refused(cli, "calendar check no.ics", 1, "no.ics");
    cli_refused(cli, "calendar read no.ics", 1, "no.ics");
    cli_refused(cli, "calendar busy no.ics", 1, "no.ics");
}

#define test(name) cmocka_unit_test_setup_teardown(name, cli_set_up, cli_tear_down)

static const struct CMUnitTest tests[] = {
    test(an_unchanged_book_writes_the_same_bytes_on_another_day),
    test(every_way_of_writing_passes_the_check),
    test(windows_reminders_and_alarms_stand_on_their_days),
    test(a_change_raises_sequence_and_stamps_and_nothing_else),
    test(what_the_book_no_longer_has_is_cancelled_once_and_stays_so),
    test(each_target_has_its_own_record),
    test(a_folder_holds_one_file_an_entry),
    test(a_folder_is_read_back_whole_and_written_again),
    test(a_closed_place_is_closed_in_the_title),
    test(an_hour_that_does_not_exist_is_not_written),
    test(the_use_by_of_a_jar_says_what_it_is),
    test(the_output_can_be_a_pipe),
    test(what_cannot_be_written_is_refused),
};
expect_main(tests)
