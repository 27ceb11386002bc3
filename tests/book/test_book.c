/* SPDX-License-Identifier: MIT
 *
 * The book as a file: made, opened, refused, migrated, copied, shared by two programs.
 */
#include "shelf.h"

#include <sqlite3.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/file.h"
#include "book/check.h"
#include "book/migrations.h"
#include "book/statement.h"

static const struct spl_day MAY = {20577}; /* 2026-05-04 */

static void a_book_is_not_made_over_another(void **state)
{
    struct shelf *shelf = *state;
    g_autoptr(GError) error = NULL;

    assert_null(spl_book_open(shelf->path, SPL_BOOK_MAKE, &error));
    expect_error(error, SPL_ERROR_EXISTS, shelf->path);
}

static void what_is_no_book_is_refused_and_left_alone(void **state)
{
    struct shelf *shelf = *state;
    static const char text[] = "This is a shopping list, not a book; it is long enough to be taken "
                               "for a file with a header of one hundred bytes.";
    g_autoptr(GError) error = NULL;
    g_autofree char *before = NULL, *after = NULL;

    assert_true(g_file_set_contents(shelf->path, text, sizeof text - 1, NULL));
    before = spl_file_checksum(shelf->path, NULL);
    assert_null(spl_book_open(shelf->path, SPL_BOOK_WRITE, &error));
    expect_error(error, SPL_ERROR_CORRUPT, "no book of simpling");
    assert_true(g_file_set_contents(shelf->path, "", 0, NULL));
    assert_null(spl_book_open(shelf->path, SPL_BOOK_READ, &error));
    expect_error(error, SPL_ERROR_CORRUPT, "empty file");
    assert_true(g_file_set_contents(shelf->path, text, sizeof text - 1, NULL));
    after = spl_file_checksum(shelf->path, NULL);
    assert_string_equal(before, after);
    assert_null(spl_book_open(shelf->folder, SPL_BOOK_READ, &error));
    expect_error(error, SPL_ERROR_CORRUPT, "folder");
}

static void another_programs_database_is_refused(void **state)
{
    struct shelf *shelf = *state;
    g_autofree char *path = g_build_filename(shelf->folder, "other.db", NULL);
    g_autoptr(GError) error = NULL;
    sqlite3 *db;

    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, "CREATE TABLE t (a)", NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
    assert_null(spl_book_open(path, SPL_BOOK_WRITE, &error));
    expect_error(error, SPL_ERROR_CORRUPT, "no book of simpling");
}

/* Runs SQL on the file behind the room's back. */
static void tamper(const char *path, const char *sql)
{
    sqlite3 *db;

    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, "PRAGMA synchronous = OFF", NULL, NULL, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
}

static void a_newer_book_is_refused(void **state)
{
    struct shelf *shelf = *state;
    g_autoptr(GError) error = NULL;

    tamper(shelf->path, "PRAGMA user_version = 9999");
    assert_null(spl_book_open(shelf->path, SPL_BOOK_READ, &error));
    expect_error(error, SPL_ERROR_TOO_NEW, "9999");
    assert_null(spl_book_open(shelf->path, SPL_BOOK_WRITE, &error));
    expect_error(error, SPL_ERROR_TOO_NEW, "newer simpling");
}

static void a_truncated_book_is_named_damaged(void **state)
{
    struct shelf *shelf = *state;
    g_autoptr(GError) error = NULL;
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE);
    gint64 site = shelf_site(book, "Withy Gill");

    assert_true(spl_book_begin(book, &error)); /* one for all: each alone would wait for the disk */
    for (int i = 0; i < 200; i++)
        g_free(shelf_harvest(book, site, MAY, 100));
    assert_true(spl_book_commit(book, &error));
    spl_book_close(book);
    assert_int_equal(truncate(shelf->path, 20000), 0);
    book = spl_book_open(shelf->path, SPL_BOOK_READ, &error);
    if (book != NULL) {
        GPtrArray *findings = spl_book_check(book, &error);

        /* Either the check lists faults or it cannot even be run: never "sound". */
        if (findings != NULL) {
            assert_true(findings->len > 0);
            g_ptr_array_unref(findings);
        }
        spl_book_close(book);
    }
    if (error != NULL)
        expect_error(error, SPL_ERROR_CORRUPT, shelf->path);
}

