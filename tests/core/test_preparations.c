/* SPDX-License-Identifier: MIT
 *
 * Worked examples of preparations that are more than herb under one liquid: reckoned by hand or by
 * the OIML R 22 tables, each to the digit that is printed.
 */
#include "core/alcohol.h"
#include "core/blend.h"
#include "core/charge.h"
#include "core/need.h"
#include "core/pool.h"
#include "core/water.h"
#include "expect.h"

static struct spl_blend spirit(double ml, double abv)
{
    return spl_blend_of(SPL_LIQUID_SPIRIT, ml, abv, 0.0);
}

static struct spl_blend water_ml(double ml)
{
    return spl_blend_water(ml * SPL_WATER_G_PER_ML);
}

/* 20 g in 1 L, 2 mL kept by a gram: 960 mL. */
static void an_infusion_loses_what_the_herb_keeps(void **state)
{
    struct spl_need_ask ask;
    struct spl_need_result result;
    g_autoptr(GError) error = NULL;

    (void)state;
    spl_need_ask_init(&ask);
    ask.material = "lime/flower";
    ask.preparation = "infusion";
    ask.liquid = SPL_LIQUID_WATER;
    ask.dried = TRUE;
    ask.herb_g = 20.0;
    ask.ratio = SPL_FIGURE(50.0, "asked");
    ask.kept_ml_per_g = SPL_FIGURE(2.0, "asked");
    ask.moisture_frac = SPL_FIGURE(0.0, "as the example has it");
    ask.fresh_per_dry = SPL_FIGURE(4.0, "asked");
    assert_true(spl_need(&ask, &result, &error));
    expect_near(result.menstruum_ml, 1000.0, 0.05, "mL");
    expect_near(result.yield_ml, 960.0, 0.5, "mL");
    assert_true(isnan(result.menstruum_pct));
    assert_true(isnan(result.top_up_ml));
    spl_record_clear(&spl_need_result_shape, &result);
}

/* A decoction boiled down to 450 mL and 850 g of sugar: 1000 mL of 65.4 %, water activity 0.86. */
static void a_decoction_is_made_a_syrup(void **state)
{
    struct spl_blend syrup = spl_blend_of(SPL_LIQUID_SYRUP, 1000.0, 0.6538, 0.0);

    (void)state;
    expect_near(450.0 + spl_syrup_sugar_ml(850.0), 1000.0, 0.5, "mL");
    expect_near(850.0 / (850.0 + 450.0), 0.654, 0.0005, "by mass");
    expect_near(spl_syrup_sugar_g(450.0, 0.6538), 850.0, 0.5, "g");
    expect_near(syrup.sugar_g, 850.0, 2.0, "g");
    expect_near(spl_blend_water_activity(&syrup, SPL_LIQUID_SYRUP, 0.6538), 0.86, 0.005, "");
}

/* 100 mL of oil (91.5 g) and a fifth of wax: 22.9 g; an ounce to a cup (236.6 mL): 11.5 %. */
static void wax_is_a_share_of_the_salve(void **state)
{
    double oil_g = 100.0 * SPL_OIL_G_PER_ML, wax_g = spl_salve_wax_g(oil_g, 0.20);
    struct spl_blend salve;

    (void)state;
    expect_near(oil_g, 91.5, 0.05, "g");
    expect_near(wax_g, 22.9, 0.05, "g");
    expect_near(spl_salve_wax_g(236.6 * SPL_OIL_G_PER_ML, 0.1157), 28.35, 0.1, "g");
    salve = spl_blend_of(SPL_LIQUID_SALVE, 100.0 + spl_salve_wax_ml(wax_g), 0.20, 0.0);
    expect_near(salve.mass_g, oil_g + wax_g, 0.05, "g");
}

/* Of 10 g dried herb in 75 mL oil, 1.4 mL/g kept, a tenth of water in it: 75 - 14 + 1 = 62 mL of
 * oil, 56.7 g; a fifth of wax: 14.2 g in 14.8 mL; 76.8 mL of salve. By hand. */
