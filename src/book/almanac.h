/* SPDX-License-Identifier: MIT
 *
 * The person's own almanacs: calendars that were read into the book.
 */
#ifndef SPL_BOOK_ALMANAC_H
#define SPL_BOOK_ALMANAC_H

#include <glib.h>

#include "book/book.h"
#include "core/almanac.h"

/*
 * Writes the rows (of struct spl_almanac_row) of the calendar `name` in the place of what it held
 * before. `fresh` counts rows whose UID is new, `changed` those that differ from before. Inside a
 * transaction.
 */
gboolean spl_almanac_put(struct spl_book *book, const char *name, const GArray *rows, int *fresh,
                         int *changed, GError **error);

/* All rows by calendar and day: a list of spl_almanac_row_shape. */
GArray *spl_almanac_all(struct spl_book *book, GError **error);

#endif
