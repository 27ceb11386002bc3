/* SPDX-License-Identifier: MIT
 *
 * Opening, migrating, copying and closing the book. See book/book.h.
 */
#include "book/book.h"

#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/text.h"
#include "book/book_private.h"
#include "book/hazard.h"
#include "book/migrations.h"
#include "book/revision.h"
#include "book/schema.h"
#include "book/setting.h"
#include "book/statement.h"
#include "book/table.h"
#include "simpling/error.h"

#define BUSY_MS 10000

/* Preparing is dearer than running for most questions; this many texts exist in the room. */
static GHashTable *new_statements(void)
{
    return g_hash_table_new_full(g_str_hash, g_str_equal, g_free,
                                 (GDestroyNotify)(void (*)(void))sqlite3_finalize);
}

void spl_book_close(struct spl_book *book)
{
    if (book == NULL)
        return;
    if (book->depth > 0)
        spl_book_rollback(book);
    g_clear_pointer(&book->statements, g_hash_table_unref);
    g_clear_pointer(&book->literals, g_hash_table_unref);
    g_clear_pointer(&book->plans, g_ptr_array_unref);
    sqlite3_close_v2(book->db);
    g_free(book->path);
    g_free(book->kept_copy);
    g_free(book->bring);
    g_clear_pointer(&book->settings, g_hash_table_unref);
    g_free(book);
}

const char *spl_book_path(const struct spl_book *book)
{
    return book->path;
}

int spl_book_schema(void)
{
    return spl_n_migrations;
}

int spl_book_schema_found(const struct spl_book *book)
{
    return book->schema_found;
}

void spl_book_bring(struct spl_book *book, const char *uuid)
{
    g_free(book->bring);
    book->bring = g_strdup(uuid);
}

char *spl_book_uuid(struct spl_book *book)
{
    return book->bring != NULL ? g_steal_pointer(&book->bring) : spl_uuid_new();
}

const char *spl_book_kept_copy(const struct spl_book *book)
{
    return book->kept_copy;
}

/* Transactions --------------------------------------------------------------------------------- */

/*
 * The file that is open must still be the one that the path leads to: what is written into a file
 * that was replaced or taken away would be acknowledged and lost.
 */
static gboolean is_in_place(struct spl_book *book, GError **error)
{
    int moved = 0;

    if (sqlite3_file_control(book->db, "main", SQLITE_FCNTL_HAS_MOVED, &moved) != SQLITE_OK ||
        moved == 0)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_CONFLICT,
                "%s: was replaced by another file, or taken away, while it was in use; nothing was "
                "written: look which file is the right one and do it again",
                book->path);
    return FALSE;
}

gboolean spl_book_begin(struct spl_book *book, GError **error)
{
    if (book->depth == 0) {
        if (!spl_book_execute(book, error, "BEGIN IMMEDIATE", SPL_NONE))
            return FALSE;
        if (!is_in_place(book, error)) {
            spl_book_execute(book, NULL, "ROLLBACK", SPL_NONE);
            return FALSE;
        }
        book->doomed = FALSE;
        book->stamped = FALSE;
    }
    book->depth++;
    return TRUE;
}

void spl_book_rollback(struct spl_book *book)
{
    g_return_if_fail(book->depth > 0);
    book->depth--;
    book->doomed = TRUE;
    if (book->depth > 0)
        return;
    g_clear_error(&book->failure);
    /* SQLite may have rolled back by itself (full disk, I/O error). */
    if (!sqlite3_get_autocommit(book->db))
        spl_book_execute(book, NULL, "ROLLBACK", SPL_NONE);
    g_clear_pointer(&book->settings, g_hash_table_unref);
}

gboolean spl_book_commit(struct spl_book *book, GError **error)
{
    g_return_val_if_fail(book->depth > 0, FALSE);
    if (book->depth > 1) {
        book->depth--;
        return TRUE;
    }
    if (book->doomed || (book->before != NULL && !book->before(book->before_data, error)) ||
        book->doomed || !is_in_place(book, error) ||
        !spl_book_execute(book, error, "COMMIT", SPL_NONE)) {
        if (book->failure != NULL && error != NULL && *error == NULL)
            *error = g_error_copy(book->failure);
        else if (error != NULL && *error == NULL)
            g_set_error(error, SPL_ERROR, SPL_ERROR_INTERNAL,
                        "%s: a part of the work failed, nothing was changed; please report this",
                        book->path);
        spl_book_rollback(book);
        return FALSE;
    }
    book->depth--;
    return TRUE;
}

