/* SPDX-License-Identifier: MIT
 *
 * How words are laid out on a terminal: text folded at its words, tables whose columns share the
 * width, and entry by entry where a table would be too narrow to read.
 */
#ifndef SPL_BASE_LAYOUT_H
#define SPL_BASE_LAYOUT_H

#include <glib.h>
#include <stdio.h>

/* Columns that the text takes on a terminal; line breaks count nothing. */
int spl_text_width(const char *text);

/*
 * The text with line breaks in place of spaces so that no line is wider than `width` columns
 * (0: as it is); it breaks behind '/' and ';' too when a piece is wider than a line, and inside a
 * word only when nothing else is left. Line breaks that it has stay. Free with g_free.
 */
char *spl_text_fold(const char *text, int width);

/* Folded and printed with a line break behind; every line but the first begins with `indent`
 * spaces. The first is taken to begin at column `indent`. */
void spl_text_print_folded(const char *text, int indent, int width, FILE *out);

struct spl_grid_column {
    const char *heading;
    gboolean right; /* numbers */
    gboolean whole; /* never folded: numbers, days, codes */
};

/*
 * Prints `n_rows` * `n_columns` cells, row by row. Columns without any text are left out. `width` 0
 * is unlimited: one line a row. FALSE: the stream failed.
 */
gboolean spl_grid_print(const struct spl_grid_column *columns, gsize n_columns,
                        const char *const *cells, gsize n_rows, int width, FILE *out);

#endif
