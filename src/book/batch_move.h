/* SPDX-License-Identifier: MIT
 *
 * Steps of a batch that the person set to another day or dropped: amendments of the batch's
 * "due:STEP", the last one of a step holds.
 */
#ifndef SPL_BOOK_BATCH_MOVE_H
#define SPL_BOOK_BATCH_MOVE_H

#include <glib.h>

#include "book/book.h"
#include "core/steps.h"

struct spl_batch_move {
    int step;           /* enum spl_step */
    struct spl_day due; /* unset: dropped */
    struct spl_day on;  /* when it was set so */
};

/* Notes it; `due` unset: the step is dropped. Inside a transaction. */
gboolean spl_batch_move_add(struct spl_book *book, const char *batch_uuid, enum spl_step step,
                            struct spl_day due, const char *by, const char *why, GError **error);

/* GArray of struct spl_batch_move, each step once; NULL with an error. */
GArray *spl_batch_move_list(struct spl_book *book, const char *batch_uuid, GError **error);

#endif
