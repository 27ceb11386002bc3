/* SPDX-License-Identifier: MIT
 *
 * Bad input around batches and lots: one line that names the thing, the right exit status, the book
 * unchanged.
 */
#include "cli.h"

/* Ground that is clear, 190 g of dandelion flowers of 4 May and 300 g of leaves of 15 June. */
static void harvests(struct cli *cli)
{
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "spray note 'Withy Gill' --kind unsprayed --source 'the tenant' --on 2027-04-20 "
                "--since 2020-01-01");
    cli_ok(cli, "harvest add 'Withy Gill' dandelion/flower --weight 200g --garbled 190g --stage 61 "
                "--on 2027-05-04 --named-by Edda --signs 'milk, no hairs'");
    cli_ok(cli, "harvest add 'Withy Gill' dandelion/leaf --weight 300g --stage 69 --on 2027-06-15 "
                "--named-by Edda --signs 'milk, no hairs'");
}

static void strengths_over_a_hundred_and_targets_over_the_source_are_refused(void **state)
{
    struct cli *cli = *state;

    harvests(cli);
    cli_refused(cli, "dilute 140% 40% --make 1L", 2, "140%");
    cli_refused(cli, "dilute 96% 104% --make 1L", 2, "104%");
    cli_refused(cli, "dilute 40% 60% --make 1L", 1, "stronger spirit");
    cli_refused(cli, "dilute 96% 40%", 2, "--make");
    cli_refused(cli, "dilute 96% 40% --make 1", 2, "unit");
    cli_refused(cli, "need dandelion/flower tincture --jar 500mL --strength 140%", 2, "140%");
    cli_refused(cli, "need dandelion/flower tincture --jar 500mL --ratio 1:1 --final 60%", 1,
                "not reachable even with absolute alcohol");
    cli_refused(cli,
                "batch start tincture --from H27-001:50g --on 2027-05-04 --jar 500mL --menstruum "
                "'spirit 140%'",
                2, "140%");
    cli_refused(
        cli,
        "batch start tincture --from H27-001:50g --on 2027-05-04 --jar 500mL --menstruum spirit", 2,
        "how strong");
}

static void what_cannot_fit_the_jar_is_refused(void **state)
{
    struct cli *cli = *state;

    harvests(cli);
    cli_refused(cli,
                "batch start tincture --from H27-001:50g --on 2027-05-04 --jar 500mL --ratio 1:20",
                1, "room for 520 mL");
    cli_refused(cli, "batch start tincture --from H27-001:190g --on 2027-05-04 --jar 100mL", 1,
                "larger jar");
    cli_refused(
        cli, "batch start tincture --from H27-001:50g --on 2027-05-04 --jar 500mL --liquid 600mL",
        1, "larger jar");
    cli_refused(cli, "need dandelion/flower tincture --jar 500mL --ratio 1:0.01", 1, "cover");
    cli_refused(cli, "need birch/sap tincture --jar 500mL --dry", 1, "goes in fresh");
    cli_refused(cli, "need dandelion/flower tincture --jar 500mL --yield 1L", 2, "one way");
    cli_refused(cli, "need dandelion/flower tincture", 2, "one way");
    cli_refused(cli, "need dandelion/flower tincture --jar pint", 2, "pint");
    cli_refused(cli, "need dandelion/flower tincture --jar 500mL --press hydralic", 1, "hydraulic");
}

