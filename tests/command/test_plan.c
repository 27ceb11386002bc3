/* SPDX-License-Identifier: MIT
 *
 * The season's plan at the command line: the whole story on the demo as it stands in March, and
 * questions that make no sense answered in words.
 */
#include "cli.h"
#include "simpling/day.h"

static char *today_text; /* of the line being run */

/* A line of the season, whose files stand beside its text. */
static void run_beside(struct cli *cli, const char *line)
{
    g_auto(GStrv) parts = g_strsplit(line, " data/demo/", -1);
    g_autofree char *whole = g_strjoinv(" " SPL_SOURCE_DIR "/data/demo/", parts);

    cli_ok(cli, whole);
}

/* Runs the lines of data/demo/season.txt up to (not including) the day `until`. */
static void demo_until(struct cli *cli, const char *until)
{
    g_autofree char *text = NULL;
    g_auto(GStrv) lines = NULL;

    assert_true(g_file_get_contents(SPL_SOURCE_DIR "/data/demo/season.txt", &text, NULL, NULL));
    lines = g_strsplit(text, "\n", -1);
    for (guint i = 0; lines[i] != NULL; i++) {
        const char *line = g_strstrip(lines[i]);

        if (*line == '\0' || *line == '#' || *line == '>' || g_str_has_prefix(line, "book init"))
            continue;
        if (*line == '@') {
            if (strcmp(line + 2, until) >= 0)
                break;
            g_free(today_text);
            today_text = g_strdup(line + 2);
            cli->today = today_text;
            continue;
        }
        if (*line == '?')
            continue;
        run_beside(cli, line);
    }
}

static json_t *planned(json_t *list, const char *name)
{
    size_t i;
    json_t *line;

    json_array_foreach(list, i, line)
    {
        if (strcmp(json_text(line, "name"), name) == 0)
            return line;
    }
    fail_msg("%s is not in the plan", name);
    return NULL;
}

/* The outing of the plan on this day, NULL: none. */
static json_t *outing_on(json_t *plan, const char *day)
{
    size_t i;
    json_t *outing;

    json_array_foreach(json_object_get(plan, "outings"), i, outing)
    {
        if (strcmp(json_text(outing, "date"), day) == 0)
            return outing;
    }
    return NULL;
}

/* Whether the plan takes something for the batch. */
static gboolean serves(json_t *plan, const char *name)
{
    size_t i, s, t, f;
    json_t *outing, *stop, *take, *what;

    json_array_foreach(json_object_get(plan, "outings"), i, outing)
    {
        json_array_foreach(json_object_get(outing, "sites"), s, stop)
        {
            json_array_foreach(json_object_get(stop, "takes"), t, take)
            {
                json_array_foreach(json_object_get(take, "for"), f, what)
                {
                    if (strcmp(json_string_value(what), name) == 0)
                        return TRUE;
                }
            }
        }
    }
    return FALSE;
}

static gboolean is_short(json_t *plan, const char *material)
{
    size_t i;
    json_t *line;

    json_array_foreach(json_object_get(plan, "short"), i, line)
    {
        if (strcmp(json_text(line, "material"), material) == 0) {
            /* Said with its cause and what would cure it. */
            assert_true(strlen(json_text(line, "why")) > 10);
            assert_true(strlen(json_text(line, "cure")) > 10);
            return TRUE;
        }
    }
    return FALSE;
}

static void each_batch_is_served_or_short(json_t *plan, json_t *list)
{
    size_t i, m;
    json_t *line, *material;

    json_array_foreach(list, i, line)
    {
        gboolean said = serves(plan, json_text(line, "name"));

        json_array_foreach(json_object_get(line, "materials"), m, material)
        {
            g_auto(GStrv) words = g_strsplit(json_string_value(material), ":", 2);

            said |= is_short(plan, words[0]);
        }
        if (!said && json_number(line, "to_come_g") > 0)
            fail_msg("%s is neither planned nor said to be short", json_text(line, "name"));
    }
}

