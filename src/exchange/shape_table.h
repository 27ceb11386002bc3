/* SPDX-License-Identifier: MIT
 *
 * The table (.dbf) of a shapefile: its columns, its texts as UTF-8 from whatever code page, dates
 * however they were written.
 */
#ifndef SPL_EXCHANGE_SHAPE_TABLE_H
#define SPL_EXCHANGE_SHAPE_TABLE_H

#include <glib.h>
#include <shapefil.h>

#include "simpling/day.h"

/* The code page as a name for iconv: what was asked for, the .cpg's, the table's own mark, in this
 * order; NULL: none of them tells. SPL_ERROR_INVALID: asked for and not known. Free with g_free. */
gboolean spl_shape_encoding(const char *asked, const char *cpg_path, const char *dbf_path,
                            char **encoding, GError **error);

struct spl_shape_text {
    char *encoding;   /* for people */
    GIConv convert;   /* (GIConv)-1: UTF-8 where it is valid, else Windows-1252 */
    gboolean damaged; /* some text could not be converted */
};

void spl_shape_text_open(struct spl_shape_text *text, const char *encoding);
void spl_shape_text_close(struct spl_shape_text *text);

/* UTF-8 without control characters and blanks at the ends; NULL when nothing is left. */
char *spl_shape_text_read(struct spl_shape_text *text, const char *raw);

/* The column of that name in whatever case; -1 with an error that names those there are. */
int spl_shape_column(DBFHandle table, const char *name, const char *what, GError **error);

/* "20270504", "2027-05-04", "2027/05/04", "4.5.2027"; FALSE for anything else ("04/05/2027" is two
 * days). Blanks and 00000000 are no day, which is TRUE. */
gboolean spl_shape_day(const char *text, struct spl_day *day);

#endif
