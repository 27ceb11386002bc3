/* SPDX-License-Identifier: MIT
 *
 * book: the one SQLite file that holds everything, and the only room with SQL.
 *
 * Facts are append-only rows with a UUID. Nothing here is overwritten: a correction is a row of
 * `amendment`, a withdrawn record a row of `strike`; views named *_now show the current values.
 * Balances are derived, never stored. Each noun has a file of its own; this one opens, migrates,
 * copies and closes the book.
 *
 * Ownership, everywhere in this room: what a function fills is yours when it returns TRUE, and
 * untouched when it returns FALSE. Whole records are written and read by the table of their fields
 * (book/noun.h), single values by their C types (book/statement.h).
 *
 * A book is a rollback-journal database (DELETE) with synchronous=EXTRA, foreign keys, STRICT
 * tables, an application_id and user_version = number of the last migration. It can be copied,
 * mailed, kept on a stick.
 */
#ifndef SPL_BOOK_BOOK_H
#define SPL_BOOK_BOOK_H

#include <glib.h>

#include "simpling/day.h"

typedef struct spl_book spl_book;

enum spl_book_mode {
    SPL_BOOK_READ,  /* never changes the file; an older schema is read through a migrated copy in
                       memory */
    SPL_BOOK_WRITE, /* migrates an older schema first, a copy of the old book kept beside it */
    SPL_BOOK_MAKE,  /* makes the file, which must not exist */
    /* As _READ and _WRITE, though its tables are not as the migrations make them: for `book check`
     * and `book repair` alone. */
    SPL_BOOK_EXAMINE,
    SPL_BOOK_MEND
};

/*
 * Opens the book at `path`. SPL_ERROR_NOT_FOUND, _EXISTS, _CORRUPT (not a book, damaged, tables
 * that are not those of its schema),
 * _TOO_NEW, _READ_ONLY, _BUSY, _IO. Close with spl_book_close or g_autoptr.
 */
struct spl_book *spl_book_open(const char *path, enum spl_book_mode mode, GError **error);

/* Writes what a new book begins with; inside the transaction that makes its tables. */
typedef gboolean (*spl_book_furnish)(struct spl_book *book, gpointer data, GError **error);

/* Makes a book and furnishes it, whole or not at all; then as spl_book_open with SPL_BOOK_MAKE. */
struct spl_book *spl_book_open_new(const char *path, spl_book_furnish fill, gpointer data,
                                   GError **error);

/* Opens with another SQLite VFS (the fault harness); NULL: the usual one. */
struct spl_book *spl_book_open_vfs(const char *path, enum spl_book_mode mode, const char *vfs,
                                   GError **error);

/* Rolls back what was not committed. NULL is fine. */
void spl_book_close(struct spl_book *book);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_book, spl_book_close)

const char *spl_book_path(const struct spl_book *book);

#define SPL_BOOK_APPLICATION_ID 0x53504c42 /* "SPLB" in the file's header */

/* The number of the schema that this program writes, and that of the file when it was opened. */
int spl_book_schema(void);
int spl_book_schema_found(const struct spl_book *book);

/* The file that the book before a migration was copied to; NULL when none was needed. Borrowed. */
const char *spl_book_kept_copy(const struct spl_book *book);

/*
 * One writing use case is one transaction: begin (BEGIN IMMEDIATE), then commit or rollback. They
 * nest: only the outermost pair counts, and a rollback inside dooms the whole. SPL_ERROR_CONFLICT
 * when the file was replaced or taken away since it was opened: nothing is written then.
 */
gboolean spl_book_begin(struct spl_book *book, GError **error);
gboolean spl_book_commit(struct spl_book *book, GError **error);
void spl_book_rollback(struct spl_book *book);

/* Called within the outermost transaction before it is committed, as for what is derived from what
 * was written; FALSE with an error: nothing is written. Not while a book is made or migrated. */
typedef gboolean (*spl_book_before_commit)(gpointer data, GError **error);
void spl_book_on_commit(struct spl_book *book, spl_book_before_commit before, gpointer data);

/*
 * Commits when `ok`, else rolls back; returns whether all is well. For the end of a use case:
 *     return spl_book_finish(book, ok, error);
 */
gboolean spl_book_finish(struct spl_book *book, gboolean ok, GError **error);

/* Between the two the book is read as it stood at the first question, under one lock: many
 * questions cost less. Not within a transaction, and nothing is written in between. */
gboolean spl_book_begin_reading(struct spl_book *book, GError **error);
void spl_book_end_reading(struct spl_book *book);

/* The next row that is written gets this UUID (NULL: a new one), so that what was sent twice is
 * known again: see spl_entry_is_known. */
void spl_book_bring(struct spl_book *book, const char *uuid);
/* The UUID of the row that is about to be written. Free with g_free. */
char *spl_book_uuid(struct spl_book *book);

/* A consistent copy at `path` while others may write (VACUUM INTO), then opened and checked.
 * SPL_ERROR_EXISTS when something is there. */
gboolean spl_book_backup(struct spl_book *book, const char *path, GError **error);

/* Now, as microseconds since 1970, later than any stamp in the book: the order of amendments. In a
 * transaction each is one more than that before, so that its rows are known as one entry. 0 when
 * the book cannot be read. */
void spl_book_set_now(struct spl_book *book, gint64 now_us);
gint64 spl_book_stamp(struct spl_book *book, GError **error);
/* The latest stamp so far; what is written from now on has a later one. */
gboolean spl_book_stamped(struct spl_book *book, gint64 *last, GError **error);

/* A copy in memory that may be written, to see what would come of it; nothing of it is kept. Not
 * within a transaction. */
struct spl_book *spl_book_scratch(struct spl_book *book, GError **error);

/* How many rows each kind of thing has (struck ones left out), for `book info`. */
struct spl_book_counts {
    gint64 sites, harvests, batches, lots;
};
gboolean spl_book_count(struct spl_book *book, struct spl_book_counts *counts, GError **error);

#endif
