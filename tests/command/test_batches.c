/* SPDX-License-Identifier: MIT
 *
 * Batches as a herbalist works: from any source through weeks and presses to bottles, and the way
 * back. Figures by hand with the model of tests/outside/batch_model.py where they are not plain
 * sums.
 */
#include "cli.h"

#include <sqlite3.h>

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

static json_t *item(const json_t *array, size_t i)
{
    return json_array_get(array, i);
}

/* The record of a list whose `key` is `value`. */
static json_t *find(const json_t *array, const char *key, const char *value)
{
    size_t i;
    json_t *one;

    json_array_foreach(array, i, one)
    {
        if (g_str_equal(json_text(one, key), value))
            return one;
    }
    fail_msg("no %s '%s'", key, value);
    return NULL;
}

static void a_half_litre_tincture_from_harvest_to_bottle(void **state)
{
    struct cli *cli = *state;
    json_t *batch, *steps, *lots;

    harvests(cli);
    batch = cli_json(cli, "batch start tincture --from H27-001:87g --jar 500mL --menstruum 'spirit "
                          "40%, Ash Beck Still, 114' --on 2027-05-04 --json");
    assert_string_equal(json_text(batch, "code"), "B27-001");
    expect_near(json_number(batch, "menstruum_ml"), 520.0 - 87.0 * 0.95498, 0.5, "mL");
    expect_near(json_number(batch, "ratio"), 5.02, 0.01, "");
    expect_near(json_number(batch, "menstruum_abv"), 40.0, 0.05, "% vol");
    expect_near(json_number(batch, "final_abv"), 34.2, 0.3, "% vol");
    expect_near(json_number(batch, "yield_ml"), 402.0, 8.0, "mL");
    steps = json_object_get(batch, "steps");
    assert_string_equal(json_text(find(steps, "step", "top-up"), "due"), "2027-05-05");
    assert_string_equal(json_text(find(steps, "step", "ready"), "due"), "2027-06-15");
    assert_string_equal(json_text(item(json_object_get(batch, "from"), 1), "supplier"),
                        "Ash Beck Still");
    assert_string_equal(json_text(item(json_object_get(batch, "from"), 1), "number"), "114");
    json_decref(batch);

    batch = cli_json(cli, "batch step B27-001 top-up --liquid 15mL --on 2027-05-05 --json");
    assert_string_equal(json_text(find(json_object_get(batch, "steps"), "step", "top-up"), "done"),
                        "2027-05-05");
    expect_near(json_number(batch, "menstruum_ml"), 451.9, 0.5, "mL");
    json_decref(batch);
    cli_ok(cli, "batch list --json");
    assert_non_null(strstr(cli->out, "stands since 4 May 2027, strain from 15 June 2027"));
    cli_ok(cli, "batch list"); /* days of one form, each in its column */
    assert_non_null(strstr(cli->out, "stands     2027-05-04  2027-06-15   "));

    lots = cli_json(cli, "batch press B27-001 --yield 400mL --on 2027-06-16 --json");
    assert_int_equal(json_array_size(lots), 1);
    assert_string_equal(json_text(item(lots, 0), "code"), "L27-001");
    assert_string_equal(json_text(item(lots, 0), "state"), "on the shelf");
    expect_near(json_number(item(lots, 0), "left_ml"), 400.0, 0.01, "mL");
    expect_near(json_number(item(lots, 0), "abv"), 34.4, 0.3, "% vol");
    json_decref(lots);
    cli_ok(cli, "batch list");
    assert_non_null(strstr(cli->out, "pressed, 400 mL  2027-06-16"));
    cli_ok(cli, "lot use L27-001:50mL --for 1042");
    cli_ok(cli, "lot count L27-001 345mL");
    lots = cli_json(cli, "lot show L27-001 --json");
    expect_near(json_number(lots, "left_ml"), 345.0, 0.01, "mL");
    expect_near(json_number(item(json_object_get(lots, "events"), 0), "difference"), -5.0, 0.01,
                "mL");
    assert_string_equal(json_text(item(json_object_get(lots, "used"), 0), "ref"), "1042");
    json_decref(lots);
    cli_ok(cli, "book check");
}

