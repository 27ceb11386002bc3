/* SPDX-License-Identifier: MIT
 *
 * The person's own rows of the data tables (plants, materials, preparations …): which tables there
 * are, their rows beside the program's own, and one row written, changed or taken out. The file is
 * a spreadsheet's as much as the program's: what else stands in it stays, with the sign between its
 * cells and its line ends; it is written whole or not at all.
 */
#ifndef SIMPLING_OWN_TABLE_H
#define SIMPLING_OWN_TABLE_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/row.h"

/* A table of which one may have rows of one's own. */
struct spl_own_line {
    char *table; /* "plants" */
    char *about; /* what a row of it is */
    int own;     /* rows of one's own */
    int ours;    /* rows of the program */
    char *file;  /* where one's own stand, also when there are none yet */
};
extern const struct spl_shape spl_own_line_shape;
/* All of them: a list of spl_own_line_shape; NULL with an error. */
GArray *spl_own_tables(struct spl_house *house, GError **error);

/* One of them with its rows. */
struct spl_own_sheet {
    char *table, *file;
    char **columns;   /* of the program's table, then what else the person's file has */
    guint n_columns;  /* of each row */
    guint n_keys;     /* so many columns in front tell a row from the others */
    GPtrArray *own;   /* of char **: in the order of the file */
    GPtrArray *ours;  /* of char ** */
    GPtrArray *wrong; /* of const char *: why rows of the person are left out */
    char *stamp;      /* tells this file from one that was changed */
};
void spl_own_sheet_clear(struct spl_own_sheet *sheet);
/* SPL_ERROR_NOT_FOUND: no such table; SPL_ERROR_INVALID: the person's file cannot be read. */
gboolean spl_own_sheet_read(struct spl_house *house, const char *table, struct spl_own_sheet *sheet,
                            GError **error);

/* The row of `rows` that has the keys of this one; NULL: none. Borrowed. */
char **spl_own_row_like(const struct spl_own_sheet *sheet, const GPtrArray *rows,
                        char *const *cells);

struct spl_own_row {
    const char *table;
    int row;           /* of the person's own, from 0; SPL_COUNT_NONE: a new one */
    const char *stamp; /* of the sheet that was shown; NULL: none was */
    gboolean take_out;
    char *const *cells; /* n_columns of the sheet; not with `take_out` */
};
/*
 * Writes it. A row that cannot be used is SPL_ERROR_INVALID, about the column (spl_error_input)
 * where one is at fault; so is one without which others could not be used. SPL_ERROR_CONFLICT: the
 * file is another than the one that was shown. A new file is its owner's alone (0600), one that
 * was there keeps its mode.
 */
gboolean spl_own_row_write(struct spl_house *house, const struct spl_own_row *row, GError **error);

#endif
