/* SPDX-License-Identifier: MIT
 *
 * Calendars at the command line: what an application changes in them, and what of it comes back.
 */
#include "calendar_file.h"

/* ---- reading back ---------------------------------------------------------------------------- */

static void a_moved_window_is_fixed_to_its_days(void **state)
{
    struct cli *cli = *state;
    g_autofree char *text = NULL, *entry = NULL, *start = NULL, *end = NULL;
    g_autofree char *from = NULL, *to = NULL, *sequence = NULL;
    json_t *json, *moved, *windows;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    text = read_file(cli, "a.ics");
    entry = entry_of(text, "Elderflower\\, Withy Gill");
    start = value_of(entry, "DTSTART");
    end = value_of(entry, "DTEND");
    from = g_strdup_printf("DTSTART;VALUE=DATE:%s\r\nDTEND;VALUE=DATE:%s", start, end);
    change(cli, "a.ics", "Elderflower\\, Withy Gill", from,
           "DTSTART;VALUE=DATE:20270703\r\nDTEND;VALUE=DATE:20270711");
    /* The application counts up (RFC 5546 2.1.4). */
    change(cli, "a.ics", "Elderflower\\, Withy Gill", "SEQUENCE:0", "SEQUENCE:4");
    json = cli_json(cli, "calendar read a.ics --json");
    moved = only(json, "moved");
    assert_string_equal(json_text(moved, "first"), "2027-07-03");
    assert_string_equal(json_text(moved, "last"), "2027-07-10");
    assert_false(json_is_true(json_object_get(moved, "applied")));
    json_decref(json);
    json = cli_json(cli, "calendar read a.ics --apply --json");
    assert_true(json_is_true(json_object_get(only(json, "moved"), "applied")));
    json_decref(json);
    windows = cli_json(
        cli, "window list --site 'Withy Gill' --material elder/flower --use medicine --json");
    assert_string_equal(json_text(json_array_get(windows, 0), "basis"), "fixed");
    assert_string_equal(json_text(json_array_get(windows, 0), "likely_start"), "2027-07-03");
    assert_string_equal(json_text(json_array_get(windows, 0), "likely_end"), "2027-07-10");
    json_decref(windows);
    /* Twice changes nothing more. */
    json = cli_json(cli, "calendar read a.ics --apply --json");
    assert_int_equal(json_array_size(json_object_get(json, "moved")), 0);
    json_decref(json);
    /* The file may be written again, and ours is newer than both. */
    cli_ok(cli, "calendar write --out a.ics");
    g_free(text);
    g_free(entry);
    text = read_file(cli, "a.ics");
    entry = entry_of(text, "Elderflower\\, Withy Gill");
    sequence = value_of(entry, "SEQUENCE");
    assert_true(atoi(sequence) > 4);
    assert_non_null(strstr(entry, "DTSTART;VALUE=DATE:20270703"));
    to = read_file(cli, "a.ics");
    expect_counts(cli, "calendar write --out a.ics --json", 0, 0, 0);
}

/* A calendar of the year to come, made in winter. */
static void a_window_of_another_year_is_fixed_too(void **state)
{
    struct cli *cli = *state;
    g_autofree char *text = NULL, *entry = NULL, *start = NULL, *end = NULL, *from = NULL;
    json_t *json;

    season(cli);
    cli_ok(cli, "calendar write --what windows --from 2028-01-01 --to 2028-12-31 --out n.ics");
    text = read_file(cli, "n.ics");
    entry = entry_of(text, "Elderflower\\, Withy Gill");
    start = value_of(entry, "DTSTART");
    end = value_of(entry, "DTEND");
    assert_true(g_str_has_prefix(start, "2028"));
    from = g_strdup_printf("DTSTART;VALUE=DATE:%s\r\nDTEND;VALUE=DATE:%s", start, end);
    change(cli, "n.ics", "Elderflower\\, Withy Gill", from,
           "DTSTART;VALUE=DATE:20280601\r\nDTEND;VALUE=DATE:20280611");
    json = cli_json(cli, "calendar read n.ics --apply --json");
    assert_true(json_is_true(json_object_get(only(json, "moved"), "applied")));
    json_decref(json);
    json =
        cli_json(cli, "window list --year 2028 --site 'Withy Gill' --material elder/flower --use "
                      "medicine --json");
    assert_string_equal(json_text(json_array_get(json, 0), "basis"), "fixed");
    assert_string_equal(json_text(json_array_get(json, 0), "likely_end"), "2028-06-10");
    json_decref(json);
}

