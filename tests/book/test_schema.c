/* SPDX-License-Identifier: MIT
 *
 * A book whose tables are not those of the migrations is named and not read; how SQL happens to be
 * written does not matter.
 */
#include "book/schema.h"

#include <sqlite3.h>
#include <time.h>

#include "book/check.h"
#include "book/look.h"
#include "book/migrations.h"
#include "book/shelf.h"
#include "book/statement.h"

static void execute(const char *path, const char *sql)
{
    sqlite3 *db;

    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    if (sqlite3_exec(db, sql, NULL, NULL, NULL) != SQLITE_OK)
        fail_msg("%.200s: %s", sql, sqlite3_errmsg(db));
    sqlite3_close(db);
}

/* As a hostile hand would: the text of the schema itself. */
#define REWRITE(where, from, to)                                                                   \
    "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET sql = replace(sql, " from ", " to       \
    ") WHERE " where "; PRAGMA writable_schema = RESET"

static const struct {
    const char *sql, *says;
    gboolean harmless; /* only slower: read all the same */
} planted[] = {
    {"CREATE TRIGGER t AFTER INSERT ON spray_note BEGIN UPDATE spray_note SET kind = 'unsprayed'"
     " WHERE id = new.id; END",
     "trigger 't': is no part of a book", FALSE},
    {"DROP VIEW spray_note_now; CREATE VIEW spray_note_now AS SELECT *, NULL AS struck FROM"
     " spray_note",
     "view 'spray_note_now': is not as simpling makes it", FALSE},
    {"DROP VIEW stage_note_now; CREATE VIEW stage_note_now AS WITH RECURSIVE n (i) AS (SELECT 1"
     " UNION ALL SELECT i + 1 FROM n) SELECT i FROM n",
     "view 'stage_note_now': is not", FALSE},
    {"DROP INDEX spray_note_site", "index 'spray_note_site': is missing", TRUE},
    {"DROP TABLE \"release\"", "table 'release': is missing", FALSE},
    {"CREATE TABLE more (x)", "table 'more': is no part of a book", FALSE},
    {REWRITE("name = 'harvest'", "'CHECK (stage BETWEEN 0 AND 99)'", "''"),
     "table 'harvest': is not", FALSE},
    {REWRITE("name = 'site'", "') STRICT'", "')'"), "table 'site': is not", FALSE},
    {"ALTER TABLE site ADD COLUMN shade TEXT", "table 'site': is not", FALSE},
    {"ALTER TABLE permission RENAME COLUMN by TO who", "table 'permission': is not", FALSE},
    {"PRAGMA user_version = 1", "", FALSE},
    {"PRAGMA user_version = -5", "schema -5, which there never was", FALSE},
};

static void what_differs_from_the_migrations_is_named(void **state)
{
    struct shelf *shelf = *state;

    for (gsize i = 0; i < G_N_ELEMENTS(planted); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(GPtrArray) findings = NULL;
        g_autoptr(spl_book) book = NULL;
        gboolean named = FALSE;

        g_unlink(shelf->path);
        spl_book_close(shelf_open(shelf, SPL_BOOK_MAKE));
        execute(shelf->path, planted[i].sql);
        book = spl_book_open(shelf->path, SPL_BOOK_READ, &error);
        if (planted[i].harmless) {
            expect_ok(error);
        } else {
            assert_null(book);
            expect_error(error, SPL_ERROR_CORRUPT, planted[i].says);
            assert_null(spl_book_open(shelf->path, SPL_BOOK_WRITE, NULL));
        }
        g_clear_pointer(&book, spl_book_close);
        if (strstr(planted[i].sql, "user_version") != NULL)
            continue; /* not even to be looked at: nothing says what it should be */
        g_clear_error(&error);
        book = spl_book_open(shelf->path, SPL_BOOK_EXAMINE, &error);
        expect_ok(error);
        findings = spl_book_check(book, &error);
        expect_ok(error);
        for (guint k = 0; k < findings->len; k++)
            named = named || strstr(g_ptr_array_index(findings, k), planted[i].says) != NULL;
        if (!named)
            fail_msg("%s: book check does not say '%s'", planted[i].sql, planted[i].says);
    }
}

