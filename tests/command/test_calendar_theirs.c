/* SPDX-License-Identifier: MIT
 *
 * Calendars at the command line: what the person sets, deletes and takes up again there is theirs.
 */
#include <glib/gstdio.h>

#include "calendar_file.h"

/* Each change of the list as "change: text", "; " between; free it. */
static char *changes_of(json_t *read, const char *list)
{
    g_autoptr(GString) text = g_string_new(NULL);
    json_t *item;
    size_t i;

    json_array_foreach(json_object_get(read, list), i, item)
    {
        g_string_append_printf(text, "%s%s: %s%s", i > 0 ? "; " : "", json_text(item, "change"),
                               json_text(item, "text"),
                               json_is_true(json_object_get(item, "applied")) ? "" : " (not)");
    }
    return g_strdup(text->str);
}

static void expect_changes(struct cli *cli, const char *line, const char *list, const char *wanted)
{
    json_t *read = cli_json(cli, line);
    g_autofree char *found = changes_of(read, list);

    if (strcmp(found, wanted) != 0)
        fail_msg("%s: %s\n  %s\nnot\n  %s", line, list, found, wanted);
    json_decref(read);
}

static void expect_titles(struct cli *cli, const char *line, const char *list, const char *wanted)
{
    json_t *read = cli_json(cli, line), *item;
    g_autoptr(GString) text = g_string_new(NULL);
    size_t i;

    json_array_foreach(json_object_get(read, list), i, item)
    {
        g_string_append_printf(text, "%s%s", i > 0 ? "; " : "", json_text(item, "what"));
    }
    if (strcmp(text->str, wanted) != 0)
        fail_msg("%s: %s\n  %s\nnot\n  %s", line, list, text->str, wanted);
    json_decref(read);
}

static void expect_entry(struct cli *cli, const char *file, const char *title, const char *part)
{
    g_autofree char *text = read_file(cli, file);
    g_autofree char *entry = entry_of(text, title);

    if (strstr(entry, part) == NULL)
        fail_msg("%s: no\n%s\nin\n%s", file, part, entry);
}

#define GILL "Elderflower\\, Withy Gill"
#define STRAIN "Strain B27-001: Elderflower\\, tincture"

static void a_title_note_category_and_alarm_stay_in_the_calendar_where_they_were_set(void **state)
{
    struct cli *cli = *state;
    g_autofree char *first = NULL, *again = NULL, *own = NULL, *text = NULL, *entry = NULL;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    cli_ok(cli, "calendar write --out b.ics");
    text = read_file(cli, "a.ics");
    entry = entry_of(text, STRAIN);
    own = value_of(entry, "DESCRIPTION");
    change(cli, "a.ics", STRAIN, "TRIGGER:-PT15H", "TRIGGER:-P1DT15H");
    change(cli, "a.ics", STRAIN, "CATEGORIES:steps", "CATEGORIES:steps,walks");
    {
        g_autofree char *from = g_strconcat("DESCRIPTION:", own, NULL);
        g_autofree char *to = g_strconcat(from, "\\nTake the ladder\\, and bags.", NULL);

        change(cli, "a.ics", STRAIN, from, to);
    }
    change(cli, "a.ics", STRAIN, "SUMMARY:" STRAIN, "SUMMARY:Strain with Ann");
    expect_changes(cli, "calendar read a.ics --json", "kept",
                   "title: Strain with Ann (not); note: Take the ladder, and bags. (not); "
                   "category: steps,walks (not); alarm: 39 h before (not)");
    expect_changes(cli, "calendar read a.ics --apply --json", "kept",
                   "title: Strain with Ann; note: Take the ladder, and bags.; "
                   "category: steps,walks; alarm: 39 h before");
    expect_changes(cli, "calendar read a.ics --apply --json", "kept", "");
    cli_ok(cli, "calendar write --out a.ics");
    expect_entry(cli, "a.ics", "Strain with Ann", "TRIGGER:-P1DT15H\r\n");
    expect_entry(cli, "a.ics", "Strain with Ann", "DESCRIPTION:In 2 days: Strain with Ann\r\n");
    expect_entry(cli, "a.ics", "Strain with Ann", "CATEGORIES:steps,walks\r\n");
    {
        g_autofree char *whole = g_strconcat(
            "DESCRIPTION:", own, "\\n\\nYour note:\\nTake the ladder\\, and bags.\r\n", NULL);

        expect_entry(cli, "a.ics", "Strain with Ann", whole);
    }
    /* In no other one; and nothing of it is news when it comes back. */
    cli_ok(cli, "calendar write --out b.ics");
    expect_entry(cli, "b.ics", STRAIN, "TRIGGER:-PT15H\r\n");
    expect_changes(cli, "calendar read a.ics --json", "kept", "");
    first = read_file(cli, "a.ics");
    expect_counts(cli, "calendar write --out a.ics --json", 0, 0, 0);
    again = read_file(cli, "a.ics");
    assert_string_equal(first, again);
}

