/* SPDX-License-Identifier: MIT
 *
 * The working week: giving out, bottling, counting. Expected figures are sums by hand.
 */
#include <sqlite3.h>

#include "cli.h"

#define T60 "--jar 500mL --menstruum 'spirit 60%, Ash Beck Still, 114'"

/* L27-001 and L27-002: 400 mL each of one nettle tincture; L27-003: 300 mL of another strength,
 * thinner; L27-004: 200 mL of nettle tincture for outside. */
static void a_shelf(struct cli *cli)
{
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 1kg --stage 35 --on 2027-05-25");
    cli_ok(cli, "batch start tincture --from H27-001:100g --ratio 1:4 " T60 " --on 2027-05-25");
    cli_ok(cli, "batch start tincture --from H27-001:100g --ratio 1:4 " T60 " --on 2027-05-25");
    cli_ok(cli, "batch start tincture --from H27-001:50g --ratio 1:8 " T60 " --on 2027-05-25");
    cli_ok(cli, "batch start tincture --from H27-001:100g --ratio 1:4 --outside " T60
                " --on 2027-05-25");
    cli_ok(cli, "batch press B27-001 --yield 400mL --on 2027-06-10");
    cli_ok(cli, "batch press B27-002 --yield 400mL --on 2027-06-10");
    cli_ok(cli, "batch press B27-003 --yield 300mL --on 2027-06-10");
    cli_ok(cli, "batch press B27-004 --yield 200mL --on 2027-06-10");
}

static double left_of(struct cli *cli, const char *code)
{
    g_autofree char *line = g_strdup_printf("lot show %s --json", code);
    json_t *lot = cli_json(cli, line);
    double left = json_number(lot, "left_ml");

    json_decref(lot);
    return left;
}

static gboolean has_line(const json_t *texts, const char *part)
{
    size_t i;
    json_t *one;

    json_array_foreach(texts, i, one)
    {
        if (strstr(json_string_value(one), part) != NULL)
            return TRUE;
    }
    return FALSE;
}

static void what_goes_out_comes_back_as_the_text_of_its_label(void **state)
{
    struct cli *cli = *state;
    json_t *given, *label, *lot;
    double abv;

    a_shelf(cli);
    lot = cli_json(cli, "lot show L27-001 --json");
    abv = json_number(lot, "abv");
    json_decref(lot);
    given = cli_json(cli, "lot use L27-001:50mL L27-002:30mL --for 1042 --directions '5 mL in "
                          "water, three times a day' --json");
    assert_int_equal(cli->status, 0);
    assert_string_equal(json_text(given, "code"), "U27-001");
    assert_string_equal(json_text(given, "ref"), "1042");
    assert_int_equal(json_array_size(json_object_get(given, "lots")), 2);
    expect_near(json_number(given, "ml"), 80.0, 0.001, "mL");
    expect_near(json_number(given, "abv"), abv, 0.05, "% vol"); /* both are as strong */
    label = json_object_get(given, "label");
    assert_true(has_line(label, "For 1042, 20 June 2027"));
    assert_true(has_line(label, "Nettle leaf tincture (Urtica dioica), 50 mL, L27-001, 1:4, "
                                "spirit 60%"));
    assert_true(has_line(label, "30 mL, L27-002"));
    assert_true(has_line(label, "Together 80 mL"));
    assert_true(has_line(label, "5 mL in water, three times a day"));
    assert_true(has_line(label, "Use by "));
    assert_true(has_line(label, "of it in 80 mL"));
    assert_true(has_line(label, "Keep out of the reach of children."));
    assert_true(has_line(label, "ANN:U27-001"));
    json_decref(given);
    expect_near(left_of(cli, "L27-001"), 350.0, 0.001, "mL");
    expect_near(left_of(cli, "L27-002"), 370.0, 0.001, "mL");
    cli_ok(cli, "lot use L27-004:20mL --for 1042");
    assert_non_null(strstr(cli->out, "For external use only."));
    assert_null(strstr(cli->out, "vol alcohol")); /* nobody drinks it */
}

