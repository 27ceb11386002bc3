/* SPDX-License-Identifier: MIT
 *
 * Tables as tables, by SQLite's own description of them. See book/table.h.
 */
#include "book/table.h"

#include <math.h>
#include <string.h>

#include "book/statement_private.h"
#include "simpling/error.h"

static void column_free(gpointer data)
{
    struct spl_table_column *column = data;

    g_free(column->name);
    g_free(column->type);
    g_free(column->references);
    g_free(column);
}

static void table_free(gpointer data)
{
    struct spl_table *table = data;

    g_free(table->name);
    g_ptr_array_unref(table->columns);
    g_free(table);
}

int spl_table_column(const struct spl_table *table, const char *name)
{
    for (guint i = 0; i < table->columns->len; i++) {
        const struct spl_table_column *column = g_ptr_array_index(table->columns, i);

        if (strcmp(column->name, name) == 0)
            return (int)i;
    }
    return -1;
}

static struct spl_table *describe(struct spl_book *book, const char *name, GError **error)
{
    struct spl_table *table = g_new0(struct spl_table, 1);
    g_autoptr(spl_statement) rows = NULL;
    struct spl_table_column column = {0};
    GError *failed = NULL;
    int not_null, key;

    table->name = g_strdup(name);
    table->columns = g_ptr_array_new_with_free_func(column_free);
    rows = spl_statement_open(book, &failed,
                              "SELECT c.name, c.type, c.\"notnull\", c.pk,"
                              " (SELECT f.\"table\" FROM pragma_foreign_key_list(?1) f"
                              "  WHERE f.\"from\" = c.name)"
                              " FROM pragma_table_info(?1) c ORDER BY c.cid",
                              SPL_WITH(name));
    while (rows != NULL && spl_statement_next(rows, &failed,
                                              SPL_INTO(&column.name, &column.type, &not_null, &key,
                                                       &column.references))) {
        column.key = key > 0;
        column.required = not_null != 0 || column.key;
        g_ptr_array_add(table->columns, g_memdup2(&column, sizeof column));
    }
    if (failed != NULL) {
        g_propagate_error(error, failed);
        table_free(table);
        return NULL;
    }
    return table;
}

/* TRUE when every table that this one points to (but itself) is in `placed`. */
static gboolean is_ready(const struct spl_table *table, GHashTable *placed)
{
    for (guint i = 0; i < table->columns->len; i++) {
        const struct spl_table_column *column = g_ptr_array_index(table->columns, i);

        if (column->references != NULL && strcmp(column->references, table->name) != 0 &&
            !g_hash_table_contains(placed, column->references))
            return FALSE;
    }
    return TRUE;
}

GPtrArray *spl_table_list(struct spl_book *book, GError **error)
{
    g_autoptr(GPtrArray) waiting = g_ptr_array_new();
    g_autoptr(GPtrArray) tables = g_ptr_array_new_with_free_func(table_free);
    g_autoptr(GHashTable) placed = g_hash_table_new(g_str_hash, g_str_equal);
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        /* What is this desk's own, addresses and forecasts, and what follows from the facts, is no
         * fact and goes nowhere. */
        "SELECT name FROM pragma_table_list WHERE type = 'table' AND schema = 'main'"
        " AND name NOT LIKE 'sqlite_%' AND name NOT LIKE 'judged_%' AND name NOT IN "
        "('weather_follow', 'weather_forecast', 'live', 'amended')"
        " ORDER BY name",
        SPL_NONE);
    GError *failed = NULL;
    const char *name;

    if (rows == NULL)
        return NULL;
    while (failed == NULL && spl_statement_next(rows, &failed, SPL_INTO(&name))) {
        struct spl_table *table = describe(book, name, &failed);

        if (table != NULL)
            g_ptr_array_add(waiting, table);
    }
    while (waiting->len > 0 && failed == NULL) {
        guint before = waiting->len;

        for (guint i = 0; i < waiting->len; i++) {
            struct spl_table *table = g_ptr_array_index(waiting, i);

            if (!is_ready(table, placed))
                continue;
            g_ptr_array_add(tables, table);
            g_hash_table_add(placed, table->name);
            g_ptr_array_remove_index(waiting, i--);
        }
        if (waiting->len == before)
            g_set_error(
                &failed, SPL_ERROR, SPL_ERROR_INTERNAL,
                "table %s: cannot be carried over, as it hangs on itself; please report this",
                ((struct spl_table *)g_ptr_array_index(waiting, 0))->name);
    }
    if (failed != NULL) {
        for (guint i = 0; i < waiting->len; i++)
            table_free(g_ptr_array_index(waiting, i));
        g_propagate_error(error, failed);
        return NULL;
    }
    return g_steal_pointer(&tables);
}

/* Cells out -------------------------------------------------------------------------------------
 */

static gboolean needs_quotes(const char *text, gboolean required)
{
    gsize length = strlen(text);

    if (length == 0)
        return !required;
    return *text == '\'' || g_ascii_isspace(*text) || g_ascii_isspace(text[length - 1]);
}