static void what_the_book_must_say_is_said_beside_what_the_person_set(void **state)
{
    struct cli *cli = *state;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    change(cli, "a.ics", GILL, "SUMMARY:" GILL, "SUMMARY:Elder walk");
    cli_ok(cli, "calendar read a.ics --apply");
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --source Edda --on 2027-06-19");
    cli_ok(cli, "calendar write --out a.ics");
    expect_entry(cli, "a.ics", "CLOSED: Elder walk", "The ground now: closed.");
    /* Changed again while that stood before it. */
    change(cli, "a.ics", "CLOSED: Elder walk", "SUMMARY:CLOSED: Elder walk",
           "SUMMARY:CLOSED: Elder stroll");
    expect_changes(cli, "calendar read a.ics --apply --json", "kept", "title: Elder stroll");
    cli_ok(cli, "calendar write --out a.ics");
    expect_entry(cli, "a.ics", "CLOSED: Elder stroll", "UID");
    /* The book's text taken out comes back, the person's line in it stays. */
    {
        g_autofree char *text = read_file(cli, "a.ics");
        g_autofree char *entry = entry_of(text, "CLOSED: Elder stroll");
        g_autofree char *own = value_of(entry, "DESCRIPTION");
        g_autofree char *from = g_strconcat("DESCRIPTION:", own, NULL);
        g_autofree char *back =
            g_strconcat("DESCRIPTION:", own, "\\n\\nYour note:\\nBy bus.", NULL);

        change(cli, "a.ics", "CLOSED: Elder stroll", from, "DESCRIPTION:By bus.");
        expect_changes(cli, "calendar read a.ics --apply --json", "kept", "note: By bus.");
        cli_ok(cli, "calendar write --out a.ics");
        expect_entry(cli, "a.ics", "CLOSED: Elder stroll", back);
    }
    /* Called off it keeps its name. */
    change(cli, "a.ics", "CLOSED: Elder stroll", "STATUS:CONFIRMED", "STATUS:CANCELLED");
    cli_ok(cli, "calendar read a.ics --apply");
    cli_ok(cli, "calendar write --out a.ics");
    expect_entry(cli, "a.ics", "Called off: Elder stroll", "STATUS:CANCELLED");
}

static void what_is_set_back_to_the_books_is_the_books_again(void **state)
{
    struct cli *cli = *state;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    change(cli, "a.ics", GILL, "SUMMARY:" GILL, "SUMMARY:Elder walk");
    cli_ok(cli, "calendar read a.ics --apply");
    cli_ok(cli, "calendar write --out a.ics");
    change(cli, "a.ics", "Elder walk", "SUMMARY:Elder walk", "SUMMARY:" GILL);
    expect_changes(cli, "calendar read a.ics --apply --json", "kept", "title: as the book has it");
    cli_ok(cli, "site edit 'Withy Gill' --name 'Sallow Gill'");
    cli_ok(cli, "calendar write --out a.ics");
    expect_entry(cli, "a.ics", "Elderflower\\, Sallow Gill", "UID");
}