static void the_same_goes_out_again_of_what_stands(void **state)
{
    struct cli *cli = *state;
    json_t *given;

    a_shelf(cli);
    cli_ok(cli, "lot use L27-001:60mL L27-003:40mL --for 1042 --directions '5 mL, twice' --on "
                "2027-06-12");
    cli_ok(cli, "lot use L27-003:10mL --for 1043 --on 2027-06-13");
    given = cli_json(cli, "lot use --for 1042 --again --json");
    assert_string_equal(json_text(given, "directions"), "5 mL, twice");
    assert_string_equal(json_text(json_array_get(json_object_get(given, "lots"), 0), "code"),
                        "L27-001");
    expect_near(json_number(given, "ml"), 100.0, 0.001, "mL");
    json_decref(given);
    /* 400 - 60 - 60 = 280 left; 230 of it break. */
    cli_ok(cli, "discard L27-001 230mL --why 'fell from the shelf'");
    given = cli_json(cli, "lot use --for 1042 --again --directions '3 mL, twice' --json");
    assert_string_equal(json_text(given, "directions"), "3 mL, twice");
    /* 50 mL are there, the other 10 come of the next. */
    assert_string_equal(json_text(json_array_get(json_object_get(given, "lots"), 0), "code"),
                        "L27-001");
    expect_near(json_number(json_array_get(json_object_get(given, "lots"), 0), "ml"), 50.0, 0.001,
                "mL");
    assert_string_equal(json_text(json_array_get(json_object_get(given, "lots"), 1), "code"),
                        "L27-002");
    expect_near(json_number(given, "ml"), 100.0, 0.001, "mL");
    assert_non_null(strstr(cli->err, "no more than 50 mL: the other 10 mL are of L27-002"));
    json_decref(given);
    expect_near(left_of(cli, "L27-001"), 0.0, 0.001, "mL");
    expect_near(left_of(cli, "L27-002"), 390.0, 0.001, "mL");
    expect_near(left_of(cli, "L27-003"), 300.0 - 3 * 40.0 - 10.0, 0.001, "mL");
    /* Neither what is thinner, of another strength, nor for outside takes its place. */
    cli_ok(cli, "lot withdraw L27-002 --why cloudy");
    cli_ok(cli, "batch start tincture --from H27-001:100g --ratio 1:4 --jar 500mL --menstruum "
                "'spirit 90%, Ash "
                "Beck Still, 119' --on 2027-05-25");
    cli_ok(cli, "batch press B27-005 --yield 400mL --on 2027-06-10");
    cli_refused(cli, "lot use --for 1042 --again", 1, "no other lot of Nettle leaf tincture");
    expect_near(left_of(cli, "L27-003"), 170.0, 0.001, "mL");
    cli_refused(cli, "lot use --for 2000 --again", 1, "nothing went to 2000");
    cli_refused(cli, "lot use --again", 2, "goes only with for");
    cli_refused(cli, "lot use L27-003:10mL --for 1042 --again", 2, "together with again");
    cli_refused(cli, "lot use --for 1042", 2, "again");
    cli_refused(cli, "lot use L27-003:10mL --for 'Mrs Hurst'", 2, "never a name");
    cli_refused(cli, "lot use L27-003:10mL L27-004:10mL --for 1042", 1, "outside use only");
}

static void bottles_are_given_out_and_counted_as_bottles(void **state)
{
    struct cli *cli = *state;
    json_t *lot;

    a_shelf(cli);
    cli_ok(cli, "lot bottle L27-001 4x100mL --at 'shelf B3'");
    cli_ok(cli, "lot use L27-001:2x100mL --for 1042");
    lot = cli_json(cli, "lot show L27-001 --json");
    expect_near(json_number(lot, "left_ml"), 200.0, 0.001, "mL");
    assert_string_equal(json_text(lot, "full"), "2 × 100 mL");
    json_decref(lot);
    lot = cli_json(cli, "lot count L27-001 1x100mL+95mL --json");
    expect_near(json_number(lot, "left_ml"), 195.0, 0.001, "mL");
    assert_string_equal(json_text(lot, "full"), "1 × 100 + open 95 mL");
    json_decref(lot);
    cli_ok(cli, "trace L27-001");
    assert_non_null(strstr(cli->out, "shelf B3"));
    assert_non_null(strstr(cli->out, "1 × 100 + open 95 mL"));
    cli_refused(cli, "lot use L27-001:0x100mL --for 1042", 2, "bottles");
    cli_refused(cli, "lot use L27-001:2000x100mL --for 1042", 2, "bottles");
    cli_refused(cli, "lot use L27-001:3x100mL --for 1042", 1, "are left");
    cli_refused(cli, "lot count L27-001 1x100mL+95g", 2, "adds weight to volume");
    cli_refused(cli, "lot count L27-001 1x100mL+", 2, "not an amount");
}

