/* SPDX-License-Identifier: MIT
 *
 * The everyday path at the command line: places, verdicts, the log, corrections, in JSON.
 */
#include "cli.h"

#include <sqlite3.h>

static void a_place_is_clear_only_when_someone_was_asked(void **state)
{
    struct cli *cli = *state;
    json_t *check;

    cli_ok(cli, "site add 'Withy Gill' --at 54.6012,-2.5871 --accuracy 10");
    check = cli_json(cli, "check 'Withy Gill' --json");
    assert_int_equal(cli->status, 3);
    assert_string_equal(json_text(check, "verdict"), "ask");
    assert_true(json_array_size(json_object_get(check, "reasons")) >= 2);
    json_decref(check);
    cli_ok(cli, "site permit 'Withy Gill' --given --by 'the tenant'");
    cli_ok(cli,
           "spray note 'Withy Gill' --kind unsprayed --source 'the tenant' --since 2020-01-01");
    check = cli_json(cli, "check withy --json");
    assert_int_equal(cli->status, 0);
    assert_string_equal(json_text(check, "verdict"), "clear");
    assert_string_equal(json_text(check, "words"), "nothing known against it");
    assert_null(strstr(cli->out, "safe"));
    /* The word of 20 June (in season: 60 days) holds through 19 August. */
    assert_string_equal(json_text(check, "until"), "2027-08-20");
    json_decref(check);
    assert_int_equal(cli_run(cli, "check withy --on 2027-08-19"), 0);
    assert_int_equal(cli_run(cli, "check withy --on 2027-08-20"), 3);
}

static void roots_need_leave_to_dig(void **state)
{
    struct cli *cli = *state;

    cli_ok(cli, "site add 'Withy Gill' --at 54.6012,-2.5871 --accuracy 10");
    cli_ok(cli, "site permit 'Withy Gill' --given --by 'the tenant'");
    cli_ok(cli,
           "spray note 'Withy Gill' --kind unsprayed --source 'the tenant' --since 2020-01-01");
    assert_int_equal(cli_run(cli, "check 'Withy Gill' dandelion/flower"), 0);
    assert_int_equal(cli_run(cli, "check 'Withy Gill' dandelion/root"), 4);
    cli_ok(cli, "site permit 'Withy Gill' --given --by 'the tenant' --parts any");
    assert_int_equal(cli_run(cli, "check 'Withy Gill' dandelion/root"), 0);
}

static void a_harvest_keeps_the_verdict_of_its_day(void **state)
{
    struct cli *cli = *state;
    json_t *harvest;

    cli_clear_site(cli, "Withy Gill");
    harvest = cli_json(cli, "harvest add 'withy gill' 'nettle tops' --weight 2lb --stage 35 "
                            "--by Edda --by Corin --json");
    assert_string_equal(json_text(harvest, "code"), "H27-001");
    /* 2 lb = 907.18474 g (NIST Handbook 44, Appendix C), written to 0.1 g. */
    expect_near(json_number(harvest, "weight_g"), 907.2, 1e-9, "g");
    assert_string_equal(json_text(harvest, "by"), "Edda, Corin");
    assert_true(json_is_null(json_object_get(harvest, "held")));
    json_decref(harvest);
    cli_ok(cli, "spray note 'withy gill' --kind sprayed --on 2027-06-19 --source 'seen'");
    assert_non_null(strstr(cli->err, "H27-001"));
    harvest = cli_json(cli, "harvest show H27-001 --json");
    assert_string_equal(json_text(harvest, "verdict"), "clear");
    json_decref(harvest);
}

static void ask_ground_holds_the_harvest_until_released(void **state)
{
    struct cli *cli = *state;
    json_t *harvest;

    cli_ok(cli, "site add 'Kell Moss' --at 54.63,-2.605 --accuracy 10");
    harvest = cli_json(cli, "harvest add 'Kell Moss' nettle/leaf --weight 400g --stage 35 --json");
    assert_int_equal(cli->status, 0);
    assert_string_equal(json_text(harvest, "verdict"), "ask");
    assert_true(json_is_string(json_object_get(harvest, "held")));
    json_decref(harvest);
    cli_ok(cli, "harvest release H27-001 --evidence 'the commoners say it was never sprayed'");
    harvest = cli_json(cli, "harvest show H27-001 --json");
    assert_true(json_is_null(json_object_get(harvest, "held")));
    json_decref(harvest);
}

static void a_correction_is_shown_and_the_old_value_stays(void **state)
{
    struct cli *cli = *state;
    json_t *list, *harvest;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 400g --stage 35 --on 2027-06-18");
    list = cli_json(cli, "amend H27-001 --weight 380g --on 2027-06-17 --why 'misread' --json");
    assert_int_equal(json_array_size(list), 2);
    json_decref(list);
    harvest = cli_json(cli, "harvest show H27-001 --json");
    expect_near(json_number(harvest, "weight_g"), 380, 0, "g");
    assert_string_equal(json_text(harvest, "date"), "2027-06-17");
    assert_string_equal(json_text(harvest, "code"), "H27-001");
    json_decref(harvest);
    cli_ok(cli, "book check");
}

static void options_may_stand_before_the_command(void **state)
{
    struct cli *cli = *state;
    g_autofree char *line = g_strdup_printf("--book '%s' --json site list", cli->book);
    json_t *list = cli_json(cli, line);

    assert_true(json_is_array(list));
    json_decref(list);
}

