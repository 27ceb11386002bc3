/* SPDX-License-Identifier: MIT
 *
 * One story from end to end: a verge was sprayed in May, and it becomes known in August, when the
 * nettle from it was dried, two jars were made, their lots mixed into a third, and three people had
 * some. Whatever one asks says the same; nothing that is held goes out; work goes on; and when the
 * note turns out to be of another verge, all of it is free again.
 */
#include "cli.h"

#define SPIRIT "--menstruum 'spirit 60%, Ash Beck Still, 114'"

static const char *const lots[] = {"L27-001", "L27-002", "L27-003"};
static const char *const refs[] = {"1051", "1063", "1088"};

static void tell_story(struct cli *cli)
{
    cli->today = "2027-08-14";
    cli_clear_site(cli, "Fold Lane");
    cli_ok(cli, "spray note 'Fold Lane' --kind unsprayed --source 'the tenant' --on 2027-08-01 "
                "--since 2020-01-01");
    cli_ok(cli, "site add 'Other Verge' --at 54.7,-2.7 --accuracy 10");
    cli_ok(cli, "harvest add 'Fold Lane' nettle/leaf --weight 900g --stage 35 --on 2027-05-25");
    cli_ok(cli, "batch start tincture --from H27-001:100g --jar 500mL " SPIRIT " --on 2027-05-25");
    cli_ok(cli, "dry start --from H27-001:600g --on 2027-05-25");
    cli_ok(cli, "dry finish D27-001 --weight 130g --on 2027-06-01");
    cli_ok(cli, "batch start tincture --from D27-001:60g --jar 500mL " SPIRIT " --on 2027-06-01");
    cli_ok(cli, "batch press B27-001 --yield 410mL --on 2027-07-06");
    cli_ok(cli, "batch press B27-002 --yield 310mL --on 2027-07-14");
    cli_ok(cli, "lot bottle L27-001 4x100mL --at 'shelf B3'");
    cli_ok(cli, "purchase add calendula/flower --weight 60g --dry --supplier 'Sallow Bank Herbs' "
                "--number SB-97 --on 2027-07-15");
    cli_ok(cli, "batch start tincture --from P27-001:30g --from L27-001:100mL --from "
                "L27-002:120mL --jar 500mL " SPIRIT " --on 2027-07-15");
    cli_ok(cli, "batch press B27-003 --yield 320mL --on 2027-08-01");
    cli_ok(cli, "lot use L27-001:60mL --for 1051 --on 2027-07-10");
    cli_ok(cli, "lot use L27-003:50mL --for 1063 --on 2027-08-02");
    cli_ok(cli, "lot use L27-002:30mL L27-001:20mL --for 1088 --on 2027-08-03");
    cli_ok(cli, "lot reaction L27-001 --for 1051 --text 'a rash on the arms' --on 2027-07-20");
    cli_ok(cli, "lot count L27-002 155mL --on 2027-08-04"); /* 160 were left */
    cli_ok(cli, "stand set 'Fold Lane' elder --plants 60");
    cli_ok(cli, "plan add 'for the winter' syrup elder/fruit --yield 500mL");
    cli_ok(cli, "plan outings --home 54.6,-2.6 --days sat --nodes 200 --keep");
    assert_non_null(strstr(cli->out, "4 September 2027"));
}

static void learn(struct cli *cli)
{
    cli_ok(cli, "spray note 'Fold Lane' --kind sprayed --on 2027-05-09 --product 'thistle killer' "
                "--source 'the son of the tenant'");
}

/* The text of a picture. */
static char *words_of(struct cli *cli, const char *file)
{
    g_autofree char *path = g_build_filename(cli->folder, file, NULL);
    g_autofree char *line = g_strdup_printf("pdftotext -layout '%s' -", path);
    char *out = NULL;

    assert_true(g_spawn_command_line_sync(line, &out, NULL, NULL, NULL));
    return out;
}

static void expect_holds(const char *where, const char *text, const char *part)
{
    if (strstr(text, part) == NULL)
        fail_msg("%s does not say '%s': %s", where, part, text);
}

static json_t *member(json_t *list, const char *key, const char *value)
{
    size_t i;
    json_t *one;

    json_array_foreach(list, i, one)
    {
        if (g_str_equal(json_text(one, key), value))
            return one;
    }
    fail_msg("no %s is %s", key, value);
    return NULL;
}

