/* SPDX-License-Identifier: MIT
 *
 * SQL statements of the book room: prepared once, given values, stepped, read in order.
 *
 * Values and targets are told apart by their C types, so that the compiler checks them:
 *
 *     g_autoptr(spl_statement) rows = spl_statement_open(
 *         book, error, "SELECT id, name FROM site_now WHERE lat > ?", SPL_WITH(lat));
 *     while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&id, &name)))
 *
 *   value or target        in SQL
 *   int, gint64            INTEGER (NULL is read as 0)
 *   double                 REAL, NAN is NULL
 *   struct spl_day         INTEGER, no day is NULL
 *   char *                 TEXT, NULL is NULL; read as a copy that is the caller's
 *   const char *           the same, read without a copy: stands till the next step
 *   GBytes *               BLOB, NULL is NULL; only given
 *   struct spl_blob        BLOB, read without a copy
 *   struct spl_coded       four columns: kind, mark, year and number of a thing; only read
 *
 * SQL is a string literal: statements are cached by its address's text for the life of the book.
 * Values are always bound, never pasted. Whole records are written and read by book/noun.h.
 */
#ifndef SPL_BOOK_STATEMENT_H
#define SPL_BOOK_STATEMENT_H

#include <glib.h>
#include <sqlite3.h>

#include "book/book.h"
#include "simpling/day.h"

typedef struct spl_statement spl_statement;

/* ---- values ---- */

enum spl_value_type {
    SPL_VALUE_END, /* stands behind the last */
    SPL_VALUE_NULL,
    SPL_VALUE_LONG,
    SPL_VALUE_REAL,
    SPL_VALUE_TEXT,
    SPL_VALUE_BYTES
};

struct spl_value {
    enum spl_value_type type;
    const char *name; /* of the column, where it is given by name */
    union {
        gint64 number;
        double real;
        const char *text; /* borrowed, as bytes are */
        GBytes *bytes;
    };
};

struct spl_value spl_value_long(gint64 number);
struct spl_value spl_value_real(double real);
struct spl_value spl_value_text(const char *text);
struct spl_value spl_value_day(struct spl_day day);
struct spl_value spl_value_bytes(GBytes *bytes);
struct spl_value spl_value_same(struct spl_value value);
struct spl_value spl_value_named(const char *name, struct spl_value value);

/* clang-format off */
#define SPL_VALUE(x)                                                                               \
    _Generic((x), int: spl_value_long, unsigned: spl_value_long, long: spl_value_long,             \
             long long: spl_value_long, float: spl_value_real, double: spl_value_real,             \
             char *: spl_value_text, const char *: spl_value_text, void *: spl_value_text,         \
             struct spl_day: spl_value_day, GBytes *: spl_value_bytes,                             \
             struct spl_value: spl_value_same)(x)
#define SPL_VALUE_AS_NAMED(x) spl_value_named(#x, SPL_VALUE(x))

/* The values of a statement, one for each `?`: at most 16. */
#define SPL_WITH(...)                                                                              \
    ((const struct spl_value[]){SPL_EACH_(SPL_VALUE, __VA_ARGS__) {.type = SPL_VALUE_END}})
/* The same, each with the name of the variable that it is: that of its column. */
#define SPL_NAMED(...)                                                                             \
    ((const struct spl_value[]){SPL_EACH_(SPL_VALUE_AS_NAMED, __VA_ARGS__)                         \
                                {.type = SPL_VALUE_END}})
/* A statement without a `?`. */
#define SPL_NONE ((const struct spl_value *)NULL)

/* ---- targets ---- */

enum spl_target_type {
    SPL_TARGET_END,
    SPL_TARGET_INT,
    SPL_TARGET_LONG,
    SPL_TARGET_REAL,
    SPL_TARGET_TEXT,
    SPL_TARGET_PEEK,
    SPL_TARGET_DAY,
    SPL_TARGET_BLOB,
    SPL_TARGET_CODED
};

struct spl_target {
    enum spl_target_type type;
    void *at;
};

struct spl_blob {
    const void *data;
    gsize size;
};

/* What a code is made of; `kind` is 0 where no thing is (an outer join). */
struct spl_coded {
    char kind;
    const char *mark; /* till the next step */
    int year, number;
};

#define SPL_TARGET(x)                                                                              \
    {.type = _Generic((x), int *: SPL_TARGET_INT, long *: SPL_TARGET_LONG,                         \
                      long long *: SPL_TARGET_LONG, double *: SPL_TARGET_REAL,                     \
                      char **: SPL_TARGET_TEXT, const char **: SPL_TARGET_PEEK,                    \
                      struct spl_day *: SPL_TARGET_DAY, struct spl_blob *: SPL_TARGET_BLOB,        \
                      struct spl_coded *: SPL_TARGET_CODED), .at = (x)}
/* Where the columns of a row go, in order: at most 16. */
#define SPL_INTO(...)                                                                              \
    ((const struct spl_target[]){SPL_EACH_(SPL_TARGET, __VA_ARGS__) {.type = SPL_TARGET_END}})

