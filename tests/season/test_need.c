/* SPDX-License-Identifier: MIT
 *
 * need and dilute as a person asks them: names, own figures, refusals.
 */
#include "expect.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "season/batch_private.h"
#include "season/label_stock.h"
#include "season/menstruum.h"
#include "season/plan_private.h"
#include "simpling/entry.h"
#include "simpling/house.h"
#include "simpling/need.h"

static struct spl_house *house;

static GArray *half_litre; /* jars: one of 500 mL */

static int open_house(void **state)
{
    struct spl_house_options options = {.data = SPL_SOURCE_DIR "/data",
                                        .today = spl_day_from_ymd(2027, 5, 4)};
    g_autoptr(GError) error = NULL;

    (void)state;
    house = spl_house_open(&options, SPL_HOUSE_TABLES, &error);
    half_litre = spl_inputs_list(&spl_jar_inputs);
    g_array_append_val(half_litre, ((struct spl_jar_words){1, 500.0}));
    if (house == NULL)
        print_error("%s\n", error->message);
    return house == NULL;
}

static int close_house(void **state)
{
    (void)state;
    spl_house_close(house);
    g_array_unref(half_litre);
    return 0;
}

static void ask(struct spl_need_words *words, const char *material, const char *preparation)
{
    spl_need_words_init(words);
    words->material = material;
    words->preparation = preparation;
    words->jars = half_litre;
}

static void answer(const struct spl_need_words *words, struct spl_need_result *result)
{
    g_autoptr(GError) error = NULL;

    if (!spl_need_answer(house, words, result, &error))
        fail_msg("%s", error->message);
}

#define clear(result) spl_record_clear(&spl_need_result_shape, result)

/* Common practice, no source; figures by hand with the model. */
static void a_half_litre_jar_of_dandelion_flowers(void **state)
{
    struct spl_need_words words;
    struct spl_need_result result;

    (void)state;
    ask(&words, "Dandelion Flower", "tincture");
    answer(&words, &result);
    assert_string_equal(result.material, "dandelion/flower");
    expect_near(result.herb_g, 87.0, 1.3, "g");
    expect_near(result.yield_ml, 402.0, 8.0, "mL");
    expect_near(result.final_abv, 34.2, 0.3, "% vol");
    assert_true(result.cautions->len >= 2);
    clear(&result);
}

static const struct spl_filled *find_filled(const GArray *filled, const char *key)
{
    for (guint i = 0; i < filled->len; i++) {
        if (strcmp(g_array_index(filled, struct spl_filled, i).key, key) == 0)
            return &g_array_index(filled, struct spl_filled, i);
    }
    return NULL;
}

/* Nettle herb, tincture 1:5 in 45 % ethanol of the dried herb: EMEA/HMPC/170261/2006. What a face
 * shows as filled is what is reckoned by when nothing is said. */