static void presses_that_cannot_be_are_refused(void **state)
{
    struct cli *cli = *state;

    harvests(cli);
    cli_ok(cli, "batch start tincture --from H27-001:87g --jar 500mL --on 2027-05-04");
    cli_ok(cli, "batch start vinegar --from H27-002:87g --jar 500mL --on 2027-06-15");
    cli_ok(cli, "batch start tincture --from H27-002:87g --jar 500mL --on 2027-06-15");
    cli_refused(cli, "batch press B27-001", 2, "--yield");
    cli_refused(cli, "batch press B27-001 --yield 0mL", 2, "--yield");
    cli_refused(cli, "batch press B27-001 --yield -5mL", 2, "--yield");
    cli_refused(cli, "batch press B27-001 --yield 900mL", 1, "no more than");
    cli_refused(cli, "batch press B27-001 --yield 100g", 2, "millilitres");
    cli_refused(cli, "batch press B27-001 B27-001 --yield 100mL", 2, "twice");
    cli_refused(cli, "batch press B27-001 B27-002 --yield 100mL", 1, "by itself");
    cli_refused(cli, "batch press B27-001 B27-003 --yield 1mL --yield 2mL --yield 3mL", 2,
                "3 yields");
    cli_refused(cli, "batch press B27-001 B27-003 --yield 390mL --yield 9g", 2, "grams");
    cli_refused(cli, "batch press B27-001 B27-003 --parts 1 --yield 390mL --yield 390mL", 2,
                "--parts");
    cli_refused(cli, "batch press B27-001 B27-003 --parts 1:1:1 --yield 390mL --yield 390mL", 2,
                "--parts");
    cli_refused(cli, "batch press B27-001 B27-003 --parts 1:0 --yield 390mL --yield 390mL", 2,
                "--parts");
    cli_refused(cli, "batch press B27-001 --yield 390mL --on 2027-05-01", 2, "B27-001");
    cli_refused(cli, "batch press B27-009 --yield 390mL", 1, "B27-009");
    cli_ok(cli, "batch press B27-001 --yield 390mL");
    cli_refused(cli, "batch press B27-001 --yield 390mL", 1, "pressed again");
    cli_refused(cli, "batch step B27-001 shake", 1, "pressed");
    cli_refused(cli, "batch add B27-001 --liquid 10mL", 1, "pressed");
    cli_refused(cli, "batch step B27-003 strain", 2, "press the batch");
    cli_refused(cli, "batch step B27-003 stirr", 2, "shake");
    cli_refused(cli, "batch step B27-003 shake --on 2027-06-01", 2, "later");
    cli_refused(cli, "batch add B27-003", 2, "--from");
    cli_refused(cli, "batch add B27-003 --liquid 400mL", 1, "larger jar");
}

static void more_out_than_in_is_refused_everywhere(void **state)
{
    struct cli *cli = *state;

    harvests(cli);
    cli_refused(cli, "batch start tincture --from H27-001:250g --on 2027-05-04 --jar 2L", 1,
                "190 g are left");
    cli_ok(cli, "batch start tincture --from H27-001:87g --jar 500mL --on 2027-05-04");
    cli_refused(cli, "batch start tincture --from H27-001:110g --on 2027-05-04 --jar 1L", 1,
                "103 g are left");
    cli_refused(
        cli, "batch start tincture --from H27-001:60g --on 2027-05-04 --from H27-001:60g --jar 1L",
        1, "43 g are left");
    cli_ok(cli, "batch press B27-001 --yield 390mL");
    cli_refused(cli, "lot use L27-001:391mL", 1, "390 mL are left");
    cli_ok(cli, "lot use L27-001:200mL --for 12");
    cli_refused(cli, "lot use L27-001:100mL L27-001:100mL --for 12", 1, "90 mL are left");
    cli_refused(cli, "lot use L27-001:1g", 2, "mL");
    cli_refused(cli, "lot use L27-001", 2, "how much");
    cli_refused(cli, "lot use L27-001:10mL --for 'Ada Someone'", 2, "never a name");
    cli_refused(cli, "lot use L27-001:10mL --on 2027-05-05", 2, "made on");
    cli_refused(cli, "discard L27-001 500mL --why spilt", 1, "are there");
    cli_refused(cli, "discard H27-001 500g --why brown", 1, "are there");
    cli_refused(cli, "discard H27-001 5mL --why brown", 2, "in g");
    cli_refused(cli, "discard H27-001", 2, "--why");
    cli_refused(cli, "batch start tincture --from B27-001:90g --liquid 200mL", 1, "87 g");
    cli_refused(cli, "batch start tincture --from L27-001:300mL", 1, "190 mL are left");
    cli_refused(cli, "dry start --from H27-001:104g", 1, "103 g are left");
    cli_refused(cli, "strike H27-001 --why x", 1, "drawn on it");
    cli_refused(cli, "amend H27-001 --garbled 80g --why x", 1, "7 g more");
    cli_refused(cli, "amend H27-001 --on 2027-05-20 --why x", 1, "that went into it");
    cli_ok(cli, "amend H27-001 --on 2027-05-03 --why 'the day before'");
}

