/* SPDX-License-Identifier: MIT
 *
 * The plan that somebody would drive: verdicts day by day, free stretches between dew and dusk,
 * clear and large stands before others, cures that cure, sums that add up, a solver that is away or
 * falls over, Ctrl-C.
 */
#include "cli.h"

/* Two places for yarrow. Thrang Lane is near, of 85 plants, and nobody was asked; Hag Bank lies
 * farther, of 260 plants, and is clear until 60 days after `said`. */
static void two_places(struct cli *cli, const char *said)
{
    g_autofree char *note =
        g_strdup_printf("spray note 'Hag Bank' --kind unsprayed --since 2018-01-01 --source 'the "
                        "clerk' --on %s",
                        said);

    cli_ok(cli, "book set home 54.5903,-2.6021");
    cli_ok(cli, "book set zone Europe/London");
    cli_ok(cli, "book set speed 30");
    cli_ok(cli, "site add 'Hag Bank' --at 54.6207,-2.5642 --elevation 340 --accuracy 15");
    cli_ok(cli, "site add 'Thrang Lane' --at 54.5818,-2.6405 --elevation 180 --accuracy 10");
    cli_ok(cli, "stand set 'Hag Bank' yarrow --plants 260");
    cli_ok(cli, "stand set 'Thrang Lane' yarrow --plants 85");
    cli_ok(cli, "site permit 'Hag Bank' --given --by 'the clerk' --until 2028-12-31");
    cli_ok(cli, "site permit 'Thrang Lane' --given --by 'the parish' --until 2027-05-31 --on "
                "2027-03-14");
    cli_ok(cli, note);
    cli_ok(cli, "plan add yarrow tincture yarrow/herb --yield 400mL");
}

static json_t *list(json_t *plan, const char *key, size_t i)
{
    return json_array_get(json_object_get(plan, key), i);
}

static json_t *stop(json_t *plan, size_t outing, size_t i)
{
    return json_array_get(json_object_get(list(plan, "outings", outing), "sites"), i);
}

static gboolean holds_text(json_t *texts, const char *part)
{
    size_t i;
    json_t *text;

    json_array_foreach(texts, i, text)
    {
        if (strstr(json_string_value(text), part) != NULL)
            return TRUE;
    }
    return FALSE;
}

/* Clear until 60 days after 20 June, asked for from 20 June: the yarrow lasts into October, so its
 * window is longer than any word, and still there are clear days. */
static void only_the_clear_days_of_a_window_are_used(void **state)
{
    struct cli *cli = *state;
    json_t *plan;
    const char *day;

    two_places(cli, "2027-06-20");
    plan = cli_json(cli, "plan outings --clear-only --json");
    assert_int_equal(json_number(plan, "outings_count"), 1);
    assert_string_equal(json_text(stop(plan, 0, 0), "site"), "Hag Bank");
    assert_string_equal(json_text(stop(plan, 0, 0), "verdict"), "clear");
    assert_int_equal(json_array_size(json_object_get(plan, "short")), 0);
    assert_int_equal(json_array_size(json_object_get(plan, "call")), 0);
    day = json_text(list(plan, "outings", 0), "date");
    assert_true(strcmp(day, "2027-08-19") <= 0); /* 60 days after the 20th of June */
    day = json_text(list(plan, "outings", 0), "reserve");
    assert_true(strcmp(day, "2027-08-19") <= 0);
    json_decref(plan);

    /* Where nobody was asked it is not "closed": somebody must be asked. */
    cli_ok(cli, "plan drop yarrow");
    cli_ok(cli, "stand set 'Thrang Lane' ribwort --plants 700");
    cli_ok(cli, "plan add ribwort tincture ribwort/leaf --yield 400mL");
    plan = cli_json(cli, "plan outings --clear-only --json");
    assert_int_equal(json_number(plan, "outings_count"), 0);
    assert_null(strstr(json_text(list(plan, "short", 0), "why"), "closed"));
    assert_non_null(strstr(json_text(list(plan, "short", 0), "why"), "asked about"));
    assert_non_null(strstr(json_text(list(plan, "short", 0), "cure"), "ask about Thrang Lane"));
    json_decref(plan);
    plan = cli_json(cli, "plan shortfall --clear-only --json");
    assert_null(strstr(json_text(json_array_get(plan, 0), "cause"), "closed"));
    assert_non_null(strstr(json_text(json_array_get(plan, 0), "cause"), "asked about"));
    json_decref(plan);
}