static void how_the_sql_is_written_does_not_matter(void **state)
{
    static const char *const same[] = {
        REWRITE("name = 'harvest'", "','", "' ,'"),
        REWRITE("name = 'site'", "'TABLE site ('", "'TABLE \"site\"('"),
        REWRITE("name = 'site_now'", "' '", "char(10) || ' '"),
        "ANALYZE",
    };
    static const char *const other[] = {
        REWRITE("name = 'site'", "'name TEXT'", "'nameTEXT'"),
        REWRITE("name = 'thing'", "'''H'''", "'''H '''"),
        REWRITE("name = 'site_now'", "' '", "'/**/ '"),
    };
    struct shelf *shelf = *state;

    for (gsize i = 0; i < G_N_ELEMENTS(same) + G_N_ELEMENTS(other); i++) {
        gboolean sound = i < G_N_ELEMENTS(same);
        const char *sql = sound ? same[i] : other[i - G_N_ELEMENTS(same)];
        g_autoptr(spl_book) book = NULL;

        g_unlink(shelf->path);
        spl_book_close(shelf_open(shelf, SPL_BOOK_MAKE));
        execute(shelf->path, sql);
        book = spl_book_open(shelf->path, SPL_BOOK_READ, NULL);
        if ((book != NULL) != sound)
            fail_msg("%s: %s", sql, sound ? "not read" : "read");
    }
}

/* What is shown of a thing is what was corrected last by whom it counts: a view made anew reads
 * that as it is kept, or asks itself. What a strike struck in turn is a chain, whoever it counts
 * for. */
static void every_view_that_reads_corrections_asks_whether_they_count(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_book) model = spl_book_model(spl_n_migrations, &error);
    g_autoptr(spl_statement) rows = NULL;
    const char *name, *sql;
    guint n = 0;

    (void)state;
    expect_ok(error);
    rows = spl_statement_open(model, &error,
                              "SELECT name, sql FROM sqlite_schema WHERE type = 'view' AND (sql"
                              " LIKE '%FROM amendment %' OR sql LIKE '%FROM strike %')"
                              " AND name <> 'strike_under'",
                              SPL_NONE);
    while (spl_statement_next(rows, &error, SPL_INTO(&name, &sql))) {
        if (strstr(sql, "judged_revision") == NULL)
            fail_msg("view %s reads corrections or strikes that do not count here (NOW_HERE in "
                     "book/migration_views.h)",
                     name);
        n++;
    }
    expect_ok(error);
    assert_int_equal(n, 2); /* live_by_rows, amendment_now */
    g_clear_pointer(&rows, spl_statement_done);
}

/* All that a database is made of, as it is written there. */
static char *parts_of(sqlite3 *db)
{
    GString *text = g_string_new(NULL);
    sqlite3_stmt *rows = NULL;

    assert_int_equal(sqlite3_prepare_v2(db,
                                        "SELECT type, name, tbl_name, coalesce(sql, '') FROM"
                                        " sqlite_schema ORDER BY type, name",
                                        -1, &rows, NULL),
                     SQLITE_OK);
    while (sqlite3_step(rows) == SQLITE_ROW) {
        for (int i = 0; i < 4; i++)
            g_string_append_printf(text, "%s\n", (const char *)sqlite3_column_text(rows, i));
    }
    sqlite3_finalize(rows);
    return g_string_free(text, FALSE);
}

/* It is laid out at one stroke, from what was written down at build time. */
static void a_fresh_book_is_what_all_migrations_make(void **state)
{
    struct shelf *shelf = *state;
    g_autofree char *fresh = NULL, *migrated = NULL;
    sqlite3 *db;

    assert_int_equal(sqlite3_open(shelf->path, &db), SQLITE_OK);
    fresh = parts_of(db);
    sqlite3_close(db);
    assert_int_equal(sqlite3_open(":memory:", &db), SQLITE_OK);
    for (int n = 0; n < spl_n_migrations; n++)
        assert_int_equal(sqlite3_exec(db, spl_migrations[n].sql, NULL, NULL, NULL), SQLITE_OK);
    migrated = parts_of(db);
    sqlite3_close(db);
    assert_true(strlen(migrated) > 10000);
    assert_string_equal(fresh, migrated);
}

/* What a book of this program needs no model for; a new migration needs a line in schema.c. */
static void the_prints_kept_are_those_of_the_models(void **state)
{
    (void)state;
    for (int schema = 1; schema <= spl_n_migrations; schema++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(spl_book) model = spl_book_model(schema, &error);
        g_autofree char *print = NULL;
        const char *kept = spl_schema_print_kept(schema);

        expect_ok(error);
        print = spl_schema_print(model, &error);
        expect_ok(error);
        /* An old schema is migrated at its first writing; the newest is opened all the time. */
        if (g_strcmp0(kept, print) != 0 && (kept != NULL || schema == spl_n_migrations))
            fail_msg("schema %d: its print is %s: write it into src/book/schema.c", schema, print);
    }
}