/*
 * By hand, from the figures of the half litre above: a jar of 500 mL holds 520 to the brim, and a
 * gram of the flower takes (520 - 436.6) / 87.3 = 0.955 mL under liquid. 40 g at 1:5 leave 520 -
 * 200
 * - 38.2 = 281.8 mL; filled up it is 481.8 / 40 = 1:12. In a jar of 250 mL (265 to the brim) 26.8
 * are left, more than a twentieth: 226.8 / 40 = 1:5.67.
 */
static void a_jar_too_large_for_its_weighed_ratio_is_said(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' dandelion/flower --weight 300g --stage 'early flower' "
                "--named-by Edda --signs 'white milk' --on 2027-06-19");
    cli_ok(cli, "batch start tincture --from H27-001:40g --ratio 1:5 --jar 500mL");
    assert_non_null(strstr(cli->err,
                           "room for 282 mL more: topped up to the brim it is 1:12 and no "
                           "longer 1:5;"));
    cli_ok(cli, "batch start tincture --from H27-001:40g --ratio 1:5 --jar 250mL");
    assert_non_null(strstr(cli->err, "it is 1:5.67 and"));
    /* By fill nothing is left, and nothing to say. */
    cli_ok(cli, "batch start tincture --from H27-001:87.3g --jar 500mL");
    assert_null(strstr(cli->err, "has room for"));
}

static void need_answers_with_the_keys_that_others_rely_on(void **state)
{
    static const char *const keys[] = {
        "material",      "preparation",  "ratio",         "herb_g",   "gross_g",  "pieces",
        "picking_hours", "menstruum_ml", "menstruum_abv", "jars",     "yield_ml", "final_abv",
        "final_acid",    "yield_low_ml", "yield_high_ml", "cautions", "warnings"};
    struct cli *cli = *state;
    json_t *need = cli_json(cli, "need dandelion/flower tincture --jar 6x500mL --json");

    for (gsize i = 0; i < G_N_ELEMENTS(keys); i++) {
        if (json_object_get(need, keys[i]) == NULL)
            fail_msg("no key '%s'", keys[i]);
    }
    assert_int_equal(json_array_size(json_object_get(need, "jars")), 6);
    expect_near(json_number(item(json_object_get(need, "jars"), 5), "herb_g"), 87.3, 0.1, "g");
    expect_near(json_number(need, "herb_g"), 6 * 87.3, 0.5, "g");
    json_decref(need);
    /* A jar three-quarters full, by share or per cent; the book's press counts. */
    cli_ok(cli, "book set press screw");
    need = cli_json(cli, "need elderflower vinegar --jar 1L --fill 0.75 --json");
    assert_true(json_number(need, "final_acid") >= 4.0);
    {
        json_t *same = cli_json(cli, "need elderflower vinegar --jar 1L --fill 75% --json");

        expect_near(json_number(same, "herb_g"), json_number(need, "herb_g"), 1e-9, "g");
        json_decref(same);
    }
    json_decref(need);
    cli_ok(cli, "need dandelion/flower tincture --jar 500mL --explain");
    assert_non_null(strstr(cli->out, "467 mL")); /* the screw press */
    assert_non_null(strstr(cli->out, "OIML R 22"));
}

static void a_stage_that_does_not_suit_is_said_again_at_the_jar(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 100g --stage 'in seed'");
    assert_non_null(strstr(cli->err, "is not the usual one"));
    cli_ok(cli, "batch start tincture --from H27-001:80g --jar 500mL");
    assert_non_null(strstr(cli->err, "is not the usual one for nettle/leaf"));
    /* Picked days ago and neither wilted nor dried. */
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 100g --stage 35 --on 2027-06-01");
    cli_refused(cli, "batch start tincture --from H27-002:80g --jar 500mL", 1,
                "picked 19 days before and is not fresh any more");
    cli_refused(cli, "batch start tincture --from H27-002:80g --jar 500mL --hold 'it looks well'",
                1, "dry start --from H27-002 --on 2027-06-01");
    cli_refused(cli, "batch start tincture --from H27-002:80g --jar 500mL --on 2027-06-04", 1,
                "picked 3 days before");
    cli_ok(cli, "batch start tincture --from H27-002:40g --jar 250mL --on 2027-06-03");
    assert_non_null(strstr(cli->err, "2 days after picking"));
    /* What was frozen in time, and noted with its day, goes in whenever. */
    cli_ok(cli, "dry start --from H27-002:40g --kind frozen --on 2027-06-02");
    cli_ok(cli, "batch start tincture --from D27-001:40g --jar 250mL");
}

