/* SPDX-License-Identifier: MIT
 *
 * The schema made again, stray rows put aside. See book/mend.h.
 */
#include "book/mend.h"

#include <string.h>

#include "book/derive.h"
#include "book/look.h"
#include "book/schema.h"
#include "book/statement.h"
#include "simpling/error.h"

#define OLD "mended_" /* before a table's name while its rows go over */

gboolean spl_mend_begin(struct spl_book *book, GError **error)
{
    /* Other tables and views go on naming a table that is renamed. */
    return spl_book_script(book, "PRAGMA foreign_keys = OFF; PRAGMA legacy_alter_table = ON",
                           error);
}

gboolean spl_mend_end(struct spl_book *book, GError **error)
{
    return spl_book_script(book, "PRAGMA foreign_keys = ON; PRAGMA legacy_alter_table = OFF",
                           error);
}

gboolean spl_book_needs_mending(struct spl_book *book, gboolean *needs, GError **error)
{
    g_autoptr(GPtrArray) faults = spl_schema_faults(book, spl_book_schema(), error);
    struct spl_look look = {0};

    if (faults == NULL)
        return FALSE;
    *needs = faults->len > 0;
    if (*needs)
        return TRUE;
    if (!spl_look_at_rows(book, SPL_STAMP_MAX, FALSE, &look, error))
        return FALSE;
    for (guint i = 0; i < look.strays->len; i++)
        *needs = *needs || ((struct spl_stray *)g_ptr_array_index(look.strays, i))->alone;
    spl_look_clear(&look);
    return TRUE;
}

/* ---- rows aside ---- */

static gboolean is_printable(const char *text)
{
    for (const char *p = text; *p != '\0'; p++) {
        if ((guchar)*p < 0x20 || *p == 0x7f)
            return FALSE;
    }
    return g_utf8_validate(text, -1, NULL);
}

/* A value as SQL; what a terminal or a reader of text could trip over, as its octets. */
static void append_literal(GString *aside, sqlite3_value *value)
{
    const char *text;
    const guint8 *bytes;
    int size;

    switch (sqlite3_value_type(value)) {
    case SQLITE_INTEGER:
    case SQLITE_FLOAT:
        g_string_append(aside, (const char *)sqlite3_value_text(value));
        return;
    case SQLITE_NULL:
        g_string_append(aside, "NULL");
        return;
    case SQLITE_TEXT:
        text = (const char *)sqlite3_value_text(value);
        size = sqlite3_value_bytes(value);
        if (text != NULL && (int)strlen(text) == size && is_printable(text)) {
            char *quoted = sqlite3_mprintf("%Q", text);

            g_string_append(aside, quoted);
            sqlite3_free(quoted);
            return;
        }
        g_string_append(aside, "CAST(");
        break;
    default:
        break;
    }
    bytes = sqlite3_value_blob(value);
    size = sqlite3_value_bytes(value);
    g_string_append(aside, "X'");
    for (int i = 0; i < size; i++)
        g_string_append_printf(aside, "%02x", bytes[i]);
    g_string_append(aside, "'");
    if (sqlite3_value_type(value) == SQLITE_TEXT)
        g_string_append(aside, " AS TEXT)");
}

/* The row that a statement stands on, with the reason before it. */
static void append_row(GString *aside, const char *table, const char *reason, sqlite3_stmt *row)
{
    g_autofree char *one_line = g_strdelimit(g_strdup(reason), "\n\r", ' ');

    g_string_append_printf(aside, "-- %s\nINSERT INTO \"%s\" (", one_line, table);
    for (int i = 0; i < sqlite3_column_count(row); i++)
        g_string_append_printf(aside, "%s\"%s\"", i > 0 ? ", " : "", sqlite3_column_name(row, i));
    g_string_append(aside, ") VALUES (");
    for (int i = 0; i < sqlite3_column_count(row); i++) {
        g_string_append(aside, i > 0 ? ", " : "");
        append_literal(aside, sqlite3_column_value(row, i));
    }
    g_string_append(aside, ");\n");
}

static void add_mending(GArray *mendings, char *thing, const char *was, char *done)
{
    spl_mending_add(mendings, thing, g_strdup(was), done, NULL);
}

