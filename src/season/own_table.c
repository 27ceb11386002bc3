/* SPDX-License-Identifier: MIT
 *
 * The person's own rows of the data tables. See simpling/own_table.h.
 */
#include "simpling/own_table.h"

#include <glib/gstdio.h>
#include <string.h>

#include "base/file.h"
#include "exchange/csv.h"
#include "exchange/table_files.h"
#include "season/house_private.h"
#include "simpling/error.h"
#include "simpling/input.h"

#define MOST_BYTES (4 * 1024 * 1024) /* of a file that is edited here */

static const struct table {
    const char *name, *about;
    guint n_keys;
} tables[] = {
    {"plants", "a plant, its kin and its cautions", 1},
    {"materials", "a part of a plant: how it dries, weighs and is picked", 2},
    {"preparations", "a way of making: its liquid, ratio and strength", 1},
    {"makings", "how one material is made into one preparation", 3},
    {"steps", "what is done with a jar, and when", 5},
    {"keeping", "how long it keeps, by a custom", 5},
    {"jars", "a size of jar, and what it holds to the brim", 1},
    {"presses", "a press, and what it leaves in the herb", 1},
    {"menstrua", "a word for a liquid, in your language", 2},
    {"hazards", "a kind of hazard, and how far one keeps from it", 1},
    {"protected", "a plant that is protected in a country", 3},
};

static const struct spl_field line_fields[] = {
    SPL_FIELD(spl_own_line, table, SPL_TEXT, "table", "table"),
    SPL_FIELD(spl_own_line, about, SPL_TEXT, "about", "what a row is"),
    SPL_FIELD(spl_own_line, own, SPL_INT, "own", "your rows"),
    SPL_FIELD(spl_own_line, ours, SPL_INT, "ours", "the program's"),
    SPL_FIELD(spl_own_line, file, SPL_TEXT, "file", "your file"),
};
const struct spl_shape spl_own_line_shape = SPL_SHAPE("own_table", spl_own_line, line_fields);

static const struct table *find_table(const char *name, GError **error)
{
    for (gsize i = 0; i < G_N_ELEMENTS(tables); i++)
        if (strcmp(tables[i].name, name) == 0)
            return &tables[i];
    g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND, "there is no table of this name");
    return NULL;
}

static char *path_in(const char *folder, const struct table *table)
{
    g_autofree char *name = g_strconcat(table->name, ".csv", NULL);

    return g_build_filename(folder, name, NULL);
}

/* Reading ---------------------------------------------------------------------------------------
 */

/* The columns of `csv` that are not among these yet. */
static void add_columns(GPtrArray *columns, const struct spl_csv *csv)
{
    for (int i = 0; i < spl_csv_columns(csv); i++) {
        gboolean known = FALSE;

        for (guint k = 0; k < columns->len && !known; k++)
            known = spl_csv_column(csv, g_ptr_array_index(columns, k)) == i;
        if (!known)
            g_ptr_array_add(columns, g_strdup(spl_csv_header(csv, i)));
    }
}

static gboolean read_rows(struct spl_csv *csv, const struct spl_own_sheet *sheet, GPtrArray *rows,
                          GError **error)
{
    GError *failed = NULL;

    while (spl_csv_next(csv, &failed)) {
        char **cells = g_new0(char *, sheet->n_columns + 1);

        for (guint i = 0; i < sheet->n_columns; i++)
            cells[i] = g_strdup(spl_csv_text(csv, spl_csv_column(csv, sheet->columns[i])));
        g_ptr_array_add(rows, cells);
    }
    if (failed == NULL)
        return TRUE;
    g_propagate_error(error, failed);
    return FALSE;
}

static void free_row(gpointer row)
{
    g_strfreev(row);
}

/* Why rows of this file are left out. */
static void read_wrong(const struct spl_tables *all, const char *file, GPtrArray *wrong)
{
    const GPtrArray *left = spl_tables_left_out(all);
    g_autofree char *before = g_strconcat(file, ":", NULL);

    for (guint i = 0; left != NULL && i < left->len; i++)
        if (g_str_has_prefix(g_ptr_array_index(left, i), before))
            g_ptr_array_add(wrong, g_strdup(g_ptr_array_index(left, i)));
}

