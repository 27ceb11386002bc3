/* SPDX-License-Identifier: MIT
 *
 * The book under every fault: made, migrated from every earlier schema, written in one transaction,
 * and copied. What is reported as done lasts; what fails leaves the book as it was.
 */
#include <glib/gstdio.h>
#include <sqlite3.h>

#include "book/book.h"
#include "book/check.h"
#include "book/derive.h"
#include "book/merge.h"
#include "book/site.h"
#include "expect.h"
#include "fault_check.h"
#include "fault_loop.h"
#include "old_book.h"

static char *start;    /* a book with a site */
static int old_schema; /* of the book that is migrated */

static struct spl_site site_named(const char *name)
{
    struct spl_site site = {.name = g_strdup(name),
                            .lat = 54.81,
                            .lon = -2.41,
                            .elevation_m = 210,
                            .accuracy_m = 10,
                            .contaminated_on = SPL_DAY_NONE};
    return site;
}

static gboolean add_sites(struct spl_book *book, const char *prefix, int n, GError **error)
{
    gboolean ok = spl_book_begin(book, error);
    if (!ok)
        return FALSE;
    for (int i = 0; ok && i < n; i++) {
        g_autofree char *name = g_strdup_printf("%s %d", prefix, i);
        struct spl_site site = site_named(name);
        ok = spl_site_add(book, &site, error);
        spl_record_clear(&spl_site_shape, &site);
    }
    return spl_book_finish(book, ok, error);
}

static gboolean act_make(const char *path, gpointer data, GError **error)
{
    g_autoptr(spl_book) book = spl_book_open(path, SPL_BOOK_MAKE, error);
    (void)data;
    return book != NULL;
}

static gboolean act_add(const char *path, gpointer data, GError **error)
{
    g_autoptr(spl_book) book = spl_book_open(path, SPL_BOOK_WRITE, error);
    (void)data;
    return book != NULL && add_sites(book, "Far Fell", 5, error);
}

static gboolean act_open(const char *path, gpointer data, GError **error)
{
    g_autoptr(spl_book) book = spl_book_open(path, SPL_BOOK_WRITE, error);
    (void)data;
    return book != NULL;
}

static gboolean act_read(const char *path, gpointer data, GError **error)
{
    g_autoptr(spl_book) book = spl_book_open(path, SPL_BOOK_READ, error);
    (void)data;
    if (book == NULL)
        return FALSE;
    GArray *sites = spl_site_all(book, error);
    if (sites == NULL)
        return FALSE;
    gboolean all = sites->len == 40;
    spl_list_free(&spl_site_shape, sites);
    if (!all)
        fail_msg("a read that met a fault came back short and said nothing");
    return TRUE;
}

static gboolean act_backup(const char *path, gpointer data, GError **error)
{
    g_autoptr(spl_book) book = spl_book_open(path, SPL_BOOK_READ, error);
    g_autofree char *copy = g_strconcat(path, ".copy", NULL);
    (void)data;
    return book != NULL && spl_book_backup(book, copy, error);
}

/* The copy, if there is one, holds what the book holds. */
static gboolean check_backup(const char *path, GError **error)
{
    g_autofree char *copy = g_strconcat(path, ".copy", NULL);
    if (g_file_test(copy, G_FILE_TEST_EXISTS)) {
        g_autofree char *first = fault_fingerprint(path);
        g_autofree char *second = fault_fingerprint(copy);
        if (strcmp(first, second) != 0)
            fail_msg("a copy stays that differs from the book");
    }
    return fault_check_book(path, error);
}

static gboolean act_repair(const char *path, gpointer data, GError **error)
{
    g_autoptr(spl_book) book = spl_book_open(path, SPL_BOOK_WRITE, error);
    (void)data;
    if (book == NULL || !spl_book_begin(book, error))
        return FALSE;
    GArray *mendings = spl_derived_mend(book, error);
    guint n = mendings != NULL ? mendings->len : 0;
    if (mendings != NULL)
        spl_list_free(&spl_mending_shape, mendings);
    if (!spl_book_finish(book, mendings != NULL, error))
        return FALSE;
    if (n != 20)
        fail_msg("a repair that met a fault mended %u of 20 and said that it was done", n);
    return TRUE;
}

