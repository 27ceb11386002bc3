/* SPDX-License-Identifier: MIT
 *
 * What keeps people from harm, each rule with its honest way through, as a person meets it: herb
 * under oil, inside and outside, fruit that must be cooked, spirit, vinegar.
 */
#include "cli.h"

/* Clear ground of one's own, and what was picked there on the 18th of June, two days ago. */
static void harvests(struct cli *cli)
{
    static const char *const picked[] = {
        "ramsons/leaf --weight 280g --stage 15",   "calendula/flower --weight 500g --stage 65",
        "comfrey/leaf --weight 300g --stage 35",   "elder/fruit --weight 2kg --stage 89",
        "coltsfoot/leaf --weight 100g --stage 35", "st-johns-wort/flower --weight 400g --stage 61",
        "dandelion/leaf --weight 200g --stage 69",
    };

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "spray note 'Withy Gill' --kind unsprayed --source 'the tenant' --on 2027-06-10 "
                "--since 2020-01-01");
    for (gsize i = 0; i < G_N_ELEMENTS(picked); i++) {
        g_autofree char *line = g_strdup_printf("harvest add 'Withy Gill' %s --on 2027-06-18 "
                                                "--named-by Edda --signs 'all of them'",
                                                picked[i]);

        cli_ok(cli, line);
    }
}

#define OIL " --jar 500mL --menstruum 'olive oil, Skirra Stores, 7'"

/* Garlic in oil: Morse et al. 1990. 0.4 % lost on the rack, then 190 g called dry. */
static void garlic_that_is_not_dry_goes_into_no_oil(void **state)
{
    struct cli *cli = *state;

    harvests(cli);
    cli_refused(cli, "batch start infused-oil --from H27-001:80g" OIL, 1, "only dried through");
    cli_refused(cli, "batch start infused-oil --from H27-001:80g --hold 'I dare'" OIL, 1,
                "only dried through");
    cli_ok(cli, "dry start --from H27-001 --on 2027-06-18");
    cli_ok(cli, "dry weigh D27-001 279g --on 2027-06-19");
    cli_refused(cli, "batch start infused-oil --from D27-001:80g" OIL, 1, "only dried through");
    cli_refused(cli, "dry finish D27-001 --weight 190g", 1, "dried herb holds at most 15 %");
    cli_ok(cli, "dry finish D27-001 --weight 190g --sure");
    cli_refused(cli, "batch start infused-oil --from D27-001:80g" OIL, 1, "only dried through");
    cli_refused(cli, "batch start dried-herb --from D27-001", 1, "would mould");
    /* No hand can have found it dry. */
    cli_ok(cli, "dry test D27-001 --how crumbles");
    cli_refused(cli, "batch start infused-oil --from D27-001:80g" OIL, 1, "only dried through");
}

static void what_was_shown_to_be_dry_goes_into_oil(void **state)
{
    struct cli *cli = *state;

    harvests(cli);
    cli_ok(cli, "dry start --from H27-002:300g --on 2027-06-18");
    cli_ok(cli, "dry finish D27-001 --weight 46g");
    cli_refused(cli, "batch start infused-oil --from D27-001:40g" OIL, 1, "leaf crumbles");
    cli_ok(cli, "dry test D27-001 --how snaps"); /* the sign of a stem */
    cli_refused(cli, "batch start infused-oil --from D27-001:40g" OIL, 1, "leaf crumbles");
    cli_ok(cli, "dry test D27-001 --how crumbles");
    cli_ok(cli, "batch start infused-oil --from D27-001:40g" OIL);
    /* Or by two weighings, a day apart. */
    cli_ok(cli, "dry start --from H27-002:200g --on 2027-06-18");
    cli_ok(cli, "dry weigh D27-002 30g --on 2027-06-19");
    cli_ok(cli, "dry finish D27-002 --weight 29.8g --on 2027-06-20");
    cli_ok(cli, "batch start infused-oil --from D27-002:29g" OIL);
}

static void bought_herb_goes_into_oil_with_its_number(void **state)
{
    struct cli *cli = *state;

    harvests(cli);
    cli_ok(cli, "purchase add calendula/flower --weight 100g --dry --supplier 'Sallow Bank Herbs'");
    cli_refused(cli, "batch start infused-oil --from P27-001:40g" OIL, 1, "number");
    cli_ok(cli, "amend P27-001 --number SB-114 --why 'it stood on the bag'");
    cli_ok(cli, "batch start infused-oil --from P27-001:40g" OIL);
}

