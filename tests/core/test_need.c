/* SPDX-License-Identifier: MIT
 *
 * How much plant a batch needs: the figures of the trade, a second reckoning, the properties.
 */
#include "expect.h"

#include "core/alcohol.h"
#include "core/need.h"
#include "rows.h"

#define FROM_MEMORY(value_, low_, high_) ((struct spl_figure){value_, low_, high_, "memory", TRUE})
#define HAND FROM_MEMORY(1.25, 0.9, 1.35)

/* Dandelion flowers in 40 % spirit, 1:5. */
static struct spl_need_ask flowers(void)
{
    struct spl_need_ask ask;

    spl_need_ask_init(&ask);
    ask.material = "dandelion/flower";
    ask.preparation = "tincture";
    ask.liquid = SPL_LIQUID_SPIRIT;
    ask.ratio = SPL_FIGURE(5.0, "asked");
    ask.strength_frac = SPL_FIGURE(0.40, "asked");
    ask.moisture_frac = FROM_MEMORY(0.85, 0.80, 0.88);
    ask.headspace_frac = SPL_FIGURE(0.0, "to the brim");
    ask.kept_ml_per_g = HAND;
    return ask;
}

static void answer(const struct spl_need_ask *ask, struct spl_need_result *result)
{
    g_autoptr(GError) error = NULL;

    if (!spl_need(ask, result, &error))
        fail_msg("%s", error->message);
}

#define clear(result) spl_record_clear(&spl_need_result_shape, result)

/* Facts of the trade, figures by hand with the model. */
static void a_500_ml_jar_takes_87_g_of_dandelion_flowers(void **state)
{
    static const struct spl_vessel jar = {500.0, 520.0, 1, "jars"},
                                   brim = {500.0, 500.0, 1, "jars"};
    static const struct {
        double kept, yield;
    } presses[] = {{1.6, 371.0}, {1.25, 402.0}, {0.5, 467.0}};
    struct spl_need_ask ask = flowers();
    struct spl_need_result result;

    (void)state;
    ask.jars = &jar;
    ask.n_jars = 1;
    for (gsize i = 0; i < G_N_ELEMENTS(presses); i++) {
        ask.kept_ml_per_g = SPL_FIGURE(presses[i].kept, "asked");
        answer(&ask, &result);
        expect_near(result.herb_g, 87.0, 87.0 * 0.015, "g");
        expect_near(result.yield_ml, presses[i].yield, presses[i].yield * 0.02, "mL");
        expect_near(result.final_abv, 34.2, 0.3, "% vol");
        expect_near(result.menstruum_abv, 40.0, 1e-9, "% vol");
        assert_int_equal(result.jars->len, 1);
        clear(&result);
    }
    ask.jars = &brim;
    answer(&ask, &result);
    expect_near(result.herb_g, 84.0, 84.0 * 0.015, "g");
    clear(&result);
}

