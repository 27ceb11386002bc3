/* SPDX-License-Identifier: MIT
 *
 * Bad input at the command line: one line that names the thing, the right exit status, the book
 * unchanged.
 */
#include "cli.h"

#include <sqlite3.h>

static void unknown_names_are_refused_with_the_nearest(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_refused(cli, "check 'Wihty Gill'", 1, "Withy Gill");
    cli_refused(cli, "check 'Withy Gill' netle/leaf", 1, "nettle");
    cli_refused(cli, "harvest add 'Withy Gill' dandelyon/flower --weight 5g --stage 61", 1,
                "dandelion");
    cli_refused(cli, "harvest show H27-001", 1, "H27-001");
    cli_refused(cli, "harvest show nonsense", 2, "H27-001");
    cli_refused(cli, "amend H27-009 --weight 5g --why x", 1, "H27-009");
    cli_refused(cli, "site ad x", 2, "site add");
    cli_refused(cli, "book set hoem 54,-2", 1, "home");
    cli_refused(cli, "book set press hydralic", 1, "hydraulic");
}

static void places_are_checked(void **state)
{
    struct cli *cli = *state;

    cli_refused(cli, "site add X --at 91,0", 2, "--at");
    cli_refused(cli, "site add X --at -120.5,45.2", 2, "swapped");
    cli_refused(cli, "site add X --at nan,0", 2, "--at");
    cli_refused(cli, "site add X --at 54.6", 2, "54.9712,-2.4610");
    cli_refused(cli, "site add X", 2, "--at");
    cli_refused(cli, "site add X --at 54,-2 --elevation 99999", 2, "--elevation");
    cli_refused(cli, "site add X --at 54,-2 --accuracy -5", 2, "--accuracy");
    cli_refused(cli, "site add H27-001 --at 54,-2", 2, "code");
    cli_ok(cli, "site add X --at 54,-2");
    cli_refused(cli, "site add x --at 54,-2", 1, "site edit");
}

static void days_are_checked(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_refused(cli, "check 'Withy Gill' --on 2027-02-29", 2, "2027-02-29");
    cli_refused(cli, "check 'Withy Gill' --on soon", 2, "2027-05-04");
    cli_refused(cli, "harvest add 'Withy Gill' nettle/leaf --weight 5g --stage 41 --on 2027-06-21",
                2, "after today");
    cli_refused(cli, "spray note 'Withy Gill' --kind sprayed --source x --on 2028-01-01", 2,
                "after today");
    cli_refused(cli, "site permit 'Withy Gill' --given --by x --until 2027-01-01", 2, "--until");
}

static void amounts_are_checked(void **state)
{
    static const char *const bad[] = {"-5g", "0g",     "nan g", "inf g",   "1e9g", "999999kg",
                                      "5",   "5,5,5g", "0x10g", "5 stone", "pint"};
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        const char *args[] = {"harvest", "add",     "Withy Gill", "nettle/leaf", "--weight",
                              bad[i],    "--stage", "41",         NULL};

        cli_refused_argv(cli, args, 2, "--weight");
    }
    cli_refused(cli, "harvest add 'Withy Gill' nettle/leaf --weight 5g --garbled 6g --stage 41", 2,
                "--garbled");
    cli_refused(cli, "harvest add 'Withy Gill' nettle/leaf --weight 5g --stage 120", 2, "--stage");
    cli_refused(cli, "harvest add 'Withy Gill' nettle/leaf --weight 5g --stage blooming-ish", 2,
                "--stage");
    cli_refused(cli, "book set jars '1 pint'", 2, "imp pint");
}

static void text_is_checked(void **state)
{
    struct cli *cli = *state;
    g_autofree char *long_text = g_strnfill(100 * 1000, 'x');
    const char *control[] = {"site", "add", "a\033[2Jb", "--at", "54,-2", NULL};
    const char *invalid[] = {"site", "add", "a\xff\xfe", "--at", "54,-2", NULL};
    const char *empty[] = {"site", "add", " ", "--at", "54,-2", NULL};
    const char *large[] = {"site", "add", long_text, "--at", "54,-2", NULL};

    cli_refused_argv(cli, control, 2, "control character");
    cli_refused_argv(cli, invalid, 2, "UTF-8");
    cli_refused_argv(cli, empty, 2, "empty");
    cli_refused_argv(cli, large, 2, "longer");
}

static void a_megabyte_of_text_from_a_file_is_refused(void **state)
{
    struct cli *cli = *state;
    g_autofree char *path = g_build_filename(cli->folder, "outline.wkt", NULL);
    g_autofree char *large = g_strnfill(1000 * 1000, 'x');

    g_file_set_contents(path, large, 1000 * 1000, NULL);
    cli_refused(cli, "site add X --area outline.wkt", 2, "outline.wkt");
    cli_refused(cli, "site add X --area missing.wkt", 1, "missing.wkt");
    cli_refused(cli, "site add X --area .", 2, "folder");
    cli_refused(cli, "site add X --area '30 sq ft'", 2, "is a size, and this is a file");
}

