/* SPDX-License-Identifier: MIT
 *
 * Folding and tables for people. See base/layout.h. libsmartcols aligns and prints; which column
 * gives way is decided here, since it would cut words.
 */
#include "base/layout.h"

#include <libsmartcols.h>
#include <stdlib.h>
#include <string.h>

#define WORD_MAX 24     /* a longer word may be broken rather than spoil the table */
#define ROW_LINES_MAX 6 /* a row folded into more is hard to read: less stands in it then */

static int char_width(gunichar c)
{
    if (g_unichar_iszerowidth(c))
        return 0;
    return g_unichar_iswide(c) ? 2 : 1;
}

int spl_text_width(const char *text)
{
    int width = 0;

    for (const char *p = text; *p != '\0'; p = g_utf8_next_char(p)) {
        if (*p != '\n')
            width += char_width(g_utf8_get_char(p));
    }
    return width;
}

/* Folding ---------------------------------------------------------------------------------------
 */

/* Length in bytes of the first line of `text`; `*next` is where the following one begins. */
static gsize first_line(const char *text, int width, const char **next)
{
    const char *space = NULL, *mark = NULL, *p;
    int used = 0;

    for (p = text; *p != '\0' && *p != '\n'; p = g_utf8_next_char(p)) {
        int more = char_width(g_utf8_get_char(p));

        if (*p == ' ')
            space = p;
        if (used + more > width && p > text) {
            if (space == p || (space != NULL && space > text)) {
                *next = space + 1;
                return (gsize)(space - text);
            }
            *next = mark != NULL ? mark : p;
            return (gsize)(*next - text);
        }
        used += more;
        if (*p == '/' || *p == ';')
            mark = p + 1;
    }
    *next = *p == '\n' ? p + 1 : p;
    return (gsize)(p - text);
}

char *spl_text_fold(const char *text, int width)
{
    GString *folded;

    if (width <= 0)
        return g_strdup(text);
    folded = g_string_new(NULL);
    while (*text != '\0') {
        const char *next;
        gsize length = first_line(text, width, &next);

        if (folded->len > 0)
            g_string_append_c(folded, '\n');
        g_string_append_len(folded, text, (gssize)length);
        text = next;
    }
    return g_string_free(folded, FALSE);
}

void spl_text_print_folded(const char *text, int indent, int width, FILE *out)
{
    g_autofree char *folded = spl_text_fold(text, width > 0 ? MAX(width - indent, 20) : 0);
    g_auto(GStrv) lines = g_strsplit(folded, "\n", -1);

    for (guint i = 0; lines[i] != NULL; i++)
        fprintf(out, "%*s%s\n", i > 0 ? indent : 0, "", lines[i]);
    if (lines[0] == NULL)
        fputc('\n', out);
}

/* Tables ----------------------------------------------------------------------------------------
 */

/* What a column must have at least: its longest piece that is not to be broken. */
static int least_width(const char *text)
{
    int longest = 0, word = 0;

    for (const char *p = text; *p != '\0'; p = g_utf8_next_char(p)) {
        if (*p == ' ' || *p == '\n') {
            word = 0;
            continue;
        }
        word += char_width(g_utf8_get_char(p));
        longest = MAX(longest, word);
        if (*p == '/' || *p == ';')
            word = 0;
    }
    return MIN(longest, WORD_MAX);
}

struct share {
    int width, least;
    gboolean used;  /* a column of the table */
    gboolean below; /* not in the table: its text stands under each row */
};

static void measure(const struct spl_grid_column *columns, gsize n_columns,
                    const char *const *cells, gsize n_rows, struct share *shares)
{
    for (gsize c = 0; c < n_columns; c++) {
        int widest = 0, least = least_width(columns[c].heading);

        for (gsize r = 0; r < n_rows; r++) {
            const char *cell = cells[r * n_columns + c];

            widest = MAX(widest, spl_text_width(cell));
            least = MAX(least, columns[c].whole ? spl_text_width(cell) : least_width(cell));
        }
        shares[c].used = widest > 0;
        shares[c].width = MAX(widest, spl_text_width(columns[c].heading));
        shares[c].least = MIN(least, shares[c].width);
    }
}

/* Takes from the widest column that can give until all fit; FALSE: they cannot. */
static gboolean squeeze(struct share *shares, gsize n_columns, int gap, int width)
{
    int total = -gap;

    for (gsize c = 0; c < n_columns; c++) {
        if (shares[c].used)
            total += shares[c].width + gap;
    }
    for (; total > width; total--) {
        struct share *widest = NULL;

        for (gsize c = 0; c < n_columns; c++) {
            if (shares[c].used && shares[c].width > shares[c].least &&
                (widest == NULL || shares[c].width > widest->width))
                widest = &shares[c];
        }
        if (widest == NULL)
            return FALSE;
        widest->width--;
    }
    return TRUE;
}

