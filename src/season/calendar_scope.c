/* SPDX-License-Identifier: MIT
 *
 * What can be asked of writing a calendar, and what it answers. See season/calendar_scope.h.
 */
#include "season/calendar_scope.h"

#include <string.h>

#include "base/amount.h"
#include "simpling/entry.h"
#include "simpling/error.h"

static const struct spl_field written_fields[] = {
    SPL_FIELD(spl_calendar_written, file, SPL_TEXT, "file", "file"),
    SPL_FIELD(spl_calendar_written, target, SPL_TEXT, "target", NULL),
    SPL_FIELD(spl_calendar_written, events, SPL_INT, "events", "events"),
    SPL_FIELD(spl_calendar_written, todos, SPL_INT, "todos", "tasks"),
    SPL_FIELD(spl_calendar_written, fresh, SPL_INT, "new", "new"),
    SPL_FIELD(spl_calendar_written, changed, SPL_INT, "changed", "changed"),
    SPL_FIELD(spl_calendar_written, cancelled, SPL_INT, "cancelled", "cancelled"),
};
const struct spl_shape spl_calendar_written_shape =
    SPL_SHAPE("calendar_written", spl_calendar_written, written_fields);

static const struct spl_input write_rows[] = {
    SPL_INPUT(spl_calendar_words, out, FILE, "out",
              "the file, or - (default calendar.ics by the book)"),
    SPL_INPUT(spl_calendar_words, split, FILE, "split", "one file an entry, for CalDAV folders",
              .value = "DIR"),
    SPL_INPUT(spl_calendar_words, kinds, FILE, "kinds",
              "a named calendar of each kind, in a folder", .value = "DIR"),
    SPL_INPUT(spl_calendar_words, what, NAME, "what",
              "of windows,outings,steps,checks (default all)", .value = "KINDS"),
    SPL_INPUT(spl_calendar_words, tasks, FLAG, "tasks", "a task beside each reminder"),
    SPL_INPUT(spl_calendar_words, tasks_only, FLAG, "tasks_only", "tasks instead of reminders"),
    SPL_INPUT(spl_calendar_words, at, NAME, "at", "reminders at this time (default all-day)",
              .value = "HH:MM"),
    SPL_INPUT(spl_calendar_words, zone, NAME, "zone",
              "of that time, such as Europe/London (default the book's)", .value = "ZONE"),
    SPL_INPUT(spl_calendar_words, with_places, FLAG, "with_places",
              "with coordinates: whoever has the file then knows your places"),
    SPL_INPUT(spl_calendar_words, new_only, FLAG, "new_only", "what this calendar has not had yet"),
    SPL_INPUT(spl_calendar_words, from, DAY, "from", "only what touches this day or later ones"),
    SPL_INPUT(spl_calendar_words, to, DAY, "to", "only what touches this day or earlier ones"),
    SPL_INPUT(spl_calendar_words, name, NAME, "name", "the calendar's name"),
    SPL_INPUT(spl_calendar_words, as, FILE, "as",
              "which calendar of yours it is for (default the file)", .value = "NAME"),
    SPL_INPUT(spl_calendar_words, force, FLAG, "force", "replace a file that is not as we left it"),
};
static const struct spl_rule write_rules[] = {
    {SPL_RULE_MOST, {"tasks", "tasks_only"}},
    {SPL_RULE_MOST, {"out", "split", "kinds"}},
    {SPL_RULE_MOST, {"kinds", "as"}},
    {SPL_RULE_WITH, {"zone", "at"}},
};

const char *const spl_calendar_kinds[SPL_CALENDAR_KINDS] = {"windows", "outings", "steps",
                                                            "checks"};

/* "windows,steps" -> the set. */
static gboolean parse_what(const char *text, int *what, GError **error)
{
    g_auto(GStrv) parts = g_strsplit(text, ",", -1);
    int set = 0;

    for (char **part = parts; *part != NULL; part++) {
        gsize i = 0;

        while (i < SPL_CALENDAR_KINDS && strcmp(g_strstrip(*part), spl_calendar_kinds[i]) != 0)
            i++;
        if (i == SPL_CALENDAR_KINDS) {
            spl_error_set_input(error, SPL_ERROR_INVALID, "what",
                                "'%s' is none of windows, outings, steps, checks; several are "
                                "joined with commas",
                                *part);
            return FALSE;
        }
        set |= 1 << i;
    }
    *what = set;
    return TRUE;
}

gboolean spl_calendar_scope_of(const struct spl_calendar_words *words,
                               struct spl_calendar_scope *scope, GError **error)
{
    *scope = SPL_CALENDAR_SCOPE;
    scope->tasks = words->tasks        ? SPL_CALENDAR_TASKS_TOO
                   : words->tasks_only ? SPL_CALENDAR_TASKS_ONLY
                                       : SPL_CALENDAR_EVENTS;
    scope->with_places = words->with_places;
    scope->from = words->from;
    scope->to = words->to;
    if (words->at != NULL && !spl_clock_parse(words->at, "at", &scope->at_min, error)) {
        spl_error_about(error, "at");
        return FALSE;
    }
    return words->what == NULL || parse_what(words->what, &scope->what, error);
}

static gboolean check_words(const void *record, GError **error)
{
    const struct spl_calendar_words *words = record;
    struct spl_calendar_scope scope;

    if (spl_day_is_set(words->from) && spl_day_is_set(words->to) && words->to.n < words->from.n) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "to",
                            "lies before the first day; give a later day");
        return FALSE;
    }
    return spl_calendar_scope_of(words, &scope, error);
}
const struct spl_inputs spl_calendar_inputs = SPL_INPUTS(
    "calendar", spl_calendar_words, write_rows, SPL_RULES(write_rules), .check = check_words);
