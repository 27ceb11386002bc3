/* SPDX-License-Identifier: MIT
 *
 * Label sheets out of data/labels.csv, and the person's own rows beside them.
 */
#ifndef SPL_SEASON_LABEL_STOCK_H
#define SPL_SEASON_LABEL_STOCK_H

#include "picture/label_sheet.h"
#include "season/house_private.h"

/* The sheet of this name into `stock` (clear it with spl_label_stock_clear). SPL_ERROR_NOT_FOUND
 * names those that there are; SPL_ERROR_INVALID: a row that cannot be, with its line. */
gboolean spl_label_stock_find(struct spl_house *house, const char *name,
                              struct spl_label_stock *stock, GError **error);

#endif
