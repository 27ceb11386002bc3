/* SPDX-License-Identifier: MIT
 *
 * What all migrations leave on an empty book. See book/migrations.h.
 */
#include "book/migrations.h"

const struct spl_fresh_part spl_fresh_parts[] = {
#include "book/fresh_schema.inc" /* by src/book/fresh/write_fresh.c, at build time */
    {NULL, NULL, NULL, NULL, FALSE}};
const int spl_fresh_number = SPL_FRESH_NUMBER;