/* 5 km more are not worth a small stand that nobody was asked about and whose leave is over. With
 * the clear place gone, all that must be asked is said, on the list too, and that the stand is
 * small. */
static void a_clear_large_stand_comes_first_and_every_question_is_said(void **state)
{
    struct cli *cli = *state;
    json_t *plan;

    two_places(cli, "2027-06-20");
    plan = cli_json(cli, "plan outings --json");
    assert_string_equal(json_text(stop(plan, 0, 0), "site"), "Hag Bank");
    json_decref(plan);
    cli_ok(cli, "site permit 'Hag Bank' --refused --by 'the clerk'");
    plan = cli_json(cli, "plan outings --json");
    assert_string_equal(json_text(stop(plan, 0, 0), "site"), "Thrang Lane");
    assert_true(holds_text(json_object_get(stop(plan, 0, 0), "reasons"), "ran out"));
    assert_true(holds_text(json_object_get(stop(plan, 0, 0), "reasons"), "sprayed"));
    assert_true(holds_text(json_object_get(stop(plan, 0, 0), "reasons"), "only 85 plants"));
    assert_non_null(strstr(json_text(stop(plan, 0, 0), "why"), "no larger stand"));
    assert_non_null(strstr(json_text(list(plan, "call", 0), "about"), "ran out"));
    assert_non_null(strstr(json_text(list(plan, "call", 0), "about"), "sprayed"));
    json_decref(plan);
}

/* The road may be dear enough, then it is said what the other would cost. */
static void an_odd_place_says_why(void **state)
{
    struct cli *cli = *state;
    json_t *plan;

    two_places(cli, "2027-06-20");
    cli_ok(cli, "book set weight-ask 0");
    cli_ok(cli, "book set weight-small 0");
    plan = cli_json(cli, "plan outings --json");
    assert_string_equal(json_text(stop(plan, 0, 0), "site"), "Thrang Lane");
    /* as the crow flies and 1.3 times, there and back: 4.17 km to Hag Bank, 2.65 to Thrang Lane; by
     * hand 10.8 - 6.9 km, rounded up */
    assert_string_equal(json_text(stop(plan, 0, 0), "why"),
                        "Hag Bank (clear, 260 plants) has it too then, but that is 4 km more");
    json_decref(plan);
}

/* Work from eight to seven every day: an hour in the morning dew and the long evening. */
static void one_free_stretch_between_dew_and_dusk(void **state)
{
    struct cli *cli = *state;
    g_autofree char *path = g_build_filename(cli->folder, "work.ics", NULL);
    json_t *plan;

    two_places(cli, "2027-06-20");
    assert_true(g_file_set_contents(
        path,
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//test//EN\r\nBEGIN:VEVENT\r\nUID:w\r\n"
        "DTSTAMP:20270101T000000Z\r\nDTSTART:20270601T080000\r\nDTEND:20270601T190000\r\n"
        "RRULE:FREQ=DAILY\r\nSUMMARY:Work\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
        -1, NULL));
    plan = cli_json(cli, "plan outings --busy work.ics --json");
    assert_int_equal(json_number(plan, "outings_count"), 1);
    assert_true(g_str_has_prefix(json_text(list(plan, "outings", 0), "free"), "19:00-2"));
    json_decref(plan);
    /* Until half past nine: minutes are left in the evening, and the hour in the wet does not help.
     */
    assert_true(g_file_set_contents(
        path,
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//test//EN\r\nBEGIN:VEVENT\r\nUID:w\r\n"
        "DTSTAMP:20270101T000000Z\r\nDTSTART:20270601T080000\r\nDTEND:20270601T213000\r\n"
        "RRULE:FREQ=DAILY\r\nSUMMARY:Work\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
        -1, NULL));
    plan = cli_json(cli, "plan outings --busy work.ics --json");
    assert_int_equal(json_number(plan, "outings_count"), 0);
    assert_non_null(strstr(json_text(list(plan, "short", 0), "why"), "hours"));
    json_decref(plan);
}

