/* SPDX-License-Identifier: MIT
 *
 * A stranger's book is only a file: whatever it holds, mine stays as it was or takes what is sound,
 * and one damaged thing stops nothing else.
 */
#include <sqlite3.h>
#include <sys/resource.h>
#include <sys/stat.h>

#include "command/cli.h"

static char *path_of(const struct cli *cli, const char *name)
{
    return g_build_filename(cli->folder, name, NULL);
}

static void execute(const struct cli *cli, const char *name, const char *sql)
{
    g_autofree char *path = path_of(cli, name);
    sqlite3 *db;

    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    sqlite3_exec(db, "PRAGMA ignore_check_constraints = ON", NULL, NULL, NULL);
    if (sqlite3_exec(db, sql, NULL, NULL, NULL) != SQLITE_OK)
        fail_msg("%.200s: %s", sql, sqlite3_errmsg(db));
    sqlite3_close(db);
}

/* A colleague's book beside mine, with one place, leave, a word and a harvest. */
static void make_theirs(struct cli *cli, const char *sql)
{
    g_autofree char *theirs = path_of(cli, "theirs.db");
    char *mine = cli->book;

    g_unlink(theirs);
    cli->book = theirs;
    cli_ok(cli, "book init --mark MB");
    cli_clear_site(cli, "Mill Holme");
    cli_ok(cli, "site edit 'Mill Holme' --elevation 220");
    cli_ok(cli, "harvest add 'Mill Holme' nettle/leaf --weight 100g --stage 35 --on 2027-06-01");
    cli->book = mine;
    execute(cli, "theirs.db", sql);
}

#define REWRITE(where, from, to)                                                                   \
    "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET sql = replace(sql, " from ", " to       \
    ") WHERE " where "; PRAGMA writable_schema = RESET"
#define ENDLESS "WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT i FROM n"

static void what_is_no_book_of_ours_is_refused_whole(void **state)
{
    static const struct {
        const char *sql, *says;
    } rows[] = {
        {"UPDATE site SET outline = zeroblob(500)", "its shape is damaged"},
        {"INSERT INTO amendment (uuid, subject, field, value, at, why) SELECT 'x', uuid, 'outline',"
         " x'0102', 1, 'y' FROM site",
         "its shape is damaged"},
        {"DROP VIEW stage_note_now; CREATE VIEW stage_note_now AS " ENDLESS, "stage_note_now"},
        {"DROP TABLE stage_note; CREATE VIEW stage_note AS " ENDLESS, "stage_note"},
        {"CREATE TRIGGER t AFTER INSERT ON site BEGIN DELETE FROM spray_note; END", "trigger 't'"},
        {"ALTER TABLE permission DROP COLUMN by", "permission"},
        {REWRITE("name = 'spray_note'", "'  source TEXT NOT NULL,'", "''"), "spray_note"},
        {REWRITE("name = 'weather_day'", "') STRICT'", "')'"), "weather_day"},
        {"UPDATE harvest SET stage = 150", "CHECK constraint failed in harvest"},
        {"PRAGMA writable_schema = ON; UPDATE sqlite_schema SET rootpage = 3 WHERE name = "
         "'harvest'",
         ""},
    };
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        make_theirs(cli, rows[i].sql);
        cli_refused(cli, "book merge theirs.db", 1, rows[i].says);
    }
}

