/* SPDX-License-Identifier: MIT
 *
 * A copy of a book that goes on under a mark of its own: a second machine of the same person.
 */
#ifndef SPL_BOOK_LEND_H
#define SPL_BOOK_LEND_H

#include <glib.h>

#include "book/book.h"
#include "simpling/day.h"

/* Whether any row of the book was written under this mark, or speaks of it. */
gboolean spl_lend_is_taken(struct spl_book *book, const char *mark, gboolean *taken,
                           GError **error);

/*
 * Turns the book, a copy that nobody wrote in yet, into that of `mark`: what was written before
 * rows had marks keeps the mark that the book had, and whom that trusts, and it itself, are trusted
 * here. One transaction.
 */
gboolean spl_lend_begin(struct spl_book *copy, const char *mark, struct spl_day day, const char *by,
                        GError **error);

#endif
