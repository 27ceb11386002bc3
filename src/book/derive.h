/* SPDX-License-Identifier: MIT
 *
 * What is derived from the facts and stored beside them, so that a question finds it fast: which
 * site answers to a name, the keys of names, the boxes of hazards, the bounds of layers. It can be
 * made again from the facts, and nothing else in a book can.
 */
#ifndef SPL_BOOK_DERIVE_H
#define SPL_BOOK_DERIVE_H

#include <glib.h>

#include "book/book.h"
#include "simpling/record/mending.h"

/* What does not fit its facts: a list of spl_mending_shape, `done` being what a repair would do.
 * Changes nothing. */
GArray *spl_derived_faults(struct spl_book *book, GError **error);

/* The same, set right. Inside a transaction. */
GArray *spl_derived_mend(struct spl_book *book, GError **error);

/* The parts of it, appending to `mendings`; `mend`: set it right, inside a transaction. */
gboolean spl_site_keys_look(struct spl_book *book, gboolean mend, GArray *mendings, GError **error);
gboolean spl_hazard_map_look(struct spl_book *book, gboolean mend, GArray *mendings,
                             GError **error);

/* Takes away the keys that do not fit their site's name any more; gives none. Inside a transaction.
 */
gboolean spl_site_keys_drop_stale(struct spl_book *book, GError **error);

/* One more line of a list; texts are taken over. */
void spl_mending_add(GArray *mendings, char *thing, char *was, char *done, char *cure);

#endif
