/* SPDX-License-Identifier: MIT
 *
 * What the book knows of its person: a short list of keys with checked values.
 */
#ifndef SPL_BOOK_SETTING_H
#define SPL_BOOK_SETTING_H

#include <glib.h>

#include "book/book.h"

/* Reads all of them, so that no later question can fail and be taken for a setting that nobody
 * made. A book that is opened has done it. */
gboolean spl_setting_load(struct spl_book *book, GError **error);

/* The stored text, or NULL. Free with g_free. */
char *spl_setting_get(struct spl_book *book, const char *key, GError **error);

/* Writes a key that spl_setting_check accepted. Inside a transaction. */
gboolean spl_setting_set(struct spl_book *book, const char *key, const char *value, GError **error);

/* The book's mark ("ANN"), "" in a book that has none. Borrowed until it is set or
 * a transaction is rolled back. */
const char *spl_setting_mark(struct spl_book *book);

/* The book's own UUID, the space of its calendar UIDs. Free with g_free. */
char *spl_setting_uuid(struct spl_book *book, GError **error);

#endif
