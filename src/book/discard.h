/* SPDX-License-Identifier: MIT
 *
 * What was thrown away, for reading; it is written with spl_discard_add (book/draw.h).
 */
#ifndef SPL_BOOK_DISCARD_H
#define SPL_BOOK_DISCARD_H

#include <glib.h>

#include "book/book.h"
#include "simpling/day.h"
#include "simpling/record/thrown.h"

struct spl_discard_row {
    char *code; /* of what it was thrown from */
    struct spl_day day;
    double grams, ml; /* one of them; the other NAN */
    char *why, *by;
};

/* From `first` to `last`, in order of day. `each` gets a row that lives as long as the call. */
gboolean spl_discard_each(struct spl_book *book, struct spl_day first, struct spl_day last,
                          gboolean (*each)(const struct spl_discard_row *row, gpointer data,
                                           GError **error),
                          gpointer data, GError **error);

/* The same, of one thing. */
gboolean spl_discard_each_of(struct spl_book *book, gint64 thing_id,
                             gboolean (*each)(const struct spl_discard_row *row, gpointer data,
                                              GError **error),
                             gpointer data, GError **error);

/* All of it, in order: a list of spl_thrown_shape; NULL with an error. */
GArray *spl_thrown_list(struct spl_book *book, gint64 thing_id, GError **error);

#endif