static char *cell_of(sqlite3_stmt *row, int i, const struct spl_table_column *column)
{
    char number[G_ASCII_DTOSTR_BUF_SIZE];
    const char *text;

    if (sqlite3_column_type(row, i) == SQLITE_NULL)
        return g_strdup("");
    if (strcmp(column->type, "REAL") == 0)
        return g_strdup(
            g_ascii_formatd(number, sizeof number, "%.17g", spl_statement_real(row, i)));
    if (strcmp(column->type, "BLOB") == 0) {
        GString *hex = g_string_new(NULL);
        const guint8 *bytes = sqlite3_column_blob(row, i);

        for (int j = 0; j < sqlite3_column_bytes(row, i); j++)
            g_string_append_printf(hex, "%02x", bytes[j]);
        return g_string_free(hex, FALSE);
    }
    text = spl_statement_text(row, i);
    if (strcmp(column->type, "TEXT") == 0 && needs_quotes(text, column->required))
        return g_strdup_printf("'%s'", text);
    return g_strdup(text);
}

/* "SELECT a, quote(b) FROM t ORDER BY key": names are the schema's own. */
static char *select_of(const struct spl_table *table)
{
    GString *sql = g_string_new("SELECT ");
    GString *order = g_string_new(NULL);

    for (guint i = 0; i < table->columns->len; i++) {
        const struct spl_table_column *column = g_ptr_array_index(table->columns, i);
        gboolean any = strcmp(column->type, "ANY") == 0;

        g_string_append_printf(sql, "%s%s\"%s\"%s", i > 0 ? ", " : "", any ? "quote(" : "",
                               column->name, any ? ")" : "");
        if (column->key)
            g_string_append_printf(order, "%s\"%s\"", order->len > 0 ? ", " : " ORDER BY ",
                                   column->name);
    }
    g_string_append_printf(sql, " FROM \"%s\"%s", table->name, order->str);
    g_string_free(order, TRUE);
    return g_string_free(sql, FALSE);
}