static void place_in_march(struct cli *cli)
{
    cli->today = "2027-03-10";
    cli_ok(cli, "book set home 54.5903,-2.6021");
    cli_ok(cli, "site add 'Withy Gill' --at 54.6012,-2.5871 --elevation 210 --accuracy 10");
    cli_ok(cli, "site permit 'Withy Gill' --given --by 'the tenant' --until 2028-12-31");
}

/* Nettle leaf is bitter once the plant flowers; lime is far ahead of it. Two outings, not one in
 * the tail of the nettles. */
static void leaves_are_picked_before_they_spoil(void **state)
{
    struct cli *cli = *state;
    json_t *plan;
    size_t i, s, t;
    json_t *outing, *at, *take;
    gboolean found = FALSE;

    place_in_march(cli);
    cli_ok(cli, "stand set 'Withy Gill' nettle --area 120m2 --cover 60%");
    cli_ok(cli, "stand set 'Withy Gill' lime --grams 9000 --part flower");
    cli_ok(cli, "plan add nettle tincture nettle/leaf --yield 400mL");
    cli_ok(cli, "plan add lime tincture lime/flower --yield 400mL");
    plan = cli_json(cli, "plan outings --json");
    json_array_foreach(json_object_get(plan, "outings"), i, outing)
    {
        json_array_foreach(json_object_get(outing, "sites"), s, at)
        {
            json_array_foreach(json_object_get(at, "takes"), t, take)
            {
                g_autofree char *check = NULL;
                json_t *said;

                if (strcmp(json_text(take, "material"), "nettle/leaf") != 0)
                    continue;
                found = TRUE;
                check = g_strdup_printf("check 'Withy Gill' nettle/leaf --on %s --json",
                                        json_text(outing, "date"));
                said = cli_json(cli, check);
                assert_true(strcmp(json_text(outing, "date"),
                                   json_text(list(said, "window", 0), "likely_end")) <= 0);
                json_decref(said);
            }
        }
    }
    assert_true(found);
    json_decref(plan);
}

/* The root may be dug until spring and from autumn on; it is wanted in July. */
static void the_cure_of_too_early_a_day_is_a_later_one(void **state)
{
    struct cli *cli = *state;
    json_t *plan, *shortage;

    cli_ok(cli, "book set home 54.5903,-2.6021");
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli,
           "site permit 'Withy Gill' --given --by 'the tenant' --parts any --until 2028-12-31");
    cli_ok(cli, "stand set 'Withy Gill' dandelion --plants 2500");
    cli_ok(cli, "plan add root tincture dandelion/root --yield 400mL --by 2027-08-31");
    plan = cli_json(cli, "plan outings --json");
    assert_int_equal(json_number(plan, "outings_count"), 0);
    assert_null(strstr(json_text(list(plan, "short", 0), "cure"), "longer days"));
    assert_non_null(strstr(json_text(list(plan, "short", 0), "cure"), "allow it later"));
    shortage = cli_json(cli, "plan shortfall --json");
    expect_near(json_number(json_array_get(shortage, 0), "short_g"),
                json_number(list(plan, "short", 0), "grams"), 1.5, "g");
    assert_non_null(strstr(json_text(json_array_get(shortage, 0), "cure"), "allow it later"));
    json_decref(shortage);
    json_decref(plan);
}

/* What lies beyond the windows is no last day to pick. */
static void the_last_day_to_pick_lies_in_the_season_of_the_part(void **state)
{
    struct cli *cli = *state;
    json_t *lines, *said;

    place_in_march(cli);
    cli_ok(cli, "stand set 'Withy Gill' lime --grams 9000 --part flower");
    cli_ok(cli, "plan add lime tincture lime/flower --yield 400mL --by 2027-12-01");
    lines = cli_json(cli, "plan list --json");
    said = cli_json(cli, "check 'Withy Gill' lime/flower --on 2027-07-01 --json");
    assert_string_equal(json_text(json_array_get(lines, 0), "gather_by"),
                        json_text(list(said, "window", 0), "latest"));
    json_decref(said);
    json_decref(lines);
}

