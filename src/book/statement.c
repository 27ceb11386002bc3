/* SPDX-License-Identifier: MIT
 *
 * Statements: a cache of prepared ones, values and columns by their C types, SQLite's errors in our
 * words. See book/statement.h.
 */
#include "book/statement.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "book/book_private.h"
#include "book/statement_private.h"
#include "simpling/error.h"

struct spl_statement {
    struct spl_book *book;
    sqlite3_stmt *stmt;
    gboolean cached; /* goes back to the cache; FALSE: a second one of the same text */
    const struct spl_plan *plan;
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
    /* It quotes a stranger's schema as it stands, which need not be UTF-8. */
    g_autofree char *said = spl_text_scrub(sqlite3_errmsg(book->db), FALSE);

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
                    "%s: is no book of simpling; name another file", path);
        break;
    case SQLITE_CORRUPT:
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                    "%s: the book is damaged (%s); take the last backup", path, said);
        break;
    case SQLITE_CANTOPEN:
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO,
                    "%s: cannot be opened; look whether the folder exists and may be entered",
                    path);
        break;
    case SQLITE_IOERR:
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO,
                    "%s: reading or writing failed (%s, %d); nothing was changed", path, said,
                    extended);
        break;
    case SQLITE_NOMEM:
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "%s: out of memory; nothing was changed", path);
        break;
    case SQLITE_CONSTRAINT:
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: a value is outside what the book accepts (%s); nothing was changed", path,
                    said);
        break;
    case SQLITE_INTERRUPT:
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                    "%s: takes too long to read, so nothing was taken from it; check that book",
                    path);
        break;
    case SQLITE_TOOBIG:
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                    "%s: holds a text or a shape that is larger than any of ours; take the last "
                    "backup",
                    path);
        break;
    case SQLITE_ERROR:
        /* Our questions are tested on every schema: what they do not find is gone from the file. */
        if (g_str_has_prefix(said, "no such ")) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                        "%s: the book is damaged (%s); repairing it makes its tables again", path,
                        said);
            break;
        }
        G_GNUC_FALLTHROUGH;
    default:
        g_set_error(error, SPL_ERROR, SPL_ERROR_INTERNAL,
                    "%s: the book cannot be read or written (%s); a fault of the program: please "
                    "report this",
                    path, said);
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

/* Values -----------------------------------------------------------------------------------------
 */

struct spl_value spl_value_long(gint64 number)
{
    return (struct spl_value){.type = SPL_VALUE_LONG, .number = number};
}

struct spl_value spl_value_real(double real)
{
    return isnan(real) ? (struct spl_value){.type = SPL_VALUE_NULL}
                       : (struct spl_value){.type = SPL_VALUE_REAL, .real = real};
}

struct spl_value spl_value_text(const char *text)
{
    return text == NULL ? (struct spl_value){.type = SPL_VALUE_NULL}
                        : (struct spl_value){.type = SPL_VALUE_TEXT, .text = text};
}

struct spl_value spl_value_day(struct spl_day day)
{
    return spl_day_is_set(day) ? spl_value_long(day.n) : (struct spl_value){.type = SPL_VALUE_NULL};
}

struct spl_value spl_value_bytes(GBytes *bytes)
{
    return bytes == NULL ? (struct spl_value){.type = SPL_VALUE_NULL}
                         : (struct spl_value){.type = SPL_VALUE_BYTES, .bytes = bytes};
}

struct spl_value spl_value_same(struct spl_value value)
{
    return value;
}

struct spl_value spl_value_named(const char *name, struct spl_value value)
{
    value.name = name;
    return value;
}