static void every_worked_case_agrees_with_the_second_reckoning(void **state)
{
    g_autoptr(GPtrArray) rows = rows_of("need_worked.csv");

    (void)state;
    assert_true(rows->len >= 13);
    for (guint i = 0; i < rows->len; i++) {
        char **row = g_ptr_array_index(rows, i);
        struct spl_vessel jar = {number_of(row, 2), number_of(row, 2), 1, NULL};
        struct spl_need_ask ask = flowers();
        struct spl_need_result result;
        double final;

        ask.liquid = SPL_LIQUID_NONE;
        for (enum spl_liquid l = SPL_LIQUID_NONE; l <= SPL_LIQUID_SYRUP; l++) {
            if (g_str_equal(spl_liquid_name(l), row[1]))
                ask.liquid = l;
        }
        assert_int_not_equal(ask.liquid, SPL_LIQUID_NONE);
        ask.jars = &jar;
        ask.n_jars = 1;
        ask.headspace_frac = SPL_FIGURE(number_of(row, 3), "asked");
        ask.ratio = SPL_FIGURE(number_of(row, 4), "asked");
        ask.moisture_frac = SPL_FIGURE(number_of(row, 5), "asked");
        ask.strength_frac = SPL_FIGURE(number_of(row, 6), "asked");
        ask.kept_ml_per_g = SPL_FIGURE(number_of(row, 7), "asked");
        ask.honey_ml_per_ml = SPL_FIGURE(1.0, "asked");
        if (ask.liquid == SPL_LIQUID_OIL)
            ask.strength_frac = SPL_FIGURE_NONE;
        answer(&ask, &result);
        expect_near(result.herb_g, number_of(row, 8), 0.001 * number_of(row, 8), row[0]);
        expect_near(result.menstruum_ml, number_of(row, 9), 0.001 * number_of(row, 9), row[0]);
        expect_near(result.yield_ml, number_of(row, 11), 0.001 * number_of(row, 11), row[0]);
        final = ask.liquid == SPL_LIQUID_SPIRIT     ? result.final_abv
                : ask.liquid == SPL_LIQUID_VINEGAR  ? result.final_acid
                : ask.liquid == SPL_LIQUID_GLYCEROL ? result.final_glycerol
                                                    : result.final_sugar;
        if (isnan(number_of(row, 10)))
            assert_true(isnan(final));
        else
            expect_near(final, number_of(row, 10) * 100.0, 0.02, row[0]);
        clear(&result);
    }
}

static void final_strengths_are_those_of_the_table(void **state)
{
    g_autoptr(GPtrArray) rows = rows_of("final_strength.csv");

    (void)state;
    assert_int_equal(rows->len, 240);
    for (guint i = 0; i < rows->len; i++) {
        char **row = g_ptr_array_index(rows, i);
        struct spl_pool pool = spl_pool_of(SPL_LIQUID_SPIRIT, number_of(row, 1),
                                           number_of(row, 0) / 100.0, 0.0, number_of(row, 2));

        expect_near(pool.final_frac * 100.0, number_of(row, 3), 0.051, "% vol");
    }
}

static void the_strength_to_pour_is_that_of_the_table_or_not_reachable(void **state)
{
    g_autoptr(GPtrArray) rows = rows_of("strength_needed.csv");
    struct spl_need_ask ask = flowers();
    struct spl_need_result result;
    GError *error = NULL;

    (void)state;
    for (guint i = 0; i < rows->len; i++) {
        char **row = g_ptr_array_index(rows, i);
        double needed = spl_strength_needed(SPL_LIQUID_SPIRIT, number_of(row, 1), 0.0,
                                            number_of(row, 2), number_of(row, 0) / 100.0);

        if (isnan(number_of(row, 3)))
            assert_true(isnan(needed));
        else
            expect_near(needed * 100.0, number_of(row, 3), 0.051, "% vol");
    }
    ask.herb_g = 100.0;
    ask.ratio = SPL_FIGURE(1.0, "asked");
    ask.wanted_frac = 0.60;
    assert_false(spl_need(&ask, &result, &error));
    expect_error(error, SPL_ERROR_REFUSED, "not reachable even with absolute alcohol");
    /* The cure that the message names is the least ratio that does it. */
    expect_near(spl_ratio_needed(SPL_LIQUID_SPIRIT, 0.0, 0.85, 0.60), 1.17, 0.01, "mL/g");
    ask.ratio = SPL_FIGURE(1.2, "asked");
    answer(&ask, &result);
    expect_near(result.final_abv, 60.0, 0.001, "% vol");
    assert_true(result.menstruum_abv > 98.0 && result.menstruum_abv <= 100.0);
    clear(&result);
    ask.liquid = SPL_LIQUID_VINEGAR;
    ask.wanted_frac = 0.14;
    ask.ratio = SPL_FIGURE(2.0, "asked");
    assert_false(spl_need(&ask, &result, &error));
    expect_error(error, SPL_ERROR_REFUSED, "strongest vinegar");
}

/* Vinegar of 5 % with a quarter of its volume of plant water is at the floor of 4 % (FDA CPG
 * 525.825: diluted vinegar never below 4 %). */