static void the_plan_follows_a_season(void **state)
{
    struct cli *cli = *state;
    json_t *plan, *list, *first = NULL, *kept;
    g_autofree char *rainy = NULL;
    double before, after;
    size_t n, call;

    demo_until(cli, "2027-04-03");
    cli->today = "2027-03-06";

    /* March: the plan prints whom to ask, and serves each planned batch or says why not. */
    list = cli_json(cli, "plan list --json");
    assert_true(json_array_size(list) >= 5);
    plan = cli_json(cli, "plan outings --days sat,sun,wed --nodes 400 --seconds 120 --keep --json");
    assert_int_equal(cli->status, 0);
    n = json_array_size(json_object_get(plan, "outings"));
    assert_true(n >= 2);
    call = json_array_size(json_object_get(plan, "call"));
    assert_true(call >= 1);
    assert_true(strlen(json_text(json_array_get(json_object_get(plan, "call"), 0), "who")) > 2);
    each_batch_is_served_or_short(plan, list);
    kept =
        cli_json(cli, "plan outings --kept --json"); /* the same are to be called by what is kept */
    assert_true(json_equal(json_object_get(plan, "call"), json_object_get(kept, "call")));
    json_decref(kept);
    /* Within 5 % of what is proven. */
    assert_true(json_number(plan, "gap") <= 0.05);
    assert_true(json_number(plan, "lower_bound") <= (double)n);
    json_decref(list);

    /* Stored: shown as it is, and the same when planned again with nothing new. */
    kept = cli_json(cli, "plan outings --kept --json");
    assert_true(json_equal(json_object_get(kept, "outings"), json_object_get(plan, "outings")) ||
                json_array_size(json_object_get(kept, "outings")) == n);
    json_decref(kept);

    /* One harvest: less is still to come for what it was picked for. */
    json_decref(plan);
    cli->today = "2027-05-22";
    list = cli_json(cli, "plan list --json");
    before = json_number(planned(list, "hawthorn tops"), "to_come_g");
    json_decref(list);
    assert_true(before > 60);
    cli_ok(cli,
           "spray note 'Hag Bank' --kind unsprayed --since 2018-01-01 --source 'the commoners' "
           "--on 2027-05-20");
    cli_ok(cli, "harvest add 'Hag Bank' hawthorn/tops --weight 60g --stage 61 --by Edda "
                "--named-by Edda --signs 'lobed leaves, thorns' --on 2027-05-21");
    list = cli_json(cli, "plan list --json");
    after = json_number(planned(list, "hawthorn tops"), "to_come_g");
    expect_near(before - after, 60, 1.5, "g");
    assert_non_null(strstr(json_text(planned(list, "hawthorn tops"), "state"), "gathered 60 g"));
    json_decref(list);

    /* A rainy day: its outing goes elsewhere, those that stay keep their identity. */
    plan = cli_json(cli, "plan outings --days sat,sun,wed --nodes 400 --seconds 120 --keep --json");
    for (n = 0; n < json_array_size(json_object_get(plan, "outings")); n++) {
        first = json_array_get(json_object_get(plan, "outings"), n);
        if (json_is_false(json_object_get(first, "past")))
            break;
    }
    rainy = g_strdup(json_text(first, "date"));
    json_decref(plan);
    {
        g_autofree char *line =
            g_strdup_printf("plan outings --days sat,sun,wed --nodes 400 --seconds 120 --keep "
                            "--off %s --json",
                            rainy);

        plan = cli_json(cli, line);
    }
    assert_null(outing_on(plan, rainy));
    list = cli_json(cli, "plan list --json");
    each_batch_is_served_or_short(plan, list);
    json_decref(list);
    json_decref(plan);
    /* The day stays off without being said again. */
    plan = cli_json(cli, "plan outings --days sat,sun,wed --nodes 400 --seconds 120 --json");
    assert_null(outing_on(plan, rainy));
    json_decref(plan);

    /* Made, pressed, bottled: done; then withdrawn: open again. */
    cli->today = "2027-06-25";
    cli_ok(cli, "spray note 'Scarth Wood' --kind unsprayed --since 2015-01-01 --source 'the estate "
                "office' --on 2027-06-12");
    cli_ok(cli, "harvest add 'Scarth Wood' elder/flower --weight 420g --garbled 300g --stage 65 "
                "--named-by Edda --signs 'woody shrub, corky bark' --on 2027-06-12");
    {
        json_t *log = cli_json(cli, "harvest list --json");
        const char *code = json_text(json_array_get(log, json_array_size(log) - 1), "code");
        g_autofree char *start = g_strdup_printf(
            "batch start vinegar --from %s:150g --jar 1L --on 2027-06-12 --menstruum 'cider "
            "vinegar 5%%, Skirra Stores, 31' --json",
            code);
        g_autofree char *press = NULL;
        json_t *made;

        made = cli_json(cli, start);
        assert_int_equal(cli->status, 0);
        list = cli_json(cli, "plan list --json");
        assert_true(json_number(planned(list, "elderflower vinegar"), "standing_ml") > 400);
        /* All of it stands: no flower is to be gathered by any day. */
        if (json_number(planned(list, "elderflower vinegar"), "to_come_g") < 1)
            assert_true(
                json_is_null(json_object_get(planned(list, "elderflower vinegar"), "gather_by")));
        else
            assert_true(strcmp(json_text(planned(list, "elderflower vinegar"), "gather_by"),
                               "2027-08") < 0);
        json_decref(list);
        press = g_strdup_printf("batch press %s --yield 780mL --on 2027-06-25 --json",
                                json_text(made, "code"));
        json_decref(made);
        made = cli_json(cli, press);
        assert_int_equal(cli->status, 0);
        list = cli_json(cli, "plan list --json");
        expect_near(json_number(planned(list, "elderflower vinegar"), "bottled_ml"), 700, 1, "mL");
        expect_near(json_number(planned(list, "elderflower vinegar"), "to_come_g"), 0, 0, "g");
        assert_true(json_is_false(json_object_get(planned(list, "elderflower vinegar"), "held")));
        json_decref(list);
        {
            json_t *lot = json_is_array(made) ? json_array_get(made, 0) : made;
            g_autofree char *withdraw =
                g_strdup_printf("lot withdraw %s --why 'a smell of yeast'", json_text(lot, "code"));
            g_autofree char *hold =
                g_strdup_printf("lot hold %s --why 'a cloudy bottle'", json_text(lot, "code"));

            /* What is held is made, and says that it waits. */
            cli_ok(cli, hold);
            list = cli_json(cli, "plan list --json");
            assert_true(
                json_is_true(json_object_get(planned(list, "elderflower vinegar"), "held")));
            assert_non_null(strstr(json_text(planned(list, "elderflower vinegar"), "state"),
                                   "done; some of it is held"));
            json_decref(list);
            cli_ok(cli, withdraw);
        }
        json_decref(made);
        json_decref(log);
    }
    list = cli_json(cli, "plan list --json");
    expect_near(json_number(planned(list, "elderflower vinegar"), "bottled_ml"), 0, 0, "mL");
    assert_true(json_number(planned(list, "elderflower vinegar"), "to_come_g") +
                    json_number(planned(list, "elderflower vinegar"), "gathered_g") >
                50);
    json_decref(list);
    g_clear_pointer(&today_text, g_free);
}