static void a_moved_reminder_moves_the_step(void **state)
{
    struct cli *cli = *state;
    g_autofree char *text = NULL, *entry = NULL, *start = NULL, *from = NULL, *end = NULL;
    json_t *json, *item;
    gboolean found = FALSE;
    size_t i;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    text = read_file(cli, "a.ics");
    entry = entry_of(text, "Strain B27-001");
    start = value_of(entry, "DTSTART");
    end = value_of(entry, "DTEND");
    from = g_strdup_printf("DTSTART;VALUE=DATE:%s\r\nDTEND;VALUE=DATE:%s", start, end);
    /* Moved to a time of day, in UTC: 23:30 UTC on 9 August is 10 August in Britain. */
    change(cli, "a.ics", "Strain B27-001", from,
           "DTSTART:20270809T233000Z\r\nDTEND:20270810T003000Z");
    json = cli_json(cli, "calendar read a.ics --apply --json");
    assert_string_equal(json_text(only(json, "moved"), "code"), "B27-001");
    json_decref(json);
    json = cli_json(cli, "batch show B27-001 --json");
    json_array_foreach(json_object_get(json, "steps"), i, item)
    {
        if (strcmp(json_text(item, "step"), "strain") == 0)
            found = strcmp(json_text(item, "due"), "2027-08-10") == 0;
    }
    assert_true(found);
    json_decref(json);
    /* Another calendar that had the old day says nothing new. */
    write_text(cli, "old.ics", text);
    json = cli_json(cli, "calendar read old.ics --json");
    assert_int_equal(json_array_size(json_object_get(json, "moved")), 0);
    assert_int_equal(json_array_size(json_object_get(json, "conflicts")), 0);
    json_decref(json);
}

/* Whatever the zone and form of what we wrote, read back unchanged it says nothing. */
static void what_was_not_touched_says_nothing(void **state)
{
    static const char *const ways[] = {
        "calendar write --out w.ics --tasks",
        "calendar write --out w.ics --tasks --at 08:30",
        "calendar write --out w.ics --tasks --at 23:30 --zone America/St_Johns",
        "calendar write --out w.ics --at 00:15 --zone Pacific/Auckland",
    };
    static const char *const lists[] = {"moved", "done", "dropped", "conflicts", "ignored"};
    struct cli *cli = *state;

    season(cli);
    for (gsize i = 0; i < G_N_ELEMENTS(ways); i++) {
        json_t *json;

        cli_ok(cli, ways[i]);
        json = cli_json(cli, "calendar read w.ics --json");
        assert_true((int)json_number(json, "ours") > 5);
        assert_int_equal((int)json_number(json, "ours"), (int)json_number(json, "unchanged"));
        for (gsize j = 0; j < G_N_ELEMENTS(lists); j++)
            assert_int_equal(json_array_size(json_object_get(json, lists[j])), 0);
        json_decref(json);
    }
}

/* The three ways in which applications say that a task is done, each alone. */
static void a_ticked_task_is_a_step_done(void **state)
{
    static const char *const ticks[][2] = {
        {"STATUS:NEEDS-ACTION", "STATUS:COMPLETED"},
        {"STATUS:NEEDS-ACTION", "COMPLETED:20270620T080000Z"},
        {"STATUS:NEEDS-ACTION", "PERCENT-COMPLETE:100"},
    };
    struct cli *cli = *state;

    season(cli);
    for (gsize i = 0; i < G_N_ELEMENTS(ticks); i++) {
        g_autofree char *code = g_strdup_printf("B27-%03d", (int)i + 1);
        g_autofree char *title = g_strdup_printf("Top up %s", code);
        g_autofree char *show = g_strdup_printf("batch show %s --json", code);
        json_t *json, *item;
        gboolean found = FALSE;
        size_t s;

        if (i > 0)
            cli_ok(cli, "batch start tincture --from H27-001:40g --jar 250mL --menstruum 'spirit "
                        "40%, Ash Beck Still, 98' --on 2027-06-19");
        cli_ok(cli, "calendar write --tasks-only --out t.ics --as tasks --force");
        change(cli, "t.ics", title, ticks[i][0], ticks[i][1]);
        json = cli_json(cli, "calendar read t.ics --as tasks --apply --json");
        assert_string_equal(json_text(only(json, "done"), "code"), code);
        json_decref(json);
        json = cli_json(cli, show);
        json_array_foreach(json_object_get(json, "steps"), s, item)
        {
            if (strcmp(json_text(item, "step"), "top-up") == 0)
                found = strcmp(json_text(item, "done"), "2027-06-20") == 0;
        }
        assert_true(found);
        json_decref(json);
        json = cli_json(cli, "calendar read t.ics --as tasks --apply --json");
        assert_int_equal(json_array_size(json_object_get(json, "done")), 0);
        json_decref(json);
    }
}

