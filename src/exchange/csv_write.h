/* SPDX-License-Identifier: MIT
 *
 * Writes comma-separated tables (RFC 4180 but for the line end, which is LF): a cell with a comma,
 * quote, line break or edge space is quoted.
 */
#ifndef SPL_EXCHANGE_CSV_WRITE_H
#define SPL_EXCHANGE_CSV_WRITE_H

#include "base/file.h"

/* One row of `n` cells. What spl_file_writer_write gives. */
gboolean spl_csv_write_row(struct spl_file_writer *writer, const char *const *cells, guint n,
                           GError **error);

#endif