void spl_book_on_commit(struct spl_book *book, spl_book_before_commit before, gpointer data)
{
    book->before = before;
    book->before_data = data;
}

gboolean spl_book_finish(struct spl_book *book, gboolean ok, GError **error)
{
    if (ok)
        return spl_book_commit(book, error);
    spl_book_rollback(book);
    return FALSE;
}

gboolean spl_book_begin_reading(struct spl_book *book, GError **error)
{
    g_return_val_if_fail(book->depth == 0, FALSE);
    return spl_book_execute(book, error, "BEGIN", SPL_NONE);
}

void spl_book_end_reading(struct spl_book *book)
{
    if (sqlite3_get_autocommit(book->db) == 0)
        (void)spl_book_execute(book, NULL, "ROLLBACK", SPL_NONE);
}

/* Opening -------------------------------------------------------------------------------------- */

/*
 * With FULL a power cut right after a commit can bring its journal back and so undo it, as the
 * deletion of the journal was not synced; EXTRA syncs the folder too. tests/fault shows it.
 */
#define DURABLE "PRAGMA synchronous = EXTRA;"

/* Only what is needed before the first look at the file. */
static struct spl_book *open_file(const char *path, int flags, const char *vfs, GError **error)
{
    struct spl_book *book = g_new0(struct spl_book, 1);
    int code;

    /* Before the first book: nobody asks SQLite how much memory it has, and counting costs a lock
     * at every piece. In vain, and no harm, when SQLite was in use already. */
    (void)sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0);
    book->path = g_strdup(path);
    book->statements = new_statements();
    book->literals = g_hash_table_new(NULL, NULL);
    /* A book is one thread's: no locks at every step. */
    code = sqlite3_open_v2(path, &book->db, flags | SQLITE_OPEN_NOMUTEX, vfs);
    if (code != SQLITE_OK || book->db == NULL) {
        if (book->db != NULL)
            spl_book_set_error(book, code, error);
        else
            g_set_error(error, SPL_ERROR, SPL_ERROR_IO,
                        "%s: there is not enough memory; close other programs and try again", path);
        spl_book_close(book);
        return NULL;
    }
    sqlite3_extended_result_codes(book->db, 1);
    sqlite3_busy_timeout(book->db, BUSY_MS);
    spl_book_guard(book->db);
    return book;
}

static gboolean keep_copy(struct spl_book *book, GError **error);

/* Rows that point to rows that are gone. Those that an older book has already stay, for its check
 * to name; they are no reason not to open it. */
static gint64 dangling(struct spl_book *book)
{
    return spl_book_number(book, 0, NULL, "SELECT count(*) FROM pragma_foreign_key_check",
                           SPL_NONE);
}

/* An empty file becomes a book of the schema that was written down at build time. */
static gboolean lay_out(struct spl_book *book, GError **error)
{
    g_autofree char *set = g_strdup_printf("PRAGMA user_version = %d", spl_fresh_number);

    for (const struct spl_fresh_part *part = spl_fresh_parts; part->type != NULL; part++) {
        if (part->made && !spl_book_script(book, part->sql, error))
            return FALSE;
    }
    return spl_book_script(book, set, error);
}

/*
 * One BEGIN IMMEDIATE that reads user_version again, so that two programs may start at once. With
 * `keep` the old book is copied first, under the same lock: of two programs only one copies.
 */
