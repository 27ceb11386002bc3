/* SPDX-License-Identifier: MIT
 *
 * Writing the calendar. See simpling/calendar.h.
 *
 * Entries come one at a time from calendar_gather.c, are compared with what this target had, and go
 * to the file; memory does not grow with them. All of it is one transaction, which ends after the
 * file is in its place; if it fails then, the file is put back.
 */
#include <glib/gstdio.h>
#include <string.h>

#include "base/amount.h"
#include "base/file.h"
#include "book/calendar_theirs.h"
#include "book/plan.h"
#include "core/verdict.h"
#include "exchange/ical_read.h"
#include "exchange/ical_write.h"
#include "exchange/ical_zone.h"
#include "season/calendar_files.h"
#include "season/calendar_gather.h"
#include "season/calendar_gone.h"
#include "season/calendar_key.h"
#include "season/calendar_scope.h"
#include "season/calendar_theirs.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define COUNTED_MAX (1 << 26)
#define NAME "Herb season" /* as applications show it */
#define CALLED_OFF "Called off: "

/* A set of register ids. */
struct ids {
    GByteArray *bits;
    GHashTable *far; /* gint64 *: ids that only a damaged register has */
};

/* One writing. */
struct run {
    struct spl_calendar_gather gather;
    struct spl_calendar_scope scope;
    const struct spl_calendar_words *words;
    FILE *stream; /* for "-" */
    struct spl_book *book;
    struct spl_ical_options options;
    spl_ical_writer *writer; /* NULL with a folder */
    const char *folder;      /* absolute; NULL with a file */
    GHashTable *there;       /* UID -> name of the folder's file that holds it under another name */
    struct ids held;         /* register ids that stands in the folder */
    int n_files;             /* in it */
    gint64 target_id;
    gint64 now;         /* seconds since 1970 UTC */
    gboolean whole;     /* no filter: what is not gathered was withdrawn */
    struct ids seen;    /* register ids */
    struct ids put;     /* likewise: written into the file, and not as called off */
    GHashTable *theirs; /* register id -> struct spl_calendar_theirs of this target */
    GPtrArray *files;   /* put in place so far */
    GArray *fresh;      /* of struct spl_calendar_fresh: new to the register, not yet in it */
    struct spl_calendar_written *out;
};

/* Ids count up from 1; one beyond all that can have been counted has no place among the bits. */
static gboolean is_counted(gint64 id)
{
    return id >= 0 && id < COUNTED_MAX;
}

static void ids_init(struct ids *ids)
{
    ids->bits = g_byte_array_new();
    ids->far = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
}

static void ids_clear(struct ids *ids)
{
    g_byte_array_unref(ids->bits);
    g_hash_table_unref(ids->far);
}

static void ids_add(struct ids *ids, gint64 id)
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

static gboolean ids_have(const struct ids *ids, gint64 id)
{
    guint byte = (guint)(id / 8);

    if (!is_counted(id))
        return g_hash_table_contains(ids->far, &id);
    return byte < ids->bits->len && (ids->bits->data[byte] >> (id % 8) & 1) != 0;
}

static gboolean falls_into(const struct spl_calendar_scope *scope, const struct spl_entry *entry)
{
    struct spl_day last = spl_day_is_set(entry->last) ? entry->last : entry->first;

    return (!spl_day_is_set(scope->from) || last.n >= scope->from.n) &&
           (!spl_day_is_set(scope->to) || entry->first.n <= scope->to.n);
}

static gboolean emit_file(struct run *run, const struct spl_entry *entry, GError **error)
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

static gboolean emit(struct run *run, const struct spl_entry *entry, GError **error)
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
static gboolean update_row(struct run *run, struct spl_calendar_item *item, GError **error)
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

static void fresh_clear(gpointer data)
{
    spl_calendar_row_clear(&((struct spl_calendar_fresh *)data)->row);
}

static gboolean add_fresh(struct run *run, GError **error)
{
    struct spl_calendar_fresh *fresh = (struct spl_calendar_fresh *)(void *)run->fresh->data;

    if (!spl_calendar_add(run->book, run->target_id, fresh, run->fresh->len, error))
        return FALSE;
    for (guint i = 0; i < run->fresh->len; i++) {
        ids_add(&run->seen, fresh[i].row.id);
        ids_add(&run->put, fresh[i].row.id);
    }
    g_array_set_size(run->fresh, 0);
    return TRUE;
}