static void expect_state(struct cli *cli, gboolean held)
{
    const char *state = held ? "held" : "on the shelf";
    json_t *json, *one, *list;

    json = cli_json(cli, "lot list --json");
    for (gsize i = 0; i < G_N_ELEMENTS(lots); i++)
        assert_string_equal(json_text(member(json, "code", lots[i]), "state"), state);
    json_decref(json);
    for (gsize i = 0; i < G_N_ELEMENTS(lots); i++) {
        g_autofree char *show = g_strdup_printf("lot show %s --json", lots[i]);

        json = cli_json(cli, show);
        assert_string_equal(json_text(json, "state"), state);
        if (held)
            expect_holds(show, json_text(json, "why"), "sprayed on the site");
        else
            assert_true(json_is_null(json_object_get(json, "why")));
        json_decref(json);
    }
    json = cli_json(cli, "harvest show H27-001 --json");
    assert_true(json_is_null(json_object_get(json, "held")) == !held);
    json_decref(json);
    json = cli_json(cli, "harvest list --json");
    assert_true(json_is_null(json_object_get(json_array_get(json, 0), "held")) == !held);
    json_decref(json);
    json = cli_json(cli, "trace 'Fold Lane' --sprayed 2027-05 --json");
    list = json_object_get(json, "lots");
    for (gsize i = 0; i < G_N_ELEMENTS(lots); i++) {
        one = member(list, "code", lots[i]);
        assert_string_equal(json_text(one, "state"), state);
        /* nothing is lost on the way */
        expect_near(json_number(one, "made_amount"),
                    json_number(one, "left") + json_number(one, "out") + json_number(one, "drawn") +
                        json_number(one, "thrown") + json_number(one, "unaccounted"),
                    0.01, lots[i]);
    }
    expect_near(json_number(member(list, "code", "L27-002"), "unaccounted"), 5, 0.01, "not found");
    expect_near(json_number(member(list, "code", "L27-001"), "drawn"), 100, 0.01, "in other jars");
    list = json_object_get(json, "uses");
    for (gsize i = 0; i < G_N_ELEMENTS(refs); i++)
        member(list, "ref", refs[i]);
    assert_string_equal(json_text(member(list, "code", "L27-002"), "with"), "L27-001 20 mL");
    member(json_object_get(json, "reactions"), "words", "a rash on the arms");
    json_decref(json);
    json = cli_json(cli, "--json");
    list = json_object_get(json, "stops");
    if (held) {
        for (gsize i = 0; i < G_N_ELEMENTS(lots); i++)
            member(list, "what", lots[i]);
    } else {
        assert_int_equal(json_array_size(list), 0);
    }
    json_decref(json);
}

static void expect_sheets(struct cli *cli, gboolean held)
{
    g_autofree char *shelf = NULL, *labels = NULL, *recall = NULL, *dossier = NULL, *record = NULL;

    cli_ok(cli, "draw shelf --out shelf.pdf --force");
    shelf = words_of(cli, "shelf.pdf");
    assert_true((strstr(shelf, "held") != NULL) == held);
    cli_ok(cli, "label L27-001 L27-002 L27-003 D27-001 --out labels.pdf --force");
    labels = words_of(cli, "labels.pdf");
    assert_true((strstr(labels, "HELD") != NULL) == held);
    cli_ok(cli, "draw batch B27-003 --out batch.pdf --force");
    record = words_of(cli, "batch.pdf");
    assert_true((strstr(record, "held") != NULL || strstr(record, "HELD") != NULL) == held);
    cli_ok(cli, "draw recall 'Fold Lane' --sprayed 2027-05 --out recall.pdf --force");
    recall = words_of(cli, "recall.pdf");
    for (gsize i = 0; i < G_N_ELEMENTS(lots); i++) {
        expect_holds("the recall", recall, lots[i]);
        expect_holds("the recall", recall, refs[i]);
    }
    expect_holds("the recall", recall, "shelf B3");
    expect_holds("the recall", recall, "of 3 numbers");
    expect_holds("the recall", recall, "a rash on the arms");
    expect_holds("the recall", recall, "25 May 2027");
    expect_holds("the recall", recall, "witness");
    assert_true((strstr(recall, "HELD") != NULL) == held);
    assert_true((strstr(recall, "son of the tenant") != NULL) == held);
    cli_ok(cli, "draw lot L27-003 --out lot.pdf --force");
    dossier = words_of(cli, "lot.pdf");
    expect_holds("the dossier", dossier, "Sallow Bank Herbs");
    expect_holds("the dossier", dossier, "H27-001");
    expect_holds("the dossier", dossier, "Ash Beck Still");
    expect_holds("the dossier", dossier, "1063");
    assert_true((strstr(dossier, "thistle killer") != NULL) == held);
}

static void expect_calendar(struct cli *cli, gboolean held)
{
    g_autofree char *unfolded = NULL;
    g_auto(GStrv) lines = NULL;

    cli_ok(cli, "calendar write --out -");
    lines = g_strsplit(cli->out, "\r\n ", -1);
    unfolded = g_strjoinv("", lines);
    assert_true((strstr(unfolded, "Use by L27-001") != NULL));
    assert_true((strstr(unfolded, "held") != NULL || strstr(unfolded, "HELD") != NULL) == held);
}

