/* SPDX-License-Identifier: MIT
 *
 * Reading a calendar back: what the person changed there, compared three ways. See
 * simpling/calendar.h; whether a change can be taken over is calendar_judge.c, applying it is
 * calendar_apply.c.
 *
 * First the file is read once and only what differs from everything that we ever wrote is kept;
 * then the book says what it has now for just those.
 */
#include <string.h>

#include "book/almanac.h"
#include "exchange/almanac.h"
#include "exchange/ical_check.h"
#include "exchange/ical_read.h"
#include "exchange/ical_zone.h"
#include "season/calendar_gone.h"
#include "season/calendar_read.h"
#include "season/calendar_theirs.h"
#include "simpling/entry.h"
#include "simpling/error.h"

static const struct spl_field change_fields[] = {
    SPL_FIELD(spl_calendar_change, kind, SPL_TEXT, "kind", "kind"),
    SPL_FIELD(spl_calendar_change, what, SPL_TEXT, "what", "entry"),
    SPL_FIELD(spl_calendar_change, code, SPL_TEXT, "code", NULL),
    SPL_FIELD(spl_calendar_change, site, SPL_TEXT, "site", NULL),
    SPL_FIELD(spl_calendar_change, was_first, SPL_DAY, "was_first", "was"),
    SPL_FIELD(spl_calendar_change, was_last, SPL_DAY, "was_last", NULL),
    SPL_FIELD(spl_calendar_change, first, SPL_DAY, "first", "now"),
    SPL_FIELD(spl_calendar_change, last, SPL_DAY, "last", "until"),
    SPL_FIELD(spl_calendar_change, change, SPL_TEXT, "change", "change"),
    SPL_FIELD(spl_calendar_change, text, SPL_TEXT, "text", "to"),
    SPL_FIELD(spl_calendar_change, applied, SPL_BOOL, "applied", "taken over"),
    SPL_FIELD(spl_calendar_change, why, SPL_TEXT, "why", "why not"),
    SPL_FIELD(spl_calendar_change, next, SPL_TEXT, "next", NULL),
    SPL_FIELD(spl_calendar_change, done_on, SPL_DAY, "done_on", NULL),
};
const struct spl_shape spl_calendar_change_shape =
    SPL_SHAPE("calendar_change", spl_calendar_change, change_fields);

static const struct spl_field read_fields[] = {
    SPL_FIELD(spl_calendar_read, file, SPL_TEXT, "file", "file"),
    SPL_FIELD(spl_calendar_read, applied, SPL_BOOL, "applied", "taken over"),
    SPL_FIELD(spl_calendar_read, ours, SPL_INT, "ours", "entries of the book"),
    SPL_FIELD(spl_calendar_read, unchanged, SPL_INT, "unchanged", "unchanged"),
    SPL_FIELD(spl_calendar_read, foreign, SPL_INT, "foreign", "others, left alone"),
    SPL_FIELD_LIST(spl_calendar_read, moved, &spl_calendar_change_shape, "moved", "moved"),
    SPL_FIELD_LIST(spl_calendar_read, done, &spl_calendar_change_shape, "done", "done"),
    SPL_FIELD_LIST(spl_calendar_read, dropped, &spl_calendar_change_shape, "dropped", "dropped"),
    SPL_FIELD_LIST(spl_calendar_read, again, &spl_calendar_change_shape, "again", "taken up again"),
    SPL_FIELD_LIST(spl_calendar_read, kept, &spl_calendar_change_shape, "kept", "kept as you set"),
    SPL_FIELD_LIST(spl_calendar_read, deleted, &spl_calendar_change_shape, "deleted", "deleted"),
    SPL_FIELD_LIST(spl_calendar_read, conflicts, &spl_calendar_change_shape, "conflicts",
                   "conflicts"),
    SPL_FIELD_LIST(spl_calendar_read, ignored, &spl_calendar_change_shape, "ignored", "ignored"),
    SPL_FIELD(spl_calendar_read, almanac, SPL_TEXT, "almanac", "almanac"),
    SPL_FIELD(spl_calendar_read, almanac_rows, SPL_INT, "almanac_rows", "its rows"),
    SPL_FIELD(spl_calendar_read, truncated, SPL_BOOL, "truncated", "file cut short"),
    SPL_FIELD_LIST(spl_calendar_read, left_out, &spl_ical_left_shape, "left_out", "left out"),
};
const struct spl_shape spl_calendar_read_shape =
    SPL_SHAPE("calendar_read", spl_calendar_read, read_fields);

