/* SPDX-License-Identifier: MIT
 *
 * More of what keeps people from harm, each rule with its honest way through: what was bought, what
 * honey and its kin bear, a season that is over, a table's own row.
 */
#include "cli.h"

/* Clear ground of one's own, and what was picked there two days ago. */
static void clear_ground(struct cli *cli)
{
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "spray note 'Withy Gill' --kind unsprayed --source 'the tenant' --on 2027-06-10 "
                "--since 2020-01-01");
}

/* Comfrey with foxglove in it came from a market (BMJ Case Reports 2016): what is bought fresh or
 * grown is named like what is picked; dried herb stands by its supplier's number. */
static void bought_and_garden_herb_with_deadly_kin_is_named(void **state)
{
    struct cli *cli = *state;

    cli_ok(cli, "purchase add ramsons/leaf --weight 200g --supplier 'a friend' --on 2027-06-19");
    cli_refused(cli, "batch start vinegar --from P27-001:50g --jar 500mL", 1, "deadly look-alike");
    cli_ok(cli, "amend P27-001 --named-by Edda --signs 'each leaf on its own stalk' --why 'seen'");
    cli_ok(cli, "batch start vinegar --from P27-001:50g --jar 500mL");
    cli_ok(cli, "purchase add comfrey/root --weight 200g --garden --on 2027-06-19");
    cli_refused(cli, "batch start infused-oil --from P27-002:50g --jar 500mL --outside", 1,
                "deadly look-alike");
    cli_ok(cli, "purchase add ramsons/leaf --weight 200g --dry --supplier 'a friend'");
    cli_refused(cli, "batch start vinegar --from P27-003:20g --jar 500mL", 1, "deadly look-alike");
    cli_ok(cli, "purchase add ramsons/leaf --weight 200g --dry --supplier 'Sallow Bank Herbs' "
                "--number SB-7");
    cli_ok(cli, "batch start vinegar --from P27-004:20g --jar 500mL");
}

/* Henderson 2002 (PMC1874438) has the first seven; the others are general knowledge of the
 * medicines that the same enzymes break down. */
static void st_johns_wort_names_what_it_weakens(void **state)
{
    static const char *const named[] = {"warfarin",
                                        "phenprocoumon",
                                        "ciclosporin",
                                        "HIV protease",
                                        "theophylline",
                                        "digoxin",
                                        "contraceptive",
                                        "apixaban",
                                        "amitriptyline",
                                        "imatinib",
                                        "SNRI",
                                        "morning-after",
                                        "pregnancy and breast-feeding: not enough is known"};
    struct cli *cli = *state;
    const char *said = cli_ok(cli, "need st-johns-wort/flower tincture --jar 100mL");

    for (gsize i = 0; i < G_N_ELEMENTS(named); i++)
        if (strstr(said, named[i]) == NULL)
            fail_msg("'%s' is not named", named[i]);
}

/* EMA on comfrey root, from memory: adults, whole skin, at most ten days. */
static void comfrey_is_for_ten_days_on_whole_skin(void **state)
{
    struct cli *cli = *state;
    const char *said = cli_ok(cli, "need comfrey/root tincture --jar 100mL");

    assert_non_null(strstr(said, "at most ten days"));
    assert_non_null(strstr(said, "whole skin"));
    assert_non_null(strstr(said, "children: not"));
}

