/* SPDX-License-Identifier: MIT
 *
 * Cells and sources of one row of a data table. See table_row.h.
 */
#include "exchange/table_row.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "simpling/error.h"

gboolean spl_table_row_init(struct spl_table_row *row, struct spl_csv *csv,
                            const char *const *known, GError **error)
{
    g_autoptr(GPtrArray) names = g_ptr_array_new();

    row->csv = csv;
    row->tags = g_array_new(FALSE, FALSE, sizeof(struct spl_table_tag));
    row->made = g_ptr_array_new_with_free_func(g_free);
    row->seen = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    for (gsize i = 0; known[i] != NULL; i++)
        g_ptr_array_add(names, (gpointer)known[i]);
    for (int i = 0; i < spl_csv_columns(csv); i++) {
        const char *header = spl_csv_header(csv, i);
        if (g_strv_contains(known, header))
            continue;
        g_autofree char *offer = spl_names_offer(header, names);
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s:1: the table has no column '%s'%s",
                    spl_csv_name(csv), header, offer);
        return FALSE;
    }
    row->source = spl_csv_column(csv, "source");
    return row->own || spl_csv_column_required(csv, "source", &row->source, error);
}

void spl_table_row_clear(struct spl_table_row *row)
{
    g_clear_pointer(&row->tags, g_array_unref);
    g_clear_pointer(&row->tag_text, g_free);
    g_clear_pointer(&row->made, g_ptr_array_unref);
    g_clear_pointer(&row->seen, g_hash_table_unref);
}

gboolean spl_table_row_fail(const struct spl_table_row *row, const char *column, GError **error,
                            const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    g_autofree char *message = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    int index = spl_csv_column(row->csv, column);
    if (index < 0)
        return spl_csv_fail(row->csv, -1, SPL_ERROR_INVALID, error, "column '%s': %s", column,
                            message);
    return spl_csv_fail(row->csv, index, SPL_ERROR_INVALID, error, "%s", message);
}

static struct spl_table_tag *tag_of(const struct spl_table_row *row, const char *figure)
{
    for (guint i = 0; i < row->tags->len; i++) {
        struct spl_table_tag *tag = &g_array_index(row->tags, struct spl_table_tag, i);
        if (strcmp(tag->figure, figure) == 0)
            return tag;
    }
    return NULL;
}

/* Cuts `text` at `separator` and returns what follows, NULL if nothing does. */
static char *cut(char *text, char separator)
{
    char *at = strchr(text, separator);

    if (at == NULL)
        return NULL;
    *at = '\0';
    return at + 1;
}

/* One "trim, piece=memory". */
static gboolean read_tag(struct spl_table_row *row, char *piece, GError **error)
{
    char *source = strchr(piece, '=');

    if (source == NULL || source == piece)
        return spl_table_row_fail(row, "source", error,
                                  "'%s' names no figure; write figure=source, as in "
                                  "'moisture=USDA SR28 11207; trim=memory, unchecked'",
                                  piece);
    if (source[1 + strspn(source + 1, " ")] == '\0')
        return spl_table_row_fail(row, "source", error, "'%s' gives no source", piece);
    source = g_strstrip(cut(piece, '='));
    for (char *figure = piece, *next = NULL; figure != NULL; figure = next) {
        next = cut(figure, ',');
        struct spl_table_tag tag = {.figure = g_strstrip(figure), .source = source};
        if (tag_of(row, tag.figure) != NULL)
            return spl_table_row_fail(row, "source", error, "names '%s' twice", tag.figure);
        g_array_append_val(row->tags, tag);
    }
    return TRUE;
}