static void a_reader_changes_nothing(void **state)
{
    struct shelf *shelf = *state;
    g_autofree char *before = spl_file_checksum(shelf->path, NULL), *after = NULL;
    g_autoptr(GError) error = NULL;
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_READ);

    assert_false(spl_book_execute(book, &error, "DELETE FROM setting", SPL_NONE));
    expect_error(error, SPL_ERROR_READ_ONLY, shelf->path);
    spl_book_close(book);
    after = spl_file_checksum(shelf->path, NULL);
    assert_string_equal(before, after);
}

/* A book as the first `n` migrations leave it, as an older program would have. */
static void make_old(const char *path, int n)
{
    g_autofree char *version = g_strdup_printf("PRAGMA user_version = %d", n);

    tamper(path, "PRAGMA application_id = 1397771330"); /* "SPLB" */
    for (int i = 0; i < n; i++)
        tamper(path, spl_migrations[i].sql);
    tamper(path, version);
}

static char *schema_of(const char *path)
{
    GString *schema = g_string_new(NULL);
    sqlite3_stmt *stmt;
    sqlite3 *db;

    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(db,
                                        "SELECT type, name, sql FROM sqlite_schema"
                                        " ORDER BY type, name",
                                        -1, &stmt, NULL),
                     SQLITE_OK);
    while (sqlite3_step(stmt) == SQLITE_ROW)
        g_string_append_printf(schema, "%s %s %s\n", sqlite3_column_text(stmt, 0),
                               sqlite3_column_text(stmt, 1),
                               sqlite3_column_type(stmt, 2) == SQLITE_NULL
                                   ? ""
                                   : (const char *)sqlite3_column_text(stmt, 2));
    sqlite3_finalize(stmt);
    sqlite3_close(db);
    return g_string_free(schema, FALSE);
}

static void older_books_are_migrated_by_a_writer_and_kept_beside(void **state)
{
    struct shelf *shelf = *state;
    g_autofree char *fresh = schema_of(shelf->path);

    for (int n = 1; n < spl_n_migrations; n++) {
        g_autofree char *path = g_strdup_printf("%s/old-%d.db", shelf->folder, n);
        g_autofree char *before = NULL, *after = NULL, *schema = NULL;
        g_autoptr(GError) error = NULL;
        struct spl_book *book;

        make_old(path, n);
        tamper(path, "INSERT INTO setting VALUES ('mark', 'OLD')");
        before = spl_file_checksum(path, NULL);
        /* A reader sees the new schema and leaves the file as it is. */
        book = spl_book_open(path, SPL_BOOK_READ, &error);
        expect_ok(error);
        assert_int_equal(spl_book_schema_found(book), n);
        assert_string_equal(spl_setting_mark(book), "OLD");
        spl_book_close(book);
        after = spl_file_checksum(path, NULL);
        assert_string_equal(before, after);
        /* A writer migrates, and the copy holds the old bytes' content. */
        book = spl_book_open(path, SPL_BOOK_WRITE, &error);
        expect_ok(error);
        assert_non_null(spl_book_kept_copy(book));
        assert_true(g_file_test(spl_book_kept_copy(book), G_FILE_TEST_EXISTS));
        spl_book_close(book);
        schema = schema_of(path);
        assert_string_equal(schema, fresh);
    }
}

static void a_backup_is_a_whole_book(void **state)
{
    struct shelf *shelf = *state;
    g_autofree char *path = g_build_filename(shelf->folder, "copy.db", NULL);
    g_autoptr(GError) error = NULL;
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE), *copy;
    gint64 site = shelf_site(book, "Withy Gill");
    struct spl_book_counts counts;

    g_free(shelf_harvest(book, site, MAY, 250));
    assert_true(spl_book_backup(book, path, &error));
    assert_false(spl_book_backup(book, path, &error));
    expect_error(error, SPL_ERROR_EXISTS, path);
    spl_book_close(book);
    copy = spl_book_open(path, SPL_BOOK_READ, &error);
    assert_true(spl_book_count(copy, &counts, &error));
    assert_int_equal(counts.sites, 1);
    assert_int_equal(counts.harvests, 1);
    spl_book_close(copy);
}

/* What a writer in another process has begun and what it was told is done. */
struct progress {
    volatile int begun, done, stop;
};