/* Of two things of one key the second must find the first. */
static gboolean find_fresh(struct run *run, struct spl_calendar_item *item, GError **error)
{
    for (guint i = 0; !item->known && i < run->fresh->len; i++)
        if (strcmp(g_array_index(run->fresh, struct spl_calendar_fresh, i).row.uid,
                   item->entry.uid) == 0)
            return add_fresh(run, error) && spl_calendar_row_find(run->book, item->entry.uid,
                                                                  &item->row, &item->known, error);
    return TRUE;
}

static gboolean take_fresh(struct run *run, struct spl_calendar_item *item, GError **error)
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
    run->out->fresh++;
    item->entry.sequence = 0;
    item->entry.changed_at = run->now;
    return (run->fresh->len < SPL_CALENDAR_MANY || add_fresh(run, error)) &&
           emit(run, &item->entry, error);
}

/* The row's sequence and stamp rise together (RFC 5546 2.1.4, 2.1.5). */
static gboolean raise_sequence(struct run *run, struct spl_calendar_row *row, GError **error)
{
    row->sequence++;
    row->changed_at = MAX(run->now, row->changed_at + 1);
    return spl_calendar_row_update(run->book, row, error);
}

/* The person wants the entry in this calendar again. */
static gboolean unhide(struct run *run, gint64 id, const struct spl_calendar_theirs **theirs,
                       GError **error)
{
    struct spl_calendar_theirs *shown = g_hash_table_lookup(run->theirs, &id);

    shown->hidden = FALSE;
    *theirs = shown;
    return spl_calendar_theirs_put(run->book, run->target_id, id, shown, error);
}