static void words_of_the_call_are_checked(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_refused(cli, "check", 2, "SITE");
    cli_refused(cli, "harvest add 'Withy Gill'", 2, "MATERIAL is missing");
    cli_refused(cli, "check 'Withy Gill' nettle/leaf more", 2, "'more' is one word too many");
    cli_refused(cli, "check 'Withy Gill' --onn 2027-01-01", 2, "--onn");
    cli_refused(cli, "check 'Withy Gill' --on", 2, "--on");
    cli_refused(cli, "check 'Withy Gill' --on 2027-01-01 --on 2027-01-02", 2, "twice");
    cli_refused(cli, "harvest add 'Withy Gill' nettle/leaf --stage 41", 2, "--weight");
    cli_refused(cli, "site permit 'Withy Gill' --given --refused --by x", 2, "refused");
    cli_refused(cli, "spray note 'Withy Gill' --kind maybe --source x", 2, "unsprayed");
    cli_refused(cli, "help nosuch", 2, "nosuch");
    cli_refused(cli, "site edit 'Withy Gill'", 2, "nothing to change");
}

static void closed_ground_is_refused_unless_held(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --source 'a notice' --on 2027-06-01");
    cli_refused(cli, "harvest add 'Withy Gill' nettle/leaf --weight 5g --stage 41", 4, "closed");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 5g --stage 41 --hold 'for a test'");
    assert_int_equal(cli_run(cli, "check 'Withy Gill'"), 4);
    cli_ok(cli, "check --all");
}

static void struck_and_unheld_records_have_nothing_to_release(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 5g --stage 41");
    cli_refused(cli, "harvest release H27-001 --evidence x", 1, "not held");
    cli_ok(cli, "strike H27-001 --why 'logged twice'");
    cli_refused(cli, "strike H27-001 --why again", 1, "struck already");
    cli_refused(cli, "amend H27-001 --weight 4g --why x", 1, "struck");
    cli_refused(cli, "amend N27-001 --weight 4g --why x", 2, "--weight");
}

/* Books ---------------------------------------------------------------------------------------- */

static void what_is_no_book_is_refused(void **state)
{
    struct cli *cli = *state;

    cli_refused(cli, "book info --book nowhere.db", 1, "book init");
    cli_refused(cli, "book info --book .", 1, "folder");
    cli_refused(cli, "book init --mark ANN", 1, "already");
    cli_refused(cli, "book init --mark A --book other.db", 2, "--mark");
    g_file_set_contents(cli->book,
                        "not a book at all, but a longer text than a header of one "
                        "hundred bytes would be in any file of that kind",
                        -1, NULL);
    cli_refused(cli, "site list", 1, "no book of simpling");
    cli_refused(cli, "site add X --at 54,-2", 1, "no book of simpling");
}

static void tamper(const struct cli *cli, const char *sql)
{
    sqlite3 *db;

    assert_int_equal(sqlite3_open(cli->book, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
}

static void a_newer_book_is_refused(void **state)
{
    struct cli *cli = *state;

    tamper(cli, "PRAGMA user_version = 4000");
    cli_refused(cli, "site list", 1, "newer simpling");
}

static void a_truncated_book_is_refused(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    assert_int_equal(truncate(cli->book, 5000), 0);
    cli_refused(cli, "site list", 1, "damaged");
    cli_refused(cli, "site add X --at 54,-2", 1, "damaged");
}

/* root may write anything: the unprivileged user 65534 (nobody) tries. */
static void a_read_only_book_is_refused(void **state)
{
    struct cli *cli = *state;
    pid_t child;
    int status;

    if (geteuid() != 0) {
        assert_int_equal(g_chmod(cli->book, 0444), 0);
        cli_refused(cli, "site add X --at 54,-2", 1, "may not be written");
        cli_ok(cli, "site list");
        return;
    }
    assert_int_equal(g_chmod(cli->folder, 0755), 0);
    assert_int_equal(g_chmod(cli->book, 0644), 0);
    child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        if (setgid(65534) != 0 || setuid(65534) != 0)
            _exit(99);
        /* The build folder may be closed to others; then there is nothing to try. */
        if (access(SPL_BUILD_DIR "/bin/simpling", X_OK) != 0)
            _exit(0);
        cli_run(cli, "site add X --at 54,-2");
        if (cli->status != 1 || strstr(cli->err, "may not be written") == NULL)
            _exit(1);
        cli_run(cli, "site list");
        _exit(cli->status == 0 ? 0 : 2);
    }
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 0);
}

static void the_output_that_cannot_be_written_is_an_error(void **state)
{
    struct cli *cli = *state;
    g_autofree char *command =
        g_strdup_printf(SPL_BUILD_DIR "/bin/simpling site list --book '%s' --today " CLI_TODAY
                                      " >/dev/full 2>'%s/err'",
                        cli->book, cli->folder);
    int status = system(command); /* NOLINT: a shell is what redirects */

    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 1);
}

static const struct CMUnitTest tests[] = {
    cli_test(unknown_names_are_refused_with_the_nearest),
    cli_test(places_are_checked),
    cli_test(days_are_checked),
    cli_test(amounts_are_checked),
    cli_test(text_is_checked),
    cli_test(a_megabyte_of_text_from_a_file_is_refused),
    cli_test(words_of_the_call_are_checked),
    cli_test(closed_ground_is_refused_unless_held),
    cli_test(struck_and_unheld_records_have_nothing_to_release),
    cli_test(what_is_no_book_is_refused),
    cli_test(a_newer_book_is_refused),
    cli_test(a_truncated_book_is_refused),
    cli_test(a_read_only_book_is_refused),
    cli_test(the_output_that_cannot_be_written_is_an_error),
};
expect_main(tests)
