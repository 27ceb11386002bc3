/* SPDX-License-Identifier: MIT
 *
 * What the person made of our entries in their calendar. See season/calendar_theirs.h.
 *
 * An entry says of itself what we wrote (exchange/entry_mark.h), so that it needs no more than the
 * file to see what is theirs, however old the copy is.
 */
#include "season/calendar_theirs.h"

#include <string.h>

#include "exchange/entry_mark.h"
#include "exchange/ical_zone.h"

void spl_calendar_put_theirs(struct spl_entry *entry, gsize lead,
                             const struct spl_calendar_theirs *theirs)
{
    if (theirs->title != NULL) {
        g_autofree char *title = entry->summary;

        entry->summary = g_strdup_printf("%.*s%s", (int)lead, title, theirs->title);
    }
    if (theirs->note != NULL) {
        g_free(entry->note);
        entry->note = g_strdup(theirs->note);
    }
    if (theirs->category != NULL) {
        g_free(entry->categories);
        entry->categories = g_strdup(theirs->category);
    }
    if (theirs->alarms != NULL)
        spl_entry_set_alarms(entry, theirs->alarms);
    if (theirs->start_min >= 0 && entry->start_min >= 0) {
        entry->start_min = theirs->start_min;
        entry->end_min = theirs->end_min;
        entry->due_min = entry->kind == SPL_ENTRY_TASK ? theirs->end_min : -1;
        /* An end by the clock that is not behind the start is the next day's. */
        if (entry->kind == SPL_ENTRY_EVENT && theirs->end_min >= 0 &&
            theirs->end_min <= theirs->start_min)
            entry->last = spl_day_add(entry->first, 1);
    }
}

void spl_calendar_set_free(gpointer data)
{
    struct spl_calendar_set *set = data;

    g_free(set->uid);
    g_free(set->kind);
    g_free(set->summary);
    g_free(set->text);
    spl_calendar_theirs_clear(&set->theirs);
    g_free(set);
}

/* ---- what is theirs -------------------------------------------------------------------------- */

/* The title without what we set before it. */
static const char *bare_title(const char *title)
{
    static const char *const leads[] = {"Called off: ", "Done: ", NULL};

    for (const char *const *lead = leads; *lead != NULL; lead++)
        if (g_str_has_prefix(title, *lead))
            return bare_title(title + strlen(*lead));
    if (g_str_has_prefix(title, "CLOSED")) {
        const char *names = g_str_has_prefix(title, "CLOSED: ") ? strstr(title, "; ") : NULL;
        const char *colon = strstr(title, ": ");

        if (names != NULL) /* of an outing: the closed places stand there */
            return names + 2;
        if (colon != NULL)
            return colon + 2;
    }
    return title;
}

static gboolean same_text(const char *one, const char *other)
{
    return spl_text_mark(one, NULL) == spl_text_mark(other, NULL);
}

/* The time of day on the clock that we write by: a moment in UTC is put on the person's. */
static void time_of(const struct spl_calendar_reading_run *run, const struct spl_entry *entry,
                    int *start_min, int *end_min)
{
    gboolean task = entry->kind == SPL_ENTRY_TASK;
    struct spl_day day = entry->first;

    *start_min = entry->start_min;
    *end_min = task ? entry->due_min : entry->end_min;
    if (g_strcmp0(entry->zone, "UTC") != 0 || run->zone == NULL || *start_min < 0)
        return;
    (void)spl_zone_convert("UTC", run->zone, &day.n, start_min);
    day = task && spl_day_is_set(entry->due) ? entry->due : entry->last;
    if (*end_min >= 0)
        (void)spl_zone_convert("UTC", run->zone, &day.n, end_min);
}

static void see_time(const struct spl_calendar_reading_run *run, const struct spl_entry *entry,
                     const struct spl_entry_mark *mark, struct spl_calendar_set *set)
{
    int start_min, end_min;

    time_of(run, entry, &start_min, &end_min);
    /* Only what we write with a time has one that can be kept. */
    if (mark->start_min < 0 || start_min < 0 ||
        (start_min == mark->start_min && end_min == mark->end_min))
        return;
    set->theirs.start_min = start_min;
    set->theirs.end_min = end_min;
    set->time = TRUE;
}

static void see_alarms(const struct spl_calendar_reading_run *run, const struct spl_entry *entry,
                       const struct spl_entry_mark *mark, struct spl_calendar_set *set)
{
    g_autofree char *alarms = spl_entry_alarms_text(entry, run->zone);

    /* Programs drop alarms of what is over, done or off. */
    if (spl_text_mark(alarms, NULL) == mark->alarms || entry->done ||
        entry->status == SPL_ENTRY_CANCELLED ||
        spl_day_compare(entry->first, run->house->today) < 0)
        return;
    g_free(set->theirs.alarms);
    set->theirs.alarms = g_steal_pointer(&alarms);
    set->alarms = TRUE;
}

static void see_note(const struct spl_entry *entry, const struct spl_entry_mark *mark,
                     struct spl_calendar_set *set)
{
    g_autofree char *note = spl_entry_mark_note(mark, entry->description, &set->reworded);