static void what_was_filled_says_from_which_source(void **state)
{
    g_autoptr(GArray) filled = g_array_new(FALSE, FALSE, sizeof(struct spl_filled));
    struct spl_need_words words, whole = {0};
    struct spl_need_result open, said;
    g_autoptr(GError) error = NULL;

    (void)state;
    ask(&words, "nettle/leaf", "tincture");
    words.dry = TRUE;
    assert_true(spl_inputs_copy(&spl_need_inputs, &words, &whole, &error));
    spl_entry_fill(house, &spl_need_inputs, &whole, filled);
    expect_near(whole.ratio, 5.0, 0, "mL a gram");
    expect_near(whole.strength_frac, 0.45, 1e-12, "of volume");
    assert_non_null(find_filled(filled, "ratio"));
    assert_non_null(strstr(find_filled(filled, "ratio")->source, "EMEA/HMPC/170261/2006"));
    assert_non_null(strstr(find_filled(filled, "strength")->source, "EMEA/HMPC/170261/2006"));
    assert_null(find_filled(filled, "ratio")->setting);
    assert_null(find_filled(filled, "final")); /* nobody has such a figure */
    answer(&words, &open);
    answer(&whole, &said);
    expect_near(said.herb_g, open.herb_g, 1e-9, "g");
    expect_near(said.menstruum_ml, open.menstruum_ml, 1e-9, "mL");
    clear(&open);
    clear(&said);

    /* What was said is not filled, and of a plant that nobody knows nothing is. */
    g_array_set_size(filled, 0);
    spl_inputs_clear(&spl_need_inputs, &whole);
    words.ratio = 3.0;
    assert_true(spl_inputs_copy(&spl_need_inputs, &words, &whole, &error));
    spl_entry_fill(house, &spl_need_inputs, &whole, filled);
    expect_near(whole.ratio, 3.0, 0, "mL a gram");
    assert_null(find_filled(filled, "ratio"));
    spl_inputs_clear(&spl_need_inputs, &whole);
    g_array_set_size(filled, 0);
    words.material = "no such/leaf";
    assert_true(spl_inputs_copy(&spl_need_inputs, &words, &whole, &error));
    spl_entry_fill(house, &spl_need_inputs, &whole, filled);
    assert_null(find_filled(filled, "strength"));
    spl_inputs_clear(&spl_need_inputs, &whole);
}

static void own_figures_take_the_place_of_the_tables(void **state)
{
    struct spl_need_words words;
    struct spl_need_result result;
    gboolean asked = FALSE;

    (void)state;
    ask(&words, "dandelion/flower", "tincture");
    words.press = "screw";
    words.moisture_frac = 0.80;
    words.trim_frac = 0.25;
    words.ratio = 4.0;
    answer(&words, &result);
    /* By hand: v = 0.8/0.9982 + 0.2/1.45 = 0.9394; 520 / 4.9394 = 105.28 g; / 0.75 = 140.4 g. */
    expect_near(result.herb_g, 105.28, 0.05, "g");
    expect_near(result.gross_g, 140.4, 0.1, "g");
    for (guint i = 0; i < result.explain->len; i++)
        asked |=
            g_strcmp0(g_array_index(result.explain, struct spl_need_step, i).source, "asked") == 0;
    assert_true(asked);
    clear(&result);
    words.press = NULL;
    words.trim_frac = words.moisture_frac = words.ratio = NAN;
    words.final_frac = 0.45;
    answer(&words, &result);
    expect_near(result.final_abv, 45.0, 0.001, "% vol");
    clear(&result);
}

static void all_seven_preparations_answer(void **state)
{
    static const struct {
        const char *material, *preparation;
        gboolean dry;
    } all[] = {{"nettle/leaf", "tincture", FALSE},        {"nettle/leaf", "vinegar", FALSE},
               {"calendula/flower", "infused-oil", TRUE}, {"nettle/leaf", "dried-herb", FALSE},
               {"nettle/leaf", "glycerite", FALSE},       {"elder/flower", "oxymel", FALSE},
               {"elder/flower", "syrup", FALSE}};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(all); i++) {
        struct spl_need_words words;
        struct spl_need_result result;

        ask(&words, all[i].material, all[i].preparation);
        words.dry = all[i].dry;
        answer(&words, &result);
        assert_true(result.herb_g > 0.0);
        assert_true(result.yield_ml > 0.0 || result.yield_g > 0.0);
        clear(&result);
    }
}

/* 500 g with 20 g of wax to 100 g: 100 g of wax; with 25, 125 g. 400 g of oil at 0.915 and 100 of
 * wax at 0.96 are 541.3 mL; by hand. */
