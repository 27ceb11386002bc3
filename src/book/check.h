/* SPDX-License-Identifier: MIT
 *
 * Whether the book is sound: the file itself, its references, and what must hold between facts.
 *
 * A rule is a question each of whose rows is a fault (check.c), or a walk where SQL cannot tell
 * (derive.c). A fault is one line that names the thing, what is wrong and what to do.
 */
#ifndef SPL_BOOK_CHECK_H
#define SPL_BOOK_CHECK_H

#include <glib.h>

#include "book/book.h"

/* Every fault, a line each; an empty array when there is none. Free with g_ptr_array_unref. */
GPtrArray *spl_book_check(struct spl_book *book, GError **error);

/* FALSE with SPL_ERROR_REFUSED if a date of the thing with this code, as this book shows codes,
 * goes before or after what it may: the first such finding. */
gboolean spl_book_check_dates(struct spl_book *book, const char *code, GError **error);

/* Only what SQLite finds at every page and row: appends to `findings`. */
gboolean spl_book_check_file(struct spl_book *book, GPtrArray *findings, GError **error);

#endif
