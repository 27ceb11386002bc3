/* SPDX-License-Identifier: MIT
 *
 * What came of bad ground: nothing that went out is crossed out, nothing that is held goes out.
 */
#include "cli.h"

#define T60 "--jar 500mL --menstruum 'spirit 60%, Ash Beck Still, 114'"

/* A kilogram of nettle, a jar of it, 400 mL bottled. */
static void bottled(struct cli *cli)
{
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 1kg --stage 35 --on 2027-05-25");
    cli_ok(cli, "batch start tincture --from H27-001:100g " T60 " --on 2027-05-25");
    cli_ok(cli, "batch press B27-001 --yield 400mL --on 2027-06-10");
}

/* Is there a record in this list whose `key` is `value`? */
static gboolean has(const json_t *array, const char *key, const char *value)
{
    size_t i;
    json_t *one;

    json_array_foreach(array, i, one)
    {
        if (g_str_equal(key != NULL ? json_text(one, key) : json_string_value(one), value))
            return TRUE;
    }
    return FALSE;
}

static json_t *list_of(struct cli *cli, const char *line, const char *key)
{
    json_t *json = cli_json(cli, line), *list = json_incref(json_object_get(json, key));

    json_decref(json);
    assert_true(json_is_array(list));
    return list;
}

static void a_trace_says_to_whom_it_went(void **state)
{
    struct cli *cli = *state;
    json_t *uses;

    bottled(cli);
    cli_ok(cli, "lot use L27-001:50mL --for 1203 --on 2027-06-12");
    /* and through a mixture */
    cli_ok(cli, "batch start tincture --from H27-001:50g --liquid 250mL " T60 " --on 2027-05-25");
    cli_ok(cli, "batch add B27-002 --from L27-001:100mL --on 2027-06-12");
    cli_ok(cli, "batch press B27-002 --yield 300mL --on 2027-06-18");
    cli_ok(cli, "lot use L27-002:20mL --for 1077 --on 2027-06-19");
    cli_ok(cli, "trace 'Withy Gill' --sprayed 2027-05");
    assert_non_null(strstr(cli->out, "went out"));
    assert_non_null(strstr(cli->out, "1203"));
    assert_non_null(strstr(cli->out, "1077"));
    uses = list_of(cli, "trace H27-001 --json", "uses");
    assert_int_equal(json_array_size(uses), 2);
    assert_string_equal(json_text(json_array_get(uses, 0), "ref"), "1203");
    assert_string_equal(json_text(json_array_get(uses, 0), "date"), "2027-06-12");
    expect_near(json_number(json_array_get(uses, 0), "ml"), 50, 0.01, "mL");
    assert_string_equal(json_text(json_array_get(uses, 1), "code"), "L27-002");
    json_decref(uses);
}

static void what_went_out_cannot_be_struck(void **state)
{
    struct cli *cli = *state;
    json_t *lots;

    bottled(cli);
    cli_ok(cli, "lot use L27-001:50mL --for 1203 --on 2027-06-12");
    cli_refused(cli, "strike L27-001 --why typo", 1, "1203");
    cli_refused(cli, "strike B27-001 --why typo", 1, "drawn on it");
    lots = list_of(cli, "trace 'Withy Gill' --sprayed 2027-05 --json", "lots");
    assert_true(has(lots, "code", "L27-001"));
    json_decref(lots);
}

static void a_trace_goes_through_struck_records_and_marks_them(void **state)
{
    struct cli *cli = *state;
    json_t *trace;

    bottled(cli);
    cli_ok(cli, "strike L27-001 --why 'pressed the other jar'");
    cli_ok(cli, "strike B27-001 --why 'pressed the other jar'");
    cli_ok(cli, "strike H27-001 --why 'another place'");
    trace = cli_json(cli, "trace 'Withy Gill' --sprayed 2027-05 --json");
    assert_string_equal(json_text(json_array_get(json_object_get(trace, "harvests"), 0), "struck"),
                        "another place");
    assert_string_equal(json_text(json_array_get(json_object_get(trace, "batches"), 0), "state"),
                        "struck");
    assert_string_equal(json_text(json_array_get(json_object_get(trace, "lots"), 0), "state"),
                        "struck");
    json_decref(trace);
}

