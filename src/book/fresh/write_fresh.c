/* SPDX-License-Identifier: MIT
 *
 *   write_fresh FILE
 *
 * At build time: runs all migrations on an empty database and writes what stands then, row by row
 * of sqlite_schema, as C into FILE. A fresh book is laid out from it at one stroke, as each
 * migration that renames a table reads all views again; that it is the same book, and has no rows,
 * is looked at here and by the test book.schema. A book that has just these rows is known at its
 * opening. What goes wrong is said by an #error in FILE.
 */
#include <sqlite3.h>
#include <string.h>

#include "book/migrations.h"

static gboolean run_all(sqlite3 *db, GString *wrong)
{
    for (int n = 0; n < spl_n_migrations; n++) {
        if (sqlite3_exec(db, spl_migrations[n].sql, NULL, NULL, NULL) != SQLITE_OK) {
            g_string_printf(wrong, "migration %d: %s", n + 1, sqlite3_errmsg(db));
            return FALSE;
        }
    }
    return TRUE;
}

/* A book that is begun with rows would need them said here as well. */
static gboolean is_empty(sqlite3 *db, const char *table, GString *wrong)
{
    g_autofree char *sql = g_strdup_printf("SELECT 1 FROM \"%s\"", table);
    sqlite3_stmt *rows = NULL;
    gboolean empty = sqlite3_prepare_v2(db, sql, -1, &rows, NULL) == SQLITE_OK &&
                     sqlite3_step(rows) == SQLITE_DONE;

    sqlite3_finalize(rows);
    if (!empty)
        g_string_printf(wrong, "table %s has rows in a fresh book", table);
    return empty;
}

static void append_string(GString *text, const char *sql)
{
    if (sql == NULL) {
        g_string_append(text, "NULL, ");
        return;
    }
    g_string_append_c(text, '"');
    for (; *sql != '\0'; sql++) {
        if (*sql == '\n')
            g_string_append(text, "\\n");
        else if (*sql == '"' || *sql == '\\')
            g_string_append_printf(text, "\\%c", *sql);
        else
            g_string_append_c(text, *sql);
    }
    g_string_append(text, "\", ");
}

static gboolean write_all(sqlite3 *db, GString *text, GString *wrong)
{
    sqlite3_stmt *parts = NULL;
    gboolean ok = sqlite3_prepare_v2(db,
                                     "SELECT type, name, tbl_name, sql, sql IS NOT NULL AND name"
                                     " NOT IN (SELECT name FROM pragma_table_list WHERE type ="
                                     " 'shadow') FROM sqlite_schema ORDER BY rowid",
                                     -1, &parts, NULL) == SQLITE_OK;
    int code = SQLITE_ERROR;

    while (ok && (code = sqlite3_step(parts)) == SQLITE_ROW) {
        const char *type = (const char *)sqlite3_column_text(parts, 0);
        const char *name = (const char *)sqlite3_column_text(parts, 1);
        gboolean made = sqlite3_column_int(parts, 4) != 0;

        ok = !made || strcmp(type, "table") != 0 || is_empty(db, name, wrong);
        g_string_append_c(text, '{');
        for (int i = 0; i < 4; i++)
            append_string(text, (const char *)sqlite3_column_text(parts, i));
        g_string_append(text, made ? "TRUE},\n" : "FALSE},\n");
    }
    sqlite3_finalize(parts);
    if (ok && code != SQLITE_DONE)
        g_string_assign(wrong, sqlite3_errmsg(db));
    return ok && code == SQLITE_DONE;
}

int main(int argc, char **argv)
{
    g_autoptr(GString) text = g_string_new(NULL), wrong = g_string_new("no database in memory");
    sqlite3 *db = NULL;
    gboolean ok = argc == 2 && sqlite3_open(":memory:", &db) == SQLITE_OK && run_all(db, wrong) &&
                  write_all(db, text, wrong);

    g_string_append_printf(text, "#define SPL_FRESH_NUMBER %d\n", spl_n_migrations);
    sqlite3_close(db);
    if (!ok)
        g_string_printf(text, "#error \"%s\"\n", wrong->str);
    return argc == 2 && g_file_set_contents(argv[1], text->str, -1, NULL) ? 0 : 1;
}