static gboolean take_item(struct spl_calendar_item *item, gpointer data, GError **error)
{
    struct run *run = data;
    struct spl_entry *entry = &item->entry;
    struct spl_calendar_sent sent;
    const struct spl_calendar_theirs *theirs;
    g_autofree char *hash = NULL;
    gboolean had, was_dropped, news = TRUE;

    if (!falls_into(&run->scope, entry))
        return TRUE;
    if (!find_fresh(run, item, error))
        return FALSE;
    if (!item->known)
        return take_fresh(run, item, error);
    if (ids_have(&run->seen, item->row.id)) /* two things of one key are one entry */
        return TRUE;
    /* What the person cancelled in their calendar stays so; whether a step is to be done, the book
     * knows. */
    was_dropped = item->row.state == SPL_CALENDAR_DROPPED;
    if (was_dropped && !item->in_book)
        return TRUE;
    if (!update_row(run, item, error) ||
        !spl_calendar_sent_find(run->book, run->target_id, item->row.id, &sent, &had, error))
        return FALSE;
    ids_add(&run->seen, item->row.id);
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
    ids_add(&run->put, item->row.id);
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
static gboolean was_asked_for(const struct run *run, const struct spl_calendar_row *row,
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

static gboolean emit_cancelled(struct run *run, const struct spl_calendar_row *row,
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

static gboolean take_row(const struct spl_calendar_row *old, gpointer data, GError **error)
{
    struct run *run = data;
    struct spl_calendar_row row = *old; /* its texts stay the caller's */
    struct spl_calendar_key key;
    struct spl_calendar_sent sent;
    const struct spl_calendar_theirs *theirs = g_hash_table_lookup(run->theirs, &row.id);
    gboolean had, ok = TRUE;

    if (ids_have(&run->seen, row.id) || (theirs != NULL && theirs->hidden) ||
        !spl_calendar_key_parse(row.key, &key))
        return TRUE;
    if (!was_asked_for(run, &row, &key)) {
        spl_calendar_key_clear(&key);
        return TRUE;
    }
    ok = spl_calendar_sent_find(run->book, run->target_id, row.id, &sent, &had, error);
    if (ok && had && !sent.cancelled) {
        if (row.state != SPL_CALENDAR_DROPPED)
            row.state = SPL_CALENDAR_WITHDRAWN;
        ok = raise_sequence(run, &row, error);
        sent.sequence = row.sequence;
        sent.changed_at = row.changed_at;
        sent.cancelled = TRUE;
        ok = ok && spl_calendar_sent_put(run->book, run->target_id, row.id, &sent, error) &&
             emit_cancelled(run, &row, &key, &sent, error);
        run->out->cancelled++;
    } else if (ok && had && !run->words->new_only) {
        ok = emit_cancelled(run, &row, &key, &sent, error);
    }
    spl_calendar_key_clear(&key);
    return ok;
}

/* ---- the years that a zone's description must cover ------------------------------------------ */

struct years {
    const struct spl_calendar_scope *scope;
    int first, last;
};

static gboolean take_years(struct spl_calendar_item *item, gpointer data, GError **error)
{
    struct years *years = data;
    int year;

    (void)error;
    if (item->entry.start_min < 0 || !falls_into(years->scope, &item->entry))
        return TRUE;
    spl_day_to_ymd(item->entry.first, &year, NULL, NULL);
    years->first = years->first == 0 ? year : MIN(years->first, year);
    years->last = MAX(years->last, year);
    return TRUE;
}

static gboolean find_years(struct run *run, GError **error)
{
    struct years years = {&run->scope, 0, 0};
    struct spl_calendar_gather gather = {.house = run->gather.house,
                                         .scope = &run->scope,
                                         .zone = run->gather.zone,
                                         .clock = run->gather.clock,
                                         .each = take_years,
                                         .data = &years};
    gboolean ok = spl_calendar_gather(&gather, error);

    spl_calendar_gather_clear(&gather);
    run->options.year_first = years.first;
    run->options.year_last = years.last;
    if (years.first == 0)
        run->options.zone = NULL; /* no timed entry: no zone in the file */
    return ok;
}

/* ---- one run --------------------------------------------------------------------------------- */

static gboolean open_target(struct run *run, char **path, GError **error)
{
    const struct spl_calendar_words *words = run->words;
    const char *asked = words->split != NULL ? words->split : words->out;

    if (words->split == NULL && g_strcmp0(words->out, "-") == 0) {
        *path = NULL;
    } else if (asked != NULL) {
        *path = g_canonicalize_filename(asked, NULL);
    } else {
        g_autofree char *book = g_canonicalize_filename(spl_book_path(run->book), NULL);
        g_autofree char *folder = g_path_get_dirname(book);

        *path = g_build_filename(folder, "calendar.ics", NULL);
    }
    if (words->split == NULL && *path != NULL && !spl_file_is_target(*path, error))
        return FALSE;
    run->out->target = g_strdup(words->as != NULL ? words->as : *path != NULL ? *path : "-");
    if (!spl_calendar_target(run->book, run->out->target, TRUE, &run->target_id, error))
        return FALSE;
    run->theirs = spl_calendar_theirs_of(run->book, run->target_id, error);
    return run->theirs != NULL;
}

static gboolean write_entries(struct run *run, GError **error)
{
    gboolean empty;

    if (!spl_calendar_is_empty(run->book, &empty, error))
        return FALSE;
    if (empty)
        run->gather.met = g_malloc0(SPL_CALENDAR_MET_SIZE);
    return spl_calendar_gather(&run->gather, error) && add_fresh(run, error) &&
           (!run->whole ||
            spl_calendar_row_each(run->book, run->gather.season, take_row, run, error));
}

static gboolean take_there(gint64 id, gpointer data, GError **error)
{
    struct run *run = data;

    return ids_have(&run->put, id) ||
           spl_calendar_there_put(run->book, run->target_id, id, FALSE, error);
}

/* A file holds just what was written now; a folder keeps what was there. */
static gboolean note_absent(struct run *run, GError **error)
{
    return spl_calendar_there_each(run->book, run->target_id, take_there, run, error);
}

static gboolean write_file(struct run *run, const char *path, GError **error)
{
    g_autofree char *checksum = NULL;

    if (path == NULL) {
        run->writer = spl_ical_writer_open_stream(run->stream, &run->options, error);
    } else {
        if (!spl_calendar_file_is_ours(run->book, path, run->words->force, error))
            return FALSE;
        run->writer = spl_ical_writer_open(path, &run->options, error);
    }
    if (run->writer == NULL || !write_entries(run, error) || !note_absent(run, error))
        return FALSE;
    if (run->words->new_only && spl_ical_writer_count(run->writer) == 0)
        return TRUE; /* nothing new is no failure: no file then */
    if (path != NULL)
        spl_calendar_files_keep(run->files, path);
    if (!spl_ical_writer_commit(run->writer, error))
        return FALSE;
    run->out->file = g_strdup(path != NULL ? path : "-");
    checksum = spl_ical_writer_checksum(run->writer);
    return path == NULL || spl_calendar_file_put(run->book, path, checksum, error);
}

/* Of a folder that a program keeps in step with a server: which entries stand in it, and under
 * which name where that was changed (one UID may stand in one file only, RFC 4791 4.1). */
static gboolean look_into(struct run *run, const char *path, GError **error)
{
    g_autoptr(GDir) folder = g_dir_open(path, 0, NULL);
    const char *name;

    while (folder != NULL && (name = g_dir_read_name(folder)) != NULL) {
        g_autofree char *file = g_build_filename(path, name, NULL);
        g_autoptr(spl_ical_reader) reader = NULL;
        struct spl_calendar_row row;
        struct spl_entry entry;
        gboolean found = FALSE;

        if (!g_str_has_suffix(name, ".ics") || *name == '.')
            continue;
        run->n_files++;
        reader = spl_ical_reader_open(file, NULL, NULL);
        spl_entry_init(&entry);
        if (reader != NULL && spl_ical_reader_next(reader, &entry, NULL) && entry.uid != NULL &&
            !spl_calendar_row_find(run->book, entry.uid, &row, &found, error)) {
            spl_entry_clear(&entry);
            return FALSE;
        }
        if (found) {
            g_autofree char *usual = g_strconcat(row.uid, ".ics", NULL);
            g_autofree char *its = g_build_filename(path, usual, NULL);

            ids_add(&run->held, row.id);
            if (strcmp(usual, name) != 0 && !g_file_test(its, G_FILE_TEST_EXISTS))
                g_hash_table_insert(run->there, g_strdup(row.uid), g_strdup(name));
            spl_calendar_row_clear(&row);
        }
        spl_entry_clear(&entry);
    }
    return TRUE;
}

/* What the person deleted from a folder is not written again before they said so. */
static gboolean take_held(gint64 id, gpointer data, GError **error)
{
    struct run *run = data;
    const struct spl_calendar_theirs *theirs = g_hash_table_lookup(run->theirs, &id);
    struct spl_calendar_row row;
    g_autofree char *name = NULL, *path = NULL;
    gboolean ok;

    if (ids_have(&run->held, id) || (theirs != NULL && theirs->hidden))
        return TRUE;
    if (!spl_calendar_row_get(run->book, id, &row, error))
        return FALSE;
    name = g_strconcat(row.uid, ".ics", NULL);
    path = g_build_filename(run->folder, name, NULL);
    ok = !spl_calendar_is_missed(&row, run->gather.house->today) ||
         g_file_test(path, G_FILE_TEST_EXISTS);
    if (!ok)
        spl_error_set_input(error, SPL_ERROR_CONFLICT, "force",
                            "%s: '%s' was deleted from it; read the folder and say whether what is "
                            "gone is dropped or wanted again, or say that it is to be replaced",
                            run->folder, row.summary);
    spl_calendar_row_clear(&row);
    return ok;
}

static gboolean write_folder(struct run *run, const char *path, GError **error)
{
    if (g_mkdir_with_parents(path, 0777) != 0) {
        spl_error_set_input(error, SPL_ERROR_READ_ONLY, "split",
                            "%s: the folder cannot be made; name another", path);
        return FALSE;
    }
    run->folder = path;
    if (!look_into(run, path, error) ||
        (run->n_files > 0 && !run->words->force &&
         !spl_calendar_there_each(run->book, run->target_id, take_held, run, error)) ||
        !write_entries(run, error))
        return FALSE;
    if (run->out->events + run->out->todos == 0 && !run->words->new_only) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                    "there is nothing to write: no entry falls into this calendar");
        return FALSE;
    }
    run->out->file = g_strdup(path);
    return TRUE;
}

/* Outings alone have a time of day: in the book's zone, whose description covers their years. */
static gboolean choose_clock(struct run *run, GError **error)
{
    struct spl_house *house = run->gather.house;
    g_autofree char *zone = spl_house_setting_text(house, "zone");
    g_autoptr(GArray) outings = NULL;
    double lat = 50, lon = 0;

    if ((run->scope.what & SPL_CALENDAR_OUTINGS) == 0 || zone == NULL || !spl_zone_is_known(zone))
        return TRUE;
    (void)spl_house_setting_place(house, &lat, &lon);
    outings = spl_kept_outing_list(house->book, spl_day_season(house->today, lat), error);
    for (guint i = 0; outings != NULL && i < outings->len; i++) {
        struct spl_day day = g_array_index(outings, struct spl_kept_outing, i).day;
        int year;

        spl_day_to_ymd(day, &year, NULL, NULL);
        if (run->gather.clock == NULL) {
            run->gather.clock = g_strdup(zone);
            run->options.year_first = year;
        }
        run->options.year_first = MIN(run->options.year_first, year);
        run->options.year_last = MAX(run->options.year_last, year);
    }
    run->options.zone = run->gather.clock;
    return outings != NULL;
}

static gboolean choose_zone(struct run *run, GError **error)
{
    if (run->scope.at_min < 0)
        return choose_clock(run, error);
    run->gather.zone = run->words->zone != NULL ? g_strdup(run->words->zone)
                                                : spl_house_setting_text(run->gather.house, "zone");
    if (run->gather.zone == NULL) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "zone",
                            "is missing: a time of day needs one, such as Europe/London; say it, "
                            "or set it once for the book");
        return FALSE;
    }
    if (!spl_zone_is_known(run->gather.zone)) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "zone",
                            "'%s' is not known here; write it as Europe/London", run->gather.zone);
        return FALSE;
    }
    run->options.zone = run->gather.zone;
    run->gather.clock = g_strdup(run->gather.zone);
    return find_years(run, error);
}

