/* SPDX-License-Identifier: MIT
 *
 * What all migrations leave on an empty book. See book/migrations.h.
 */
#include "book/migrations.h"

const char *const spl_fresh_schema[] = {
#include "book/fresh_schema.inc" /* by src/book/fresh/write_fresh.c, at build time */
    NULL};
const int spl_fresh_number = SPL_FRESH_NUMBER;