static void a_recall_holds_what_is_held_for_a_milder_reason_too(void **state)
{
    struct cli *cli = *state;
    json_t *held;

    cli_ok(cli, "site add Kell --at 54.6012,-2.5871 --elevation 210 --accuracy 10");
    cli_ok(cli, "site permit Kell --given --by 'the tenant' --parts any --on 2027-03-01");
    cli_ok(cli, "harvest add Kell nettle/leaf --weight 1kg --stage 35 --on 2027-05-25");
    held = list_of(cli, "trace Kell --sprayed 2027-05 --withdraw --json", "held");
    assert_true(has(held, NULL, "H27-001"));
    json_decref(held);
    cli_ok(cli, "harvest show H27-001");
    assert_non_null(strstr(cli->out, "sprayed on or after 1 May 2027"));
    held = list_of(cli, "trace Kell --sprayed 2027-05 --withdraw --json", "held");
    assert_int_equal(json_array_size(held), 0); /* said once */
    json_decref(held);
}

/* What somebody held by hand is let out when that is settled; a recall must not end with it. */
static void a_recall_is_written_beside_what_holds_for_another_cause(void **state)
{
    struct cli *cli = *state;
    json_t *trace;

    bottled(cli);
    cli_ok(cli, "lot hold L27-001 --why 'cloudy'");
    trace = cli_json(cli, "trace 'Withy Gill' --sprayed 2027-05 --withdraw --json");
    assert_int_equal(json_array_size(json_object_get(trace, "withdrawn")), 1);
    assert_int_equal(json_array_size(json_object_get(trace, "held")), 1);
    json_decref(trace);
    cli_refused(cli, "lot use L27-001:5mL --for 1", 1, "sprayed on or after 1 May 2027");
}

/* Who looks at a bottle sees all that stops it, not only what was said of it last year. */
static void what_comes_from_afar_is_said_behind_what_holds_the_bottle_itself(void **state)
{
    struct cli *cli = *state;
    json_t *trace;

    bottled(cli);
    cli_ok(cli, "lot hold L27-001 --why 'cloudy'");
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --source 'the tenant' --on 2027-05-10");
    cli_refused(cli, "lot use L27-001:5mL --for 1", 1, "cloudy; comes of H27-001, which is held");
    /* The note holds all of it and goes when it is struck: nothing is written on top. */
    trace = cli_json(cli, "trace 'Withy Gill' --sprayed 2027-05 --withdraw --json");
    assert_int_equal(json_array_size(json_object_get(trace, "withdrawn")), 0);
    assert_int_equal(json_array_size(json_object_get(trace, "held")), 0);
    json_decref(trace);
}

static void a_harvest_cannot_be_moved_onto_closed_days(void **state)
{
    struct cli *cli = *state;

    bottled(cli);
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 1kg --stage 35 --on 2027-06-01");
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --source 'the tenant' --on 2027-06-04");
    cli_refused(cli, "amend H27-002 --on 2027-06-05 --why typo", 4, "closed");
    cli_ok(cli, "amend H27-002 --on 2027-06-02 --why typo");
    /* a day of which nobody knows anything: it is kept, and held as it would have been */
    cli_ok(cli, "amend H27-002 --on 2027-01-02 --why typo");
    cli_ok(cli, "harvest list --json");
    assert_non_null(strstr(cli->out, "\"held\":\"ask: "));
}

static void contaminated_ground_names_what_was_taken(void **state)
{
    struct cli *cli = *state;

    bottled(cli);
    cli_ok(cli, "site edit 'Withy Gill' --contaminated 'lead in the soil'");
    assert_non_null(strstr(cli->err, "H27-001"));
    assert_non_null(strstr(cli->err, "L27-001"));
    cli_ok(cli, "site edit 'Withy Gill' --remark 'by the beck'");
    assert_null(strstr(cli->err, "H27-001"));
}