/* Two to four days in the cold, counted from the day on which it was put up, and held. */
static void fresh_herb_in_oil_has_its_own_steps_and_is_held(void **state)
{
    struct cli *cli = *state;
    json_t *batch, *lots;

    harvests(cli);
    cli_refused(cli, "batch start infused-oil --from H27-002:100g --on 2027-06-18" OIL, 1,
                "refrigerator from the first hour");
    batch = cli_json(cli, "batch start infused-oil --from H27-002:100g --on 2027-06-18 --hold "
                          "'for one patient, cold' --json" OIL);
    assert_string_equal(json_text(batch, "use_by"), "2027-06-22");
    json_decref(batch);
    assert_non_null(strstr(cli_ok(cli, "batch show B27-001"), "refrigerator from the first hour"));
    lots = cli_json(cli, "batch press B27-001 --yield 250mL --json");
    assert_string_equal(json_text(json_array_get(lots, 0), "use_by"), "2027-06-22");
    assert_string_equal(json_text(json_array_get(lots, 0), "state"), "held");
    json_decref(lots);
    cli_refused(cli, "lot use L27-001:20mL --for 1042", 1, "held");
    /* St John's wort is the named exception. */
    cli_ok(cli, "batch start infused-oil --from H27-006:100g --on 2027-06-18" OIL);
    /* What is wet with spirit is no dried herb either. */
    cli_ok(cli, "batch start tincture --from H27-007:80g --jar 500mL --on 2027-06-18");
    cli_ok(cli, "batch press B27-003 --yield 300mL");
    cli_refused(cli, "batch start infused-oil --from B27-003:40g" OIL, 1, "wet with spirit");
}

/* Comfrey and coltsfoot: EMA/HMPC/893108/2011; arnica: EMA/HMPC/198793/2012. */
static void what_is_for_outside_enters_nothing_for_inside(void **state)
{
    struct cli *cli = *state;

    harvests(cli);
    cli_refused(cli, "need comfrey/root syrup --jar 500mL", 1, "swallowed");
    cli_refused(cli, "need arnica/flower oxymel --jar 500mL", 1, "swallowed");
    cli_refused(cli, "batch start tincture --from H27-005:40g --jar 250mL --on 2027-06-18", 1,
                "--outside");
    cli_refused(cli, "batch start syrup --from H27-003:100g --outside --on 2027-06-18", 1,
                "swallowed");
    cli_refused(cli, "batch start oxymel --from H27-005:40g --on 2027-06-18", 1, "swallowed");
    cli_ok(cli, "batch start tincture --from H27-003:60g --jar 500mL --outside --on 2027-06-18");
    cli_ok(cli, "batch press B27-001 --yield 300mL");
    cli_refused(cli, "batch start vinegar --from L27-001:50mL --jar 500mL", 1, "--outside");
    cli_refused(cli, "batch start vinegar --from B27-001:20g --jar 500mL", 1, "--outside");
}

static void a_batch_is_narrowed_with_all_that_came_of_it_and_never_widened(void **state)
{
    struct cli *cli = *state;
    json_t *lot;

    harvests(cli);
    cli_ok(cli, "batch start tincture --from H27-007:80g --jar 500mL --on 2027-06-18");
    cli_ok(cli, "batch press B27-001 --yield 300mL");
    cli_ok(cli, "batch start tincture --from L27-001:100mL --jar 250mL");
    cli_ok(cli, "batch press B27-002 --yield 100mL");
    cli_ok(cli, "batch start tincture --from H27-006:40g --jar 250mL --on 2027-06-18");
    cli_ok(cli, "batch press B27-003 --yield 150mL");
    cli_ok(cli, "lot use L27-002:10mL L27-003:10mL --for 1042");
    cli_ok(cli, "amend B27-001 --outside --why 'the still sold denatured spirit'");
    for (int i = 1; i <= 2; i++) {
        g_autofree char *line = g_strdup_printf("lot show L27-00%d --json", i);

        lot = cli_json(cli, line);
        assert_true(json_is_true(json_object_get(lot, "outside")));
        assert_string_equal(json_text(lot, "state"), "on the shelf");
        json_decref(lot);
    }
    lot = cli_json(cli, "lot show L27-003 --json");
    assert_false(json_is_true(json_object_get(lot, "outside")));
    json_decref(lot);
    cli_refused(cli, "lot use L27-002:10mL L27-003:10mL --for 1042", 1, "one mixture");
    cli_ok(cli, "lot use L27-001:10mL L27-002:10mL --for 1042");
    assert_int_not_equal(cli_run(cli, "amend B27-001 --not-outside --why 'after all'"), 0);
}