static void two_batches_pressed_in_equal_parts_leave_a_rest(void **state)
{
    struct cli *cli = *state;
    json_t *lots;

    harvests(cli);
    cli_ok(cli, "batch start tincture --from H27-001:87g --jar 500mL --on 2027-05-04");
    cli_ok(cli, "batch start tincture --from H27-002:87g --jar 500mL --on 2027-06-15");
    lots = cli_json(cli, "batch press B27-001 B27-002 --parts 1:1 --yield 400mL --yield 390mL "
                         "--json");
    assert_int_equal(json_array_size(lots), 2);
    expect_near(json_number(item(lots, 0), "left_ml"), 780.0, 0.01, "mL");
    assert_string_equal(json_text(item(lots, 0), "materials"), "dandelion/flower, dandelion/leaf");
    expect_near(json_number(item(lots, 1), "left_ml"), 10.0, 0.01, "mL");
    assert_string_equal(json_text(item(lots, 1), "materials"), "dandelion/flower");
    json_decref(lots);
    cli_ok(cli, "lot use L27-001:700mL L27-002:10mL --for 7");
    lots = cli_json(cli, "lot list --all --json");
    assert_string_equal(json_text(find(lots, "code", "L27-002"), "state"), "used up");
    json_decref(lots);
    lots = cli_json(cli, "lot list --json");
    assert_int_equal(json_array_size(lots), 1);
    json_decref(lots);
}

static void one_measured_yield_is_shared_out(void **state)
{
    struct cli *cli = *state;
    json_t *lots, *batch;

    harvests(cli);
    cli_ok(cli, "batch start tincture --from H27-001:87g --jar 500mL --on 2027-05-04");
    cli_ok(cli, "batch start tincture --from H27-002:40g --jar 250mL --on 2027-06-15");
    lots = cli_json(cli, "batch press B27-001 B27-002 --yield 600mL --json");
    assert_int_equal(json_array_size(lots), 1);
    expect_near(json_number(item(lots, 0), "left_ml"), 600.0, 0.01, "mL");
    json_decref(lots);
    batch = cli_json(cli, "batch show B27-001 --json");
    assert_true(json_number(batch, "pressed_ml") > 380.0 &&
                json_number(batch, "pressed_ml") < 420.0);
    json_decref(batch);
}

static void herb_added_over_days_moves_the_straining(void **state)
{
    struct cli *cli = *state;
    json_t *batch;

    harvests(cli);
    cli_ok(cli, "batch start tincture --from H27-001:40g --jar 500mL --liquid 300mL --menstruum "
                "'spirit 40%' --on 2027-05-04");
    batch = cli_json(cli, "batch add B27-001 --from H27-001:40g --on 2027-05-06 --json");
    expect_near(json_number(batch, "herb_g"), 80.0, 0.01, "g");
    expect_near(json_number(batch, "ratio"), 3.75, 0.01, "");
    assert_string_equal(json_text(find(json_object_get(batch, "steps"), "step", "ready"), "due"),
                        "2027-06-17");
    json_decref(batch);
    batch = cli_json(cli, "batch add B27-001 --liquid 100mL --menstruum 'spirit 60%, Ash Beck "
                          "Still, 9' --on 2027-05-11 --json");
    expect_near(json_number(batch, "ratio"), 5.0, 0.02, "");
    /* 120 + 60 mL of ethanol in 400 mL, by volume near enough: 45 %. */
    expect_near(json_number(batch, "menstruum_abv"), 45.0, 0.2, "% vol");
    json_decref(batch);
}