/* A copy from before the book changed, untouched and touched: only what the person touched is
 * theirs, the old text is not. */
static void of_an_old_copy_only_what_was_touched_is_the_persons(void **state)
{
    struct cli *cli = *state;
    g_autofree char *old = NULL;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    old = read_file(cli, "a.ics");
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --source Edda --on 2027-06-19");
    cli_ok(cli, "calendar write --out a.ics");
    write_text(cli, "a.ics", old);
    expect_changes(cli, "calendar read a.ics --json", "kept", "");
    change(cli, "a.ics", GILL, "SUMMARY:" GILL, "SUMMARY:Elder walk");
    expect_changes(cli, "calendar read a.ics --apply --json", "kept", "title: Elder walk");
    cli_ok(cli, "calendar write --out a.ics");
    expect_entry(cli, "a.ics", "CLOSED: Elder walk", "The ground now: closed.");
}

/* ---- deleted --------------------------------------------------------------------------------- */

/* Takes the event of this title out of the file. */
static void delete_entry(struct cli *cli, const char *file, const char *title)
{
    g_autofree char *text = read_file(cli, file);
    g_auto(GStrv) folds = g_strsplit(text, "\r\n ", -1);
    g_autofree char *unfolded = g_strjoinv("", folds);
    g_autofree char *wanted = g_strconcat("SUMMARY:", title, NULL);
    char *begin = unfolded, *found, *end;

    do { /* a task of the same title may stand before it */
        found = strstr(begin + 1, wanted);
        assert_non_null(found);
        begin = found;
        while (strncmp(begin, "BEGIN:V", 7) != 0)
            begin--;
        if (strncmp(begin, "BEGIN:VEVENT", 12) != 0)
            begin = found;
    } while (begin == found);
    end = strstr(begin, "END:VEVENT\r\n") + strlen("END:VEVENT\r\n");
    memmove(begin, end, strlen(end) + 1);
    write_text(cli, file, unfolded);
}

static gboolean file_has(struct cli *cli, const char *file, const char *part)
{
    g_autofree char *text = read_file(cli, file);

    return strstr(text, part) != NULL;
}

static void a_deleted_entry_is_asked_about_once(void **state)
{
    struct cli *cli = *state;
    json_t *json;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    cli_ok(cli, "calendar write --out b.ics");
    delete_entry(cli, "a.ics", GILL);
    expect_titles(cli, "calendar read a.ics --json", "deleted", "Elderflower, Withy Gill");
    assert_non_null(strstr(cli_ok(cli, "calendar read a.ics --apply"), "--deleted again"));
    /* Not undone without a word. */
    cli_refused(cli, "calendar write --out a.ics", 1, "was changed");
    json = cli_json(cli, "calendar read a.ics --apply --deleted drop --json");
    assert_true(json_is_true(json_object_get(only(json, "deleted"), "applied")));
    json_decref(json);
    expect_titles(cli, "calendar read a.ics --json", "deleted", "");
    cli_ok(cli, "calendar write --out a.ics");
    assert_false(file_has(cli, "a.ics", GILL));
    /* Called off in the calendar that still has it. */
    cli_ok(cli, "calendar write --out b.ics");
    expect_entry(cli, "b.ics", "Called off: " GILL, "STATUS:CANCELLED");
    /* Taken up again by its title. */
    expect_titles(cli, "calendar read b.ics --json", "again", "");
    cli_refused(cli, "calendar again 'Nettle'", 1, "leave the title out");
    json = cli_json(cli, "calendar again --json");
    assert_int_equal(json_array_size(json), 1);
    assert_false(json_is_true(json_object_get(json_array_get(json, 0), "again")));
    json_decref(json);
    json = cli_json(cli, "calendar again elderflower --json");
    assert_true(json_is_true(json_object_get(json_array_get(json, 0), "again")));
    json_decref(json);
    cli_ok(cli, "calendar write --out a.ics");
    expect_entry(cli, "a.ics", GILL, "STATUS:CONFIRMED");
    cli_ok(cli, "calendar write --out b.ics");
    expect_entry(cli, "b.ics", GILL, "STATUS:CONFIRMED");
}