/* `kind`: a calendar of one kind, which has all of that kind. Inside a transaction. */
static gboolean write_calendar(struct spl_house *house, const struct spl_calendar_words *words,
                               FILE *stream, gboolean kind, GPtrArray *files,
                               struct spl_calendar_written *written, GError **error)
{
    struct run run = {.gather = {.house = house, .each = take_item},
                      .words = words,
                      .stream = stream,
                      .book = house->book,
                      .files = files,
                      .out = written};
    g_autofree char *path = NULL;
    gboolean ok;

    if (!spl_calendar_scope_of(words, &run.scope, error))
        return FALSE;
    run.gather.scope = &run.scope;
    run.gather.data = &run;
    run.options.with_places = words->with_places;
    run.whole = (run.scope.what == SPL_CALENDAR_ALL || kind) && !spl_day_is_set(words->from) &&
                !spl_day_is_set(words->to);
    ids_init(&run.seen);
    ids_init(&run.put);
    ids_init(&run.held);
    run.there = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    run.fresh = g_array_new(FALSE, FALSE, sizeof(struct spl_calendar_fresh));
    g_array_set_clear_func(run.fresh, fresh_clear);
    run.options.name = words->name != NULL ? words->name : NAME;
    if (words->split == NULL && !words->new_only)
        run.options.refresh_days = 1;
    run.now = spl_book_stamp(house->book, error) / G_USEC_PER_SEC;
    ok = run.now != 0 && choose_zone(&run, error) && open_target(&run, &path, error) &&
         (words->split != NULL ? write_folder(&run, path, error) : write_file(&run, path, error));
    spl_ical_writer_free(run.writer);
    spl_calendar_gather_clear(&run.gather);
    g_free(run.gather.zone);
    g_free(run.gather.clock);
    g_hash_table_unref(run.there);
    ids_clear(&run.seen);
    ids_clear(&run.put);
    ids_clear(&run.held);
    g_clear_pointer(&run.theirs, g_hash_table_unref);
    g_array_unref(run.fresh);
    g_free(run.gather.met);
    return ok;
}

