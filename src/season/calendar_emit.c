/* SPDX-License-Identifier: MIT
 *
 * The entries of one writing: each is compared with what the register has of it and what this
 * target had, and goes to the file or a file of its own; so does what was withdrawn, as called off.
 * See calendar_emit.h.
 */
#include "season/calendar_emit.h"

#include <string.h>

#include "book/calendar_theirs.h"
#include "season/calendar_files.h"
#include "season/calendar_key.h"
#include "simpling/entry.h"

#define COUNTED_MAX (1 << 26)
/* So many new entries go into the register at once: spl_calendar_add is faster with more. */
#define FRESH_MOST 8192
#define CALLED_OFF "Called off: "

/* Ids count up from 1; one beyond all that can have been counted has no place among the bits. */
static gboolean is_counted(gint64 id)
{
    return id >= 0 && id < COUNTED_MAX;
}

void spl_calendar_ids_init(struct spl_calendar_ids *ids)
{
    ids->bits = g_byte_array_new();
    ids->far = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
}

void spl_calendar_ids_clear(struct spl_calendar_ids *ids)
{
    g_byte_array_unref(ids->bits);
    g_hash_table_unref(ids->far);
}

void spl_calendar_ids_add(struct spl_calendar_ids *ids, gint64 id)
{
    guint byte = (guint)(id / 8);

    if (!is_counted(id)) {
        g_hash_table_add(ids->far, g_memdup2(&id, sizeof id));
        return;
    }
    while (ids->bits->len <= byte)
        g_byte_array_append(ids->bits, (const guint8 *)"\0\0\0\0\0\0\0\0", 8);
    ids->bits->data[byte] = (guint8)(ids->bits->data[byte] | 1U << (id % 8));
}

gboolean spl_calendar_ids_have(const struct spl_calendar_ids *ids, gint64 id)
{
    guint byte = (guint)(id / 8);

    if (!is_counted(id))
        return g_hash_table_contains(ids->far, &id);
    return byte < ids->bits->len && (ids->bits->data[byte] >> (id % 8) & 1) != 0;
}

gboolean spl_calendar_falls_into(const struct spl_calendar_scope *scope,
                                 const struct spl_entry *entry)
{
    struct spl_day last = spl_day_is_set(entry->last) ? entry->last : entry->first;

    return (!spl_day_is_set(scope->from) || last.n >= scope->from.n) &&
           (!spl_day_is_set(scope->to) || entry->first.n <= scope->to.n);
}

static gboolean emit_file(struct spl_calendar_run *run, const struct spl_entry *entry,
                          GError **error)
{
    g_autofree char *name = g_strconcat(entry->uid, ".ics", NULL);
    const char *there = g_hash_table_lookup(run->there, entry->uid);
    g_autofree char *path = g_build_filename(run->folder, there != NULL ? there : name, NULL);
    struct spl_ical_options options = run->options;
    g_autoptr(spl_ical_writer) writer = NULL;
    g_autofree char *checksum = NULL;
    int year;

    spl_day_to_ymd(entry->first, &year, NULL, NULL);
    options.year_first = year;
    options.year_last = year + 1;
    if (entry->start_min < 0)
        options.zone = NULL;
    if (!spl_calendar_file_is_ours(run->book, path, run->words->force, error))
        return FALSE;
    writer = spl_ical_writer_open(path, &options, error);
    if (writer == NULL || !spl_ical_writer_add(writer, entry, error))
        return FALSE;
    spl_calendar_files_keep(run->files, path);
    if (!spl_ical_writer_commit(writer, error))
        return FALSE;
    checksum = spl_ical_writer_checksum(writer);
    return spl_calendar_file_put(run->book, path, checksum, error);
}

static gboolean emit(struct spl_calendar_run *run, const struct spl_entry *entry, GError **error)
{
    if (run->words->split != NULL ? !emit_file(run, entry, error)
                                  : !spl_ical_writer_add(run->writer, entry, error))
        return FALSE;
    if (entry->kind == SPL_ENTRY_TASK)
        run->out->todos++;
    else
        run->out->events++;
    spl_progress_tell(&run->gather.house->progress, "writing the calendar",
                      run->out->todos + run->out->events, 0);
    return TRUE;
}