static void herb_that_was_put_up_is_no_marc(void **state)
{
    struct cli *cli = *state;

    cli_ok(cli, "purchase add nettle/leaf --weight 100g --dry --supplier 'Ash Beck Herbs'");
    cli_ok(cli, "batch start dried-herb --from P27-001");
    cli_ok(cli, "batch press B27-001 --yield 70g");
    cli_refused(cli, "batch start tincture --from B27-001:100g " T60, 1, "30 g is left");
    cli_ok(cli, "batch start tincture --from B27-001:20g " T60 " --liquid 200mL");
    cli_ok(cli, "discard B27-001 --why 'stalks'");
    cli_refused(cli, "batch start tincture --from B27-001 " T60, 1, "nothing is left of its marc");
    cli_ok(cli, "book check");
}

/* Common practice, no source: herb that is bought fresh is named by who buys it; dried herb without
 * the supplier's number cannot be traced to who named it. */
static void what_is_bought_beside_a_deadly_plant_is_named(void **state)
{
    struct cli *cli = *state;

    cli_ok(cli, "purchase add valerian/root --weight 500g --supplier 'Ash Beck Herbs'");
    assert_non_null(strstr(cli->err, "deadly look-alike"));
    cli_refused(cli, "batch start tincture --from P27-001:100g " T60, 1, "deadly look-alike");
    cli_ok(cli, "amend P27-001 --named-by Mara --signs 'the smell, chambered not' --why asked");
    cli_ok(cli, "batch start tincture --from P27-001:100g " T60);
    cli_ok(cli, "purchase add valerian/root --weight 500g --dry --supplier 'Ash Beck Herbs'");
    cli_refused(cli, "batch start tincture --from P27-002:50g " T60, 1, "deadly look-alike");
    cli_ok(cli, "amend P27-002 --number 114 --why 'on the bag'");
    cli_ok(cli, "batch start tincture --from P27-002:50g " T60);
}

/* The water of fresh flowers settles when the oil was strained: that step is done then. */
static void oil_is_poured_off_its_water_after_the_pressing(void **state)
{
    struct cli *cli = *state;
    json_t *batch;
    gboolean seen = FALSE;

    cli->today = "2027-08-14";
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "spray note 'Withy Gill' --kind unsprayed --source 'the tenant' --on 2027-07-01 "
                "--since 2020-01-01");
    cli_ok(cli, "harvest add 'Withy Gill' st-johns-wort/flower --weight 200g --stage 65 --on "
                "2027-07-03 --named-by Mara --signs 'bleeds red'");
    cli_ok(cli, "batch start infused-oil --from H27-001:100g --jar 1L --liquid 500mL --outside "
                "--on 2027-07-03");
    cli_ok(cli, "batch list");
    assert_non_null(strstr(cli->out, "2027-07-03  2027-08-07")); /* 35 days: as its step says */
    cli_ok(cli, "batch press B27-001 --yield 450mL --on 2027-08-12");
    batch = cli_json(cli, "batch show B27-001 --json");
    for (size_t i = 0; i < json_array_size(json_object_get(batch, "steps")); i++) {
        const json_t *step = json_array_get(json_object_get(batch, "steps"), i);

        if (!g_str_equal(json_text(step, "step"), "decant"))
            continue;
        assert_string_equal(json_text(step, "due"), "2027-08-14"); /* two days after, as 42 - 40 */
        assert_true(json_is_null(json_object_get(step, "done")));
        seen = TRUE;
    }
    assert_true(seen);
    json_decref(batch);
    cli_ok(cli, "batch step B27-001 decant --on 2027-08-14");
    cli_refused(cli, "batch step B27-001 shake --on 2027-08-14", 1, "was pressed");
    cli->today = CLI_TODAY;
}