static gboolean act_merge(const char *path, gpointer other_path, GError **error)
{
    g_autoptr(spl_book) other = spl_book_open(other_path, SPL_BOOK_READ, error);
    g_autoptr(spl_book) book = other != NULL ? spl_book_open(path, SPL_BOOK_WRITE, error) : NULL;
    struct spl_merge merge = {0};
    if (book == NULL || !spl_book_begin(book, error))
        return FALSE;
    struct spl_look look = {0};
    gboolean ok = spl_look_at_rows(other, SPL_STAMP_MAX, TRUE, &look, error) &&
                  spl_book_merge(book, other, &look, &merge, error);
    gint64 added = merge.added;
    spl_merge_clear(&merge);
    spl_look_clear(&look);
    if (!spl_book_finish(book, ok, error))
        return FALSE;
    if (added != 10)
        fail_msg("a merge that met a fault brought %d of 10 and said that it was done", (int)added);
    return TRUE;
}

/* Sound as a file; the book before a repair has its faults. */
static gboolean check_file(const char *path, GError **error)
{
    g_autoptr(spl_book) book = spl_book_open(path, SPL_BOOK_READ, error);
    g_autoptr(GPtrArray) findings = g_ptr_array_new_with_free_func(g_free);
    if (book == NULL || !spl_book_check_file(book, findings, error))
        return FALSE;
    if (findings->len > 0)
        g_set_error_literal(error, SPL_ERROR, SPL_ERROR_CORRUPT, g_ptr_array_index(findings, 0));
    return findings->len == 0;
}

