/* SPDX-License-Identifier: MIT
 *
 * What stands in a jar, for each kind of liquid: figures worked out by hand beside each check.
 */
#include "core/pool.h"
#include "expect.h"

static void each_liquid_has_its_density(void **state)
{
    (void)state;
    /* Half glycerol, half water: (1.2611 + 0.9982) / 2; the density of water at 20 degrees. */
    expect_near(spl_liquid_density(SPL_LIQUID_GLYCEROL, 0.5, 0), 1.12965, 1e-4, "g/mL");
    /* Three parts of honey to one of vinegar: 0.75 * 1.433 + 0.25 * 1.010. */
    expect_near(spl_liquid_density(SPL_LIQUID_OXYMEL, 0.05, 0.75), 1.32725, 1e-9, "g/mL");
    expect_near(spl_liquid_density(SPL_LIQUID_OIL, NAN, 0), 0.915, 1e-9, "g/mL");
    expect_near(spl_liquid_density(SPL_LIQUID_SYRUP, 0.65, 0), 0.9982, 1e-4, "g/mL");
    expect_near(spl_liquid_density(SPL_LIQUID_NONE, NAN, 0), 1, 0, "g/mL");
}

static void water_of_the_herb_thins_the_pool(void **state)
{
    struct spl_pool pool;

    (void)state;
    /* 500 mL of 6 % vinegar take up 99.82 g of water, 100 mL: 30 g of acid in 600 mL, 5 %. */
    pool = spl_pool_of(SPL_LIQUID_VINEGAR, 500, 0.06, 0, 99.82);
    expect_near(pool.final_frac, 0.05, 1e-5, "");
    expect_near(pool.ml, 600, 0.01, "mL");
    /* 400 mL of 75 % glycerol and 100 mL of water: 300 mL in 500. */
    pool = spl_pool_of(SPL_LIQUID_GLYCEROL, 400, 0.75, 0, 99.82);
    expect_near(pool.final_frac, 0.6, 1e-5, "");
    /* Oil takes up none, and dried herb stands in nothing. */
    pool = spl_pool_of(SPL_LIQUID_OIL, 300, NAN, 0, 80);
    expect_near(pool.ml, 300, 0, "mL");
    assert_true(isnan(pool.final_frac));
    pool = spl_pool_of(SPL_LIQUID_NONE, 0, NAN, 0, 80);
    expect_near(pool.ml, 0, 0, "mL");
    pool = spl_pool_of(SPL_LIQUID_SYRUP, 450, 0.65, 0, 0);
    expect_near(pool.final_frac, 0.65, 0, "");
}

static void oxymel_is_watched_for_acid_and_sugar(void **state)
{
    /* 300 mL of honey (429.9 g) and 100 mL of 5 % vinegar (101 g) over herb with 99.82 g of water:
     * acid 5 g in 500 mL; sugar 0.82 * 429.9 g in 630.72 g. */
    struct spl_pool pool = spl_pool_of(SPL_LIQUID_OXYMEL, 400, 0.05, 0.75, 99.82);

    (void)state;
    expect_near(pool.acid_frac, 0.01, 1e-5, "");
    expect_near(pool.final_frac, 0.82 * 429.9 / 630.72, 1e-5, "");
}

