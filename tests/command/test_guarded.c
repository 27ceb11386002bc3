/* SPDX-License-Identifier: MIT
 *
 * Picking is guarded everywhere by one and the same judgement of the day: a spraying that is
 * planned for Thursday closes Saturday's outing in the calendar, on its sheet, in a new plan and at
 * the entry of the harvest, although nothing stands against the place today. And one that comes to
 * light late leads from the ground to the bottles.
 */
#include "cli.h"

#define OUTING "2027-06-26" /* a Saturday */
#define PLAN "plan outings --home 54.6,-2.6 --days sat --nodes 200"

/* An outing to Withy Gill on OUTING is kept, then the tenant says that he sprays on the 24th. */
static void set_the_scene(struct cli *cli)
{
    json_t *plan;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "stand set 'Withy Gill' elder --area 200m2 --cover 50%");
    cli_ok(cli, "plan add 'for the winter' tincture elder/flower --yield 300mL");
    plan = cli_json(cli, PLAN " --keep --json");
    assert_string_equal(json_text(json_array_get(json_object_get(plan, "outings"), 0), "date"),
                        OUTING);
    json_decref(plan);
    cli_ok(cli, "spray note 'Withy Gill' --kind planned --on 2027-06-24 --source 'the tenant'");
}

static void a_kept_plan_says_what_holds_today(void **state)
{
    struct cli *cli = *state;
    json_t *plan, *stop, *take;
    double planned;

    set_the_scene(cli);
    plan = cli_json(cli, "plan outings --kept --json");
    stop = json_array_get(
        json_object_get(json_array_get(json_object_get(plan, "outings"), 0), "sites"), 0);
    assert_string_equal(json_text(stop, "verdict"), "closed");
    assert_non_null(
        strstr(json_string_value(json_array_get(json_object_get(stop, "reasons"), 0)), "planned"));
    planned = json_number(json_array_get(json_object_get(stop, "takes"), 0), "grams");
    assert_true(planned > 50);
    json_decref(plan);
    cli_ok(cli, "strike N27-002 --why 'meant for another verge'");
    /* the stand gave less than was thought, and most of that is in a basket already */
    cli_ok(cli, "stand set 'Withy Gill' elder --grams 200 --part flower");
    plan = cli_json(cli, "plan outings --kept --json");
    stop = json_array_get(
        json_object_get(json_array_get(json_object_get(plan, "outings"), 0), "sites"), 0);
    assert_string_equal(json_text(stop, "verdict"), "clear");
    take = json_array_get(json_object_get(stop, "takes"), 0);
    assert_true(json_number(take, "grams") < planned);
    expect_near(json_number(take, "planned_g"), planned, 0.6, "g");
    json_decref(plan);
    cli_ok(cli, "plan outings --kept");
    assert_non_null(strstr(cli->out, "were planned: the stand can spare no more"));
}

static void the_days_screen_never_lists_closed_ground_as_gatherable(void **state)
{
    static const char *const lists[] = {"gather", "opening"};
    struct cli *cli = *state;
    json_t *today;
    const json_t *stop;

    set_the_scene(cli);
    cli->today = "2027-06-24";
    today = cli_json(cli, "--json");
    for (gsize k = 0; k < G_N_ELEMENTS(lists); k++) {
        const json_t *list = json_object_get(today, lists[k]);

        for (size_t i = 0; i < json_array_size(list); i++)
            assert_string_not_equal(json_text(json_array_get(list, i), "site"), "Withy Gill");
    }
    stop = json_array_get(json_object_get(today, "stops"), 0);
    assert_string_equal(json_text(stop, "what"), "Withy Gill");
    assert_string_equal(json_text(stop, "state"), "closed");
    assert_non_null(strstr(json_text(stop, "why"), "planned"));
    json_decref(today);
    cli->today = OUTING; /* its outing is there, with the verdict of today */
    today = cli_json(cli, "--json");
    stop = json_array_get(json_object_get(today, "outing"), 0);
    assert_string_equal(json_text(stop, "site"), "Withy Gill");
    assert_string_equal(json_text(stop, "verdict"), "closed");
    json_decref(today);
    cli_ok(cli, "strike N27-002 --why 'meant for another verge'");
    cli->today = "2027-06-24";
    today = cli_json(cli, "--json");
    assert_int_equal(json_array_size(json_object_get(today, "stops")), 0);
    assert_string_equal(json_text(json_array_get(json_object_get(today, "gather"), 0), "verdict"),
                        "clear");
    json_decref(today);
    cli->today = CLI_TODAY;
}