static int set_up(void **state)
{
    GError *error = NULL;
    (void)state;
    start = g_strdup_printf("%s.start", fault_scratch());
    g_remove(start);
    g_autoptr(spl_book) book = spl_book_open(start, SPL_BOOK_MAKE, &error);
    expect_ok(error);
    add_sites(book, "Fell Side", 40, &error);
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

/* At least `fewest` faulty runs, an eighth of them when only passing faults are tried. */
static void run_kinds(struct fault_action action, const enum fault_kind *kinds, int fewest)
{
    int runs = fault_loop(&action, fault_wide() ? NULL : kinds);
    print_message("%s: %d faulty runs\n", action.name, runs);
    if (runs < (fault_all() ? fewest : fewest / 8))
        fail_msg("only %d faulty runs of %s", runs, action.name);
}

static void run(struct fault_action action, int fewest)
{
    run_kinds(action, NULL, fewest);
}

/* For long actions: the most telling faults, all of them when all are asked for. */
static const enum fault_kind telling[] = {FAULT_READ, FAULT_WRITE, FAULT_DROP, FAULT_NONE};

static void making_a_book_is_done_or_leaves_nothing(void **state)
{
    (void)state;
    run((struct fault_action){.name = "make", .act = act_make, .check = fault_check_book}, 200);
}

static void adding_is_done_or_leaves_the_book_as_it_was(void **state)
{
    (void)state;
    run(
        (struct fault_action){
            .name = "add", .act = act_add, .check = fault_check_book, .start = start},
        200);
}

static void reading_tells_all_or_fails(void **state)
{
    (void)state;
    run((struct fault_action){.name = "read",
                              .act = act_read,
                              .check = fault_check_book,
                              .start = start,
                              .reads_only = TRUE},
        50);
}

static void a_backup_is_whole_or_fails(void **state)
{
    (void)state;
    run((struct fault_action){.name = "backup",
                              .act = act_backup,
                              .check = check_backup,
                              .start = start,
                              .reads_only = TRUE},
        100);
}

static void a_repair_is_done_or_leaves_the_book_as_it_was(void **state)
{
    g_autofree char *bad = g_strdup_printf("%s.bad", fault_scratch());
    g_autofree char *bytes = NULL;
    sqlite3 *db = NULL;
    gsize size;
    (void)state;

    assert_true(g_file_get_contents(start, &bytes, &size, NULL));
    assert_true(g_file_set_contents(bad, bytes, (gssize)size, NULL));
    assert_int_equal(sqlite3_open(bad, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, "DELETE FROM site_key WHERE site_id <= 20", NULL, NULL, NULL),
                     SQLITE_OK);
    sqlite3_close(db);
    run_kinds(
        (struct fault_action){
            .name = "repair", .act = act_repair, .check = check_file, .start = bad},
        telling, 100);
    g_remove(bad);
}

static void a_merge_is_done_or_leaves_the_book_as_it_was(void **state)
{
    g_autofree char *other = g_strdup_printf("%s.other", fault_scratch());
    GError *error = NULL;
    (void)state;

    g_remove(other);
    struct spl_book *book = spl_book_open(other, SPL_BOOK_MAKE, &error);
    expect_ok(error);
    add_sites(book, "Kell Moss", 10, &error);
    expect_ok(error);
    spl_book_close(book);
    run_kinds((struct fault_action){.name = "merge",
                                    .act = act_merge,
                                    .check = fault_check_book,
                                    .start = start,
                                    .data = other},
              telling, 100);
    g_remove(other);
}

/* Makes the book that the dump of an earlier schema describes. */
static void restore(const char *dump, const char *path)
{
    g_autofree char *sql = NULL;
    sqlite3 *db = NULL;
    GError *error = NULL;
    g_file_get_contents(dump, &sql, NULL, &error);
    expect_ok(error);
    g_remove(path);
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    if (sqlite3_exec(db, sql, NULL, NULL, NULL) != SQLITE_OK)
        fail_msg("%s: %s", dump, sqlite3_errmsg(db));
    sqlite3_close(db);
}

/* The harvests of the old book are in the new one, weight by weight. */
static gboolean check_migrated(const char *path, GError **error)
{
    old_book_expect(old_schema, path);
    return fault_check_book(path, error);
}

static void earlier_schemas_are_migrated_or_left(void **state)
{
    g_autofree char *old = g_strdup_printf("%s.old", fault_scratch());
    /* The most telling faults for each, all of them for the longest way: that takes minutes. */
    static const enum fault_kind few[] = {FAULT_WRITE, FAULT_SYNC, FAULT_DROP, FAULT_NONE};
    (void)state;
#ifdef __SANITIZE_ADDRESS__
    print_message("left to the plain build, where each schema is tried\n"); /* minutes here */
    return;
#endif
    for (int schema = 1; schema < (fault_wide() ? spl_n_migrations : 2); schema++) {
        g_autofree char *name = g_strdup_printf("schema %d", schema);
        old_schema = schema;
        old_book_make(schema, old);
        struct fault_action action = {
            .name = name, .act = act_open, .check = check_migrated, .start = old};
        int runs = fault_loop(&action, schema == 1 && fault_wide() ? NULL : few);
        print_message("%s: %d faulty runs\n", name, runs);
        if (runs < 15)
            fail_msg("only %d faulty runs of %s", runs, name);
    }
    g_remove(old);
}

/* The books that landed versions of the program wrote, as dumps. */
static void every_book_that_was_ever_written_opens(void **state)
{
    g_autofree char *folder = g_build_filename(SPL_SOURCE_DIR, "tests", "book", "schemas", NULL);
    g_autofree char *old = g_strdup_printf("%s.old", fault_scratch());
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    const char *name;
    int n = 0;
    (void)state;
    while (dir != NULL && (name = g_dir_read_name(dir)) != NULL) {
        GError *error = NULL;
        if (!g_str_has_suffix(name, ".sql"))
            continue;
        g_autofree char *dump = g_build_filename(folder, name, NULL);
        restore(dump, old);
        g_autofree char *before = fault_fingerprint(old);
        act_open(old, NULL, &error);
        expect_ok(error);
        g_autofree char *after = fault_fingerprint(old);
        /* Rows are only ever added to. */
        g_auto(GStrv) tables = g_strsplit(before, "\n", -1);
        for (char **table = tables; *table != NULL && **table != '\0'; table++)
            if (strstr(*table, "harvest ") == *table && strstr(after, *table) == NULL)
                fail_msg("%s: had %s", name, *table);
        fault_check_book(old, &error);
        expect_ok(error);
        n++;
    }
    g_remove(old);
    assert_true(n > 0);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(making_a_book_is_done_or_leaves_nothing),
        cmocka_unit_test(adding_is_done_or_leaves_the_book_as_it_was),
        cmocka_unit_test(reading_tells_all_or_fails),
        cmocka_unit_test(a_backup_is_whole_or_fails),
        cmocka_unit_test(a_repair_is_done_or_leaves_the_book_as_it_was),
        cmocka_unit_test(a_merge_is_done_or_leaves_the_book_as_it_was),
        cmocka_unit_test(earlier_schemas_are_migrated_or_left),
        cmocka_unit_test(every_book_that_was_ever_written_opens),
    };
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    fault_install();
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