int spl_statement_bind(sqlite3_stmt *stmt, int at, const struct spl_value *value,
                       sqlite3_destructor_type keep)
{
    switch (value->type) {
    case SPL_VALUE_LONG:
        return sqlite3_bind_int64(stmt, at, value->number);
    case SPL_VALUE_REAL:
        return sqlite3_bind_double(stmt, at, value->real);
    case SPL_VALUE_TEXT:
        return sqlite3_bind_text(stmt, at, value->text, -1, keep);
    case SPL_VALUE_BYTES:
        return sqlite3_bind_blob64(stmt, at, g_bytes_get_data(value->bytes, NULL),
                                   g_bytes_get_size(value->bytes), keep);
    case SPL_VALUE_NULL:
    case SPL_VALUE_END:
        break;
    }
    return sqlite3_bind_null(stmt, at);
}

/* `keep`: SQLITE_STATIC for texts that stand until the statement is done, else SQLITE_TRANSIENT. */
static int bind_all(sqlite3_stmt *stmt, const struct spl_value *values,
                    sqlite3_destructor_type keep)
{
    int code = SQLITE_OK;

    for (int i = 0; values != NULL && values[i].type != SPL_VALUE_END && code == SQLITE_OK; i++)
        code = spl_statement_bind(stmt, i + 1, &values[i], keep);
    return code;
}

/* Statements -------------------------------------------------------------------------------------
 */

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

static struct spl_statement *open_with(struct spl_book *book, GError **error, const char *sql,
                                       const struct spl_value *values, sqlite3_destructor_type keep)
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
        code = bind_all(stmt, values, keep);
    if (code != SQLITE_OK) {
        spl_book_set_error(book, code, error);
        if (!cached)
            sqlite3_finalize(stmt);
        return NULL;
    }
    statement = g_new(struct spl_statement, 1);
    *statement = (struct spl_statement){book, stmt, cached, NULL};
    return statement;
}