static void a_deleted_entry_may_be_wanted_again(void **state)
{
    struct cli *cli = *state;
    g_autofree char *text = NULL, *entry = NULL, *sequence = NULL;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    delete_entry(cli, "a.ics", "Strain B27-001");
    cli_ok(cli, "calendar read a.ics --apply --deleted again");
    expect_titles(cli, "calendar read a.ics --apply --json", "deleted", "");
    cli_ok(cli, "calendar write --out a.ics");
    text = read_file(cli, "a.ics");
    entry = entry_of(text, "Strain B27-001");
    sequence = value_of(entry, "SEQUENCE");
    assert_string_not_equal(sequence, "0");
    delete_entry(cli, "a.ics", "Strain B27-001");
    expect_titles(cli, "calendar read a.ics --json", "deleted",
                  "Strain B27-001: Elderflower, tincture");
}

static void a_deleted_step_is_dropped_in_the_book_unless_its_task_stays(void **state)
{
    struct cli *cli = *state;
    json_t *batch, *step;
    gboolean dropped = FALSE;
    size_t i;

    season(cli);
    cli_ok(cli, "calendar write --tasks --out a.ics");
    delete_entry(cli, "a.ics", "Shake B27-001"); /* the task stands first, so: */
    {
        g_autofree char *text = read_file(cli, "a.ics");
        g_autofree char *entry = entry_of(text, "Shake B27-001");

        assert_true(g_str_has_prefix(entry, "BEGIN:VTODO"));
    }
    cli_ok(cli, "calendar read a.ics --apply --deleted drop");
    batch = cli_json(cli, "batch show B27-001 --json");
    json_array_foreach(json_object_get(batch, "steps"), i, step)
    {
        if (strcmp(json_text(step, "step"), "shake") == 0)
            assert_true(json_is_null(json_object_get(step, "dropped")));
    }
    json_decref(batch);
    cli_ok(cli, "calendar write --tasks --out a.ics");
    {
        g_autofree char *text = read_file(cli, "a.ics");
        const char *task = strstr(text, "SUMMARY:Shake B27-001");

        assert_non_null(task);
        assert_null(strstr(task + 1, "SUMMARY:Shake B27-001"));
        assert_null(strstr(text, "SUMMARY:Called off: Shake"));
    }
    /* In a calendar of events alone there is no other. */
    cli_ok(cli, "calendar write --out e.ics");
    delete_entry(cli, "e.ics", "Shake B27-001");
    cli_ok(cli, "calendar read e.ics --apply --deleted drop");
    batch = cli_json(cli, "batch show B27-001 --json");
    json_array_foreach(json_object_get(batch, "steps"), i, step)
    {
        if (strcmp(json_text(step, "step"), "shake") == 0)
            dropped = !json_is_null(json_object_get(step, "dropped"));
    }
    assert_true(dropped);
    json_decref(batch);
    cli_ok(cli, "batch step B27-001 shake --due 2027-06-24");
    cli_ok(cli, "calendar write --out e.ics");
    expect_entry(cli, "e.ics", "Shake B27-001", "STATUS:CONFIRMED");
    cli_ok(cli, "book check");
}

/* A part of the calendar written over the whole is no deletion of the rest. */
static void what_was_left_out_by_choice_or_is_over_is_not_asked_about(void **state)
{
    struct cli *cli = *state;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    cli_ok(cli, "calendar write --what steps --out a.ics");
    expect_titles(cli, "calendar read a.ics --json", "deleted", "");
    cli_ok(cli, "calendar write --out a.ics");
    delete_entry(cli, "a.ics", GILL);
    cli->today = "2027-12-20";
    expect_titles(cli, "calendar read a.ics --json", "deleted", "");
}

/* ---- a folder -------------------------------------------------------------------------------- */