static int count_lines(const char *folded)
{
    int lines = 1;

    for (; *folded != '\0'; folded++)
        lines += *folded == '\n';
    return lines;
}

#define BELOW_INDENT 4
#define BELOW_LEAST 20 /* columns, as spl_text_print_folded takes at least */

/* What of a row stands under it: "why: …". Free with g_free. */
static char *below_text(const struct spl_grid_column *column, const char *cell)
{
    return g_strdup_printf("%s: %s", column->heading, cell);
}

/* How many lines the cells take so, with what stands under them; 0: a row would be too tall. */
static int count_height(const struct spl_grid_column *columns, const struct share *shares,
                        gsize n_columns, const char *const *cells, gsize n_rows, int width)
{
    int height = 0;

    for (gsize r = 0; r < n_rows; r++) {
        int tallest = 1;

        for (gsize c = 0; c < n_columns; c++) {
            const char *cell = cells[r * n_columns + c];
            g_autofree char *folded = NULL;

            if (shares[c].below && *cell != '\0') {
                g_autofree char *text = below_text(&columns[c], cell);

                folded = spl_text_fold(text, MAX(width - BELOW_INDENT, BELOW_LEAST));
                height += count_lines(folded);
            } else if (shares[c].used && spl_text_width(cell) > shares[c].width) {
                folded = spl_text_fold(cell, shares[c].width);
                tallest = MAX(tallest, count_lines(folded));
            }
        }
        if (tallest > ROW_LINES_MAX)
            return 0;
        height += tallest;
    }
    return height;
}

/* One row, which becomes as many lines as its tallest cell; `cells` of the row. How many. */
static guint add_row(struct libscols_table *table, const struct share *shares, gsize n_columns,
                     const char *const *cells, gboolean fold)
{
    g_autofree char ***lines = g_new0(char **, n_columns);
    guint tallest = 1;

    for (gsize c = 0; c < n_columns; c++) {
        g_autofree char *folded = spl_text_fold(cells[c], fold ? shares[c].width : 0);

        lines[c] = g_strsplit(folded, "\n", -1);
        if (shares[c].used)
            tallest = MAX(tallest, g_strv_length(lines[c]));
    }
    for (guint i = 0; i < tallest; i++) {
        struct libscols_line *line = scols_table_new_line(table, NULL);
        size_t at = 0;

        for (gsize c = 0; c < n_columns; c++) {
            if (shares[c].used)
                scols_line_set_data(line, at++, i < g_strv_length(lines[c]) ? lines[c][i] : "");
        }
    }
    for (gsize c = 0; c < n_columns; c++)
        g_strfreev(lines[c]);
    return tallest;
}

static void print_below(const struct spl_grid_column *columns, const struct share *shares,
                        gsize n_columns, const char *const *row, int width, FILE *out)
{
    for (gsize c = 0; c < n_columns; c++) {
        g_autofree char *text = NULL;

        if (!shares[c].below || *row[c] == '\0')
            continue;
        text = below_text(&columns[c], row[c]);
        fprintf(out, "%*s", BELOW_INDENT, "");
        spl_text_print_folded(text, BELOW_INDENT, width, out);
    }
}

/* Prints the next `n` lines of what libsmartcols laid out; what comes behind them. */
static const char *print_lines(const char *text, guint n, FILE *out)
{
    for (; n > 0 && *text != '\0'; n--) {
        gsize length = strcspn(text, "\n");

        fwrite(text, 1, length, out);
        fputc('\n', out);
        text += length + (text[length] == '\n' ? 1 : 0);
    }
    return text;
}

/* libsmartcols aligns the lines; headings are lines too, so that they can be folded. Its own names
 * of the columns stay empty: they would hold a column open at the width of the unfolded heading.
 * `width` 0: nothing is folded. */