static void rows_that_the_door_would_refuse_are_left_out_and_named(void **state)
{
    static const struct {
        const char *sql, *says;
        int left_out;
    } rows[] = {
        {"INSERT INTO strike (subject, uuid, at, by, why) VALUES ('x', 'y', 1, NULL, 'z')",
         "strikes nothing", 1},
        {"INSERT INTO amendment (uuid, subject, field, value, at, why) SELECT 'x', uuid, 'name', 7,"
         " 1, 'y' FROM site",
         "a value that cannot be", 1},
        {"INSERT INTO strike (subject, uuid, at, by, why) SELECT uuid, 'y', 1, NULL, 'z' FROM site",
         "strikes a place", 1},
        {"UPDATE amendment SET at = 9223372036854775807", "after tomorrow", 1},
        {"UPDATE spray_note SET day = 9223372036854775807", "its day is no day", 2},
        {"UPDATE permission SET until = 9223372036854775807", "its until is no day", 1},
        /* With the place goes what hangs on it: leave, word, harvest and their codes, correction.
         */
        {"UPDATE site SET name = hex(zeroblob(5000000))", "its name is longer", 7},
        {"UPDATE site SET name = 'a' || char(27) || '[2J'", "a control character", 7},
        {"UPDATE site SET name = 'a' || char(8238) || 'b'", "a control character", 7},
        {"UPDATE site SET name = CAST(x'c328' AS TEXT)", "not valid UTF-8", 7},
        {"UPDATE harvest SET remark = char(7)", "a control character", 2},
        {"UPDATE thing SET mark = 'M' || char(27) WHERE kind = 'H'", "", 2},
    };
    struct cli *cli = *state;

    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        json_t *merged;
        g_autofree char *shown = NULL;

        g_unlink(cli->book);
        cli_ok(cli, "book init --mark ANN");
        cli_clear_site(cli, "Withy Gill");
        make_theirs(cli, rows[i].sql);
        merged = cli_json(cli, "book merge theirs.db --json");
        shown = json_dumps(merged, 0);
        if ((int)json_number(merged, "left_out") != rows[i].left_out ||
            strstr(shown, rows[i].says) == NULL)
            fail_msg("%s: left out %g, expected %d: %.800s", rows[i].sql,
                     json_number(merged, "left_out"), rows[i].left_out, shown);
        json_decref(merged);
        cli_ok(cli, "book check");
        cli_ok(cli, "site list --json");
        /* The clock of my own book goes on. */
        cli_ok(cli, "site edit 'Withy Gill' --elevation 300");
        assert_non_null(strstr(cli_ok(cli, "site show 'Withy Gill' --json"), "300"));
    }
}

static void many_rows_that_are_left_out_make_a_short_list(void **state)
{
    struct cli *cli = *state;
    json_t *merged;

    make_theirs(cli, "INSERT INTO strike (subject, uuid, at, why) WITH RECURSIVE n (i) AS (SELECT 1"
                     " UNION ALL SELECT i + 1 FROM n WHERE i < 20000) SELECT 's' || i, 'u' || i, 1,"
                     " 'x' FROM n");
    merged = cli_json(cli, "book merge theirs.db --json");
    assert_int_equal(json_number(merged, "left_out"), 20000);
    assert_true(json_array_size(json_object_get(merged, "conflicts")) <= 30);
    json_decref(merged);
    cli_ok(cli, "book check");
}

/* My own book with 20,000 rows astray, a planted trigger, a table without its checks, one gone. */
static void a_repair_makes_the_tables_again_and_puts_stray_rows_aside(void **state)
{
    struct cli *cli = *state;
    g_autofree char *aside = path_of(cli, "book.db.aside.sql"), *text = NULL;
    json_t *repaired;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 100g --stage 35 --on 2027-06-01");
    execute(cli, "book.db",
            "INSERT INTO strike (subject, uuid, at, by, why) VALUES ('x', 'y', 1, NULL, 'it''s "
            "nothing' || char(27));"
            "CREATE TRIGGER t AFTER INSERT ON site BEGIN DELETE FROM spray_note; END;"
            "DROP VIEW spray_note_now; CREATE VIEW spray_note_now AS SELECT *, NULL AS struck FROM"
            " spray_note; DROP TABLE \"release\"; DROP INDEX harvest_site;"
            "CREATE TABLE more (x); INSERT INTO more VALUES (42);" REWRITE(
                "name = 'harvest'", "'CHECK (stage BETWEEN 0 AND 99)'", "''"));
    execute(
        cli, "book.db",
        "INSERT INTO thing (uuid, kind, mark, year, number, at) VALUES ('p', 'H', 'ANN', 2027,"
        " 900, 1);"
        "INSERT INTO harvest (id, site_id, material, stage, day, weight_g, verdict, reasons)"
        " SELECT id, 1, 'nettle/leaf', 150, 20970, 5, 'clear', '[]' FROM thing WHERE uuid = 'p'");
    cli_refused(cli, "site list", 1, "makes the tables again");
    cli_run(cli, "book check");
    assert_int_equal(cli->status, 1);
    assert_non_null(strstr(cli->out, "trigger 't': is no part of a book"));
    assert_non_null(strstr(cli->out, "table 'release': is missing"));
    assert_non_null(strstr(cli->out, "strikes nothing that is here"));

    repaired = cli_json(cli, "book repair --json");
    assert_string_equal(json_text(repaired, "aside"), aside);
    json_decref(repaired);
    assert_true(g_file_get_contents(aside, &text, NULL, NULL));
    assert_non_null(strstr(text, "strikes nothing that is here"));
    assert_non_null(strstr(text, "INSERT INTO \"more\" (\"x\") VALUES (42);"));
    assert_non_null(strstr(text, "CHECK constraint failed"));
    assert_null(strchr(text, '\033'));
    /* A code without its record is left to the person: it is a thing. */
    execute(cli, "book.db", "DELETE FROM thing WHERE uuid = 'p'");
    cli_ok(cli, "book check");
    cli_ok(cli, "check 'Withy Gill'");
    assert_non_null(strstr(cli_ok(cli, "harvest list"), "H27-001"));
    cli_ok(cli, "book backup copy.db");
}

