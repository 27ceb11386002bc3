/* SPDX-License-Identifier: MIT
 *
 * A book carried out and in again is equal; two books merge into the union of their rows.
 */
#include "cli.h"

#include <sqlite3.h>

/* Every row of every table but the named ones as one text, in a fixed order. With `uuids_only` just
 * the UUIDs of tables that have one: what is the same in two books whatever their row ids. */
static char *content_of(const char *path, gboolean uuids_only)
{
    GString *content = g_string_new(NULL);
    sqlite3_stmt *tables, *rows;
    sqlite3 *db;

    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(
        sqlite3_prepare_v2(db,
                           "SELECT t.name, EXISTS (SELECT 1 FROM pragma_table_info(t.name) c"
                           " WHERE c.name = 'uuid') FROM pragma_table_list t WHERE t.type = 'table'"
                           " AND t.schema = 'main' AND t.name NOT LIKE 'sqlite_%'"
                           " AND t.name NOT LIKE 'judged_%' ORDER BY t.name",
                           -1, &tables, NULL),
        SQLITE_OK);
    while (sqlite3_step(tables) == SQLITE_ROW) {
        const char *name = (const char *)sqlite3_column_text(tables, 0);
        g_autofree char *sql = NULL;

        if (uuids_only && !sqlite3_column_int(tables, 1))
            continue;
        sql = g_strdup_printf(uuids_only ? "SELECT uuid FROM \"%s\" ORDER BY uuid"
                                         : "SELECT * FROM \"%s\" ORDER BY 1, 2",
                              name);
        assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &rows, NULL), SQLITE_OK);
        while (sqlite3_step(rows) == SQLITE_ROW) {
            g_string_append_printf(content, "%s:", name);
            for (int i = 0; i < sqlite3_column_count(rows); i++)
                g_string_append_printf(content, " %d/%s", sqlite3_column_type(rows, i),
                                       sqlite3_column_text(rows, i) != NULL
                                           ? (const char *)sqlite3_column_text(rows, i)
                                           : "");
            g_string_append_c(content, '\n');
        }
        sqlite3_finalize(rows);
    }
    sqlite3_finalize(tables);
    sqlite3_close(db);
    return g_string_free(content, FALSE);
}

static void fill(struct cli *cli)
{
    static const char outline[] =
        "POLYGON ((-2.588 54.600, -2.586 54.600, -2.586 54.602, -2.588 54.602, -2.588 54.600))";
    g_autofree char *path = g_build_filename(cli->folder, "gill.wkt", NULL);

    g_file_set_contents(path, outline, -1, NULL);
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "site edit 'Withy Gill' --area gill.wkt --why 'walked round it'");
    cli_ok(cli, "site add 'Hölle, \"the hole\"' --at 54.5,-2.4 --remark 'one line\nanother'");
    cli_ok(cli, "site edit hölle --contaminated ash --why seen");
    cli_ok(cli, "site edit hölle --not-contaminated --why 'it was sand'");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 123.4g --stage 35 --remark \"'tis "
                "fine\"");
    cli_ok(cli, "amend H27-001 --weight 120.1g --why 'the scales'");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 50g --stage 35");
    cli_ok(cli, "strike H27-002 --why 'logged twice'");
    cli_ok(cli, "book set who Edda");
}

static void a_book_carried_out_and_in_is_equal(void **state)
{
    struct cli *cli = *state;
    g_autofree char *again = g_build_filename(cli->folder, "again.db", NULL);
    g_autofree char *before = NULL, *after = NULL;

    fill(cli);
    cli_ok(cli, "book export out");
    cli_refused(cli, "book export out", 1, "not empty");
    cli_ok(cli, "book import out --book again.db");
    before = content_of(cli->book, FALSE);
    after = content_of(again, FALSE);
    assert_true(strlen(before) > 1000);
    assert_string_equal(before, after);
    cli_ok(cli, "book check --book again.db");
    cli_ok(cli, "check 'Withy Gill' --book again.db");
    cli_refused(cli, "book import out --book again.db", 1, "already");
}