void spl_calendar_candidate_free(gpointer data)
{
    struct spl_calendar_candidate *candidate = data;

    spl_calendar_row_clear(&candidate->row);
    spl_calendar_key_clear(&candidate->key);
    g_free(candidate->code);
    g_free(candidate->site);
    g_free(candidate->why);
    g_free(candidate);
}

static gboolean is_span(const struct spl_calendar_key *key)
{
    return strcmp(key->kind, "window") == 0;
}

/* The entry's days as the person sees them. A named zone is the clock that it was written for, or
 * that the person chose; a moment in UTC is put on their own. A reminder has one day: its start, a
 * task's due day. */
static void days_of(const struct spl_calendar_reading_run *run, const struct spl_entry *entry,
                    const struct spl_calendar_key *key, struct spl_day *first, struct spl_day *last)
{
    gboolean utc = g_strcmp0(entry->zone, "UTC") == 0 && run->zone != NULL;
    struct spl_day from = entry->first, to = entry->last;
    int from_min = entry->start_min, to_min = entry->end_min;

    if (key->task && spl_day_is_set(entry->due)) {
        from = to = entry->due;
        from_min = to_min = entry->due_min;
    }
    if (utc && from_min >= 0)
        (void)spl_zone_convert("UTC", run->zone, &from.n, &from_min);
    if (utc && to_min > 0) {
        (void)spl_zone_convert("UTC", run->zone, &to.n, &to_min);
        if (to_min == 0)
            to = spl_day_add(to, -1); /* midnight ends the day before */
    }
    *first = from;
    *last = is_span(key) && to.n >= from.n ? to : from;
}

/* The day on which it was ticked, where the person was: COMPLETED is a moment in UTC. */
static struct spl_day completed_of(const struct spl_calendar_reading_run *run,
                                   const struct spl_entry *entry)
{
    struct spl_day day = entry->completed;
    int min = entry->completed_min;

    if (spl_day_is_set(day) && min >= 0 && run->zone != NULL)
        (void)spl_zone_convert("UTC", run->zone, &day.n, &min);
    return day;
}

static enum spl_calendar_state state_of(const struct spl_entry *entry,
                                        const struct spl_calendar_row *row)
{
    if (entry->status == SPL_ENTRY_CANCELLED)
        return row->state == SPL_CALENDAR_WITHDRAWN ? SPL_CALENDAR_WITHDRAWN : SPL_CALENDAR_DROPPED;
    if (entry->kind == SPL_ENTRY_TASK)
        return entry->done ? SPL_CALENDAR_DONE : SPL_CALENDAR_OPEN;
    return row->state == SPL_CALENDAR_WITHDRAWN ? SPL_CALENDAR_WITHDRAWN
           : row->state == SPL_CALENDAR_DROPPED ? SPL_CALENDAR_OPEN
                                                : row->state; /* an event cannot be ticked */
}

static void take_foreign(struct spl_calendar_reading_run *run, const struct spl_entry *entry)
{
    const struct spl_tables *tables = run->house->tables;
    struct spl_almanac_row row;

    if (run->reading->as_almanac != NULL && tables != NULL && entry->kind == SPL_ENTRY_EVENT &&
        entry->status != SPL_ENTRY_CANCELLED && !entry->override &&
        spl_almanac_row_from_entry(entry, tables, &row, NULL)) {
        row.almanac = g_strdup(run->reading->as_almanac);
        row.flush = MAX(row.flush, 1);
        g_array_append_val(run->rows, row);
        return;
    }
    run->out->foreign++;
}

/* A second copy of an entry that says something else is nothing to guess about. */
static void take_twice(struct spl_calendar_candidate *there, struct spl_day first,
                       struct spl_day last, enum spl_calendar_state state)
{
    if (there->first.n == first.n && there->last.n == last.n && there->state == state)
        return;
    g_free(there->why);
    there->why = g_strdup("it stands in the file more than once, with different days or states");
}

/* One copy of an entry: which of several is the newest, RFC 5546 2.1.5 says. */
struct version {
    int sequence;
    gint64 changed_at;
    gboolean unchanged; /* it was counted as such */
};