/* One day of a step of B27-001: "done", "due" or "dropped"; "" for none. Free it. */
static char *step_day(struct cli *cli, const char *step, const char *what)
{
    json_t *batch = cli_json(cli, "batch show B27-001 --json"), *item;
    char *day = NULL;
    size_t i;

    json_array_foreach(json_object_get(batch, "steps"), i, item)
    {
        if (strcmp(json_text(item, "step"), step) == 0)
            day = g_strdup(json_text(item, what));
    }
    json_decref(batch);
    return day;
}

static void expect_step(struct cli *cli, const char *step, const char *what, const char *day)
{
    g_autofree char *found = step_day(cli, step, what);

    assert_string_equal(found, day);
}

static void a_tick_notes_the_step_on_the_day_that_the_calendar_says(void **state)
{
    struct cli *cli = *state;
    json_t *json;

    season(cli);
    cli->today = "2027-08-01";
    cli_ok(cli, "calendar write --tasks-only --out t.ics");
    change(cli, "t.ics", "Top up B27-001", "STATUS:NEEDS-ACTION",
           "STATUS:COMPLETED\r\nCOMPLETED:20270621T090000Z");
    change(cli, "t.ics", "Shake B27-001", "STATUS:NEEDS-ACTION",
           "STATUS:COMPLETED\r\nCOMPLETED:20270728T090000Z");
    /* Before the batch was started: the clock was wrong, so it was done today. */
    change(cli, "t.ics", "Ready B27-001", "STATUS:NEEDS-ACTION",
           "STATUS:COMPLETED\r\nCOMPLETED:20200101T090000Z");
    json = cli_json(cli, "calendar read t.ics --apply --json");
    assert_int_equal(json_array_size(json_object_get(json, "done")), 3);
    json_decref(json);
    expect_step(cli, "top-up", "done", "2027-06-21");
    expect_step(cli, "shake", "done", "2027-07-28");
    expect_step(cli, "shake", "due",
                "2027-07-30"); /* every two days, to the day before straining */
    expect_step(cli, "ready", "done", "2027-08-01");
    json = cli_json(cli, "calendar read t.ics --apply --json");
    assert_int_equal(json_array_size(json_object_get(json, "done")), 0);
    json_decref(json);
}

/* What came out is what a tick cannot say: the command that can is named whole. */
/* COMPLETED is a moment in UTC: what is ticked at half past eight in the evening in New York was
 * done on that day, not on the next. */
static void a_tick_counts_on_the_day_where_it_was_made(void **state)
{
    static const struct {
        const char *zone, *completed, *day;
    } cases[] = {
        {"America/New_York", "20270620T003000Z", "2027-06-19"},
        {"Pacific/Auckland", "20270618T233000Z", "2027-06-19"},
        {"Europe/London", "20270618T233000Z", "2027-06-19"},
    };
    struct cli *cli = *state;

    season(cli);
    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autofree char *line = g_strconcat("book set zone ", cases[i].zone, NULL);
        g_autofree char *ticked =
            g_strconcat("STATUS:COMPLETED\r\nCOMPLETED:", cases[i].completed, NULL);

        if (i > 0) {
            cli_ok(cli, "batch start tincture --from H27-001:20g --jar 250mL --menstruum 'spirit "
                        "40%, Ash Beck Still, 98' --on 2027-06-19");
        }
        cli_ok(cli, line);
        cli_ok(cli, "calendar write --tasks --out t.ics --force");
        {
            g_autofree char *code = g_strdup_printf("B27-%03d", (int)i + 1);
            g_autofree char *title = g_strdup_printf("Shake %s", code);
            g_autofree char *show = g_strdup_printf("batch show %s --json", code);
            json_t *json, *item;
            gboolean found = FALSE;
            size_t at;

            change(cli, "t.ics", title, "STATUS:NEEDS-ACTION", ticked);
            cli_ok(cli, "calendar read t.ics --apply");
            json = cli_json(cli, show);
            json_array_foreach(json_object_get(json, "steps"), at, item)
            {
                if (strcmp(json_text(item, "step"), "shake") == 0) {
                    assert_string_equal(json_text(item, "done"), cases[i].day);
                    found = TRUE;
                }
            }
            assert_true(found);
            json_decref(json);
        }
    }
}