static void a_quarter_of_plant_water_brings_vinegar_to_four_per_cent(void **state)
{
    struct spl_pool pool =
        spl_pool_of(SPL_LIQUID_VINEGAR, 1000.0, 0.05, 0.0, 250.0 * SPL_WATER_G_PER_ML);

    (void)state;
    expect_near(pool.acid_frac * 100.0, 4.0, 1e-9, "%");
}

/* UNC Pharmaceutics laboratory: 1000 mL with 500 g sugar: 324 mL sugar, 265 held, 411 free, 74 mL
 * of absolute alcohol, 78 mL of 95 %. USP syrup: 850 g of sugar keeps itself. */
static void a_weak_syrup_needs_the_alcohol_of_the_free_water_rule(void **state)
{
    (void)state;
    expect_near(spl_syrup_ethanol_ml(1000.0, 500.0), 74.1, 0.1, "mL");
    expect_near(spl_syrup_ethanol_ml(1000.0, 500.0) / 0.95, 78.0, 0.1, "mL of 95 %");
    expect_near(spl_syrup_ethanol_ml(1000.0, 850.0), 0.0, 1e-9, "mL");
    expect_near(spl_syrup_sugar_ml(500.0), 323.5, 0.1, "mL");
    /* 65 % by mass: 1.857 g of sugar to each gram. */
    expect_near(spl_syrup_sugar_g(100.0, 0.65), 185.7, 0.05, "g");
}

/* USP "Tinctures of fresh herbs": 500 g bruised herb + 1000 mL of alcohol (94.9 % vol); pool 1366
 * mL of 69.5 % with herb of 80 % water (R 22, reckoned independently). HAB method 2a: plant water
 * and as much 86 % (m/m) alcohol by mass end at 43 % m/m whatever the water: 50.6 % vol. */
static void fresh_herb_tinctures_of_the_pharmacopoeias_come_out(void **state)
{
    struct spl_pool usp = spl_pool_of(SPL_LIQUID_SPIRIT, 1000.0, 0.949, 0.0, 400.0);

    (void)state;
    expect_near(usp.final_frac * 100.0, 69.5, 0.1, "% vol");
    expect_near(usp.ml, 1366.0, 1.0, "mL");
    for (double water = 0.6; water < 0.95; water += 0.05) {
        double strength = spl_alcohol_abv_from_mass(0.86);
        double ml = 100.0 * water / spl_liquid_density(SPL_LIQUID_SPIRIT, strength, 0.0);
        struct spl_pool hab = spl_pool_of(SPL_LIQUID_SPIRIT, ml, strength, 0.0, 100.0 * water);

        expect_near(hab.final_frac * 100.0, 50.6, 0.05, "% vol");
    }
}

/* 1:5 by volume in 40 % spirit is 1:4.74 by mass, in 70 % 1:4.43 (R 22). */
static void the_three_meanings_of_one_to_five_differ_as_they_should(void **state)
{
    struct spl_need_ask ask = flowers();
    struct spl_need_result put_in, mass, finished;

    (void)state;
    ask.herb_g = 100.0;
    answer(&ask, &put_in);
    expect_near(put_in.ratio, 5.0, 1e-12, "");
    expect_near(put_in.ratio_mass, 4.74, 0.005, "g/g");
    expect_near(put_in.menstruum_ml, 500.0, 1e-9, "mL");
    assert_non_null(strstr(put_in.ratio_meaning, "w/v"));
    ask.ratio_meaning = SPL_RATIO_MASS;
    answer(&ask, &mass);
    expect_near(mass.ratio_mass, 5.0, 1e-9, "g/g");
    expect_near(mass.menstruum_ml, 500.0 / 0.9480452, 0.01, "mL");
    assert_non_null(strstr(mass.ratio_meaning, "m/m"));
    ask.ratio_meaning = SPL_RATIO_FINISHED;
    answer(&ask, &finished);
    expect_near(finished.ratio_finished, 5.0, 1e-9, "mL/g");
    expect_near(finished.yield_ml, 500.0, 1e-6, "mL");
    assert_true(finished.menstruum_ml > 500.0);
    assert_non_null(strstr(finished.ratio_meaning, "finished"));
    expect_near(finished.ratio_asked, 5.0, 1e-12, "");
    clear(&put_in);
    clear(&mass);
    clear(&finished);
    ask.ratio_meaning = SPL_RATIO_PUT_IN;
    ask.strength_frac = SPL_FIGURE(0.70, "asked");
    answer(&ask, &put_in);
    expect_near(put_in.ratio_mass, 4.43, 0.005, "g/g");
    clear(&put_in);
}