/* The version of this copy, NULL when a newer one was met; an older one that was met is forgotten,
 * whatever it said. */
static struct version *newest_version(struct spl_calendar_reading_run *run,
                                      const struct spl_entry *entry, const char *uid)
{
    struct version *version = g_hash_table_lookup(run->versions, uid);
    struct spl_calendar_candidate *candidate;
    struct spl_calendar_set *set;

    if (version == NULL) {
        char *own = g_strdup(uid);

        version = g_new0(struct version, 1);
        g_hash_table_insert(run->versions, own, version);
        g_hash_table_add(run->met_uids, own);
    } else if (entry->sequence < version->sequence ||
               (entry->sequence == version->sequence && entry->changed_at < version->changed_at)) {
        return NULL;
    } else if (entry->sequence > version->sequence || entry->changed_at > version->changed_at) {
        candidate = g_hash_table_lookup(run->by_uid, uid);
        run->out->ours--;
        run->out->unchanged -= version->unchanged;
        version->unchanged = FALSE;
        if (candidate != NULL) {
            g_hash_table_remove(run->by_uid, uid);
            g_ptr_array_remove(run->candidates, candidate);
        }
        set = g_hash_table_lookup(run->sets_by_uid, uid);
        if (set != NULL) {
            g_hash_table_remove(run->sets_by_uid, uid);
            g_ptr_array_remove(run->sets, set);
        }
    }
    version->sequence = entry->sequence;
    version->changed_at = entry->changed_at;
    return version;
}

/* What the register has of an entry of the file, which stands there in the register's order as it
 * was written; FALSE in `*found` when it is none of ours. */
static gboolean find_kept(struct spl_calendar_reading_run *run, const struct spl_entry *entry,
                          struct spl_calendar_kept *kept, gboolean *found, GError **error)
{
    g_autofree char *uid = NULL;

    *found = FALSE;
    if (entry->uid == NULL || entry->override)
        return TRUE;
    if (run->walk == NULL)
        run->walk = spl_calendar_walk_new(run->house->book, run->target_id);
    uid = g_ascii_strdown(entry->uid, -1);
    return spl_calendar_walk_find(run->walk, uid, kept, found, error);
}

gboolean spl_calendar_take_entry(struct spl_calendar_reading_run *run,
                                 const struct spl_entry *entry, GError **error)
{
    struct spl_calendar_candidate *candidate, *there;
    struct spl_calendar_kept kept;
    struct spl_calendar_row row;
    struct spl_calendar_key key;
    struct spl_day first, last;
    enum spl_calendar_state state;
    struct version *version;
    gboolean found, days, state_known, again;

    if (!find_kept(run, entry, &kept, &found, error))
        return FALSE;
    if (found)
        row = kept.row;
    if (!found || !spl_calendar_key_parse(row.key, &key)) {
        if (found)
            spl_calendar_row_clear(&row);
        take_foreign(run, entry);
        return TRUE;
    }
    version = newest_version(run, entry, row.uid);
    if (version == NULL) { /* an older copy of what was met already */
        spl_calendar_row_clear(&row);
        spl_calendar_key_clear(&key);
        return TRUE;
    }
    run->out->ours++;
    g_hash_table_add(run->met, g_memdup2(&row.id, sizeof row.id));
    if (entry->sequence > row.sequence)
        g_hash_table_insert(run->sequences, g_memdup2(&row.id, sizeof row.id),
                            GINT_TO_POINTER(entry->sequence));
    days_of(run, entry, &key, &first, &last);
    state = state_of(entry, &row);
    there = g_hash_table_lookup(run->by_uid, row.uid);
    if (there != NULL)
        take_twice(there, first, last, state);
    if (!spl_calendar_value_known(run->house->book, &row, first, last, state, &days, &state_known,
                                  error)) {
        spl_calendar_row_clear(&row);
        spl_calendar_key_clear(&key);
        return FALSE;
    }
    /* A step that was taken up again may be cancelled again; an older copy of the file, from when
     * it was, says nothing. */
    if (state == SPL_CALENDAR_DROPPED && row.state == SPL_CALENDAR_OPEN &&
        entry->sequence >= row.sequence)
        state_known = FALSE;
    /* The same the other way: what this calendar had as called off, and stands in it as open. */
    again = row.state == SPL_CALENDAR_DROPPED && state != SPL_CALENDAR_DROPPED && kept.had &&
            kept.sent.cancelled && entry->sequence >= kept.sent.sequence;
    if (again)
        state_known = FALSE;
    if (there == NULL)
        spl_calendar_see_theirs(run, entry, &row, &key);
    if ((days && state_known) || there != NULL || row.state == SPL_CALENDAR_WITHDRAWN) {
        run->out->unchanged += there == NULL;
        version->unchanged = there == NULL;
        spl_calendar_row_clear(&row);
        spl_calendar_key_clear(&key);
        return TRUE;
    }
    candidate = g_new0(struct spl_calendar_candidate, 1);
    candidate->row = row;
    candidate->key = key;
    candidate->first = days ? row.first : first;
    candidate->last = days ? row.last : last;
    candidate->moved = !days;
    candidate->again = again;
    run->n_again += again;
    candidate->state = state_known ? row.state : state;
    candidate->completed = completed_of(run, entry);
    candidate->have_first = candidate->have_last = SPL_DAY_NONE;
    candidate->base_first = kept.had ? kept.sent.first : row.first;
    candidate->base_last = kept.had ? kept.sent.last : row.last;
    g_ptr_array_add(run->candidates, candidate);
    g_hash_table_insert(run->by_uid, candidate->row.uid, candidate);
    return TRUE;
}