static void straining_ticked_off_asks_for_its_yield(void **state)
{
    struct cli *cli = *state;
    g_autofree char *line = NULL, *text = NULL, *entry = NULL;
    const char *named;
    json_t *json;

    season(cli);
    cli_ok(cli, "calendar write --tasks-only --out t.ics");
    change(cli, "t.ics", "Strain B27-001", "STATUS:NEEDS-ACTION",
           "STATUS:COMPLETED\r\nCOMPLETED:20270620T170000Z");
    for (int i = 0; i < 2; i++) {
        json = cli_json(cli, "calendar read t.ics --apply --json");
        assert_string_equal(json_text(only(json, "ignored"), "next"), "press");
        assert_string_equal(json_text(only(json, "ignored"), "done_on"), "2027-06-20");
        json_decref(json);
        named = strstr(cli_ok(cli, "calendar read t.ics --apply"),
                       "batch press B27-001 --yield AMOUNT --on 2027-06-20");
        assert_non_null(named);
        g_free(line);
        line = g_strndup(named, strcspn(named, "\n"));
    }
    expect_step(cli, "strain", "done", "");
    {
        g_auto(GStrv) parts = g_strsplit(line, "AMOUNT", 2);
        g_autofree char *whole = g_strconcat(parts[0], "400mL", parts[1], NULL);

        cli_ok(cli, whole);
    }
    cli_ok(cli, "calendar write --tasks-only --out t.ics");
    text = read_file(cli, "t.ics");
    entry = entry_of(text, "Strain B27-001");
    assert_non_null(strstr(entry, "STATUS:COMPLETED"));
    /* A use-by day is no work: what ends it is named. */
    change(cli, "t.ics", "Use by L27-001", "STATUS:NEEDS-ACTION", "STATUS:COMPLETED");
    json = cli_json(cli, "calendar read t.ics --apply --json");
    assert_string_equal(json_text(only(json, "ignored"), "next"), "use");
    json_decref(json);
    assert_non_null(strstr(cli_ok(cli, "calendar read t.ics --apply"), "discard L27-001 --why"));
}

/* Cancelled in the calendar, the event and the task beside it: dropped in the book too, once. */
static void a_cancelled_step_is_dropped_in_the_book_until_it_is_taken_up_again(void **state)
{
    struct cli *cli = *state;
    g_autofree char *text = NULL, *other = NULL, *entry = NULL, *sequence = NULL;
    json_t *json;

    season(cli);
    cli_ok(cli, "calendar write --tasks --out a.ics");
    change(cli, "a.ics", "Shake B27-001", "STATUS:NEEDS-ACTION", "STATUS:CANCELLED");
    {
        g_autofree char *file = read_file(cli, "a.ics");
        g_auto(GStrv) at = g_strsplit(file, "SUMMARY:Shake B27-001", 3);
        g_auto(GStrv) last = g_strsplit(at[2], "STATUS:CONFIRMED", 2);
        g_autofree char *both =
            g_strconcat(at[0], "SUMMARY:Shake B27-001", at[1], "SUMMARY:Shake B27-001", last[0],
                        "STATUS:CANCELLED", last[1], NULL);

        write_text(cli, "a.ics", both);
    }
    json = cli_json(cli, "calendar read a.ics --json");
    assert_int_equal(json_array_size(json_object_get(json, "dropped")), 2);
    json_decref(json);
    expect_step(cli, "shake", "dropped", ""); /* without --apply nothing */
    json = cli_json(cli, "calendar read a.ics --apply --json");
    assert_int_equal(json_array_size(json_object_get(json, "dropped")), 2);
    json_decref(json);
    expect_step(cli, "shake", "dropped", "2027-06-20");
    expect_step(cli, "shake", "done", "");
    json = cli_json(cli, "calendar read a.ics --apply --json");
    assert_int_equal(json_array_size(json_object_get(json, "dropped")), 0);
    json_decref(json);
    cli_ok(cli, "book check");

    /* Off in the calendar that had it, never in one that had not. */
    expect_counts(cli, "calendar write --tasks --out a.ics --json", 0, 0, 2);
    cli_ok(cli, "calendar write --tasks --out b.ics");
    other = read_file(cli, "b.ics");
    assert_null(strstr(other, "Shake B27-001"));

    /* Taken up again it is due in both, as something newer; and may be cancelled again. */
    cli_ok(cli, "batch step B27-001 shake --due 2027-06-24");
    expect_step(cli, "shake", "dropped", "");
    expect_step(cli, "shake", "due", "2027-06-24");
    cli_ok(cli, "calendar write --out a.ics --tasks");
    text = read_file(cli, "a.ics");
    entry = entry_of(text, "Shake B27-001");
    sequence = value_of(entry, "SEQUENCE");
    assert_true(atoi(sequence) >= 2);
    assert_null(strstr(entry, "CANCELLED"));
    change(cli, "a.ics", "Shake B27-001", "STATUS:NEEDS-ACTION", "STATUS:CANCELLED");
    json = cli_json(cli, "calendar read a.ics --apply --json");
    assert_int_equal(json_array_size(json_object_get(json, "dropped")), 1);
    json_decref(json);
    expect_step(cli, "shake", "dropped", "2027-06-20");
}

