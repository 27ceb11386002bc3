/* SPDX-License-Identifier: MIT
 *
 * What `book repair` does beside making derived things again (book/derive.h): tables, views and
 * indexes made as the migrations make them, and rows that are no records put aside. Nothing is
 * thrown away: what leaves the book stands in a text of SQL, each row with its reason.
 */
#ifndef SPL_BOOK_MEND_H
#define SPL_BOOK_MEND_H

#include <glib.h>

#include "book/book.h"

/* Whether spl_book_mend would do anything. */
gboolean spl_book_needs_mending(struct spl_book *book, gboolean *needs, GError **error);

/*
 * Mends inside a transaction of the caller's, begun between spl_mend_begin and spl_mend_end. What
 * was done is appended to `mendings` (struct spl_mending), rows that left the book to `aside`;
 * `file` is how the messages call what `aside` is written to.
 */
gboolean spl_book_mend(struct spl_book *book, const char *file, GString *aside, GArray *mendings,
                       GError **error);

/* References are not held while tables are made again; between these two. */
gboolean spl_mend_begin(struct spl_book *book, GError **error);
gboolean spl_mend_end(struct spl_book *book, GError **error);

#endif