/* The code of a dropped step's batch, which its other steps know. */
static void name_batch(struct spl_calendar_reading_run *run, const struct spl_calendar_item *item)
{
    if (run->n_again == 0 || item->code == NULL)
        return;
    for (guint i = 0; i < run->candidates->len; i++) {
        struct spl_calendar_candidate *candidate = g_ptr_array_index(run->candidates, i);

        if (candidate->again && candidate->code == NULL &&
            strstr(item->key, candidate->key.subject) != NULL)
            candidate->code = g_strdup(item->code);
    }
}

/* What the book has now for one of the candidates. */
static gboolean take_item(struct spl_calendar_item *item, gpointer data, GError **error)
{
    struct spl_calendar_reading_run *run = data;
    struct spl_calendar_candidate *candidate = g_hash_table_lookup(run->by_uid, item->entry.uid);

    (void)error;
    spl_calendar_weigh_theirs(run, item);
    name_batch(run, item);
    if (candidate == NULL)
        return TRUE;
    candidate->have_first = item->entry.first;
    candidate->have_last = spl_day_is_set(item->entry.last) ? item->entry.last : item->entry.first;
    candidate->have_done = item->done;
    candidate->code = g_strdup(item->code);
    candidate->since = item->since;
    candidate->site = g_strdup(item->site);
    return TRUE;
}

/* Windows of other growing years than the present one are asked for too. */
static void ask_years(const struct spl_calendar_reading_run *run, struct spl_calendar_scope *scope)
{
    int this_year, first, last;
    gboolean other = FALSE;

    spl_day_to_ymd(run->house->today, &this_year, NULL, NULL);
    first = last = this_year;
    for (guint i = 0; i < run->candidates->len; i++) {
        const struct spl_calendar_candidate *candidate = g_ptr_array_index(run->candidates, i);

        if (!is_span(&candidate->key))
            continue;
        other = other || candidate->key.year != this_year;
        first = MIN(first, candidate->key.year);
        last = MAX(last, candidate->key.year);
    }
    if (!other)
        return;
    scope->from = spl_day_from_ymd(first, 1, 1);
    scope->to = spl_day_from_ymd(last, 12, 31);
}

static gboolean ask_book(struct spl_calendar_reading_run *run, GError **error)
{
    struct spl_calendar_scope scope = SPL_CALENDAR_SCOPE;
    gboolean ok;

    scope.tasks = SPL_CALENDAR_TASKS_TOO;
    ask_years(run, &scope);
    run->gather = (struct spl_calendar_gather){
        .house = run->house, .scope = &scope, .each = take_item, .data = run};
    ok = spl_calendar_gather(&run->gather, error);
    run->gather.scope = NULL;
    return ok;
}