static void a_plan_is_made_listed_and_dropped(void **state)
{
    struct cli *cli = *state;
    json_t *line, *list;

    line = cli_json(cli, "plan add 'winter tincture' tincture dandelion/flower:1 dandelion/leaf:3 "
                         "--yield 800mL --by 2027-12-01 --json");
    assert_int_equal(cli->status, 0);
    assert_int_equal(json_array_size(json_object_get(line, "materials")), 2);
    /* Both must be strained before the press: 42 days (common practice: at least six weeks) before
     * 1 December. */
    assert_string_equal(json_text(line, "gather_by"), "2027-10-20");
    assert_true(json_number(line, "need_g") > 100);
    json_decref(line);
    cli_refused(cli, "plan add 'Winter Tincture' tincture nettle/leaf --yield 1L", 1,
                "planned already");
    cli_refused(cli, "plan add x tincture nettle/leaf", 2, "--yield");
    cli_refused(cli, "plan add x tincture nettle/leaf --yield 1L --jar 1L", 2, "--yield");
    cli_refused(cli, "plan add x tincture nettle/leaf nettle/leaf --yield 1L", 2, "twice");
    cli_refused(cli, "plan add x tincture nettle/leaf:0 --yield 1L", 2, "parts");
    cli_refused(cli, "plan add x tincture nettle/leaf --yield -1L", 2, "--yield");
    cli_refused(cli, "plan add x tincture nettle/leaf --yield 1L --by 2027-01-01", 2,
                "before today");
    cli_refused(cli, "plan add x no-such-way nettle/leaf --yield 1L", 1, "no-such-way");
    cli_refused(cli, "plan drop 'winter tincure'", 1, "winter tincture");
    line = cli_json(cli, "plan drop 'winter tincture' --why 'enough' --json");
    json_decref(line);
    list = cli_json(cli, "plan list --json");
    assert_int_equal(json_array_size(list), 0);
    json_decref(list);
}