static void purchases_and_dryings_are_sources(void **state)
{
    struct cli *cli = *state;
    json_t *drying, *batch, *need;

    harvests(cli);
    cli_ok(cli, "purchase add calendula/flower --weight 250g --dry --supplier 'Sallow Bank Herbs' "
                "--number SB-114 --on 2027-04-03");
    batch = cli_json(cli, "batch start infused-oil --from P27-001:45g --jar 500mL --on 2027-04-03 "
                          "--json");
    assert_true(json_is_null(json_object_get(batch, "final_abv")));
    json_decref(batch);
    /* 200 g fresh, 120 g wilted, 28 g dry: 7.14 to 1, which `need` then takes. */
    cli_ok(cli, "dry start --from H27-002:200g --rack 0.5m2 --on 2027-06-15");
    cli_ok(cli, "dry weigh D27-001 120g --on 2027-06-16");
    batch = cli_json(cli, "batch start infused-oil --from D27-001:20g --jar 250mL --liquid 80mL "
                          "--on 2027-06-16 --hold 'in the cold, for two days' --json");
    assert_string_equal(json_text(item(json_object_get(batch, "from"), 0), "state"), "wilted");
    /* It counts from the day on which it was put up. */
    assert_string_equal(json_text(batch, "use_by"), "2027-06-20");
    json_decref(batch);
    cli_ok(cli, "strike B27-002 --why 'thought better of it'");
    cli_ok(cli, "dry finish D27-001 --weight 30g --garbled 28g --on 2027-06-19");
    drying = cli_json(cli, "dry show D27-001 --json");
    expect_near(json_number(drying, "fresh_g"), 200.0, 0.01, "g");
    expect_near(json_number(drying, "left_g"), 28.0, 0.01, "g");
    expect_near(json_number(drying, "fresh_per_dry"), 7.14, 0.01, "");
    json_decref(drying);
    need = cli_json(cli, "need dandelion/leaf dried-herb --yield 100g --json");
    expect_near(json_number(need, "herb_g"), 714.3, 0.1, "g");
    json_decref(need);
    batch = cli_json(cli, "batch start tincture --from D27-001:20g --jar 250mL --liquid 100mL "
                          "--menstruum 'spirit 45%' --json");
    assert_string_equal(json_text(item(json_object_get(batch, "from"), 0), "state"), "dried");
    expect_near(json_number(batch, "final_abv"), 44.1, 0.2, "% vol"); /* 2 g of water only */
    json_decref(batch);
}

static void an_oxymel_from_an_infused_vinegar(void **state)
{
    struct cli *cli = *state;
    json_t *batch, *lots;

    harvests(cli);
    batch = cli_json(cli, "batch start vinegar --from H27-001:80g --jar 500mL --menstruum 'cider "
                          "vinegar 5%, Skirra Stores, 31' --on 2027-05-04 --json");
    assert_true(json_number(batch, "final_acid") > 4.0 && json_number(batch, "final_acid") < 5.0);
    json_decref(batch);
    cli_ok(cli, "batch press B27-001 --yield 400mL --on 2027-05-25");
    batch = cli_json(cli, "batch start oxymel --from L27-001:250mL --honey 250mL --json");
    /* By hand: 250 mL at the vinegar's strength and 250 mL honey: half the acid, 48 % sugar. */
    expect_near(json_number(batch, "final_acid"), 2.15, 0.05, "%");
    expect_near(json_number(batch, "final_sugar"), 48.1, 0.3, "%");
    json_decref(batch);
    lots = cli_json(cli, "batch press B27-002 --yield 495mL --json");
    /* Oxymel of fresh herb: 60 days from 20 June; the vinegar in it would keep to 23 August. */
    assert_string_equal(json_text(item(lots, 0), "use_by"), "2027-08-19");
    json_decref(lots);
    lots = cli_json(cli, "lot show L27-001 --json");
    expect_near(json_number(lots, "left_ml"), 150.0, 0.01, "mL");
    json_decref(lots);
}

static void marc_gives_a_second_maceration(void **state)
{
    struct cli *cli = *state;
    json_t *batch;

    harvests(cli);
    cli_ok(cli, "batch start tincture --from H27-001:87g --jar 500mL --menstruum 'spirit 60%' "
                "--on 2027-05-04");
    batch = cli_json(cli, "batch show B27-001 --json");
    {
        double pool = json_number(batch, "pool_ml"), abv = json_number(batch, "final_abv");
        double held = pool - 400.0;

        json_decref(batch);
        cli_ok(cli, "batch press B27-001 --yield 400mL --on 2027-06-16");
        batch = cli_json(cli, "batch start tincture --from B27-001 --liquid 200mL --menstruum "
                              "'spirit 30%' --on 2027-06-16 --json");
        /* Ethanol is not lost: what the marc held and what was poured on. */
        expect_near(json_number(batch, "pool_ml") * json_number(batch, "final_abv"),
                    held * abv + 200.0 * 30.0, 60.0, "mL %");
        json_decref(batch);
    }
    batch = cli_json(cli, "batch show B27-001 --json");
    expect_near(json_number(batch, "marc_g"), 0.0, 0.01, "g");
    assert_int_equal(json_array_size(json_object_get(batch, "lots")), 1);
    json_decref(batch);
}