static void say(struct spl_calendar_reading_run *run,
                const struct spl_calendar_candidate *candidate, gboolean applied)
{
    struct spl_calendar_read *out = run->out;
    const char *change =
        candidate->gone    ? "deleted"
        : candidate->again ? "again"
        : candidate->state == SPL_CALENDAR_DONE && candidate->row.state != SPL_CALENDAR_DONE
            ? "done"
        : candidate->state == SPL_CALENDAR_DROPPED ? "dropped"
                                                   : "moved";
    struct spl_calendar_change said = {
        .kind = g_strdup(candidate->key.kind),
        .what = g_strdup(candidate->row.summary),
        .code = g_strdup(candidate->code),
        .site = g_strdup(candidate->site),
        .was_first = candidate->row.first,
        .was_last = candidate->row.last,
        .first = candidate->first,
        .last = candidate->last,
        .change = g_strdup(change),
        .applied = applied,
        .why = g_strdup(candidate->why),
        .next = g_strdup(candidate->next),
        .done_on =
            strcmp(change, "done") == 0 ? spl_calendar_done_on(run, candidate) : SPL_DAY_NONE,
    };
    GArray *list = candidate->ignored                   ? out->ignored
                   : candidate->gone                    ? out->deleted
                   : candidate->why != NULL && !applied ? out->conflicts
                   : candidate->again                   ? out->again
                   : strcmp(change, "done") == 0        ? out->done
                   : strcmp(change, "dropped") == 0     ? out->dropped
                                                        : out->moved;

    g_array_append_val(list, said);
}

/* Which calendar it is: of the name that was said, of its own path, or the folder that the file is
 * one of. What the person set in one that is not known is told, not kept. */
static gboolean find_target(struct spl_calendar_reading_run *run, GError **error)
{
    g_autofree char *path = g_canonicalize_filename(run->reading->path, NULL);
    g_autofree char *folder = g_path_get_dirname(path);
    const char *as = run->reading->as;

    if (!spl_calendar_target(run->house->book, as != NULL ? as : path, FALSE, &run->target_id,
                             error))
        return FALSE;
    if (as == NULL && run->target_id == 0) {
        if (!spl_calendar_target(run->house->book, folder, FALSE, &run->target_id, error))
            return FALSE;
        run->one_of_folder = run->target_id != 0;
    }
    run->theirs = spl_calendar_theirs_of(run->house->book, run->target_id, error);
    return run->theirs != NULL;
}

static gboolean run_reading(struct spl_calendar_reading_run *run, GError **error)
{
    if (!find_target(run, error) || spl_house_tables(run->house, error) == NULL ||
        !spl_calendar_read_files(run, error) || !spl_calendar_find_gone(run, error) ||
        (run->candidates->len + run->sets->len > 0 && !ask_book(run, error)))
        return FALSE;
    g_clear_pointer(&run->walk, spl_calendar_walk_free);
    spl_calendar_judge_gone(run);
    spl_calendar_judge(run);
    if (run->reading->apply && !spl_calendar_apply(run, error))
        return FALSE;
    for (guint i = 0; i < run->candidates->len; i++) {
        const struct spl_calendar_candidate *candidate = g_ptr_array_index(run->candidates, i);

        say(run, candidate, candidate->applied);
    }
    spl_calendar_tell_theirs(run);
    run->out->file = g_strdup(run->reading->path);
    run->out->applied = run->reading->apply;
    run->out->almanac_rows = (int)run->rows->len;
    if (run->rows->len > 0)
        run->out->almanac = g_strdup(run->reading->as_almanac);
    return TRUE;
}

static gboolean read_calendar(struct spl_house *house, const struct spl_calendar_reading *reading,
                              struct spl_calendar_read *read, GError **error)
{
    struct spl_calendar_reading_run run = {.house = house, .reading = reading, .out = read};
    gboolean ok;