/* Held is quarantine: what is fresh is covered within hours, and nothing of it leaves. */
static void work_goes_on_on_what_is_held_and_nothing_leaves(void **state)
{
    struct cli *cli = *state;

    bottled(cli);
    cli_ok(cli, "site add Kell --at 54.7012,-2.5871 --elevation 210 --accuracy 10");
    cli_ok(cli, "harvest add Kell nettle/leaf --weight 1kg --stage 35 --on 2027-05-25");
    cli_ok(cli, "batch start tincture --from H27-002:100g " T60 " --on 2027-05-25");
    assert_non_null(strstr(cli->err, "held with it"));
    cli_ok(cli, "batch step B27-002 top-up --liquid 10mL --on 2027-05-26");
    cli_ok(cli, "dry start --from H27-002:200g --on 2027-05-25");
    cli_ok(cli, "dry finish D27-001 --weight 45g --on 2027-05-29");
    cli_ok(cli, "discard H27-002 50g --why 'brown'");
    /* joined with what is free: refused at every door */
    cli_refused(cli, "batch add B27-002 --from H27-001:20g --on 2027-05-26", 1, "not put together");
    cli_ok(cli, "batch start tincture --from H27-001:100g " T60 " --on 2027-05-27");
    cli_refused(cli, "batch add B27-003 --from H27-002:20g --on 2027-05-27", 1, "not put together");
    cli_refused(cli, "batch press B27-002 B27-003 --yield 390mL --yield 390mL", 1,
                "not put together");
    cli_refused(cli, "batch start tincture --from L27-001:50mL --from D27-001:10g " T60, 1,
                "not put together");
    cli_refused(cli, "dry start --from H27-001:20g --from H27-002:20g", 1, "not put together");
    cli_ok(cli, "batch press B27-002 --yield 390mL");
    assert_non_null(strstr(cli->err, "the lot is held"));
    cli_refused(cli, "lot use L27-002:5mL --for 3", 1, "held");
    /* and of a held lot work may go on, held as it is */
    cli_ok(cli, "batch start tincture --from L27-002:50mL --from D27-001:10g " T60);
    cli_ok(cli, "batch press B27-004 --yield 300mL");
    cli_refused(cli, "lot use L27-003:5mL --for 3", 1, "held");
    /* one good answer at the root frees it all */
    cli_ok(cli, "harvest release H27-002 --evidence 'the owner was asked'");
    cli_ok(cli, "lot use L27-002:5mL --for 3");
    cli_ok(cli, "lot use L27-003:5mL --for 3");
}

static void a_jar_whose_marc_is_in_another_does_not_stand_again(void **state)
{
    struct cli *cli = *state;

    bottled(cli);
    cli_ok(cli, "batch start tincture --from B27-001:100g --liquid 200mL " T60);
    cli_refused(cli, "strike L27-001 --why 'misread'", 1, "marc of B27-001");
    cli_ok(cli, "batch list --json");
    assert_non_null(strstr(cli->out, "pressed "));
    assert_null(strstr(cli->out, "stands since 25 May"));
}

static void what_came_of_a_withdrawn_lot_is_held_with_it(void **state)
{
    struct cli *cli = *state;
    json_t *lot;

    bottled(cli);
    cli_ok(cli, "batch start tincture --from H27-001:50g --liquid 250mL " T60 " --on 2027-05-25");
    cli_ok(cli, "batch add B27-002 --from L27-001:100mL --on 2027-06-12");
    cli_ok(cli, "batch press B27-002 --yield 300mL --on 2027-06-18");
    cli_ok(cli, "lot withdraw L27-001 --why mould");
    assert_non_null(strstr(cli->err, "L27-002"));
    cli_refused(cli, "lot use L27-002:5mL --for 3", 1,
                "comes of L27-001, which is withdrawn (mould)");
    cli_ok(cli, "lot list");
    assert_non_null(strstr(cli->out, "held"));
    lot = cli_json(cli, "lot list --json");
    assert_string_equal(json_text(json_array_get(lot, 1), "state"), "held");
    json_decref(lot);
    lot = cli_json(cli, "lot show L27-002 --json");
    assert_string_equal(json_text(lot, "state"), "held");
    json_decref(lot);
}

