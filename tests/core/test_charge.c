/* SPDX-License-Identifier: MIT
 *
 * What a jar was charged with, and liquids mixed and shared out to any depth: nothing is lost.
 */
#include "expect.h"

#include "core/charge.h"
#include "core/need.h"

static struct spl_charge_herb herb(double grams, double moisture, struct spl_day on)
{
    return (struct spl_charge_herb){.grams = grams,
                                    .moisture_frac = moisture,
                                    .volume_ml_per_g = NAN,
                                    .kept_ml_per_g = SPL_FIGURE_RANGE(1.25, 0.9, 1.35, "hand"),
                                    .fresh = TRUE,
                                    .on = on};
}

/* The same jar as `need` reckons it: 87.319 g, 436.6 mL of 40 %, 34.2 %, 401.1 mL by hand. */
static void one_herb_and_one_liquid_are_what_need_says(void **state)
{
    struct spl_day on = spl_day_from_ymd(2027, 5, 4);
    struct spl_charge_herb herbs[] = {herb(87.319, 0.85, on)};
    struct spl_charge_liquid liquids[] = {{spl_blend_of(SPL_LIQUID_SPIRIT, 436.6, 0.40, 0.0), on}};
    struct spl_charge charge;

    (void)state;
    spl_charge_sum(SPL_LIQUID_SPIRIT, herbs, 1, liquids, 1, &charge);
    expect_near(charge.ratio, 5.0, 0.001, "");
    expect_near(charge.final_frac * 100.0, 34.226, 0.005, "% vol");
    expect_near(charge.yield_ml, 401.10, 0.05, "mL");
    assert_true(charge.yield_low_ml < charge.yield_ml && charge.yield_high_ml > charge.yield_ml);
    expect_near(charge.room_ml, 520.0, 0.05, "mL");
    expect_near(charge.poured_frac, 0.40, 1e-9, "");
    assert_int_equal(charge.last_herb_on.n, on.n);
    assert_true(isnan(charge.acid_frac));
}

static void herb_and_liquid_added_later_count(void **state)
{
    struct spl_day day = spl_day_from_ymd(2027, 5, 4);
    struct spl_charge_herb herbs[] = {herb(50.0, 0.85, spl_day_add(day, 3)), herb(50.0, 0.85, day)};
    struct spl_charge_liquid liquids[] = {
        {spl_blend_of(SPL_LIQUID_SPIRIT, 400.0, 0.40, 0.0), day},
        {spl_blend_of(SPL_LIQUID_SPIRIT, 100.0, 0.50, 0.0), spl_day_add(day, 1)}};
    struct spl_charge charge;

    (void)state;
    spl_charge_sum(SPL_LIQUID_SPIRIT, herbs, 2, liquids, 2, &charge);
    expect_near(charge.herb_g, 100.0, 1e-9, "g");
    /* 500 mL less what spirit of 40 and 50 % shrinks by: under 0.1 %. */
    expect_near(charge.ratio, 5.0, 0.005, "");
    /* 160 + 50 mL of ethanol in it all. */
    expect_near(charge.pool.ml * charge.final_frac, 210.0, 0.001, "mL ethanol");
    assert_int_equal(charge.last_herb_on.n, day.n + 3);
    assert_int_equal(charge.first_on.n, day.n);
}

static void marc_gives_what_it_held_to_the_second_maceration(void **state)
{
    struct spl_day day = spl_day_from_ymd(2027, 7, 1);
    struct spl_blend first = spl_blend_of(SPL_LIQUID_SPIRIT, 500.0, 0.60, 0.0);
    struct spl_blend held = spl_blend_part(first, 120.0);
    struct spl_charge_herb marc = herb(100.0, 0.0, day);
    struct spl_charge_liquid water[] = {{spl_blend_of(SPL_LIQUID_SPIRIT, 200.0, 0.25, 0.0), day}};
    struct spl_charge charge;

    (void)state;
    marc.soaked = held;
    marc.fresh = FALSE;
    spl_charge_sum(SPL_LIQUID_SPIRIT, &marc, 1, water, 1, &charge);
    expect_near(charge.pool.ml * charge.final_frac, 120.0 * 0.6 + 200.0 * 0.25, 0.001,
                "mL ethanol");
    expect_near(charge.fresh_g, 0.0, 0.0, "g");
    expect_near(charge.ratio, 2.0, 1e-6, "");
}

/* An oxymel from an infused vinegar: 250 mL of 4.2 % and 250 mL of honey, no more herb. By hand:
 * acid 10.5 g in 500 mL; sugar 0.82 x 1.433 x 250 = 293.8 g of 610.8 g. */
