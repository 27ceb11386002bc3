/* SPDX-License-Identifier: MIT
 *
 * Statements: a cache of prepared ones, typed binding, SQLite's errors in our words. See
 * book/statement.h.
 */
#include "book/statement.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "book/book_private.h"
#include "simpling/error.h"

struct spl_statement {
    struct spl_book *book;
    sqlite3_stmt *stmt;
    gboolean cached; /* goes back to the cache; FALSE: a second one of the same text */
};

sqlite3 *spl_book_handle(struct spl_book *book)
{
    return book->db;
}

/* SQLite's answer in our words. */
static void put_in_words(struct spl_book *book, int code, GError **error)
{
    int extended = sqlite3_extended_errcode(book->db);
    const char *path = book->path;

    switch (code & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        g_set_error(error, SPL_ERROR, SPL_ERROR_BUSY,
                    "%s: another program is writing in the book; try again when it has finished",
                    path);
        break;
    case SQLITE_READONLY:
        g_set_error(error, SPL_ERROR, SPL_ERROR_READ_ONLY,
                    "%s: the book or its folder may not be written; change its permissions or copy "
                    "it to a place of your own",
                    path);
        break;
    case SQLITE_FULL:
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO,
                    "%s: the disk is full, nothing was written; make room and try again", path);
        break;
    case SQLITE_NOTADB:
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                    "%s: is not a simpling book; name another file with --book", path);
        break;
    case SQLITE_CORRUPT:
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                    "%s: the book is damaged (%s); take the last backup", path,
                    sqlite3_errmsg(book->db));
        break;
    case SQLITE_CANTOPEN:
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO,
                    "%s: cannot be opened; look whether the folder exists and may be entered",
                    path);
        break;
    case SQLITE_IOERR:
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO,
                    "%s: reading or writing failed (%s, %d); nothing was changed", path,
                    sqlite3_errmsg(book->db), extended);
        break;
    case SQLITE_NOMEM:
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "%s: out of memory; nothing was changed", path);
        break;
    case SQLITE_CONSTRAINT:
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: a value is outside what the book accepts (%s); nothing was changed", path,
                    sqlite3_errmsg(book->db));
        break;
    default:
        g_set_error(error, SPL_ERROR, SPL_ERROR_INTERNAL,
                    "%s: the book answered '%s'; please report this", path,
                    sqlite3_errmsg(book->db));
    }
}

/* Hands `failure` on, unless the caller holds an earlier one. */
static void hand_on(GError **error, GError *failure)
{
    if (error == NULL || *error != NULL)
        g_error_free(failure);
    else
        g_propagate_error(error, failure);
}

/*
 * Within a transaction the first failure dooms it: SQLite may have rolled back by itself, and what
 * a caller wrote after an error that it did not mind would otherwise stand alone and at once.
 */
void spl_book_set_error(struct spl_book *book, int code, GError **error)
{
    GError *failure = NULL;

    put_in_words(book, code, &failure);
    if (book->depth > 0 && book->failure == NULL) {
        book->doomed = TRUE;
        book->failure = g_error_copy(failure);
    }
    hand_on(error, failure);
}

/*
 * Whether a statement may still run: not after a failure in this transaction, nor when SQLite has
 * rolled it back without telling (a read that fails inside a pragma function does that): what is
 * written then would stand alone and at once.
 */
static gboolean may_run(struct spl_book *book, GError **error)
{
    if (book->depth == 0)
        return TRUE;
    if (book->failure == NULL && sqlite3_get_autocommit(book->db)) {
        book->doomed = TRUE;
        g_set_error(&book->failure, SPL_ERROR, SPL_ERROR_IO,
                    "%s: reading or writing failed; nothing was changed", book->path);
    }
    if (book->failure != NULL)
        hand_on(error, g_error_copy(book->failure));
    return book->failure == NULL;
}