gboolean spl_table_row_next(struct spl_table_row *row, GError **error)
{
    if (!spl_csv_next(row->csv, error))
        return FALSE;
    g_array_set_size(row->tags, 0);
    g_ptr_array_set_size(row->made, 0);
    g_free(row->tag_text);
    row->tag_text = g_strdup(spl_csv_text(row->csv, row->source));
    for (char *piece = row->tag_text, *next = NULL; piece != NULL; piece = next) {
        next = cut(piece, ';');
        g_strstrip(piece);
        if (piece[0] != '\0' && !read_tag(row, piece, error))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_table_row_end(struct spl_table_row *row, GError **error)
{
    for (guint i = 0; i < row->tags->len; i++) {
        const struct spl_table_tag *tag = &g_array_index(row->tags, struct spl_table_tag, i);
        if (!tag->used)
            return spl_table_row_fail(row, "source", error,
                                      "'%s' is no figure that this row gives; correct the name or "
                                      "take it out",
                                      tag->figure);
    }
    return TRUE;
}

gboolean spl_table_row_key(struct spl_table_row *row, const char *key, GError **error)
{
    gpointer line = g_hash_table_lookup(row->seen, key);

    if (line != NULL)
        return spl_csv_fail(row->csv, -1, SPL_ERROR_EXISTS, error,
                            "'%s' is on line %d already; keep one of the two", key,
                            GPOINTER_TO_INT(line));
    g_hash_table_insert(row->seen, g_strdup(key), GINT_TO_POINTER(spl_csv_line(row->csv)));
    return TRUE;
}

const char *spl_table_row_cell(const struct spl_table_row *row, const char *column)
{
    return spl_csv_text(row->csv, spl_csv_column(row->csv, column));
}

gboolean spl_table_row_required(struct spl_table_row *row, const char *column, const char **text,
                                GError **error)
{
    int index = -1;

    if (!spl_csv_column_required(row->csv, column, &index, error))
        return FALSE;
    *text = spl_csv_text(row->csv, index);
    if ((*text)[0] == '\0')
        return spl_table_row_fail(row, column, error, "is empty and must be given");
    return TRUE;
}

void spl_table_row_text(struct spl_table_row *row, const char *column, const char **text)
{
    const char *cell = spl_table_row_cell(row, column);

    if (cell[0] != '\0' || *text == NULL)
        *text = cell;
}

/* A source as a person reads it. */
static const char *said(struct spl_table_row *row, const char *source)
{
    const char *rest = source + strlen(SPL_SOURCE_UNCHECKED);

    if (!g_str_has_prefix(source, SPL_SOURCE_UNCHECKED))
        return source;
    g_ptr_array_add(row->made, g_strconcat(SPL_SOURCE_UNCHECKED_SAID, rest, NULL));
    return g_ptr_array_index(row->made, row->made->len - 1);
}

gboolean spl_table_row_tag(struct spl_table_row *row, const char *tag, const char *column,
                           const char **source, GError **error)
{
    struct spl_table_tag *found = tag_of(row, tag);

    if (found == NULL)
        return spl_table_row_fail(row, column, error,
                                  "has no source; add '%s=…' to the column 'source' (a book, a "
                                  "page, your own weighing, or 'memory, unchecked')",
                                  tag);
    found->used = TRUE;
    *source = said(row, found->source);
    return TRUE;
}

gboolean spl_table_row_tag_or_own(struct spl_table_row *row, const char *tag, const char *column,
                                  const char **source, GError **error)
{
    if (!row->own || tag_of(row, tag) != NULL)
        return spl_table_row_tag(row, tag, column, source, error);
    *source = "your own table";
    return TRUE;
}

gboolean spl_table_row_told(struct spl_table_row *row, const char *column, const char *tag,
                            const char **text, GError **error)
{
    const char *cell = spl_table_row_cell(row, column);
    const char *source = NULL;

    spl_table_row_text(row, column, text);
    return cell[0] == '\0' || spl_table_row_tag_or_own(row, tag, column, &source, error);
}

gboolean spl_table_row_yes(struct spl_table_row *row, const char *column, gboolean *yes,
                           GError **error)
{
    const char *cell = spl_table_row_cell(row, column);

    if (g_ascii_strcasecmp(cell, "yes") == 0)
        *yes = TRUE;
    else if (g_ascii_strcasecmp(cell, "no") == 0)
        *yes = FALSE;
    else if (cell[0] != '\0')
        return spl_table_row_fail(row, column, error, "'%s' is neither yes nor no", cell);
    return TRUE;
}

/* A number cell of a figure; NAN when empty. */
static gboolean number_cell(struct spl_table_row *row, const char *column, double min, double max,
                            double *number, GError **error)
{
    return spl_csv_number(row->csv, spl_csv_column(row->csv, column), min, max, number, error);
}

/* The one word that means something in a source: "memory (as lime)", "DAB and memory". */
static gboolean is_from_memory(const char *source)
{
    static const char between[] = " ,;()", memory[] = "memory";

    if (g_str_has_prefix(source, SPL_SOURCE_UNCHECKED_SAID))
        return TRUE;
    for (const char *word = source; (word = strstr(word, memory)) != NULL; word++) {
        const char *end = word + strlen(memory);

        if ((word == source || strchr(between, word[-1]) != NULL) && strchr(between, *end) != NULL)
            return TRUE; /* the end of the text is one of them to strchr */
    }
    return FALSE;
}

gboolean spl_table_row_figure(struct spl_table_row *row, const char *tag, const char *value_column,
                              const char *low_column, const char *high_column, double scale,
                              double min, double max, struct spl_figure *figure, GError **error)
{
    double value = NAN, low = NAN, high = NAN;
    const char *source = "";

    if (!number_cell(row, value_column, min, max, &value, error) ||
        !number_cell(row, low_column, min, max, &low, error) ||
        !number_cell(row, high_column, min, max, &high, error))
        return FALSE;
    if (isnan(value)) {
        if (isnan(low) && isnan(high))
            return TRUE;
        return spl_table_row_fail(row, value_column, error,
                                  "is empty but has a range; give it too");
    }
    if (!isnan(low) && low > value)
        return spl_table_row_fail(row, low_column, error, "%g is above the usual figure %g", low,
                                  value);
    if (!isnan(high) && high < value)
        return spl_table_row_fail(row, high_column, error, "%g is below the usual figure %g", high,
                                  value);
    if (!spl_table_row_tag_or_own(row, tag, value_column, &source, error))
        return FALSE;
    figure->value = value * scale;
    figure->low = (isnan(low) ? value : low) * scale;
    figure->high = (isnan(high) ? value : high) * scale;
    figure->source = source;
    figure->from_memory = is_from_memory(source);
    return TRUE;
}

gboolean spl_table_row_days(struct spl_table_row *row, const char *column, const char *tag, int max,
                            int *days, GError **error)
{
    const char *source = NULL;

    if (!spl_csv_count(row->csv, spl_csv_column(row->csv, column), 0, max, days, error))
        return FALSE;
    return spl_table_row_cell(row, column)[0] == '\0' ||
           spl_table_row_tag_or_own(row, tag, column, &source, error);
}