static void a_salve_is_reckoned_from_the_herb(void **state)
{
    struct spl_need_ask ask;
    struct spl_need_result result;
    g_autoptr(GError) error = NULL;

    (void)state;
    spl_need_ask_init(&ask);
    ask.material = "calendula/flower";
    ask.preparation = "salve";
    ask.liquid = SPL_LIQUID_SALVE;
    ask.dried = TRUE;
    ask.herb_g = 10.0;
    ask.ratio = SPL_FIGURE(7.5, "asked");
    ask.strength_frac = SPL_FIGURE(0.2, "asked");
    ask.kept_ml_per_g = SPL_FIGURE(1.4, "asked");
    ask.moisture_frac = SPL_FIGURE(0.1, "asked");
    ask.fresh_per_dry = SPL_FIGURE(6.5, "asked");
    assert_true(spl_need(&ask, &result, &error));
    expect_near(result.menstruum_ml, 75.0, 0.05, "mL");
    expect_near(result.wax_g, 14.2, 0.05, "g");
    expect_near(result.yield_ml, 76.8, 0.05, "mL");
    spl_record_clear(&spl_need_result_shape, &result);
    ask.strength_frac = SPL_FIGURE(0.9, "asked");
    assert_false(spl_need(&ask, &result, &error));
    expect_error(error, SPL_ERROR_INVALID, "a salve's wax");
}

/* 3 measures of juice and 1 of 90 %: 394 mL of 400, 22.84 % by R 22; 1 kg of herb that gives 500 mL
 * of juice takes 167 mL. */
static void juice_meets_spirit_when_it_is_pressed(void **state)
{
    struct spl_blend both = spl_blend_mix(water_ml(300.0), spirit(100.0, 0.90));
    struct spl_need_ask ask;
    struct spl_need_result result;
    g_autoptr(GError) error = NULL;

    (void)state;
    expect_near(both.ml, 394.0, 0.5, "mL");
    expect_near(spl_blend_abv(&both) * 100.0, 22.84, 0.005, "% vol");
    spl_need_ask_init(&ask);
    ask.material = "echinacea/herb";
    ask.preparation = "succus";
    ask.liquid = SPL_LIQUID_SPIRIT;
    ask.pressed_first = TRUE;
    ask.herb_g = 1000.0;
    ask.ratio = SPL_FIGURE(500.0 / 3.0 / 1000.0, "asked");
    ask.strength_frac = SPL_FIGURE(0.9, "asked");
    ask.moisture_frac = SPL_FIGURE(0.5 * SPL_WATER_G_PER_ML, "asked");
    ask.volume_ml_per_g = SPL_FIGURE(0.5, "asked");
    ask.kept_ml_per_g = SPL_FIGURE(0.0, "asked");
    assert_true(spl_need(&ask, &result, &error));
    expect_near(result.menstruum_ml, 167.0, 0.5, "mL");
    expect_near(result.final_abv, 22.84, 0.005, "% vol");
    expect_near(result.yield_ml, 394.0 / 400.0 * 666.7, 1.0, "mL");
    assert_true(isnan(result.top_up_ml));
    spl_record_clear(&spl_need_result_shape, &result);
}

/* 200 g of herb with 80 % water in 400 mL of 95 %: 69.5 % in all; the next 200 g on 340 mL of it:
 * 47.9 %. */
static void a_second_dose_of_herb_waters_it_twice(void **state)
{
    struct spl_blend first = spl_blend_mix(spirit(400.0, 0.95), spl_blend_water(160.0));
    struct spl_blend second = spl_blend_mix(spl_blend_part(first, 340.0), spl_blend_water(160.0));

    (void)state;
    expect_near(spl_blend_abv(&first) * 100.0, 69.5, 0.05, "% vol");
    expect_near(spl_blend_abv(&second) * 100.0, 47.9, 0.05, "% vol");
}

/* 30 mL of 95 % and 70 mL of decoction: 29.1 %, 97.8 mL; 473 mL and 1893 mL: 19.3 %, under what
 * keeps. */
static void tincture_and_decoction_are_mixed_by_mass(void **state)
{
    struct spl_blend both = spl_blend_mix(spirit(30.0, 0.95), water_ml(70.0));

    (void)state;
    expect_near(spl_blend_abv(&both) * 100.0, 29.1, 0.05, "% vol");
    expect_near(both.ml, 97.8, 0.05, "mL");
    both = spl_blend_mix(spirit(473.0, 0.95), water_ml(1893.0));
    expect_near(spl_blend_abv(&both) * 100.0, 19.3, 0.05, "% vol");
}

/* 100 g of honey with 17.1 % water bear 1.3 g of herb with 85 % up to 18 %, 2.8 g to 19 %, 4.3 g to
 * 20 %; 40 g bring it to 38 %, water activity 0.82. */
