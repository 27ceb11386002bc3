/* SPDX-License-Identifier: MIT
 *
 * Writing the calendar. See simpling/calendar.h.
 *
 * Entries come one at a time from calendar_gather.c and go through calendar_emit.c to the file;
 * memory does not grow with them. All of it is one transaction, which ends after the file is in its
 * place; if it fails then, the file is put back.
 */
#include <glib/gstdio.h>
#include <string.h>

#include "base/file.h"
#include "book/calendar_theirs.h"
#include "book/plan.h"
#include "exchange/ical_read.h"
#include "exchange/ical_zone.h"
#include "season/calendar_emit.h"
#include "season/calendar_files.h"
#include "season/calendar_gone.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define NAME "Herb season" /* as applications show it */

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
    if (item->entry.start_min < 0 || !spl_calendar_falls_into(years->scope, &item->entry))
        return TRUE;
    spl_day_to_ymd(item->entry.first, &year, NULL, NULL);
    years->first = years->first == 0 ? year : MIN(years->first, year);
    years->last = MAX(years->last, year);
    return TRUE;
}

static gboolean find_years(struct spl_calendar_run *run, GError **error)
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

static gboolean open_target(struct spl_calendar_run *run, char **path, GError **error)
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

static gboolean write_entries(struct spl_calendar_run *run, GError **error)
{
    gboolean empty;

    if (!spl_calendar_is_empty(run->book, &empty, error))
        return FALSE;
    if (empty)
        run->gather.met = g_malloc0(SPL_CALENDAR_MET_SIZE);
    else
        run->gather.walk = spl_calendar_walk_new(run->book, run->target_id);
    return spl_calendar_gather(&run->gather, error) && spl_calendar_emit_fresh(run, error) &&
           (!run->whole || spl_calendar_id_each(run->book, run->gather.season,
                                                spl_calendar_emit_withdrawn, run, error));
}

static gboolean take_there(gint64 id, gpointer data, GError **error)
{
    struct spl_calendar_run *run = data;

    return spl_calendar_ids_have(&run->put, id) ||
           spl_calendar_there_put(run->book, run->target_id, id, FALSE, error);
}

/* A file holds just what was written now; a folder keeps what was there. */
static gboolean note_absent(struct spl_calendar_run *run, GError **error)
{
    return spl_calendar_there_each(run->book, run->target_id, take_there, run, error);
}

static gboolean write_file(struct spl_calendar_run *run, const char *path, GError **error)
{
    g_autofree char *checksum = NULL;
    gboolean changes = FALSE;

    run->writer = path == NULL ? spl_ical_writer_open_stream(run->stream, &run->options, error)
                               : spl_ical_writer_open(path, &run->options, error);
    if (run->writer == NULL || !write_entries(run, error) || !note_absent(run, error))
        return FALSE;
    if (run->words->new_only && spl_ical_writer_count(run->writer) == 0)
        return TRUE; /* nothing new is no failure: no file then */
    if (path != NULL && !spl_ical_writer_changes(run->writer, &changes, error))
        return FALSE;
    /* What is written over must be ours; what holds just this already loses nothing. */
    if (changes && !spl_calendar_file_is_ours(run->book, path, run->words->force, error))
        return FALSE;
    if (changes)
        spl_calendar_files_keep(run->files, path);
    if (!spl_ical_writer_commit(run->writer, error))
        return FALSE;
    run->out->file = g_strdup(path != NULL ? path : "-");
    checksum = spl_ical_writer_checksum(run->writer);
    return path == NULL || spl_calendar_file_put(run->book, path, checksum, error);
}

/* Of a folder that a program keeps in step with a server: which entries stand in it, and under
 * which name where that was changed (one UID may stand in one file only, RFC 4791 4.1). */
static gboolean look_into(struct spl_calendar_run *run, const char *path, GError **error)
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

            spl_calendar_ids_add(&run->held, row.id);
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
    struct spl_calendar_run *run = data;
    const struct spl_calendar_theirs *theirs = g_hash_table_lookup(run->theirs, &id);
    struct spl_calendar_row row;
    g_autofree char *name = NULL, *path = NULL;
    gboolean ok;

    if (spl_calendar_ids_have(&run->held, id) || (theirs != NULL && theirs->hidden))
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

static gboolean write_folder(struct spl_calendar_run *run, const char *path, GError **error)
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
static gboolean choose_clock(struct spl_calendar_run *run, GError **error)
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

static gboolean choose_zone(struct spl_calendar_run *run, GError **error)
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
    struct spl_calendar_run run = {.gather = {.house = house, .each = spl_calendar_emit_item},
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
    spl_calendar_ids_init(&run.seen);
    spl_calendar_ids_init(&run.put);
    spl_calendar_ids_init(&run.held);
    run.there = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    run.fresh = g_array_new(FALSE, FALSE, sizeof(struct spl_calendar_fresh));
    g_array_set_clear_func(run.fresh, spl_calendar_fresh_clear);
    run.fresh_uids = g_hash_table_new(g_str_hash, g_str_equal);
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
    spl_calendar_ids_clear(&run.seen);
    spl_calendar_ids_clear(&run.put);
    spl_calendar_ids_clear(&run.held);
    g_clear_pointer(&run.theirs, g_hash_table_unref);
    g_hash_table_unref(run.fresh_uids);
    g_array_unref(run.fresh);
    g_free(run.gather.met);
    spl_calendar_walk_free(run.gather.walk);
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