static void the_strength_to_pour_gives_the_strength_wanted(void **state)
{
    (void)state;
    /* Vinegar, 2 mL on a gram that is 79.86 % water (0.8 mL): 4 % of 2.8 mL from 2 mL is 5.6 %. */
    expect_near(spl_strength_needed(SPL_LIQUID_VINEGAR, 2, 0, 0.79856, 0.04), 0.056, 1e-5, "");
    /* With honey three parts of four, only half a millilitre of the two is vinegar. */
    expect_near(spl_strength_needed(SPL_LIQUID_OXYMEL, 2, 0.75, 0.79856, 0.01), 0.056, 1e-5, "");
    expect_near(spl_strength_needed(SPL_LIQUID_GLYCEROL, 4, 0, 0.79856, 0.6), 0.72, 1e-5, "");
    expect_near(spl_strength_needed(SPL_LIQUID_SYRUP, 2, 0, 0.8, 0.65), 0.65, 0, "");
    /* The sale of vinegar ends at 15.5 %, glycerol at 100 %; oil has no strength. */
    assert_true(isnan(spl_strength_needed(SPL_LIQUID_VINEGAR, 1, 0, 0.79856, 0.1)));
    assert_true(isnan(spl_strength_needed(SPL_LIQUID_GLYCEROL, 1, 0, 0.79856, 0.6)));
    assert_true(isnan(spl_strength_needed(SPL_LIQUID_OIL, 4, 0, 0.8, 0.5)));
    assert_true(isnan(spl_strength_needed(SPL_LIQUID_NONE, 4, 0, 0.8, 0.5)));
    /* Absolute alcohol over its own weight of fresh herb stays under 90 %. */
    assert_true(isnan(spl_strength_needed(SPL_LIQUID_SPIRIT, 1, 0, 0.8, 0.9)));
}

static void the_least_ratio_is_where_the_strongest_just_does(void **state)
{
    (void)state;
    /* R = w s / (1 - s): 0.8 mL of water; vinegar of 15.5 % to 7.75 %: s = 1/2, R = 0.8. */
    expect_near(spl_ratio_needed(SPL_LIQUID_VINEGAR, 0, 0.79856, 0.0775), 0.8, 1e-5, "mL/g");
    /* One part of vinegar in two: 3.875 % is half of what there is. */
    expect_near(spl_ratio_needed(SPL_LIQUID_OXYMEL, 0.5, 0.79856, 0.03875), 0.8, 1e-5, "mL/g");
    expect_near(spl_ratio_needed(SPL_LIQUID_GLYCEROL, 0, 0.79856, 0.6), 1.2, 1e-5, "mL/g");
    assert_true(isinf(spl_ratio_needed(SPL_LIQUID_VINEGAR, 0, 0.8, 0.2)));
    assert_true(isinf(spl_ratio_needed(SPL_LIQUID_SPIRIT, 0, 0.8, 1)));
    assert_true(isinf(spl_ratio_needed(SPL_LIQUID_OIL, 0, 0.8, 0.5)));
    assert_true(isinf(spl_ratio_needed(SPL_LIQUID_NONE, 0, 0.8, 0.5)));
    assert_true(isinf(spl_ratio_needed(SPL_LIQUID_SYRUP, 0, 0.8, 0.5)));
}

static void what_the_herb_keeps_is_not_poured_off(void **state)
{
    struct spl_pool pool = {.liquid = SPL_LIQUID_VINEGAR, .ml = 600, .final_frac = 0.05};

    (void)state;
    expect_near(spl_pool_yield(&pool, 200, 100, 1.2), 360, 1e-9, "mL");
    expect_near(spl_pool_yield(&pool, 600, 100, 1.2), 0, 0, "mL");
    /* Oil: the herb keeps 240 mL, of which 100 are its own water; never more than was poured. */
    pool = (struct spl_pool){.liquid = SPL_LIQUID_OIL, .ml = 600, .final_frac = NAN};
    expect_near(spl_pool_yield(&pool, 200, 99.82, 1.2), 460, 0.01, "mL");
    expect_near(spl_pool_yield(&pool, 10, 99.82, 1.2), 600, 0, "mL");
    /* Syrup of the USP: 450 mL of water take 850 g of sugar, 65.43 % by mass, and make a litre. */
    pool = (struct spl_pool){.liquid = SPL_LIQUID_SYRUP, .ml = 450, .final_frac = 0.6543};
    expect_near(spl_pool_yield(&pool, 0, 0, 0), 1000, 1.5, "mL");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(each_liquid_has_its_density),
    cmocka_unit_test(water_of_the_herb_thins_the_pool),
    cmocka_unit_test(oxymel_is_watched_for_acid_and_sugar),
    cmocka_unit_test(the_strength_to_pour_gives_the_strength_wanted),
    cmocka_unit_test(the_least_ratio_is_where_the_strongest_just_does),
    cmocka_unit_test(what_the_herb_keeps_is_not_poured_off),
};
expect_main(tests)