/* Ask for a jar, then for its yield, then with its herb: the same batch three times. */
static void need_and_its_inverses_agree(void **state)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(4711);
    static const enum spl_liquid liquids[] = {SPL_LIQUID_SPIRIT, SPL_LIQUID_VINEGAR,
                                              SPL_LIQUID_OIL,    SPL_LIQUID_GLYCEROL,
                                              SPL_LIQUID_OXYMEL, SPL_LIQUID_SYRUP};

    (void)state;
    for (int i = 0; i < 400; i++) {
        struct spl_vessel jar = {500.0, g_rand_double_range(rand, 100.0, 5000.0), 1, NULL};
        struct spl_need_ask ask = flowers();
        struct spl_need_result by_jar, by_yield, by_herb;

        ask.liquid = liquids[i % 6];
        ask.ratio.value = g_rand_double_range(rand, 1.5, 12.0);
        ask.ratio_meaning = (enum spl_ratio_meaning)(i % 3);
        ask.strength_frac.value = g_rand_double_range(rand, 0.05, 0.15);
        if (ask.liquid == SPL_LIQUID_SPIRIT || ask.liquid == SPL_LIQUID_GLYCEROL)
            ask.strength_frac.value = g_rand_double_range(rand, 0.3, 1.0);
        ask.moisture_frac.value = g_rand_double_range(rand, 0.08, 0.92);
        ask.kept_ml_per_g.value = g_rand_double_range(rand, 0.2, 1.4);
        ask.dried = ask.moisture_frac.value < 0.2;
        if (ask.dried)
            ask.fresh_per_dry = SPL_FIGURE(5.0, "asked");
        if (i % 5 == 0) {
            ask.fill_frac = SPL_FIGURE(g_rand_double_range(rand, 0.3, 1.0), "asked");
            ask.bulk_g_per_ml = SPL_FIGURE(g_rand_double_range(rand, 0.1, 0.35), "asked");
        }
        ask.jars = &jar;
        ask.n_jars = 1;
        answer(&ask, &by_jar);
        ask.n_jars = 0;
        ask.sizes = &jar;
        ask.n_sizes = 1;
        ask.yield_ml = by_jar.yield_ml;
        answer(&ask, &by_yield);
        ask.yield_ml = NAN;
        ask.herb_g = by_yield.herb_g;
        answer(&ask, &by_herb);
        expect_near(by_yield.herb_g, by_jar.herb_g, 0.001 * by_jar.herb_g, "g");
        expect_near(by_herb.yield_ml, by_jar.yield_ml, 0.001 * by_jar.yield_ml, "mL");
        expect_near(by_herb.menstruum_ml, by_jar.menstruum_ml, 0.001 * by_jar.menstruum_ml, "mL");
        assert_int_equal(by_yield.jars->len, 1);
        assert_int_equal(by_herb.jars->len, 1);
        expect_near(g_array_index(by_herb.jars, struct spl_need_jar, 0).herb_g, by_jar.herb_g,
                    0.001 * by_jar.herb_g, "g");
        assert_true(by_jar.yield_low_ml <= by_jar.yield_ml + 1e-9);
        assert_true(by_jar.yield_high_ml >= by_jar.yield_ml - 1e-9);
        clear(&by_jar);
        clear(&by_yield);
        clear(&by_herb);
    }
}