/* A use-by day stays in the book, whatever is cancelled or moved in the calendar. */
static void a_use_by_day_is_not_moved_or_dropped_by_a_calendar(void **state)
{
    struct cli *cli = *state;
    g_autofree char *text = NULL, *entry = NULL, *start = NULL, *end = NULL, *from = NULL,
                    *due = NULL;
    json_t *json;

    season(cli);
    due = step_day(cli, "use-by", "due");
    cli_ok(cli, "calendar write --out a.ics");
    text = read_file(cli, "a.ics");
    entry = entry_of(text, "Use by B27-001");
    start = value_of(entry, "DTSTART");
    end = value_of(entry, "DTEND");
    from = g_strdup_printf("DTSTART;VALUE=DATE:%s\r\nDTEND;VALUE=DATE:%s", start, end);
    change(cli, "a.ics", "Use by B27-001", from,
           "DTSTART;VALUE=DATE:20300101\r\nDTEND;VALUE=DATE:20300102");
    json = cli_json(cli, "calendar read a.ics --apply --json");
    assert_non_null(strstr(json_text(only(json, "ignored"), "why"), "use-by day follows"));
    json_decref(json);
    expect_step(cli, "use-by", "due", due);
    change(cli, "a.ics", "Use by B27-001", "STATUS:CONFIRMED", "STATUS:CANCELLED");
    change(cli, "a.ics", "Use by B27-001",
           "DTSTART;VALUE=DATE:20300101\r\nDTEND;VALUE=DATE:20300102", from);
    json = cli_json(cli, "calendar read a.ics --apply --json");
    assert_string_equal(json_text(only(json, "dropped"), "kind"), "step");
    json_decref(json);
    expect_step(cli, "use-by", "due", due);
    expect_step(cli, "use-by", "dropped", "");
}

static void a_cancelled_entry_is_written_no_more(void **state)
{
    struct cli *cli = *state;
    g_autofree char *text = NULL, *entry = NULL;
    json_t *json;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    change(cli, "a.ics", "Shake B27-001", "STATUS:CONFIRMED", "STATUS:CANCELLED");
    json = cli_json(cli, "calendar read a.ics --apply --json");
    assert_string_equal(json_text(only(json, "dropped"), "change"), "dropped");
    json_decref(json);
    cli_ok(cli, "calendar write --out a.ics");
    text = read_file(cli, "a.ics");
    entry = entry_of(text, "Called off: Shake B27-001");
    assert_non_null(strstr(entry, "STATUS:CANCELLED"));
    json = cli_json(cli, "calendar read a.ics --apply --json");
    assert_int_equal(json_array_size(json_object_get(json, "dropped")), 0);
    json_decref(json);
}

