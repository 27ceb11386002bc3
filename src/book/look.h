/* SPDX-License-Identifier: MIT
 *
 * A look at every row of a book before any is believed: a stranger's before a merge, our own in
 * `book check`.
 *
 * SQLite's own check (pages, types, CHECKs) and book/schema.h come before. Here is what they cannot
 * tell: texts as the door would take them, stamps, days and numbers within what the program reckons
 * with, shapes that are shapes, rows that hang on nothing. Works by the tables' own description, so
 * a new table needs no line here.
 */
#ifndef SPL_BOOK_LOOK_H
#define SPL_BOOK_LOOK_H

#include <glib.h>

#include "book/book.h"
#include "book/table.h"

/* A row that the program would not have written. */
struct spl_stray {
    char *table;
    char *what;     /* "strike 6f9…", "harvest 12": its UUID, else its key */
    char *reason;   /* "strikes nothing that is here" */
    char **cells;   /* as book/table.h writes them */
    gboolean alone; /* no other row can hang on it: it may be put aside */
};

struct spl_look {
    GPtrArray *strays;  /* struct spl_stray *, in the order of the tables */
    GPtrArray *damaged; /* char *: shapes that are none, a line each; of a stranger's book only */
    GHashTable *rows;   /* "TABLE n": the n-th row of the table is a stray */
    gint64 n_rows;
};
void spl_look_clear(struct spl_look *look);

/* What is one person's desk and is neither brought over nor looked at. */
gboolean spl_look_is_own(const char *table);

/*
 * Looks at every row. `latest_us`: no stamp may be later. `stranger`: what hangs on a stray is a
 * stray too, shapes are looked at, and corrections to a value that cannot be are strays (in one's
 * own book nothing else follows from one, and those corrections are for the person to amend).
 * SPL_ERROR_LIMIT when there are more rows than anyone's.
 */
gboolean spl_look_at_rows(struct spl_book *book, gint64 latest_us, gboolean stranger,
                          struct spl_look *look, GError **error);

/* Whether the n-th row of the table, counted from 0 in the order of spl_table_rows, is a stray. */
gboolean spl_look_is_stray(const struct spl_look *look, const char *table, gint64 n);

/*
 * All that is looked at in a stranger's book before a row is taken: every page, the references, the
 * rows. SPL_ERROR_CORRUPT when the file is damaged: nothing of it may be taken then. It ends after
 * `seconds` with SPL_ERROR_LIMIT, as does any reading of the book thereafter.
 */
gboolean spl_look_at_stranger(struct spl_book *book, gint64 latest_us, int seconds,
                              struct spl_look *look, GError **error);

/* No stamp of a stranger's may be later: this time tomorrow, by the clock or by the day that the
 * book is told, whichever is later. */
gint64 spl_book_tomorrow(const struct spl_book *book);

/* The last stamp that can be written as a date: the end of the year 9999. */
#define SPL_STAMP_MAX G_GINT64_CONSTANT(253402300799999999)

/* A corrected value that cannot be, of the alias `a` of amendment: an SQL expression. */
#define SPL_AMENDMENT_IS_WRONG                                                                     \
    "a.value IS NOT NULL AND NOT CASE WHEN a.field IN ('weight_g', 'garbled_g', 'amount') THEN"    \
    " typeof(a.value) IN ('real', 'integer') AND a.value > 0 AND a.value <= 1000000"               \
    " WHEN a.field IN ('day', 'since', 'until', 'use_by') OR a.field LIKE 'due:%' THEN"            \
    " typeof(a.value) = 'integer' WHEN a.field = 'stage' THEN typeof(a.value) = 'integer' AND"     \
    " a.value BETWEEN 0 AND 99 WHEN a.field = 'lat' THEN typeof(a.value) IN ('real', 'integer')"   \
    "  AND a.value BETWEEN -90 AND 90 WHEN a.field = 'lon' THEN typeof(a.value) IN ('real',"       \
    " 'integer') AND a.value BETWEEN -180 AND 180 WHEN a.field = 'elevation_m' THEN"               \
    " typeof(a.value) IN ('real', 'integer') AND a.value BETWEEN -500 AND 9000"                    \
    " WHEN a.field = 'accuracy_m' THEN typeof(a.value) IN ('real', 'integer') AND a.value"         \
    " BETWEEN 0 AND 100000 WHEN a.field = 'outline' THEN typeof(a.value) = 'blob' OR a.value ="    \
    " '' WHEN a.field = 'own' THEN a.value IN (0, 1) WHEN a.field IN ('name', 'source') THEN"      \
    " typeof(a.value) = 'text' AND a.value <> '' ELSE TRUE END"

#endif
