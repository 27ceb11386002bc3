/* SPDX-License-Identifier: MIT
 *
 * Spirit and water: the figures of OIML R 22, its inverses, mixing by mass, dilution.
 */
#include "expect.h"

#include "core/alcohol.h"
#include "rows.h"

static void densities_are_those_of_oiml_r_22(void **state)
{
    g_autoptr(GPtrArray) rows = rows_of("alcohol_r22.csv");

    (void)state;
    assert_true(rows->len > 60);
    for (guint i = 0; i < rows->len; i++) {
        char **row = g_ptr_array_index(rows, i);

        expect_near(spl_alcohol_density(number_of(row, 1) / 100.0, number_of(row, 0)),
                    number_of(row, 2), number_of(row, 3), "kg/m3");
    }
}

static void strengths_by_mass_and_by_volume_agree_with_the_table(void **state)
{
    g_autoptr(GPtrArray) rows = rows_of("alcohol_strength.csv");

    (void)state;
    assert_true(rows->len > 20);
    for (guint i = 0; i < rows->len; i++) {
        char **row = g_ptr_array_index(rows, i);
        double abv = number_of(row, 0) / 100.0, mass = number_of(row, 1) / 100.0;

        expect_near(spl_alcohol_mass_from_abv(abv) * 100.0, mass * 100.0, 0.005, "% mass");
        expect_near(spl_alcohol_abv_from_mass(mass) * 100.0, abv * 100.0, 0.005, "% vol");
        expect_near(spl_alcohol_density(mass, 20.0), number_of(row, 2), 0.005, "kg/m3");
        expect_near(spl_spirit_from_volume(100.0, abv).ethanol_g, number_of(row, 3), 0.005, "g");
    }
}

static void every_inverse_undoes_its_function(void **state)
{
    (void)state;
    for (double celsius = -20.0; celsius <= 40.0; celsius += 5.0) {
        double before = INFINITY;

        for (int i = 0; i <= 200; i++) {
            double mass = i / 200.0;
            double density = spl_alcohol_density(mass, celsius);

            assert_true(density < before); /* falls strictly */
            before = density;
            expect_near(spl_alcohol_mass_from_density(density, celsius), mass, 1e-9, "");
            expect_near(
                spl_alcohol_mass_from_abv_at(spl_alcohol_abv_from_mass_at(mass, celsius), celsius),
                mass, 1e-9, "");
        }
    }
    assert_true(isnan(spl_alcohol_mass_from_density(1000.0, 20.0)));
    assert_true(isnan(spl_alcohol_mass_from_density(700.0, 20.0)));
}

static void outside_the_formula_there_is_no_figure(void **state)
{
    (void)state;
    assert_true(isnan(spl_alcohol_density(0.5, -20.1)));
    assert_true(isnan(spl_alcohol_density(0.5, 40.1)));
    assert_true(isnan(spl_alcohol_density(-0.001, 20.0)));
    assert_true(isnan(spl_alcohol_density(1.001, 20.0)));
    assert_true(isnan(spl_alcohol_density(NAN, 20.0)));
    assert_true(isnan(spl_alcohol_mass_from_abv(1.2)));
    assert_true(spl_alcohol_density(0.5, -20.0) > 0.0);
    assert_true(spl_alcohol_density(1.0, 40.0) > 0.0);
}

static void dilution_takes_the_water_that_the_formula_says(void **state)
{
    g_autoptr(GPtrArray) rows = rows_of("alcohol_dilution.csv");

    (void)state;
    assert_int_equal(rows->len, 24);
    for (guint i = 0; i < rows->len; i++) {
        char **row = g_ptr_array_index(rows, i);
        g_autoptr(GError) error = NULL;
        struct spl_dilution dilution;

        assert_true(spl_alcohol_dilute(number_of(row, 0) / 100.0, number_of(row, 1) / 100.0,
                                       number_of(row, 3), 20.0, &dilution, &error));
        expect_near(dilution.spirit_ml, 100.0, 0.001, "mL");
        expect_near(dilution.water_ml, number_of(row, 2), 0.02, "mL");
        expect_near(dilution.contraction_ml, number_of(row, 4), 0.02, "mL");
        expect_near(
            dilution.spirit_g + dilution.water_g,
            number_of(row, 3) / 1000.0 *
                spl_alcohol_density(spl_alcohol_mass_from_abv(number_of(row, 1) / 100.0), 20.0),
            0.001, "g");
    }
}

