/* SPDX-License-Identifier: MIT
 *
 * Folding and tables for people. See base/layout.h. libsmartcols aligns and prints; which column
 * gives way is decided here, since it would cut words.
 */
#include "base/layout.h"

#include <libsmartcols.h>
#include <string.h>

#define WORD_MAX 24     /* a longer word may be broken rather than spoil the table */
#define ROW_LINES_MAX 6 /* a row folded into more is unreadable: entry by entry then */

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
    gboolean used;
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

static gboolean rows_are_low(const struct share *shares, gsize n_columns, const char *const *cells,
                             gsize n_rows)
{
    for (gsize i = 0; i < n_rows * n_columns; i++) {
        const struct share *share = &shares[i % n_columns];
        g_autofree char *folded = NULL;

        if (!share->used || spl_text_width(cells[i]) <= share->width)
            continue;
        folded = spl_text_fold(cells[i], share->width);
        if (count_lines(folded) > ROW_LINES_MAX)
            return FALSE;
    }
    return TRUE;
}

/* One row, which becomes as many lines as its tallest cell; `cells` of the row. */
static void add_row(struct libscols_table *table, const struct share *shares, gsize n_columns,
                    const char *const *cells, gboolean fold)
{
    g_autofree char ***lines = g_new0(char **, n_columns);
    guint tallest = 1;

    for (gsize c = 0; c < n_columns; c++) {
        g_autofree char *folded = spl_text_fold(cells[c], fold ? shares[c].width : 0);

        lines[c] = g_strsplit(folded, "\n", -1);
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
}

/* libsmartcols aligns the lines; headings are lines too, so that they can be folded. */
static gboolean print_table(const struct spl_grid_column *columns, gsize n_columns,
                            const char *const *cells, gsize n_rows, const struct share *shares,
                            gboolean fold, const char *gap, FILE *out)
{
    struct libscols_table *table = scols_new_table();
    g_autofree const char **headings = g_new0(const char *, n_columns);
    int failed;

    scols_table_set_stream(table, out);
    scols_table_set_column_separator(table, gap);
    scols_table_set_termforce(table, SCOLS_TERMFORCE_NEVER);
    scols_table_enable_noheadings(table, 1);
    for (gsize c = 0; c < n_columns; c++) {
        headings[c] = columns[c].heading;
        if (shares[c].used)
            scols_table_new_column(table, columns[c].heading, 0,
                                   columns[c].right ? SCOLS_FL_RIGHT : 0);
    }
    add_row(table, shares, n_columns, headings, fold);
    for (gsize r = 0; r < n_rows; r++)
        add_row(table, shares, n_columns, cells + r * n_columns, fold);
    failed = scols_print_table(table);
    scols_unref_table(table);
    return failed == 0 && ferror(out) == 0;
}

/* Entry by entry: the first cell on a line of its own, the others below it with their headings. */
static gboolean print_entries(const struct spl_grid_column *columns, gsize n_columns,
                              const char *const *cells, gsize n_rows, const struct share *shares,
                              int width, FILE *out)
{
    int widest = 0;

    for (gsize c = 1; c < n_columns; c++) {
        if (shares[c].used)
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

gboolean spl_grid_print(const struct spl_grid_column *columns, gsize n_columns,
                        const char *const *cells, gsize n_rows, int width, FILE *out)
{
    g_autofree struct share *shares = g_new0(struct share, n_columns);
    gboolean fold = width > 0;

    measure(columns, n_columns, cells, n_rows, shares);
    if (!fold)
        return print_table(columns, n_columns, cells, n_rows, shares, FALSE, "  ", out);
    /* Two spaces between columns; one, when it is that which is lacking. */
    for (int gap = 2; gap > 0; gap--) {
        if (squeeze(shares, n_columns, gap, width) &&
            rows_are_low(shares, n_columns, cells, n_rows))
            return print_table(columns, n_columns, cells, n_rows, shares, TRUE,
                               gap == 2 ? "  " : " ", out);
    }
    return print_entries(columns, n_columns, cells, n_rows, shares, width, out);
}
