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
    row->tags = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    row->used = g_hash_table_new(g_str_hash, g_str_equal);
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
    return spl_csv_column_required(csv, "source", &row->source, error);
}

void spl_table_row_clear(struct spl_table_row *row)
{
    g_clear_pointer(&row->tags, g_hash_table_unref);
    g_clear_pointer(&row->used, g_hash_table_unref);
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

/* One "trim, piece=memory". */
static gboolean read_tag(struct spl_table_row *row, const char *piece, GError **error)
{
    const char *equals = strchr(piece, '=');

    if (equals == NULL || equals == piece)
        return spl_table_row_fail(row, "source", error,
                                  "'%s' names no figure; write figure=source, as in "
                                  "'moisture=USDA 11207; trim=memory'",
                                  piece);
    g_autofree char *source = g_strstrip(g_strdup(equals + 1));
    if (source[0] == '\0')
        return spl_table_row_fail(row, "source", error, "'%s' gives no source", piece);
    g_autofree char *keys = g_strndup(piece, (gsize)(equals - piece));
    g_auto(GStrv) names = g_strsplit(keys, ",", -1);
    for (gsize i = 0; names[i] != NULL; i++) {
        const char *name = g_strstrip(names[i]);
        if (g_hash_table_contains(row->tags, name))
            return spl_table_row_fail(row, "source", error, "names '%s' twice", name);
        g_hash_table_insert(row->tags, g_strdup(name), g_strdup(source));
    }
    return TRUE;
}

gboolean spl_table_row_next(struct spl_table_row *row, GError **error)
{
    if (!spl_csv_next(row->csv, error))
        return FALSE;
    g_hash_table_remove_all(row->used);
    g_hash_table_remove_all(row->tags);
    g_auto(GStrv) pieces = g_strsplit(spl_csv_text(row->csv, row->source), ";", -1);
    for (gsize i = 0; pieces[i] != NULL; i++) {
        g_strstrip(pieces[i]);
        if (pieces[i][0] != '\0' && !read_tag(row, pieces[i], error))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_table_row_end(struct spl_table_row *row, GError **error)
{
    GHashTableIter iter;
    gpointer tag;

    g_hash_table_iter_init(&iter, row->tags);
    while (g_hash_table_iter_next(&iter, &tag, NULL))
        if (!g_hash_table_contains(row->used, tag))
            return spl_table_row_fail(row, "source", error,
                                      "'%s' is no figure that this row gives; correct the name or "
                                      "take it out",
                                      (const char *)tag);
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

gboolean spl_table_row_tag(struct spl_table_row *row, const char *tag, const char *column,
                           const char **source, GError **error)
{
    *source = g_hash_table_lookup(row->tags, tag);
    if (*source == NULL)
        return spl_table_row_fail(row, column, error,
                                  "has no source; add '%s=…' to the column 'source' (a book, a "
                                  "page, your own weighing, or 'memory')",
                                  tag);
    g_hash_table_add(row->used, (gpointer)tag);
    return TRUE;
}

gboolean spl_table_row_told(struct spl_table_row *row, const char *column, const char *tag,
                            const char **text, GError **error)
{
    const char *cell = spl_table_row_cell(row, column);
    const char *source = NULL;

    spl_table_row_text(row, column, text);
    return cell[0] == '\0' || spl_table_row_tag(row, tag, column, &source, error);
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

gboolean spl_table_row_figure(struct spl_table_row *row, const char *tag, const char *stem,
                              const char *unit, double scale, double min, double max,
                              struct spl_figure *figure, GError **error)
{
    g_autofree char *value_column = g_strconcat(stem, unit, NULL);
    g_autofree char *low_column = g_strconcat(stem, "_low", unit, NULL);
    g_autofree char *high_column = g_strconcat(stem, "_high", unit, NULL);
    double value = NAN, low = NAN, high = NAN;
    const char *source = NULL;

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
    if (!spl_table_row_tag(row, tag, value_column, &source, error))
        return FALSE;
    figure->value = value * scale;
    figure->low = (isnan(low) ? value : low) * scale;
    figure->high = (isnan(high) ? value : high) * scale;
    figure->source = source;
    return TRUE;
}

gboolean spl_table_row_days(struct spl_table_row *row, const char *column, const char *tag, int max,
                            int *days, GError **error)
{
    const char *source = NULL;

    if (!spl_csv_count(row->csv, spl_csv_column(row->csv, column), 0, max, days, error))
        return FALSE;
    return spl_table_row_cell(row, column)[0] == '\0' ||
           spl_table_row_tag(row, tag, column, &source, error);
}
