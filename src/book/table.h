/* SPDX-License-Identifier: MIT
 *
 * The book's tables as tables: their columns, their rows as cells of text and back. For carrying a
 * book out and in again (`book export`, `book import`) and for merging two books; nothing here
 * knows what a table is about.
 *
 * A cell is the value as text: whole numbers, numbers with 17 digits, hexadecimal octets for a
 * BLOB, an SQL literal for a column of type ANY. An empty cell is NULL, or the empty text where the
 * column may not be NULL. A text that would be read back otherwise (empty in a column that may be
 * NULL, beginning with an apostrophe, with white space at its ends) stands between apostrophes.
 */
#ifndef SPL_BOOK_TABLE_H
#define SPL_BOOK_TABLE_H

#include <glib.h>
#include <sqlite3.h>

#include "book/book.h"

struct spl_table_column {
    char *name;
    char *type;        /* "TEXT", "INTEGER", "REAL", "BLOB", "ANY" */
    gboolean required; /* NOT NULL or part of the key */
    gboolean key;      /* part of the primary key */
    char *references;  /* the table that it points to, by its id; NULL */
};

struct spl_table {
    char *name;
    GPtrArray *columns; /* struct spl_table_column *, in the order of the table */
};

/* The tables that hold facts, each after those that it points to; R*Trees and what else is derived
 * by SQLite are left out. Free with g_ptr_array_unref. */
GPtrArray *spl_table_list(struct spl_book *book, GError **error);

/* Index of a column, -1 if there is none of that name. */
int spl_table_column(const struct spl_table *table, const char *name);

/* Every row in order of the primary key: `cells` has one text per column and is borrowed. Stops
 * when `each` returns FALSE (with an error, or not). */
gboolean spl_table_rows(struct spl_book *book, const struct spl_table *table,
                        gboolean (*each)(const char *const *cells, gpointer data, GError **error),
                        gpointer data, GError **error);

/*
 * Writes one row. SPL_ERROR_INVALID for a cell that is not of its column's type and for a row that
 * breaks a rule of the table. With `clash`, a row that would stand twice under a key is left out
 * and `*clash` says so; NULL: that is an error too. Inside a transaction.
 */
gboolean spl_table_insert(struct spl_book *book, const struct spl_table *table,
                          const char *const *cells, gboolean *clash, GError **error);

/* "VERB FROM table WHERE key columns are bound"; VERB "SELECT *" or "DELETE". Free with g_free. */
char *spl_table_find_sql(const struct spl_table *table, const char *verb);
/* Binds the key columns of such a statement from a row's cells. */
gboolean spl_table_bind_key(sqlite3_stmt *stmt, const struct spl_table *table, char *const *cells,
                            GError **error);

/*
 * A new book for carried-in rows: made at `path` with the first `schema` migrations, foreign keys
 * looked at only at the end. Fill it, then spl_book_carried_in.
 */
struct spl_book *spl_book_make_empty(const char *path, int schema, GError **error);

/* Runs the rest of the migrations, rebuilds what is derived and checks the references. */
gboolean spl_book_carried_in(struct spl_book *book, GError **error);

#endif