static void write_until_stopped(const char *path, gint64 site, struct progress *progress)
{
    while (!progress->stop) {
        g_autoptr(GError) failed = NULL;
        struct spl_book *book = spl_book_open(path, SPL_BOOK_WRITE, &failed);
        struct spl_harvest harvest = {.site_id = site,
                                      .material = g_strdup("nettle/leaf"),
                                      .stage = 41,
                                      .date = MAY,
                                      .weight_g = 10,
                                      .garbled_g = NAN,
                                      .verdict = SPL_VERDICT_CLEAR,
                                      .reasons_json = g_strdup("[]")};

        progress->begun++;
        if (book == NULL || !spl_book_begin(book, &failed) ||
            !spl_harvest_add(book, &harvest, &failed) || !spl_book_commit(book, &failed)) {
            fprintf(stderr, "the writer: %s\n", failed->message);
            _exit(1);
        }
        progress->done++;
        spl_book_close(book);
    }
    _exit(0);
}

/* Each copy is a whole book of one moment: no less than was done before it began, no more than was
 * begun when it ended; the writer is never refused and goes on. */
static void copies_are_whole_while_another_process_writes(void **state)
{
    struct shelf *shelf = *state;
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE);
    struct progress *progress =
        mmap(NULL, sizeof *progress, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    g_autoptr(GError) error = NULL;
    gint64 site = shelf_site(book, "Withy Gill");
    int status, busy = 0, first, last;
    pid_t writer;

    assert_ptr_not_equal(progress, MAP_FAILED);
    assert_true(spl_book_begin(book, &error));
    for (int i = 0; i < 1000; i++) /* so that a copy takes a while */
        g_free(shelf_harvest(book, site, MAY, 100));
    assert_true(spl_book_commit(book, &error));
    spl_book_close(book);
    writer = fork();
    assert_true(writer >= 0);
    if (writer == 0)
        write_until_stopped(shelf->path, site, progress);
    while (progress->done == 0)
        g_usleep(1000);
    first = progress->done;
    for (int i = 0; i < 4; i++) {
        g_autofree char *path = g_strdup_printf("%s/copy-%d.db", shelf->folder, i);
        g_autoptr(GPtrArray) findings = NULL;
        struct spl_book_counts counts;
        int before, after, begun;

        book = shelf_open(shelf, SPL_BOOK_READ);
        before = progress->done;
        begun = progress->begun;
        spl_book_backup(book, path, &error);
        expect_ok(error);
        after = progress->begun;
        busy += begun > before || after > begun; /* it wrote meanwhile */
        spl_book_close(book);
        book = spl_book_open(path, SPL_BOOK_READ, &error);
        expect_ok(error);
        findings = spl_book_check(book, &error);
        assert_int_equal(findings->len, 0);
        assert_true(spl_book_count(book, &counts, &error));
        if (counts.harvests < 1000 + before || counts.harvests > 1000 + after)
            fail_msg("copy %d: %d harvests, %d were done before it, %d begun after", i,
                     (int)counts.harvests - 1000, before, after);
        spl_book_close(book);
    }
    last = progress->done;
    progress->stop = 1;
    assert_int_equal(waitpid(writer, &status, 0), writer);
    assert_true(WIFEXITED(status) && WEXITSTATUS(status) == 0);
    assert_true(last > first);
    assert_true(busy > 0);
    munmap(progress, sizeof *progress);
}

static void a_sound_book_has_no_findings_and_an_overdrawn_one_has(void **state)
{
    struct shelf *shelf = *state;
    g_autoptr(GError) error = NULL;
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE);
    gint64 site = shelf_site(book, "Withy Gill");
    GPtrArray *findings;

    g_free(shelf_harvest(book, site, MAY, 100));
    g_free(shelf_harvest(book, site, MAY, 100));
    findings = spl_book_check(book, &error);
    expect_ok(error);
    assert_int_equal(findings->len, 0);
    g_ptr_array_unref(findings);
    spl_book_close(book);
    tamper(shelf->path, "INSERT INTO discard (uuid, thing_id, day, grams, why, at)"
                        " SELECT 'x', min(id), 20577, 150, 'mould', 1 FROM harvest");
    book = shelf_open(shelf, SPL_BOOK_READ);
    findings = spl_book_check(book, &error);
    assert_int_equal(findings->len, 1);
    assert_non_null(strstr(g_ptr_array_index(findings, 0), "H26-001"));
    g_ptr_array_unref(findings);
    spl_book_close(book);
}

