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

/*
 * A stream that writes to `out` and breaks lines wider than `width` columns at their blanks; a line
 * that goes on is set in by two more than it began. A command to paste, a line set in that begins
 * with "simpling", is broken between its arguments with the backslash that a shell joins lines at.
 * What has no blank stays whole (addresses, paths). `before` (NULL: nothing) is called before
 * anything is written, so that a line about work that goes on can be taken away. Close with fclose,
 * which leaves `out` open. NULL: there is no memory.
 */
FILE *spl_fold_stream(FILE *out, int width, void (*before)(void));

struct spl_grid_column {
    const char *heading;
    gboolean right; /* numbers */
    gboolean whole; /* never folded: numbers, days, codes */
};

/*
 * Prints `n_rows` * `n_columns` cells, row by row. Columns without any text are left out. `width` 0
 * is unlimited: one line a row. Where columns fit only by many line breaks, the widest one or two
 * stand under each row with their headings; where that is not enough, all stand as entries. FALSE:
 * the stream failed.
 */
gboolean spl_grid_print(const struct spl_grid_column *columns, gsize n_columns,
                        const char *const *cells, gsize n_rows, int width, FILE *out);

#endif