static void dried_herb_is_put_up_in_grams(void **state)
{
    struct cli *cli = *state;
    json_t *lots;

    harvests(cli);
    cli_ok(cli, "dry start --from H27-002 --on 2027-06-15");
    cli_ok(cli, "dry finish D27-001 --weight 45g --garbled 40g --on 2027-06-19");
    cli_ok(cli, "batch start dried-herb --from D27-001 --jar 500mL --on 2027-06-19");
    cli_refused(cli, "batch press B27-001 --yield 40mL", 2, "grams");
    lots = cli_json(cli, "batch press B27-001 --yield 40g --json");
    expect_near(json_number(item(lots, 0), "left_g"), 40.0, 0.01, "g");
    assert_true(json_is_null(json_object_get(item(lots, 0), "left_ml")));
    json_decref(lots);
    cli_ok(cli, "lot use L27-001:15g --for 3");
    cli_ok(cli, "discard L27-001 5g --why moth");
    lots = cli_json(cli, "lot show L27-001 --json");
    expect_near(json_number(lots, "left_g"), 20.0, 0.01, "g");
    json_decref(lots);
}

static void discarding_works_from_any_code(void **state)
{
    struct cli *cli = *state;
    json_t *list, *batch;

    harvests(cli);
    cli_ok(cli, "purchase add calendula/flower --weight 100g --garden");
    cli_ok(cli, "discard H27-001 40g --why 'gone brown'");
    cli_ok(cli, "discard P27-001 --why moth");
    cli_ok(cli, "dry start --from H27-002:100g --on 2027-06-15");
    cli_ok(cli, "discard D27-001 30g --why mould");
    batch = cli_json(cli, "harvest show H27-001 --json");
    expect_near(json_number(batch, "left_g"), 150.0, 0.01, "g");
    json_decref(batch);
    cli_ok(cli,
           "batch start tincture --from H27-001:50g --jar 500mL --liquid 300mL --on 2027-05-04");
    cli_ok(cli, "discard B27-001 30mL --why spilt");
    batch = cli_json(cli, "batch show B27-001 --json");
    assert_string_equal(json_text(batch, "state"), "stands");
    json_decref(batch);
    cli_ok(cli, "discard B27-001 --why 'the jar broke'");
    batch = cli_json(cli, "batch show B27-001 --json");
    assert_string_equal(json_text(batch, "state"), "discarded");
    json_decref(batch);
    list = cli_json(cli, "batch list --json");
    assert_int_equal(json_array_size(list), 0);
    json_decref(list);
    cli_refused(cli, "batch press B27-001 --yield 100mL", 1, "discarded");
}

/* Flowers -> tincture -> lot -> mixture with leaves -> lot -> second mixture -> lot: six deep, with
 * marc and a drying beside it. */
static void deep(struct cli *cli)
{
    harvests(cli);
    cli_ok(cli, "batch start tincture --from H27-001:87g --jar 500mL --on 2027-05-04");
    cli_ok(cli, "batch press B27-001 --yield 400mL --on 2027-06-16");
    cli_ok(cli, "batch start tincture --from L27-001:200mL --from H27-002:40g --jar 500mL --liquid "
                "200mL --on 2027-06-16");
    cli_ok(cli, "batch press B27-002 --yield 300mL --on 2027-06-17");
    cli_ok(cli, "batch start tincture --from L27-002:100mL --jar 500mL --on 2027-06-17");
    cli_ok(cli, "batch press B27-003 --yield 90mL --on 2027-06-18");
    cli_ok(cli, "lot use L27-003:20mL --for 77");
    cli_ok(cli, "batch start tincture --from B27-001 --liquid 150mL --menstruum 'spirit 40%' --on "
                "2027-06-17");
    cli_ok(cli, "dry start --from H27-002:100g --on 2027-06-15");
    cli_ok(cli, "dry finish D27-001 --weight 15g --on 2027-06-19");
    cli_ok(cli, "batch start tincture --from D27-001:10g --jar 250mL --liquid 100mL --menstruum "
                "'spirit 45%' --on 2027-06-19");
}