static void two_hundred_sites_stream_as_one_array(void **state)
{
    struct cli *cli = *state;
    static const char fill[] =
        "WITH RECURSIVE n(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM n WHERE i < 209)"
        " INSERT INTO site (uuid, name, lat, lon, at)"
        " SELECT printf('u%d', i), printf('Place %03d', i), 54.6, -2.5, 1 FROM n;"
        "INSERT INTO site_key SELECT lower(name), id FROM site;";
    json_t *list;
    sqlite3 *db;

    assert_int_equal(sqlite3_open(cli->book, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, fill, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
    list = cli_json(cli, "site list --json");
    assert_int_equal(json_array_size(list), 210);
    json_decref(list);
    cli_ok(cli, "site list");
    assert_non_null(strstr(cli->out, "Place 209"));
}

/* Runs `simpling start` with answers on stdin. */
static json_t *interview(struct cli *cli, const char *answers)
{
    g_autofree char *line = g_strdup_printf("printf '%s' | " SPL_BUILD_DIR "/bin/simpling start "
                                            "--json --book '%s/new.db' 2>/dev/null",
                                            answers, cli->folder);
    const char *argv[] = {"sh", "-c", line, NULL};
    g_autofree char *out = NULL;
    json_t *json;

    assert_true(g_spawn_sync(cli->folder, (char **)argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL,
                             &out, NULL, NULL, NULL));
    json = json_loads(out, 0, NULL);
    if (json == NULL)
        fail_msg("no JSON: %s", out);
    return json;
}

static void the_interview_makes_a_book_and_asks_again(void **state)
{
    struct cli *cli = *state;
    /* A mark, no name, a home out of range and again, no country and again, no press, a site and
     * its place, how exactly, badly and well, a keeping that nobody has and one house's own, the
     * spirits. */
    json_t *started =
        interview(cli, "edd\\n\\n95,0\\n54.5903,-2.6021\\nEngland\\ngb\\n\\nWithy Gill\\n"
                       "54.6012,-2.5871\\na bit\\n10m\\nnobody\\nhouse\\n96%% 40%%\\n");

    assert_string_equal(json_text(started, "mark"), "EDD");
    assert_int_equal(json_array_size(json_object_get(started, "said")), 5);
    json_decref(started);
    assert_int_equal(cli_run(cli, "check 'Withy Gill' --book new.db --json"), 3);
    assert_null(strstr(cli->out, "how exact"));
    cli_ok(cli, "start --quiet --book quiet.db --site \"Hob's Gill\" --at 54.6,-2.6");
    assert_non_null(strstr(cli->out, "simpling site permit 'Hob'\\''s Gill' --given"));
    cli_ok(cli, "book info --book new.db");
    assert_non_null(strstr(cli->out, "54.5903,-2.6021"));
    assert_non_null(strstr(cli->out, "40% 96%"));
    cli_refused(cli, "start --quiet --mark EDD --book new.db", 1, "already");
    cli_refused(cli, "start --quiet --mark X --book other.db", 2, "--mark");
}

static void an_interview_without_answers_makes_a_bare_book(void **state)
{
    struct cli *cli = *state;
    json_t *started = interview(cli, "");

    assert_string_equal(json_text(started, "mark"), "ME");
    json_decref(started);
    cli_ok(cli, "book check --book new.db");
}

static void a_group_alone_lists_its_commands(void **state)
{
    static const char *const asked[] = {"batch", "batch --help", "help batch"};
    struct cli *cli = *state;

    for (gsize i = 0; i < G_N_ELEMENTS(asked); i++) {
        const char *text = cli_ok(cli, asked[i]);

        assert_non_null(strstr(text, "  batch start "));
        assert_non_null(strstr(text, "  batch press "));
        assert_null(strstr(text, "recipe keep"));
        assert_null(strstr(text, "--menstruum"));
    }
    cli_refused(cli, "batch nosuch", 2, "batch nosuch");
    cli_refused(cli, "batc", 2, "batch");
    assert_non_null(strstr(cli_ok(cli, "help check"), "usage: simpling check"));
}

static void every_command_has_help_with_its_own_words(void **state)
{
    struct cli *cli = *state;
    g_autofree char *overview = g_strdup(cli_ok(cli, "help"));
    g_auto(GStrv) lines = g_strsplit(overview, "\n", -1);
    int commands = 0;

    for (guint i = 0; lines[i] != NULL; i++) {
        g_autofree char *words = NULL, *line = NULL;

        if (!g_str_has_prefix(lines[i], "  ") || g_str_has_prefix(lines[i], "  --") ||
            strlen(lines[i]) < 20 || lines[i][2] == ' ' || lines[i][2] == '(')
            continue;
        words = g_strstrip(g_strndup(lines[i] + 2, 16));
        line = g_strdup_printf("%s --help", words);
        assert_non_null(strstr(cli_ok(cli, line), words));
        commands++;
    }
    assert_true(commands > 20);
}

static const struct CMUnitTest tests[] = {
    cli_test(a_place_is_clear_only_when_someone_was_asked),
    cli_test(roots_need_leave_to_dig),
    cli_test(a_harvest_keeps_the_verdict_of_its_day),
    cli_test(ask_ground_holds_the_harvest_until_released),
    cli_test(a_correction_is_shown_and_the_old_value_stays),
    cli_test(options_may_stand_before_the_command),
    cli_test(two_hundred_sites_stream_as_one_array),
    cli_test(the_interview_makes_a_book_and_asks_again),
    cli_test(an_interview_without_answers_makes_a_bare_book),
    cli_test(a_group_alone_lists_its_commands),
    cli_test(every_command_has_help_with_its_own_words),
};
expect_main(tests)