static gboolean read_sheet(struct spl_house *house, const struct table *table,
                           struct spl_own_sheet *sheet, GError **error)
{
    g_autofree char *ours = path_in(house->data, table), *name = NULL;
    g_autoptr(spl_csv) csv = spl_csv_open(ours, error), own = NULL;
    g_autoptr(GPtrArray) columns = g_ptr_array_new();
    const struct spl_tables *all = spl_house_tables(house, error);

    if (csv == NULL || all == NULL)
        return FALSE;
    if (g_file_test(sheet->file, G_FILE_TEST_EXISTS)) {
        sheet->stamp = spl_file_checksum(sheet->file, error);
        own = sheet->stamp != NULL ? spl_csv_open(sheet->file, error) : NULL;
        if (own == NULL)
            return FALSE;
    } else {
        sheet->stamp = g_strdup("");
    }
    add_columns(columns, csv);
    if (own != NULL)
        add_columns(columns, own);
    sheet->n_columns = columns->len;
    g_ptr_array_add(columns, NULL);
    sheet->columns = (char **)g_ptr_array_steal(columns, NULL);
    name = g_path_get_basename(sheet->file);
    read_wrong(all, name, sheet->wrong);
    return read_rows(csv, sheet, sheet->ours, error) &&
           (own == NULL || read_rows(own, sheet, sheet->own, error));
}

void spl_own_sheet_clear(struct spl_own_sheet *sheet)
{
    g_free(sheet->table);
    g_free(sheet->file);
    g_strfreev(sheet->columns);
    g_clear_pointer(&sheet->own, g_ptr_array_unref);
    g_clear_pointer(&sheet->ours, g_ptr_array_unref);
    g_clear_pointer(&sheet->wrong, g_ptr_array_unref);
    g_free(sheet->stamp);
    *sheet = (struct spl_own_sheet){.table = NULL};
}

gboolean spl_own_sheet_read(struct spl_house *house, const char *name, struct spl_own_sheet *sheet,
                            GError **error)
{
    const struct table *table = find_table(name, error);
    struct spl_own_sheet made;

    if (table == NULL)
        return FALSE;
    if (house->own_data == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                    "there is no folder for rows of one's own");
        return FALSE;
    }
    made = (struct spl_own_sheet){
        .table = g_strdup(name),
        .file = path_in(house->own_data, table),
        .n_keys = table->n_keys,
        .own = g_ptr_array_new_with_free_func(free_row),
        .ours = g_ptr_array_new_with_free_func(free_row),
        .wrong = g_ptr_array_new_with_free_func(g_free),
    };
    if (read_sheet(house, table, &made, error)) {
        *sheet = made;
        return TRUE;
    }
    spl_own_sheet_clear(&made);
    return FALSE;
}

GArray *spl_own_tables(struct spl_house *house, GError **error)
{
    GArray *lines = spl_list_new(&spl_own_line_shape);

    for (gsize i = 0; i < G_N_ELEMENTS(tables); i++) {
        g_autoptr(GError) unread = NULL;
        struct spl_own_sheet sheet;
        struct spl_own_line line = {.table = g_strdup(tables[i].name),
                                    .about = g_strdup(tables[i].about)};

        if (spl_own_sheet_read(house, tables[i].name, &sheet, &unread)) {
            line.own = (int)sheet.own->len;
            line.ours = (int)sheet.ours->len;
            line.file = g_strdup(sheet.file);
            spl_own_sheet_clear(&sheet);
        } else { /* its own page says why */
            line.own = line.ours = SPL_COUNT_NONE;
            line.file = g_strdup(unread->message);
        }
        g_array_append_val(lines, line);
    }
    (void)error;
    return lines;
}

char **spl_own_row_like(const struct spl_own_sheet *sheet, const GPtrArray *rows,
                        char *const *cells)
{
    for (guint i = 0; i < rows->len; i++) {
        char **row = g_ptr_array_index(rows, i);
        gboolean like = TRUE;

        for (guint k = 0; k < sheet->n_keys && like; k++)
            like = g_ascii_strcasecmp(row[k], cells[k]) == 0;
        if (like)
            return row;
    }
    return NULL;
}

/* Writing ---------------------------------------------------------------------------------------
 */

/* How a file is written that people also open elsewhere. */
struct manner {
    char between;      /* the cells */
    const char *end;   /* of a line */
    gboolean with_bom; /* some spreadsheets take a file for UTF-8 only then */
};