/* CDC MMWR 1984 (raw juice, with leaves and stalks); 20 minutes: common advice. */
static void raw_elderberries_are_heated_dried_or_answered_for(void **state)
{
    struct cli *cli = *state;
    json_t *lots;

    harvests(cli);
    cli_refused(cli, "batch start tincture --from H27-004:200g --jar 1L --on 2027-06-18", 1,
                "--raw-by");
    cli_refused(cli, "batch start oxymel --from H27-004:200g --jar 1L --on 2027-06-18", 1,
                "--raw-by");
    cli_ok(cli, "dry start --from H27-004:300g --kind heated --minutes 19 --on 2027-06-18");
    cli_refused(cli, "batch start tincture --from D27-001:200g --jar 1L", 1, "--raw-by");
    cli_ok(cli, "dry start --from H27-004:300g --kind heated --minutes 20 --on 2027-06-18");
    cli_ok(cli, "batch start tincture --from D27-002:200g --jar 1L");
    cli_ok(cli, "batch start syrup --from H27-004:200g --on 2027-06-18"); /* it cooks */
    cli_ok(cli, "dry start --from H27-004:100g --kind frozen --on 2027-06-18");
    cli_refused(cli, "batch start vinegar --from D27-003:100g --jar 1L", 1, "--raw-by");
    cli_ok(cli, "batch start tincture --from D27-003:100g --jar 500mL --raw-by Edda");
    lots = cli_json(cli, "batch press B27-003 --yield 300mL --json");
    assert_string_equal(json_text(json_array_get(lots, 0), "raw"), "elderberries");
    json_decref(lots);
    lots = cli_json(cli, "batch press B27-001 --yield 300mL --json");
    assert_true(json_is_null(json_object_get(json_array_get(lots, 0), "raw")));
    json_decref(lots);
    cli_refused(cli, "dry start --from H27-004:100g --kind heated", 2, "--minutes");
    cli_refused(cli, "dry start --from H27-004:100g --minutes 20", 2, "--minutes");
    cli_refused(cli, "dry start --from H27-004:100g --kind frozen --rack 1m2", 2, "--rack");
    /* Three days old it is neither frozen nor heated. */
    cli_refused(cli, "dry start --from H27-004:100g --kind frozen --today 2027-06-21", 1,
                "picked 3 days before");
}

static char *last_batch(struct cli *cli)
{
    json_t *list = cli_json(cli, "batch list --json");
    char *code = g_strdup(json_string_value(
        json_object_get(json_array_get(list, json_array_size(list) - 1), "code")));

    json_decref(list);
    return code;
}

/* The words of the tables, in several languages; what is spelt nearly so; what is none of them. */
static void spirit_that_must_not_be_drunk_is_known_by_its_words(void **state)
{
    static const struct {
        const char *words, *says; /* NULL: taken */
    } rows[] = {
        {"Brennspiritus 94%", "must not be drunk"},
        {"alcool à brûler 90%", "must not be drunk"},
        {"IDA 96%", "must not be drunk"},
        {"SDA 40-B 95%", "must not be drunk"},
        {"hand sanitiser 70%", "must not be drunk"},
        {"Alcool Denaturato 90%", "must not be drunk"},
        {"white spirit 95%", "must not be drunk"},
        {"methilated spirit 90%", "spelt like"},
        {"isopropil 70%", "spelt like"},
        {"methanol 90%", "must not be drunk"},
        {"ethanol 90%", NULL},
        {"grain spirit 96%", NULL},
        {"spiritus vini 96%", NULL},
        {"Cipal brandy 40%", NULL},
    };
    struct cli *cli = *state;
    g_autofree char *code = NULL, *second = NULL;

    harvests(cli);
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *line =
            g_strdup_printf("batch start tincture --from H27-007:5g --liquid 25mL --on 2027-06-18 "
                            "--menstruum '%s, Ash Beck Still, 130'",
                            rows[i].words);

        if (rows[i].says != NULL)
            cli_refused(cli, line, 1, rows[i].says);
        else
            cli_ok(cli, line);
    }
    /* Nor may it come in second, behind spirit of one's own making. */
    cli_ok(cli, "batch start tincture --from H27-007:6g --liquid 30mL --on 2027-06-18 "
                "--menstruum 'our own spirit 50%'");
    code = last_batch(cli);
    second = g_strdup_printf("batch add %s --liquid 10mL --on 2027-06-18 --menstruum "
                             "'isopropyl 70%%, Skirra Stores, 9'",
                             code);
    cli_refused(cli, second, 1, "must not be drunk");
    cli_ok(cli, "batch start tincture --from H27-003:5g --liquid 25mL --on 2027-06-18 --outside "
                "--menstruum 'Brennspiritus 94%'");
}