static struct spl_day last_of(const struct spl_entry *entry)
{
    return spl_day_is_set(entry->last) ? entry->last : entry->first;
}

static void fill_row(struct spl_calendar_row *row, const struct spl_calendar_item *item)
{
    row->first = item->entry.first;
    row->last = last_of(&item->entry);
    row->outer_first = item->outer_first;
    row->outer_last = item->outer_last;
    row->year = item->year;
    row->state = item->done ? SPL_CALENDAR_DONE : SPL_CALENDAR_OPEN;
    g_free(row->summary);
    row->summary = g_strdup(item->entry.summary);
}

/* The register's row follows the entry; what it had before is kept as a value. */
static gboolean update_row(struct spl_calendar_run *run, struct spl_calendar_item *item,
                           GError **error)
{
    struct spl_calendar_row *row = &item->row;
    const struct spl_entry *entry = &item->entry;
    enum spl_calendar_state state = item->done ? SPL_CALENDAR_DONE : SPL_CALENDAR_OPEN;

    if (row->first.n == entry->first.n && row->last.n == last_of(entry).n && row->state == state &&
        row->year == item->year && strcmp(row->summary, entry->summary) == 0 &&
        row->outer_first.n == item->outer_first.n && row->outer_last.n == item->outer_last.n)
        return TRUE;
    fill_row(row, item);
    return spl_calendar_row_update(run->book, row, error);
}

void spl_calendar_fresh_clear(gpointer data)
{
    spl_calendar_row_clear(&((struct spl_calendar_fresh *)data)->row);
}

gboolean spl_calendar_emit_fresh(struct spl_calendar_run *run, GError **error)
{
    struct spl_calendar_fresh *fresh = (struct spl_calendar_fresh *)(void *)run->fresh->data;

    g_hash_table_remove_all(run->fresh_uids);
    if (!spl_calendar_add(run->book, run->target_id, fresh, run->fresh->len, error))
        return FALSE;
    for (guint i = 0; i < run->fresh->len; i++) {
        spl_calendar_ids_add(&run->seen, fresh[i].row.id);
        spl_calendar_ids_add(&run->put, fresh[i].row.id);
    }
    g_array_set_size(run->fresh, 0);
    return TRUE;
}

/* Of two things of one key the second must find the first. */
static gboolean find_fresh(struct spl_calendar_run *run, struct spl_calendar_item *item,
                           GError **error)
{
    if (item->known || !g_hash_table_contains(run->fresh_uids, item->entry.uid))
        return TRUE;
    return spl_calendar_emit_fresh(run, error) &&
           spl_calendar_row_find(run->book, item->entry.uid, &item->row, &item->known, error);
}

static gboolean take_fresh(struct spl_calendar_run *run, struct spl_calendar_item *item,
                           GError **error)
{
    struct spl_calendar_fresh fresh = {0};
    g_autofree char *hash = spl_entry_hash(&item->entry);

    fill_row(&fresh.row, item);
    fresh.row.uid = g_strdup(item->entry.uid);
    fresh.row.key = g_strdup(item->key);
    fresh.row.changed_at = fresh.sent.changed_at = run->now;
    g_strlcpy(fresh.sent.hash, hash, sizeof fresh.sent.hash);
    fresh.sent.first = fresh.row.first;
    fresh.sent.last = fresh.row.last;
    g_array_append_val(run->fresh, fresh);
    g_hash_table_add(run->fresh_uids, fresh.row.uid);
    run->out->fresh++;
    item->entry.sequence = 0;
    item->entry.changed_at = run->now;
    return (run->fresh->len < FRESH_MOST || spl_calendar_emit_fresh(run, error)) &&
           emit(run, &item->entry, error);
}