/* As it was; what has no file yet is written as the program's own tables are. */
static struct manner manner_of(const char *path)
{
    struct manner manner = {',', "\n", FALSE};
    gsize size = 0, decoded = 0;
    g_autofree char *raw = spl_file_read(path, MOST_BYTES, &size, NULL), *other = NULL;
    const char *text = raw, *end;

    if (raw == NULL)
        return manner;
    other = spl_csv_decode(raw, size, &decoded);
    if (other != NULL)
        text = other;
    manner.with_bom = other != NULL || g_str_has_prefix(text, "\xEF\xBB\xBF");
    end = strpbrk(text, "\r\n");
    if (end != NULL && g_str_has_prefix(end, "\r\n"))
        manner.end = "\r\n";
    for (const char *at = text; end != NULL && at < end; at++)
        if (strchr(",;\t", *at) != NULL) {
            manner.between = *at;
            break;
        }
    return manner;
}

static void put_cells(GString *text, char *const *cells, guint n, const struct manner *manner)
{
    const char special[] = {manner->between, '"', '\r', '\n', '\0'};

    for (guint i = 0; i < n; i++) {
        if (i > 0)
            g_string_append_c(text, manner->between);
        if (strpbrk(cells[i], special) == NULL && strpbrk(cells[i], ",;\t") == NULL) {
            g_string_append(text, cells[i]);
            continue;
        }
        g_string_append_c(text, '"');
        for (const char *at = cells[i]; *at != '\0'; at++) {
            if (*at == '"')
                g_string_append_c(text, '"');
            g_string_append_c(text, *at);
        }
        g_string_append_c(text, '"');
    }
    g_string_append(text, manner->end);
}

/* The whole file with the row as it is wanted. */
static char *compose(const struct spl_own_sheet *sheet, const struct spl_own_row *row)
{
    struct manner manner = manner_of(sheet->file);
    GString *text = g_string_new(manner.with_bom ? "\xEF\xBB\xBF" : NULL);

    put_cells(text, sheet->columns, sheet->n_columns, &manner);
    for (guint i = 0; i < sheet->own->len; i++) {
        char *const *cells = g_ptr_array_index(sheet->own, i);

        if ((int)i != row->row)
            put_cells(text, cells, sheet->n_columns, &manner);
        else if (!row->take_out)
            put_cells(text, row->cells, sheet->n_columns, &manner);
    }
    if (row->row == SPL_COUNT_NONE)
        put_cells(text, row->cells, sheet->n_columns, &manner);
    return g_string_free(text, FALSE);
}

/* The line of the row that was written, as messages name it; 0: it is none. */
static int line_of(const char *text, const char *file, guint number)
{
    g_autoptr(spl_csv) csv = spl_csv_open_text(text, strlen(text), file, NULL);
    int line = 0;

    for (guint i = 0; csv != NULL && i <= number && spl_csv_next(csv, NULL); i++)
        line = spl_csv_line(csv);
    return line;
}

/* "plants.csv:3: column 'latin': is needed" as the column and the sentence about it. */
static gboolean tell(const char *message, const char *before, GError **error)
{
    static const char mark[] = "column '";
    const char *said = g_str_has_prefix(message, before) ? message + strlen(before) : message;
    const char *end = g_str_has_prefix(said, mark) ? strstr(said + strlen(mark), "': ") : NULL;

    if (end != NULL) {
        g_autofree char *column =
            g_strndup(said + strlen(mark), (gsize)(end - said) - strlen(mark));

        spl_error_set_input(error, SPL_ERROR_INVALID, column, "%s", end + strlen("': "));
    } else {
        g_set_error_literal(error, SPL_ERROR, SPL_ERROR_INVALID, said);
    }
    return FALSE;
}

/* No more rows may be left out than before, and this one least of all. */
static gboolean judge(const struct spl_tables *before, const struct spl_tables *after,
                      const char *prefix, GError **error)
{
    const GPtrArray *now = spl_tables_left_out(after), *was = spl_tables_left_out(before);
    guint n_now = now != NULL ? now->len : 0, n_was = was != NULL ? was->len : 0;

    for (guint i = 0; *prefix != '\0' && i < n_now; i++)
        if (g_str_has_prefix(g_ptr_array_index(now, i), prefix))
            return tell(g_ptr_array_index(now, i), prefix, error);
    return n_now <= n_was || tell(g_ptr_array_index(now, n_now - 1), "", error);
}