static void home_made_vinegar_is_titrated(void **state)
{
    static const char *const own[] = {"home-made cider vinegar 5%", "homemade vinegar 5%",
                                      "own cider vinegar 5%", "hausgemachter Essig 5%"};
    struct cli *cli = *state;

    harvests(cli);
    for (gsize i = 0; i < G_N_ELEMENTS(own); i++) {
        g_autofree char *line = g_strdup_printf("batch start vinegar --from H27-007:5g --liquid "
                                                "50mL --on 2027-06-18 --menstruum '%s'",
                                                own[i]);

        cli_refused(cli, line, 1, "titrated");
    }
    /* Said for its supplier, too; what a shop calls its own is bought. */
    cli_refused(cli,
                "batch start vinegar --from H27-007:5g --liquid 50mL --on 2027-06-18 --menstruum "
                "'cider vinegar 5%, our own, 3'",
                1, "titrated");
    cli_ok(cli, "batch start vinegar --from H27-007:5g --liquid 50mL --on 2027-06-18 --menstruum "
                "'own-brand cider vinegar 5%, Skirra Stores, 30'");
#define OWN                                                                                        \
    "batch start vinegar --from H27-007:5g --liquid 50mL --on 2027-06-18 --menstruum "             \
    "'home-made cider vinegar 5.4%' --titrated '9.0 mL of 0.1 M lye for 1 mL'"
    cli_refused(cli, OWN, 2, "--titrated");
    cli_refused(cli, OWN " --titrated-on 2027-06-01", 2, "titrated");
    cli_refused(cli, OWN " --titrated-on 2027-06-30 --titrated-by Edda", 2, "--titrated-on");
    cli_ok(cli, OWN " --titrated-on 2027-06-01 --titrated-by Edda");
    cli_ok(cli, "batch start vinegar --from H27-007:5g --liquid 50mL --on 2027-06-18 --menstruum "
                "'cider vinegar 5%, Skirra Stores, 31'");
}

/* Bundesartenschutzverordnung, Anlage 1: arnica, and every gentian. */
static void what_the_law_protects_is_closed_wherever_it_grows(void **state)
{
    struct cli *cli = *state;
    json_t *check;

    harvests(cli);
    cli_ok(cli, "book set country DE");
    assert_int_equal(cli_run(cli, "check 'Withy Gill' arnica/flower"), 4);
    assert_int_equal(cli_run(cli, "check 'Withy Gill' gentian/root"), 4);
    cli_ok(cli, "check 'Withy Gill' nettle/leaf --full");
    cli_ok(cli, "check 'Withy Gill'"); /* the place itself is clear */
    check = cli_json(cli, "check 'Withy Gill' arnica/flower --json");
    assert_string_equal(json_text(check, "verdict"), "closed");
    assert_string_equal(json_text(json_array_get(json_object_get(check, "reasons"), 0), "verdict"),
                        "closed");
    json_decref(check);
    /* Elsewhere it is not known: that is said, and nothing else is closed for it. */
    cli_ok(cli, "book set country JP");
    assert_non_null(strstr(cli_ok(cli, "check 'Withy Gill' arnica/flower"),
                           "no rules of law are known here for JP"));
    cli_ok(cli, "book set country DE");
    assert_null(strstr(cli_ok(cli, "check 'Withy Gill' nettle/leaf"), "no rules of law"));
    /* The log and the plan know the same law; what was grown goes in all the same. */
    cli_refused(cli,
                "harvest add 'Withy Gill' arnica/flower --weight 100g --stage 65 --on 2027-06-18",
                1, "goes in as a purchase");
    cli_refused(cli, "plan add salve infused-oil arnica/flower --yield 200mL --dry", 1,
                "protected in DE");
    cli_ok(cli, "purchase add arnica/flower --weight 100g --dry --supplier 'Sallow Bank Herbs' "
                "--number SB-9");
}