static void what_frees_a_lot_frees_what_came_of_it(void **state)
{
    struct cli *cli = *state;

    bottled(cli);
    cli_ok(cli, "batch start tincture --from H27-001:50g --liquid 250mL " T60 " --on 2027-05-25");
    cli_ok(cli, "batch add B27-002 --from L27-001:100mL --on 2027-06-12");
    cli_ok(cli, "batch press B27-002 --yield 300mL --on 2027-06-18");
    cli_ok(cli, "lot hold L27-001 --why 'smells odd'");
    cli_refused(cli, "lot use L27-002:5mL --for 3", 1, "smells odd");
    /* the mixture was looked at on its own: it goes out, the other does not */
    cli_ok(cli, "lot release L27-002 --why 'looked at: sound'");
    cli_ok(cli, "lot use L27-002:5mL --for 3");
    cli_refused(cli, "lot use L27-001:5mL --for 3", 1, "smells odd");
    /* held once more: newer than that answer */
    cli_ok(cli, "lot hold L27-001 --why 'a second nose says so'");
    cli_refused(cli, "lot use L27-002:5mL --for 3", 1, "second nose");
    cli_ok(cli, "lot release L27-001 --why 'it was the cloth'");
    cli_ok(cli, "lot use L27-001:5mL --for 3");
    cli_ok(cli, "lot use L27-002:5mL --for 3");
}

/* A program reads which bottles to pull, not a sentence. */
static void a_late_spraying_brings_codes(void **state)
{
    struct cli *cli = *state;
    const json_t *touched;
    json_t *note;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli,
           "harvest add 'Withy Gill' nettle/leaf --weight 400g --stage rosette --on 2027-06-01");
    cli_ok(cli, "dry start --from H27-001:150g --on 2027-06-01");
    note = cli_json(cli,
                    "spray note 'Withy Gill' --kind sprayed --on 2027-05-25 --source seen --json");
    touched = json_object_get(note, "touched");
    assert_int_equal(json_array_size(touched), 2);
    assert_string_equal(json_text(json_array_get(touched, 0), "code"), "H27-001");
    assert_string_equal(json_text(json_array_get(touched, 0), "kind"), "harvest");
    expect_near(json_number(json_array_get(touched, 0), "left_g"), 250, 0, "g");
    assert_string_equal(json_text(json_array_get(touched, 1), "code"), "D27-001");
    assert_string_equal(json_text(json_array_get(touched, 1), "kind"), "drying");
    assert_string_equal(json_text(json_array_get(touched, 1), "harvest"), "H27-001");
    json_decref(note);
    /* What was picked before it is no matter of it. */
    note = cli_json(cli,
                    "spray note 'Withy Gill' --kind sprayed --on 2027-06-10 --source seen --json");
    assert_int_equal(json_array_size(json_object_get(note, "touched")), 0);
    json_decref(note);
}

/* The whole story: a spraying of May that becomes known in June, through a drying, two jars, a
 * mixture and three references; then the note was meant for another verge. */
