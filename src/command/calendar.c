/* SPDX-License-Identifier: MIT
 *
 * simpling calendar …: every date into the calendar that one already uses, and back.
 */
#include "simpling/calendar.h"

#include <string.h>

#include "base/amount.h"
#include "command/rows.h"

#define BUSY_DAYS 365

static gboolean take_tasks(const struct spl_call *call, struct spl_calendar_words *words,
                           GError **error)
{
    if (spl_call_has(call, "tasks") && spl_call_has(call, "tasks-only")) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "calendar write: --tasks is beside the events, --tasks-only instead of them; "
                    "give one of them");
        return FALSE;
    }
    if (spl_call_has(call, "tasks"))
        words->tasks = SPL_CALENDAR_TASKS_TOO;
    if (spl_call_has(call, "tasks-only"))
        words->tasks = SPL_CALENDAR_TASKS_ONLY;
    return TRUE;
}

static gboolean take_words(struct spl_call *call, struct spl_calendar_words *words, GError **error)
{
    const char *what = spl_call_get(call, "what");
    const char *at = spl_call_get(call, "at");

    spl_calendar_words_init(words);
    words->out = spl_call_get(call, "out");
    words->split = spl_call_get(call, "split");
    words->stream = call->out;
    words->as = spl_call_get(call, "as");
    words->name = spl_call_get(call, "name");
    words->zone = spl_call_get(call, "zone");
    words->with_places = spl_call_has(call, "with-places");
    words->new_only = spl_call_has(call, "new-only");
    words->force = spl_call_has(call, "force");
    if (words->out != NULL && words->split != NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "calendar write: --out is one file, --split a folder of files; give one of "
                    "them");
        return FALSE;
    }
    if (words->zone != NULL && at == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "calendar write: --zone goes with --at HH:MM");
        return FALSE;
    }
    if (call->json && g_strcmp0(words->out, "-") == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "calendar write: --out - and --json both want the output; give one of them");
        return FALSE;
    }
    return take_tasks(call, words, error) &&
           (what == NULL || spl_calendar_what_parse(what, &words->what, error)) &&
           (at == NULL || spl_clock_parse(at, "--at", &words->at_min, error)) &&
           spl_call_day(call, "from", SPL_DAY_NONE, &words->from, error) &&
           spl_call_day(call, "to", SPL_DAY_NONE, &words->to, error);
}

static int run_write(struct spl_call *call, GError **error)
{
    struct spl_calendar_words words;
    struct spl_calendar_written written;

    if (!take_words(call, &words, error))
        return -1;
    if (spl_day_is_set(words.from) && spl_day_is_set(words.to) && words.to.n < words.from.n) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "calendar write: --to is before --from; give a later day");
        return -1;
    }
    if (!spl_calendar_write(call->house, &words, &written, error))
        return -1;
    if (g_strcmp0(words.out, "-") != 0) {
        if (!call->json && written.file == NULL)
            fprintf(call->out, "nothing new for this calendar: no file was written\n");
        else
            spl_call_print(call, &written);
    }
    spl_record_clear(&spl_calendar_written_shape, &written);
    return 0;
}

static void print_changes(struct spl_call *call, const char *title, const GArray *changes)
{
    if (changes->len == 0)
        return;
    fprintf(call->out, "\n%s\n", title);
    spl_list_write_table(&spl_calendar_change_shape, changes, call->width, call->out);
}

static void print_read(struct spl_call *call, const struct spl_calendar_read *read)
{
    if (call->json) {
        spl_record_write_json(&spl_calendar_read_shape, read, call->out);
        return;
    }
    fprintf(call->out, "%d entries of the book, %d unchanged; %d others, left alone\n", read->ours,
            read->unchanged, read->foreign);
    print_changes(call, "moved", read->moved);
    print_changes(call, "done", read->done);
    print_changes(call, "dropped", read->dropped);
    print_changes(call, "conflicts", read->conflicts);
    print_changes(call, "ignored", read->ignored);
    if (read->almanac != NULL)
        fprintf(call->out, "\n%d entries %s the almanac '%s'\n", read->almanac_rows,
                read->applied ? "are now" : "would become", read->almanac);
    if (read->truncated)
        fprintf(call->out, "\nthe file ends in the middle of an entry\n");
    if (read->left_out->len > 0) {
        fprintf(call->out, "\nleft out\n");
        spl_list_write_table(&spl_ical_left_shape, read->left_out, call->width, call->out);
    }
    if (!read->applied &&
        read->moved->len + read->done->len + read->dropped->len + (guint)read->almanac_rows > 0)
        fprintf(call->out, "\nnothing was changed; take it over with --apply\n");
}

