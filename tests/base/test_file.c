/* SPDX-License-Identifier: MIT
 *
 * Files written whole or not at all.
 */
#include "base/file.h"

#include <glib/gstdio.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>

#include "expect.h"

static char *folder;

static int set_up(void **state)
{
    (void)state;
    folder = g_dir_make_tmp("spl-file-XXXXXX", NULL);
    return 0;
}

/* How many entries the folder has; removes them all. */
static guint sweep(void)
{
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    const char *name;
    guint n = 0;

    while ((name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *path = g_build_filename(folder, name, NULL);

        g_unlink(path);
        n++;
    }
    return n;
}

static int tear_down(void **state)
{
    (void)state;
    sweep();
    g_rmdir(folder);
    g_free(folder);
    return 0;
}

static void a_file_appears_only_when_committed(void **state)
{
    g_autofree char *path = g_build_filename(folder, "a.txt", NULL);
    g_autoptr(GError) error = NULL;
    struct spl_file_writer *writer = spl_file_writer_open(path, &error);
    g_autofree char *text = NULL;

    (void)state;
    expect_ok(error);
    assert_true(spl_file_writer_text(writer, "one", &error));
    assert_false(g_file_test(path, G_FILE_TEST_EXISTS));
    assert_true(spl_file_writer_commit(writer, &error));
    spl_file_writer_free(writer);
    text = spl_file_read(path, 100, NULL, &error);
    assert_string_equal(text, "one");
    assert_int_equal(sweep(), 1);
}

static void an_abandoned_write_leaves_the_old_file_and_no_litter(void **state)
{
    g_autofree char *path = g_build_filename(folder, "a.txt", NULL);
    g_autoptr(GError) error = NULL;
    struct spl_file_writer *writer;
    g_autofree char *text = NULL;

    (void)state;
    assert_true(spl_file_write(path, "old", 3, &error));
    writer = spl_file_writer_open(path, &error);
    assert_true(spl_file_writer_text(writer, "new", &error));
    spl_file_writer_free(writer);
    text = spl_file_read(path, 100, NULL, &error);
    assert_string_equal(text, "old");
    assert_int_equal(sweep(), 1);
}

static void equal_bytes_leave_the_file_untouched(void **state)
{
    g_autofree char *path = g_build_filename(folder, "a.txt", NULL);
    g_autoptr(GError) error = NULL;
    struct stat before, after;

    (void)state;
    assert_true(spl_file_write(path, "same", 4, &error));
    assert_int_equal(stat(path, &before), 0);
    assert_true(spl_file_write(path, "same", 4, &error));
    assert_int_equal(stat(path, &after), 0);
    assert_int_equal(before.st_ino, after.st_ino);
    sweep();
}

/* What is told before the commit is what it does: nothing where the file holds just this. */
static void what_a_commit_would_change_is_known_before(void **state)
{
    g_autofree char *path = g_build_filename(folder, "a.txt", NULL);
    g_autofree char *long_text = g_strnfill(200000, 'x');
    const struct {
        const char *there, *written; /* NULL: no file */
        gboolean changes;
    } rows[] = {
        {NULL, "one", TRUE}, {"one", "one", FALSE},         {"one", "two", TRUE},
        {"one", "on", TRUE}, {"on", "one", TRUE},           {"", "", FALSE},
        {"one", "", TRUE},   {long_text, long_text, FALSE}, {long_text, long_text + 1, TRUE}};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(spl_file_writer) writer = NULL;
        g_autofree char *text = NULL;
        gboolean changes;

        if (rows[i].there != NULL)
            assert_true(spl_file_write(path, rows[i].there, strlen(rows[i].there), &error));
        writer = spl_file_writer_open(path, &error);
        assert_true(spl_file_writer_text(writer, rows[i].written, &error));
        assert_true(spl_file_writer_changes(writer, &changes, &error));
        expect_ok(error);
        if (changes != rows[i].changes)
            fail_msg("row %d: %d", (int)i, changes);
        assert_true(spl_file_writer_commit(writer, &error));
        text = spl_file_read(path, 1000000, NULL, &error);
        assert_string_equal(text, rows[i].written);
        sweep();
    }
    {
        /* Of the same length, with another octet in the last piece. */
        g_autoptr(GError) error = NULL;
        g_autoptr(spl_file_writer) writer = NULL;
        gboolean changes;

        assert_true(spl_file_write(path, long_text, strlen(long_text), &error));
        long_text[199999] = 'y';
        writer = spl_file_writer_open(path, &error);
        assert_true(spl_file_writer_text(writer, long_text, &error));
        assert_true(spl_file_writer_changes(writer, &changes, &error));
        assert_true(changes);
    }
    sweep();
}