static gboolean put_aside(struct spl_book *book, const struct spl_stray *stray,
                          const struct spl_table *table, GString *aside, GError **error)
{
    g_autofree char *read = spl_table_find_sql(table, "SELECT *");
    g_autofree char *drop = spl_table_find_sql(table, "DELETE");
    g_autoptr(spl_statement) row = spl_statement_open(book, error, read, SPL_NONE);
    g_autoptr(spl_statement) gone = spl_statement_open(book, error, drop, SPL_NONE);
    GError *failed = NULL;

    if (row == NULL || gone == NULL ||
        !spl_table_bind_key(spl_statement_handle(row), table, stray->cells, error) ||
        !spl_table_bind_key(spl_statement_handle(gone), table, stray->cells, error))
        return FALSE;
    if (spl_statement_row(row, &failed))
        append_row(aside, table->name, stray->reason, spl_statement_handle(row));
    if (failed == NULL) {
        g_clear_pointer(&row, spl_statement_done);
        (void)spl_statement_row(gone, &failed);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

static gboolean mend_rows(struct spl_book *book, const char *file, GString *aside, GArray *mendings,
                          GError **error)
{
    g_autoptr(GPtrArray) tables = spl_table_list(book, error);
    struct spl_look look = {0};
    gboolean ok = tables != NULL;

    if (!ok || !spl_look_at_rows(book, SPL_STAMP_MAX, FALSE, &look, error))
        return FALSE;
    for (guint i = 0; ok && i < look.strays->len; i++) {
        const struct spl_stray *stray = g_ptr_array_index(look.strays, i);

        for (guint k = 0; ok && stray->alone && k < tables->len; k++) {
            const struct spl_table *table = g_ptr_array_index(tables, k);

            if (strcmp(table->name, stray->table) != 0)
                continue;
            ok = put_aside(book, stray, table, aside, error);
            if (ok)
                add_mending(mendings, g_strdup(stray->what), stray->reason,
                            g_strdup_printf("put aside in %s", file));
        }
    }
    spl_look_clear(&look);
    return ok;
}

/* ---- tables ---- */

/* `format` has one %w, in quotes, for the name. */
static gboolean run(struct spl_book *book, GError **error, const char *format, const char *name)
{
    char *sql = sqlite3_mprintf(format, name);
    gboolean ok = spl_book_script(book, sql, error);

    sqlite3_free(sql);
    return ok;
}

/* Columns that both have, by name: "a", "b". NULL with an error, empty when there are none. */
static char *shared_columns(struct spl_book *book, const char *table, GError **error)
{
    g_autofree char *old = g_strconcat(OLD, table, NULL);
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT name FROM pragma_table_info(?1) WHERE name IN (SELECT name FROM"
                           " pragma_table_info(?2)) ORDER BY cid",
                           SPL_WITH(table, old));
    g_autoptr(GString) names = g_string_new(NULL);
    GError *failed = NULL;
    const char *name;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&name)))
        g_string_append_printf(names, "%s\"%s\"", names->len > 0 ? ", " : "", name);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL ? g_strdup(names->str) : NULL;
}

/*
 * Rows from the old table to the new; one that it refuses is put aside with SQLite's reason. A
 * refused row must not doom the transaction, so this asks SQLite itself.
 */
static gboolean carry_rows(struct spl_book *book, const char *table, GString *aside, guint *n_aside,
                           GError **error)
{
    sqlite3 *db = spl_book_handle(book);
    g_autofree char *names = shared_columns(book, table, error);
    g_autofree char *read = g_strdup_printf("SELECT %s FROM \"" OLD "%s\"", names, table);
    g_autoptr(GString) write = g_string_new(NULL);
    sqlite3_stmt *from = NULL, *to = NULL;
    int code;

    if (names == NULL)
        return FALSE;
    if (*names == '\0')
        return TRUE;
    g_string_printf(write, "INSERT INTO \"%s\" (%s) VALUES (", table, names);
    code = sqlite3_prepare_v2(db, read, -1, &from, NULL);
    for (int i = 0; code == SQLITE_OK && i < sqlite3_column_count(from); i++)
        g_string_append(write, i > 0 ? ", ?" : "?");
    g_string_append(write, ")");
    if (code == SQLITE_OK)
        code = sqlite3_prepare_v2(db, write->str, -1, &to, NULL);
    while (code == SQLITE_OK && (code = sqlite3_step(from)) == SQLITE_ROW) {
        for (int i = 0; i < sqlite3_column_count(from); i++)
            sqlite3_bind_value(to, i + 1, sqlite3_column_value(from, i));
        code = sqlite3_step(to);
        if ((code & 0xff) == SQLITE_CONSTRAINT) {
            append_row(aside, table, sqlite3_errmsg(db), from);
            ++*n_aside;
        }
        code = code == SQLITE_DONE || (code & 0xff) == SQLITE_CONSTRAINT ? SQLITE_OK : code;
        sqlite3_reset(to);
    }
    if (code != SQLITE_OK && code != SQLITE_DONE)
        spl_book_set_error(book, code, error);
    sqlite3_finalize(from);
    sqlite3_finalize(to);
    return code == SQLITE_OK || code == SQLITE_DONE;
}

