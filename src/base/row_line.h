/* SPDX-License-Identifier: MIT
 *
 * A record as one line of JSON, straight into a file: what long lists are written with. The same
 * octets as spl_record_json, without a tree of values between.
 */
#ifndef SPL_BASE_ROW_LINE_H
#define SPL_BASE_ROW_LINE_H

#include <stdio.h>

#include "simpling/row.h"

/* FALSE: the file took less than it was given. */
gboolean spl_row_write_line(const struct spl_shape *shape, const void *record, FILE *out);

/* Is its key written: FALSE for a list that was not looked up. */
gboolean spl_row_is_known(const struct spl_field *field, const void *record);

#endif
