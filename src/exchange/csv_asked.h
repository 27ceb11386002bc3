/* SPDX-License-Identifier: MIT
 *
 * The columns of one table as they were asked for by name. For csv.c.
 *
 * Whoever reads a table asks the same of each row in the same order, so the next answer mostly
 * stands behind the last.
 */
#ifndef SPL_EXCHANGE_CSV_ASKED_H
#define SPL_EXCHANGE_CSV_ASKED_H

#include <glib.h>

struct spl_csv_asked;

struct spl_csv_asked *spl_csv_asked_new(void);
void spl_csv_asked_free(struct spl_csv_asked *asked);

/* What was kept for this name. FALSE: nothing. */
gboolean spl_csv_asked_before(struct spl_csv_asked *asked, const char *name, int *column);

/* `column`: -1 where there is none of that name. */
void spl_csv_asked_keep(struct spl_csv_asked *asked, const char *name, int column);

#endif
