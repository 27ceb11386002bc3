/* SPDX-License-Identifier: MIT
 *
 * What stands beside the book: nothing of a person's is overwritten, removed or shown to others,
 * and a target that is no file is refused before anything is read.
 */
#include <fcntl.h>
#include <sys/stat.h>

#include "command/cli.h"

static char *in_folder(const struct cli *cli, const char *name)
{
    return g_build_filename(cli->folder, name, NULL);
}

static void put(const struct cli *cli, const char *name, const char *text)
{
    g_autofree char *path = in_folder(cli, name);

    assert_true(g_file_set_contents(path, text, -1, NULL));
}

static void expect_text(const struct cli *cli, const char *name, const char *text)
{
    g_autofree char *path = in_folder(cli, name), *found = NULL;

    if (!g_file_get_contents(path, &found, NULL, NULL))
        fail_msg("%s is gone", name);
    assert_string_equal(found, text);
}

static gboolean is_there(const struct cli *cli, const char *name)
{
    g_autofree char *path = in_folder(cli, name);

    return g_file_test(path, G_FILE_TEST_EXISTS);
}

static guint mode_of(const struct cli *cli, const char *name)
{
    g_autofree char *path = in_folder(cli, name);
    struct stat there;

    if (stat(path, &there) != 0)
        fail_msg("%s is not there", name);
    return there.st_mode & 0777;
}

/* Runs a line through the shell, with the program as `simpling`; its exit status. */
static int shell(struct cli *cli, const char *line)
{
    g_autofree char *whole =
        g_strdup_printf("simpling() { '%s/bin/simpling' \"$@\"; }; %s", SPL_BUILD_DIR, line);
    const char *argv[] = {"/bin/sh", "-c", whole, NULL};
    g_auto(GStrv) env = g_get_environ();
    g_autoptr(GError) error = NULL;
    int status;

    env = g_environ_setenv(env, "SIMPLING_BOOK", cli->book, TRUE);
    env = g_environ_setenv(env, "SIMPLING_TODAY", cli->today, TRUE);
    g_clear_pointer(&cli->out, g_free);
    g_clear_pointer(&cli->err, g_free);
    if (!g_spawn_sync(cli->folder, (char **)argv, env, G_SPAWN_DEFAULT, NULL, NULL, &cli->out,
                      &cli->err, &status, &error))
        fail_msg("%s: %s", line, error->message);
    assert_true(WIFEXITED(status));
    cli->status = WEXITSTATUS(status);
    return cli->status;
}

static void a_record_whose_report_is_lost_is_told_to_be_kept(void **state)
{
    static const char *const lost[] = {">/dev/full", "1>&-"};
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    for (gsize i = 0; i < G_N_ELEMENTS(lost); i++) {
        g_autofree char *line = g_strdup_printf(
            "simpling harvest add 'Withy Gill' nettle/leaf --weight 10g --stage 35 %s", lost[i]);
        g_autofree char *said = g_strdup_printf(
            "H27-00%d is in the book; only its report could not be shown", (int)i + 1);

        assert_int_equal(shell(cli, line), 1);
        if (strstr(cli->err, said) == NULL)
            fail_msg("%s: %s", line, cli->err);
        assert_non_null(strstr(cli_ok(cli, "harvest list"), "Withy Gill"));
    }
    /* Of a thing that was there before: not it, what was asked of it. */
    assert_int_equal(shell(cli, "simpling amend H27-001 --weight 12g --why scales >/dev/full"), 1);
    assert_non_null(strstr(cli->err, "what was asked is in the book; only its report"));
    /* A question that only reads says no such thing. */
    assert_int_equal(shell(cli, "simpling harvest list >/dev/full"), 1);
    assert_null(strstr(cli->err, "is in the book"));
}

static void a_list_that_fails_leaves_nothing_on_stdout(void **state)
{
    static const char *const lines[] = {"harvest list --site nowhere --json",
                                        "harvest list --material nosuch/leaf --json",
                                        "window list --site nowhere --json",
                                        "spray note nowhere --kind unsprayed --source x --json"};
    struct cli *cli = *state;

    for (gsize i = 0; i < G_N_ELEMENTS(lines); i++) {
        assert_int_not_equal(cli_run(cli, lines[i]), 0);
        assert_string_equal(cli->out, "");
    }
    assert_string_equal(cli_ok(cli, "harvest list --json"), "[]\n");
}