    *read = (struct spl_calendar_read){
        .moved = spl_list_new(&spl_calendar_change_shape),
        .done = spl_list_new(&spl_calendar_change_shape),
        .dropped = spl_list_new(&spl_calendar_change_shape),
        .again = spl_list_new(&spl_calendar_change_shape),
        .kept = spl_list_new(&spl_calendar_change_shape),
        .deleted = spl_list_new(&spl_calendar_change_shape),
        .conflicts = spl_list_new(&spl_calendar_change_shape),
        .ignored = spl_list_new(&spl_calendar_change_shape),
        .left_out = spl_list_new(&spl_ical_left_shape),
    };
    run.zone = spl_house_setting_text(house, "zone");
    run.versions = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    run.met = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    run.met_uids = g_hash_table_new(g_str_hash, g_str_equal);
    run.sets = g_ptr_array_new_with_free_func(spl_calendar_set_free);
    run.sets_by_uid = g_hash_table_new(g_str_hash, g_str_equal);
    run.ours = g_ptr_array_new_with_free_func(g_free);
    run.candidates = g_ptr_array_new_with_free_func(spl_calendar_candidate_free);
    run.by_uid = g_hash_table_new(g_str_hash, g_str_equal);
    run.sequences = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    run.changed = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    run.rows = spl_list_new(&spl_almanac_row_shape);
    if (reading->apply) {
        ok = spl_book_begin(house->book, error) &&
             spl_book_finish(house->book, run_reading(&run, error), error);
    } else {
        ok = spl_book_begin_reading(house->book, error) && run_reading(&run, error);
        spl_book_end_reading(house->book);
    }
    spl_calendar_gather_clear(&run.gather);
    spl_list_free(&spl_almanac_row_shape, run.rows);
    g_hash_table_unref(run.by_uid);
    g_hash_table_unref(run.sequences);
    g_hash_table_unref(run.changed);
    g_ptr_array_unref(run.candidates);
    g_ptr_array_unref(run.ours);
    g_hash_table_unref(run.sets_by_uid);
    g_ptr_array_unref(run.sets);
    g_hash_table_unref(run.met);
    g_hash_table_unref(run.met_uids);
    g_hash_table_unref(run.versions);
    g_clear_pointer(&run.theirs, g_hash_table_unref);
    spl_calendar_walk_free(run.walk);
    g_free(run.zone);
    if (!ok)
        spl_record_clear(&spl_calendar_read_shape, read);
    return ok;
}

static const struct spl_input reading_rows[] = {
    SPL_INPUT(spl_calendar_reading, path, FILE, "file", "the calendar, or a folder of its files",
              .needed = 1),
    SPL_INPUT(spl_calendar_reading, apply, FLAG, "apply", "take the changes over"),
    SPL_INPUT(spl_calendar_reading, prefer, CHOICE, "prefer",
              "calendar or book: whose day holds when both moved", .words = "calendar book",
              .value = "SIDE"),
    SPL_INPUT(spl_calendar_reading, deleted, CHOICE, "deleted",
              "drop or again: what becomes of what you deleted there", .words = "drop again",
              .value = "WHICH"),
    SPL_INPUT(spl_calendar_reading, as_almanac, NAME, "as_almanac",
              "new entries titled like a known material become this almanac"),
    SPL_INPUT(spl_calendar_reading, as, FILE, "as",
              "which calendar of yours it is (default the file)", .value = "NAME"),
    SPL_INPUT(spl_calendar_reading, by, NAME, "by", "who did the steps", .value = "WHO",
              .setting = "who"),
};
const struct spl_inputs spl_calendar_reading_inputs =
    SPL_INPUTS("calendar_reading", spl_calendar_reading, reading_rows);

gboolean spl_calendar_read(struct spl_house *house, const struct spl_calendar_reading *said,
                           struct spl_calendar_read *read, GError **error)
{
    struct spl_calendar_reading reading;
    struct spl_calendar_read made;
    gboolean ok;

    if (!spl_entry_take(house, &spl_calendar_reading_inputs, said, &reading, error))
        return FALSE;
    ok = read_calendar(house, &reading, &made, error);
    spl_inputs_clear(&spl_calendar_reading_inputs, &reading);
    if (ok)
        *read = made;
    return ok;
}

static const struct spl_input file_rows[] = {
    SPL_INPUT(spl_calendar_file, path, FILE, "file", "the calendar", .needed = 1),
};
const struct spl_inputs spl_calendar_file_inputs =
    SPL_INPUTS("calendar_file", spl_calendar_file, file_rows);

gboolean spl_calendar_check(const struct spl_calendar_file *said, struct spl_ical_checked *checked,
                            GError **error)
{
    struct spl_calendar_file file;
    gboolean ok;

    if (!spl_inputs_copy(&spl_calendar_file_inputs, said, &file, error))
        return FALSE;
    ok = spl_inputs_check(&spl_calendar_file_inputs, &file, error) &&
         spl_ical_check_file(file.path, checked, error);
    spl_inputs_clear(&spl_calendar_file_inputs, &file);
    return ok;
}

gboolean spl_calendar_checked_ok(const struct spl_ical_checked *checked)
{
    return checked->ok;
}