static void a_planned_spraying_can_be_put_off(void **state)
{
    struct cli *cli = *state;

    set_the_scene(cli);
    cli_ok(cli, "amend N27-002 --on 2027-07-10 --why 'too windy'");
    cli_run(cli, "check 'Withy Gill' --on 2027-06-25");
    assert_int_equal(cli->status, 0); /* more than a fortnight before */
    cli_run(cli, "check 'Withy Gill' --on 2027-07-11");
    assert_int_equal(cli->status, 4);
    cli_refused(cli, "amend N27-001 --on 2027-07-10 --why 'a word of the future'", 2,
                "after today");
}

static void years_of_another_century_are_asked_about(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_refused(cli, "harvest add 'Withy Gill' nettle/leaf --weight 1kg --stage 35 --on 1927-05-30",
                2, "2027-05-30");
    cli_refused(cli, "harvest add 'Withy Gill' nettle/leaf --weight 1kg --stage 35 --on 0001-01-01",
                2, "2027-01-01");
    cli_refused(cli, "harvest add 'Withy Gill' nettle/leaf --weight 1kg --stage 35 --on 1927-12-31",
                2, "2026-12-31");
}

static char *read_text(const struct cli *cli, const char *name)
{
    g_autofree char *path = g_build_filename(cli->folder, name, NULL);
    char *text;

    if (!g_file_get_contents(path, &text, NULL, NULL))
        fail_msg("%s is not there", name);
    return text;
}

static void the_outing_in_the_calendar_says_what_holds_on_its_day(void **state)
{
    struct cli *cli = *state;
    g_autofree char *before = NULL, *after = NULL, *joined = NULL;
    g_auto(GStrv) lines = NULL;

    set_the_scene(cli);
    cli_run(cli, "check 'Withy Gill'");
    assert_int_equal(cli->status, 3); /* today one asks */
    cli_ok(cli, "calendar write --what outings --out outings.ics");
    after = read_text(cli, "outings.ics");
    lines = g_strsplit(after, "\r\n ", -1); /* unfolded */
    joined = g_strjoinv("", lines);
    assert_non_null(strstr(joined, "DTSTART;VALUE=DATE:20270626"));
    assert_non_null(strstr(joined, "Withy Gill: closed"));
    assert_non_null(strstr(joined, "24 June 2027"));
    assert_non_null(strstr(joined, "heck again"));
}

static void a_window_in_the_calendar_says_what_holds_when_it_begins(void **state)
{
    struct cli *cli = *state;
    g_autofree char *text = NULL, *joined = NULL;
    g_auto(GStrv) lines = NULL;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "stand set 'Withy Gill' meadowsweet --area 200m2 --cover 50%");
    cli_ok(cli, "hazard add 'the gill road' --method road --along 54.6012,-2.60 --along "
                "54.6012,-2.57");
    cli_ok(cli, "calendar write --what windows --out windows.ics");
    text = read_text(cli, "windows.ics");
    lines = g_strsplit(text, "\r\n ", -1);
    joined = g_strjoinv("", lines);
    assert_non_null(strstr(joined, "eadowsweet"));
    assert_non_null(strstr(joined, "closed"));
    assert_non_null(strstr(joined, "the gill road (road)"));
    assert_non_null(strstr(joined, "heck again"));
}