/* 100 g short of nothing: what is to be picked is what is planned, and all figures add up. */
static void takes_are_what_is_to_be_picked_and_sums_add_up(void **state)
{
    struct cli *cli = *state;
    json_t *plan, *lines, *part;
    double sum = 0;
    size_t i;

    two_places(cli, "2027-06-20");
    lines = cli_json(cli, "plan list --json");
    plan = cli_json(cli, "plan outings --json");
    expect_near(json_number(list(stop(plan, 0, 0), "takes", 0), "grams"),
                json_number(json_array_get(lines, 0), "to_come_g"), 1e-9, "g");
    json_array_foreach(json_object_get(plan, "weighs"), i, part) sum += json_number(part, "hours");
    expect_near(sum, json_number(plan, "cost_h"), 2e-3, "h");
    expect_near(json_number(list(plan, "outings", 0), "hours"), json_number(plan, "hours"), 1e-9,
                "h");
    expect_near(json_number(list(plan, "outings", 0), "home_g"),
                json_number(list(stop(plan, 0, 0), "takes", 0), "grams"), 1e-9, "g");
    json_decref(plan);
    json_decref(lines);
    cli_ok(cli, "plan outings");
    assert_non_null(strstr(cli->out, "setting out 2.00 h"));
    assert_non_null(strstr(cli->out, "home; free and dry"));
    assert_null(strstr(cli->out, "picking and lateness"));
}

/* ---- the solver ---------------------------------------------------------------------------- */

/* From here on the program is one without a solver beside it, or with a script in its place; gives
 * the folder, for g_free. */
static char *install_beside(struct cli *cli, const char *script)
{
    char *prefix = g_build_filename(cli->folder, "prefix", NULL);
    g_autofree char *bin = g_build_filename(prefix, "bin", NULL);
    g_autofree char *program = g_build_filename(bin, "simpling", NULL);
    g_autofree char *libexec = g_build_filename(prefix, "libexec", "simpling", NULL);
    g_autofree char *solver = g_build_filename(libexec, "simpling-solve", NULL);
    g_autofree char *share = g_build_filename(prefix, "share", NULL), *bytes = NULL;
    gsize size;

    g_mkdir_with_parents(bin, 0755);
    g_mkdir_with_parents(libexec, 0755);
    if (!g_file_test(program, G_FILE_TEST_EXISTS)) {
        assert_true(g_file_get_contents(SPL_BUILD_DIR "/bin/simpling", &bytes, &size, NULL));
        assert_true(g_file_set_contents(program, bytes, (gssize)size, NULL));
        assert_int_equal(g_chmod(program, 0755), 0);
        assert_int_equal(symlink(SPL_BUILD_DIR "/share", share), 0);
    }
    g_unlink(solver);
    if (script != NULL) {
        assert_true(g_file_set_contents(solver, script, -1, NULL));
        assert_int_equal(g_chmod(solver, 0755), 0);
    }
    cli->program = g_intern_string(program);
    return prefix;
}

static void without_a_solver_nothing_is_claimed(void **state)
{
    static const char *const scripts[] = {NULL, "#!/bin/sh\nexit 1\n"};
    struct cli *cli = *state;

    two_places(cli, "2027-06-20");
    for (gsize i = 0; i < G_N_ELEMENTS(scripts); i++) {
        g_autofree char *folder = install_beside(cli, scripts[i]);
        json_t *plan;

        plan = cli_json(cli, "plan outings --json");
        assert_int_equal(json_number(plan, "outings_count"), 1);
        if (scripts[i] == NULL) {
            assert_true(json_is_null(json_object_get(plan, "cost_bound_h")));
            assert_true(json_is_null(json_object_get(plan, "gap")));
        } else {
            /* What is known without it stands. */
            assert_true(json_number(plan, "cost_bound_h") <= json_number(plan, "cost_h") + 1e-6);
            assert_non_null(strstr(json_text(plan, "stop"), "fell over"));
        }
        assert_int_equal(json_number(plan, "lower_bound"), 0);
        json_decref(plan);
        cli_ok(cli, "plan outings");
        assert_null(strstr(cli->out, "at least 0"));
        assert_null(strstr(cli->out, "the fewest"));
        assert_null(strstr(cli->err, folder));
    }
}