static void a_bottle_is_traced_back_and_a_place_forward(void **state)
{
    struct cli *cli = *state;
    json_t *trace;

    deep(cli);
    trace = cli_json(cli, "trace L27-003 --json");
    assert_int_equal(json_array_size(json_object_get(trace, "harvests")), 2);
    assert_string_equal(json_text(item(json_object_get(trace, "harvests"), 0), "verdict"), "clear");
    assert_non_null(strstr(json_text(item(json_object_get(trace, "harvests"), 0), "permission"),
                           "given by the tenant"));
    assert_int_equal(json_array_size(json_object_get(trace, "batches")), 3);
    assert_int_equal(json_array_size(json_object_get(trace, "lots")), 3);
    json_decref(trace);
    /* Never longer than the oldest that went in: 1095 days from 16 June, not from the 18th. */
    trace = cli_json(cli, "lot show L27-003 --json");
    assert_string_equal(json_text(trace, "use_by"), "2030-06-15");
    json_decref(trace);

    trace = cli_json(cli, "trace 'Withy Gill' --sprayed 2027-05 --json");
    assert_int_equal(json_array_size(json_object_get(trace, "harvests")), 2);
    assert_int_equal(json_array_size(json_object_get(trace, "dryings")), 1);
    assert_int_equal(json_array_size(json_object_get(trace, "batches")), 5);
    assert_int_equal(json_array_size(json_object_get(trace, "lots")), 3);
    expect_near(
        json_number(
            item(json_object_get(find(json_object_get(trace, "lots"), "code", "L27-003"), "used"),
                 0),
            "ml"),
        20.0, 0.01, "mL");
    json_decref(trace);

    /* Sprayed after the flowers, before the leaves: only what has leaves in it. */
    trace = cli_json(cli, "trace 'Withy Gill' --sprayed 2027-05-05 --json");
    assert_int_equal(json_array_size(json_object_get(trace, "harvests")), 1);
    assert_int_equal(json_array_size(json_object_get(trace, "lots")), 2);
    json_decref(trace);
    /* On the very day of picking it is touched. */
    trace = cli_json(cli, "trace 'Withy Gill' --sprayed 2027-06-15 --json");
    assert_int_equal(json_array_size(json_object_get(trace, "harvests")), 1);
    json_decref(trace);
    trace = cli_json(cli, "trace 'Withy Gill' --sprayed 2027-06-16 --json");
    assert_int_equal(json_array_size(json_object_get(trace, "harvests")), 0);
    json_decref(trace);
}

static void a_spraying_withdraws_the_bottles_and_holds_the_rest(void **state)
{
    struct cli *cli = *state;
    json_t *trace, *lots;

    deep(cli);
    trace = cli_json(cli, "trace 'Withy Gill' --sprayed 2027-05 --withdraw --json");
    assert_int_equal(json_array_size(json_object_get(trace, "withdrawn")), 3);
    assert_int_equal(json_array_size(json_object_get(trace, "held")), 2);
    json_decref(trace);
    cli_refused(cli, "lot use L27-003:5mL --for 1", 1, "withdrawn");
    cli_refused(cli, "batch start tincture --from L27-002:5mL --jar 100mL", 1, "withdrawn");
    cli_refused(cli, "batch start tincture --from H27-001:5g --jar 100mL --on 2027-05-04", 1,
                "held");
    cli_refused(cli, "batch start tincture --from D27-001:2g --jar 100mL", 1, "held");
    cli_refused(cli, "dry start --from H27-001:5g", 1, "held");
    /* What stood already is pressed into a held bottle. */
    lots = cli_json(cli, "batch press B27-005 --yield 80mL --json");
    assert_string_equal(json_text(item(lots, 0), "state"), "held");
    assert_non_null(strstr(json_text(item(lots, 0), "why"), "H27-002"));
    json_decref(lots);
    cli_refused(cli, "lot use L27-004:5mL --for 1", 1, "held");
    /* Said a second time nothing more happens. */
    trace = cli_json(cli, "trace 'Withy Gill' --sprayed 2027-05 --withdraw --json");
    assert_int_equal(json_array_size(json_object_get(trace, "withdrawn")), 0); /* L27-004 is held */
    assert_int_equal(json_array_size(json_object_get(trace, "held")), 0);
    json_decref(trace);
    /* Letting one out again needs a reason. */
    cli_refused(cli, "lot release L27-001", 2, "--why");
    cli_ok(cli, "lot release L27-001 --why 'it was the next verge'");
    cli_ok(cli, "lot use L27-001:5mL --for 1");
    cli_ok(cli, "harvest release H27-001 --evidence 'it was the next verge'");
    cli_ok(cli, "batch start tincture --from H27-001:5g --jar 100mL --liquid 50mL --on 2027-05-04");
}

