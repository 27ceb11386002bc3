/* SPDX-License-Identifier: MIT
 *
 * Weather that comes as JSON (RFC 8259), as most services give it too: made into a table of cells
 * with headings, which is then read as any other. Two forms are known:
 * - columns, {"daily": {"time": [...], "temperature_2m_max": [...]}, "daily_units": {...}}: an
 *   object of lists of one length, under any name, its units under that name with "_units";
 * - rows, [{"DATE": ..., "TMAX": ...}, ...], alone or under any name.
 * A latitude, longitude and elevation that stand beside it are columns too. Where there are no
 * days, those of hours are made (exchange/weather_hours.h).
 */
#include <jansson.h>
#include <string.h>

#include "exchange/weather_column.h"
#include "exchange/weather_hours.h"
#include "exchange/weather_private.h"
#include "simpling/error.h"

#define MOST_BYTES (32 * 1024 * 1024) /* it takes many times its size to read */

static void add_cell(GString *table, gboolean first, const char *text)
{
    g_string_append(table, first ? "\"" : ",\"");
    for (const char *c = text; *c != '\0'; c++) {
        if (*c == '"')
            g_string_append_c(table, '"');
        g_string_append_c(table, g_ascii_iscntrl(*c) ? ' ' : *c);
    }
    g_string_append_c(table, '"');
}

/* A number or text; anything else is an empty cell. */
static void add_value(GString *table, gboolean first, const json_t *value)
{
    char number[G_ASCII_DTOSTR_BUF_SIZE];

    if (json_is_string(value))
        add_cell(table, first, json_string_value(value));
    else if (json_is_number(value))
        add_cell(table, first,
                 g_ascii_formatd(number, sizeof number, "%.10g", json_number_value(value)));
    else
        add_cell(table, first, "");
}

/* What stands beside the table and holds for all its rows. */
static const char *const beside[] = {"latitude", "longitude", "elevation"};

static void add_beside(GString *table, const json_t *root, gboolean heading)
{
    for (gsize i = 0; i < G_N_ELEMENTS(beside); i++) {
        const json_t *value = json_object_get(root, beside[i]);

        if (!json_is_number(value))
            continue;
        if (heading)
            add_cell(table, FALSE, beside[i]);
        else
            add_value(table, FALSE, value);
    }
    g_string_append_c(table, '\n');
}

/* An object of lists; NULL: it is none, or their lengths differ. */
static GString *from_columns(json_t *root, const char *name, json_t *columns)
{
    g_autofree char *units_name = g_strconcat(name, "_units", NULL);
    const json_t *units = json_object_get(root, units_name);
    GString *table;
    const char *key;
    json_t *list;
    gsize rows = 0;
    gboolean first = TRUE;

    json_object_foreach(columns, key, list)
    {
        if (!json_is_array(list) || (rows > 0 && json_array_size(list) != rows))
            return NULL;
        rows = json_array_size(list);
    }
    table = g_string_new(NULL);
    json_object_foreach(columns, key, list)
    {
        const char *unit = json_string_value(json_object_get(units, key));
        /* Degrees are said; "iso8601" would be no unit of ours. */
        g_autofree char *heading = unit != NULL && g_str_has_prefix(unit, "\u00b0")
                                       ? g_strdup_printf("%s (%s)", key, unit)
                                       : g_strdup(key);

        add_cell(table, first, heading);
        first = FALSE;
    }
    add_beside(table, root, TRUE);
    for (gsize row = 0; row < rows; row++) {
        first = TRUE;
        json_object_foreach(columns, key, list)
        {
            add_value(table, first, json_array_get(list, row));
            first = FALSE;
        }
        add_beside(table, root, FALSE);
    }
    return table;
}

static int by_name(gconstpointer a, gconstpointer b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* A list of objects: the columns are their names in order, since a row may lack some. NULL: it is
 * none. */
static GString *from_rows(json_t *root, json_t *rows)
{
    g_autoptr(GHashTable) known = g_hash_table_new(g_str_hash, g_str_equal);
    g_autoptr(GPtrArray) names = g_ptr_array_new();
    GString *table;
    json_t *row, *value;
    const char *key;
    gsize at;

    json_array_foreach(rows, at, row)
    {
        if (!json_is_object(row))
            return NULL;
        json_object_foreach(row, key, value)
        {
            if (g_hash_table_add(known, (char *)key))
                g_ptr_array_add(names, (char *)key);
        }
    }
    if (names->len == 0 || names->len > SPL_WEATHER_MOST_NAMES)
        return NULL;
    g_ptr_array_sort(names, by_name);
    table = g_string_new(NULL);
    for (guint i = 0; i < names->len; i++)
        add_cell(table, i == 0, g_ptr_array_index(names, i));
    add_beside(table, root, TRUE);
    json_array_foreach(rows, at, row)
    {
        for (guint i = 0; i < names->len; i++)
            add_value(table, i == 0, json_object_get(row, g_ptr_array_index(names, i)));
        add_beside(table, root, FALSE);
    }
    return table;
}

static GString *table_of(json_t *root, const char *name, json_t *part)
{
    GString *table = json_is_object(part)  ? from_columns(root, name, part)
                     : json_is_array(part) ? from_rows(root, part)
                                           : NULL;

    if (table == NULL || spl_weather_is_heading(table->str, strcspn(table->str, "\n")))
        return table;
    g_string_free(table, TRUE);
    return NULL;
}

gboolean spl_weather_is_json(const char *text, gsize size)
{
    gsize at = 0;

    while (at < size && g_ascii_isspace(text[at]))
        at++;
    return at < size && (text[at] == '{' || text[at] == '[');
}

char *spl_weather_json_table(const char *text, gsize size, const char *path, gsize *table_size,
                             GError **error)
{
    g_autofree char *name = g_path_get_basename(path);
    json_error_t why;
    json_t *root, *part;
    GString *table;
    const char *key;

    if (size > MOST_BYTES) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                    "%s: is larger than 32 MB, too large for JSON; ask for fewer years, or for CSV",
                    name);
        return NULL;
    }
    root = json_loadb(text, size, JSON_REJECT_DUPLICATES, &why);
    if (root == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s:%d: this is no JSON: %s", name,
                    why.line, why.text);
        return NULL;
    }
    table = table_of(root, "", root);
    json_object_foreach(root, key, part)
    {
        if (table == NULL)
            table = table_of(root, key, part);
    }
    if (table == NULL)
        table = spl_weather_hours_table(root);
    json_decref(root);
    if (table == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: found no days with minima and maxima in this JSON, nor hours with "
                    "temperatures; ask the service for daily values, or for CSV",
                    name);
        return NULL;
    }
    *table_size = table->len;
    return g_string_free(table, FALSE);
}
