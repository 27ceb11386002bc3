/* SPDX-License-Identifier: MIT
 *
 * Spirit and water against printed tables: the Gay-Lussac dilution table, a supplier's leaflet, the
 * dilute ethanols of the British Pharmacopoeia, USP Diluted Alcohol.
 */
#include "expect.h"

#include "core/alcohol.h"
#include "rows.h"

static double water_per_100(double from_pct, double to_pct, double celsius)
{
    struct spl_dilution dilution;
    g_autoptr(GError) error = NULL;

    if (!spl_alcohol_dilute(from_pct / 100.0, to_pct / 100.0, from_pct / to_pct * 100.0, celsius,
                            &dilution, &error))
        fail_msg("%s", error->message);
    return dilution.water_ml;
}

static void the_gay_lussac_table_is_met_at_15_degrees(void **state)
{
    g_autoptr(GPtrArray) rows = rows_of("alcohol_gaylussac.csv");
    guint read = 0, misprints = 0;

    (void)state;
    for (guint i = 0; i < rows->len; i++) {
        char **row = g_ptr_array_index(rows, i);
        double from = number_of(row, 0), to = number_of(row, 1), printed = number_of(row, 2);
        double ours = water_per_100(from, to, 15.0);

        if (g_str_equal(row[3], "yes")) {
            /* A misprint is named as such only where the formula is really elsewhere. */
            assert_true(fabs(ours - printed) > 0.12);
            misprints++;
            continue;
        }
        if (!(fabs(ours - printed) <= 0.12))
            fail_msg("%g -> %g: %g, printed %g", from, to, ours, printed);
        if (!(fabs(water_per_100(from, to, 20.0) - printed) <= MAX(0.11, 0.002 * printed)))
            fail_msg("%g -> %g at 20 degrees: %g, printed %g", from, to,
                     water_per_100(from, to, 20.0), printed);
        read++;
    }
    assert_int_equal(misprints, 6);
    assert_int_equal(read, 200);
}

static void a_printed_leaflet_has_the_same_densities(void **state)
{
    g_autoptr(GPtrArray) rows = rows_of("alcohol_leaflet.csv");

    (void)state;
    assert_int_equal(rows->len, 19);
    for (guint i = 0; i < rows->len; i++) {
        char **row = g_ptr_array_index(rows, i);
        double mass = spl_alcohol_mass_from_abv(number_of(row, 0) / 100.0);

        expect_near(spl_alcohol_density(mass, 20.0), number_of(row, 1), 0.0051, "kg/m3");
    }
}

/* They are made from spirit of 96.0-96.6 %, 96.3 on average, by making up to a litre. */
static void the_dilute_ethanols_of_the_british_pharmacopoeia_are_met(void **state)
{
    g_autoptr(GPtrArray) rows = rows_of("alcohol_pharmacopoeia.csv");

    (void)state;
    for (guint i = 0; i < rows->len; i++) {
        char **row = g_ptr_array_index(rows, i);
        double q = number_of(row, 0) / 100.0;
        struct spl_dilution dilution;
        g_autoptr(GError) error = NULL;

        assert_true(spl_alcohol_dilute(0.963, q, 1000.0, 20.0, &dilution, &error));
        expect_near(dilution.spirit_ml, number_of(row, 1), 1.0, "mL");
        if (!isnan(number_of(row, 4))) {
            double air =
                spl_alcohol_density_in_air(spl_alcohol_density(spl_alcohol_mass_from_abv(q), 20.0));

            assert_true(air >= number_of(row, 4) && air <= number_of(row, 5));
        }
        if (!isnan(number_of(row, 2))) {
            /* Their measured millilitres, made up to a litre, end inside the allowed content. */
            double content = number_of(row, 1) * 0.963 / 10.0;

            assert_true(content >= number_of(row, 2) && content <= number_of(row, 3));
        }
    }
}

/* USP Diluted Alcohol (USP 29 and 38): 500 mL of Alcohol (94.9 % vol at 15.56 degrees) and 500 mL
 * of water make about 970 mL of 48.4-49.5 % vol, 41.0-42.0 % by mass, specific gravity 0.935-0.937.
 */
static void usp_diluted_alcohol_is_970_mL(void **state)
{
    const double celsius = 15.56;
    double strong = spl_alcohol_mass_from_abv_at(0.949, celsius);
    double spirit_g = 500.0 * spl_alcohol_density(strong, celsius) / 1000.0;
    double water_g = 500.0 * spl_alcohol_density(0.0, celsius) / 1000.0;
    double mass = spirit_g * strong / (spirit_g + water_g);
    double density = spl_alcohol_density(mass, celsius);

    (void)state;
    expect_near((spirit_g + water_g) * 1000.0 / density, 970.0, 2.0, "mL");
    expect_near(spl_alcohol_abv_from_mass_at(mass, celsius) * 100.0, 48.95, 0.55, "% vol");
    expect_near(mass * 100.0, 41.5, 0.5, "% mass");
    expect_near(density / spl_alcohol_density(0.0, celsius), 0.936, 0.001, "");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_gay_lussac_table_is_met_at_15_degrees),
    cmocka_unit_test(a_printed_leaflet_has_the_same_densities),
    cmocka_unit_test(the_dilute_ethanols_of_the_british_pharmacopoeia_are_met),
    cmocka_unit_test(usp_diluted_alcohol_is_970_mL),
};
expect_main(tests)