static gboolean print_table(const struct spl_grid_column *columns, gsize n_columns,
                            const char *const *cells, gsize n_rows, const struct share *shares,
                            const char *gap, int width, FILE *out)
{
    struct libscols_table *table = scols_new_table();
    g_autofree const char **headings = g_new0(const char *, n_columns);
    g_autofree guint *heights = g_new0(guint, n_rows + 1);
    char *text = NULL; /* libsmartcols' */
    const char *rest;

    scols_table_set_column_separator(table, gap);
    scols_table_set_termforce(table, SCOLS_TERMFORCE_NEVER);
    scols_table_enable_noheadings(table, 1);
    for (gsize c = 0; c < n_columns; c++) {
        headings[c] = columns[c].heading;
        if (shares[c].used)
            scols_table_new_column(table, "", 0, columns[c].right ? SCOLS_FL_RIGHT : 0);
    }
    heights[0] = add_row(table, shares, n_columns, headings, width > 0);
    for (gsize r = 0; r < n_rows; r++)
        heights[r + 1] = add_row(table, shares, n_columns, cells + r * n_columns, width > 0);
    if (scols_print_table_to_string(table, &text) != 0 || text == NULL) {
        scols_unref_table(table);
        return FALSE;
    }
    scols_unref_table(table);
    rest = print_lines(text, heights[0], out);
    for (gsize r = 0; r < n_rows; r++) {
        rest = print_lines(rest, heights[r + 1], out);
        print_below(columns, shares, n_columns, cells + r * n_columns, width, out);
    }
    free(text);
    return ferror(out) == 0;
}

/* Entry by entry: the first cell on a line of its own, the others below it with their headings. */
static gboolean print_entries(const struct spl_grid_column *columns, gsize n_columns,
                              const char *const *cells, gsize n_rows, const struct share *shares,
                              int width, FILE *out)
{
    int widest = 0;

    for (gsize c = 1; c < n_columns; c++) {
        if (shares[c].used || shares[c].below)
            widest = MAX(widest, spl_text_width(columns[c].heading));
    }
    for (gsize r = 0; r < n_rows; r++) {
        const char *const *row = cells + r * n_columns;

        spl_text_print_folded(row[0], 0, width, out);
        for (gsize c = 1; c < n_columns; c++) {
            if (*row[c] == '\0')
                continue;
            fprintf(out, "  %s%*s  ", columns[c].heading,
                    widest - spl_text_width(columns[c].heading), "");
            spl_text_print_folded(row[c], widest + 4, width, out);
        }
    }
    return ferror(out) == 0;
}

#define BELOW_MAX 2     /* columns under each row; with more, entries are easier to read */
#define BELOW_NARROW 40 /* and so they are on a terminal narrower than this */

/* The column that a table would gain most by leaving out, but for its first; NULL: none. */
static struct share *find_widest(struct share *shares, gsize n_columns)
{
    struct share *widest = NULL;

    for (gsize c = 1; c < n_columns; c++) {
        if (shares[c].used && (widest == NULL || shares[c].width > widest->width))
            widest = &shares[c];
    }
    return widest;
}

/* A way to set a table. */
struct setting {
    struct share *shares; /* own */
    int gap;              /* blanks between columns; 0: none fits */
    int height;
};

/* Keeps the table with these columns if it takes fewer lines than that which is kept: with two
 * blanks between columns, with one when it is that which is lacking. */
static void try_setting(const struct spl_grid_column *columns, const struct share *shares,
                        gsize n_columns, const char *const *cells, gsize n_rows, int width,
                        struct setting *kept)
{
    for (int gap = 2; gap > 0; gap--) {
        struct share *tried = g_memdup2(shares, n_columns * sizeof *shares);
        int height = squeeze(tried, n_columns, gap, width)
                         ? count_height(columns, tried, n_columns, cells, n_rows, width)
                         : 0;

        if (height > 0 && (kept->gap == 0 || height < kept->height)) {
            g_free(kept->shares);
            *kept = (struct setting){g_steal_pointer(&tried), gap, height};
        }
        g_free(tried);
    }
}

gboolean spl_grid_print(const struct spl_grid_column *columns, gsize n_columns,
                        const char *const *cells, gsize n_rows, int width, FILE *out)
{
    g_autofree struct share *shares = g_new0(struct share, n_columns);
    struct setting kept = {0};
    gboolean good;

    measure(columns, n_columns, cells, n_rows, shares);
    if (width <= 0)
        return print_table(columns, n_columns, cells, n_rows, shares, "  ", 0, out);
    for (int below = 0; below <= BELOW_MAX; below++) {
        struct share *widest = find_widest(shares, n_columns);

        try_setting(columns, shares, n_columns, cells, n_rows, width, &kept);
        if (widest == NULL || width < BELOW_NARROW)
            break;
        widest->used = FALSE;
        widest->below = TRUE;
    }
    if (kept.gap > 0)
        good = print_table(columns, n_columns, cells, n_rows, kept.shares,
                           kept.gap == 2 ? "  " : " ", width, out);
    else
        good = print_entries(columns, n_columns, cells, n_rows, shares, width, out);
    g_free(kept.shares);
    return good;
}