static void the_checksum_is_sha256(void **state)
{
    g_autofree char *path = g_build_filename(folder, "a.txt", NULL), *sum = NULL;
    g_autoptr(GError) error = NULL;

    (void)state;
    /* FIPS 180-2 appendix B.1: SHA-256 of "abc". */
    assert_true(spl_file_write(path, "abc", 3, &error));
    sum = spl_file_checksum(path, &error);
    assert_string_equal(sum, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    sweep();
    {
        /* B.3: a million times "a"; here in pieces that fit into no block. */
        g_autofree char *piece = g_strnfill(1000, 'a');
        g_autoptr(spl_file_writer) writer = spl_file_writer_open(path, &error);
        g_autofree char *whole = NULL;

        for (int i = 0; i < 1000; i++)
            assert_true(spl_file_writer_write(writer, piece, 1000, &error));
        whole = spl_file_writer_checksum(writer);
        assert_string_equal(whole,
                            "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
    }
    sweep();
}

static void a_full_disk_leaves_the_old_file(void **state)
{
    g_autofree char *path = g_build_filename(folder, "a.txt", NULL), *text = NULL;
    g_autofree char *large = g_strnfill(500000, 'x');
    g_autoptr(GError) error = NULL;
    struct rlimit before, small;

    (void)state;
    assert_true(spl_file_write(path, "old", 3, &error));
    /* A limit on file size stands for the full disk: write() fails part of the way. */
    signal(SIGXFSZ, SIG_IGN);
    getrlimit(RLIMIT_FSIZE, &before);
    small = before;
    small.rlim_cur = 100000;
    setrlimit(RLIMIT_FSIZE, &small);
    assert_false(spl_file_write(path, large, 500000, &error));
    setrlimit(RLIMIT_FSIZE, &before);
    expect_error(error, SPL_ERROR_IO, path);
    text = spl_file_read(path, 100, NULL, &error);
    assert_string_equal(text, "old");
    assert_int_equal(sweep(), 1);
}

static void folders_and_missing_places_are_named(void **state)
{
    g_autofree char *nowhere = g_build_filename(folder, "no", "a.txt", NULL);
    g_autoptr(GError) error = NULL;

    (void)state;
    assert_null(spl_file_writer_open(folder, &error));
    expect_error(error, SPL_ERROR_INVALID, "folder");
    assert_null(spl_file_writer_open(nowhere, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, nowhere);
    assert_null(spl_file_read(folder, 10, NULL, &error));
    expect_error(error, SPL_ERROR_INVALID, "folder");
    assert_null(spl_file_read(nowhere, 10, NULL, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, nowhere);
}

static void files_over_the_limit_are_refused(void **state)
{
    g_autofree char *path = g_build_filename(folder, "a.txt", NULL);
    g_autoptr(GError) error = NULL;

    (void)state;
    assert_true(spl_file_write(path, "12345678901", 11, &error));
    assert_null(spl_file_read(path, 10, NULL, &error));
    expect_error(error, SPL_ERROR_LIMIT, "larger than 10");
    sweep();
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(a_file_appears_only_when_committed, set_up, tear_down),
    cmocka_unit_test_setup_teardown(an_abandoned_write_leaves_the_old_file_and_no_litter, set_up,
                                    tear_down),
    cmocka_unit_test_setup_teardown(equal_bytes_leave_the_file_untouched, set_up, tear_down),
    cmocka_unit_test_setup_teardown(what_a_commit_would_change_is_known_before, set_up, tear_down),
    cmocka_unit_test_setup_teardown(the_checksum_is_sha256, set_up, tear_down),
    cmocka_unit_test_setup_teardown(a_full_disk_leaves_the_old_file, set_up, tear_down),
    cmocka_unit_test_setup_teardown(folders_and_missing_places_are_named, set_up, tear_down),
    cmocka_unit_test_setup_teardown(files_over_the_limit_are_refused, set_up, tear_down),
};
expect_main(tests)