/* A part of a country adds to the law of the whole: Lombardy L.R. 10/2008 forbids yellow gentian,
 * Decree 395/1992 arnica in Czechia; the Habitats Directive's Annex V is said in every member. */
static void law_is_of_the_union_the_nation_and_the_region(void **state)
{
    static const struct {
        const char *country, *material;
        int status;
        const char *says;
    } rows[] = {
        {"IT", "gentian/root", 0, "parts of IT have rules of their own"},
        {"IT-25", "gentian/root", 4, "list C1 of Lombardy"},
        {"IT-25", "gentian/root", 4, "Annex V of the Habitats Directive"},
        {"CZ", "arnica/flower", 4, "Endangered"},
        {"CZ", "gentian/root", 0, "Annex V"},
        {"PT", "arnica/flower", 0, "no rules of law are known here for PT"},
        {"PT", "arnica/flower", 0, "Annex V"},
        {"NO", "nettle/leaf", 0, "wild herbs, their roots too"},
        {"SE", "cowslip/flower", 0, "Not for sale"},
    };
    struct cli *cli = *state;

    harvests(cli);
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *set = g_strdup_printf("book set country %s", rows[i].country);
        g_autofree char *ask =
            g_strdup_printf("check 'Withy Gill' %s --on 2027-06-18", rows[i].material);

        cli_ok(cli, set);
        if (cli_run(cli, ask) != rows[i].status)
            fail_msg("%s in %s: not %d", ask, rows[i].country, rows[i].status);
        if (strstr(cli->out, rows[i].says) == NULL)
            fail_msg("%s in %s does not say '%s': %s", ask, rows[i].country, rows[i].says,
                     cli->out);
    }
}

/* Decision 2008/911/EC, in substance: where nothing is known, that is said. */
static void silence_about_pregnancy_is_no_leave(void **state)
{
    struct cli *cli = *state;
    const char *said;

    harvests(cli);
    said = cli_ok(cli, "check 'Withy Gill' nettle/leaf --full");
    assert_non_null(strstr(said, "not enough is known of pregnancy and breast-feeding"));
    said = cli_ok(cli, "check 'Withy Gill' yarrow/herb --full"); /* its row speaks of it */
    assert_null(strstr(said, "not enough is known of pregnancy"));
    assert_non_null(strstr(said, "pregnancy and breast-feeding: not"));
}

/* Each look-alike that hurt somebody stands in the text of its plant: see the sources there. */
static void look_alikes_that_hurt_somebody_are_named(void **state)
{
    static const struct {
        const char *material, *named;
    } rows[] = {
        {"dandelion/leaf", "Foxglove"},
        {"ramsons/leaf", "Veratrum album"},
        {"american-elder/fruit", "Pokeweed"},
        {"nettle/leaf", "snakeroot"},
        {"arnica/flower", "liver poison"},
        {"coltsfoot/leaf", "Adenostyles"},
        {"burdock/root", "atropine has been found"},
        {"mugwort/herb", "Monkshood"},
        {"valerian/root", "Hemp-agrimony"},
        {"ramps/leaf", "Veratrum viride"},
        {"self-heal/herb", "Germanders"},
    };
    struct cli *cli = *state;

    harvests(cli);
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *line = g_strdup_printf("check 'Withy Gill' %s", rows[i].material);

        assert_non_null(strstr(cli_ok(cli, line), rows[i].named));
    }
    assert_null(strstr(cli_ok(cli, "check 'Withy Gill' arnica/flower"), "not deadly"));
}

/* The words of a label, its lines joined. g_free. */
static char *label_words(struct cli *cli, const char *code, const char *bottle)
{
    g_autofree char *pdf = g_build_filename(cli->folder, "label.pdf", NULL);
    g_autofree char *line =
        g_strdup_printf("label %s --bottle %s --sheet 2x4 --force --out '%s'", code, bottle, pdf);
    const char *argv[] = {"pdftotext", "-raw", "-enc", "UTF-8", pdf, "-", NULL};
    char *words = NULL;

    cli_ok(cli, line);
    if (!g_spawn_sync(NULL, (char **)(gpointer)argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &words,
                      NULL, NULL, NULL))
        fail_msg("pdftotext is missing");
    return g_strdelimit(words, "\n", ' ');
}