static void a_salve_is_asked_for_in_grams(void **state)
{
    struct spl_need_words words;
    struct spl_need_result result;
    GError *error = NULL;

    (void)state;
    ask(&words, "calendula/flower", "salve");
    words.jars = NULL;
    words.dry = TRUE;
    words.yield.g = 500.0;
    answer(&words, &result);
    expect_near(result.yield_g, 500.0, 0.01, "g");
    expect_near(result.yield_ml, 541.3, 0.1, "mL");
    expect_near(result.wax_g, 100.0, 0.05, "g");
    clear(&result);
    words.strength_frac = 0.25;
    answer(&words, &result);
    expect_near(result.yield_g, 500.0, 0.01, "g");
    expect_near(result.wax_g, 125.0, 0.05, "g");
    clear(&result);
    ask(&words, "nettle/leaf", "tincture");
    words.jars = NULL;
    words.yield.g = 500.0;
    assert_false(spl_need_answer(house, &words, &result, &error));
    expect_error(error, SPL_ERROR_INVALID, "yield");
}

static void bad_asks_name_what_is_wrong(void **state)
{
    struct spl_need_words words;
    struct spl_need_result result;
    GError *error = NULL;

    (void)state;
    ask(&words, "dandelion/flowr", "tincture");
    assert_false(spl_need_answer(house, &words, &result, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "dandelion/flower");
    ask(&words, "dandelion/flower", "tinctur");
    assert_false(spl_need_answer(house, &words, &result, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "tincture");
    ask(&words, "dandelion/flower", "tincture");
    words.press = "hydrolic";
    assert_false(spl_need_answer(house, &words, &result, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "hydraulic");
    ask(&words, "dandelion/flower", "tincture");
    words.ratio_means = "weight";
    assert_false(spl_need_answer(house, &words, &result, &error));
    expect_error(error, SPL_ERROR_INVALID, "finished");
    ask(&words, "nettle/leaf", "infused-oil");
    assert_false(spl_need_answer(house, &words, &result, &error));
    expect_error(error, SPL_ERROR_REFUSED, "botulism");
    ask(&words, "nettle/leaf", "vinegar");
    words.strength_frac = 0.04;
    assert_false(spl_need_answer(house, &words, &result, &error));
    expect_error(error, SPL_ERROR_REFUSED, "at least 5 %");
    ask(&words, "nettle/leaf", "dried-herb");
    words.dry = TRUE;
    assert_false(spl_need_answer(house, &words, &result, &error));
    expect_error(error, SPL_ERROR_REFUSED, "dried herb");
    ask(&words, "nettle/leaf", "tincture");
    words.ratio = 1.0;
    words.final_frac = 0.7;
    assert_false(spl_need_answer(house, &words, &result, &error));
    expect_error(error, SPL_ERROR_REFUSED, "not reachable even with absolute alcohol");
}

static void a_weak_end_is_said_with_its_cure(void **state)
{
    struct spl_need_words words;
    struct spl_need_result result;
    gboolean found = FALSE;

    (void)state;
    ask(&words, "nettle/leaf", "tincture");
    words.ratio = 1.0;
    words.strength_frac = 0.375; /* ends near 20 % with leaves of 85 % water */
    answer(&words, &result);
    for (guint i = 0; i < result.cautions->len; i++)
        found |= strstr(g_ptr_array_index(result.cautions, i), "stronger spirit") != NULL;
    assert_true(found);
    clear(&result);
}

static void dilution_by_what_is_made_and_by_what_is_used_up(void **state)
{
    struct spl_dilution made, used;
    GError *error = NULL;

    (void)state;
    /* R 22, reckoned independently: 100 mL of 96 % + 147.053 mL water = 240 mL of 40 %. */
    assert_true(spl_dilute(&(struct spl_dilute_words){0.96, 0.40, 240.0, NAN}, &made, &error));
    expect_near(made.spirit_ml, 100.0, 0.01, "mL");
    expect_near(made.water_ml, 147.053, 0.02, "mL");
    assert_true(spl_dilute(&(struct spl_dilute_words){0.96, 0.40, NAN, 100.0}, &used, &error));
    expect_near(used.make_ml, 240.0, 0.01, "mL");
    expect_near(used.water_ml, 147.053, 0.02, "mL");
    assert_false(spl_dilute(&(struct spl_dilute_words){0.96, 0.40, 100.0, 100.0}, &used, &error));
    expect_error(error, SPL_ERROR_USAGE, "does not go together");
    assert_false(spl_dilute(&(struct spl_dilute_words){0.40, 0.96, 100.0, NAN}, &used, &error));
    expect_error(error, SPL_ERROR_REFUSED, "stronger");
}

#define UNTOUCHED 0x5a

static gboolean is_untouched(const void *record, gsize size)
{
    const unsigned char *bytes = record;

    for (gsize i = 0; i < size; i++)
        if (bytes[i] != UNTOUCHED)
            return FALSE;
    return TRUE;
}

/* Each as far into the function as it gets before it fails. */
static void what_a_function_does_not_fill_it_leaves(void **state)
{
    struct spl_menstruum menstruum;
    struct spl_label_stock stock;
    struct spl_plan_want want;
    struct spl_planned_part part = {.material = (char *)"dandelion/flower", .parts = 1};
    struct spl_planned planned = {.name = (char *)"a plan",
                                  .preparation = (char *)"tincture",
                                  .yield_ml = 1e9,
                                  .yield_g = NAN,
                                  .ratio = NAN,
                                  .strength_frac = NAN,
                                  .by = SPL_DAY_NONE};
    struct spl_lot lot = {.code = (char *)"L27-001",
                          .state = SPL_STATE_ON_SHELF,
                          .left_ml = 10,
                          .left_g = NAN,
                          .made = spl_day_from_ymd(2027, 1, 1),
                          .use_by = SPL_DAY_NONE};
    int count;
    double ml;

    (void)state;
    memset(&menstruum, UNTOUCHED, sizeof menstruum);
    assert_false(spl_menstruum_parse("spirit, a shop, 12", SPL_LIQUID_SPIRIT, &menstruum, NULL));
    assert_true(is_untouched(&menstruum, sizeof menstruum));
    memset(&stock, UNTOUCHED, sizeof stock);
    assert_false(spl_label_stock_find(house, "no such sheet", &stock, NULL));
    assert_true(is_untouched(&stock, sizeof stock));
    planned.parts = g_array_new(FALSE, FALSE, sizeof part);
    g_array_append_val(planned.parts, part);
    memset(&want, UNTOUCHED, sizeof want);
    assert_false(spl_plan_need(house, &planned, 0, &want, NULL));
    assert_true(is_untouched(&want, sizeof want));
    g_array_unref(planned.parts);
    memset(&ml, UNTOUCHED, sizeof ml);
    assert_false(spl_lot_may_go(&lot, FALSE, 11, NAN, spl_day_from_ymd(2027, 5, 4), &ml, NULL));
    assert_true(is_untouched(&ml, sizeof ml));
    memset(&count, UNTOUCHED, sizeof count);
    assert_false(spl_jars_parse("6x500", "the jars", &count, &ml, NULL));
    assert_true(is_untouched(&ml, sizeof ml) && is_untouched(&count, sizeof count));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_half_litre_jar_of_dandelion_flowers),
    cmocka_unit_test(what_was_filled_says_from_which_source),
    cmocka_unit_test(own_figures_take_the_place_of_the_tables),
    cmocka_unit_test(all_seven_preparations_answer),
    cmocka_unit_test(a_salve_is_asked_for_in_grams),
    cmocka_unit_test(bad_asks_name_what_is_wrong),
    cmocka_unit_test(a_weak_end_is_said_with_its_cure),
    cmocka_unit_test(dilution_by_what_is_made_and_by_what_is_used_up),
    cmocka_unit_test(what_a_function_does_not_fill_it_leaves),
};

int main(int argc, char **argv)
{
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, open_house, close_house);
}