/* A table made anew from its model, with its rows. */
static gboolean remake_table(struct spl_book *book, const struct spl_schema_fault *fault,
                             const char *file, GString *aside, char **done, GError **error)
{
    g_autofree char *rename =
        g_strdup_printf("ALTER TABLE \"%s\" RENAME TO \"" OLD "%s\"", fault->name, fault->name);
    g_autofree char *drop = g_strdup_printf("DROP TABLE \"" OLD "%s\"", fault->name);
    guint n_aside = 0;

    if (fault->missing) {
        *done = g_strdup("made again, without rows");
        return spl_book_script(book, fault->model, error);
    }
    if (!spl_book_script(book, rename, error) || !spl_book_script(book, fault->model, error) ||
        !carry_rows(book, fault->name, aside, &n_aside, error) ||
        !spl_book_script(book, drop, error))
        return FALSE;
    *done = n_aside > 0 ? g_strdup_printf("made again; %u rows that do not fit put aside in %s",
                                          n_aside, file)
                        : g_strdup("made again with its rows");
    return TRUE;
}

/* A table that is no part of a book goes, its rows aside. */
static gboolean remove_table(struct spl_book *book, const char *name, GString *aside,
                             GError **error)
{
    char *read = sqlite3_mprintf("SELECT * FROM \"%w\"", name);
    sqlite3_stmt *rows = NULL;
    int code = sqlite3_prepare_v2(spl_book_handle(book), read, -1, &rows, NULL);

    sqlite3_free(read);
    while (code == SQLITE_OK && sqlite3_step(rows) == SQLITE_ROW)
        append_row(aside, name, "was in a table that is no part of a book", rows);
    sqlite3_finalize(rows);
    return run(book, error, "DROP TABLE \"%w\"", name);
}

static gboolean is_type(const struct spl_schema_fault *fault, const char *type)
{
    return strcmp(fault->type, type) == 0;
}

/* SQLite makes and drops these with their table. */
static gboolean is_of_a_table(const struct spl_schema_fault *fault)
{
    return g_str_has_prefix(fault->name, "sqlite_") ||
           (fault->model != NULL && *fault->model == '\0');
}

/* What runs by itself, or stands in the way of the tables, goes first. */
static gboolean clear_the_way(struct spl_book *book, const GPtrArray *faults, GError **error)
{
    for (guint i = 0; i < faults->len; i++) {
        const struct spl_schema_fault *fault = g_ptr_array_index(faults, i);
        gboolean ok = TRUE;

        if (fault->missing || is_of_a_table(fault))
            continue;
        if (is_type(fault, "trigger"))
            ok = run(book, error, "DROP TRIGGER \"%w\"", fault->name);
        else if (is_type(fault, "view"))
            ok = run(book, error, "DROP VIEW \"%w\"", fault->name);
        else if (is_type(fault, "index"))
            ok = run(book, error, "DROP INDEX \"%w\"", fault->name);
        if (!ok)
            return FALSE;
    }
    return TRUE;
}

static gboolean mend_tables(struct spl_book *book, const GPtrArray *faults, const char *file,
                            GString *aside, GArray *mendings, GError **error)
{
    for (guint i = 0; i < faults->len; i++) {
        const struct spl_schema_fault *fault = g_ptr_array_index(faults, i);
        g_autofree char *words = spl_schema_fault_words(fault), *done = NULL;
        char *colon = strstr(words, ": ");
        gboolean ok = TRUE;

        if (is_of_a_table(fault))
            continue;
        if (is_type(fault, "table"))
            ok = fault->model != NULL ? remake_table(book, fault, file, aside, &done, error)
                                      : remove_table(book, fault->name, aside, error);
        if (!ok)
            return FALSE;
        if (done == NULL)
            done = g_strdup(fault->model != NULL ? "made again" : "taken out");
        *colon = '\0';
        add_mending(mendings, g_strdup(words), colon + 2, g_steal_pointer(&done));
    }
    return TRUE;
}

/* Views, and the indexes of tables made anew. */
static gboolean make_the_rest(struct spl_book *book, GError **error)
{
    g_autoptr(GPtrArray) faults = spl_schema_faults(book, spl_book_schema(), error);

    for (guint i = 0; faults != NULL && i < faults->len; i++) {
        const struct spl_schema_fault *fault = g_ptr_array_index(faults, i);

        if (fault->missing && !is_of_a_table(fault) && !is_type(fault, "table") &&
            !spl_book_script(book, fault->model, error))
            return FALSE;
    }
    return faults != NULL && spl_schema_is_ours(book, spl_book_schema(), error);
}

gboolean spl_book_mend(struct spl_book *book, const char *file, GString *aside, GArray *mendings,
                       GError **error)
{
    g_autoptr(GPtrArray) faults = spl_schema_faults(book, spl_book_schema(), error);

    if (faults == NULL)
        return FALSE;
    if (faults->len > 0 &&
        (!clear_the_way(book, faults, error) ||
         !mend_tables(book, faults, file, aside, mendings, error) || !make_the_rest(book, error)))
        return FALSE;
    return mend_rows(book, file, aside, mendings, error);
}
