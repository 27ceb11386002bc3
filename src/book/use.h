/* SPDX-License-Identifier: MIT
 *
 * Uses: what went out at one time to one person, with a code (U27-014). Its lots are rows of their
 * own (spl_lot_use_add in book/lot.h).
 */
#ifndef SPL_BOOK_USE_H
#define SPL_BOOK_USE_H

#include <glib.h>

#include "book/book.h"
#include "simpling/day.h"

struct spl_use {
    gint64 id;
    char *uuid, *code;
    struct spl_day day;
    char *ref;        /* a number, never a name; NULL */
    char *directions; /* NULL: none */
    char *by, *struck;
};
void spl_use_clear(struct spl_use *use);

/* Writes it (id, uuid, code filled in). Inside a transaction. */
gboolean spl_use_add(struct spl_book *book, struct spl_use *use, GError **error);

/* The use with this code. */
gboolean spl_use_find(struct spl_book *book, const char *code, struct spl_use *use, GError **error);

/* The last that went to this reference by `until`; FALSE without an error: none did. */
gboolean spl_use_last_of_ref(struct spl_book *book, const char *ref, struct spl_day until,
                             struct spl_use *use, GError **error);

/* Did anything ever go to this reference? */
gboolean spl_use_of_ref(struct spl_book *book, const char *ref, gboolean *known, GError **error);

#endif