static int run_read(struct spl_call *call, GError **error)
{
    const char *prefer = spl_call_get(call, "prefer");
    struct spl_calendar_reading reading = {
        .path = call->places[0],
        .apply = spl_call_has(call, "apply"),
        .as_almanac = spl_call_get(call, "as-almanac"),
        .as = spl_call_get(call, "as"),
        .by = spl_call_get(call, "by"),
    };
    struct spl_calendar_read read;

    if (prefer != NULL && strcmp(prefer, "calendar") == 0) {
        reading.prefer = SPL_PREFER_CALENDAR;
    } else if (prefer != NULL && strcmp(prefer, "book") == 0) {
        reading.prefer = SPL_PREFER_BOOK;
    } else if (prefer != NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "--prefer: '%s' is neither calendar nor book; say one of the two", prefer);
        return -1;
    }
    if (!spl_calendar_read(call->house, &reading, &read, error))
        return -1;
    print_read(call, &read);
    spl_record_clear(&spl_calendar_read_shape, &read);
    return 0;
}

static int run_check(struct spl_call *call, GError **error)
{
    struct spl_ical_checked checked;
    guint findings;
    gboolean ok;

    if (!spl_calendar_check(call->places[0], &checked, error))
        return -1;
    ok = spl_calendar_checked_ok(&checked);
    findings = checked.findings->len;
    if (call->json)
        spl_record_write_json(&spl_ical_checked_shape, &checked, call->out);
    else if (ok)
        fprintf(call->out, "%s: in order (%d events, %d tasks, %d alarms)\n", call->places[0],
                checked.events, checked.todos, checked.alarms);
    else
        spl_list_write_table(&spl_ical_finding_shape, checked.findings, call->width, call->out);
    if (!ok)
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                    "%s: %s%u findings; correct them where the file comes from", call->places[0],
                    checked.more ? "more than " : "", findings);
    spl_record_clear(&spl_ical_checked_shape, &checked);
    return ok ? 0 : -1;
}

/* A busy time for people. */
struct busy_line {
    struct spl_day day;
    char *hours, *what;
};

static const struct spl_field busy_fields[] = {
    SPL_FIELD(busy_line, day, SPL_DAY, "date", "day"),
    SPL_FIELD(busy_line, hours, SPL_TEXT, "hours", "busy"),
    SPL_FIELD(busy_line, what, SPL_TEXT, "what", "what"),
};
static const struct spl_shape busy_shape = SPL_SHAPE("busy_line", busy_line, busy_fields);

#define DAY_MIN (24 * 60)

static void print_busy(const struct spl_call *call, const GArray *busy)
{
    GArray *lines = spl_list_new(&busy_shape);

    for (guint i = 0; i < busy->len; i++) {
        const struct spl_busy *piece = &g_array_index(busy, struct spl_busy, i);
        struct busy_line line = {.day = piece->day, .what = g_strdup(piece->what)};

        line.hours =
            piece->from_min == 0 && piece->to_min == DAY_MIN
                ? g_strdup("all day")
                : g_strdup_printf("%02d:%02d to %02d:%02d", piece->from_min / 60,
                                  piece->from_min % 60, piece->to_min / 60, piece->to_min % 60);
        g_array_append_val(lines, line);
    }
    spl_list_write_table(&busy_shape, lines, call->width, call->out);
    spl_list_free(&busy_shape, lines);
}

static int run_busy(struct spl_call *call, GError **error)
{
    struct spl_day today = spl_house_today(call->house), first, last;
    struct spl_busy_read busy = {0};

    if (!spl_call_day(call, "from", today, &first, error) ||
        !spl_call_day(call, "to", spl_day_add(first, BUSY_DAYS), &last, error) ||
        !spl_calendar_busy(call->house, call->places[0], first, last, spl_call_get(call, "zone"),
                           &busy, error))
        return -1;
    if (call->json) {
        spl_record_write_json(&spl_busy_read_shape, &busy, call->out);
    } else {
        if (busy.busy->len == 0)
            fprintf(call->out, "no busy times in these days\n");
        else
            print_busy(call, busy.busy);
        if (busy.truncated)
            fprintf(call->out, "\nthe file ends in the middle of an entry\n");
        if (busy.left_out->len > 0) {
            fprintf(call->out, "\nleft out\n");
            spl_list_write_table(&spl_ical_left_shape, busy.left_out, call->width, call->out);
        }
    }
    spl_record_clear(&spl_busy_read_shape, &busy);
    return 0;
}

