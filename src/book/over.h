/* SPDX-License-Identifier: MIT
 *
 * Which lots and jars are over, so that a look at what stands costs what stands and not all that
 * was ever made. Derived from the facts: triggers of the book mark what a row touches, a writer
 * looks at that before it commits. What is marked counts as not over.
 */
#ifndef SPL_BOOK_OVER_H
#define SPL_BOOK_OVER_H

#include <glib.h>

#include "book/book.h"

/* For a query: the ids of things that are not over. */
#define SPL_NOT_OVER "SELECT o.thing_id FROM judged_over o WHERE o.over IS NOT 1"

/* Looks again at what is marked. Inside a transaction. */
gboolean spl_over_settle(struct spl_book *book, GError **error);

/* How many things are not kept as their rows have it. */
gboolean spl_over_faults(struct spl_book *book, guint *wrong, GError **error);

/* Looks at all of them again. Inside a transaction. */
gboolean spl_over_again(struct spl_book *book, GError **error);

#endif