static void the_stages_can_be_seen(void **state)
{
    struct cli *cli = *state;
    json_t *plan;

    two_places(cli, "2027-06-20");
    plan = cli_json(cli, "plan outings --json");
    assert_string_equal(json_text(list(plan, "stages", 0), "stage"), "first plan");
    assert_true(json_array_size(json_object_get(plan, "stages")) >= 4);
    json_decref(plan);
    plan = cli_json(cli, "plan outings --no-solver --json");
    assert_int_equal(json_array_size(json_object_get(plan, "stages")), 3);
    assert_true(json_is_null(json_object_get(plan, "cost_bound_h")));
    json_decref(plan);
    cli_ok(cli, "plan outings --stages");
    assert_non_null(strstr(cli->out, "each outing slid to its best day"));
    assert_non_null(strstr(cli->out, "weight-ask"));
}

/* A solver that never answers, and a person who presses Ctrl-C. */
static void ctrl_c_shows_the_best_plan_so_far(void **state)
{
    struct cli *cli = *state;
    g_autofree char *folder = NULL;

    two_places(cli, "2027-06-20");
    folder = install_beside(cli, "#!/bin/sh\nkill -INT $PPID\nexec cat >/dev/null\n");
    cli_ok(cli, "plan outings --keep --seconds 60");
    assert_non_null(strstr(cli->out, "Hag Bank (clear)"));
    assert_non_null(strstr(cli->out, "best plan so far"));
    assert_non_null(strstr(cli->out, "not kept"));
    cli_ok(cli, "plan outings --kept");
    assert_non_null(strstr(cli->out, "no outings"));
}

/* ---- keeping it ---------------------------------------------------------------------------- */

/* Yarrow and ribwort at two places, kept; the day of the first outing. */
static char *kept_plan(struct cli *cli)
{
    json_t *plan;
    char *day;

    two_places(cli, "2027-06-20");
    plan = cli_json(cli, "plan outings --keep --json");
    assert_int_equal(json_number(plan, "outings_count"), 1);
    day = g_strdup(json_text(list(plan, "outings", 0), "date"));
    json_decref(plan);
    return day;
}

static void an_outing_is_moved_and_the_rest_goes_around_it(void **state)
{
    struct cli *cli = *state;
    g_autofree char *day = kept_plan(cli), *reserve = NULL, *move = NULL, *again = NULL;
    json_t *plan, *moved;

    plan = cli_json(cli, "plan outings --kept --json");
    reserve = g_strdup(json_text(list(plan, "outings", 0), "reserve"));
    json_decref(plan);
    move = g_strdup_printf("outing move %s --to reserve --json", day);
    moved = cli_json(cli, move);
    assert_string_equal(json_text(moved, "date"), reserve);
    assert_true(json_is_true(json_object_get(moved, "fixed")));
    json_decref(moved);
    /* It stays when all is planned anew, and nothing has changed. */
    plan = cli_json(cli, "plan outings --keep --json");
    assert_string_equal(json_text(list(plan, "outings", 0), "date"), reserve);
    assert_int_equal(json_number(plan, "outings_count"), 1);
    assert_int_equal(json_array_size(json_object_get(plan, "changes")), 0);
    json_decref(plan);
    cli_refused(cli, move, 1, "no outing is kept");
    again = g_strdup_printf("outing move %s --to 2027-06-01", reserve);
    cli_refused(cli, again, 2, "is past");
    g_free(again);
    /* Outside its time: it is done, and said. */
    again = g_strdup_printf("outing move %s --to 2027-12-01", reserve);
    cli_ok(cli, again);
    assert_non_null(strstr(cli->err, "outside its time"));
}