const struct spl_command spl_command_calendar_write = {
    .words = "calendar write",
    .summary = "Write every date as a calendar file for any application",
    .places = "",
    .options =
        (const struct spl_option[]){
            {"out", SPL_OPTION_ONE, "FILE", "the file, or - (default calendar.ics by the book)"},
            {"split", SPL_OPTION_ONE, "DIR", "one file an entry, for CalDAV folders"},
            {"what", SPL_OPTION_ONE, "KINDS", "of windows,outings,steps,checks (default all)"},
            {"tasks", SPL_OPTION_FLAG, NULL, "a task beside each reminder"},
            {"tasks-only", SPL_OPTION_FLAG, NULL, "tasks instead of reminders"},
            {"at", SPL_OPTION_ONE, "HH:MM", "reminders at this time (default all-day)"},
            {"zone", SPL_OPTION_ONE, "ZONE", "of --at, such as Europe/London"},
            {"with-places", SPL_OPTION_FLAG, NULL,
             "with coordinates: whoever has the file then "
             "knows your places"},
            {"new-only", SPL_OPTION_FLAG, NULL, "what this calendar has not had yet"},
            {"from", SPL_OPTION_ONE, "DATE", "only what touches this day or later ones"},
            {"to", SPL_OPTION_ONE, "DATE", "only what touches this day or earlier ones"},
            {"name", SPL_OPTION_ONE, "NAME", "the calendar's name"},
            {"as", SPL_OPTION_ONE, "NAME", "which calendar of yours it is for (default the file)"},
            {"force", SPL_OPTION_FLAG, NULL, "replace a file that is not as we left it"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .about =
        "Windows of what a place is known to bear, outings, steps of batches, use-by days, and "
        "the days on\nwhich a verdict changes. An unchanged book writes the same bytes. What the "
        "book no longer has stays\nas cancelled until its year ends. For applications that skip "
        "or double what they know already,\nimport --new-only files; others may subscribe to "
        "the whole file.",
    .examples = (const char *const[]){"simpling calendar write --out season.ics",
                                      "simpling calendar write --what steps --tasks-only --out "
                                      "jars.ics",
                                      NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_calendar_written_shape,
    .run = run_write,
};

const struct spl_command spl_command_calendar_read = {
    .words = "calendar read",
    .summary = "See what was changed in a calendar, and take it over",
    .places = "FILE",
    .min_places = 1,
    .max_places = 1,
    .options =
        (const struct spl_option[]){
            {"apply", SPL_OPTION_FLAG, NULL, "take the changes over"},
            {"prefer", SPL_OPTION_ONE, "SIDE", "calendar or book: whose day holds when both moved"},
            {"as-almanac", SPL_OPTION_ONE, "NAME",
             "new entries titled like a known material become this almanac"},
            {"as", SPL_OPTION_ONE, "NAME", "which calendar of yours it is (default the file)"},
            {"by", SPL_OPTION_ONE, "WHO", "who did the steps"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .about =
        "A moved window is then fixed to its days, a moved reminder or outing moves, a ticked "
        "task is a step\ndone, a cancelled entry is no longer written. Entries that are not the "
        "book's are counted and left.\nWhat was changed here and there is named. The file itself "
        "is never changed.",
    .examples = (const char *const[]){"simpling calendar write --out season.ics",
                                      "simpling calendar read season.ics", NULL},
    .needs = SPL_NEEDS_BOOK,
    .writes_with = "apply",
    .shape = &spl_calendar_read_shape,
    .run = run_read,
};

const struct spl_command spl_command_calendar_check = {
    .words = "calendar check",
    .summary = "Check a calendar file against every rule of RFC 5545",
    .places = "FILE",
    .min_places = 1,
    .max_places = 1,
    .about =
        "Octets, lines, required properties, value types, ends, alarms, zones, and what common "
        "applications\ntrip over; each finding names its rule and where that is written. The "
        "exit status is 1 when there\nare any.",
    .examples = (const char *const[]){"simpling calendar write --out season.ics",
                                      "simpling calendar check season.ics", NULL},
    .needs = SPL_NEEDS_NOTHING,
    .shape = &spl_ical_checked_shape,
    .run = run_check,
};

const struct spl_command spl_command_calendar_busy = {
    .words = "calendar busy",
    .summary = "The busy days and times of your own calendar",
    .places = "FILE",
    .min_places = 1,
    .max_places = 1,
    .options =
        (const struct spl_option[]){
            {"from", SPL_OPTION_ONE, "DATE", "first day (default today)"},
            {"to", SPL_OPTION_ONE, "DATE", "last day (default a year later)"},
            {"zone", SPL_OPTION_ONE, "ZONE", "whose clock to show (default the book's)"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .about = "What 'plan outings --busy FILE' keeps clear of: events that take their time up, with "
             "their\nrepetitions.",
    .examples = (const char *const[]){"simpling calendar write --out season.ics",
                                      "simpling calendar busy season.ics --from 2027-01-01", NULL},
    .needs = SPL_NEEDS_BOOK_IF_ANY,
    .shape = &spl_busy_read_shape,
    .run = run_busy,
};