struct spl_statement *spl_statement_open(struct spl_book *book, GError **error, const char *sql,
                                         const struct spl_value *values)
{
    return open_with(book, error, sql, values, SQLITE_TRANSIENT);
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

void spl_statement_set_plan(struct spl_statement *statement, const struct spl_plan *plan)
{
    statement->plan = plan;
}

const struct spl_plan *spl_statement_plan(const struct spl_statement *statement)
{
    return statement->plan;
}

void spl_statement_done(struct spl_statement *statement)
{
    if (statement == NULL)
        return;
    statement->book->scanned +=
        sqlite3_stmt_status(statement->stmt, SQLITE_STMTSTATUS_FULLSCAN_STEP, 1);
    statement->book->worked += sqlite3_stmt_status(statement->stmt, SQLITE_STMTSTATUS_VM_STEP, 1);
    if (statement->cached) {
        sqlite3_reset(statement->stmt);
        sqlite3_clear_bindings(statement->stmt);
    } else {
        sqlite3_finalize(statement->stmt);
    }
    g_free(statement);
}

/* Columns ---------------------------------------------------------------------------------------
 */

const char *spl_statement_text(sqlite3_stmt *stmt, int column)
{
    return (const char *)sqlite3_column_text(stmt, column);
}

double spl_statement_real(sqlite3_stmt *stmt, int column)
{
    return sqlite3_column_type(stmt, column) == SQLITE_NULL ? (double)NAN
                                                            : sqlite3_column_double(stmt, column);
}

struct spl_day spl_statement_day(sqlite3_stmt *stmt, int column)
{
    /* What is no day of the calendar is none: a spraying without a day is not thereby over. */
    return sqlite3_column_type(stmt, column) == SQLITE_NULL
               ? SPL_DAY_NONE
               : spl_day_from_count(sqlite3_column_int64(stmt, column));
}

struct spl_coded spl_statement_coded(sqlite3_stmt *stmt, int column)
{
    const char *kind = spl_statement_text(stmt, column);

    return (struct spl_coded){
        .kind = kind != NULL ? *kind : '\0',
        .mark = spl_statement_text(stmt, column + 1),
        .year = sqlite3_column_int(stmt, column + 2),
        .number = sqlite3_column_int(stmt, column + 3),
    };
}

void spl_statement_read(struct spl_statement *statement, const struct spl_target *targets)
{
    spl_statement_read_from(statement, 0, targets);
}

void spl_statement_read_from(struct spl_statement *statement, int column,
                             const struct spl_target *targets)
{
    sqlite3_stmt *stmt = statement->stmt;

    for (; targets->type != SPL_TARGET_END; targets++) {
        switch (targets->type) {
        case SPL_TARGET_INT:
            *(int *)targets->at = sqlite3_column_int(stmt, column);
            break;
        case SPL_TARGET_LONG:
            *(gint64 *)targets->at = sqlite3_column_int64(stmt, column);
            break;
        case SPL_TARGET_REAL:
            *(double *)targets->at = spl_statement_real(stmt, column);
            break;
        case SPL_TARGET_TEXT:
            *(char **)targets->at = g_strdup(spl_statement_text(stmt, column));
            break;
        case SPL_TARGET_PEEK:
            *(const char **)targets->at = spl_statement_text(stmt, column);
            break;
        case SPL_TARGET_DAY:
            *(struct spl_day *)targets->at = spl_statement_day(stmt, column);
            break;
        case SPL_TARGET_BLOB: {
            struct spl_blob *blob = targets->at;

            blob->data = sqlite3_column_blob(stmt, column);
            blob->size = (gsize)sqlite3_column_bytes(stmt, column);
            break;
        }
        case SPL_TARGET_CODED:
            *(struct spl_coded *)targets->at = spl_statement_coded(stmt, column);
            column += 3;
            break;
        case SPL_TARGET_END:
            break;
        }
        column++;
    }
}

gboolean spl_statement_next(struct spl_statement *statement, GError **error,
                            const struct spl_target *targets)
{
    if (!spl_statement_row(statement, error))
        return FALSE;
    spl_statement_read(statement, targets);
    return TRUE;
}

gboolean spl_statement_each_id(struct spl_statement *statement,
                               gboolean (*each)(gint64 id, gpointer data, GError **error),
                               gpointer data, GError **error)
{
    GError *failed = NULL;
    gboolean ok = statement != NULL;
    gint64 id;

    while (ok && spl_statement_next(statement, &failed, SPL_INTO(&id)))
        ok = each(id, data, error);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return ok && failed == NULL;
}

static gboolean append_id(gint64 id, gpointer data, GError **error)
{
    (void)error;
    g_array_append_val((GArray *)data, id);
    return TRUE;
}

gboolean spl_statement_ids(struct spl_statement *statement, GArray *ids, GError **error)
{
    return spl_statement_each_id(statement, append_id, ids, error);
}

gboolean spl_book_execute(struct spl_book *book, GError **error, const char *sql,
                          const struct spl_value *values)
{
    g_autoptr(spl_statement) statement = open_with(book, error, sql, values, SQLITE_STATIC);
    GError *failed = NULL;

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
                       const struct spl_value *values)
{
    g_autoptr(spl_statement) statement = open_with(book, error, sql, values, SQLITE_STATIC);

    if (statement == NULL || !spl_statement_row(statement, error) ||
        sqlite3_column_type(statement->stmt, 0) == SQLITE_NULL)
        return otherwise;
    return sqlite3_column_int64(statement->stmt, 0);
}

gint64 spl_book_last_id(struct spl_book *book)
{
    return sqlite3_last_insert_rowid(book->db);
}

gint64 spl_book_scanned(const struct spl_book *book)
{
    return book->scanned;
}

gint64 spl_book_worked(const struct spl_book *book)
{
    return book->worked;
}

int spl_book_changes(struct spl_book *book)
{
    return sqlite3_changes(book->db);
}

char *spl_ids_json(const GArray *ids)
{
    GString *json = g_string_new("[");

    for (guint i = 0; i < ids->len; i++)
        g_string_append_printf(json, "%s%" G_GINT64_FORMAT, i > 0 ? "," : "",
                               g_array_index(ids, gint64, i));
    return g_string_free(g_string_append_c(json, ']'), FALSE);
}