/* Of processor: what else the machine does is no part of it. */
static double seconds_of_children(void)
{
    struct rusage used;

    getrusage(RUSAGE_CHILDREN, &used);
    return (double)(used.ru_utime.tv_sec + used.ru_stime.tv_sec) +
           (double)(used.ru_utime.tv_usec + used.ru_stime.tv_usec) / G_USEC_PER_SEC;
}

/* A chain in which each batch drew from the last; half of it takes at least a third of the time of
 * the whole, where pairs of all would take a quarter and what was measured before an eighth. */
static double seconds_to_check(struct cli *cli, int n)
{
    g_autofree char *sql = g_strdup_printf(
        "BEGIN; DELETE FROM draw; DELETE FROM thing; INSERT INTO thing (id, uuid, kind, mark, year,"
        " number, at) WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < %d)"
        " SELECT i, 'u' || i, 'B', 'ANN', 2027, i, 1 FROM n; INSERT INTO draw (uuid, taker_id,"
        " source_id, day, grams, at) SELECT 'd' || id, id, id - 1, 20900, 1, 1 FROM thing WHERE id"
        " > 1; COMMIT",
        n);
    double start;

    execute(cli, "book.db", sql);
    start = seconds_of_children();
    cli_run(cli, "book check");
    return seconds_of_children() - start;
}

static void a_check_takes_time_in_step_with_a_chain_of_draws(void **state)
{
    struct cli *cli = *state;
    double ten, five;

    seconds_to_check(cli, 100);
    five = seconds_to_check(cli, 5000);
    ten = seconds_to_check(cli, 10000);
    if (ten > 3.5 * five)
        fail_msg("5,000 draws took %.2f s, 10,000 %.2f s", five, ten);
}

/* An outline or a hazard whose bytes are spoilt: that place is asked about, all else goes on. */
static void one_damaged_shape_stops_nothing_else(void **state)
{
    static const char *const lines[] = {"site list",       "check --all",
                                        "harvest list",    "window list",
                                        "hazard list",     "draw map --out map.pdf",
                                        "book export out", "site export sites.geojson"};
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_clear_site(cli, "Mill Holme");
    assert_int_equal(cli_run(cli, "check 'Mill Holme'"), 0);
    execute(cli, "book.db", "UPDATE site SET outline = zeroblob(500) WHERE name = 'Withy Gill'");
    assert_int_equal(cli_run(cli, "check 'Mill Holme'"), 0);
    assert_int_equal(cli_run(cli, "check 'Withy Gill'"), 3);
    assert_non_null(strstr(cli->out, "outline of Withy Gill"));
    cli_ok(cli, "hazard add 'the tip' --method tip --at 54.7,-2.5");
    for (gsize i = 0; i < G_N_ELEMENTS(lines); i++)
        cli_ok(cli, lines[i]);
    /* Ground that nobody can tell: it may lie anywhere that its box reaches. */
    cli_ok(cli, "hazard add 'the road' --method road --at 54.6013,-2.5873");
    assert_int_equal(cli_run(cli, "check 'Mill Holme'"), 4);
    execute(cli, "book.db", "UPDATE hazard SET shape = zeroblob(76) WHERE name = 'the road'");
    assert_int_equal(cli_run(cli, "check 'Mill Holme'"), 3);
    assert_non_null(strstr(cli->out, "the road"));
    cli_ok(cli, "check --all");
    cli_ok(cli, "draw map --out map.pdf");
    cli_ok(cli, "book export again");
}