static void nested_transactions_count_as_one(void **state)
{
    struct shelf *shelf = *state;
    g_autoptr(GError) error = NULL;
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE);

    assert_true(spl_book_begin(book, &error));
    assert_true(spl_setting_set(book, "who", "Ann", &error));
    assert_true(spl_book_begin(book, &error));
    spl_book_rollback(book);
    assert_false(spl_book_commit(book, &error));
    g_clear_error(&error);
    assert_null(spl_setting_get(book, "who", NULL));
    spl_book_close(book);
}

/* Two processes log at the same time; every code that either was given is there, once. */
static void two_programs_share_a_book(void **state)
{
    struct shelf *shelf = *state;
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE);
    gint64 site = shelf_site(book, "Withy Gill");
    g_autoptr(GError) error = NULL;
    struct spl_book_counts counts;
    enum { EACH = 20 };
    pid_t children[2];

    spl_book_close(book);
    for (int child = 0; child < 2; child++) {
        children[child] = fork();
        assert_true(children[child] >= 0);
        if (children[child] == 0) {
            for (int i = 0; i < EACH; i++) {
                g_autoptr(GError) failed = NULL;
                struct spl_book *own = spl_book_open(shelf->path, SPL_BOOK_WRITE, &failed);
                struct spl_harvest harvest = {.site_id = site,
                                              .material = g_strdup("nettle/leaf"),
                                              .stage = 41,
                                              .date = MAY,
                                              .weight_g = 1 + i,
                                              .garbled_g = NAN,
                                              .verdict = SPL_VERDICT_CLEAR,
                                              .reasons_json = g_strdup("[]")};
                gboolean ok = own != NULL && spl_book_begin(own, &failed) &&
                              spl_harvest_add(own, &harvest, &failed) &&
                              spl_book_commit(own, &failed);

                if (!ok) {
                    fprintf(stderr, "child %d: %s\n", child, failed->message);
                    _exit(1);
                }
                spl_book_close(own);
            }
            _exit(0);
        }
    }
    for (int child = 0; child < 2; child++) {
        int status;

        assert_int_equal(waitpid(children[child], &status, 0), children[child]);
        assert_true(WIFEXITED(status) && WEXITSTATUS(status) == 0);
    }
    book = shelf_open(shelf, SPL_BOOK_READ);
    assert_true(spl_book_count(book, &counts, &error));
    assert_int_equal(counts.harvests, 2 * EACH);
    assert_int_equal(spl_book_number(book, 0, &error, "SELECT max(number) FROM thing", SPL_NONE),
                     2 * EACH);
    spl_book_close(book);
}

static void a_locked_book_is_named_busy_and_waited_for(void **state)
{
    struct shelf *shelf = *state;
    g_autoptr(GError) error = NULL;
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE);
    sqlite3 *other;

    assert_int_equal(sqlite3_open(shelf->path, &other), SQLITE_OK);
    assert_int_equal(sqlite3_exec(other, "BEGIN EXCLUSIVE", NULL, NULL, NULL), SQLITE_OK);
    /* The house waits 10 s; here less, the answer is the same. */
    sqlite3_busy_timeout(spl_book_handle(book), 50);
    assert_false(spl_book_begin(book, &error));
    expect_error(error, SPL_ERROR_BUSY, "another program");
    assert_int_equal(sqlite3_exec(other, "ROLLBACK", NULL, NULL, NULL), SQLITE_OK);
    assert_true(spl_book_begin(book, &error));
    spl_book_rollback(book);
    sqlite3_close(other);
    spl_book_close(book);
}

static void put_other(struct shelf *shelf, const char *who, char **path)
{
    g_autoptr(GError) error = NULL;
    struct spl_book *other;

    *path = g_build_filename(shelf->folder, "other.db", NULL);
    other = spl_book_open(*path, SPL_BOOK_MAKE, &error);
    expect_ok(error);
    assert_true(spl_book_begin(other, &error));
    assert_true(spl_setting_set(other, "who", who, &error));
    assert_true(spl_book_commit(other, &error));
    spl_book_close(other);
}

/* Another book is moved over ours before or in the middle of a transaction: a synchronised folder,
 * a restored backup. What was not acknowledged is in neither, and both stay sound. */