/* The sums are those of tests/core/test_water.c. */
static void honey_takes_dried_herb_or_a_few_grams_of_fresh(void **state)
{
    struct cli *cli = *state;

    clear_ground(cli);
    cli_ok(cli, "harvest add 'Withy Gill' thyme --weight 200g --stage 61 --on 2027-06-19");
    cli_ok(cli, "harvest add 'Withy Gill' ramsons/leaf --weight 200g --stage 15 --on 2027-06-19 "
                "--named-by Edda --signs 'all of them'");
    /* 40 g in 100 g of honey (69.8 mL): a jar filled with fresh herb ferments. */
    cli_refused(cli,
                "batch start infused-honey --from H27-001:40g --liquid 69.8mL --menstruum "
                "'honey 17.1%, Skirra Bees, 3'",
                1, "of this herb fresh it bears 1.7 g up to 18 %");
    cli_refused(cli, "batch start infused-honey --from H27-001:40g --liquid 69.8mL --hold 'I dare'",
                1, "make an oxymel or a syrup");
    cli_refused(cli, "batch start infused-honey --from H27-002:1g --liquid 69.8mL", 1,
                "only dried through");
    /* 4 g of herb with 65.11 % water (USDA 02049): (17.1 + 2.6) / 102.6 = 19.2 % water. */
    assert_non_null(strstr(cli_ok(cli, "batch start infused-honey --from H27-001:4g --liquid "
                                       "69.8mL --menstruum 'honey 17.1%, Skirra Bees, 3'"),
                           "infused-honey"));
    assert_non_null(strstr(cli->err, "19.2 % water"));
    assert_non_null(strstr(cli->err, "keep it cold"));
    /* Honey that is wet itself ferments with nothing in it. */
    cli_ok(cli, "purchase add thyme --weight 50g --dry --supplier 'Sallow Bank Herbs' --number 7");
    cli_refused(cli,
                "batch start infused-honey --from P27-001:5g --liquid 70mL --menstruum 'honey "
                "20.5%, Skirra Bees, 4'",
                1, "ferments");
    cli_ok(cli, "batch start infused-honey --from P27-001:5g --liquid 70mL --menstruum 'honey "
                "17.1%, Skirra Bees, 3'");
    assert_non_null(strstr(cli->err, "17.1 % water (water activity 0.53)"));
}

/* Acid and honey together: 1:1, thyme fresh, cold, used soon. */
static void an_oxymel_of_fresh_thyme_goes_its_way(void **state)
{
    struct cli *cli = *state;
    json_t *lots;

    clear_ground(cli);
    cli_ok(cli, "harvest add 'Withy Gill' thyme --weight 120g --stage 61 --on 2027-06-19");
    cli_ok(cli, "batch start oxymel --from H27-001:100g --jar 500mL --menstruum 'cider vinegar 6%, "
                "Skirra Stores, 31' --on 2027-06-19");
    assert_non_null(strstr(cli->err, "yeasts can still grow: keep it cold"));
    lots = cli_json(cli, "batch press B27-001 --yield 330mL --json");
    assert_string_equal(json_text(json_array_get(lots, 0), "storage"), "refrigerator");
    assert_string_equal(json_text(json_array_get(lots, 0), "use_by"), "2027-08-19");
    json_decref(lots);
}

/* A jar's own last day ends with its pressing: the bottle has another. */
static void a_pressed_jar_and_its_bottle_do_not_name_two_days(void **state)
{
    struct cli *cli = *state;

    clear_ground(cli);
    cli_ok(cli, "harvest add 'Withy Gill' st-johns-wort/flower --weight 150g --stage 65 --on "
                "2027-06-18");
    cli_ok(cli, "batch start infused-oil --from H27-001:140g --jar 1L --on 2027-06-18 "
                "--menstruum 'olive oil, Skirra Stores, 7'");
    assert_non_null(strstr(cli_ok(cli, "batch show B27-001"), "use-by"));
    cli_ok(cli, "batch press B27-001 --yield 700mL");
    assert_null(strstr(cli_ok(cli, "batch show B27-001"), "use-by"));
    assert_non_null(strstr(cli->out, "decant")); /* which comes after the pressing */
    cli_ok(cli, "batch step B27-001 decant");
    assert_non_null(strstr(cli_ok(cli, "lot show L27-001"), "2027-10-18")); /* 120 days */
}

/* The almanac has ramsons leaves until April or May. */
static void a_season_that_is_over_is_said_at_the_log(void **state)
{
    struct cli *cli = *state;

    cli->today = "2027-09-12";
    clear_ground(cli);
    cli_ok(cli, "harvest add 'Withy Gill' ramsons/leaf --weight 100g --stage 15 --on 2027-06-10 "
                "--named-by Edda --signs 'all of them' --hold 'to see'");
    assert_non_null(strstr(cli->err, "the season of ramsons leaf here was mostly over on 2027-0"));
    cli_ok(cli, "harvest add 'Withy Gill' ramsons/leaf --weight 100g --stage 13 --on 2027-04-01 "
                "--named-by Edda --signs 'all of them' --hold 'to see'");
    assert_null(strstr(cli->err, "mostly over"));
}