static void neighbours_are_reached_within_a_distance(void **state)
{
    struct cli *cli = *state;
    json_t *trace;

    harvests(cli);
    /* 0.001 degrees of latitude north: 111 m. */
    cli_ok(cli, "site add 'Next Field' --at 54.6022,-2.5871 --accuracy 1");
    trace = cli_json(cli, "trace 'Next Field' --sprayed 2027-05 --json");
    assert_int_equal(json_array_size(json_object_get(trace, "harvests")), 0);
    json_decref(trace);
    trace = cli_json(cli, "trace 'Next Field' --sprayed 2027-05 --within 90m --json");
    assert_int_equal(json_array_size(json_object_get(trace, "harvests")), 0);
    json_decref(trace);
    /* 111 m less 10 and 1 m of uncertainty. */
    trace = cli_json(cli, "trace 'Next Field' --sprayed 2027-05 --within 101m --json");
    assert_int_equal(json_array_size(json_object_get(trace, "harvests")), 2);
    json_decref(trace);
}

/* No command can draw a circle; a damaged or merged book might hold one, and the trace must end. */
static void a_circle_in_the_book_ends_the_trace(void **state)
{
    struct cli *cli = *state;
    json_t *trace;
    sqlite3 *db;

    deep(cli);
    assert_int_equal(sqlite3_open(cli->book, &db), SQLITE_OK);
    assert_int_equal(
        sqlite3_exec(db,
                     "INSERT INTO draw (uuid, taker_id, source_id, day, ml, at)"
                     " SELECT 'circle', a.id, b.id, 20000, 1.0, 1 FROM thing a, thing b"
                     " WHERE a.kind = 'B' AND a.number = 1 AND b.kind = 'L' AND b.number = 3",
                     NULL, NULL, NULL),
        SQLITE_OK);
    sqlite3_close(db);
    trace = cli_json(cli, "trace L27-001 --json");
    assert_int_equal(cli->status, 0);
    assert_int_equal(json_array_size(json_object_get(trace, "lots")), 3);
    json_decref(trace);
}

/* What is left by the view, and by adding up the rows oneself. */
static void balances_derived_two_ways_agree(void **state)
{
    struct cli *cli = *state;
    sqlite3 *db;
    sqlite3_stmt *row;
    int seen = 0;

    deep(cli);
    cli_ok(cli, "discard L27-001 10mL --why spilt");
    cli_ok(cli, "lot count L27-002 190mL");
    cli_ok(cli, "strike B27-005 --why 'never made'");
    assert_int_equal(sqlite3_open(cli->book, &db), SQLITE_OK);
    assert_int_equal(
        sqlite3_prepare_v2(
            db,
            "SELECT t.kind, t.number, b.left,"
            " CASE t.kind WHEN 'H' THEN (SELECT coalesce(garbled_g, weight_g) FROM harvest WHERE id"
            "   = t.id) WHEN 'D' THEN 15.0 WHEN 'B' THEN (SELECT total(grams) FROM charge WHERE"
            "   batch_id = t.id) ELSE (SELECT amount FROM lot WHERE id = t.id) END"
            " - (SELECT total(CASE WHEN t.kind = 'L' THEN d.ml ELSE d.grams END) FROM draw d JOIN"
            "   thing k ON k.id = d.taker_id LEFT JOIN strike s ON s.subject = k.uuid"
            "   WHERE d.source_id = t.id AND s.subject IS NULL)"
            " - (SELECT total(CASE WHEN t.kind = 'L' THEN ml ELSE grams END) FROM discard WHERE"
            "   thing_id = t.id) - (SELECT total(amount) FROM lot_use WHERE lot_id = t.id)"
            " + (SELECT total(difference) FROM lot_event WHERE lot_id = t.id)"
            " FROM balance b JOIN thing t ON t.id = b.id",
            -1, &row, NULL),
        SQLITE_OK);
    while (sqlite3_step(row) == SQLITE_ROW) {
        expect_near(sqlite3_column_double(row, 2), sqlite3_column_double(row, 3), 1e-6, "g or mL");
        seen++;
    }
    sqlite3_finalize(row);
    sqlite3_close(db);
    assert_int_equal(seen, 2 + 1 + 4 + 3);
}