/* The batch that is planned is the one that will be made: what goes in is what `need` says. */
static void dried_herb_ratio_and_strength_are_planned_with(void **state)
{
    struct cli *cli = *state;
    json_t *line, *list, *need;
    double fresh_g;

    line = cli_json(cli, "plan add plain tincture nettle/leaf --yield 946mL --json");
    assert_true(json_is_null(json_object_get(line, "making")));
    fresh_g = json_number(line, "need_g");
    json_decref(line);
    need = cli_json(cli, "need nettle/leaf tincture --yield 946mL --dry --ratio 1:5 --strength 50% "
                         "--json");
    line = cli_json(cli, "plan add quart tincture nettle/leaf --yield 946mL --dry --ratio 1:5 "
                         "--strength 50% --json");
    assert_string_equal(json_text(line, "making"), "of dried herb, 1:5, 50 %");
    expect_near(json_number(line, "need_g"), json_number(need, "gross_g"), 1, "g");
    /* Nettle loses four fifths or so of its weight in drying. */
    assert_true(json_number(line, "need_g") > 4 * fresh_g);
    json_decref(line);
    json_decref(need);
    list = cli_json(cli, "plan list --json");
    assert_string_equal(json_text(planned(list, "quart"), "making"), "of dried herb, 1:5, 50 %");
    json_decref(list);
    cli_refused(cli, "plan add x dried-herb nettle/leaf --yield 100g --ratio 1:5", 2, "--ratio");
    cli_refused(cli, "plan add x dried-herb nettle/leaf --yield 100g --strength 40%", 2,
                "--strength");
    cli_refused(cli, "plan add x tincture nettle/leaf --yield 1L --ratio 5:0", 2, "--ratio");
    cli_refused(cli, "plan add x tincture nettle/leaf --yield 1L --strength 140%", 2, "--strength");
}

/* data/keeping.csv: this oil keeps 120 days once pressed. 31 August and 120 days: 29 December. */
static void what_will_not_last_the_winter_is_said(void **state)
{
    struct cli *cli = *state;

    cli_ok(cli, "plan add 'winter oil' infused-oil st-johns-wort/flower --yield 250mL "
                "--by 2027-08-31");
    assert_non_null(strstr(cli->err, "some 120 days"));
    assert_non_null(strstr(cli->err, "2027-12-29"));
    cli_ok(cli, "plan add 'winter tincture' tincture st-johns-wort/flower --yield 250mL "
                "--by 2027-08-31");
    assert_null(strstr(cli->err, "out of date"));
}

static void questions_that_make_no_sense_are_answered_in_words(void **state)
{
    struct cli *cli = *state;
    json_t *plan;

    cli_refused(cli, "plan outings", 2, "plan a batch");
    cli_ok(cli, "plan add 'winter tincture' tincture nettle/leaf --yield 800mL");
    /* No stands: nothing to be had, said for the material with what would cure it. */
    plan = cli_json(cli, "plan outings --home 54.6,-2.6 --json");
    assert_int_equal(cli->status, 0);
    assert_true(is_short(plan, "nettle/leaf"));
    assert_int_equal(json_array_size(json_object_get(plan, "outings")), 0);
    json_decref(plan);
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "stand set 'Withy Gill' nettle --area 100m2 --cover 50%");
    cli_refused(cli, "plan outings", 2, "home");
    cli_refused(cli, "plan outings --home 54.6,-2.6 --hours -3", 2, "--hours");
    cli_refused(cli, "plan outings --home 54.6,-2.6 --hours nan", 2, "--hours");
    cli_refused(cli, "plan outings --home 54.6,-2.6 --days caturday", 2, "caturday");
    cli_refused(cli, "plan outings --home 54.6,-2.6 --off 2027-02-30", 2, "--off");
    cli_refused(cli, "plan outings --home 54.6,-2.6 --sites 9", 2, "--sites");
    cli_refused(cli, "plan outings --home 54.6,-2.6 --busy nowhere.ics", 1, "nowhere.ics");
    plan = cli_json(cli, "plan outings --home 54.6,-2.6 --json");
    assert_int_equal(cli->status, 0);
    assert_false(is_short(plan, "nettle/leaf"));
    assert_int_equal(json_number(plan, "outings_count"), 1);
    json_decref(plan);
    /* A refusal closes the ground: no outing, and the cause is named. */
    cli_ok(cli, "site permit 'Withy Gill' --refused --by 'the tenant'");
    plan = cli_json(cli, "plan outings --home 54.6,-2.6 --json");
    assert_true(is_short(plan, "nettle/leaf"));
    assert_non_null(strstr(cli->out, "closed"));
    json_decref(plan);
}