/* A clear verdict says what was looked at. */
static void a_verdict_says_what_it_was_reckoned_from(void **state)
{
    struct cli *cli = *state;
    json_t *check;

    clear_ground(cli);
    check = cli_json(cli, "check 'Withy Gill' --json");
    assert_string_equal(json_text(check, "reckoned_from"), "0 layers; no roads known here");
    json_decref(check);
    cli_ok(cli, "hazard add 'Gill Road' --method road --at 54.6102,-2.5871"); /* 1 km off */
    assert_non_null(strstr(cli_ok(cli, "check 'Withy Gill'"),
                           "reckoned from 1 hazard set by hand; roads among them"));
    cli_ok(cli, "site add 'Far Moss' --at 55.6012,-2.5871 --accuracy 10"); /* 110 km off */
    (void)cli_run(cli, "check 'Far Moss'");
    assert_non_null(strstr(cli->out, "reckoned from 0 layers; no roads known here"));
}

/* No flag lifts the pyrrolizidine rule; a practitioner's own row does, with its source alone. */
static void a_rule_is_lifted_by_ones_own_row_with_its_source(void **state)
{
    struct cli *cli = *state;
    g_autofree char *folder = g_build_filename(cli->folder, "simpling", NULL);
    g_autofree char *path = g_build_filename(folder, "materials.csv", NULL);

    clear_ground(cli);
    cli_ok(cli, "harvest add 'Withy Gill' coltsfoot/leaf --weight 100g --stage 35 --on 2027-06-19");
#define START "batch start tincture --from H27-001:40g --jar 250mL"
    cli_refused(cli, START, 1, "--outside");
    cli_refused(cli, START " --hold 'I know it'", 1, "--outside");
    assert_int_equal(g_mkdir(folder, 0755), 0);
    assert_true(g_file_set_contents(path,
                                    "plant,part,outside_only,source\n"
                                    "coltsfoot,leaf,no,\n",
                                    -1, NULL));
    assert_int_equal(cli_run(cli, START), 1); /* without a source the row is left out, and said */
    assert_non_null(strstr(cli->err, "'outside_only': has no source"));
    assert_non_null(strstr(cli->err, "for outside use only"));
    assert_true(g_file_set_contents(path,
                                    "plant,part,outside_only,source\n"
                                    "coltsfoot,leaf,no,outside=analysis 114 of my own grown "
                                    "PA-free strain\n",
                                    -1, NULL));
    cli_ok(cli, START);
    cli_remove(path);
    cli_remove(folder);
}

/* Twelve wild plants are left alone; of twelve that were sown all may be cut. */
static void a_bed_of_twelve_may_give_all(void **state)
{
    struct cli *cli = *state;
    json_t *list;

    cli_ok(cli, "site add 'Withy Gill' --at 54.6012,-2.5871");
    cli_ok(cli, "stand set 'Withy Gill' lemon-balm --plants 12");
    list = cli_json(cli, "stand list --json");
    assert_int_equal(json_number(json_array_get(list, 0), "left_g"), 0);
    assert_non_null(strstr(json_text(json_array_get(list, 0), "note"), "fewer than 20"));
    json_decref(list);
    cli_refused(cli, "stand set 'Withy Gill' lemon-balm --grown --share 5%", 2,
                "go together with grown");
    cli_ok(cli, "stand set 'Withy Gill' lemon-balm --grown --plants 12");
    assert_non_null(strstr(cli->out, "12 plants, grown: all of it may be taken"));
    list = cli_json(cli, "stand list --json");
    assert_int_equal(json_number(json_array_get(list, 0), "left_g"),
                     json_number(json_array_get(list, 0), "grams"));
    assert_true(json_number(json_array_get(list, 0), "left_g") > 0);
    json_decref(list);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cli_test(bought_and_garden_herb_with_deadly_kin_is_named),
        cli_test(st_johns_wort_names_what_it_weakens),
        cli_test(comfrey_is_for_ten_days_on_whole_skin),
        cli_test(honey_takes_dried_herb_or_a_few_grams_of_fresh),
        cli_test(an_oxymel_of_fresh_thyme_goes_its_way),
        cli_test(a_pressed_jar_and_its_bottle_do_not_name_two_days),
        cli_test(a_season_that_is_over_is_said_at_the_log),
        cli_test(a_verdict_says_what_it_was_reckoned_from),
        cli_test(a_rule_is_lifted_by_ones_own_row_with_its_source),
        cli_test(a_bed_of_twelve_may_give_all),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