    if (entry->description == NULL && mark->own_length > 0)
        set->reworded = TRUE;
    if (!set->reworded && spl_text_mark(note, NULL) == mark->note)
        return;
    set->note = TRUE;
    if (set->reworded) {
        set->text = g_steal_pointer(&note);
        return;
    }
    g_free(set->theirs.note);
    set->theirs.note = g_steal_pointer(&note);
}

/* A program that drops own properties: of such a copy the title alone can be seen. */
static void see_title_alone(const struct spl_entry *entry, const struct spl_calendar_row *row,
                            struct spl_calendar_set *set)
{
    const char *title = entry->summary != NULL ? bare_title(entry->summary) : NULL;

    if (title == NULL || same_text(title, bare_title(row->summary)) ||
        (set->theirs.title != NULL && same_text(title, set->theirs.title)))
        return;
    g_free(set->theirs.title);
    set->theirs.title = g_strdup(title);
    set->title = TRUE;
}

static struct spl_calendar_set *set_new(const struct spl_calendar_reading_run *run,
                                        const struct spl_calendar_row *row,
                                        const struct spl_calendar_key *key)
{
    const struct spl_calendar_theirs *had = g_hash_table_lookup(run->theirs, &row->id);
    struct spl_calendar_set *set = g_new0(struct spl_calendar_set, 1);

    set->id = row->id;
    set->uid = g_strdup(row->uid);
    set->kind = g_strdup(key->kind);
    set->summary = g_strdup(row->summary);
    set->first = row->first;
    set->last = row->last;
    set->theirs = SPL_CALENDAR_THEIRS_NONE;
    if (had != NULL) {
        set->theirs = *had;
        set->theirs.title = g_strdup(had->title);
        set->theirs.note = g_strdup(had->note);
        set->theirs.category = g_strdup(had->category);
        set->theirs.alarms = g_strdup(had->alarms);
    }
    return set;
}

/* What was kept already is no news: the file was not written again since then. */
static void leave_known(struct spl_calendar_set *set, const struct spl_calendar_theirs *had)
{
    if (had == NULL)
        return;
    set->title = set->title && g_strcmp0(set->theirs.title, had->title) != 0;
    set->note = set->note && (set->reworded || g_strcmp0(set->theirs.note, had->note) != 0);
    set->category = set->category && g_strcmp0(set->theirs.category, had->category) != 0;
    set->alarms = set->alarms && g_strcmp0(set->theirs.alarms, had->alarms) != 0;
    set->time = set->time &&
                (set->theirs.start_min != had->start_min || set->theirs.end_min != had->end_min);
}

void spl_calendar_see_theirs(struct spl_calendar_reading_run *run, const struct spl_entry *entry,
                             const struct spl_calendar_row *row, const struct spl_calendar_key *key)
{
    const char *wrote = spl_entry_get_x(entry, SPL_ENTRY_MARK_NAME);
    const char *category = entry->categories;
    struct spl_calendar_set *set;
    struct spl_entry_mark mark;

    if (row->state == SPL_CALENDAR_WITHDRAWN)
        return;
    set = set_new(run, row, key);
    if (spl_entry_mark_parse(wrote, &mark)) {
        if (entry->summary != NULL && spl_text_mark(entry->summary, NULL) != mark.title) {
            g_free(set->theirs.title);
            set->theirs.title = g_strdup(bare_title(entry->summary));
            set->title = TRUE;
        }
        see_note(entry, &mark, set);
        if (spl_text_mark(category, NULL) != mark.category) {
            g_free(set->theirs.category);
            set->theirs.category = g_strdup(category != NULL ? category : "");
            set->category = TRUE;
        }
        see_alarms(run, entry, &mark, set);
        see_time(run, entry, &mark, set);
    } else {
        see_title_alone(entry, row, set);
    }
    leave_known(set, g_hash_table_lookup(run->theirs, &row->id));
    if (!set->title && !set->note && !set->category && !set->alarms && !set->time) {
        spl_calendar_set_free(set);
        return;
    }
    g_ptr_array_add(run->sets, set);
    g_hash_table_insert(run->sets_by_uid, set->uid, set);
}

/* ---- beside what the book has ---------------------------------------------------------------- */

/* Of a text whose own words were changed the lines that are not the book's. */
static char *added_lines(const char *text, const char *own)
{
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);
    g_auto(GStrv) ours = g_strsplit(own != NULL ? own : "", "\n", -1);
    g_autoptr(GString) added = g_string_new(NULL);

    for (char **line = lines; *line != NULL; line++) {
        gboolean known = same_text(*line, SPL_ENTRY_NOTE_LINE);

        for (char **one = ours; !known && *one != NULL; one++)
            known = same_text(*line, *one);
        if (!known)
            g_string_append_printf(added, "%s%s", added->len > 0 ? "\n" : "", *line);
    }
    return added->len > 0 ? g_strdup(added->str) : NULL;
}