static void amounts_and_drops_are_kept_and_what_changes_is_said(void **state)
{
    struct cli *cli = *state;
    g_autofree char *day = kept_plan(cli), *line = NULL;
    json_t *plan, *outing;
    double hours, taken;

    plan = cli_json(cli, "plan outings --kept --json");
    hours = json_number(list(plan, "outings", 0), "hours");
    json_decref(plan);
    line = g_strdup_printf("outing take %s 'Hag Bank' yarrow/herb --weight 300g --json", day);
    outing = cli_json(cli, line);
    assert_int_equal(json_number(outing, "home_g"), 300);
    assert_true(json_number(outing, "hours") > hours);
    json_decref(outing);
    plan = cli_json(cli, "plan outings --keep --json");
    taken = json_number(list(stop(plan, 0, 0), "takes", 0), "grams");
    expect_near(taken, 300, 0, "g");
    json_decref(plan);
    g_free(line);
    line = g_strdup_printf("outing take %s 'Thrang Lane' yarrow/herb --weight 30g", day);
    cli_refused(cli, line, 1, "does not go to Thrang Lane");
    g_free(line);
    line = g_strdup_printf("outing take %s 'Hag Bank' yarrow/herb", day);
    cli_refused(cli, line, 2, "--weight");
    g_free(line);
    line = g_strdup_printf("outing take %s 'Hag Bank' yarrow/herb --weight 3kg", day);
    cli_ok(cli, line);
    assert_non_null(strstr(cli->err, "can spare 1.04 kg"));
    g_free(line);
    line = g_strdup_printf("outing drop %s --why 'the car is away'", day);
    cli_ok(cli, line);
    g_free(line);
    plan = cli_json(cli, "plan outings --kept --json");
    assert_int_equal(json_number(plan, "outings_count"), 0);
    json_decref(plan);
    line = g_strdup_printf("outing pin %s", day);
    cli_refused(cli, line, 1, "no outing is kept");
}

static void what_changed_against_the_kept_plan_is_said(void **state)
{
    struct cli *cli = *state;
    g_autofree char *day = kept_plan(cli), *off = NULL, *words = NULL;
    json_t *plan;

    off = g_strdup_printf("plan outings --off %s --json", day);
    plan = cli_json(cli, off);
    assert_int_equal(json_array_size(json_object_get(plan, "changes")), 1);
    assert_true(holds_text(json_object_get(plan, "changes"), "instead of"));
    json_decref(plan);
    cli_ok(cli, "plan add 'more yarrow' tincture yarrow/herb --yield 400mL");
    plan = cli_json(cli, "plan outings --json");
    assert_true(holds_text(json_object_get(plan, "changes"), "instead of"));
    json_decref(plan);
}

/* What was picked since is not to be picked again; what a stand has lost it does not give; a place
 * that was sprayed since is closed in the plan too. */
static void a_kept_plan_follows_the_log_and_the_verdicts(void **state)
{
    struct cli *cli = *state;
    g_autofree char *day = kept_plan(cli);
    json_t *plan;

    cli->today = "2027-06-22";
    cli_ok(cli, "harvest add 'Hag Bank' yarrow/herb --weight 60g --stage 61 --by Edda --named-by "
                "Edda --signs 'woolly, aromatic' --on 2027-06-21");
    plan = cli_json(cli, "plan outings --kept --json");
    expect_near(json_number(list(stop(plan, 0, 0), "takes", 0), "grams"), 105 - 60, 1.5, "g");
    assert_non_null(strstr(json_text(list(stop(plan, 0, 0), "takes", 0), "note"), "were planned"));
    assert_string_equal(json_text(stop(plan, 0, 0), "verdict"), "clear");
    json_decref(plan);
    cli_ok(cli, "spray note 'Hag Bank' --kind sprayed --source 'seen from the road' --on "
                "2027-06-22");
    plan = cli_json(cli, "plan outings --kept --json");
    assert_string_equal(json_text(stop(plan, 0, 0), "verdict"), "closed");
    assert_true(json_array_size(json_object_get(stop(plan, 0, 0), "reasons")) > 0);
    json_decref(plan);
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, cli_set_up, cli_tear_down)
static const struct CMUnitTest tests[] = {
    TEST(only_the_clear_days_of_a_window_are_used),
    TEST(a_clear_large_stand_comes_first_and_every_question_is_said),
    TEST(an_odd_place_says_why),
    TEST(one_free_stretch_between_dew_and_dusk),
    TEST(leaves_are_picked_before_they_spoil),
    TEST(the_cure_of_too_early_a_day_is_a_later_one),
    TEST(the_last_day_to_pick_lies_in_the_season_of_the_part),
    TEST(takes_are_what_is_to_be_picked_and_sums_add_up),
    TEST(without_a_solver_nothing_is_claimed),
    TEST(the_stages_can_be_seen),
    TEST(ctrl_c_shows_the_best_plan_so_far),
    TEST(an_outing_is_moved_and_the_rest_goes_around_it),
    TEST(amounts_and_drops_are_kept_and_what_changes_is_said),
    TEST(what_changed_against_the_kept_plan_is_said),
    TEST(a_kept_plan_follows_the_log_and_the_verdicts),
};
expect_main(tests)