static void a_target_stronger_than_the_source_is_refused(void **state)
{
    struct spl_dilution dilution;
    GError *error = NULL;

    (void)state;
    assert_false(spl_alcohol_dilute(0.40, 0.60, 1000.0, 20.0, &dilution, &error));
    expect_error(error, SPL_ERROR_REFUSED, "stronger spirit");
    assert_true(spl_alcohol_dilute(0.40, 0.40, 1000.0, 20.0, &dilution, &error));
    expect_near(dilution.water_ml, 0.0, 1e-9, "mL");
    assert_false(spl_alcohol_dilute(1.40, 0.60, 1000.0, 20.0, &dilution, &error));
    expect_error(error, SPL_ERROR_INVALID, "140 %");
    assert_false(spl_alcohol_dilute(0.96, 0.0, 1000.0, 20.0, &dilution, &error));
    expect_error(error, SPL_ERROR_INVALID, "above 0");
    assert_false(spl_alcohol_dilute(0.96, 0.4, -1.0, 20.0, &dilution, &error));
    expect_error(error, SPL_ERROR_INVALID, "-1 mL");
    assert_false(spl_alcohol_dilute(0.96, 0.4, NAN, 20.0, &dilution, &error));
    expect_error(error, SPL_ERROR_INVALID, "above 0");
    assert_false(spl_alcohol_dilute(0.96, 0.4, 100.0, 50.0, &dilution, &error));
    expect_error(error, SPL_ERROR_INVALID, "-20 to 40");
}

static void mass_and_ethanol_are_conserved_through_mixing_and_taking(void **state)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(20271);

    (void)state;
    for (int i = 0; i < 500; i++) {
        double ml_a = g_rand_double_range(rand, 1.0, 5000.0), q_a = g_rand_double(rand);
        double ml_b = g_rand_double_range(rand, 1.0, 5000.0), q_b = g_rand_double(rand);
        struct spl_spirit a = spl_spirit_from_volume(ml_a, q_a);
        struct spl_spirit b = spl_spirit_from_volume(ml_b, q_b);
        struct spl_spirit both = spl_spirit_mix(a, b), left;

        /* Ethanol is volume times strength at 20 degrees: that is what "% vol" means. */
        expect_near(spl_spirit_ml(both) * spl_spirit_abv(both), ml_a * q_a + ml_b * q_b,
                    1e-6 * (ml_a + ml_b), "mL ethanol");
        expect_near(spl_spirit_ethanol_ml(a), ml_a * q_a, 1e-5 * ml_a, "mL ethanol");
        /* It shrinks; only water with weak spirit grows, by 0.14 % at most (26 % and water). */
        assert_true(spl_spirit_ml(both) <= (ml_a + ml_b) * 1.0015);
        left = spl_spirit_take(both, spl_spirit_ml(both) / 4.0);
        expect_near(spl_spirit_ml(left), spl_spirit_ml(both) * 0.75, 1e-6 * ml_a + 1e-6, "mL");
        expect_near(spl_spirit_abv(left), spl_spirit_abv(both), 1e-9, "");
    }
    expect_near(spl_spirit_ml(spl_spirit_take(spl_spirit_from_volume(10.0, 0.4), 11.0)), 0.0, 1e-12,
                "mL");
}

static void fifty_and_fifty_shrink_as_the_formula_says(void **state)
{
    /* 50 mL absolute + 50 mL water -> 96.46 mL of 51.83 % (R 22, reckoned independently). */
    struct spl_spirit half = spl_spirit_mix(spl_spirit_from_volume(50.0, 1.0),
                                            spl_spirit_from_water(50.0 * SPL_WATER_G_PER_ML));
    /* 3 volumes of juice, counted as water, + 1 volume of 90 %: 22.84 %, 394.0 mL of 400. */
    struct spl_spirit juice = spl_spirit_mix(spl_spirit_from_volume(100.0, 0.9),
                                             spl_spirit_from_water(300.0 * SPL_WATER_G_PER_ML));

    (void)state;
    expect_near(spl_spirit_ml(half), 96.46, 0.01, "mL");
    expect_near(spl_spirit_abv(half) * 100.0, 51.83, 0.01, "% vol");
    expect_near(spl_spirit_ml(juice), 394.0, 0.1, "mL");
    expect_near(spl_spirit_abv(juice) * 100.0, 22.84, 0.01, "% vol");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(densities_are_those_of_oiml_r_22),
    cmocka_unit_test(strengths_by_mass_and_by_volume_agree_with_the_table),
    cmocka_unit_test(every_inverse_undoes_its_function),
    cmocka_unit_test(outside_the_formula_there_is_no_figure),
    cmocka_unit_test(dilution_takes_the_water_that_the_formula_says),
    cmocka_unit_test(a_target_stronger_than_the_source_is_refused),
    cmocka_unit_test(mass_and_ethanol_are_conserved_through_mixing_and_taking),
    cmocka_unit_test(fifty_and_fifty_shrink_as_the_formula_says),
};
expect_main(tests)