static void more_water_in_the_plant_never_raises_the_strength(void **state)
{
    (void)state;
    for (double strength = 0.05; strength <= 1.0; strength += 0.05) {
        for (double ratio = 0.5; ratio <= 10.0; ratio *= 1.7) {
            double before[4] = {INFINITY, INFINITY, INFINITY, INFINITY};

            for (double water = 0.0; water <= 0.95; water += 0.05) {
                struct spl_pool pools[4] = {
                    spl_pool_of(SPL_LIQUID_SPIRIT, ratio, strength, 0.0, water),
                    spl_pool_of(SPL_LIQUID_VINEGAR, ratio, strength, 0.0, water),
                    spl_pool_of(SPL_LIQUID_GLYCEROL, ratio, strength, 0.0, water),
                    spl_pool_of(SPL_LIQUID_OXYMEL, ratio, strength, 0.5, water)};

                for (int i = 0; i < 4; i++) {
                    assert_true(pools[i].final_frac <= before[i]);
                    assert_true(water == 0.0 || pools[i].final_frac < before[i]);
                    before[i] = pools[i].final_frac;
                }
            }
        }
    }
}

static void mass_and_ethanol_are_conserved_from_jar_to_bottle_and_marc(void **state)
{
    struct spl_need_ask ask = flowers();

    (void)state;
    for (double ratio = 1.5; ratio < 10.0; ratio += 0.5) {
        struct spl_need_result result;
        double in_ml, out_ml, pool_ml;

        ask.ratio.value = ratio;
        ask.strength_frac.value = 0.3 + ratio * 0.06;
        ask.herb_g = 100.0;
        answer(&ask, &result);
        pool_ml = result.yield_ml + 1.25 * 100.0;
        in_ml = result.menstruum_ml * result.menstruum_abv / 100.0;
        out_ml = pool_ml * result.final_abv / 100.0;
        expect_near(out_ml, in_ml, 1e-6 * in_ml, "mL of ethanol");
        expect_near(pool_ml * spl_liquid_density(SPL_LIQUID_SPIRIT, result.final_abv / 100.0, 0.0),
                    result.menstruum_ml * spl_liquid_density(SPL_LIQUID_SPIRIT,
                                                             result.menstruum_abv / 100.0, 0.0) +
                        85.0,
                    1e-4, "g");
        clear(&result);
    }
}

/* Common practice, no source: a litre of flower vinegar has the jar three-quarters full of roughly
 * chopped flowers. By hand: 0.75 x 0.2 x 1040 = 156 g; 1040 - 156 x 0.9550 = 891 mL; acid 5 x 891 /
 * (891 + 132.8) = 4.35 %. */
static void a_litre_of_vinegar_by_three_quarters_of_the_jar(void **state)
{
    static const struct spl_vessel jar = {1000.0, 1040.0, 1, "jars"};
    struct spl_need_ask ask = flowers();
    struct spl_need_result result;

    (void)state;
    ask.liquid = SPL_LIQUID_VINEGAR;
    ask.preparation = "vinegar";
    ask.strength_frac = SPL_FIGURE(0.05, "asked");
    ask.ratio = SPL_FIGURE_NONE;
    ask.fill_frac = SPL_FIGURE(0.75, "asked");
    ask.bulk_g_per_ml = SPL_FIGURE(0.20, "asked");
    ask.jars = &jar;
    ask.n_jars = 1;
    answer(&ask, &result);
    expect_near(result.herb_g, 156.0, 0.1, "g");
    expect_near(result.menstruum_ml, 891.0, 0.5, "mL");
    expect_near(result.final_acid, 4.35, 0.01, "%");
    assert_true(isnan(result.final_abv) && isnan(result.menstruum_abv));
    assert_true(isnan(result.ratio_asked));
    clear(&result);
    ask.bulk_g_per_ml = SPL_FIGURE(1.19, "asked");
    ask.fill_frac = SPL_FIGURE(1.0, "asked");
    {
        GError *error = NULL;

        assert_false(spl_need(&ask, &result, &error));
        expect_error(error, SPL_ERROR_REFUSED, "no room for liquid");
    }
}

