/* SPDX-License-Identifier: MIT
 *
 * The data tables between houses: a program that opens one for each visit reads the tables once,
 * and again when a file of them is another than it was. Off unless asked for
 * (spl_house_keep_tables).
 */
#ifndef SPL_SEASON_TABLES_KEPT_H
#define SPL_SEASON_TABLES_KEPT_H

#include "core/tables.h"

/* The tables of these folders (`own` may be NULL): the kept ones while their files are what they
 * were (name, size, time, inode), else read anew. Give back with spl_kept_tables_give. */
struct spl_tables *spl_kept_tables_take(const char *data, const char *own, GError **error);
void spl_kept_tables_give(struct spl_tables *tables); /* NULL is fine */

/* Are tables kept? */
gboolean spl_kept_tables_on(void);

#endif