static gboolean migrate_within(struct spl_book *book, int upto, gboolean keep, GError **error)
{
    g_autofree char *identify =
        g_strdup_printf("PRAGMA application_id = %d", SPL_BOOK_APPLICATION_ID);
    gint64 version, before, faults;

    if (!spl_book_begin(book, error))
        return FALSE;
    before = dangling(book);
    version = spl_book_number(book, -1, error, "PRAGMA user_version", SPL_NONE);
    if (version < 0 || (keep && version < upto && !keep_copy(book, error)))
        return spl_book_finish(book, FALSE, error);
    if (version == 0 && !spl_book_script(book, identify, error))
        return spl_book_finish(book, FALSE, error);
    if (version == 0 && upto >= spl_fresh_number) {
        if (!lay_out(book, error))
            return spl_book_finish(book, FALSE, error);
        version = spl_fresh_number;
    }
    for (int n = (int)version; n < upto; n++) {
        g_autofree char *set = g_strdup_printf("PRAGMA user_version = %d", n + 1);

        if (!spl_book_script(book, spl_migrations[n].sql, error) ||
            !spl_book_script(book, set, error))
            return spl_book_finish(book, FALSE, error);
    }
    faults = dangling(book) - before;
    if (faults > 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                    "%s: %" G_GINT64_FORMAT
                    " rows point to rows that are gone; take the last backup",
                    book->path, faults);
        return spl_book_finish(book, FALSE, error);
    }
    return spl_book_finish(book, TRUE, error);
}

static gboolean migrate(struct spl_book *book, int upto, gboolean keep, GError **error)
{
    gint64 held = spl_book_number(book, -1, error, "PRAGMA foreign_keys", SPL_NONE);
    gboolean ok;

    /* A table that others point to can be made anew only while nobody minds; SQLite hears this
     * outside a transaction alone. */
    if (held < 0 || (held == 1 && !spl_book_script(book, "PRAGMA foreign_keys = OFF", error)))
        return FALSE;
    ok = migrate_within(book, upto, keep, error);
    if (held == 1 && !spl_book_script(book, "PRAGMA foreign_keys = ON", ok ? error : NULL))
        return FALSE;
    return ok;
}

/* The pragmas that hold for the connection; outside a transaction. */
static gboolean settle_connection(struct spl_book *book, GError **error)
{
    return spl_book_script(book,
                           DURABLE "PRAGMA foreign_keys = ON;"
                                   "PRAGMA temp_store = MEMORY;"
                                   "PRAGMA cache_size = -12288;",
                           error);
}

/* The proof that this is a book we can read; then the connection's pragmas. */
static gboolean examine(struct spl_book *book, gboolean as_it_is, GError **error)
{
    gint64 id = spl_book_number(book, -1, error, "PRAGMA application_id", SPL_NONE);
    GError *failed = NULL;
    gint64 version;

    if (id < 0)
        return FALSE;
    if (id != SPL_BOOK_APPLICATION_ID) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                    "%s: is no book of simpling; name another file, or begin a book of your own",
                    book->path);
        return FALSE;
    }
    version = spl_book_number(book, 0, &failed, "PRAGMA user_version", SPL_NONE);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (version < 1) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                    "%s: says that it is of schema %d, which there never was; take the last backup",
                    book->path, (int)version);
        return FALSE;
    }
    if (version > spl_n_migrations) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_TOO_NEW,
                    "%s: was written by a newer simpling (schema %d, this one knows %d); install "
                    "the newer program",
                    book->path, (int)version, spl_n_migrations);
        return FALSE;
    }
    book->schema_found = (int)version;
    /* An older book is migrated by its tables, so they must be right even to be looked at. */
    if ((!as_it_is || version < spl_n_migrations) && !spl_schema_is_ours(book, (int)version, error))
        return FALSE;
    book->scanned = 0; /* the schema is no question of the caller's */
    return settle_connection(book, error) && spl_setting_load(book, error);
}

/* A regular file that is there, or words for what is there instead. */
static gboolean file_is_there(const char *path, GError **error)
{
    struct stat there;

    if (stat(path, &there) != 0) {
        if (errno == EACCES)
            g_set_error(error, SPL_ERROR, SPL_ERROR_READ_ONLY,
                        "%s: the folder may not be entered; change its permissions", path);
        else
            g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                        "%s: there is no book; begin one, or name yours", path);
        return FALSE;
    }
    if (!S_ISREG(there.st_mode)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                    "%s: is a folder or device, not a book; name a file", path);
        return FALSE;
    }
    if (access(path, R_OK) != 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_READ_ONLY,
                    "%s: the book may not be read; change its permissions", path);
        return FALSE;
    }
    if (there.st_size == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                    "%s: is an empty file, not a book; take the last backup or remove it", path);
        return FALSE;
    }
    return TRUE;
}

/*
 * Takes the name for a new book: an empty file, which a power cut may have left, is as good as
 * none. `ours` tells whether the file was made here, to be removed if no book comes of it.
 */