static void several_jars_trimming_pieces_and_hours(void **state)
{
    static const struct spl_vessel jars[] = {{500.0, 520.0, 6, "jars"}, {250.0, 265.0, 1, "jars"}};
    struct spl_need_ask ask = flowers();
    struct spl_need_result result;
    double herb = 0.0, liquid = 0.0;

    (void)state;
    ask.jars = jars;
    ask.n_jars = 2;
    ask.trim_frac = FROM_MEMORY(0.04, 0.02, 0.05);
    ask.piece_g = FROM_MEMORY(1.2, 0.8, 1.8);
    ask.piece = "flower head";
    ask.picking_g_per_h = FROM_MEMORY(600.0, 400.0, 800.0);
    answer(&ask, &result);
    assert_int_equal(result.jars->len, 7);
    for (guint i = 0; i < 7; i++) {
        herb += g_array_index(result.jars, struct spl_need_jar, i).herb_g;
        liquid += g_array_index(result.jars, struct spl_need_jar, i).menstruum_ml;
    }
    /* By hand: 3385 mL / 5.95516 = 568.4 g; / 0.96 = 592.1 g; / 1.2 = 474 heads; / 600 = 0.987 h.
     */
    expect_near(result.herb_g, 568.4, 0.1, "g");
    expect_near(herb, result.herb_g, 1e-6, "g");
    expect_near(liquid, result.menstruum_ml, 1e-6, "mL");
    expect_near(result.gross_g, 592.1, 0.1, "g");
    expect_near(result.gross_low_g, 580.0, 0.1, "g");
    expect_near(result.gross_high_g, 598.3, 0.1, "g");
    expect_near(result.pieces, 474.0, 0.0, "heads");
    expect_near(result.picking_hours, 0.987, 0.001, "h");
    /* Every figure that was used is explained, and the guesses are owned to. */
    assert_true(result.explain->len >= 12);
    for (guint i = 0; i < result.explain->len; i++) {
        const struct spl_need_step *step = &g_array_index(result.explain, struct spl_need_step, i);

        assert_true(step->label[0] != '\0' && step->how[0] != '\0' && step->unit[0] != '\0');
        assert_non_null(step->source);
    }
    assert_true(result.warnings->len >= 1);
    assert_non_null(
        strstr(g_ptr_array_index(result.warnings, result.warnings->len - 1), "nobody measured"));
    clear(&result);
}

/* By hand: 7 g fresh give 1 g dry; 200 g dry need 1400 g fresh; a 1000 mL jar of loose leaf at 0.11
 * g/mL holds 110 g. */
static void dried_herb_is_weighed(void **state)
{
    static const struct spl_vessel jar = {1000.0, 1000.0, 1, "jars"};
    struct spl_need_ask ask;
    struct spl_need_result result;
    GError *error = NULL;

    (void)state;
    spl_need_ask_init(&ask);
    ask.material = "nettle/leaf";
    ask.preparation = "dried-herb";
    ask.liquid = SPL_LIQUID_NONE;
    ask.dried = TRUE;
    ask.fresh_per_dry = SPL_FIGURE_RANGE(7.0, 5.0, 7.3, "asked");
    ask.bulk_g_per_ml = SPL_FIGURE(0.11, "asked");
    ask.yield_g = 200.0;
    answer(&ask, &result);
    expect_near(result.herb_g, 1400.0, 1e-6, "g");
    expect_near(result.gross_low_g, 1000.0, 1e-6, "g");
    expect_near(result.gross_high_g, 1460.0, 1e-6, "g");
    assert_true(isnan(result.yield_ml));
    clear(&result);
    ask.yield_g = NAN;
    ask.herb_g = 1400.0;
    answer(&ask, &result);
    expect_near(result.yield_g, 200.0, 1e-6, "g");
    expect_near(result.yield_high_g, 280.0, 1e-6, "g");
    clear(&result);
    ask.herb_g = NAN;
    ask.jars = &jar;
    ask.n_jars = 1;
    answer(&ask, &result);
    expect_near(result.yield_g, 110.0, 1e-6, "g");
    expect_near(result.herb_g, 770.0, 1e-6, "g");
    clear(&result);
    ask.n_jars = 0;
    ask.yield_ml = 500.0;
    assert_false(spl_need(&ask, &result, &error));
    expect_error(error, SPL_ERROR_INVALID, "weighed");
}