static void the_outings_sheet_says_what_holds_on_its_day(void **state)
{
    struct cli *cli = *state;
    json_t *drawn;
    g_autofree char *tool = g_find_program_in_path("pdftotext"), *text = NULL, *path = NULL;
    const char *argv[] = {tool, "-layout", NULL, "-", NULL};

    if (tool == NULL) {
        g_print("skipped: pdftotext is not installed (package poppler-utils)\n");
        skip();
    }
    set_the_scene(cli);
    cli_ok(cli, "site permit 'Withy Gill' --given --by 'the tenant' --parts any --on 2027-06-01 "
                "--until 2027-06-21");
    drawn = cli_json(cli, "draw outing " OUTING " --out sheet.pdf --json");
    assert_int_equal(cli->status, 0);
    json_decref(drawn);
    path = g_build_filename(cli->folder, "sheet.pdf", NULL);
    argv[2] = path;
    assert_true(g_spawn_sync(NULL, (char **)argv, NULL, G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL,
                             &text, NULL, NULL, NULL));
    assert_non_null(strstr(text, "Withy Gill"));
    assert_non_null(strstr(text, "CLOSED"));
    assert_non_null(strstr(text, "gather nothing here"));
    assert_non_null(strstr(text, "RAN OUT on"));
}

static void a_new_plan_goes_before_the_spraying_or_not_at_all(void **state)
{
    struct cli *cli = *state;
    json_t *plan;
    const json_t *outing;

    set_the_scene(cli);
    plan = cli_json(cli, PLAN " --json"); /* Saturdays: all of them after it */
    assert_int_equal(json_array_size(json_object_get(plan, "outings")), 0);
    assert_int_equal(json_array_size(json_object_get(plan, "short")), 1);
    json_decref(plan);
    plan = cli_json(cli, "plan outings --home 54.6,-2.6 --nodes 200 --json");
    assert_int_equal(json_array_size(json_object_get(plan, "outings")), 1);
    outing = json_array_get(json_object_get(plan, "outings"), 0);
    assert_true(strcmp(json_text(outing, "date"), "2027-06-24") < 0);
    assert_string_equal(json_text(json_array_get(json_object_get(outing, "sites"), 0), "verdict"),
                        "ask");
    json_decref(plan);
    cli_ok(cli, "site permit 'Withy Gill' --refused --by 'the tenant'");
    plan = cli_json(cli, "plan outings --home 54.6,-2.6 --nodes 200 --json");
    assert_int_equal(json_array_size(json_object_get(plan, "outings")), 0);
    assert_non_null(
        strstr(json_text(json_array_get(json_object_get(plan, "short"), 0), "why"), "closed"));
    json_decref(plan);
}

static void the_harvest_of_that_day_is_refused_or_held(void **state)
{
    struct cli *cli = *state;
    json_t *harvest;

    set_the_scene(cli);
    cli->today = OUTING;
    cli_refused(cli, "harvest add 'Withy Gill' elder/flower --weight 90g --stage 65", 4, "closed");
    cli_ok(cli, "harvest add 'Withy Gill' elder/flower --weight 90g --stage 65 --hold 'picked "
                "before the tenant rang'");
    harvest = cli_json(cli, "harvest show H27-001 --json");
    assert_string_equal(json_text(harvest, "verdict"), "closed");
    assert_true(json_text(harvest, "held")[0] != '\0' ||
                json_is_true(json_object_get(harvest, "held")));
    json_decref(harvest);
    cli_refused(cli, "batch start tincture --from H27-001:87g --jar 500mL", 1, "H27-001");
}

static void a_spraying_that_comes_to_light_names_the_bottles(void **state)
{
    struct cli *cli = *state;
    json_t *trace;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 200g --stage 39 --on 2027-06-10");
    cli_ok(cli, "batch start tincture --from H27-001:87g --jar 500mL --on 2027-06-10");
    cli->today = "2027-07-20";
    cli_ok(cli, "batch press B27-001 --yield 300mL --on 2027-07-15");
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --on 2027-06-09 --source 'the neighbour'");
    assert_non_null(strstr(cli->err, "H27-001"));
    assert_non_null(strstr(cli->err, "B27-001"));
    assert_non_null(strstr(cli->err, "L27-001"));
    cli_ok(cli, "hazard add 'more news' --method boom --at 54.6012,-2.5871 --radius 5 --on "
                "2027-06-08");
    assert_non_null(strstr(cli->err, "L27-001"));
    trace = cli_json(cli, "trace 'Withy Gill' --sprayed 2027-06-09 --json");
    assert_int_equal(json_array_size(json_object_get(trace, "lots")), 1);
    json_decref(trace);
}