/* The folder explains itself: every table is in README.txt with words, every column listed. */
static void an_exported_folder_says_what_it_holds(void **state)
{
    struct cli *cli = *state;
    g_autofree char *readme = g_build_filename(cli->folder, "out", "README.txt", NULL);
    g_autofree char *columns = g_build_filename(cli->folder, "out", "columns.csv", NULL);
    g_autofree char *text = NULL, *listed = NULL;
    json_t *answer, *tables, *table;
    size_t i;

    fill(cli);
    answer = cli_json(cli, "book export out --json");
    tables = json_object_get(answer, "tables");
    assert_true(g_file_get_contents(readme, &text, NULL, NULL));
    assert_true(g_file_get_contents(columns, &listed, NULL, NULL));
    assert_true(json_array_size(tables) > 30);
    json_array_foreach(tables, i, table)
    {
        const char *name = json_text(table, "table");
        g_autofree char *line = g_strdup_printf("\n%-16s ", name);
        g_autofree char *row = g_strdup_printf("\n%s,", name);
        const char *at = strstr(text, line);

        if (at == NULL || strlen(line) < 2 || at[strlen(line)] == '\n' ||
            strstr(listed, row) == NULL)
            fail_msg("table %s: is not described", name);
    }
    json_decref(answer);
    assert_non_null(strstr(listed, "\nharvest,site_id,INTEGER,yes,site"));
}

/* What gdal reads of the maps, a reader of its own. */
static char *ogrinfo(struct cli *cli, const char *file)
{
    g_autofree char *path = g_build_filename(cli->folder, "out", file, NULL);
    const char *argv[] = {"ogrinfo", "-al", path, NULL};
    char *out = NULL;
    int status;

    if (!g_spawn_sync(NULL, (char **)argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &out, NULL,
                      &status, NULL))
        fail_msg("ogrinfo cannot be run");
    assert_int_equal(status, 0);
    return out;
}

static void expect_shown(const char *text, const char *const *parts)
{
    for (; *parts != NULL; parts++)
        if (strstr(text, *parts) == NULL)
            fail_msg("ogrinfo does not show '%s': %s", *parts, text);
}

static void the_places_of_an_export_open_in_a_map_program(void **state)
{
    static const char *const sites[] = {
        "Feature Count: 2",
        "name (String) = Withy Gill",
        "POLYGON ((-2.588 54.6,-2.586 54.6,-2.586 54.602,-2.588 54.602,-2.588 54.6))",
        "name (String) = Hölle, \"the hole\"",
        "POINT (-2.4 54.5)",
        "remark (String) = one line",
        NULL};
    static const char *const hazards[] = {"Feature Count: 3",
                                          "layer (String) = the lane",
                                          "method (String) = road",
                                          "LINESTRING (-2.59 54.6,-2.58 54.6)",
                                          "MULTIPOINT (",
                                          "-2.51 54.61",
                                          "date (Date) = 2027/05/04",
                                          "POLYGON ((-2.6 54.6,-2.59 54.6,-2.59 54.605,-2.6 54.605,"
                                          "-2.6 54.6),(-2.598 54.602,-2.598 54.604,-2.592 54.604,"
                                          "-2.592 54.602,-2.598 54.602))",
                                          NULL};
    struct cli *cli = *state;
    g_autofree char *path = g_find_program_in_path("ogrinfo"), *shown = NULL, *ground = NULL;

    if (path == NULL)
        skip();
    fill(cli);
    cli_ok(cli,
           "hazard add 'the lane' --method road --wkt 'LINESTRING (-2.59 54.60, -2.58 54.60)'");
    cli_ok(cli, "hazard add 'two tips' --method tip --wkt 'MULTIPOINT (-2.5 54.6, -2.51 54.61)'");
    /* Drawn clockwise, with a hole drawn the other way: RFC 7946 wants the opposite. */
    cli_ok(cli, "hazard add 'Mill Field' --method boom --on 2027-05-04 --wkt 'POLYGON ((-2.6 54.6, "
                "-2.6 54.605, -2.59 54.605, -2.59 54.6, -2.6 54.6), (-2.598 54.602, -2.592 54.602, "
                "-2.592 54.604, -2.598 54.604, -2.598 54.602))'");
    cli_ok(cli, "book export out");
    shown = ogrinfo(cli, "sites.geojson");
    expect_shown(shown, sites);
    ground = ogrinfo(cli, "hazards.geojson");
    expect_shown(ground, hazards);
    cli_ok(cli, "book import out --book again.db");
    cli_ok(cli, "book check --book again.db");
}