/* One named calendar of a kind, so that each can be shown, coloured or left out by itself. */
static gboolean write_kind(struct spl_house *house, const struct spl_calendar_words *words,
                           const char *kind, GPtrArray *files, struct spl_calendar_written *written,
                           GError **error)
{
    g_autofree char *file = g_strconcat(kind, ".ics", NULL);
    g_autofree char *path = g_build_filename(words->kinds, file, NULL);
    g_autofree char *name =
        g_strdup_printf("%s: %s", words->name != NULL ? words->name : NAME, kind);
    struct spl_calendar_words one = *words;
    struct spl_calendar_written made = {.file = NULL};
    GError *failed = NULL;
    gboolean ok;

    one.kinds = NULL;
    one.out = path;
    one.what = kind;
    one.name = name;
    ok = write_calendar(house, &one, NULL, TRUE, files, &made, &failed);
    /* Of some kinds there may be none. */
    if (!ok && g_error_matches(failed, SPL_ERROR, SPL_ERROR_NOT_FOUND)) {
        g_clear_error(&failed);
        ok = TRUE;
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    written->events += made.events;
    written->todos += made.todos;
    written->fresh += made.fresh;
    written->changed += made.changed;
    written->cancelled += made.cancelled;
    spl_record_clear(&spl_calendar_written_shape, &made);
    return ok;
}

static gboolean write_kinds(struct spl_house *house, const struct spl_calendar_words *words,
                            GPtrArray *files, struct spl_calendar_written *written, GError **error)
{
    struct spl_calendar_scope scope;

    if (!spl_calendar_scope_of(words, &scope, error))
        return FALSE;
    if (g_mkdir_with_parents(words->kinds, 0777) != 0) {
        spl_error_set_input(error, SPL_ERROR_READ_ONLY, "kinds",
                            "%s: the folder cannot be made; name another", words->kinds);
        return FALSE;
    }
    for (int bit = 0; bit < SPL_CALENDAR_KINDS; bit++)
        if ((scope.what >> bit & 1) != 0 &&
            !write_kind(house, words, spl_calendar_kinds[bit], files, written, error))
            return FALSE;
    if (written->events + written->todos == 0 && !words->new_only) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                    "there is nothing to write: no entry falls into these calendars");
        return FALSE;
    }
    written->file = g_canonicalize_filename(words->kinds, NULL);
    written->target = g_strdup(written->file);
    return TRUE;
}