/* A place whose row is gone though an outing of today stops there and herb of it is on the shelf.
 */
static void a_place_that_is_gone_stops_nothing_else(void **state)
{
    static const char *const lines[] = {"harvest list",
                                        "harvest show H27-001",
                                        "lot list --all",
                                        "batch list",
                                        "window list",
                                        "plan outings --kept",
                                        "draw outing --out o.pdf",
                                        "calendar write --out -",
                                        "book export out",
                                        "check --all",
                                        "site list"};
    struct cli *cli = *state;
    const json_t *stop;
    json_t *today, *list;

    cli_clear_site(cli, "Withy Gill");
    cli_clear_site(cli, "Mill Holme");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 500g --stage 35 --on 2027-06-19");
    cli_ok(cli, "batch start tincture --from H27-001:87g --jar 500mL --menstruum 'spirit 40%, Still"
                " House, 7' --on 2027-06-20");
    cli_ok(cli, "batch press B27-001 --yield 390mL");
    execute(cli, "book.db",
            "INSERT INTO outing (id, uuid, season, at) VALUES (1, 'o', 2027, 1);"
            "INSERT INTO outing_version (id, uuid, outing_id, day, hours, km, fixed, at)"
            " VALUES (1, 'v', 1, 20989, 2, 10, 0, 1);" /* 2027-06-20 */
            "INSERT INTO outing_stop VALUES (1, 0, 1, 'clear'), (1, 1, 2, 'clear');"
            "PRAGMA foreign_keys = OFF; DELETE FROM site WHERE name = 'Withy Gill'");
    today = cli_json(cli, "--json");
    assert_int_equal(cli->status, 0);
    assert_int_equal(json_array_size(json_object_get(today, "outing")), 2);
    stop = json_array_get(json_object_get(today, "outing"), 0);
    assert_string_equal(json_text(stop, "site"), "place number 1");
    assert_string_equal(json_text(stop, "verdict"), "ask");
    assert_string_equal(json_string_value(json_array_get(json_object_get(stop, "reasons"), 0)),
                        "place number 1 is gone from the book");
    stop = json_array_get(json_object_get(today, "outing"), 1);
    assert_string_equal(json_text(stop, "site"), "Mill Holme");
    assert_string_equal(json_text(stop, "verdict"), "clear");
    json_decref(today);
    for (gsize i = 0; i < G_N_ELEMENTS(lines); i++)
        cli_ok(cli, lines[i]);
    list = cli_json(cli, "harvest list --json");
    assert_int_equal(json_array_size(list), 1);
    assert_string_equal(json_text(json_array_get(list, 0), "site"), "place number 1");
    json_decref(list);
    cli_run(cli, "book check");
    assert_int_equal(cli->status, 1);
}

/* A register whose numbers begin nowhere near 1 costs neither time nor room. */
static void a_calendar_whose_register_is_damaged_is_still_written(void **state)
{
    static const char *const ids[] = {"9223372036854775807", "-719163", "4294967296"};
    struct cli *cli = *state;

    json_t *written;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 500g --stage 35 --on 2027-06-19");
    cli_ok(cli, "batch start tincture --from H27-001:87g --jar 500mL --menstruum 'spirit 40%, Still"
                " House, 7' --on 2027-06-20");
    written = cli_json(cli, "calendar write --out herbs.ics --json");
    assert_true(json_number(written, "events") > 3);
    json_decref(written);
    for (gsize i = 0; i < G_N_ELEMENTS(ids); i++) {
        g_autofree char *sql = g_strdup_printf(
            "PRAGMA foreign_keys = OFF; UPDATE calendar_sent SET entry_id = %s WHERE entry_id ="
            " (SELECT min(id) FROM calendar_entry); UPDATE calendar_entry SET id = %s WHERE id ="
            " (SELECT min(id) FROM calendar_entry)",
            ids[i], ids[i]);

        execute(cli, "book.db", sql);
        cli_ok(cli, "calendar write --out herbs.ics");
    }
}