static void a_name_that_is_no_column_is_an_error(void **state)
{
    struct shelf *shelf = *state;
    g_autoptr(spl_book) book = shelf_open(shelf, SPL_BOOK_READ);
    g_autoptr(GError) error = NULL;

    assert_false(spl_book_execute(book, &error, "SELECT \"nosuch\" FROM site", SPL_NONE));
    assert_non_null(error);
    assert_int_equal(spl_book_number(book, 1, NULL, "PRAGMA mmap_size", SPL_NONE), 0);
    assert_int_equal(spl_book_number(book, 0, NULL, "PRAGMA cell_size_check", SPL_NONE), 1);
}

#define OPENINGS 40

static double processor_s(void)
{
    struct timespec now;

    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

/* Each command opens the book: looking whether its tables are ours must stay small beside what
 * SQLite needs to read them. Measured: 1.3 times; with the model made anew each time, 36. The bound
 * leaves room for builds that slow ours and not SQLite. */
static void to_open_a_book_takes_little_more_than_sqlite_does(void **state)
{
    struct shelf *shelf = *state;
    double began, sqlite_s, ours_s;

    spl_book_close(shelf_open(shelf, SPL_BOOK_READ));
    began = processor_s();
    for (int i = 0; i < OPENINGS; i++)
        execute(shelf->path, "SELECT name FROM sqlite_schema; SELECT * FROM setting");
    sqlite_s = processor_s() - began;
    began = processor_s();
    for (int i = 0; i < OPENINGS; i++)
        spl_book_close(shelf_open(shelf, SPL_BOOK_READ));
    ours_s = processor_s() - began;
    print_message("opened: SQLite %.2f ms, ours %.2f ms, %.2f times\n", 1e3 * sqlite_s / OPENINGS,
                  1e3 * ours_s / OPENINGS, ours_s / sqlite_s);
    assert_true(ours_s < 10 * sqlite_s);
}

/* A stranger's book has so much time, from its first page to its last row, and no more: also for
 * what is read of it after it was looked at. */
static void a_strangers_book_that_takes_too_long_is_left(void **state)
{
    static const char many[] =
        "WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 20000)"
        " INSERT INTO amendment (uuid, subject, field, value, at, why)"
        " SELECT 'a' || i, 'x', 'name', 'y', i, 'z' FROM n";
    static const char all[] = "SELECT count(*) FROM amendment a JOIN amendment b"
                              " ON a.value > b.why AND a.id + b.id > 0";
    struct shelf *shelf = *state;
    g_autoptr(spl_book) mine = shelf_open(shelf, SPL_BOOK_WRITE);
    g_autoptr(spl_book) theirs = NULL;
    g_autoptr(GError) error = NULL;
    struct spl_look look;

    assert_true(spl_book_begin(mine, &error) &&
                spl_book_finish(mine, spl_book_execute(mine, &error, many, SPL_NONE), &error));
    expect_ok(error);
    theirs = shelf_open(shelf, SPL_BOOK_READ);
    assert_false(spl_look_at_stranger(theirs, SPL_STAMP_MAX, 0, &look, &error));
    expect_error(error, SPL_ERROR_LIMIT, "takes too long to read");
    g_clear_error(&error);
    assert_int_equal(spl_book_number(theirs, -1, &error, all, SPL_NONE), -1);
    expect_error(error, SPL_ERROR_LIMIT, "takes too long to read");
    g_clear_error(&error);
    g_clear_pointer(&theirs, spl_book_close);

    theirs = shelf_open(shelf, SPL_BOOK_READ);
    assert_true(spl_look_at_stranger(theirs, SPL_STAMP_MAX, 600, &look, &error));
    expect_ok(error);
    spl_look_clear(&look);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(a_fresh_book_is_what_all_migrations_make, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(a_strangers_book_that_takes_too_long_is_left, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(what_differs_from_the_migrations_is_named, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(how_the_sql_is_written_does_not_matter, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test(every_view_that_reads_corrections_asks_whether_they_count),
    cmocka_unit_test_setup_teardown(the_prints_kept_are_those_of_the_models, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(a_name_that_is_no_column_is_an_error, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(to_open_a_book_takes_little_more_than_sqlite_does, shelf_set_up,
                                    shelf_tear_down),
};
expect_main(tests)