/* The file of the folder that holds the title. */
static char *file_with(struct cli *cli, const char *folder, const char *title)
{
    g_autofree char *path = path_in(cli, folder);
    g_autoptr(GDir) dir = g_dir_open(path, 0, NULL);
    const char *name;

    while ((name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *file = g_build_filename(folder, name, NULL);

        if (g_str_has_suffix(name, ".ics") && file_has(cli, file, title))
            return g_steal_pointer(&file);
    }
    fail_msg("no file with %s in %s", title, folder);
    return NULL;
}

static void a_folder_is_read_back_whole(void **state)
{
    static const char foreign[] =
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\nBEGIN:VEVENT\r\nUID:tea\r\n"
        "DTSTAMP:20270101T000000Z\r\nDTSTART;VALUE=DATE:20270701\r\nSUMMARY:Tea with Ann\r\n"
        "END:VEVENT\r\nEND:VCALENDAR\r\n";
    struct cli *cli = *state;
    g_autofree char *window = NULL, *strain = NULL, *shake = NULL, *theirs = NULL, *was = NULL;
    g_autofree char *moved = NULL;
    json_t *json;

    season(cli);
    cli_ok(cli, "calendar write --split sync");
    window = file_with(cli, "sync", "SUMMARY:" GILL);
    strain = file_with(cli, "sync", "SUMMARY:Strain B27-001");
    shake = file_with(cli, "sync", "SUMMARY:Shake B27-001");
    /* One deleted, one changed, one under another name, one of the person's own. */
    {
        g_autofree char *gone = path_in(cli, shake), *from = path_in(cli, window);
        g_autofree char *to = path_in(cli, "sync/from-the-server.ics");

        assert_int_equal(g_unlink(gone), 0);
        assert_int_equal(g_rename(from, to), 0);
    }
    change(cli, strain, "Strain B27-001", "SUMMARY:Strain", "SUMMARY:Strain with Ann:");
    write_text(cli, "sync/tea.ics", foreign);
    cli_refused(cli, "calendar write --split sync", 1, "Shake B27-001");
    json = cli_json(cli, "calendar read sync --apply --json");
    assert_int_equal((int)json_number(json, "foreign"), 1);
    assert_string_equal(json_text(only(json, "deleted"), "code"), "B27-001");
    assert_string_equal(json_text(only(json, "kept"), "change"), "title");
    json_decref(json);
    cli_refused(cli, "calendar write --split sync", 1, "Shake B27-001");
    cli_ok(cli, "calendar read sync --apply --deleted drop");
    cli_ok(cli, "calendar write --split sync");
    expect_entry(cli, strain, "Strain with Ann", "UID");
    theirs = path_in(cli, "sync/from-the-server.ics");
    was = path_in(cli, window);
    assert_true(g_file_test(theirs, G_FILE_TEST_EXISTS));
    assert_false(g_file_test(was, G_FILE_TEST_EXISTS));
    moved = path_in(cli, shake);
    assert_false(g_file_test(moved, G_FILE_TEST_EXISTS));
    {
        g_autofree char *tea = read_file(cli, "sync/tea.ics");

        assert_string_equal(tea, foreign);
    }
    /* By its other name it is the same folder. */
    {
        g_autofree char *whole = path_in(cli, "sync");
        g_autofree char *line = g_strdup_printf("calendar read '%s' --json", whole);

        expect_titles(cli, line, "deleted", "");
        expect_changes(cli, line, "kept", "");
    }
    expect_counts(cli, "calendar write --split sync --json", 0, 0, 0);
}

/* What was set in one file of a folder, read alone, is kept as if the folder had been read; the
 * others are not missed. */
static void one_file_of_a_folder_is_kept_as_it_was_set(void **state)
{
    struct cli *cli = *state;
    g_autofree char *window = NULL, *line = NULL, *seen = NULL;

    season(cli);
    cli_ok(cli, "calendar write --split sync");
    window = file_with(cli, "sync", "SUMMARY:" GILL);
    change(cli, window, GILL, "SUMMARY:" GILL, "SUMMARY:Elder walk");
    seen = g_strdup_printf("calendar read '%s' --json", window);
    expect_titles(cli, seen, "deleted", "");
    line = g_strdup_printf("calendar read '%s' --apply --json", window);
    expect_changes(cli, line, "kept", "title: Elder walk");
    expect_counts(cli, "calendar write --split sync --json", 0, 1, 0);
    expect_entry(cli, window, "Elder walk", "UID");
}

/* A calendar that was written as another than its file: read without that name it is not known,
 * and nothing that the person set goes under. */
static void what_was_set_in_a_calendar_of_unknown_name_is_not_written_over(void **state)
{
    struct cli *cli = *state;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics --as phone");
    change(cli, "a.ics", GILL, "SUMMARY:" GILL, "SUMMARY:Elder walk");
    expect_changes(cli, "calendar read a.ics --apply --json", "kept", "");
    expect_changes(cli, "calendar read a.ics --apply --json", "conflicts",
                   "title: Elder walk (not)");
    cli_refused(cli, "calendar write --out a.ics --as phone", 1, "was changed since");
    expect_changes(cli, "calendar read a.ics --as phone --apply --json", "kept",
                   "title: Elder walk");
    cli_ok(cli, "calendar write --out a.ics --as phone");
    expect_entry(cli, "a.ics", "Elder walk", "UID");
}

/* ---- dropped, and taken up again there ------------------------------------------------------- */

static void what_was_called_off_is_taken_up_again_in_the_calendar(void **state)
{
    struct cli *cli = *state;
    json_t *json;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    cli_ok(cli, "calendar write --out b.ics");
    change(cli, "a.ics", GILL, "STATUS:CONFIRMED", "STATUS:CANCELLED");
    change(cli, "a.ics", "Shake B27-001", "STATUS:CONFIRMED", "STATUS:CANCELLED");
    cli_ok(cli, "calendar read a.ics --apply");
    cli_ok(cli, "calendar write --out a.ics");
    /* The other calendar has not heard of it: that says nothing. */
    expect_titles(cli, "calendar read b.ics --json", "again", "");
    change(cli, "a.ics", "Called off: " GILL, "STATUS:CANCELLED", "STATUS:CONFIRMED");
    change(cli, "a.ics", "Called off: Shake", "STATUS:CANCELLED", "STATUS:CONFIRMED");
    json = cli_json(cli, "calendar read a.ics --apply --json");
    assert_string_equal(json_text(only(json, "again"), "kind"), "window");
    assert_true(json_is_true(json_object_get(only(json, "again"), "applied")));
    assert_string_equal(json_text(only(json, "ignored"), "next"), "due");
    assert_string_equal(json_text(only(json, "ignored"), "code"), "B27-001");
    json_decref(json);
    cli_ok(cli, "calendar write --out a.ics");
    expect_entry(cli, "a.ics", GILL, "STATUS:CONFIRMED");
    expect_entry(cli, "a.ics", "Called off: Shake", "STATUS:CANCELLED");
    expect_titles(cli, "calendar read a.ics --json", "again", "");
}

#define test(name) cmocka_unit_test_setup_teardown(name, cli_set_up, cli_tear_down)

static const struct CMUnitTest tests[] = {
    test(a_title_note_category_and_alarm_stay_in_the_calendar_where_they_were_set),
    test(what_the_book_must_say_is_said_beside_what_the_person_set),
    test(what_is_set_back_to_the_books_is_the_books_again),
    test(of_an_old_copy_only_what_was_touched_is_the_persons),
    test(a_deleted_entry_is_asked_about_once),
    test(a_deleted_entry_may_be_wanted_again),
    test(a_deleted_step_is_dropped_in_the_book_unless_its_task_stays),
    test(what_was_left_out_by_choice_or_is_over_is_not_asked_about),
    test(a_folder_is_read_back_whole),
    test(one_file_of_a_folder_is_kept_as_it_was_set),
    test(what_was_set_in_a_calendar_of_unknown_name_is_not_written_over),
    test(what_was_called_off_is_taken_up_again_in_the_calendar),
};
expect_main(tests)