/* The row's sequence and stamp rise together (RFC 5546 2.1.4, 2.1.5). */
static gboolean raise_sequence(struct spl_calendar_run *run, struct spl_calendar_row *row,
                               GError **error)
{
    row->sequence++;
    row->changed_at = MAX(run->now, row->changed_at + 1);
    return spl_calendar_row_update(run->book, row, error);
}

/* The person wants the entry in this calendar again. */
static gboolean unhide(struct spl_calendar_run *run, gint64 id,
                       const struct spl_calendar_theirs **theirs, GError **error)
{
    struct spl_calendar_theirs *shown = g_hash_table_lookup(run->theirs, &id);

    shown->hidden = FALSE;
    *theirs = shown;
    return spl_calendar_theirs_put(run->book, run->target_id, id, shown, error);
}

gboolean spl_calendar_emit_item(struct spl_calendar_item *item, gpointer data, GError **error)
{
    struct spl_calendar_run *run = data;
    struct spl_entry *entry = &item->entry;
    struct spl_calendar_sent sent = item->sent;
    const struct spl_calendar_theirs *theirs;
    g_autofree char *hash = NULL;
    gboolean had = item->had, was_dropped, news = TRUE;

    if (!spl_calendar_falls_into(&run->scope, entry))
        return TRUE;
    if (!find_fresh(run, item, error))
        return FALSE;
    if (!item->known)
        return take_fresh(run, item, error);
    if (spl_calendar_ids_have(&run->seen, item->row.id)) /* two things of one key are one entry */
        return TRUE;
    /* What the person cancelled in their calendar stays so; whether a step is to be done, the book
     * knows. */
    was_dropped = item->row.state == SPL_CALENDAR_DROPPED;
    if (was_dropped && !item->in_book)
        return TRUE;
    if (!update_row(run, item, error))
        return FALSE;
    spl_calendar_ids_add(&run->seen, item->row.id);
    theirs = g_hash_table_lookup(run->theirs, &item->row.id);
    if (theirs != NULL && theirs->hidden) {
        /* Dropped by deleting it, and taken up again since then in the book. */
        if (!(was_dropped && item->in_book))
            return TRUE;
        if (!unhide(run, item->row.id, &theirs, error))
            return FALSE;
    }
    if (theirs != NULL)
        spl_calendar_put_theirs(entry, item->lead, theirs);
    hash = spl_entry_hash(entry);
    if (had && !sent.cancelled && strcmp(sent.hash, hash) == 0) {
        news = FALSE;
        if (!sent.there &&
            !spl_calendar_there_put(run->book, run->target_id, item->row.id, TRUE, error))
            return FALSE;
    } else {
        if (had && !raise_sequence(run, &item->row, error))
            return FALSE;
        g_strlcpy(sent.hash, hash, sizeof sent.hash);
        sent.sequence = item->row.sequence;
        sent.changed_at = item->row.changed_at;
        sent.cancelled = FALSE;
        sent.there = TRUE;
        sent.first = item->row.first;
        sent.last = item->row.last;
        if (!spl_calendar_sent_put(run->book, run->target_id, item->row.id, &sent, error))
            return FALSE;
        if (had)
            run->out->changed++;
        else
            run->out->fresh++;
    }
    entry->sequence = sent.sequence;
    entry->changed_at = sent.changed_at;
    if (run->words->new_only && !news)
        return TRUE;
    spl_calendar_ids_add(&run->put, item->row.id);
    return emit(run, entry, error);
}

/* ---- what was withdrawn ---------------------------------------------------------------------- */

static const char *category_of(const struct spl_calendar_key *key)
{
    return strcmp(key->kind, "window") == 0   ? "windows"
           : strcmp(key->kind, "outing") == 0 ? "outings"
           : strcmp(key->kind, "check") == 0  ? "checks"
                                              : "steps";
}

static int what_of(const struct spl_calendar_key *key)
{
    for (int bit = 0; bit < SPL_CALENDAR_KINDS; bit++)
        if (strcmp(spl_calendar_kinds[bit], category_of(key)) == 0)
            return 1 << bit;
    return 0;
}

