/* SPDX-License-Identifier: MIT
 *
 * simpling calendar …: every date into the calendar that one already uses, and back.
 */
#include "simpling/calendar.h"

#include "command/rows.h"

static int run_write(struct spl_call *call, GError **error)
{
    const struct spl_calendar_words *words = call->said;
    gboolean streamed = g_strcmp0(words->out, "-") == 0;
    struct spl_calendar_written written;

    if (call->json && streamed) {
        spl_error_set_input(error, SPL_ERROR_USAGE, "out",
                            "- and --json both want the output; give one of them");
        return -1;
    }
    if (!spl_calendar_write(call->house, words, call->out, &written, error))
        return -1;
    if (!streamed) {
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

/* The command lines that settle what was not taken over. */
static void print_next(struct spl_call *call, const GArray *changes)
{
    for (guint i = 0; i < changes->len; i++) {
        const struct spl_calendar_change *change =
            &g_array_index(changes, struct spl_calendar_change, i);
        g_autofree char *site = g_shell_quote(change->site != NULL ? change->site : "SITE");
        const char *code = change->code != NULL ? change->code : "CODE";
        char on[SPL_DAY_TEXT_SIZE];

        if (g_strcmp0(change->next, "press") == 0)
            fprintf(call->out, "  simpling batch press %s --yield AMOUNT --on %s\n", code,
                    spl_day_format(change->done_on, on));
        else if (g_strcmp0(change->next, "end") == 0)
            fprintf(call->out,
                    "  simpling batch press %s --yield AMOUNT\n  simpling discard %s --why WHY\n",
                    code, code);
        else if (g_strcmp0(change->next, "use") == 0)
            fprintf(call->out, "  simpling lot use %s:AMOUNT\n  simpling discard %s --why WHY\n",
                    code, code);
        else if (g_strcmp0(change->next, "due") == 0)
            fprintf(call->out, "  simpling batch step %s STEP --due DATE\n", code);
        else if (g_strcmp0(change->next, "note") == 0)
            fprintf(call->out,
                    "  simpling spray note %s --kind KIND --source WHO\n"
                    "  simpling site permit %s --given --by WHO\n",
                    site, site);
    }
}

/* Whether anything is left that a command settles. */
static gboolean has_next(const GArray *changes)
{
    for (guint i = 0; i < changes->len; i++) {
        if (g_array_index(changes, struct spl_calendar_change, i).next != NULL)
            return TRUE;
    }
    return FALSE;
}

/* Whether anything was deleted of which it was not said what becomes of it. */
static gboolean is_open(const GArray *deleted)
{
    for (guint i = 0; i < deleted->len; i++) {
        if (!g_array_index(deleted, struct spl_calendar_change, i).applied)
            return TRUE;
    }
    return FALSE;
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
    print_changes(call, "taken up again", read->again);
    print_changes(call, "kept as you set it", read->kept);
    print_changes(call, "deleted there", read->deleted);
    print_changes(call, "conflicts", read->conflicts);
    print_changes(call, "ignored", read->ignored);
    if (has_next(read->ignored)) {
        fputs("\nnext\n", call->out);
        print_next(call, read->ignored);
    }
    if (is_open(read->deleted))
        fputs("\nsay what becomes of what was deleted: --deleted drop, or --deleted again\n",
              call->out);
    if (has_next(read->conflicts))
        fputs("\nsay whose day holds with --prefer calendar or --prefer book\n", call->out);
    if (read->almanac != NULL)
        fprintf(call->out, "\n%d entries %s the almanac '%s'\n", read->almanac_rows,
                read->applied ? "are now" : "would become", read->almanac);
    if (read->truncated)
        fprintf(call->out, "\nthe file ends in the middle of an entry\n");
    if (read->left_out->len > 0) {
        fprintf(call->out, "\nleft out\n");
        spl_list_write_table(&spl_ical_left_shape, read->left_out, call->width, call->out);
    }
    if (!read->applied && read->moved->len + read->done->len + read->dropped->len +
                                  read->again->len + read->kept->len + (guint)read->almanac_rows >
                              0)
        fprintf(call->out, "\nnothing was changed; take it over with --apply\n");
}

static int run_read(struct spl_call *call, GError **error)
{
    struct spl_calendar_read read;

    if (!spl_calendar_read(call->house, call->said, &read, error))
        return -1;
    print_read(call, &read);
    spl_record_clear(&spl_calendar_read_shape, &read);
    return 0;
}

static int run_again(struct spl_call *call, GError **error)
{
    GArray *list = spl_calendar_again(call->house, call->said, error);
    int status;

    if (list == NULL)
        return -1;
    status = spl_call_print_list(call, list, "nothing was dropped in a calendar");
    spl_list_free(&spl_calendar_dropped_shape, list);
    return status;
}

static int run_check(struct spl_call *call, GError **error)
{
    const struct spl_calendar_file *file = call->said;
    struct spl_ical_checked checked;
    int errors;
    gboolean ok;

    if (!spl_calendar_check(file, &checked, error))
        return -1;
    ok = spl_calendar_checked_ok(&checked);
    errors = checked.errors;
    if (call->json) {
        spl_record_write_json(&spl_ical_checked_shape, &checked, call->out);
    } else {
        if (checked.findings->len > 0)
            spl_list_write_table(&spl_ical_finding_shape, checked.findings, call->width, call->out);
        if (ok)
            fprintf(call->out, "%s: in order (%d events, %d tasks, %d alarms; %d %s)\n", file->path,
                    checked.events, checked.todos, checked.alarms, checked.remarks,
                    checked.remarks == 1 ? "remark" : "remarks");
    }
    if (!ok)
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                    "%s: %d %s; correct them where the file comes from", file->path, errors,
                    errors == 1 ? "error" : "errors");
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
    struct spl_busy_read busy;

    if (!spl_calendar_busy(call->house, call->said, &busy, error))
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
    .inputs = &spl_calendar_inputs,
    .about =
        "Windows of what a place is known to bear, outings, steps of batches, use-by days, and "
        "the days on\nwhich a verdict changes. An unchanged book writes the same bytes. What the "
        "book no longer has stays\nas cancelled until its year ends. For applications that skip "
        "or double what they know already,\nimport --new-only files; others may subscribe to "
        "the whole file.\n--kinds makes a calendar with a name of its own for each kind, which "
        "an application can show and colour\nby itself. An outing has its hours when the book "
        "has a zone.",
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
    .inputs = &spl_calendar_reading_inputs,
    .at = "file",
    .about =
        "A moved window is then fixed to its days, a moved reminder or outing moves, a ticked "
        "task is a step\ndone, a cancelled entry is no longer written. A title, note, category, "
        "alarm or time of day that you\nset stays in that calendar, beside what the book has to "
        "say. What you deleted is asked about once.\nEntries that are not the book's are counted "
        "and left. What was changed here and there is named. Of a\nfolder every file is read. "
        "The files themselves are never changed.",
    .examples = (const char *const[]){"simpling calendar write --out season.ics",
                                      "simpling calendar read season.ics", NULL},
    .needs = SPL_NEEDS_BOOK,
    .writes_with = "apply",
    .shape = &spl_calendar_read_shape,
    .run = run_read,
};

const struct spl_command spl_command_calendar_again = {
    .words = "calendar again",
    .summary = "Take up again what was dropped in a calendar",
    .inputs = &spl_calendar_again_inputs,
    .at = "title?",
    .about = "Windows, use-by days and days of checking that were cancelled or deleted in a "
             "calendar are written no\nmore; with its title one of them is again, without a title "
             "they are listed. A dropped step of a batch\nis taken up by 'batch step', with its "
             "day.",
    .examples = (const char *const[]){"simpling calendar again", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_calendar_dropped_shape,
    .array = TRUE,
    .run = run_again,
};

const struct spl_command spl_command_calendar_check = {
    .words = "calendar check",
    .summary = "Check a calendar file against every rule of RFC 5545",
    .inputs = &spl_calendar_file_inputs,
    .at = "file",
    .about =
        "Octets, lines, required properties, value types, ends, alarms, zones, and what common "
        "applications\ntrip over; each finding names its rule and where that is written. Errors "
        "are told from remarks,\nwhich are habits that readers put up with, or advice; the exit "
        "status is 1 when there are errors.",
    .examples = (const char *const[]){"simpling calendar write --out season.ics",
                                      "simpling calendar check season.ics", NULL},
    .needs = SPL_NEEDS_NOTHING,
    .shape = &spl_ical_checked_shape,
    .run = run_check,
};

const struct spl_command spl_command_calendar_busy = {
    .words = "calendar busy",
    .summary = "The busy days and times of your own calendar",
    .inputs = &spl_busy_inputs,
    .at = "file",
    .about = "What 'plan outings --busy FILE' keeps clear of: events that take their time up, with "
             "their\nrepetitions.",
    .examples = (const char *const[]){"simpling calendar write --out season.ics",
                                      "simpling calendar busy season.ics --from 2027-01-01", NULL},
    .needs = SPL_NEEDS_BOOK_IF_ANY,
    .shape = &spl_busy_read_shape,
    .run = run_busy,
};