static void ground_that_comes_to_light_late_holds_by_itself(void **state)
{
    struct cli *cli = *state;
    json_t *today;

    bottled(cli); /* of 25 May: B27-001, L27-001 */
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 1kg --stage 35 --on 2027-05-19 "
                "--remark 'the day before'");
    cli_ok(cli, "dry start --from H27-001:400g --on 2027-05-25");
    cli_ok(cli, "dry finish D27-001 --weight 90g --on 2027-05-30");
    cli_ok(cli, "batch start tincture --from D27-001:50g " T60 " --on 2027-06-01");
    cli_ok(cli, "batch start tincture --from H27-001:50g --liquid 250mL " T60 " --on 2027-05-25");
    cli_ok(cli, "batch add B27-003 --from L27-001:100mL --on 2027-06-12");
    cli_ok(cli, "batch press B27-002 B27-003 --yield 250mL --yield 300mL --on 2027-06-18");
    cli_ok(cli, "lot use L27-001:20mL --for 1203 --on 2027-06-12");
    cli_ok(cli, "lot use L27-002:20mL --for 1077 --on 2027-06-19");
    cli_ok(cli, "lot use L27-002:20mL --for 1042 --on 2027-06-19");
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --source 'the tenant' --on 2027-05-20");
    /* no trace was asked for, nothing else was said: it is held */
    cli_refused(cli, "lot use L27-001:5mL --for 3", 1, "sprayed on the site");
    cli_refused(cli, "lot use L27-002:5mL --for 3", 1, "comes of H27-001");
    cli_refused(cli, "batch start tincture --from H27-001:20g " T60 " --on 2027-05-25", 1, "held");
    cli_refused(cli, "batch start tincture --from D27-001:20g " T60, 1, "held");
    cli_ok(cli, "batch start tincture --from H27-002:20g " T60 " --on 2027-05-19");
    cli_refused(cli, "batch add B27-004 --from L27-001:20mL", 1, "sprayed on the site");
    cli_ok(cli, "harvest list");
    assert_non_null(strstr(cli->out, "sprayed on the site"));
    today = cli_json(cli, "batch show B27-003 --json");
    assert_non_null(strstr(json_text(today, "held"), "comes of H27-001"));
    json_decref(today);
    cli_ok(cli, "harvest show H27-001");
    assert_non_null(strstr(cli->out, "sprayed on the site"));
    cli_ok(cli, "lot list");
    assert_null(strstr(cli->out, "on the shelf"));
    today = cli_json(cli, "--json");
    assert_true(has(json_object_get(today, "stops"), "what", "L27-001"));
    assert_true(has(json_object_get(today, "stops"), "what", "L27-002"));
    json_decref(today);
    /* a word that it is not sprayed, of a later day, does not lift it */
    cli_ok(cli, "spray note 'Withy Gill' --kind unsprayed --source 'his son' --on 2027-06-20 "
                "--since 2020-01-01");
    cli_refused(cli, "lot use L27-001:5mL --for 3", 1, "sprayed on the site");
    /* it was another verge: all of it is free */
    cli_ok(cli, "strike N27-002 --why 'meant for another verge'");
    cli_ok(cli, "lot use L27-001:5mL --for 3");
    cli_ok(cli, "lot use L27-002:5mL --for 3");
    cli_ok(cli, "batch start tincture --from D27-001:20g " T60);
    today = cli_json(cli, "--json");
    assert_int_equal(json_array_size(json_object_get(today, "stops")), 0);
    json_decref(today);
}

/* The rule that one answers what one knows: a doubt that is raised after the bottling asks about
 * the bottle and holds the rest. */
static void a_doubt_that_comes_late_asks_about_bottles_and_holds_the_rest(void **state)
{
    struct cli *cli = *state;
    json_t *harvest;

    bottled(cli);
    /* the word on which the picking stood is taken back */
    cli_ok(cli, "strike N27-001 --why 'he meant the upper field'");
    harvest = cli_json(cli, "harvest show H27-001 --json");
    assert_non_null(strstr(json_text(harvest, "held"), "ask: "));
    json_decref(harvest);
    cli_ok(cli, "lot use L27-001:5mL --for 3"); /* bottled before it was known */
    cli_ok(cli,
           "batch start tincture --from H27-001:50g " T60 " --on 2027-05-25"); /* work goes on */
    cli_ok(cli, "batch press B27-002 --yield 300mL");
    cli_refused(cli, "lot use L27-002:5mL --for 3", 1, "comes of H27-001");
    /* a word that covers the day of the picking frees it, without a release */
    cli_ok(cli, "spray note 'Withy Gill' --kind unsprayed --source 'the tenant' --on 2027-06-19 "
                "--since 2020-01-01");
    cli_ok(cli, "lot use L27-002:5mL --for 3");
}

