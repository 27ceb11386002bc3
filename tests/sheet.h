/* SPDX-License-Identifier: MIT
 *
 * Expected values from tests/data: a CSV file with a heading line, cells by heading. Cells may be
 * quoted; a quoted cell holds no line break.
 */
#ifndef SPL_TESTS_SHEET_H
#define SPL_TESTS_SHEET_H

#include "expect.h"

typedef struct spl_sheet {
    GPtrArray *rows; /* of char **, the heading first */
} spl_sheet;

static inline char **sheet_split(const char *line)
{
    GPtrArray *cells = g_ptr_array_new();
    GString *cell = g_string_new(NULL);
    gboolean quoted = FALSE;

    for (const char *c = line;; c++) {
        if (*c == '\0' || (*c == ',' && !quoted)) {
            g_ptr_array_add(cells, g_strdup(cell->str));
            g_string_truncate(cell, 0);
            if (*c == '\0')
                break;
        } else if (*c == '"') {
            quoted = !quoted;
        } else if (*c != '\r') {
            g_string_append_c(cell, *c);
        }
    }
    g_string_free(cell, TRUE);
    g_ptr_array_add(cells, NULL);
    return (char **)g_ptr_array_free(cells, FALSE);
}

static inline void sheet_row_free(gpointer row)
{
    g_strfreev(row);
}

static inline void sheet_free(spl_sheet *sheet)
{
    g_ptr_array_unref(sheet->rows);
    g_free(sheet);
}
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_sheet, sheet_free)

/* NULL if the file is not there. */
static inline spl_sheet *sheet_open_path(const char *path)
{
    g_autofree char *text = NULL;
    g_auto(GStrv) lines = NULL;
    spl_sheet *sheet;

    if (!g_file_get_contents(path, &text, NULL, NULL))
        return NULL;
    lines = g_strsplit(text, "\n", -1);
    sheet = g_new0(struct spl_sheet, 1);
    sheet->rows = g_ptr_array_new_with_free_func(sheet_row_free);
    for (char **line = lines; *line != NULL; line++) {
        if (**line != '\0')
            g_ptr_array_add(sheet->rows, sheet_split(*line));
    }
    return sheet;
}

/* tests/data/NAME; fails the test if it is not there or holds nothing. */
static inline spl_sheet *sheet_open(const char *name)
{
    g_autofree char *path = g_build_filename(SPL_SOURCE_DIR, "tests", "data", name, NULL);
    spl_sheet *sheet = sheet_open_path(path);

    if (sheet == NULL || sheet->rows->len < 2)
        fail_msg("%s has no rows", path);
    return sheet;
}

/* Rows below the heading. */
static inline guint sheet_rows(const spl_sheet *sheet)
{
    return sheet->rows->len - 1;
}

/* The cell of a row (0: the first below the heading); fails the test if there is no such column. */
static inline const char *sheet_text(const spl_sheet *sheet, guint row, const char *column)
{
    char **heading = g_ptr_array_index(sheet->rows, 0);
    char **cells = g_ptr_array_index(sheet->rows, row + 1);

    for (guint i = 0; heading[i] != NULL; i++) {
        if (strcmp(heading[i], column) != 0)
            continue;
        if (i >= g_strv_length(cells))
            fail_msg("row %u has no column %s", row + 1, column);
        return cells[i];
    }
    fail_msg("no column %s", column);
    return "";
}

/* The same as a number, NAN for an empty cell. */
static inline double sheet_number(const spl_sheet *sheet, guint row, const char *column)
{
    const char *text = sheet_text(sheet, row, column);

    return *text == '\0' ? NAN : g_ascii_strtod(text, NULL);
}

#endif