static void days_before_the_source_are_refused(void **state)
{
    struct cli *cli = *state;

    harvests(cli);
    cli_refused(cli, "batch start tincture --from H27-001:50g --jar 500mL --on 2027-05-03", 2,
                "H27-001");
    cli_refused(cli, "batch start tincture --from H27-001:50g --jar 500mL --on 2027-06-21", 2,
                "after today");
    cli_refused(cli, "dry start --from H27-002:50g --on 2027-06-14", 2, "H27-002");
    cli_ok(cli, "batch start tincture --from H27-001:50g --jar 500mL --on 2027-05-04");
    cli_refused(cli, "batch add B27-001 --from H27-002:10g --on 2027-06-14", 2, "H27-002");
}

static void a_batch_cannot_be_made_of_what_it_made(void **state)
{
    struct cli *cli = *state;

    harvests(cli);
    cli_ok(cli, "batch start tincture --from H27-001:87g --jar 500mL --on 2027-05-04");
    cli_ok(cli, "batch press B27-001 --yield 390mL --on 2027-06-16");
    cli_ok(cli, "batch start tincture --from L27-001:100mL --jar 1L --on 2027-06-16");
    cli_ok(cli, "batch start tincture --from H27-002:87g --jar 1L --liquid 400mL --on 2027-06-16");
    cli_ok(cli, "batch press B27-002 --yield 100mL --on 2027-06-17");
    cli_ok(cli, "batch add B27-003 --from L27-002:50mL --on 2027-06-18");
    cli_ok(cli, "batch press B27-003 --yield 300mL --on 2027-06-19");
    /* L27-003 comes of B27-003, which came of L27-002, of B27-002, of L27-001. No way back in. */
    cli_refused(cli, "batch start tincture --from B27-009", 1, "B27-009");
    cli_ok(cli, "batch start tincture --from L27-003:50mL --jar 500mL --on 2027-06-19");
    cli_ok(cli, "batch start tincture --from L27-001:20mL --jar 500mL --on 2027-06-19");
    cli_ok(cli, "batch add B27-005 --from L27-003:20mL --on 2027-06-19");
    cli_refused(cli, "batch add B27-005 --from B27-005", 1, "unpressed");
}

static void spirit_that_must_not_be_drunk_is_for_outside_use_alone(void **state)
{
    struct cli *cli = *state;

    harvests(cli);
    cli_refused(cli,
                "batch start tincture --from H27-001:50g --on 2027-05-04 --jar 500mL --menstruum "
                "'isopropyl alcohol 70%'",
                1, "outside");
    cli_refused(cli,
                "batch start tincture --from H27-001:50g --on 2027-05-04 --jar 500mL --menstruum "
                "'denatured ethanol 90%' --hold 'I want it'",
                1, "outside");
    cli_ok(cli, "batch start tincture --from H27-001:50g --on 2027-05-04 --jar 500mL --menstruum "
                "'isopropyl alcohol 70%' --outside");
    cli_ok(cli, "batch press B27-001 --yield 400mL");
    /* and it stays so whatever is made of it */
    cli_refused(cli, "batch start tincture --from L27-001:100mL --jar 500mL", 1, "outside");
    cli_ok(cli, "batch start tincture --from L27-001:100mL --jar 500mL --outside");
}

static void weak_preservation_is_refused_with_its_cure(void **state)
{
    struct cli *cli = *state;

    harvests(cli);
    cli_refused(cli,
                "batch start vinegar --from H27-001:50g --on 2027-05-04 --jar 500mL --menstruum "
                "'our own cider vinegar'",
                1, "home-made");
    cli_refused(cli,
                "batch start vinegar --from H27-001:50g --on 2027-05-04 --jar 500mL --menstruum "
                "'cider vinegar 4%'",
                1, "at least 5 %");
    cli_refused(cli, "batch start infused-oil --from H27-001:50g --on 2027-05-04 --jar 500mL", 1,
                "botulism");
    /* On one's own judgement, in the cold and for days; roots and fruit not even so. */
    cli_ok(
        cli,
        "batch start infused-oil --from H27-001:50g --on 2027-05-04 --jar 500mL --hold 'I dare'");
    cli_ok(cli, "strike B27-001 --why 'thought better of it'");
    cli_refused(cli,
                "batch start tincture --from H27-001:100g --on 2027-05-04 --ratio 1:1 --menstruum "
                "'spirit 30%'",
                1, "(hold)");
    cli_refused(cli,
                "batch start glycerite --from H27-001:100g --on 2027-05-04 --ratio 1:1 --menstruum "
                "'glycerol 75%'",
                1, "glycerol");
    /* A reason lets the weak one through; its bottle is held. */
    cli_ok(cli, "batch start tincture --from H27-001:100g --on 2027-05-04 --ratio 1:1 --menstruum "
                "'spirit 30%' "
                "--hold 'for tomorrow'");
    cli_ok(cli, "batch press B27-002 --yield 50mL");
    cli_refused(cli, "lot use L27-001:10mL --for 1", 1, "held");
}