/* Two names for one verge, or two verges side by side: what was sprayed there was sprayed here. */
static void a_sprayed_place_speaks_of_its_neighbours(void **state)
{
    struct cli *cli = *state;
    json_t *json, *reason;

    cli_clear_site(cli, "Fox Lane");
    cli_ok(cli, "site add 'Fox Lane verge' --at 54.60123,-2.5871 --accuracy 10"); /* 3 m away */
    cli_ok(cli, "site add 'Far Field' --at 54.62,-2.5871 --accuracy 10");         /* 2 km away */
    cli_ok(cli, "harvest add 'Fox Lane' nettle/leaf --weight 1kg --stage 35 --on 2027-05-25");
    cli_ok(cli, "spray note 'Far Field' --kind sprayed --on 2027-04-20 --source 'a neighbour'");
    cli_ok(cli, "check 'Fox Lane'");
    cli_ok(cli, "spray note 'Fox Lane verge' --kind sprayed --on 2027-04-20 --method boom "
                "--source 'a neighbour'");
    assert_non_null(strstr(cli->err, "H27-001"));
    assert_int_equal(cli_run(cli, "check 'Fox Lane'"), 4);
    json = cli_json(cli, "check 'Fox Lane' --json");
    reason = json_array_get(json_object_get(json, "reasons"), 0);
    assert_string_equal(json_text(reason, "kind"), "hazard-sprayed");
    assert_string_equal(json_text(reason, "about"), "Fox Lane verge");
    expect_near(json_number(reason, "distance_m"), 3.3, 0.3, "the way between them");
    json_decref(json);
    json = cli_json(cli, "harvest show H27-001 --json");
    assert_non_null(strstr(json_text(json, "held"), "Fox Lane verge"));
    json_decref(json);
    json = cli_json(cli, "book check --json");
    assert_true(json_is_true(json_object_get(json, "ok")));
    json_decref(json);
    /* It lies elsewhere; it was sprayed elsewhere. */
    cli_ok(cli, "site edit 'Fox Lane verge' --at 54.65,-2.5871");
    cli_ok(cli, "check 'Fox Lane'");
    cli_ok(cli, "site edit 'Fox Lane verge' --at 54.60123,-2.5871");
    assert_int_equal(cli_run(cli, "check 'Fox Lane'"), 4);
    cli_ok(cli, "strike N27-003 --why 'another verge'");
    cli_ok(cli, "check 'Fox Lane'");
    json = cli_json(cli, "harvest show H27-001 --json");
    assert_true(json_is_null(json_object_get(json, "held")));
    json_decref(json);
    json = cli_json(cli, "book check --json");
    assert_true(json_is_true(json_object_get(json, "ok")));
    json_decref(json);
}

static const struct CMUnitTest tests[] = {
    cli_test(a_sprayed_place_speaks_of_its_neighbours),
    cli_test(a_planned_spraying_can_be_put_off),
    cli_test(years_of_another_century_are_asked_about),
    cli_test(the_days_screen_never_lists_closed_ground_as_gatherable),
    cli_test(a_kept_plan_says_what_holds_today),
    cli_test(the_outing_in_the_calendar_says_what_holds_on_its_day),
    cli_test(a_window_in_the_calendar_says_what_holds_when_it_begins),
    cli_test(the_outings_sheet_says_what_holds_on_its_day),
    cli_test(a_new_plan_goes_before_the_spraying_or_not_at_all),
    cli_test(the_harvest_of_that_day_is_refused_or_held),
    cli_test(a_spraying_that_comes_to_light_names_the_bottles),
};
expect_main(tests)