static gboolean write_all(struct spl_house *house, const struct spl_calendar_words *words,
                          FILE *stream, struct spl_calendar_written *written, GError **error)
{
    GPtrArray *files;
    gboolean ok;

    if (!spl_book_begin(house->book, error))
        return FALSE;
    files = spl_calendar_files_new();
    ok = words->kinds != NULL ? write_kinds(house, words, files, written, error)
                              : write_calendar(house, words, stream, FALSE, files, written, error);
    ok = spl_book_finish(house->book, ok, error);
    spl_calendar_files_settle(files, ok);
    return ok;
}

gboolean spl_calendar_write(struct spl_house *house, const struct spl_calendar_words *said,
                            FILE *stream, struct spl_calendar_written *written, GError **error)
{
    struct spl_calendar_written made = {.file = NULL};
    struct spl_calendar_words words;
    gboolean ok;

    if (!spl_entry_take(house, &spl_calendar_inputs, said, &words, error))
        return FALSE;
    ok = stream != NULL || g_strcmp0(words.out, "-") != 0;
    if (!ok)
        spl_error_set_input(error, SPL_ERROR_USAGE, "out", "there is no output here; name a file");
    ok = ok && write_all(house, &words, stream, &made, error);
    if (!ok && (spl_day_is_set(words.from) || spl_day_is_set(words.to)) && error != NULL &&
        g_error_matches(*error, SPL_ERROR, SPL_ERROR_NOT_FOUND))
        spl_error_about(error, spl_day_is_set(words.from) ? "from" : "to");
    spl_inputs_clear(&spl_calendar_inputs, &words);
    if (ok)
        *written = made;
    else
        spl_record_clear(&spl_calendar_written_shape, &made);
    return ok;
}
