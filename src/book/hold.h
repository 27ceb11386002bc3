/* SPDX-License-Identifier: MIT
 *
 * Holds on any thing: something became known that keeps it back, until it is released with
 * evidence.
 */
#ifndef SPL_BOOK_HOLD_H
#define SPL_BOOK_HOLD_H

#include <glib.h>

#include "book/book.h"
#include "simpling/day.h"

/* Inside a transaction. */
gboolean spl_hold_add(struct spl_book *book, gint64 thing_id, struct spl_day day, const char *why,
                      const char *by, GError **error);

#endif
