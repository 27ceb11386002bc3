/* SPDX-License-Identifier: MIT
 *
 * The inside of struct spl_book, for book.c, copy.c, guard.c, look.c, statement.c, noun.c,
 * setting.c and stamp.c alone.
 */
#ifndef SPL_BOOK_BOOK_PRIVATE_H
#define SPL_BOOK_BOOK_PRIVATE_H

#include <glib.h>
#include <sqlite3.h>

#include "book/book.h"

struct spl_book {
    char *path;
    sqlite3 *db;
    GHashTable *statements; /* SQL text -> sqlite3_stmt * */
    GHashTable *literals;   /* address of an SQL text -> the same, borrowed */
    GPtrArray *plans;       /* of nouns, once made (noun.c); NULL: none yet */
    int schema_found;
    char *kept_copy;
    guint depth;      /* of nested transactions */
    gboolean doomed;  /* an inner one was rolled back, or a statement failed */
    GError *failure;  /* the first failed statement in it; NULL: none */
    gint64 scanned;   /* rows walked over without an index, so far */
    gint64 worked;    /* steps that SQLite took, so far */
    gint64 now_us;    /* 0: the clock */
    gint64 last_us;   /* last stamp given */
    gboolean stamped; /* one was given in this transaction */
    gint64 deadline;  /* of a stranger's book, monotonic: no reading goes on after it */
    spl_book_before_commit before; /* NULL: nothing is done then */
    gpointer before_data;
    char *bring;          /* the UUID of the next row that is written; NULL: a new one */
    GHashTable *settings; /* key -> value, read when the book is opened; NULL: to be read again */
};

/* Sets a connection's limits and guards (guard.c). */
void spl_book_guard(sqlite3 *db);

/* Opens the copy at `path` and has SQLite look at every page (copy.c). */
gboolean spl_book_is_whole(const char *path, GError **error);

#endif
