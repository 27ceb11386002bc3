/* SPDX-License-Identifier: MIT
 *
 * SQL statements of the book room: prepared once, bound by a string of types, stepped.
 *
 * Types, one letter for each `?`, with what is passed:
 *   t  const char *, NULL is SQL NULL      i  int
 *   l  gint64                              r  double, NAN is SQL NULL
 *   d  struct spl_day, none is SQL NULL    b  GBytes *, NULL is SQL NULL
 *
 * SQL is a string literal: statements are cached by its address's text for the life of the book.
 * Values are always bound, never pasted.
 */
#ifndef SPL_BOOK_STATEMENT_H
#define SPL_BOOK_STATEMENT_H

#include <glib.h>
#include <sqlite3.h>

#include "book/book.h"
#include "simpling/day.h"

typedef struct spl_statement spl_statement;

/* A statement ready to be stepped; release it with g_autoptr or spl_statement_done. */
struct spl_statement *spl_statement_open(struct spl_book *book, GError **error, const char *sql,
                                         const char *types, ...);

/* TRUE: a row is there. FALSE: no more rows, or *error is set. */
gboolean spl_statement_row(struct spl_statement *statement, GError **error);

/* The statement itself, for values that have no letter. */
sqlite3_stmt *spl_statement_handle(struct spl_statement *statement);

/* Gives the statement back. NULL is fine. */
void spl_statement_done(struct spl_statement *statement);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_statement, spl_statement_done)

/* Columns of the present row, counted from 0. */
char *spl_column_text(struct spl_statement *statement, int column); /* a copy, NULL for NULL */
const char *spl_column_peek(struct spl_statement *statement, int column); /* till the next step */
int spl_column_int(struct spl_statement *statement, int column);          /* 0 for NULL */
gint64 spl_column_long(struct spl_statement *statement, int column);
double spl_column_real(struct spl_statement *statement, int column); /* NAN for NULL */
struct spl_day spl_column_day(struct spl_statement *statement, int column);
gboolean spl_column_is_null(struct spl_statement *statement, int column);
const void *spl_column_blob(struct spl_statement *statement, int column, gsize *size);

/* Runs a statement that gives no rows. */
gboolean spl_book_execute(struct spl_book *book, GError **error, const char *sql, const char *types,
                          ...);

/* Runs a script of several statements without values (migrations). */
gboolean spl_book_script(struct spl_book *book, const char *sql, GError **error);

/* The first column of the first row, or `otherwise` when there is no row or it is NULL. *error says
 * whether it failed. */
gint64 spl_book_number(struct spl_book *book, gint64 otherwise, GError **error, const char *sql,
                       const char *types, ...);

/* The row id that the last INSERT gave. */
gint64 spl_book_last_id(struct spl_book *book);

/* Rows that the last INSERT, UPDATE or DELETE changed. */
int spl_book_changes(struct spl_book *book);

/* Rows that statements walked over without an index since the book was opened: an everyday question
 * on a large book must not make this grow with it. */
gint64 spl_book_scanned(const struct spl_book *book);

sqlite3 *spl_book_handle(struct spl_book *book);

/* The error for what SQLite last said of this book: busy, read-only, full, damaged … */
void spl_book_set_error(struct spl_book *book, int code, GError **error);

#endif