static void what_happens_later_says_nothing_of_an_earlier_picking(void **state)
{
    struct cli *cli = *state;

    bottled(cli);
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --source 'the tenant' --on 2027-06-04");
    cli_ok(cli, "hazard add 'the field' --method boom --at 54.6012,-2.5871 --radius 50m --on "
                "2027-06-05");
    cli_ok(cli, "lot use L27-001:5mL --for 3");
    cli_ok(cli, "harvest list --json");
    assert_non_null(strstr(cli->out, "\"held\":null"));
}

static void contaminated_ground_holds_what_was_taken(void **state)
{
    struct cli *cli = *state;

    bottled(cli);
    cli_ok(cli, "site edit 'Withy Gill' --contaminated 'lead in the soil'");
    cli_refused(cli, "lot use L27-001:5mL --for 3", 1, "lead in the soil");
    cli_ok(cli, "lot release L27-001 --why 'the laboratory found none: report 77'");
    cli_ok(cli, "lot use L27-001:5mL --for 3");
    cli_refused(cli, "batch start tincture --from H27-001:20g " T60 " --on 2027-05-25", 1,
                "lead in the soil");
    /* said again after that answer: a newer one */
    cli_ok(cli, "site edit 'Withy Gill' --contaminated 'lead and arsenic'");
    cli_refused(cli, "lot use L27-001:5mL --for 3", 1, "arsenic");
}

static void what_was_thrown_away_is_told_with_the_lot(void **state)
{
    struct cli *cli = *state;
    json_t *events;

    bottled(cli);
    cli_ok(cli, "lot count L27-001 390mL --on 2027-06-18");
    cli_ok(cli, "discard L27-001 50mL --why spilt --on 2027-06-15");
    events = list_of(cli, "lot show L27-001 --json", "events");
    assert_int_equal(json_array_size(events), 2);
    assert_string_equal(json_text(json_array_get(events, 0), "kind"), "discard");
    assert_string_equal(json_text(json_array_get(events, 0), "why"), "spilt");
    expect_near(json_number(json_array_get(events, 0), "difference"), -50, 0.01, "mL");
    assert_string_equal(json_text(json_array_get(events, 1), "kind"), "count");
    json_decref(events);
}

static const struct CMUnitTest tests[] = {
    cli_test(what_was_thrown_away_is_told_with_the_lot),
    cli_test(ground_that_comes_to_light_late_holds_by_itself),
    cli_test(a_doubt_that_comes_late_asks_about_bottles_and_holds_the_rest),
    cli_test(what_happens_later_says_nothing_of_an_earlier_picking),
    cli_test(contaminated_ground_holds_what_was_taken),
    cli_test(a_late_spraying_brings_codes),
    cli_test(work_goes_on_on_what_is_held_and_nothing_leaves),
    cli_test(oil_is_poured_off_its_water_after_the_pressing),
    cli_test(what_is_bought_beside_a_deadly_plant_is_named),
    cli_test(what_came_of_a_withdrawn_lot_is_held_with_it),
    cli_test(what_frees_a_lot_frees_what_came_of_it),
    cli_test(a_trace_says_to_whom_it_went),
    cli_test(what_went_out_cannot_be_struck),
    cli_test(a_trace_goes_through_struck_records_and_marks_them),
    cli_test(a_recall_holds_what_is_held_for_a_milder_reason_too),
    cli_test(a_recall_is_written_beside_what_holds_for_another_cause),
    cli_test(what_comes_from_afar_is_said_behind_what_holds_the_bottle_itself),
    cli_test(a_harvest_cannot_be_moved_onto_closed_days),
    cli_test(contaminated_ground_names_what_was_taken),
    cli_test(herb_that_was_put_up_is_no_marc),
    cli_test(a_jar_whose_marc_is_in_another_does_not_stand_again),
};
expect_main(tests)