static const json_t *line_of(const json_t *lines, const char *code)
{
    size_t i;
    json_t *one;

    json_array_foreach(lines, i, one)
    {
        if (g_str_equal(json_text(one, "code"), code))
            return one;
    }
    fail_msg("no line of %s", code);
    return NULL;
}

static void write_file(struct cli *cli, const char *name, const char *text)
{
    g_autofree char *path = g_build_filename(cli->folder, name, NULL);

    assert_true(g_file_set_contents(path, text, -1, NULL));
}

static void a_difference_that_drying_does_not_explain_asks_why(void **state)
{
    struct cli *cli = *state;

    a_shelf(cli);
    /* 400 mL by the book: 2 % up is 408, 10 % down 360. */
    cli_refused(cli, "lot count L27-001 409mL", 1, "9 more");
    cli_refused(cli, "lot count L27-001 359mL", 1, "41 less");
    cli_ok(cli, "lot count L27-001 408mL");
    cli_ok(cli, "lot count L27-002 360mL");
    cli_ok(cli, "lot count L27-003 20mL --why 'the cat was at it'");
    cli_ok(cli, "lot count L27-003 16mL"); /* a fifth, but nobody measures 4 mL */
    cli_ok(cli, "lot show L27-003");
    assert_non_null(strstr(cli->out, "the cat was at it"));
    cli_refused(cli, "lot count", 2, "CODE");
    cli_refused(cli, "lot count L27-001", 2, "goes only with amount");
    cli_refused(cli, "lot count L27-001 400mL --all x.csv", 2, "all");
}

static void everything_is_counted_by_one_sheet(void **state)
{
    struct cli *cli = *state;
    g_autofree char *path = g_build_filename(cli->folder, "count.csv", NULL), *text = NULL;
    json_t *lines;

    a_shelf(cli);
    cli_ok(cli, "lot bottle L27-001 4x100mL --at 'shelf B3'");
    cli_ok(cli, "dry start --from H27-001:200g --on 2027-05-25");
    cli_ok(cli, "dry finish D27-001 --weight 40g --on 2027-06-01 --sure");
    cli_ok(cli, "batch start tincture --from D27-001:10g " T60 " --on 2027-06-18");
    lines = cli_json(cli, "lot count --sheet count.csv --json");
    /* four lots, a jar, a drying */
    assert_int_equal(json_array_size(lines), 6);
    json_decref(lines);
    assert_true(g_file_get_contents(path, &text, NULL, NULL));
    assert_non_null(strstr(text, "code,what,place,bottles,book,unit,counted,why\n"));
    assert_non_null(
        strstr(text, "L27-001,\"Nettle leaf, tincture\",shelf B3,4 × 100 mL,400,mL,,\n"));
    cli_refused(cli, "lot count --sheet count.csv", 1, "is there already");
    cli_ok(cli, "lot count --sheet count.csv --force");
    write_file(cli, "filled.csv",
               "\xEF\xBB\xBF"
               "code;counted;why\n"
               "L27-001;3x100mL+95mL;\n" /* 5 less */
               "L27-002;310;a bottle fell\n"
               "L27-003;200;\n" /* a third gone, and nobody says why */
               "D27-001;25g;\n" /* of 30 */
               "B27-005;2;\n"
               "L27-009;10;\n"
               "L27-001;400;\n");
    lines = cli_json(cli, "lot count --all filled.csv --json");
    assert_int_equal(cli->status, 0);
    expect_near(json_number(line_of(lines, "L27-001"), "difference"), -5.0, 0.001, "mL");
    assert_true(json_is_true(json_object_get(line_of(lines, "L27-002"), "taken")));
    assert_true(json_is_false(json_object_get(line_of(lines, "L27-003"), "taken")));
    assert_non_null(strstr(json_text(line_of(lines, "L27-003"), "note"), "say why"));
    assert_true(json_is_true(json_object_get(line_of(lines, "D27-001"), "taken")));
    assert_non_null(strstr(json_text(line_of(lines, "B27-005"), "note"), "2 of 1 jars"));
    assert_non_null(strstr(json_text(line_of(lines, "L27-009"), "note"), "line 7"));
    assert_string_equal(json_text(line_of(lines, "L27-004"), "note"), "not counted");
    json_decref(lines);
    expect_near(left_of(cli, "L27-001"), 395.0, 0.001, "mL");
    expect_near(left_of(cli, "L27-002"), 310.0, 0.001, "mL");
    expect_near(left_of(cli, "L27-003"), 300.0, 0.001, "mL");
    lines = cli_json(cli, "dry show D27-001 --json");
    expect_near(json_number(lines, "left_g"), 25.0, 0.001, "g");
    json_decref(lines);
    cli_ok(cli, "book check");
    write_file(cli, "wrong.csv", "code,amount\nL27-001,400\n");
    cli_refused(cli, "lot count --all wrong.csv", 2, "counted");
    cli_refused(cli, "lot count --all nowhere.csv", 1, "nowhere.csv");
}