void spl_calendar_weigh_theirs(struct spl_calendar_reading_run *run,
                               const struct spl_calendar_item *item)
{
    struct spl_calendar_set *set = g_hash_table_lookup(run->sets_by_uid, item->entry.uid);
    const struct spl_entry *entry = &item->entry;

    if (set == NULL)
        return;
    if (set->text != NULL) {
        g_free(set->theirs.note);
        set->theirs.note = added_lines(set->text, entry->description);
    }
    if (set->theirs.title != NULL && same_text(set->theirs.title, bare_title(entry->summary)))
        g_clear_pointer(&set->theirs.title, g_free);
    if (set->theirs.category != NULL && same_text(set->theirs.category, entry->category))
        g_clear_pointer(&set->theirs.category, g_free);
    if (set->theirs.alarms != NULL) {
        g_autofree char *ours =
            entry->alarm_min > 0 ? g_strdup_printf("%d", entry->alarm_min) : g_strdup("");

        if (strcmp(set->theirs.alarms, ours) == 0)
            g_clear_pointer(&set->theirs.alarms, g_free);
    }
}

/* A calendar that has a name of its own, or a copy of one. */
#define UNKNOWN_CALENDAR                                                                           \
    "it is not known which calendar this is: say the name that it was written as"

/* ---- told and kept --------------------------------------------------------------------------- */

/* "15 h before, 39 h before"; "none". */
static char *alarm_words(const char *alarms)
{
    g_auto(GStrv) parts = g_strsplit(alarms, ",", -1);
    g_autoptr(GString) words = g_string_new(NULL);

    for (char **part = parts; *part != NULL && **part != '\0'; part++) {
        gint64 minutes = g_ascii_strtoll(*part, NULL, 10), size = ABS(minutes);

        g_string_append(words, words->len > 0 ? ", " : "");
        if (size >= 60)
            g_string_append_printf(words, "%" G_GINT64_FORMAT " h", size / 60);
        if (size % 60 != 0 || size == 0)
            g_string_append_printf(words, "%s%" G_GINT64_FORMAT " min", size >= 60 ? " " : "",
                                   size % 60);
        g_string_append(words, minutes >= 0 ? " before" : " after");
    }
    return g_strdup(words->len > 0 ? words->str : "none");
}

static void tell(struct spl_calendar_reading_run *run, const struct spl_calendar_set *set,
                 const char *change, const char *text, const char *why)
{
    struct spl_calendar_change said = {
        .kind = g_strdup(set->kind),
        .what = g_strdup(set->summary),
        .was_first = set->first,
        .was_last = set->last,
        .first = set->first,
        .last = set->last,
        .change = g_strdup(change),
        .text = g_strdup(text != NULL ? text : "as the book has it"),
        .applied = set->applied,
        .why = g_strdup(run->target_id == 0 ? UNKNOWN_CALENDAR : why),
        .done_on = SPL_DAY_NONE,
    };

    if (run->target_id == 0)
        g_array_append_val(run->out->conflicts, said);
    else
        g_array_append_val(run->out->kept, said);
}

void spl_calendar_tell_theirs(struct spl_calendar_reading_run *run)
{
    for (guint i = 0; i < run->sets->len; i++) {
        const struct spl_calendar_set *set = g_ptr_array_index(run->sets, i);
        const struct spl_calendar_theirs *theirs = &set->theirs;

        if (set->title)
            tell(run, set, "title", theirs->title, NULL);
        if (set->note)
            tell(run, set, "note", theirs->note,
                 set->reworded ? "the book's own words are written again before it" : NULL);
        if (set->category)
            tell(run, set, "category", theirs->category, NULL);
        if (set->alarms) {
            g_autofree char *words = theirs->alarms != NULL ? alarm_words(theirs->alarms) : NULL;

            tell(run, set, "alarm", words, NULL);
        }
        if (set->time) {
            g_autofree char *words =
                g_strdup_printf("%02d:%02d", theirs->start_min / 60, theirs->start_min % 60);

            tell(run, set, "time", words, NULL);
        }
    }
}

gboolean spl_calendar_forget_sent(struct spl_calendar_reading_run *run, gint64 id, GError **error)
{
    struct spl_calendar_sent sent;
    gboolean had;

    if (!spl_calendar_sent_find(run->house->book, run->target_id, id, &sent, &had, error))
        return FALSE;
    sent.hash[0] = '\0';
    return !had || spl_calendar_sent_put(run->house->book, run->target_id, id, &sent, error);
}

gboolean spl_calendar_keep_theirs(struct spl_calendar_reading_run *run, GError **error)
{
    for (guint i = 0; run->target_id != 0 && i < run->sets->len; i++) {
        struct spl_calendar_set *set = g_ptr_array_index(run->sets, i);

        if (!spl_calendar_theirs_put(run->house->book, run->target_id, set->id, &set->theirs,
                                     error) ||
            !spl_calendar_forget_sent(run, set->id, error))
            return FALSE;
        set->applied = TRUE;
    }
    return TRUE;
}