static void sources_that_may_not_be_drawn_on_are_refused(void **state)
{
    struct cli *cli = *state;

    harvests(cli);
    cli_refused(cli, "batch start tincture --jar 500mL", 2, "--from");
    cli_refused(cli, "batch start tinctur --from H27-001 --on 2027-05-04 --jar 500mL", 1,
                "tincture");
    cli_refused(cli, "batch start tincture --from nonsense --jar 500mL", 2, "H27-001");
    cli_refused(cli, "batch start tincture --from H27-001:5mL --on 2027-05-04 --jar 500mL", 2,
                "grams");
    cli_refused(cli, "batch start tincture --from H27-001:-5g --on 2027-05-04 --jar 500mL", 2,
                "-5g");
    cli_refused(cli, "batch start tincture --from H27-001:nang --on 2027-05-04 --jar 500mL", 2,
                "H27-001");
    cli_ok(cli, "site add 'Nobody Asked' --at 54.7,-2.7 --accuracy 5");
    cli_ok(cli, "harvest add 'Nobody Asked' nettle/leaf --weight 100g --stage 35 --on 2027-05-04");
    /* Work goes on on what is held, but never together with what is free. */
    cli_refused(
        cli,
        "batch start tincture --from H27-001:50g --from H27-003:50g --jar 500mL --on 2027-05-04", 1,
        "held");
    cli_ok(cli, "harvest release H27-003 --evidence 'the owner was asked'");
    cli_ok(cli, "batch start tincture --from H27-003 --jar 500mL --on 2027-05-04");
    /* A plant with a deadly look-alike needs who named it and by which signs. */
    cli_ok(cli, "harvest add 'Withy Gill' elder/flower --weight 100g --stage 65");
    cli_refused(cli, "batch start vinegar --from H27-004 --jar 1L", 1, "look-alike");
    cli_ok(cli, "amend H27-004 --named-by Edda --signs 'woody, corky bark' --why 'asked her'");
    cli_ok(cli, "batch start vinegar --from H27-004 --jar 1L");
    /* A root needs its stand marked when it could still be told. */
    cli_ok(cli, "harvest add 'Withy Gill' burdock/root --weight 200g --stage 93 --named-by Edda "
                "--signs 'burs beside it'");
    cli_refused(cli, "batch start tincture --from H27-005:50g --jar 500mL", 1, "was not marked");
    cli_ok(cli, "stand mark 'Withy Gill' burdock --seen leaf --on 2027-05-01");
    cli_ok(cli, "batch start tincture --from H27-005:50g --jar 500mL");
    cli_ok(cli, "strike B27-002 --why 'never made'");
    cli_refused(cli, "batch press B27-002 --yield 500mL", 1, "struck");
    /* What a struck batch drew is there again. */
    cli_ok(cli, "batch start vinegar --from H27-004:100g --jar 1L");
}

static void dryings_refuse_what_cannot_be(void **state)
{
    struct cli *cli = *state;

    harvests(cli);
    cli_refused(cli, "dry start", 2, "--from");
    cli_refused(cli, "dry start --from H27-001 --from H27-002", 1, "by itself");
    cli_ok(cli, "book set racks 1m2");
    cli_ok(cli, "dry start --from H27-002:200g --rack 0.8m2 --on 2027-06-15");
    cli_refused(cli, "dry start --from H27-002:100g --rack 0.8m2", 1, "m2");
    cli_refused(cli, "batch start infused-oil --from D27-001:50g --jar 500mL", 1, "not weighed");
    cli_refused(cli, "dry weigh D27-001 250g", 1, "does not gain");
    cli_ok(cli, "dry weigh D27-001 120g --on 2027-06-16");
    cli_refused(cli, "dry turn D27-001 --on 2027-06-15", 2, "2027-06-16");
    cli_refused(cli, "dry finish D27-001 --weight 30g --garbled 31g", 2, "--garbled");
    cli_ok(cli, "dry finish D27-001 --weight 30g --garbled 28g --on 2027-06-19");
    cli_refused(cli, "dry turn D27-001", 1, "taken down");
    cli_refused(cli, "dry start --from D27-001", 2, "D27-001");
    cli_refused(cli, "purchase add nettle/leaf --weight 100g", 2, "--supplier");
    cli_refused(cli, "purchase add nettle/leaf --supplier X --weight 5", 2, "unit");
}