static void an_infused_vinegar_and_honey_make_an_oxymel(void **state)
{
    struct spl_charge_liquid liquids[] = {
        {spl_blend_of(SPL_LIQUID_VINEGAR, 250.0, 0.042, 0.0), SPL_DAY_NONE},
        {spl_blend_of(SPL_LIQUID_OXYMEL, 250.0, 0.0, 1.0), SPL_DAY_NONE}};
    struct spl_charge charge;

    (void)state;
    spl_charge_sum(SPL_LIQUID_OXYMEL, NULL, 0, liquids, 2, &charge);
    expect_near(charge.acid_frac * 100.0, 2.1, 1e-9, "%");
    expect_near(charge.sugar_frac * 100.0, 48.1, 0.05, "%");
    expect_near(charge.yield_ml, 500.0, 1e-9, "mL");
    assert_true(isnan(charge.ratio));
    assert_false(spl_day_is_set(charge.last_herb_on));
}

static void a_finished_syrup_is_that_of_the_pharmacopoeia(void **state)
{
    /* USP syrup: 850 g of sugar and 450 mL of water (449.2 g) in 1000 mL: 65.4 % by mass; specific
     * gravity at least 1.30 within a rounding. */
    struct spl_blend syrup = spl_blend_of(SPL_LIQUID_SYRUP, 1000.0, 850.0 / 1299.2, 0.0);

    (void)state;
    expect_near(syrup.sugar_g, 850.0, 0.1, "g");
    expect_near(syrup.mass_g, 1299.2, 0.1, "g");
    expect_near(spl_blend_strength(&syrup, SPL_LIQUID_SYRUP), 850.0 / 1299.2, 1e-9, "");
}

static void nothing_is_lost_through_mixing_pressing_and_use_of_any_depth(void **state)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(99);

    (void)state;
    for (int round = 0; round < 50; round++) {
        struct spl_blend shelf[8], out = {0};
        double mass = 0.0, ethanol = 0.0, acid = 0.0;

        for (int i = 0; i < 8; i++) {
            enum spl_liquid liquid = i < 6 ? SPL_LIQUID_SPIRIT : SPL_LIQUID_VINEGAR;

            shelf[i] = spl_blend_of(liquid, g_rand_double_range(rand, 50.0, 900.0),
                                    g_rand_double_range(rand, 0.05, 0.9), 0.0);
            mass += shelf[i].mass_g;
            ethanol += shelf[i].ethanol_g;
            acid += shelf[i].acid_g;
        }
        for (int depth = 0; depth < 100; depth++) {
            int from = g_rand_int_range(rand, 0, 8), to = g_rand_int_range(rand, 0, 8);
            struct spl_blend part =
                spl_blend_part(shelf[from], shelf[from].ml * g_rand_double_range(rand, 0.0, 1.2));

            shelf[from] = spl_blend_less(shelf[from], part);
            if (depth % 3 == 0)
                out = spl_blend_mix(out, part);
            else
                shelf[to] = spl_blend_mix(shelf[to], part);
        }
        for (int i = 0; i < 8; i++)
            out = spl_blend_mix(out, shelf[i]);
        expect_near(out.mass_g, mass, 1e-9 * mass, "g");
        expect_near(out.ethanol_g, ethanol, 1e-9 * mass, "g");
        expect_near(out.acid_g, acid, 1e-9 * mass, "g");
    }
}

static void parts_are_shared_out_by_the_scarcest(void **state)
{
    const double have[] = {390.0, 395.0}, even[] = {1.0, 1.0}, two[] = {2.0, 1.0},
                 bad[] = {1.0, 0.0};
    double taken[2];
    GError *error = NULL;

    (void)state;
    assert_true(spl_parts_share(have, even, 2, taken, &error));
    expect_near(taken[0], 390.0, 1e-9, "mL");
    expect_near(taken[1], 390.0, 1e-9, "mL");
    assert_true(spl_parts_share(have, two, 2, taken, &error));
    expect_near(taken[0], 390.0, 1e-9, "mL");
    expect_near(taken[1], 195.0, 1e-9, "mL");
    assert_false(spl_parts_share(have, bad, 2, taken, &error));
    expect_error(error, SPL_ERROR_INVALID, "above 0");
    assert_false(spl_parts_share(have, bad, 0, taken, &error));
    expect_error(error, SPL_ERROR_INVALID, "nothing");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(one_herb_and_one_liquid_are_what_need_says),
    cmocka_unit_test(herb_and_liquid_added_later_count),
    cmocka_unit_test(marc_gives_what_it_held_to_the_second_maceration),
    cmocka_unit_test(an_infused_vinegar_and_honey_make_an_oxymel),
    cmocka_unit_test(a_finished_syrup_is_that_of_the_pharmacopoeia),
    cmocka_unit_test(nothing_is_lost_through_mixing_pressing_and_use_of_any_depth),
    cmocka_unit_test(parts_are_shared_out_by_the_scarcest),
};
expect_main(tests)