static struct spl_day day_of(const json_t *line, const char *key)
{
    struct spl_day day;

    assert_true(spl_day_parse(json_text(line, key), key, &day, NULL));
    return day;
}

static void expect_narrow(const char *text, glong most)
{
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);

    for (guint i = 0; lines[i] != NULL; i++)
        if (g_utf8_strlen(lines[i], -1) > most)
            fail_msg("'%s' is wider than %ld", lines[i], most);
}

/*
 * 365 mL went out in twelve months: 1 mL a day. 400 + 200 + 135 mL are left on 20 June; of L27-001
 * the last day is 7 September, the eightieth: 320 of its 400 mL are late. So of N days until next
 * year's is bottled the shelf serves 80 + 200 + 135.
 */
static void the_year_suggests_what_will_be_missing(void **state)
{
    struct cli *cli = *state;
    json_t *lines;
    const json_t *nettle, *outside;
    double missing, expected;

    a_shelf(cli);
    cli_ok(cli, "lot use L27-002:200mL --for 1042 --on 2027-06-12");
    cli_ok(cli, "lot use L27-003:165mL --for 1043 --on 2027-06-13");
    cli_ok(cli, "amend L27-001 --use-by 2027-09-07 --why 'it was opened'");
    lines = cli_json(cli, "plan year --year 2028 --json");
    assert_int_equal(json_array_size(lines), 2);
    nettle = json_array_get(lines, 0);
    outside = json_array_get(lines, 1);
    assert_string_equal(json_text(nettle, "medicine"), "Nettle leaf tincture");
    assert_string_equal(json_text(outside, "medicine"), "Nettle leaf tincture, for outside");
    expect_near(json_number(nettle, "out"), 365.0, 1e-6, "mL");
    expect_near(json_number(nettle, "left"), 735.0, 1e-6, "mL");
    assert_string_equal(json_text(nettle, "late"), "320 mL of L27-001 on 2027-09-07");
    missing = spl_day_diff(day_of(nettle, "until"), day_of(nettle, "lasts_until")) - 1.0;
    /* 415 days are served: the last of them is the 415th from 20 June. */
    {
        struct spl_day today;

        assert_true(spl_day_parse(CLI_TODAY, "today", &today, NULL));
        assert_int_equal(spl_day_diff(day_of(nettle, "lasts_until"), today), 414);
    }
    expected = missing < 200.0 ? ceil(missing / 10.0) * 10.0 : ceil(missing / 50.0) * 50.0;
    expect_near(json_number(nettle, "suggested"), expected, 1e-6, "mL");
    assert_true(json_number(nettle, "fresh_g") > 0.0);
    expect_near(json_number(outside, "out"), 0.0, 1e-9, "mL");
    expect_near(json_number(outside, "suggested"), 0.0, 1e-9, "mL"); /* nobody wants it */
    json_decref(lines);

    /* On the screen it fits one, and what is held is said and not counted. */
    cli_ok(cli, "lot hold L27-003 --why 'smells odd'");
    cli_ok(cli, "plan year --year 2028");
    assert_non_null(strstr(cli->out, "held, and not counted: L27-003, "));
    expect_narrow(cli->out, 80);
    cli_ok(cli, "lot release L27-003 --why 'smelt again by two'");

    lines = cli_json(cli, "plan year --year 2028 --accept 'nettle leaf tincture' --json");
    assert_int_equal(json_array_size(lines), 1);
    expect_near(json_number(json_array_get(lines, 0), "wanted"), expected, 1e-6, "mL");
    json_decref(lines);
    lines = cli_json(cli, "plan list --year 2028 --json");
    assert_int_equal(json_array_size(lines), 1);
    expect_near(json_number(json_array_get(lines, 0), "yield_ml"), expected, 1e-6, "mL");
    json_decref(lines);
    cli_refused(cli, "plan year --year 2028 --accept 'Nettle leaf tincture'", 1, "no more");
    cli_refused(cli, "plan year --year 2028 --accept 'Mandrake wine'", 1, "there are: Nettle leaf");
    cli_refused(cli, "plan year --year 2028 --amount 200mL", 2, "accept");
    cli_refused(cli, "plan year --year 2029 --accept 'Nettle leaf tincture' --amount 100g", 2,
                "volume");
    cli_refused(cli, "plan year --year 20", 2, "year");
}