static void a_broken_folder_makes_no_book(void **state)
{
    struct cli *cli = *state;
    g_autofree char *harvests = g_build_filename(cli->folder, "out", "harvest.csv", NULL);
    g_autofree char *again = g_build_filename(cli->folder, "again.db", NULL);
    g_autofree char *beside = g_strconcat(again, ".carrying", NULL);
    g_autofree char *text = NULL;
    g_auto(GStrv) parts = NULL;
    g_autofree char *broken = NULL;

    fill(cli);
    cli_ok(cli, "book export out");
    cli_refused(cli, "book import nowhere --book again.db", 1, "schema.csv");
    assert_true(g_file_get_contents(harvests, &text, NULL, NULL));
    parts = g_strsplit(text, "123.4", 2);
    broken = g_strjoinv("-123.4", parts);
    g_file_set_contents(harvests, broken, -1, NULL);
    cli_refused(cli, "book import out --book again.db", 2, "harvest.csv:2");
    assert_false(g_file_test(again, G_FILE_TEST_EXISTS));
    assert_false(g_file_test(beside, G_FILE_TEST_EXISTS));
    g_remove(harvests);
    cli_refused(cli, "book import out --book again.db", 1, "harvest.csv");
}

/* Two books, each with its own work: A knows a site and two harvests, B another site and one. */
static void make_pair(struct cli *cli)
{
    fill(cli);
    cli_ok(cli, "book init --mark BOB --book bob.db");
    cli_ok(cli, "site add 'Kell Moss' --at 54.63,-2.605 --book bob.db");
    cli_ok(cli, "site add 'Withy Gill' --at 54.9,-2.1 --book bob.db");
    cli_ok(cli, "harvest add 'Kell Moss' nettle/leaf --weight 77g --stage 35 --book bob.db");
    cli_ok(cli, "stage note 'Kell Moss' nettle/leaf 35 --book bob.db");
    cli_ok(cli, "amend H27-001 --weight 70g --why 'wet' --book bob.db");
}

static void copy_book(struct cli *cli, const char *from, const char *to)
{
    g_autofree char *line = g_strdup_printf("book backup %s --book %s", to, from);

    cli_ok(cli, line);
}

static void merging_is_a_union_repeatable_and_in_either_order(void **state)
{
    struct cli *cli = *state;
    g_autofree char *ab = g_build_filename(cli->folder, "ab.db", NULL);
    g_autofree char *ba = g_build_filename(cli->folder, "ba.db", NULL);
    g_autofree char *one = NULL, *two = NULL;
    json_t *merged;

    make_pair(cli);
    copy_book(cli, "book.db", "ab.db");
    copy_book(cli, "bob.db", "ba.db");
    merged = cli_json(cli, "book merge bob.db --book ab.db --json");
    assert_int_equal(cli->status, 0);
    assert_string_equal(json_text(merged, "mark"), "BOB");
    assert_true(json_number(merged, "added") >= 7);
    /* Two sites of one name are listed and both kept. */
    assert_int_equal(json_array_size(json_object_get(merged, "conflicts")), 1);
    json_decref(merged);
    merged = cli_json(cli, "book merge bob.db --book ab.db --json");
    expect_near(json_number(merged, "added"), 0, 0, "rows");
    assert_int_equal(json_array_size(json_object_get(merged, "conflicts")), 0);
    json_decref(merged);
    cli_ok(cli, "book merge book.db --book ba.db");
    one = content_of(ab, TRUE);
    two = content_of(ba, TRUE);
    assert_string_equal(one, two);
    cli_ok(cli, "book check --book ab.db");
    cli_ok(cli, "book check --book ba.db");
    cli_ok(cli, "harvest show BOB:H27-001 --book ab.db --json");
    assert_non_null(strstr(cli->out, "\"weight_g\": 70.0"));
    cli_ok(cli, "harvest show ANN:H27-001 --book ba.db");
    assert_int_equal(cli_run(cli, "check 'withy gill (bob)' --book ab.db"), 3);
}