/* An outing moved to another day is gone on that day; one cancelled is gone on no more. */
static void an_outing_moves_and_ends_with_its_entry(void **state)
{
    struct cli *cli = *state;
    g_autofree char *text = NULL, *entry = NULL, *last = NULL, *off = NULL;
    json_t *json;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "stand set 'Withy Gill' elder --area 200m2 --cover 50%");
    cli_ok(cli, "plan add 'for the winter' tincture elder/flower --yield 300mL");
    cli_ok(cli, "plan outings --home 54.6,-2.6 --days sat --nodes 200 --keep");
    cli_ok(cli, "calendar write --what outings --out o.ics");
    change(cli, "o.ics", "Outing: Withy Gill",
           "DTSTART;VALUE=DATE:20270626\r\nDTEND;VALUE=DATE:20270627",
           "DTSTART;VALUE=DATE:20270627\r\nDTEND;VALUE=DATE:20270628");
    json = cli_json(cli, "calendar read o.ics --apply --json");
    assert_string_equal(json_text(only(json, "moved"), "kind"), "outing");
    assert_string_equal(json_text(only(json, "moved"), "first"), "2027-06-27");
    json_decref(json);
    json = cli_json(cli, "calendar read o.ics --apply --json");
    assert_int_equal(json_array_size(json_object_get(json, "moved")), 0);
    json_decref(json);
    cli_ok(cli, "calendar write --what outings --out o.ics");
    text = read_file(cli, "o.ics");
    entry = entry_of(text, "Outing: Withy Gill");
    assert_non_null(strstr(entry, "DTSTART;VALUE=DATE:20270627"));

    change(cli, "o.ics", "Outing: Withy Gill", "STATUS:CONFIRMED", "STATUS:CANCELLED");
    json = cli_json(cli, "calendar read o.ics --apply --json");
    assert_string_equal(json_text(only(json, "dropped"), "kind"), "outing");
    json_decref(json);
    json = cli_json(cli, "calendar read o.ics --apply --json");
    assert_int_equal(json_array_size(json_object_get(json, "dropped")), 0);
    json_decref(json);
    cli_ok(cli, "calendar write --out o.ics");
    last = read_file(cli, "o.ics");
    off = entry_of(last, "Called off: Outing: Withy Gill");
    assert_non_null(strstr(off, "STATUS:CANCELLED"));
    cli_ok(cli, "book check");
}

static void what_was_moved_here_and_there_is_named_not_guessed(void **state)
{
    static const struct {
        const char *line, *due;
    } ends[] = {{"calendar read b.ics --apply --json", "2027-08-10"},
                {"calendar read b.ics --apply --prefer calendar --json", "2027-08-20"}};
    struct cli *cli = *state;
    g_autofree char *text = NULL, *entry = NULL, *start = NULL, *end = NULL, *from = NULL;
    json_t *json;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    cli_ok(cli, "calendar write --out b.ics");
    text = read_file(cli, "a.ics");
    entry = entry_of(text, "Strain B27-001");
    start = value_of(entry, "DTSTART");
    end = value_of(entry, "DTEND");
    from = g_strdup_printf("DTSTART;VALUE=DATE:%s\r\nDTEND;VALUE=DATE:%s", start, end);
    change(cli, "a.ics", "Strain B27-001", from,
           "DTSTART;VALUE=DATE:20270810\r\nDTEND;VALUE=DATE:20270811");
    cli_ok(cli, "calendar read a.ics --apply");
    change(cli, "b.ics", "Strain B27-001", from,
           "DTSTART;VALUE=DATE:20270820\r\nDTEND;VALUE=DATE:20270821");
    for (gsize i = 0; i < G_N_ELEMENTS(ends); i++) {
        json_t *item;
        size_t s;

        json = cli_json(cli, ends[i].line);
        if (i == 0)
            assert_non_null(strstr(json_text(only(json, "conflicts"), "why"), "2027-08-10"));
        json_decref(json);
        json = cli_json(cli, "batch show B27-001 --json");
        json_array_foreach(json_object_get(json, "steps"), s, item)
        {
            if (strcmp(json_text(item, "step"), "strain") == 0)
                assert_string_equal(json_text(item, "due"), ends[i].due);
        }
        json_decref(json);
        if (i == 0) /* nothing in it may be lost by writing over it */
            cli_refused(cli, "calendar write --out b.ics", 1, "was changed");
    }
    cli_ok(cli, "calendar write --out b.ics");
}