/* In substance after EMA/CHMP/302620/2017 Rev. 1, ethanol; 50.8 % of 100 mL by the batch's own sum.
 */
static void a_label_says_what_its_taker_must_know(void **state)
{
    struct cli *cli = *state;
    g_autofree char *large = NULL, *small = NULL, *outside = NULL, *oxymel = NULL, *jar = NULL,
                    *stock = NULL;

    harvests(cli);
    cli_ok(cli, "batch start tincture --from H27-004:200g --jar 1L --menstruum 'spirit 60%' --on "
                "2027-06-18 --raw-by Edda");
    cli_ok(cli, "batch press B27-001 --yield 500mL");
    large = label_words(cli, "L27-001", "100mL");
    assert_non_null(strstr(large, "Of raw elderberries"));
    /* How to cook them is for who makes it; and one plant need not be named at every sentence. */
    assert_null(strstr(large, "strip"));
    assert_null(strstr(large, "Elder: "));
    assert_non_null(strstr(large, "Children: not under 12 years"));
    assert_non_null(strstr(large, "% vol alcohol: 5"));
    assert_non_null(strstr(large, "in 100 mL"));
    assert_non_null(strstr(large, "breast-feeding"));
    assert_non_null(strstr(large, "epilepsy"));
    assert_non_null(strstr(large, "metronidazole"));
    small = label_words(cli, "L27-001", "50mL");
    assert_non_null(strstr(small, "epilepsy or dependence"));
    assert_null(strstr(small, "metronidazole"));
    assert_non_null(strstr(small, "Of raw elderberries"));
    cli_ok(cli, "batch start tincture --from H27-003:60g --jar 500mL --outside --on 2027-06-18");
    cli_ok(cli, "batch press B27-002 --yield 300mL");
    outside = label_words(cli, "L27-002", "100mL");
    assert_non_null(strstr(outside, "For external use only"));
    assert_null(strstr(outside, "epilepsy"));
    cli_ok(cli, "batch start oxymel --from H27-007:60g --jar 500mL --on 2027-06-18");
    cli_ok(cli, "batch press B27-003 --yield 300mL");
    /* The jar and the large bottle say when its herb was picked, and what belongs under its lid; on
     * a small one the room is for who must not take it. */
    jar = label_words(cli, "B27-003", "1L");
    assert_non_null(strstr(jar, "gathered"));
    assert_non_null(strstr(jar, "parchment under a metal lid"));
    stock = label_words(cli, "L27-003", "1L");
    assert_non_null(strstr(stock, "gathered"));
    oxymel = label_words(cli, "L27-003", "100mL");
    assert_null(strstr(oxymel, "gathered"));
    assert_null(strstr(oxymel, "parchment"));
    assert_non_null(strstr(oxymel, "not for children under one year"));
    assert_null(strstr(oxymel, "alcohol"));
}

#define CARE_TEST(test) cmocka_unit_test_setup_teardown(test, cli_set_up, cli_tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CARE_TEST(garlic_that_is_not_dry_goes_into_no_oil),
        CARE_TEST(what_was_shown_to_be_dry_goes_into_oil),
        CARE_TEST(bought_herb_goes_into_oil_with_its_number),
        CARE_TEST(fresh_herb_in_oil_has_its_own_steps_and_is_held),
        CARE_TEST(what_is_for_outside_enters_nothing_for_inside),
        CARE_TEST(a_batch_is_narrowed_with_all_that_came_of_it_and_never_widened),
        CARE_TEST(raw_elderberries_are_heated_dried_or_answered_for),
        CARE_TEST(spirit_that_must_not_be_drunk_is_known_by_its_words),
        CARE_TEST(home_made_vinegar_is_titrated),
        CARE_TEST(what_the_law_protects_is_closed_wherever_it_grows),
        CARE_TEST(law_is_of_the_union_the_nation_and_the_region),
        CARE_TEST(a_label_says_what_its_taker_must_know),
        CARE_TEST(silence_about_pregnancy_is_no_leave),
        CARE_TEST(look_alikes_that_hurt_somebody_are_named),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