/* TRUE when this run would have gathered the entry if the book still had it. */
static gboolean was_asked_for(const struct spl_calendar_run *run,
                              const struct spl_calendar_row *row,
                              const struct spl_calendar_key *key)
{
    if (key->task ? run->scope.tasks == SPL_CALENDAR_EVENTS
                  : run->scope.tasks == SPL_CALENDAR_TASKS_ONLY &&
                        strcmp(key->kind, "window") != 0 && strcmp(key->kind, "outing") != 0)
        return FALSE;
    if ((run->scope.what & what_of(key)) == 0)
        return FALSE;
    if (strcmp(key->kind, "window") == 0)
        return g_hash_table_contains(run->gather.years, GINT_TO_POINTER(row->year)) ||
               row->year == run->gather.season;
    if (strcmp(key->kind, "check") == 0)
        return key->year == run->gather.season;
    return TRUE;
}

static gboolean emit_cancelled(struct spl_calendar_run *run, const struct spl_calendar_row *row,
                               const struct spl_calendar_key *key,
                               const struct spl_calendar_sent *sent, GError **error)
{
    const struct spl_calendar_theirs *theirs = g_hash_table_lookup(run->theirs, &row->id);
    struct spl_entry entry;
    gboolean ok;

    spl_entry_init(&entry);
    entry.kind = key->task ? SPL_ENTRY_TASK : SPL_ENTRY_EVENT;
    entry.status = SPL_ENTRY_CANCELLED;
    entry.uid = g_strdup(row->uid);
    /* Some readers show titles alone. */
    entry.summary = g_strconcat(CALLED_OFF, row->summary, NULL);
    entry.category = g_strdup(category_of(key));
    entry.first = row->first;
    entry.last = row->last;
    entry.due = row->last;
    entry.sequence = sent->sequence;
    entry.changed_at = sent->changed_at;
    if (theirs != NULL)
        spl_calendar_put_theirs(&entry, strlen(CALLED_OFF), theirs);
    ok = emit(run, &entry, error);
    spl_entry_clear(&entry);
    return ok;
}

static gboolean emit_withdrawn(struct spl_calendar_run *run, struct spl_calendar_row *row,
                               const struct spl_calendar_key *key, GError **error)
{
    struct spl_calendar_sent sent;
    gboolean had;

    if (!spl_calendar_sent_find(run->book, run->target_id, row->id, &sent, &had, error))
        return FALSE;
    if (!had || (sent.cancelled && run->words->new_only))
        return TRUE;
    if (!sent.cancelled) {
        if (row->state != SPL_CALENDAR_DROPPED)
            row->state = SPL_CALENDAR_WITHDRAWN;
        if (!raise_sequence(run, row, error))
            return FALSE;
        sent.sequence = row->sequence;
        sent.changed_at = row->changed_at;
        sent.cancelled = TRUE;
        if (!spl_calendar_sent_put(run->book, run->target_id, row->id, &sent, error))
            return FALSE;
        run->out->cancelled++;
    }
    return emit_cancelled(run, row, key, &sent, error);
}

gboolean spl_calendar_emit_withdrawn(gint64 id, gpointer data, GError **error)
{
    struct spl_calendar_run *run = data;
    const struct spl_calendar_theirs *theirs = g_hash_table_lookup(run->theirs, &id);
    struct spl_calendar_row row;
    struct spl_calendar_key key;
    gboolean ok = TRUE;

    if (spl_calendar_ids_have(&run->seen, id) || (theirs != NULL && theirs->hidden))
        return TRUE;
    if (!spl_calendar_row_get(run->book, id, &row, error))
        return FALSE;
    if (spl_calendar_key_parse(row.key, &key)) {
        ok = !was_asked_for(run, &row, &key) || emit_withdrawn(run, &row, &key, error);
        spl_calendar_key_clear(&key);
    }
    spl_calendar_row_clear(&row);
    return ok;
}