/* A sum straight from the tables. */
static double sum_of(const struct cli *cli, const char *sql)
{
    sqlite3 *db;
    sqlite3_stmt *row;
    double sum;

    assert_int_equal(sqlite3_open(cli->book, &db), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &row, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(row), SQLITE_ROW);
    sum = sqlite3_column_double(row, 0);
    sqlite3_finalize(row);
    sqlite3_close(db);
    return sum;
}

static double sum_key(const json_t *lines, const char *key)
{
    size_t i;
    json_t *one;
    double sum = 0.0;

    json_array_foreach(lines, i, one) sum += json_number(one, key);
    return sum;
}

/*
 * Of 2027: 400 + 400 + 300 + 200 mL made; 100 and 40 went out; 30 of L27-002 into another jar; 20
 * thrown away; a count found 6 less. Of 2028: L27-001 begins with 300, 50 go out, 4 more are found.
 */
static void every_figure_of_the_year_adds_up_from_the_rows(void **state)
{
    struct cli *cli = *state;
    json_t *lines;
    const json_t *one;
    size_t i;

    a_shelf(cli);
    cli_ok(cli, "lot use L27-001:100mL --for 1042 --on 2027-06-12");
    cli_ok(cli, "lot use L27-003:40mL --for 1043 --on 2027-06-13");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 60g --stage 35 --on 2027-06-14");
    cli_ok(cli,
           "batch start tincture --from H27-002:50g --from L27-002:30mL " T60 " --on 2027-06-14");
    cli_ok(cli, "discard L27-003 20mL --why spilt --on 2027-06-15");
    cli_ok(cli, "lot count L27-002 364mL --on 2027-06-16");
    cli->today = "2028-03-02";
    cli_ok(cli, "lot use L27-001:50mL --for 1042 --on 2028-02-01");
    cli_ok(cli, "lot count L27-001 254mL --on 2028-03-01");

    lines = cli_json(cli, "lot year --year 2027 --json");
    assert_int_equal(json_array_size(lines), 4);
    expect_near(sum_key(lines, "before"), 0.0, 1e-9, "mL");
    expect_near(sum_key(lines, "made"), 1300.0, 1e-6, "mL");
    expect_near(sum_key(lines, "out"), 140.0, 1e-6, "mL");
    expect_near(sum_key(lines, "drawn"), 30.0, 1e-6, "mL");
    expect_near(sum_key(lines, "thrown"), 20.0, 1e-6, "mL");
    expect_near(sum_key(lines, "counted"), -6.0, 1e-6, "mL");
    expect_near(sum_key(lines, "left"), 1300.0 - 140.0 - 30.0 - 20.0 - 6.0, 1e-6, "mL");
    json_array_foreach(lines, i, one)
    {
        const json_t *uses = json_object_get(one, "uses");

        expect_near(sum_key(uses, "ml"), json_number(one, "out"), 1e-6, "mL");
    }
    json_decref(lines);

    lines = cli_json(cli, "lot year --year 2028 --json");
    one = line_of(lines, "L27-001");
    expect_near(json_number(one, "before"), 300.0, 1e-6, "mL");
    expect_near(json_number(one, "out"), 50.0, 1e-6, "mL");
    expect_near(json_number(one, "counted"), 4.0, 1e-6, "mL");
    expect_near(json_number(one, "left"), 254.0, 1e-6, "mL");
    /* The same by the tables, of both years together. */
    expect_near(sum_key(lines, "left"),
                sum_of(cli, "SELECT (SELECT total(amount) FROM lot) - (SELECT total(amount) FROM "
                            "lot_use) - (SELECT total(ml) FROM discard) - (SELECT total(d.ml) FROM "
                            "draw d JOIN lot l ON l.id = d.source_id) + (SELECT total(difference) "
                            "FROM lot_event)"),
                1e-6, "mL");
    json_decref(lines);
    cli_ok(cli, "draw year 2027 --out year.pdf");
    cli_refused(cli, "lot year --year 27", 2, "year");
}