static void one_mark_in_two_hands_is_refused_whole(void **state)
{
    struct cli *cli = *state;
    g_autofree char *before = NULL, *after = NULL;

    fill(cli);
    cli_ok(cli, "book init --mark ANN --book twin.db");
    cli_ok(cli, "site add 'Kell Moss' --at 54.63,-2.605 --book twin.db");
    cli_ok(cli, "harvest add 'Kell Moss' nettle/leaf --weight 77g --stage 35 --book twin.db");
    before = content_of(cli->book, FALSE);
    cli_refused(cli, "book merge twin.db", 1, "mark ANN");
    after = content_of(cli->book, FALSE);
    assert_string_equal(before, after);
    cli_refused(cli, "book merge nowhere.db", 1, "nowhere.db");
}

/* Who reads notes on two machines has each entry once; what another typed is another's. */
static void notes_that_two_books_read_are_one_entry(void **state)
{
    static const char notes[] = "14 June 2027 Withy Gill\nnettle leaf 200 g, half grown\n"
                                "nettle leaf 200 g, half grown\ndandelion leaf rosette\n";
    struct cli *cli = *state;
    g_autofree char *path = g_build_filename(cli->folder, "notes.txt", NULL);
    g_autofree char *mailed = g_build_filename(cli->folder, "mailed.txt", NULL);
    g_autofree char *other = g_build_filename(cli->folder, "other.txt", NULL);
    g_auto(GStrv) lines = g_strsplit(notes, "\n", -1);
    g_autofree char *crlf = g_strjoinv("\r\n", lines);
    json_t *list;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "book init --mark BOB --book bob.db");
    cli_ok(cli, "book merge book.db --book bob.db");
    assert_true(g_file_set_contents(path, notes, -1, NULL));
    assert_true(g_file_set_contents(mailed, crlf, -1, NULL));
    cli_ok(cli, "slip read notes.txt --apply");
    cli_ok(cli, "slip read mailed.txt --apply --book bob.db");
    cli_ok(cli, "book merge bob.db");
    list = cli_json(cli, "harvest list --json");
    assert_int_equal(json_array_size(list), 2);
    json_decref(list);
    list = cli_json(cli, "stage list --json");
    assert_int_equal(json_array_size(list), 1);
    json_decref(list);
    assert_true(g_file_set_contents(
        other, "14 June 2027 Withy Gill: nettle leaf 200 g, half grown; the third\n", -1, NULL));
    cli_ok(cli, "slip read other.txt --apply --book bob.db");
    cli_ok(cli, "book merge bob.db");
    list = cli_json(cli, "harvest list --json");
    assert_int_equal(json_array_size(list), 3);
    json_decref(list);
    cli_ok(cli, "book check");
}

static const struct CMUnitTest tests[] = {
    cli_test(a_book_carried_out_and_in_is_equal),
    cli_test(an_exported_folder_says_what_it_holds),
    cli_test(the_places_of_an_export_open_in_a_map_program),
    cli_test(a_broken_folder_makes_no_book),
    cli_test(merging_is_a_union_repeatable_and_in_either_order),
    cli_test(one_mark_in_two_hands_is_refused_whole),
    cli_test(notes_that_two_books_read_are_one_entry),
};
expect_main(tests)