/* `keep`: SQLITE_STATIC for texts that stand until the statement is done, else SQLITE_TRANSIENT. */
static int bind(sqlite3_stmt *stmt, const char *types, sqlite3_destructor_type keep, va_list values)
{
    int code = SQLITE_OK;

    for (int i = 1; code == SQLITE_OK && types[i - 1] != '\0'; i++) {
        switch (types[i - 1]) {
        case 't': {
            const char *text = va_arg(values, const char *);

            code = sqlite3_bind_text(stmt, i, text, -1, keep);
            break;
        }
        case 'i':
            code = sqlite3_bind_int(stmt, i, va_arg(values, int));
            break;
        case 'l':
            code = sqlite3_bind_int64(stmt, i, va_arg(values, gint64));
            break;
        case 'r': {
            double number = va_arg(values, double);

            code =
                isnan(number) ? sqlite3_bind_null(stmt, i) : sqlite3_bind_double(stmt, i, number);
            break;
        }
        case 'd': {
            struct spl_day day = va_arg(values, struct spl_day);

            code =
                spl_day_is_set(day) ? sqlite3_bind_int(stmt, i, day.n) : sqlite3_bind_null(stmt, i);
            break;
        }
        case 'b': {
            GBytes *bytes = va_arg(values, GBytes *);

            code = bytes == NULL ? sqlite3_bind_null(stmt, i)
                                 : sqlite3_bind_blob64(stmt, i, g_bytes_get_data(bytes, NULL),
                                                       g_bytes_get_size(bytes), keep);
            break;
        }
        default:
            g_assert_not_reached();
        }
    }
    return code;
}

/* The prepared statement of this text, NULL when there is none yet. Nearly every text is a literal,
 * whose address says which one it is: one look instead of reading the whole of it twice. */
static sqlite3_stmt *find_prepared(struct spl_book *book, const char *sql)
{
    sqlite3_stmt *stmt = g_hash_table_lookup(book->literals, sql);

    if (stmt != NULL && strcmp(sqlite3_sql(stmt), sql) == 0)
        return stmt;
    stmt = g_hash_table_lookup(book->statements, sql);
    if (stmt != NULL)
        g_hash_table_insert(book->literals, (gpointer)sql, stmt);
    return stmt;
}

static struct spl_statement *open_list(struct spl_book *book, GError **error, const char *sql,
                                       const char *types, sqlite3_destructor_type keep,
                                       va_list values)
{
    struct spl_statement *statement;
    sqlite3_stmt *stmt = find_prepared(book, sql);
    gboolean cached = TRUE;
    int code = SQLITE_OK;

    if (!may_run(book, error))
        return NULL;
    if (stmt == NULL) {
        code = sqlite3_prepare_v3(book->db, sql, -1, SQLITE_PREPARE_PERSISTENT, &stmt, NULL);
        if (code == SQLITE_OK)
            g_hash_table_insert(book->statements, g_strdup(sql), stmt);
    } else if (sqlite3_stmt_busy(stmt)) {
        /* The same question inside itself (a walk up a tree): a statement of its own. */
        cached = FALSE;
        code = sqlite3_prepare_v2(book->db, sql, -1, &stmt, NULL);
    }
    if (code == SQLITE_OK)
        code = bind(stmt, types, keep, values);
    if (code != SQLITE_OK) {
        spl_book_set_error(book, code, error);
        if (!cached)
            sqlite3_finalize(stmt);
        return NULL;
    }
    statement = g_new(struct spl_statement, 1);
    *statement = (struct spl_statement){book, stmt, cached};
    return statement;
}

struct spl_statement *spl_statement_open(struct spl_book *book, GError **error, const char *sql,
                                         const char *types, ...)
{
    va_list values;
    struct spl_statement *statement;

    va_start(values, types);
    statement = open_list(book, error, sql, types, SQLITE_TRANSIENT, values);
    va_end(values);
    return statement;
}