static void a_book_replaced_under_us_is_noticed(void **state)
{
    struct shelf *shelf = *state;
    g_autofree char *kept = g_build_filename(shelf->folder, "kept.db", NULL);
    g_autofree char *journal = g_strconcat(shelf->path, "-journal", NULL);

    for (int within = 0; within < 2; within++) {
        struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE), *after;
        g_autoptr(GError) error = NULL;
        g_autoptr(GPtrArray) findings = NULL;
        g_autofree char *other = NULL, *who = NULL;

        if (within) {
            assert_true(spl_book_begin(book, &error));
            assert_true(spl_setting_set(book, "who", "Ann", &error));
        }
        put_other(shelf, "Edda", &other);
        assert_int_equal(g_rename(shelf->path, kept), 0);
        assert_int_equal(g_rename(other, shelf->path), 0);
        if (within)
            assert_false(spl_book_commit(book, &error));
        else
            assert_false(spl_book_begin(book, &error));
        expect_error(error, SPL_ERROR_CONFLICT, "was replaced by another file");
        spl_book_close(book);
        assert_false(g_file_test(journal, G_FILE_TEST_EXISTS));
        after = shelf_open(shelf, SPL_BOOK_READ);
        findings = spl_book_check(after, &error);
        assert_int_equal(findings->len, 0);
        who = spl_setting_get(after, "who", NULL);
        assert_string_equal(who, "Edda");
        spl_book_close(after);
        assert_int_equal(g_rename(kept, shelf->path), 0);
        after = shelf_open(shelf, SPL_BOOK_READ);
        assert_null(spl_setting_get(after, "who", NULL));
        spl_book_close(after);
    }
}

/* A reader keeps what it opened to the end: one book, not half of each. */
static void a_reader_of_a_replaced_book_reads_the_old_one(void **state)
{
    struct shelf *shelf = *state;
    g_autofree char *other = NULL;
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    g_autoptr(GPtrArray) findings = NULL;

    (void)shelf_site(book, "Withy Gill");
    spl_book_close(book);
    book = shelf_open(shelf, SPL_BOOK_READ);
    put_other(shelf, "Edda", &other);
    assert_int_equal(g_rename(other, shelf->path), 0);
    assert_int_equal(spl_book_number(book, 0, &error, "SELECT count(*) FROM site", SPL_NONE), 1);
    findings = spl_book_check(book, &error);
    assert_int_equal(findings->len, 0);
    spl_book_close(book);
}

static void a_book_that_was_taken_away_is_noticed(void **state)
{
    struct shelf *shelf = *state;
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;

    assert_true(spl_book_begin(book, &error));
    assert_true(spl_setting_set(book, "who", "Ann", &error));
    assert_int_equal(g_unlink(shelf->path), 0);
    assert_false(spl_book_commit(book, &error));
    expect_error(error, SPL_ERROR_CONFLICT, "taken away");
    spl_book_close(book);
    assert_false(g_file_test(shelf->path, G_FILE_TEST_EXISTS));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(a_book_replaced_under_us_is_noticed, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(a_reader_of_a_replaced_book_reads_the_old_one, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(a_book_that_was_taken_away_is_noticed, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(a_locked_book_is_named_busy_and_waited_for, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(a_book_is_not_made_over_another, shelf_set_up, shelf_tear_down),
    cmocka_unit_test_setup_teardown(what_is_no_book_is_refused_and_left_alone, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(another_programs_database_is_refused, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(a_newer_book_is_refused, shelf_set_up, shelf_tear_down),
    cmocka_unit_test_setup_teardown(a_truncated_book_is_named_damaged, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(a_reader_changes_nothing, shelf_set_up, shelf_tear_down),
    cmocka_unit_test_setup_teardown(older_books_are_migrated_by_a_writer_and_kept_beside,
                                    shelf_set_up, shelf_tear_down),
    cmocka_unit_test_setup_teardown(a_backup_is_a_whole_book, shelf_set_up, shelf_tear_down),
    cmocka_unit_test_setup_teardown(copies_are_whole_while_another_process_writes, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(a_sound_book_has_no_findings_and_an_overdrawn_one_has,
                                    shelf_set_up, shelf_tear_down),
    cmocka_unit_test_setup_teardown(nested_transactions_count_as_one, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(two_programs_share_a_book, shelf_set_up, shelf_tear_down),
};
expect_main(tests)
