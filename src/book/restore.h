/* SPDX-License-Identifier: MIT
 *
 * Whether a book stands before an upgrade, and going back to the copy that was kept before one.
 */
#ifndef SPL_BOOK_RESTORE_H
#define SPL_BOOK_RESTORE_H

#include <glib.h>

#include "book/book.h"

/* Whether the file at `path` says of itself that it is a book of an earlier schema, which the next
 * entry would upgrade. Its first bytes alone are read; FALSE of what is no book. Not
 * while this process has it open: SQLite's locks end when any descriptor of the file is closed. */
gboolean spl_book_is_older(const char *path);

/*
 * Puts the newest copy that an upgrade of the book at `path` left beside it in the book's place.
 * The present book stays beside it under `*aside`, with all that was written since; free both texts
 * with g_free. The copy is moved, so that the next upgrade keeps a new one.
 *
 * SPL_ERROR_NOT_FOUND: there is no such copy; _CORRUPT: it is damaged; _BUSY: somebody is writing;
 * _IO. The book is then as it was.
 */
gboolean spl_book_restore(const char *path, char **from, char **aside, GError **error);

#endif