/*
 * 320 of 400 mL went out in the last ninety days, 3.56 a day: the 80 that are left serve 22 whole
 * days from 20 June, and not the one after, 12 July.
 */
static void a_jar_is_pressed_when_its_medicine_runs_out(void **state)
{
    struct cli *cli = *state;
    json_t *today;
    const json_t *line;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 1kg --stage 35 --on 2027-04-20");
    for (int i = 0; i < 2; i++)
        cli_ok(cli, "batch start tincture --from H27-001:100g " T60 " --on 2027-04-20");
    cli_ok(cli, "batch press B27-001 --yield 400mL --on 2027-06-04");
    today = cli_json(cli, "--json");
    assert_int_equal(json_array_size(json_object_get(today, "to_press")), 0); /* nobody took any */
    json_decref(today);
    cli_ok(cli, "lot use L27-001:320mL --for 1042 --on 2027-06-05");
    today = cli_json(cli, "--json");
    assert_int_equal(json_array_size(json_object_get(today, "to_press")), 1);
    line = json_array_get(json_object_get(today, "to_press"), 0);
    assert_string_equal(json_text(line, "medicine"), "Nettle leaf tincture");
    assert_string_equal(json_text(line, "used_up"), "2027-07-12");
    assert_string_equal(json_text(line, "jars"), "B27-002");
    json_decref(today);
    assert_int_equal(cli_argv(cli, (const char *const[]){NULL}), 0);
    assert_non_null(strstr(cli->out, "runs out, a jar is ready"));
    /* Pressed early: no more is said. */
    cli_ok(cli, "batch press B27-002 --yield 400mL");
    today = cli_json(cli, "--json");
    assert_int_equal(json_array_size(json_object_get(today, "to_press")), 0);
    json_decref(today);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cli_test(what_goes_out_comes_back_as_the_text_of_its_label),
        cli_test(the_same_goes_out_again_of_what_stands),
        cli_test(bottles_are_given_out_and_counted_as_bottles),
        cli_test(a_difference_that_drying_does_not_explain_asks_why),
        cli_test(everything_is_counted_by_one_sheet),
        cli_test(the_year_suggests_what_will_be_missing),
        cli_test(every_figure_of_the_year_adds_up_from_the_rows),
        cli_test(a_jar_is_pressed_when_its_medicine_runs_out),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