static void honey_bears_little_fresh_herb(void **state)
{
    struct spl_water_mix mix = {.water_g = 17.1 + 40.0 * 0.85, .hexose_g = 82.9};

    (void)state;
    expect_near(spl_honey_room_g(100.0, 0.171, 0.85, 0.18), 1.3, 0.05, "g");
    expect_near(spl_honey_room_g(100.0, 0.171, 0.85, 0.19), 2.8, 0.05, "g");
    expect_near(spl_honey_room_g(100.0, 0.171, 0.85, 0.20), 4.3, 0.05, "g");
    expect_near(mix.water_g / (mix.water_g + mix.hexose_g), 0.38, 0.005, "");
    expect_near(spl_water_activity(&mix), 0.82, 0.005, "");
}

/* 225 to 250 mL of 94.9 % and 375 mL of syrup, water to 1000 mL: 21.4 to 23.7 %; 319 g of sugar
 * leave 625 mL of water, which 112 mL of alcohol keep, and 213 are there. */
static void an_elixir_has_alcohol_for_its_free_water(void **state)
{
    struct spl_blend syrup =
        spl_blend_of(SPL_LIQUID_SYRUP, 375.0, 850.0 / (850.0 + 450.0 * SPL_WATER_G_PER_ML), 0.0);
    struct spl_blend elixir = spl_blend_mix(spirit(225.0, 0.949), syrup);

    (void)state;
    expect_near(syrup.sugar_g, 319.0, 0.5, "g");
    elixir = spl_blend_mix(elixir, water_ml(1000.0 - elixir.ml));
    expect_near(elixir.ml, 1000.0, 1e-6, "mL");
    expect_near(spl_blend_abv(&elixir) * 100.0, 21.4, 0.06, "% vol");
    expect_near(250.0 * 0.949 / 10.0, 23.7, 0.05, "% vol");
    expect_near(spl_syrup_ethanol_ml(1000.0, 318.75), 112.5, 0.05, "mL");
    assert_true(elixir.ethanol_g / SPL_ETHANOL_G_PER_ML > 112.5);
}

/* 875 g of wine of 7, 10 and 12 % by mass with 125 g of alcohol (95 % vol): 17.7, 20.3 and 22.1 %
 * by mass, 21.8, 24.9 and 27.0 % vol. 1 L of 12 % vol and 80 mL of 96 %: 18.3 %, 1073 mL. 100 g of
 * herb with 85 % water bring 1 L of 12 % to 11.1, of 18 % to 16.6. */
static void wine_is_strengthened_by_mass(void **state)
{
    static const double wines[][3] = {{0.07, 17.7, 21.8}, {0.10, 20.3, 24.9}, {0.12, 22.1, 27.0}};
    double alcohol_frac = spl_alcohol_mass_from_abv(0.95);
    struct spl_blend both;

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(wines); i++) {
        struct spl_spirit all = {1000.0, 875.0 * wines[i][0] + 125.0 * alcohol_frac};

        expect_near(all.ethanol_g / 10.0, wines[i][1], 0.05, "% by mass");
        expect_near(spl_spirit_abv(all) * 100.0, wines[i][2], 0.05, "% vol");
    }
    both = spl_blend_mix(spirit(1000.0, 0.12), spirit(80.0, 0.96));
    expect_near(spl_blend_abv(&both) * 100.0, 18.3, 0.05, "% vol");
    expect_near(both.ml, 1073.0, 0.5, "mL");
    both = spl_blend_mix(spirit(1000.0, 0.12), spl_blend_water(85.0));
    expect_near(spl_blend_abv(&both) * 100.0, 11.1, 0.05, "% vol");
    both = spl_blend_mix(spirit(1000.0, 0.18), spl_blend_water(85.0));
    expect_near(spl_blend_abv(&both) * 100.0, 16.6, 0.05, "% vol");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(an_infusion_loses_what_the_herb_keeps),
    cmocka_unit_test(a_decoction_is_made_a_syrup),
    cmocka_unit_test(wax_is_a_share_of_the_salve),
    cmocka_unit_test(a_salve_is_reckoned_from_the_herb),
    cmocka_unit_test(juice_meets_spirit_when_it_is_pressed),
    cmocka_unit_test(a_second_dose_of_herb_waters_it_twice),
    cmocka_unit_test(tincture_and_decoction_are_mixed_by_mass),
    cmocka_unit_test(honey_bears_little_fresh_herb),
    cmocka_unit_test(an_elixir_has_alcohol_for_its_free_water),
    cmocka_unit_test(wine_is_strengthened_by_mass),
};
expect_main(tests)
