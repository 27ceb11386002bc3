/* SPDX-License-Identifier: MIT
 *
 * What came into each lot and went out of it in a span of days, summed from the rows.
 */
#ifndef SPL_BOOK_LOT_FLOW_H
#define SPL_BOOK_LOT_FLOW_H

#include "book/book.h"
#include "simpling/record/lot.h"

/* Every lot that was made by `last` and was not at its end before `first`, in order of making: a
 * list of spl_lot_flow_shape, `uses` left NULL; NULL with an error. */
GArray *spl_lot_flows(struct spl_book *book, struct spl_day first, struct spl_day last,
                      GError **error);

#endif