/* A spraying whose day is none of the calendar is one without a day, and still closes; a jar begun
 * on no day is still in the calendar and the lists. */
static void a_day_that_is_none_stops_nothing_and_clears_nothing(void **state)
{
    static const char *const days[] = {"9223372036854775807", "-719163", "4294967296"};
    static const char *const lines[] = {"batch list",  "calendar write --out herbs.ics",
                                        "lot list",    "harvest list",
                                        "check --all", "--json"};
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_clear_site(cli, "Mill Holme");
    cli_ok(cli, "harvest add 'Mill Holme' nettle/leaf --weight 500g --stage 35 --on 2027-06-19");
    cli_ok(cli, "batch start tincture --from H27-001:87g --jar 500mL --menstruum 'spirit 40%, Still"
                " House, 7' --on 2027-06-20");
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --on 2027-06-18 --source x");
    for (gsize i = 0; i < G_N_ELEMENTS(days); i++) {
        g_autofree char *sql = g_strdup_printf(
            "UPDATE spray_note SET day = %s WHERE kind = 'sprayed'; UPDATE batch SET day = %s",
            days[i], days[i]);

        execute(cli, "book.db", sql);
        assert_int_equal(cli_run(cli, "check 'Withy Gill'"), 4);
        for (gsize k = 0; k < G_N_ELEMENTS(lines); k++)
            cli_ok(cli, lines[k]);
    }
}

/* A word that must be there and is empty: what hangs on it is said, nothing breaks. */
static void a_word_that_is_empty_stops_nothing_else(void **state)
{
    static const char *const damages[] = {
        "UPDATE planned SET preparation = ''", "UPDATE planned_part SET material = ''",
        "UPDATE harvest SET material = ''",    "UPDATE batch SET preparation = ''",
        "UPDATE spray_note SET kind = ''",     "UPDATE harvest SET reasons = ''",
        "UPDATE lot SET preparation = ''",     "UPDATE stand_note SET plant = '', kind = ''",
        "UPDATE harvest SET verdict = ''",
    };
    static const char *const lines[] = {"--json",         "harvest list", "batch list",
                                        "lot list --all", "site list",    "check --all"};
    struct cli *cli = *state;
    g_autofree char *bytes = NULL;
    gsize size;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "stand set 'Withy Gill' nettle --plants 400");
    cli_ok(cli, "plan add 'nettle tincture' tincture nettle/leaf --yield 500mL");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 500g --stage 35 --on 2027-06-19");
    cli_ok(cli, "batch start tincture --from H27-001:87g --jar 500mL --menstruum 'spirit 40%, Still"
                " House, 7' --on 2027-06-20");
    cli_ok(cli, "batch press B27-001 --yield 390mL");
    assert_true(g_file_get_contents(cli->book, &bytes, &size, NULL));
    for (gsize i = 0; i < G_N_ELEMENTS(damages); i++) {
        assert_true(g_file_set_contents(cli->book, bytes, (gssize)size, NULL));
        execute(cli, "book.db", damages[i]);
        for (gsize k = 0; k < G_N_ELEMENTS(lines); k++) {
            cli_run(cli, lines[k]);
            if (cli->status != 0)
                fail_msg("%s: %s: status %d: %s", damages[i], lines[k], cli->status, cli->err);
        }
    }
}

