/* SPDX-License-Identifier: MIT
 *
 * What is poured: spirit, vinegar, honey, oil, glycerol, sugar, wax that came in or went otherwise
 * than into a jar; and what the jars took, by what was said of their liquid.
 */
#ifndef SPL_BOOK_LIQUID_H
#define SPL_BOOK_LIQUID_H

#include "book/book.h"
#include "core/blend.h"
#include "simpling/record/liquid.h"

/* Writes it (id and uuid filled in). Inside a transaction. */
gboolean spl_liquid_row_add(struct spl_book *book, struct spl_liquid_row *row, GError **error);

/* The same for the same supplier's same number, however it is written (NULL: none). Yours, g_free.
 */
char *spl_liquid_key(const char *supplier, const char *number);

/* All that stand, by day: a list of spl_liquid_row_shape; NULL with an error. */
GArray *spl_liquid_rows(struct spl_book *book, GError **error);

/* One liquid that a jar took. Borrowed while `each` runs. */
struct spl_liquid_charge {
    char *code; /* of the batch */
    struct spl_day day;
    char *words, *supplier, *number; /* supplier and number: NULL when nobody said */
    double strength_frac;            /* NAN */
    struct spl_blend blend;
};
/* Those of batches that stand in the book, by day. */
gboolean spl_liquid_each_charge(struct spl_book *book,
                                gboolean (*each)(const struct spl_liquid_charge *charge,
                                                 gpointer data, GError **error),
                                gpointer data, GError **error);

#endif