static void the_companions_of_a_shapefile_are_looked_at_first(void **state)
{
    static const char *const companions[] = {"places.dbf", "places.shx", "places.prj",
                                             "places.cpg"};
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    for (gsize i = 0; i < G_N_ELEMENTS(companions); i++) {
        g_autofree char *path = in_folder(cli, companions[i]);

        put(cli, companions[i], "MY OWN");
        cli_refused(cli, "site export places.shp", 1, companions[i]);
        expect_text(cli, companions[i], "MY OWN");
        assert_false(is_there(cli, "places.shp"));
        g_unlink(path);
    }
    cli_ok(cli, "site export places.shp");
    cli_ok(cli, "site export places.shp --force");
}

static void a_target_that_is_no_file_is_refused_at_once(void **state)
{
    static const char *const lines[] = {
        "calendar write --out /dev/full",  "calendar write --out /dev/zero --force",
        "calendar write --out pipe",       "draw season --out pipe.pdf",
        "draw map --out zero.png",         "site export pipe.gpx --force",
        "site export zero.geojson --force"};
    struct cli *cli = *state;
    g_autofree char *pipe = in_folder(cli, "pipe"), *pdf = in_folder(cli, "pipe.pdf"),
                    *gpx = in_folder(cli, "pipe.gpx"), *png = in_folder(cli, "zero.png"),
                    *json = in_folder(cli, "zero.geojson");

    cli_clear_site(cli, "Withy Gill");
    assert_int_equal(mkfifo(pipe, 0600), 0);
    assert_int_equal(mkfifo(pdf, 0600), 0);
    assert_int_equal(mkfifo(gpx, 0600), 0);
    assert_int_equal(symlink("/dev/zero", png), 0);
    assert_int_equal(symlink("/dev/zero", json), 0);
    for (gsize i = 0; i < G_N_ELEMENTS(lines); i++)
        cli_refused(cli, lines[i], 2, "pipe or device");
}

static void what_tells_of_places_is_its_owners_alone(void **state)
{
    struct cli *cli = *state;
    mode_t mask = umask(022);

    cli_clear_site(cli, "Withy Gill");
    assert_int_equal(mode_of(cli, "book.db"), 0600);
    cli_ok(cli, "book backup copy.db");
    assert_int_equal(mode_of(cli, "copy.db"), 0600);
    g_chmod(cli->book, 0640); /* shared with a group: so is the copy */
    cli_ok(cli, "book backup shared.db");
    assert_int_equal(mode_of(cli, "shared.db"), 0640);
    cli_ok(cli, "book export out");
    assert_int_equal(mode_of(cli, "out"), 0700);
    assert_int_equal(mode_of(cli, "out/site.csv"), 0600);
    assert_int_equal(mode_of(cli, "out/sites.geojson"), 0600);
    assert_int_equal(mode_of(cli, "out/README.txt"), 0600);
    cli_ok(cli, "site export a.gpx");
    assert_int_equal(mode_of(cli, "a.gpx"), 0600);
    cli_ok(cli, "site export a.geojson");
    assert_int_equal(mode_of(cli, "a.geojson"), 0600);
    cli_ok(cli, "site export a.shp");
    assert_int_equal(mode_of(cli, "a.shp"), 0600);
    assert_int_equal(mode_of(cli, "a.dbf"), 0600);
    cli_ok(cli, "draw map --out a.pdf");
    assert_int_equal(mode_of(cli, "a.pdf"), 0600);
    cli_ok(cli, "calendar write --with-places --out with.ics");
    assert_int_equal(mode_of(cli, "with.ics"), 0600);
    cli_ok(cli, "calendar write --out without.ics");
    assert_int_equal(mode_of(cli, "without.ics"), 0644);
    /* A mode that the person gave stays. */
    g_autofree char *gpx = in_folder(cli, "a.gpx");
    g_chmod(gpx, 0644);
    cli_ok(cli, "site export a.gpx --force");
    assert_int_equal(mode_of(cli, "a.gpx"), 0644);
    umask(mask);
}