/* Mass of ethanol: what was poured equals what is in bottles, in marc and gone out. */
static void ethanol_is_conserved_through_mixing_pressing_and_use(void **state)
{
    struct cli *cli = *state;
    sqlite3 *db;
    sqlite3_stmt *row;
    double poured, shelf, marc = 0.0;

    harvests(cli);
    cli_ok(cli, "batch start tincture --from H27-001:87g --jar 500mL --menstruum 'spirit 40%' --on "
                "2027-05-04");
    cli_ok(cli, "batch start tincture --from H27-002:87g --jar 500mL --menstruum 'spirit 60%' --on "
                "2027-06-15");
    cli_ok(cli, "batch press B27-001 B27-002 --parts 2:1 --yield 400mL --yield 390mL");
    cli_ok(cli, "batch start tincture --from L27-001:300mL --jar 500mL");
    cli_ok(cli, "batch press B27-003 --yield 300mL");
    cli_ok(cli, "lot use L27-002:20mL --for 5");
    for (int i = 1; i <= 2; i++) {
        g_autofree char *line = g_strdup_printf("batch show B27-00%d --json", i);
        json_t *batch = cli_json(cli, line);

        marc += (json_number(batch, "pool_ml") - json_number(batch, "pressed_ml")) *
                json_number(batch, "final_abv") / 100.0 * 0.78924;
        json_decref(batch);
    }
    assert_int_equal(sqlite3_open(cli->book, &db), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(db,
                                        "SELECT total(ethanol_g) FROM charge WHERE kind ="
                                        " 'liquid'",
                                        -1, &row, NULL),
                     SQLITE_OK);
    assert_int_equal(sqlite3_step(row), SQLITE_ROW);
    poured = sqlite3_column_double(row, 0);
    sqlite3_finalize(row);
    assert_int_equal(sqlite3_prepare_v2(db,
                                        "SELECT total((l.amount - (SELECT total(ml) FROM draw"
                                        " WHERE source_id = l.id)) * l.ethanol_g) FROM lot l",
                                        -1, &row, NULL),
                     SQLITE_OK);
    assert_int_equal(sqlite3_step(row), SQLITE_ROW);
    shelf = sqlite3_column_double(row, 0);
    sqlite3_finalize(row);
    sqlite3_close(db);
    /* The records show a tenth of a per cent and of a millilitre. */
    expect_near(shelf + marc, poured, 0.002 * poured, "g");
}

static const struct CMUnitTest tests[] = {
    cli_test(a_half_litre_tincture_from_harvest_to_bottle),
    cli_test(a_jar_too_large_for_its_weighed_ratio_is_said),
    cli_test(need_answers_with_the_keys_that_others_rely_on),
    cli_test(a_stage_that_does_not_suit_is_said_again_at_the_jar),
    cli_test(two_batches_pressed_in_equal_parts_leave_a_rest),
    cli_test(one_measured_yield_is_shared_out),
    cli_test(herb_added_over_days_moves_the_straining),
    cli_test(purchases_and_dryings_are_sources),
    cli_test(an_oxymel_from_an_infused_vinegar),
    cli_test(marc_gives_a_second_maceration),
    cli_test(dried_herb_is_put_up_in_grams),
    cli_test(discarding_works_from_any_code),
    cli_test(a_bottle_is_traced_back_and_a_place_forward),
    cli_test(a_spraying_withdraws_the_bottles_and_holds_the_rest),
    cli_test(neighbours_are_reached_within_a_distance),
    cli_test(a_circle_in_the_book_ends_the_trace),
    cli_test(balances_derived_two_ways_agree),
    cli_test(ethanol_is_conserved_through_mixing_pressing_and_use),
};
expect_main(tests)
