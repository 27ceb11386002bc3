/* SPDX-License-Identifier: MIT
 *
 * Expected values for a test: rows of tests/data/NAME.csv. Good for plain cells and for quoted ones
 * without quotes or line breaks inside.
 */
#ifndef SPL_TESTS_ROWS_H
#define SPL_TESTS_ROWS_H

#include <glib.h>

/* The rows after the heading, each a char ** (NULL at its end). Free with g_ptr_array_unref. */
static inline GPtrArray *rows_of(const char *name)
{
    GPtrArray *rows = g_ptr_array_new_with_free_func((GDestroyNotify)g_strfreev);
    g_autofree char *path = g_build_filename(SPL_SOURCE_DIR, "tests", "data", name, NULL);
    g_autofree char *text = NULL;
    g_autoptr(GError) error = NULL;

    if (!g_file_get_contents(path, &text, NULL, &error))
        g_error("%s", error->message);
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);
    for (guint i = 1; lines[i] != NULL; i++) {
        GPtrArray *cells = NULL;
        GString *cell = NULL;
        gboolean quoted = FALSE;

        if (lines[i][0] == '\0')
            continue;
        cells = g_ptr_array_new();
        cell = g_string_new(NULL);
        for (const char *at = lines[i];; at++) {
            if (*at == '"') {
                quoted = !quoted;
            } else if (*at == '\0' || (*at == ',' && !quoted)) {
                g_ptr_array_add(cells, g_string_free(cell, FALSE));
                if (*at == '\0')
                    break;
                cell = g_string_new(NULL);
            } else {
                g_string_append_c(cell, *at);
            }
        }
        g_ptr_array_add(cells, NULL);
        g_ptr_array_add(rows, g_ptr_array_free(cells, FALSE));
    }
    return rows;
}

/* The cell as a number; NAN if empty. */
static inline double number_of(char **row, guint column)
{
    return row[column][0] == '\0' ? (double)NAN : g_ascii_strtod(row[column], NULL);
}

#endif
