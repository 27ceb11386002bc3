/* SPDX-License-Identifier: MIT
 *
 * The last entry of this book: the rows that were written together at last. Their stamps follow
 * each other without a gap (spl_book_stamp), and no other entry's touch them.
 */
#ifndef SPL_BOOK_LAST_H
#define SPL_BOOK_LAST_H

#include <glib.h>

#include "book/book.h"

struct spl_last_row {
    char *table; /* "thing" for what has a code of its own */
    char *uuid;
    gint64 thing_id; /* what it is, or is about; 0: nothing with a code */
    char *code;      /* of that; NULL */
    char *subject;   /* UUID of that; NULL */
    char *name;      /* of the place that it is about, or its own; NULL */
};
void spl_last_row_clear(struct spl_last_row *row);

/* Rows of the last entry that is later than the stamp `since` (0: of any time), in the order in
 * which they were written; none: nothing was written since, or since entries can be told apart. Who
 * knows since when spares a look at the whole log. A GArray that clears what it holds; NULL with an
 * error. */
GArray *spl_last_entry(struct spl_book *book, gint64 since, GError **error);

/* Whether a row of this book's own has this UUID; FALSE with an error when that cannot be told. */
gboolean spl_entry_is_known(struct spl_book *book, const char *uuid, gboolean *known,
                            GError **error);

#endif
