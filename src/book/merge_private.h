/* SPDX-License-Identifier: MIT
 *
 * Conflicts of two books, looked for before anything is brought in. Inside of merge*.c.
 */
#ifndef SPL_BOOK_MERGE_PRIVATE_H
#define SPL_BOOK_MERGE_PRIVATE_H

#include "book/merge.h"

/* Notes what both books did with one thing. SPL_ERROR_CONFLICT: one code names two things. */
gboolean spl_merge_look(struct spl_book *book, struct spl_book *other, struct spl_merge *merge,
                        GError **error);

#endif