static gboolean claim(const char *path, gboolean *ours, GError **error)
{
    struct stat there;
    int fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);

    *ours = fd >= 0;
    if (fd >= 0) {
        close(fd);
        return TRUE;
    }
    if (errno == EEXIST && stat(path, &there) == 0 && S_ISREG(there.st_mode) && there.st_size == 0)
        return TRUE;
    if (errno == EEXIST)
        g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS,
                    "%s: there is something already; choose another name for the book", path);
    else
        g_set_error(error, SPL_ERROR, SPL_ERROR_READ_ONLY,
                    "%s: cannot be made: %s; choose another place for the book", path,
                    g_strerror(errno));
    return FALSE;
}

/* The tables and what the book begins with, in one transaction: there is no half a book. */
static gboolean furnish(struct spl_book *book, spl_book_furnish fill, gpointer data, GError **error)
{
    gboolean ok;

    if (!settle_connection(book, error) || !spl_book_begin(book, error))
        return FALSE;
    ok = migrate(book, spl_n_migrations, FALSE, error);
    book->schema_found = spl_n_migrations;
    return spl_book_finish(book, ok && (fill == NULL || fill(book, data, error)), error);
}

static struct spl_book *make(const char *path, const char *vfs, spl_book_furnish fill,
                             gpointer data, GError **error)
{
    struct spl_book *book;
    gboolean ours;
    g_autofree char *folder = g_path_get_dirname(path);

    if (g_mkdir_with_parents(folder, 0700) != 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_READ_ONLY,
                    "%s: cannot make the folder: %s; choose another place for the book", folder,
                    g_strerror(errno));
        return NULL;
    }
    if (!claim(path, &ours, error))
        return NULL;
    book = open_file(path, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, vfs, error);
    if (book == NULL || !furnish(book, fill, data, error)) {
        spl_book_close(book);
        if (ours)
            g_unlink(path);
        return NULL;
    }
    return book;
}

struct spl_book *spl_book_open_new(const char *path, spl_book_furnish fill, gpointer data,
                                   GError **error)
{
    return make(path, NULL, fill, data, error);
}

struct spl_book *spl_book_make_empty(const char *path, int schema, GError **error)
{
    struct spl_book *book;
    gboolean ours;

    if (schema < 1 || schema > spl_n_migrations) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_TOO_NEW,
                    "schema %d: this simpling knows 1 to %d; install the newer program", schema,
                    spl_n_migrations);
        return NULL;
    }
    if (!claim(path, &ours, error))
        return NULL;
    book = open_file(path, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, NULL, error);
    if (book == NULL || !migrate(book, schema, FALSE, error)) {
        spl_book_close(book);
        if (ours)
            g_unlink(path);
        return NULL;
    }
    return book;
}

gboolean spl_book_carried_in(struct spl_book *book, GError **error)
{
    if (!migrate(book, spl_n_migrations, FALSE, error) || !examine(book, FALSE, error) ||
        !spl_setting_load(book, error) || !spl_book_begin(book, error))
        return FALSE;
    return spl_book_finish(book, spl_revision_weigh(book, error) && spl_hazard_rebuild(book, error),
                           error);
}

struct spl_book *spl_book_model(int schema, GError **error)
{
    g_autoptr(spl_book) model = open_file(":memory:", SQLITE_OPEN_READWRITE, NULL, error);

    if (model == NULL || !migrate(model, schema, FALSE, error))
        return NULL;
    return g_steal_pointer(&model);
}

/* An older book for reading: a copy in memory is migrated, the file stays as it is. */
static struct spl_book *migrated_copy(struct spl_book *old, GError **error)
{
    struct spl_book *copy = open_file(":memory:", SQLITE_OPEN_READWRITE, NULL, error);
    sqlite3_backup *backup;
    int code;

    if (copy == NULL)
        return NULL;
    backup = sqlite3_backup_init(copy->db, "main", old->db, "main");
    code = backup != NULL ? sqlite3_backup_step(backup, -1) : SQLITE_NOMEM;
    sqlite3_backup_finish(backup);
    if (code != SQLITE_DONE) {
        spl_book_set_error(old, code, error);
        spl_book_close(copy);
        return NULL;
    }
    g_free(copy->path);
    copy->path = g_strdup(old->path);
    if (!migrate(copy, spl_n_migrations, FALSE, error) || !examine(copy, FALSE, error)) {
        spl_book_close(copy);
        return NULL;
    }
    copy->schema_found = old->schema_found;
    return copy;
}