static void the_exported_model_is_an_lp_file(void **state)
{
    struct cli *cli = *state;
    g_autofree char *path = g_build_filename(cli->folder, "season.lp", NULL), *text = NULL;
    g_autofree char *line = g_strdup_printf("plan outings --home 54.6,-2.6 --lp '%s' --json", path);
    json_t *plan;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "stand set 'Withy Gill' nettle --area 100m2 --cover 50%");
    cli_ok(cli, "plan add 'winter tincture' tincture nettle/leaf --yield 800mL");
    plan = cli_json(cli, line);
    assert_int_equal(cli->status, 0);
    json_decref(plan);
    assert_true(g_file_get_contents(path, &text, NULL, NULL));
    assert_non_null(strstr(text, "Minimize"));
    assert_non_null(strstr(text, "need_0"));
    assert_true(g_str_has_suffix(text, "End\n"));
}

static void busy_days_are_kept_free(void **state)
{
    struct cli *cli = *state;
    g_autofree char *path = g_build_filename(cli->folder, "busy.ics", NULL);
    json_t *plan;
    GString *ics = g_string_new("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//test//EN\r\n");
    struct spl_day day = spl_day_from_ymd(2027, 6, 20);
    g_autofree char *free_day = NULL;
    size_t i;
    json_t *outing;

    /* Every day until 10 July is taken, whole days. */
    for (int d = 0; d < 21; d++) {
        int year, month, dom;

        spl_day_to_ymd(spl_day_add(day, d), &year, &month, &dom);
        g_string_append_printf(ics,
                               "BEGIN:VEVENT\r\nUID:b%d\r\nDTSTAMP:20270101T000000Z\r\n"
                               "DTSTART;VALUE=DATE:%04d%02d%02d\r\nSUMMARY:Away\r\n"
                               "TRANSP:OPAQUE\r\nEND:VEVENT\r\n",
                               d, year, month, dom);
    }
    g_string_append(ics, "END:VCALENDAR\r\n");
    assert_true(g_file_set_contents(path, ics->str, (gssize)ics->len, NULL));
    g_string_free(ics, TRUE);
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "stand set 'Withy Gill' nettle --area 100m2 --cover 50%");
    cli_ok(cli, "plan add 'winter tincture' tincture nettle/leaf --yield 800mL");
    plan = cli_json(cli, "plan outings --home 54.6,-2.6 --busy busy.ics --json");
    assert_int_equal(cli->status, 0);
    assert_true(json_array_size(json_object_get(plan, "outings")) > 0 ||
                is_short(plan, "nettle/leaf"));
    json_array_foreach(json_object_get(plan, "outings"), i, outing)
        assert_true(strcmp(json_text(outing, "date"), "2027-07-10") > 0);
    json_decref(plan);
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, cli_set_up, cli_tear_down)
static const struct CMUnitTest tests[] = {
    TEST(the_plan_follows_a_season),
    TEST(a_plan_is_made_listed_and_dropped),
    TEST(dried_herb_ratio_and_strength_are_planned_with),
    TEST(what_will_not_last_the_winter_is_said),
    TEST(questions_that_make_no_sense_are_answered_in_words),
    TEST(the_exported_model_is_an_lp_file),
    TEST(busy_days_are_kept_free),
};
expect_main(tests)