/* What nobody can reckon any more is said on the day's screen, beside all that can. */
static void a_part_of_today_that_cannot_be_told_is_said(void **state)
{
    struct cli *cli = *state;
    const json_t *stop;
    json_t *today;

    cli_ok(cli, "site add 'Withy Gill' --at 54.6012,-2.5871");
    cli_ok(cli, "plan add 'nettle tincture' tincture nettle/leaf --yield 500mL");
    execute(cli, "book.db", "INSERT INTO setting (key, value) VALUES ('press', 'nonsense')");
    today = cli_json(cli, "--json");
    assert_int_equal(cli->status, 0);
    stop = json_array_get(json_object_get(today, "stops"), 0);
    assert_string_equal(json_text(stop, "state"), "damaged");
    assert_string_equal(json_text(stop, "what"), "what runs short");
    assert_non_null(strstr(json_text(stop, "why"), "nonsense"));
    assert_int_equal(json_array_size(json_object_get(today, "ask")), 1);
    json_decref(today);
}

/* A herb and a plant whose rows left the tables since: what was written of them is still read, and
 * stops nothing else. */
static void a_herb_that_left_the_tables_is_still_read(void **state)
{
    static const char *const lines[] = {"harvest list",
                                        "harvest show H27-001",
                                        "dry list",
                                        "batch list",
                                        "batch show B27-001",
                                        "lot list --all",
                                        "lot show L27-001",
                                        "trace L27-001",
                                        "stage list",
                                        "stand list",
                                        "window list",
                                        "draw season --out s.pdf",
                                        "calendar write --out -",
                                        "book export out",
                                        "check --all"};
    struct cli *cli = *state;
    json_t *list;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "stand set 'Withy Gill' nettle --plants 400");
    cli_ok(cli, "stage note 'Withy Gill' nettle/leaf 35 --on 2027-06-19");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 500g --stage 35 --on 2027-06-19");
    cli_ok(cli, "plan add 'nettle tincture' tincture nettle/leaf --yield 500mL");
    cli_ok(cli, "batch start tincture --from H27-001:87g --jar 500mL --menstruum 'spirit 40%, Still"
                " House, 7' --on 2027-06-20");
    cli_ok(cli, "batch press B27-001 --yield 390mL");
    execute(cli, "book.db",
            "UPDATE harvest SET material = 'gone-weed/leaf';"
            "UPDATE stage_note SET material = 'gone-weed/leaf';"
            "UPDATE stand_note SET plant = 'gone-weed';"
            "UPDATE planned_part SET material = 'gone-weed/leaf';"
            "UPDATE lot SET materials = 'gone-weed/leaf'");
    for (gsize i = 0; i < G_N_ELEMENTS(lines); i++)
        cli_ok(cli, lines[i]);
    list = cli_json(cli, "harvest list --json");
    assert_string_equal(json_text(json_array_get(list, 0), "material"), "gone-weed/leaf");
    json_decref(list);
    cli_ok(cli, "--json");
    /* What is yet to be made of it cannot be reckoned: that is said, the rest is planned, and it
     * can be dropped. */
    assert_non_null(strstr(cli_ok(cli, "plan list"), "in no table any more"));
    cli_ok(cli, "plan add 'yarrow tincture' tincture yarrow/herb --yield 100mL");
    cli_ok(cli, "plan drop 'nettle tincture'");
    cli_ok(cli, "plan list");
}

static const struct CMUnitTest tests[] = {
    cli_test(a_herb_that_left_the_tables_is_still_read),
    cli_test(a_place_that_is_gone_stops_nothing_else),
    cli_test(a_calendar_whose_register_is_damaged_is_still_written),
    cli_test(a_day_that_is_none_stops_nothing_and_clears_nothing),
    cli_test(a_word_that_is_empty_stops_nothing_else),
    cli_test(a_part_of_today_that_cannot_be_told_is_said),
    cli_test(what_is_no_book_of_ours_is_refused_whole),
    cli_test(rows_that_the_door_would_refuse_are_left_out_and_named),
    cli_test(many_rows_that_are_left_out_make_a_short_list),
    cli_test(a_repair_makes_the_tables_again_and_puts_stray_rows_aside),
    cli_test(one_damaged_shape_stops_nothing_else),
    cli_test(a_check_takes_time_in_step_with_a_chain_of_draws),
};
expect_main(tests)