#define SPL_EACH_(f, ...)                                                                          \
    SPL_PASTE_(SPL_EACH_, SPL_COUNT_(__VA_ARGS__, 16, 15, 14, 13, 12, 11, 10, 9, 8, 7, 6, 5, 4,    \
                                     3, 2, 1, 0))(f, __VA_ARGS__)
#define SPL_PASTE_(a, b) SPL_PASTE_2_(a, b)
#define SPL_PASTE_2_(a, b) a##b
#define SPL_COUNT_(a, b, c, d, e, f, g, h, i, j, k, l, m, n, o, p, count, ...) count
#define SPL_EACH_1(f, x) f(x),
#define SPL_EACH_2(f, x, ...) f(x), SPL_EACH_1(f, __VA_ARGS__)
#define SPL_EACH_3(f, x, ...) f(x), SPL_EACH_2(f, __VA_ARGS__)
#define SPL_EACH_4(f, x, ...) f(x), SPL_EACH_3(f, __VA_ARGS__)
#define SPL_EACH_5(f, x, ...) f(x), SPL_EACH_4(f, __VA_ARGS__)
#define SPL_EACH_6(f, x, ...) f(x), SPL_EACH_5(f, __VA_ARGS__)
#define SPL_EACH_7(f, x, ...) f(x), SPL_EACH_6(f, __VA_ARGS__)
#define SPL_EACH_8(f, x, ...) f(x), SPL_EACH_7(f, __VA_ARGS__)
#define SPL_EACH_9(f, x, ...) f(x), SPL_EACH_8(f, __VA_ARGS__)
#define SPL_EACH_10(f, x, ...) f(x), SPL_EACH_9(f, __VA_ARGS__)
#define SPL_EACH_11(f, x, ...) f(x), SPL_EACH_10(f, __VA_ARGS__)
#define SPL_EACH_12(f, x, ...) f(x), SPL_EACH_11(f, __VA_ARGS__)
#define SPL_EACH_13(f, x, ...) f(x), SPL_EACH_12(f, __VA_ARGS__)
#define SPL_EACH_14(f, x, ...) f(x), SPL_EACH_13(f, __VA_ARGS__)
#define SPL_EACH_15(f, x, ...) f(x), SPL_EACH_14(f, __VA_ARGS__)
#define SPL_EACH_16(f, x, ...) f(x), SPL_EACH_15(f, __VA_ARGS__)
/* clang-format on */

/* ---- statements ---- */

/* A statement ready to be stepped; release it with g_autoptr or spl_statement_done. */
struct spl_statement *spl_statement_open(struct spl_book *book, GError **error, const char *sql,
                                         const struct spl_value *values);

/* TRUE: a row is there. FALSE: no more rows, or *error is set. */
gboolean spl_statement_row(struct spl_statement *statement, GError **error);

/* The present row's columns, in order. */
void spl_statement_read(struct spl_statement *statement, const struct spl_target *targets);

/* The next row into `targets`. FALSE: no more rows, or *error is set; the targets are untouched. */
gboolean spl_statement_next(struct spl_statement *statement, GError **error,
                            const struct spl_target *targets);

/* Calls `each` with the one whole number of each row until it returns FALSE with *error set. FALSE
 * also when `statement` is NULL, as below. */
gboolean spl_statement_each_id(struct spl_statement *statement,
                               gboolean (*each)(gint64 id, gpointer data, GError **error),
                               gpointer data, GError **error);

/* Appends the one whole number (gint64) of each row to `ids`. FALSE also when `statement` is NULL:
 * it could not be made, and *error is set already. */
gboolean spl_statement_ids(struct spl_statement *statement, GArray *ids, GError **error);

/* Ids (gint64) as a query takes them, (SELECT value FROM json_each(?)). Free with g_free. */
char *spl_ids_json(const GArray *ids);

/* The statement itself, for values that have no letter. */
sqlite3_stmt *spl_statement_handle(struct spl_statement *statement);

/* Gives the statement back. NULL is fine. */
void spl_statement_done(struct spl_statement *statement);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_statement, spl_statement_done)

/* Runs a statement that gives no rows. */
gboolean spl_book_execute(struct spl_book *book, GError **error, const char *sql,
                          const struct spl_value *values);

/* Runs a script of several statements without values (migrations). */
gboolean spl_book_script(struct spl_book *book, const char *sql, GError **error);

/* The first column of the first row, or `otherwise` when there is no row or it is NULL. *error says
 * whether it failed. */
gint64 spl_book_number(struct spl_book *book, gint64 otherwise, GError **error, const char *sql,
                       const struct spl_value *values);

/* The row id that the last INSERT gave. */
gint64 spl_book_last_id(struct spl_book *book);

/* Rows that the last INSERT, UPDATE or DELETE changed. */
int spl_book_changes(struct spl_book *book);

/* Rows that statements walked over without an index since the book was opened: an everyday question
 * on a large book must not make this grow with it. */
gint64 spl_book_scanned(const struct spl_book *book);

/* Steps that SQLite took for statements since then: what the same question costs on two books. */
gint64 spl_book_worked(const struct spl_book *book);

sqlite3 *spl_book_handle(struct spl_book *book);

/* The error for what SQLite last said of this book: busy, read-only, full, damaged … */
void spl_book_set_error(struct spl_book *book, int code, GError **error);

#endif