static void each_figure_out_of_its_range_is_named(void **state)
{
    static const struct spl_vessel thimble = {0.5, 0.5, 1, "jars"}, none = {500, 520, 0, "jars"};
    struct spl_need_result result;
    GError *error = NULL;
    struct spl_need_ask ask;

    (void)state;
#define REFUSED(change, part)                                                                      \
    ask = flowers();                                                                               \
    ask.herb_g = 100;                                                                              \
    change;                                                                                        \
    assert_false(spl_need(&ask, &result, &error));                                                 \
    expect_error(error, SPL_ERROR_INVALID, part)
    REFUSED(ask.volume_ml_per_g.value = 0.05, "mL that a gram takes of 0.05");
    REFUSED(ask.kept_ml_per_g.value = 21, "mL that a gram keeps of 21");
    REFUSED(ask.headspace_frac.value = 0.95, "a headspace of 0.95");
    REFUSED(ask.trim_frac.value = 0.96, "a trimming loss of 0.96");
    REFUSED(ask.bulk_g_per_ml.value = 1.3, "a bulk density of 1.3");
    REFUSED(ask.fresh_per_dry.value = 0.5, "a fresh:dry ratio of 0.5");
    REFUSED(ask.piece_g.value = 0, "a piece weight of 0");
    REFUSED(ask.picking_g_per_h.value = 0, "a picking rate of 0");
    REFUSED(ask.honey_ml_per_ml.value = -1, "honey to vinegar of -1");
    REFUSED(ask.fill_frac.value = 1.1, "a fill of 1.1");
    REFUSED(ask.wanted_frac = 1, "a final strength (as a share) of 1");
    REFUSED(ask.strength_frac.value = NAN, "the strength of dandelion/flower for tincture");
    REFUSED(ask.kept_ml_per_g.value = NAN, "liquid kept by the pressed herb");
    REFUSED((ask.herb_g = NAN, ask.yield_g = 50), "is measured, not weighed");
    REFUSED((ask.herb_g = NAN, ask.jars = &thimble, ask.n_jars = 1), "a jar's mL of 0.5");
    REFUSED((ask.herb_g = NAN, ask.jars = &none, ask.n_jars = 1), "a number of jars of 0");
    REFUSED((ask.liquid = SPL_LIQUID_SYRUP, ask.strength_frac.value = 0.9), "a syrup's sugar");
    REFUSED((ask.liquid = SPL_LIQUID_NONE, ask.herb_g = NAN, ask.yield_ml = 50),
            "is weighed, not measured");
    REFUSED(ask.liquid = SPL_LIQUID_NONE, "fresh:dry ratio");
    REFUSED((ask.liquid = SPL_LIQUID_NONE, ask.herb_g = NAN, ask.yield_g = -1),
            "a yield in g of -1");
#undef REFUSED
}