static void other_entries_are_counted_and_left_or_become_an_almanac(void **state)
{
    static const char own[] =
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\n"
        "BEGIN:VEVENT\r\nUID:1\r\nDTSTAMP:20270101T000000Z\r\nDTSTART;VALUE=DATE:20270501\r\n"
        "DTEND;VALUE=DATE:20270520\r\nSUMMARY:Nettle leaf\r\nEND:VEVENT\r\n"
        "BEGIN:VEVENT\r\nUID:2\r\nDTSTAMP:20270101T000000Z\r\nDTSTART;VALUE=DATE:20270502\r\n"
        "SUMMARY:Dentist\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n";
    struct cli *cli = *state;
    g_autofree char *before = NULL;
    g_autofree char *after = NULL;
    json_t *json;

    season(cli);
    write_text(cli, "own.ics", own);
    before = read_file(cli, "own.ics");
    json = cli_json(cli, "calendar read own.ics --json");
    assert_int_equal((int)json_number(json, "foreign"), 2);
    assert_int_equal((int)json_number(json, "ours"), 0);
    json_decref(json);
    json = cli_json(cli, "calendar read own.ics --as-almanac 'Skirradale' --apply --json");
    assert_int_equal((int)json_number(json, "almanac_rows"), 1);
    assert_int_equal((int)json_number(json, "foreign"), 1);
    json_decref(json);
    json = cli_json(cli, "almanac list --almanac Skirradale --json");
    assert_int_equal(json_array_size(json), 1);
    assert_string_equal(json_text(json_array_get(json, 0), "material"), "nettle/leaf");
    json_decref(json);
    after = read_file(cli, "own.ics");
    assert_string_equal(before, after);
    /* A file of ours with other people's entries in it is not written over. */
    cli_ok(cli, "calendar write --out a.ics");
    {
        g_autofree char *text = read_file(cli, "a.ics");
        g_auto(GStrv) parts = g_strsplit(text, "END:VCALENDAR", 2);
        g_autofree char *more = g_strconcat(parts[0], strstr(own, "BEGIN:VEVENT\r\nUID:2"), NULL);

        write_text(cli, "a.ics", more);
    }
    cli_ok(cli, "calendar read a.ics --apply");
    cli_refused(cli, "calendar write --out a.ics", 1, "was changed");
}

static void reading_alone_changes_nothing_and_bad_files_are_named(void **state)
{
    static const struct {
        const char *text, *part;
    } bad[] = {{"", "empty"},
               {"hello", "not an iCalendar"},
               {"<html></html>", "web page"},
               {"BEGIN:VCALENDAR\r\nBEGIN:VCALENDAR", NULL}};
    struct cli *cli = *state;
    g_autofree char *before = NULL;
    g_autofree char *after = NULL;

    season(cli);
    cli_ok(cli, "calendar write --out a.ics");
    change(cli, "a.ics", "Shake B27-001", "STATUS:CONFIRMED", "STATUS:CANCELLED");
    before = cli_checksum(cli);
    cli_ok(cli, "calendar read a.ics");
    after = cli_checksum(cli);
    assert_string_equal(before, after);
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        write_text(cli, "bad.ics", bad[i].text);
        if (bad[i].part != NULL) {
            cli_refused(cli, "calendar read bad.ics --apply", 1, bad[i].part);
            cli_refused(cli, "calendar busy bad.ics", 1, bad[i].part);
        } else {
            json_t *json = cli_json(cli, "calendar read bad.ics --json");

            assert_true(json_is_true(json_object_get(json, "truncated")));
            json_decref(json);
        }
    }
    cli_run(cli, "calendar check bad.ics");
    assert_int_equal(cli->status, 1);
    assert_non_null(strstr(cli->out, "begin-end"));
}

#define test(name) cmocka_unit_test_setup_teardown(name, cli_set_up, cli_tear_down)

static const struct CMUnitTest tests[] = {
    test(a_moved_window_is_fixed_to_its_days),
    test(a_window_of_another_year_is_fixed_too),
    test(a_moved_reminder_moves_the_step),
    test(what_was_not_touched_says_nothing),
    test(a_ticked_task_is_a_step_done),
    test(a_tick_notes_the_step_on_the_day_that_the_calendar_says),
    test(a_tick_counts_on_the_day_where_it_was_made),
    test(straining_ticked_off_asks_for_its_yield),
    test(a_cancelled_step_is_dropped_in_the_book_until_it_is_taken_up_again),
    test(a_use_by_day_is_not_moved_or_dropped_by_a_calendar),
    test(a_cancelled_entry_is_written_no_more),
    test(an_outing_moves_and_ends_with_its_entry),
    test(what_was_moved_here_and_there_is_named_not_guessed),
    test(other_entries_are_counted_and_left_or_become_an_almanac),
    test(reading_alone_changes_nothing_and_bad_files_are_named),
};
expect_main(tests)