gboolean spl_table_rows(struct spl_book *book, const struct spl_table *table,
                        gboolean (*each)(const char *const *cells, gpointer data, GError **error),
                        gpointer data, GError **error)
{
    g_autofree char *sql = select_of(table);
    g_autoptr(spl_statement) rows = spl_statement_open(book, error, sql, SPL_NONE);
    GError *failed = NULL;
    gboolean more = TRUE;

    if (rows == NULL)
        return FALSE;
    while (more && failed == NULL && spl_statement_row(rows, &failed)) {
        g_autoptr(GPtrArray) cells = g_ptr_array_new_with_free_func(g_free);

        for (guint i = 0; i < table->columns->len; i++)
            g_ptr_array_add(cells, cell_of(spl_statement_handle(rows), (int)i,
                                           g_ptr_array_index(table->columns, i)));
        g_ptr_array_add(cells, NULL);
        more = each((const char *const *)cells->pdata, data, &failed);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

/* Cells in --------------------------------------------------------------------------------------
 */

static gboolean bad_cell(const struct spl_table *table, const struct spl_table_column *column,
                         const char *cell, GError **error)
{
    g_autofree char *shown = g_utf8_make_valid(cell, (gssize)strnlen(cell, 40));

    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                "%s: column %s: '%s' is not of type %s; export the book again", table->name,
                column->name, shown, column->type);
    return FALSE;
}

static GBytes *bytes_of(const char *hex)
{
    gsize size = strlen(hex) / 2;
    guint8 *bytes = g_malloc(size + 1);

    for (gsize i = 0; i < size; i++)
        bytes[i] =
            (guint8)(g_ascii_xdigit_value(hex[2 * i]) << 4 | g_ascii_xdigit_value(hex[2 * i + 1]));
    return g_bytes_new_take(bytes, size);
}

static gboolean is_hex(const char *text)
{
    return strlen(text) % 2 == 0 && strspn(text, "0123456789abcdefABCDEF") == strlen(text);
}

static gboolean bind_any(sqlite3_stmt *stmt, int i, const char *cell)
{
    gsize length = strlen(cell);
    char *end;

    if (strcmp(cell, "NULL") == 0)
        return sqlite3_bind_null(stmt, i) == SQLITE_OK;
    if (length >= 2 && *cell == '\'' && cell[length - 1] == '\'') {
        g_autofree char *inner = g_strndup(cell + 1, length - 2);
        g_auto(GStrv) parts = g_strsplit(inner, "''", -1);
        g_autofree char *text = g_strjoinv("'", parts);

        return sqlite3_bind_text(stmt, i, text, -1, SQLITE_TRANSIENT) == SQLITE_OK;
    }
    if (length >= 3 && g_ascii_toupper(*cell) == 'X' && cell[1] == '\'') {
        g_autofree char *hex = g_strndup(cell + 2, length - 3);
        g_autoptr(GBytes) bytes = is_hex(hex) ? bytes_of(hex) : NULL;

        return bytes != NULL &&
               sqlite3_bind_blob64(stmt, i, g_bytes_get_data(bytes, NULL), g_bytes_get_size(bytes),
                                   SQLITE_TRANSIENT) == SQLITE_OK;
    }
    if (strspn(cell, "-0123456789") == length && length < 20)
        return sqlite3_bind_int64(stmt, i, g_ascii_strtoll(cell, NULL, 10)) == SQLITE_OK;
    return sqlite3_bind_double(stmt, i, g_ascii_strtod(cell, &end)) == SQLITE_OK && *end == '\0' &&
           end != cell;
}

static gboolean bind_cell(sqlite3_stmt *stmt, int i, const struct spl_table *table,
                          const struct spl_table_column *column, const char *cell, GError **error)
{
    gsize length = strlen(cell);
    char *end = NULL;

    if (length == 0 && !(column->required && strcmp(column->type, "TEXT") == 0)) {
        sqlite3_bind_null(stmt, i);
        return TRUE;
    }
    if (strcmp(column->type, "TEXT") == 0) {
        if (length >= 2 && *cell == '\'' && cell[length - 1] == '\'')
            sqlite3_bind_text(stmt, i, cell + 1, (int)length - 2, SQLITE_TRANSIENT);
        else
            sqlite3_bind_text(stmt, i, cell, (int)length, SQLITE_TRANSIENT);
        return TRUE;
    }
    if (strcmp(column->type, "INTEGER") == 0) {
        sqlite3_bind_int64(stmt, i, g_ascii_strtoll(cell, &end, 10));
        return *end == '\0' || bad_cell(table, column, cell, error);
    }
    if (strcmp(column->type, "REAL") == 0) {
        double number = g_ascii_strtod(cell, &end);

        sqlite3_bind_double(stmt, i, number);
        return (*end == '\0' && isfinite(number)) || bad_cell(table, column, cell, error);
    }
    if (strcmp(column->type, "BLOB") == 0) {
        g_autoptr(GBytes) bytes = is_hex(cell) ? bytes_of(cell) : NULL;

        return (bytes != NULL &&
                sqlite3_bind_blob64(stmt, i, g_bytes_get_data(bytes, NULL), g_bytes_get_size(bytes),
                                    SQLITE_TRANSIENT) == SQLITE_OK) ||
               bad_cell(table, column, cell, error);
    }
    return bind_any(stmt, i, cell) || bad_cell(table, column, cell, error);
}

char *spl_table_find_sql(const struct spl_table *table, const char *verb)
{
    GString *sql = g_string_new(verb);
    int n = 0;

    g_string_append_printf(sql, " FROM \"%s\"", table->name);
    for (guint i = 0; i < table->columns->len; i++) {
        const struct spl_table_column *column = g_ptr_array_index(table->columns, i);

        if (column->key)
            g_string_append_printf(sql, "%s \"%s\" = ?", n++ > 0 ? " AND" : " WHERE", column->name);
    }
    /* A table without a key names no row. */
    if (n == 0)
        g_string_append(sql, " WHERE FALSE");
    return g_string_free(sql, FALSE);
}

gboolean spl_table_bind_key(sqlite3_stmt *stmt, const struct spl_table *table, char *const *cells,
                            GError **error)
{
    int n = 0;

    for (guint i = 0; i < table->columns->len; i++) {
        const struct spl_table_column *column = g_ptr_array_index(table->columns, i);

        if (column->key && !bind_cell(stmt, ++n, table, column, cells[i], error))
            return FALSE;
    }
    return TRUE;
}

static char *insert_of(const struct spl_table *table, gboolean forgiving)
{
    GString *names = g_string_new(NULL), *marks = g_string_new(NULL);
    char *sql;

    for (guint i = 0; i < table->columns->len; i++) {
        const struct spl_table_column *column = g_ptr_array_index(table->columns, i);

        g_string_append_printf(names, "%s\"%s\"", i > 0 ? ", " : "", column->name);
        g_string_append(marks, i > 0 ? ", ?" : "?");
    }
    sql = g_strdup_printf("INSERT INTO \"%s\" (%s) VALUES (%s)%s", table->name, names->str,
                          marks->str, forgiving ? " ON CONFLICT DO NOTHING" : "");
    g_string_free(names, TRUE);
    g_string_free(marks, TRUE);
    return sql;
}

gboolean spl_table_insert(struct spl_book *book, const struct spl_table *table,
                          const char *const *cells, gboolean *clash, GError **error)
{
    g_autofree char *sql = insert_of(table, clash != NULL);
    g_autoptr(spl_statement) statement = spl_statement_open(book, error, sql, SPL_NONE);
    GError *failed = NULL;
    gboolean ok = statement != NULL;

    for (guint i = 0; ok && i < table->columns->len; i++)
        ok = bind_cell(spl_statement_handle(statement), (int)i + 1, table,
                       g_ptr_array_index(table->columns, i), cells[i], error);
    if (!ok)
        return FALSE;
    (void)spl_statement_row(statement, &failed);
    if (failed != NULL) {
        g_prefix_error(&failed, "%s: ", table->name);
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (clash != NULL)
        *clash = spl_book_changes(book) == 0;
    return TRUE;
}
