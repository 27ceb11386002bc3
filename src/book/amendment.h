/* SPDX-License-Identifier: MIT
 *
 * Corrections and strikes: rows beside the facts, which stay as they were written.
 */
#ifndef SPL_BOOK_AMENDMENT_H
#define SPL_BOOK_AMENDMENT_H

#include <glib.h>

#include "book/book.h"
#include "book/code.h"
#include "simpling/day.h"
#include "simpling/row.h"

/* One corrected value of the row with this uuid. `why` is never empty; `by` may be NULL. Inside a
 * transaction. A NULL text means "nothing any more" and is kept as the empty text. */
gboolean spl_amendment_add_text(struct spl_book *book, const char *uuid, const char *field,
                                const char *value, const char *by, const char *why, GError **error);
gboolean spl_amendment_add_real(struct spl_book *book, const char *uuid, const char *field,
                                double value, const char *by, const char *why, GError **error);
gboolean spl_amendment_add_int(struct spl_book *book, const char *uuid, const char *field,
                               gint64 value, const char *by, const char *why, GError **error);
gboolean spl_amendment_add_day(struct spl_book *book, const char *uuid, const char *field,
                               struct spl_day value, const char *by, const char *why,
                               GError **error);
gboolean spl_amendment_add_bytes(struct spl_book *book, const char *uuid, const char *field,
                                 GBytes *value, const char *by, const char *why, GError **error);

struct spl_amendment {
    char *field;
    char *value; /* as text */
    char *by;
    char *why;
    gint64 at; /* microseconds since 1970 UTC */
};
extern const struct spl_shape spl_amendment_shape;

/* All corrections of a row, oldest first: a list of spl_amendment_shape. */
GArray *spl_amendment_list(struct spl_book *book, const char *uuid, GError **error);

/*
 * The present value of a column of one of the views *_now, as text; NULL for none. `there`
 * says whether the view has such a row. `view` and `column` are names of ours, never a person's
 * words.
 */
char *spl_amendment_value(struct spl_book *book, const char *view, const char *column, gint64 id,
                          gboolean *there, GError **error);

/* Takes a record back. SPL_ERROR_REFUSED while anything that stands draws on it, SPL_ERROR_EXISTS
 * when it is struck already. Inside a transaction. */
gboolean spl_strike_add(struct spl_book *book, const struct spl_thing *thing, const char *by,
                        const char *why, GError **error);

/* Strikes any row of fact by its UUID, a strike too: then what that one struck stands again.
 * SPL_ERROR_EXISTS: it is struck already; _LIMIT: it is a strike of strikes five deep. Who may, is
 * the caller's. Inside a transaction. */
gboolean spl_strike_row(struct spl_book *book, const char *uuid, const char *by, const char *why,
                        GError **error);

#endif