static void what_cannot_be_is_refused_with_its_name(void **state)
{
    static const struct spl_vessel jar = {500.0, 520.0, 1, "jars"};
    struct spl_need_ask ask = flowers();
    struct spl_need_result result;
    GError *error = NULL;

    (void)state;
    assert_false(spl_need(&ask, &result, &error));
    expect_error(error, SPL_ERROR_INVALID, "one way");
    ask.jars = &jar;
    ask.n_jars = 1;
    ask.herb_g = 5.0;
    assert_false(spl_need(&ask, &result, &error));
    expect_error(error, SPL_ERROR_INVALID, "one way");
    ask.herb_g = NAN;
    ask.ratio.value = 0.01;
    assert_false(spl_need(&ask, &result, &error));
    expect_error(error, SPL_ERROR_REFUSED, "cannot cover the herb");
    ask.ratio.value = 0.3; /* 0.3 + 0.85 of water, 1.25 stays in the herb */
    assert_false(spl_need(&ask, &result, &error));
    expect_error(error, SPL_ERROR_REFUSED, "keeps all the liquid");
    ask.ratio.value = NAN;
    assert_false(spl_need(&ask, &result, &error));
    expect_error(error, SPL_ERROR_INVALID, "ratio");
    ask.ratio.value = 5.0;
    ask.strength_frac.value = 1.2;
    assert_false(spl_need(&ask, &result, &error));
    expect_error(error, SPL_ERROR_INVALID, "strength");
    ask.strength_frac.value = 0.4;
    ask.moisture_frac.value = 1.0;
    assert_false(spl_need(&ask, &result, &error));
    expect_error(error, SPL_ERROR_INVALID, "water content");
    ask.moisture_frac.value = NAN;
    assert_false(spl_need(&ask, &result, &error));
    expect_error(error, SPL_ERROR_INVALID, "water content");
    ask.moisture_frac.value = 0.85;
    ask.n_jars = 0;
    ask.yield_ml = -5.0;
    assert_false(spl_need(&ask, &result, &error));
    expect_error(error, SPL_ERROR_INVALID, "yield");
    ask.yield_ml = NAN;
    ask.herb_g = INFINITY;
    assert_false(spl_need(&ask, &result, &error));
    expect_error(error, SPL_ERROR_INVALID, "herb");
    ask.herb_g = 10.0;
    ask.liquid = SPL_LIQUID_OIL;
    ask.wanted_frac = 0.3;
    assert_false(spl_need(&ask, &result, &error));
    expect_error(error, SPL_ERROR_INVALID, "has none");
}

static void unusual_strength_and_tight_packing_are_warned_of(void **state)
{
    struct spl_need_ask ask = flowers();
    struct spl_need_result result;

    (void)state;
    ask.material = "calendula/flower";
    ask.herb_g = 100.0;
    ask.strength_frac = SPL_FIGURE_RANGE(0.40, 0.70, 0.90, "EMA/HMPC/437450/2017");
    ask.moisture_frac.source = ask.kept_ml_per_g.source = "asked";
    ask.moisture_frac.from_memory = ask.kept_ml_per_g.from_memory = FALSE;
    ask.ratio = SPL_FIGURE(1.0, "asked");
    ask.bulk_g_per_ml = SPL_FIGURE(0.15, "asked");
    answer(&ask, &result);
    /* packing, strength, unknown trim */
    assert_int_equal(result.warnings->len, 3);
    assert_non_null(strstr(g_ptr_array_index(result.warnings, 0), "bruised to a pulp"));
    assert_non_null(strstr(g_ptr_array_index(result.warnings, 1), "usual for tincture of "
                                                                  "calendula/flower is 70 to 90"));
    clear(&result);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_500_ml_jar_takes_87_g_of_dandelion_flowers),
    cmocka_unit_test(every_worked_case_agrees_with_the_second_reckoning),
    cmocka_unit_test(final_strengths_are_those_of_the_table),
    cmocka_unit_test(the_strength_to_pour_is_that_of_the_table_or_not_reachable),
    cmocka_unit_test(a_quarter_of_plant_water_brings_vinegar_to_four_per_cent),
    cmocka_unit_test(a_weak_syrup_needs_the_alcohol_of_the_free_water_rule),
    cmocka_unit_test(fresh_herb_tinctures_of_the_pharmacopoeias_come_out),
    cmocka_unit_test(the_three_meanings_of_one_to_five_differ_as_they_should),
    cmocka_unit_test(need_and_its_inverses_agree),
    cmocka_unit_test(more_water_in_the_plant_never_raises_the_strength),
    cmocka_unit_test(mass_and_ethanol_are_conserved_from_jar_to_bottle_and_marc),
    cmocka_unit_test(a_litre_of_vinegar_by_three_quarters_of_the_jar),
    cmocka_unit_test(several_jars_trimming_pieces_and_hours),
    cmocka_unit_test(dried_herb_is_weighed),
    cmocka_unit_test(each_figure_out_of_its_range_is_named),
    cmocka_unit_test(what_cannot_be_is_refused_with_its_name),
    cmocka_unit_test(unusual_strength_and_tight_packing_are_warned_of),
};
expect_main(tests)