static void lots_refuse_what_cannot_be(void **state)
{
    struct cli *cli = *state;

    harvests(cli);
    cli_ok(cli, "batch start tincture --from H27-001:87g --jar 500mL --on 2027-05-04");
    cli_ok(cli, "batch press B27-001 --yield 390mL");
    cli_refused(cli, "lot release L27-001 --why x", 1, "nothing to release");
    cli_refused(cli, "lot withdraw L27-001", 2, "--why");
    cli_ok(cli, "lot withdraw L27-001 --why 'the verge was sprayed'");
    cli_refused(cli, "lot use L27-001:5mL", 1, "withdrawn");
    cli_refused(cli, "batch start tincture --from L27-001:5mL --jar 500mL", 1, "withdrawn");
    cli_refused(cli, "lot withdraw L27-001 --why again", 1, "already");
    cli_refused(cli, "lot count L27-001 5g", 2, "millilitres");
    cli_refused(cli, "lot count L27-001 0L5", 2, "AMOUNT");
    cli_refused(cli, "lot count L27-001 -1mL", 2, "");
    cli_refused(cli, "lot use L27-001:0mL", 2, "");
    for (guint i = 0; i < 4; i++) {
        static const char *const nothing[] = {"0", "0mL", "0 ml", "0g"};
        g_autofree char *line =
            g_strdup_printf("lot count L27-001 '%s' --why spilt --json", nothing[i]);
        json_t *lot = cli_json(cli, line);

        assert_true(json_is_number(json_object_get(lot, "left_ml")));
        assert_true(json_number_value(json_object_get(lot, "left_ml")) == 0);
        json_decref(lot);
        cli_ok(cli, "lot count L27-001 50mL --why found");
    }
    cli_ok(cli, "lot release L27-001 --why 'the other verge it was'");
    cli_ok(cli, "lot use L27-001:5mL");
    cli->today = "2037-06-20";
    cli_refused(cli, "lot use L27-001:5mL", 1, "used by");
    cli->today = CLI_TODAY;
    cli_ok(cli, "discard L27-001 --why broken");
    cli_refused(cli, "lot use L27-001:5mL", 1, "destroyed");
    cli_refused(cli, "lot release L27-001 --why x", 1, "destroyed");
    cli_refused(cli, "discard L27-001 --why again", 1, "nothing is left");
    cli_refused(cli, "trace 'Withy Gill'", 2, "--sprayed");
    cli_refused(cli, "trace 'Wihty Gill' --sprayed 2027-05", 1, "Withy Gill");
    cli_refused(cli, "trace 'Withy Gill' --sprayed 2028-01", 2, "after today");
    cli_refused(cli, "trace L27-001 --within 5m", 2, "sprayed");
    cli_refused(cli, "trace L27-009", 1, "L27-009");
}

static const struct CMUnitTest tests[] = {
    cli_test(strengths_over_a_hundred_and_targets_over_the_source_are_refused),
    cli_test(what_cannot_fit_the_jar_is_refused),
    cli_test(presses_that_cannot_be_are_refused),
    cli_test(more_out_than_in_is_refused_everywhere),
    cli_test(days_before_the_source_are_refused),
    cli_test(a_batch_cannot_be_made_of_what_it_made),
    cli_test(spirit_that_must_not_be_drunk_is_for_outside_use_alone),
    cli_test(weak_preservation_is_refused_with_its_cure),
    cli_test(sources_that_may_not_be_drawn_on_are_refused),
    cli_test(dryings_refuse_what_cannot_be),
    cli_test(lots_refuse_what_cannot_be),
};
expect_main(tests)
