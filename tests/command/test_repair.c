/* SPDX-License-Identifier: MIT
 *
 * `book repair` as a person meets it: what is derived is made again and told, a copy is kept, what
 * is not is left with what to do, and a second run has nothing to do.
 */
#include "cli.h"

#include <sqlite3.h>

static void execute(struct cli *cli, const char *sql)
{
    sqlite3 *db;

    assert_int_equal(sqlite3_open(cli->book, &db), SQLITE_OK);
    if (sqlite3_exec(db, sql, NULL, NULL, NULL) != SQLITE_OK)
        fail_msg("%s: %s", sql, sqlite3_errmsg(db));
    sqlite3_close(db);
}

static void fill(struct cli *cli)
{
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "site add 'Kell Moss' --at 54.63,-2.605");
    cli_ok(cli,
           "hazard add 'the lane' --method road --wkt 'LINESTRING (-2.59 54.60, -2.58 54.60)'");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 100g --stage 35");
}

static void a_sound_book_is_left_as_it_is(void **state)
{
    struct cli *cli = *state;
    g_autofree char *before = NULL, *after = NULL;
    g_autofree char *copy = g_strconcat(cli->book, ".before-repair", NULL);
    json_t *answer;

    fill(cli);
    before = cli_checksum(cli);
    answer = cli_json(cli, "book repair --json");
    assert_int_equal(cli->status, 0);
    assert_int_equal(json_array_size(json_object_get(answer, "mended")), 0);
    assert_int_equal(json_array_size(json_object_get(answer, "left")), 0);
    assert_true(json_is_null(json_object_get(answer, "copy")));
    assert_true(json_is_true(json_object_get(answer, "ok")));
    json_decref(answer);
    after = cli_checksum(cli);
    assert_string_equal(before, after);
    assert_false(g_file_test(copy, G_FILE_TEST_EXISTS));
}

static void lost_names_and_boxes_are_made_again_once(void **state)
{
    struct cli *cli = *state;
    g_autofree char *copy = g_strconcat(cli->book, ".before-repair", NULL);
    g_autofree char *second = g_strconcat(cli->book, ".before-repair-2", NULL);
    json_t *answer, *mended;

    fill(cli);
    execute(cli, "DELETE FROM site_key WHERE name_key = 'withy gill'; DELETE FROM hazard_box");
    assert_int_equal(cli_run(cli, "site show 'Withy Gill'"), 1);
    assert_int_equal(cli_run(cli, "book check"), 1);
    assert_non_null(strstr(cli->out, "site Withy Gill"));
    assert_non_null(strstr(cli->out, "layer the lane"));
    assert_non_null(strstr(cli->err, "simpling book repair"));
    answer = cli_json(cli, "book repair --json");
    assert_int_equal(cli->status, 0);
    mended = json_object_get(answer, "mended");
    assert_int_equal(json_array_size(mended), 2);
    assert_string_equal(json_text(json_array_get(mended, 0), "thing"), "site Withy Gill");
    assert_string_equal(json_text(json_array_get(mended, 1), "thing"), "layer the lane");
    assert_string_equal(json_text(answer, "copy"), copy);
    json_decref(answer);
    /* The copy is the book with its faults; the book has none. */
    assert_true(g_file_test(copy, G_FILE_TEST_EXISTS));
    cli_ok(cli, "book check");
    assert_int_equal(cli_run(cli, "book check --book book.db.before-repair"), 1);
    cli_ok(cli, "site show 'Withy Gill'");
    answer = cli_json(cli, "book repair --json");
    assert_int_equal(json_array_size(json_object_get(answer, "mended")), 0);
    json_decref(answer);
    assert_false(g_file_test(second, G_FILE_TEST_EXISTS));
    execute(cli, "DELETE FROM hazard_box");
    cli_ok(cli, "book repair");
    assert_non_null(strstr(cli->out, "put on the map again"));
    assert_true(g_file_test(second, G_FILE_TEST_EXISTS));
}

static void what_only_a_person_can_settle_is_left(void **state)
{
    struct cli *cli = *state;
    g_autofree char *before = NULL, *after = NULL;
    json_t *answer, *left;

    fill(cli);
    execute(cli, "DELETE FROM site_key WHERE name_key = 'kell moss';"
                 "INSERT INTO discard (uuid, thing_id, day, grams, why, at)"
                 " SELECT 'x', id, day, 900, 'mould', 1 FROM harvest");
    answer = cli_json(cli, "book repair --json");
    assert_int_equal(cli->status, 1);
    assert_non_null(strstr(cli->err, "1 fault cannot be derived and is left to you"));
    assert_int_equal(json_array_size(json_object_get(answer, "mended")), 1);
    left = json_object_get(answer, "left");
    assert_int_equal(json_array_size(left), 1);
    assert_non_null(strstr(json_string_value(json_array_get(left, 0)), "H27-001: 900.0 g went"));
    assert_non_null(strstr(json_string_value(json_array_get(left, 0)), "correct its weight"));
    json_decref(answer);
    before = cli_checksum(cli);
    assert_int_equal(cli_run(cli, "book repair"), 1);
    after = cli_checksum(cli);
    assert_string_equal(before, after);
    /* What it says to do mends it. */
    cli_ok(cli, "amend H27-001 --weight 950g --why 'the scales'");
    cli_ok(cli, "book repair");
    cli_ok(cli, "book check");
}

static void a_damaged_file_is_not_touched(void **state)
{
    struct cli *cli = *state;
    g_autofree char *copy = g_strconcat(cli->book, ".before-repair", NULL);

    fill(cli);
    /* A breach of the table's own rule: the copy would not be sound, so nothing is done. */
    execute(cli, "PRAGMA ignore_check_constraints = ON; UPDATE harvest SET stage = 150;"
                 "DELETE FROM site_key WHERE name_key = 'kell moss'");
    cli_refused(cli, "book repair", 1, "no copy could be kept");
    assert_false(g_file_test(copy, G_FILE_TEST_EXISTS));
    cli_refused(cli, "book repair now", 2, "too many");
    assert_int_equal(g_chmod(cli->book, 0400), 0);
    if (geteuid() != 0)
        cli_refused(cli, "book repair", 1, "may not be written");
}

static const struct CMUnitTest tests[] = {
    cli_test(a_sound_book_is_left_as_it_is),
    cli_test(lost_names_and_boxes_are_made_again_once),
    cli_test(what_only_a_person_can_settle_is_left),
    cli_test(a_damaged_file_is_not_touched),
};
expect_main(tests)