struct spl_book *spl_book_scratch(struct spl_book *book, GError **error)
{
    struct spl_book *copy = migrated_copy(book, error);

    if (copy != NULL)
        copy->now_us = book->now_us;
    return copy;
}

/*
 * Before a migration the old book is kept beside it; an earlier copy of that schema is enough. The
 * book's own connection is in a transaction, in which nothing can be copied: another one reads.
 */
static gboolean keep_copy(struct spl_book *book, GError **error)
{
    g_autofree char *name = g_strdup_printf("%s.before-schema-%d", book->path, spl_n_migrations);
    g_autofree char *path = g_strdup(name);
    g_autoptr(spl_book) reader = NULL;
    sqlite3_vfs *vfs = NULL;

    /* What stands there and is no book is somebody's; it stays. */
    for (int n = 2;
         n < 1000 && g_file_test(path, G_FILE_TEST_EXISTS) && !spl_book_is_whole(path, NULL); n++) {
        g_free(path);
        path = g_strdup_printf("%s-%d", name, n);
    }
    if (!g_file_test(path, G_FILE_TEST_EXISTS)) {
        sqlite3_file_control(book->db, "main", SQLITE_FCNTL_VFS_POINTER, &vfs);
        reader =
            open_file(book->path, SQLITE_OPEN_READONLY, vfs != NULL ? vfs->zName : NULL, error);
        if (reader == NULL || !spl_book_backup(reader, path, error))
            return FALSE;
    }
    g_free(book->kept_copy);
    book->kept_copy = g_steal_pointer(&path);
    return TRUE;
}

struct spl_book *spl_book_open_vfs(const char *path, enum spl_book_mode mode, const char *vfs,
                                   GError **error)
{
    const gboolean as_it_is = mode == SPL_BOOK_EXAMINE || mode == SPL_BOOK_MEND;
    const gboolean writes = mode == SPL_BOOK_WRITE || mode == SPL_BOOK_MEND;
    g_autoptr(spl_book) book = NULL;
    gboolean may_write;

    if (mode == SPL_BOOK_MAKE)
        return make(path, vfs, NULL, NULL, error);
    if (!file_is_there(path, error))
        return NULL;
    /* A reader, too, opens for writing where it may: it rolls back what a killed writer left. */
    may_write = access(path, W_OK) == 0;
    if (writes && !may_write) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_READ_ONLY,
                    "%s: the book may not be written; change its permissions or copy it to a place "
                    "of your own",
                    path);
        return NULL;
    }
    book = open_file(path, may_write ? SQLITE_OPEN_READWRITE : SQLITE_OPEN_READONLY, vfs, error);
    if (book == NULL || !examine(book, as_it_is, error))
        return NULL;
    if (!writes) {
        if (book->schema_found < spl_n_migrations)
            return migrated_copy(book, error);
        if (!spl_book_script(book, "PRAGMA query_only = ON", error))
            return NULL;
        return g_steal_pointer(&book);
    }
    if (book->schema_found < spl_n_migrations && !migrate(book, spl_n_migrations, TRUE, error))
        return NULL;
    return g_steal_pointer(&book);
}

struct spl_book *spl_book_open(const char *path, enum spl_book_mode mode, GError **error)
{
    return spl_book_open_vfs(path, mode, NULL, error);
}

gboolean spl_book_count(struct spl_book *book, struct spl_book_counts *counts, GError **error)
{
    static const char sql[] = "SELECT count(*) FROM thing t WHERE kind = ? AND NOT EXISTS"
                              " (SELECT 1 FROM live s WHERE s.subject = t.uuid)";
    struct spl_book_counts found = {0};
    GError *failed = NULL;

    found.sites = spl_book_number(book, 0, &failed, "SELECT count(*) FROM site_now", SPL_NONE);
    if (failed == NULL)
        found.harvests = spl_book_number(book, 0, &failed, sql, SPL_WITH("H"));
    if (failed == NULL)
        found.batches = spl_book_number(book, 0, &failed, sql, SPL_WITH("B"));
    if (failed == NULL)
        found.lots = spl_book_number(book, 0, &failed, sql, SPL_WITH("L"));
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    *counts = found;
    return TRUE;
}