/* The jars, the rack, the place, the check of the book. */
static void expect_lists(struct cli *cli, gboolean held)
{
    json_t *json, *one;
    size_t i;

    for (i = 1; i <= 3; i++) {
        g_autofree char *show = g_strdup_printf("batch show B27-00%zu --json", i);

        json = cli_json(cli, show);
        assert_true(json_is_null(json_object_get(json, "held")) == !held);
        if (held)
            expect_holds(show, json_text(json, "held"), "sprayed on the site");
        json_decref(json);
    }
    cli_ok(cli, "batch list");
    assert_true((strstr(cli->out, "held") != NULL || strstr(cli->out, "HELD") != NULL) == held);
    cli_ok(cli, "dry show D27-001");
    assert_true((strstr(cli->out, "held") != NULL || strstr(cli->out, "HELD") != NULL) == held);
    json = cli_json(cli, "check 'Fold Lane' --json");
    assert_string_equal(json_text(json, "verdict"), held ? "closed" : "clear");
    json_decref(json);
    json = cli_json(cli, "site list --json");
    assert_string_equal(json_text(member(json, "name", "Fold Lane"), "verdict"),
                        held ? "closed" : "clear");
    json_decref(json);
    json = cli_json(cli, "book check --json");
    assert_true(json_is_true(json_object_get(json, "ok")));
    json_decref(json);
    /* A calendar that was written and not touched moves nothing and lets nothing out. */
    cli_ok(cli, "calendar write --out story.ics --force");
    json = cli_json(cli, "calendar read story.ics --apply --json");
    json_array_foreach(json_object_get(json, "moved"), i, one)
    {
        fail_msg("an untouched calendar moves %s", json_text(one, "summary"));
    }
    assert_int_equal(json_array_size(json_object_get(json, "done")), 0);
    json_decref(json);
}

/* What is planned there for the next days. */
static void expect_outing(struct cli *cli, gboolean held)
{
    g_autofree char *sheet = NULL;

    cli_ok(cli, "draw outing 2027-09-04 --out outing.pdf --force");
    sheet = words_of(cli, "outing.pdf");
    expect_holds("the outing sheet", sheet, "Fold Lane");
    assert_true((strstr(sheet, "CLOSED") != NULL) == held);
    if ((strstr(sheet, "take 460 g") != NULL) == held)
        fail_msg("the outing sheet: %s", sheet);
}

static void what_goes_out_is_refused(struct cli *cli)
{
    for (gsize i = 0; i < G_N_ELEMENTS(lots); i++) {
        g_autofree char *use = g_strdup_printf("lot use %s:5mL --for 1099", lots[i]);
        g_autofree char *label =
            g_strdup_printf("label %s --for 1099 --out one.pdf --bottle 50mL", lots[i]);

        cli_refused(cli, use, 1, "sprayed");
        /* What is offered is to put the note right, not to let the bottle out all the same. */
        assert_null(strstr(cli->err, "lot release"));
        cli_refused(cli, label, 1, lots[i]);
        assert_int_equal(cli_run(cli, use), 1);
    }
    cli_refused(cli, "batch start tincture --from H27-001:50g --on 2027-05-25 --jar 500mL " SPIRIT,
                1, "sprayed");
    cli_refused(cli, "dry start --from H27-001:50g", 1, "sprayed");
    cli_refused(cli, "strike L27-003 --why 'never mind'", 1, "1063");
    cli_refused(cli, "harvest add 'Fold Lane' nettle/leaf --weight 100g --stage 35", 4, "closed");
}

static void a_spraying_of_may_that_becomes_known_in_august(void **state)
{
    struct cli *cli = *state;
    json_t *json;

    tell_story(cli);
    expect_state(cli, FALSE);
    expect_sheets(cli, FALSE);
    expect_calendar(cli, FALSE);
    expect_lists(cli, FALSE);
    expect_outing(cli, FALSE);
    learn(cli);
    for (gsize i = 0; i < G_N_ELEMENTS(lots); i++)
        expect_holds("the note", cli->err, lots[i]);
    expect_state(cli, TRUE);
    expect_sheets(cli, TRUE);
    expect_calendar(cli, TRUE);
    expect_lists(cli, TRUE);
    expect_outing(cli, TRUE);
    what_goes_out_is_refused(cli);
    /* work goes on, and nothing of it is free */
    cli_ok(cli, "lot count L27-003 268mL");
    cli_ok(cli, "lot bottle L27-003 250mL --at quarantine");
    cli_ok(cli, "discard L27-002 5mL --why spilt");
    json = cli_json(cli, "book check --json");
    assert_true(json_is_true(json_object_get(json, "ok")));
    json_decref(json);
    /* it was another verge: struck, and noted where it was */
    cli_ok(cli, "spray note 'Other Verge' --kind sprayed --on 2027-05-09 --source 'the son'");
    cli_ok(cli, "strike N27-003 --why 'he meant the other verge'");
    expect_state(cli, FALSE);
    expect_sheets(cli, FALSE);
    expect_calendar(cli, FALSE);
    expect_lists(cli, FALSE);
    expect_outing(cli, FALSE);
    cli_ok(cli, "lot use L27-003:5mL --for 1099");
    cli_ok(cli, "batch start tincture --from D27-001:50g --jar 500mL " SPIRIT);
}

static const struct CMUnitTest tests[] = {
    cli_test(a_spraying_of_may_that_becomes_known_in_august),
};
expect_main(tests)