gboolean spl_statement_row(struct spl_statement *statement, GError **error)
{
    int code = sqlite3_step(statement->stmt);

    if (code == SQLITE_ROW)
        return TRUE;
    if (code != SQLITE_DONE)
        spl_book_set_error(statement->book, code, error);
    return FALSE;
}

sqlite3_stmt *spl_statement_handle(struct spl_statement *statement)
{
    return statement->stmt;
}

void spl_statement_done(struct spl_statement *statement)
{
    if (statement == NULL)
        return;
    statement->book->scanned +=
        sqlite3_stmt_status(statement->stmt, SQLITE_STMTSTATUS_FULLSCAN_STEP, 1);
    if (statement->cached) {
        sqlite3_reset(statement->stmt);
        sqlite3_clear_bindings(statement->stmt);
    } else {
        sqlite3_finalize(statement->stmt);
    }
    g_free(statement);
}

char *spl_column_text(struct spl_statement *statement, int column)
{
    return g_strdup(spl_column_peek(statement, column));
}

const char *spl_column_peek(struct spl_statement *statement, int column)
{
    return (const char *)sqlite3_column_text(statement->stmt, column);
}

int spl_column_int(struct spl_statement *statement, int column)
{
    return sqlite3_column_int(statement->stmt, column);
}

gint64 spl_column_long(struct spl_statement *statement, int column)
{
    return sqlite3_column_int64(statement->stmt, column);
}

double spl_column_real(struct spl_statement *statement, int column)
{
    return spl_column_is_null(statement, column) ? NAN
                                                 : sqlite3_column_double(statement->stmt, column);
}

struct spl_day spl_column_day(struct spl_statement *statement, int column)
{
    if (spl_column_is_null(statement, column))
        return SPL_DAY_NONE;
    return (struct spl_day){sqlite3_column_int(statement->stmt, column)};
}

gboolean spl_column_is_null(struct spl_statement *statement, int column)
{
    return sqlite3_column_type(statement->stmt, column) == SQLITE_NULL;
}

const void *spl_column_blob(struct spl_statement *statement, int column, gsize *size)
{
    const void *blob = sqlite3_column_blob(statement->stmt, column);

    *size = (gsize)sqlite3_column_bytes(statement->stmt, column);
    return blob;
}

gboolean spl_book_execute(struct spl_book *book, GError **error, const char *sql, const char *types,
                          ...)
{
    g_autoptr(spl_statement) statement = NULL;
    GError *failed = NULL;
    va_list values;

    va_start(values, types);
    statement = open_list(book, error, sql, types, SQLITE_STATIC, values);
    va_end(values);
    if (statement == NULL)
        return FALSE;
    while (spl_statement_row(statement, &failed))
        ;
    if (failed != NULL) {
        hand_on(error, failed);
        return FALSE;
    }
    return TRUE;
}

gboolean spl_book_script(struct spl_book *book, const char *sql, GError **error)
{
    int code;

    if (!may_run(book, error))
        return FALSE;
    code = sqlite3_exec(book->db, sql, NULL, NULL, NULL);
    if (code != SQLITE_OK)
        spl_book_set_error(book, code, error);
    return code == SQLITE_OK;
}

gint64 spl_book_number(struct spl_book *book, gint64 otherwise, GError **error, const char *sql,
                       const char *types, ...)
{
    g_autoptr(spl_statement) statement = NULL;
    va_list values;

    va_start(values, types);
    statement = open_list(book, error, sql, types, SQLITE_STATIC, values);
    va_end(values);
    if (statement == NULL || !spl_statement_row(statement, error) ||
        spl_column_is_null(statement, 0))
        return otherwise;
    return spl_column_long(statement, 0);
}

gint64 spl_book_last_id(struct spl_book *book)
{
    return sqlite3_last_insert_rowid(book->db);
}

gint64 spl_book_scanned(const struct spl_book *book)
{
    return book->scanned;
}

int spl_book_changes(struct spl_book *book)
{
    return sqlite3_changes(book->db);
}
