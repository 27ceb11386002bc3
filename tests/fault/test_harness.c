/* SPDX-License-Identifier: MIT
 *
 * The fault harness finds what it is there to find: a plain SQLite file written the careful way
 * passes every fault; written without syncs, without a transaction, or without minding results it
 * is caught.
 */
#include "fault_loop.h"

#include "expect.h"
#include <glib/gstdio.h>
#include <sqlite3.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

static char *start; /* a small database */

static gboolean refuse(sqlite3 *db, GError **error)
{
    g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "the book cannot be written: %s",
                sqlite3_errmsg(db));
    sqlite3_close(db);
    return FALSE;
}

/* Opens with these settings, runs the statements one after the other, closes. */
static gboolean run(const char *book, const char *const *statements, GError **error)
{
    sqlite3 *db = NULL;
    if (sqlite3_open_v2(book, &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, NULL) != SQLITE_OK)
        return refuse(db, error);
    for (; *statements != NULL; statements++)
        if (sqlite3_exec(db, *statements, NULL, NULL, NULL) != SQLITE_OK)
            return refuse(db, error);
    sqlite3_close(db);
    return TRUE;
}

#define FILL                                                                                       \
    "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 40)"                 \
    " INSERT INTO fact(words) SELECT hex(randomblob(300)) FROM n"

static gboolean act_careful(const char *book, gpointer data, GError **error)
{
    static const char *const statements[] = {"PRAGMA synchronous=EXTRA",
                                             "BEGIN IMMEDIATE",
                                             FILL,
                                             "UPDATE fact SET words = 'x' WHERE n < 9",
                                             "DELETE FROM fact WHERE n BETWEEN 9 AND 12",
                                             "COMMIT",
                                             NULL};
    (void)data;
    return run(book, statements, error);
}

static gboolean act_unsynced(const char *book, gpointer data, GError **error)
{
    static const char *const statements[] = {"PRAGMA synchronous=OFF", FILL, NULL};
    (void)data;
    return run(book, statements, error);
}

/* Two transactions where one is meant. */
static gboolean act_in_halves(const char *book, gpointer data, GError **error)
{
    static const char *const statements[] = {"PRAGMA synchronous=EXTRA", FILL,
                                             "INSERT INTO fact(words) VALUES ('second')", NULL};
    (void)data;
    return run(book, statements, error);
}

static gboolean act_deaf(const char *book, gpointer data, GError **error)
{
    g_autoptr(GError) unheard = NULL;
    (void)error;
    act_careful(book, data, &unheard);
    return TRUE;
}

/* What a failure leaves behind and what then stands in the way of all that follows; but for the
 * first few, which leave nothing. `data` is the file. */
static gboolean act_grudging(const char *book, gpointer data, GError **error)
{
    static int failures;

    if (g_file_test(data, G_FILE_TEST_EXISTS)) {
        g_set_error_literal(error, SPL_ERROR, SPL_ERROR_IO, "there was trouble before");
        return FALSE;
    }
    if (act_careful(book, NULL, error))
        return TRUE;
    if (++failures > 2)
        (void)g_file_set_contents(data, "", 0, NULL);
    return FALSE;
}

static int set_up(void **state)
{
    static const char *const statements[] = {
        "CREATE TABLE fact(n INTEGER PRIMARY KEY, words TEXT NOT NULL) STRICT", FILL, NULL};
    (void)state;
    GError *error = NULL;
    start = g_strdup_printf("%s.start", fault_scratch());
    g_remove(start);
    run(start, statements, &error);
    expect_ok(error);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    g_remove(start);
    g_free(start);
    return 0;
}

static void a_careful_action_passes_every_fault(void **state)
{
    struct fault_action action = {.name = "careful", .act = act_careful, .start = start};
    (void)state;
    int runs = fault_loop(&action, NULL);
    if (runs < 40)
        fail_msg("only %d faulty runs: faults do not reach SQLite", runs);
    print_message("%d faulty runs\n", runs);
}

/* Runs the loop in a child, as it ends with a failed test there. TRUE if it found a fault. */
static gboolean is_action_caught(const struct fault_action *action, enum fault_kind kind)
{
    enum fault_kind kinds[] = {kind, FAULT_NONE};
    int status;
    fflush(NULL);
    pid_t child = fork();
    if (child == 0) {
        /* A failed check aborts there; its words are wanted by nobody. */
        struct rlimit no_core = {0, 0};
        setrlimit(RLIMIT_CORE, &no_core);
        g_setenv("CMOCKA_TEST_ABORT", "1", TRUE);
        if (freopen("/dev/null", "w", stderr) == NULL || freopen("/dev/null", "w", stdout) == NULL)
            _exit(2);
        fault_loop(action, kinds);
        _exit(0);
    }
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFSIGNALED(status) || (WIFEXITED(status) && WEXITSTATUS(status) == 0));
    return WIFSIGNALED(status);
}

static gboolean is_caught(gboolean (*act)(const char *, gpointer, GError **), enum fault_kind kind)
{
    const struct fault_action action = {.name = "planted", .act = act, .start = start};

    return is_action_caught(&action, kind);
}

static void an_action_that_does_not_sync_is_caught(void **state)
{
    (void)state;
    assert_true(is_caught(act_unsynced, FAULT_DROP));
    assert_true(is_caught(act_unsynced, FAULT_TEAR));
}

static void an_action_in_two_transactions_is_caught(void **state)
{
    (void)state;
    assert_true(is_caught(act_in_halves, FAULT_WRITE));
    assert_true(is_caught(act_in_halves, FAULT_DROP));
}

static void an_action_that_minds_no_errors_is_caught(void **state)
{
    static const enum fault_kind kinds[] = {FAULT_WRITE, FAULT_FULL, FAULT_SYNC,   FAULT_OPEN,
                                            FAULT_READ,  FAULT_LOCK, FAULT_DELETE, FAULT_MEMORY};
    (void)state;
    for (size_t i = 0; i < G_N_ELEMENTS(kinds); i++)
        if (!is_caught(act_deaf, kinds[i]))
            fail_msg("a %s that nobody minds is not found", fault_name(kinds[i]));
}

/* Also where the second try is left out after a failure that changed nothing. */
static void what_a_later_failure_leaves_beside_the_book_is_caught(void **state)
{
    g_autofree char *beside = g_strdup_printf("%s.beside", fault_scratch());
    g_autofree char *file = g_build_filename(beside, "trouble", NULL);
    const struct fault_action action = {
        .name = "planted", .act = act_grudging, .start = start, .data = file, .beside = beside};
    const struct fault_action careful = {
        .name = "careful", .act = act_careful, .start = start, .beside = beside};

    (void)state;
    assert_int_equal(g_mkdir(beside, 0700), 0);
    assert_true(fault_loop(&careful, NULL) >= 40);
    assert_true(is_action_caught(&action, FAULT_WRITE));
    g_remove(file);
    g_rmdir(beside);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_careful_action_passes_every_fault),
        cmocka_unit_test(an_action_that_does_not_sync_is_caught),
        cmocka_unit_test(an_action_in_two_transactions_is_caught),
        cmocka_unit_test(an_action_that_minds_no_errors_is_caught),
        cmocka_unit_test(what_a_later_failure_leaves_beside_the_book_is_caught),
    };
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    fault_install();
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
