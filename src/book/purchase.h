/* SPDX-License-Identifier: MIT
 *
 * Purchases: herb that was not gathered.
 */
#ifndef SPL_BOOK_PURCHASE_H
#define SPL_BOOK_PURCHASE_H

#include "book/book.h"
#include "simpling/record/purchase.h"

/* Writes the entry (id, uuid, code filled in). Inside a transaction. */
gboolean spl_purchase_add(struct spl_book *book, struct spl_purchase *purchase, GError **error);

/* The entry with this code, with what drew on it. */
gboolean spl_purchase_find(struct spl_book *book, const char *code, struct spl_purchase *purchase,
                           GError **error);

/* In order of day; `all`: struck ones too. */
gboolean spl_purchase_each(struct spl_book *book, gboolean all,
                           gboolean (*each)(const struct spl_purchase *purchase, gpointer data,
                                            GError **error),
                           gpointer data, GError **error);

#endif