static void a_copy_touches_nothing_beside_it(void **state)
{
    struct cli *cli = *state;

    put(cli, "copy.db.part", "precious");
    put(cli, ".calendar.ics.before", "precious too");
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "book backup copy.db");
    expect_text(cli, "copy.db.part", "precious");
    cli_ok(cli, "calendar write --out calendar.ics");
    cli_clear_site(cli, "Mill Holme");
    cli_ok(cli, "calendar write --out calendar.ics");
    expect_text(cli, ".calendar.ics.before", "precious too");
}

static void an_export_that_fails_leaves_no_half_folder(void **state)
{
    struct cli *cli = *state;
    g_autofree char *given = in_folder(cli, "given");

    cli_clear_site(cli, "Withy Gill");
    /* Files of 4 kB at most: the catalogue of columns is larger. */
    assert_int_equal(shell(cli, "trap '' XFSZ; ulimit -f 8; simpling book export out"), 1);
    assert_false(is_there(cli, "out"));
    assert_int_equal(g_mkdir(given, 0755), 0);
    assert_int_equal(shell(cli, "trap '' XFSZ; ulimit -f 8; simpling book export given"), 1);
    assert_true(is_there(cli, "given"));
    cli_ok(cli, "book export given");
    cli_ok(cli, "book export out");
}

static void a_demo_replaces_only_what_a_demo_made(void **state)
{
    struct cli *cli = *state;
    g_autofree char *before = cli_checksum(cli), *after = NULL;
    g_autofree char *demo = NULL, *first = NULL;

    /* Somebody's own book, with a list that names another state of it, or none. */
    cli_refused(cli, "demo --again .", 1, "book.db");
    put(cli, "demo.sha256",
        "0000000000000000000000000000000000000000000000000000000000000000  book.db\n");
    cli_refused(cli, "demo --again .", 1, "book.db");
    put(cli, "demo.sha256", "book.db\n../book.db\n");
    cli_refused(cli, "demo --again .", 1, "book.db");
    after = cli_checksum(cli);
    assert_string_equal(before, after);

    /* A demo made again: the person's own file beside it stays. */
    cli_ok(cli, "demo there");
    put(cli, "there/mine.txt", "mine");
    demo = in_folder(cli, "there/book.db");
    first = spl_file_checksum(demo, NULL);
    cli_ok(cli, "demo --again there");
    expect_text(cli, "there/mine.txt", "mine");
    g_autofree char *second = spl_file_checksum(demo, NULL);
    assert_string_not_equal(first, second);
    /* Its book, once written to, is the person's. */
    cli_ok(cli, "book set who 'Nan Riggs' --book there/book.db");
    cli_refused(cli, "demo --again there", 1, "book.db: was changed since the demo made it");
    cli_refused(cli, "demo there", 1, "book.db");
    assert_true(is_there(cli, "there/season.pdf"));
}

static void an_empty_word_and_a_false_zone_are_taken_calmly(void **state)
{
    struct cli *cli = *state;

    cli_refused(cli, "''", 2, "the first word is empty");
    assert_int_equal(shell(cli, "unset SIMPLING_TODAY; TZ=:/etc/passwd simpling"), 0);
    assert_string_equal(cli->err, "");
}

/* The script that builds and shows it never takes anything away itself. */
static void the_demo_script_removes_nothing_of_a_season(void **state)
{
    g_autofree char *text = NULL;

    (void)state;
    assert_true(g_file_get_contents(SPL_SOURCE_DIR "/data/demo/run.sh", &text, NULL, NULL));
    assert_non_null(strstr(text, "simpling\" demo --again \"$season\""));
    assert_null(strstr(text, "rm -f \"$season"));
}

static const struct CMUnitTest tests[] = {
    cli_test(a_record_whose_report_is_lost_is_told_to_be_kept),
    cli_test(a_list_that_fails_leaves_nothing_on_stdout),
    cli_test(the_companions_of_a_shapefile_are_looked_at_first),
    cli_test(a_target_that_is_no_file_is_refused_at_once),
    cli_test(what_tells_of_places_is_its_owners_alone),
    cli_test(a_copy_touches_nothing_beside_it),
    cli_test(an_export_that_fails_leaves_no_half_folder),
    cli_test(a_demo_replaces_only_what_a_demo_made),
    cli_test(an_empty_word_and_a_false_zone_are_taken_calmly),
    cmocka_unit_test(the_demo_script_removes_nothing_of_a_season),
};
expect_main(tests)
