/* SPDX-License-Identifier: MIT
 *
 * Complaints and reactions: what somebody said of a lot, or of what went to a reference.
 */
#ifndef SPL_BOOK_REACTION_H
#define SPL_BOOK_REACTION_H

#include <glib.h>

#include "book/book.h"
#include "simpling/record/reaction.h"

/* Writes it (id, uuid filled in); of a lot, a reference or both. Inside a transaction. */
gboolean spl_reaction_add(struct spl_book *book, struct spl_reaction *reaction, GError **error);

/* Those that stand, oldest first: of a lot (0: of any) and a reference (NULL: any). A list of
 * spl_reaction_shape; NULL with an error. */
GArray *spl_reaction_list(struct spl_book *book, gint64 lot_id, const char *ref, GError **error);

#endif