/* The person's other tables beside the new one, in a folder of their own. */
static gboolean lay_out(struct spl_house *house, const struct table *table, const char *folder,
                        const char *text, GError **error)
{
    for (gsize i = 0; i < G_N_ELEMENTS(tables); i++) {
        g_autofree char *from = path_in(house->own_data, &tables[i]),
                        *to = path_in(folder, &tables[i]), *kept = NULL;
        gsize size = 0;

        if (&tables[i] == table) {
            if (!spl_file_write_private(to, text, strlen(text), error))
                return FALSE;
            continue;
        }
        kept = spl_file_read(from, MOST_BYTES, &size, NULL); /* what cannot be read is left out */
        if (kept != NULL && !spl_file_write_private(to, kept, size, error))
            return FALSE;
    }
    return TRUE;
}

static void sweep(const char *folder)
{
    for (gsize i = 0; i < G_N_ELEMENTS(tables); i++) {
        g_autofree char *path = path_in(folder, &tables[i]);

        g_unlink(path);
    }
    g_rmdir(folder);
}

/* Reads all tables as they would be with it. */
static gboolean try_out(struct spl_house *house, const struct table *table, const char *text,
                        const char *prefix, GError **error)
{
    g_autofree char *folder = g_dir_make_tmp("simpling-table-XXXXXX", error);
    const struct spl_tables *before = spl_house_tables(house, error);
    g_autoptr(spl_tables) after = NULL;
    gboolean ok;

    if (folder == NULL || before == NULL)
        return FALSE;
    ok = lay_out(house, table, folder, text, error) &&
         (after = spl_tables_load(house->data, folder, error)) != NULL &&
         judge(before, after, prefix, error);
    sweep(folder);
    return ok;
}

static gboolean is_current(const struct spl_own_sheet *sheet, const struct spl_own_row *row,
                           GError **error)
{
    if ((row->stamp == NULL || strcmp(row->stamp, sheet->stamp) == 0) &&
        (row->row == SPL_COUNT_NONE || (row->row >= 0 && row->row < (int)sheet->own->len)) &&
        (row->row != SPL_COUNT_NONE || !row->take_out))
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_CONFLICT,
                "your table was changed meanwhile, here or by another program; look at it again");
    return FALSE;
}

/* A row of which nothing is said would be no row. */
static gboolean says_something(const struct spl_own_sheet *sheet, const struct spl_own_row *row,
                               GError **error)
{
    for (guint i = 0; !row->take_out && i < sheet->n_columns; i++)
        if (*row->cells[i] != '\0')
            return TRUE;
    if (row->take_out)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, sheet->columns[0], "is needed");
    return FALSE;
}

static gboolean write_sheet(struct spl_house *house, const struct table *table,
                            const struct spl_own_sheet *sheet, const struct spl_own_row *row,
                            GError **error)
{
    g_autofree char *text = compose(sheet, row), *file = g_path_get_basename(sheet->file),
                    *prefix = NULL;
    guint number = row->row == SPL_COUNT_NONE ? sheet->own->len : (guint)row->row;
    int line = row->take_out ? 0 : line_of(text, file, number);

    prefix = line > 0 ? g_strdup_printf("%s:%d: ", file, line) : g_strdup("");
    if (!try_out(house, table, text, prefix, error))
        return FALSE;
    if (g_mkdir_with_parents(house->own_data, 0700) != 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "%s cannot be made", house->own_data);
        return FALSE;
    }
    return spl_file_write_private(sheet->file, text, strlen(text), error);
}

gboolean spl_own_row_write(struct spl_house *house, const struct spl_own_row *row, GError **error)
{
    const struct table *table = find_table(row->table, error);
    struct spl_own_sheet sheet;
    gboolean ok;

    if (table == NULL || !spl_own_sheet_read(house, row->table, &sheet, error))
        return FALSE;
    ok = is_current(&sheet, row, error) && says_something(&sheet, row, error) &&
         write_sheet(house, table, &sheet, row, error);
    spl_own_sheet_clear(&sheet);
    return ok;
}
