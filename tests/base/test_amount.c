/* SPDX-License-Identifier: MIT
 *
 * Amounts at the door: what is understood, what is refused.
 */
#include "base/amount.h"
#include "expect.h"
#include "simpling/customs.h"

static void masses_become_grams(void **state)
{
    static const struct {
        const char *text;
        double g;
    } rows[] = {
        {"87g", 87},
        {"2.5kg", 2500},
        {"87 g", 87},
        /* NIST Handbook 44, Appendix C: 1 lb avoirdupois = 453.59237 g, 1 oz = 28.349523125 g. */
        {"1lb", 453.59237},
        {"3oz", 85.048569375},
        {"2 lb 8 oz", 2.5 * 453.59237},
        {"1lb 2oz", 18 * 28.349523125},
        {"6 ounces", 170.09713875},
        {"2 pounds", 907.18474},
        {"2lbs.", 907.18474},
        {"1/2 lb", 226.796185},
        {"½ oz", 14.1747615625},
        {"1½ lb", 680.388555}, /* NFKD would make 11/2 of it */
        {"1 1/2 lb", 680.388555},
        {"0,5 kg", 500},
        {"1.200 kg", 1200},
        {"600gms", 600},
        {"６００g", 600},
        {"600\302\240g", 600},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GError) error = NULL;
        double g = 0;

        spl_mass_parse(rows[i].text, "--weight", &g, &error);
        expect_ok(error);
        expect_near(g, rows[i].g, 1e-9 * rows[i].g, "g");
    }
}

static void volumes_become_millilitres(void **state)
{
    static const struct {
        const char *text;
        double ml;
    } rows[] = {
        {"500mL", 500},
        {"1L", 1000},
        {"50 cl", 500},
        /* NIST HB 44 App. C: US liquid pint 473.176473 mL; UK SI 1995/1804: pint 568.26125 mL. */
        {"us pint", 473.176473},
        {"2 us pint", 946.352946},
        {"1 imp pint", 568.26125},
        {"8 us fl oz", 236.5882365},
        {"10 imp fl oz", 284.130625},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GError) error = NULL;
        double ml = 0;

        assert_true(spl_volume_parse(rows[i].text, "--jar", &ml, &error));
        expect_near(ml, rows[i].ml, 1e-6, "mL");
    }
}

static void nonsense_masses_are_refused_and_the_target_kept(void **state)
{
    static const char *const bad[] = {
        "",       "87",         "-5g",           "0g",        "nan g",    "inf g",
        "1e3g",   "0x10g",      "1,200g",        "1.200g",    "8,5,1g",   "600gr",
        "2 lb 8", "2 lb 40 oz", "1.2.3g",        "400 fl oz", "g",        "87mL",
        "2000kg", "1 g g",      "0.0000000001g", "\x1b[2Jg",  "\xff\xfeg"};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        g_autoptr(GError) error = NULL;
        double g = -1;

        if (spl_mass_parse(bad[i], "--weight", &g, &error))
            fail_msg("'%s' was taken as %g g", bad[i], g);
        assert_true(g_utf8_validate(error->message, -1, NULL));
        assert_null(strchr(error->message, '\x1b'));
        expect_error(error, SPL_ERROR_INVALID, "--weight");
        assert_true(g == -1);
    }
}

static void a_bare_pint_is_refused_because_pints_differ(void **state)
{
    static const char *const bad[] = {"pint", "1 pint", "2 pints", "1 quart", "3 fl oz", "1 cup"};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        g_autoptr(GError) error = NULL;
        double ml;

        assert_false(spl_volume_parse(bad[i], "--jar", &ml, &error));
        expect_error(error, SPL_ERROR_INVALID, "imp pint");
    }
}

static void customs(enum spl_units units)
{
    spl_customs_set(&(struct spl_customs){.read = units, .print = units, .today = SPL_DAY_NONE});
}

static int back_to_metric(void **state)
{
    (void)state;
    customs(SPL_UNITS_METRIC);
    return 0;
}

/* NIST HB 44 App. C (US, with the tablespoon of half a fluid ounce); UK SI 1995/1804. */
static void a_bare_pint_is_that_of_the_customs(void **state)
{
    static const struct {
        const char *text;
        double us, imp;
    } rows[] = {
        {"1 pint", 473.176473, 568.26125},
        {"pint", 473.176473, 568.26125},
        {"half a pint", 236.5882365, 284.130625},
        {"16 fl oz", 473.176473, 454.609},
        {"16 fl. oz.", 473.176473, 454.609},
        {"1qt", 946.352946, 1136.5225},
        {"½ gal", 1892.705892, 2273.045},
        {"1 us qt", 946.352946, 946.352946},
        {"1 imp pint", 568.26125, 568.26125},
        {"2 cups", 473.176473, 568.26125},
        {"2 tbsp", 29.5735295625, 30},
        {"1 tsp", 4.92892159375, 5},
        {"750mL", 750, 750},
        {"1 pt 2 fl oz", 532.323532125, 625.087375},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        for (enum spl_units units = SPL_UNITS_US; units <= SPL_UNITS_IMP; units++) {
            g_autoptr(GError) error = NULL;
            double ml = 0;

            customs(units);
            spl_volume_parse(rows[i].text, "--jar", &ml, &error);
            expect_ok(error);
            expect_near(ml, units == SPL_UNITS_US ? rows[i].us : rows[i].imp, 1e-6, rows[i].text);
        }
    }
}

static void lengths_and_areas_are_read_in_all_units(void **state)
{
    static const struct {
        gboolean (*parse)(const char *, const char *, double *, GError **);
        const char *text;
        double value;
    } rows[] = {
        {spl_length_parse, "980ft", 298.704},
        {spl_length_parse, "5 ft 6 in", 1.6764},
        {spl_length_parse, "5'6\"", 1.6764},
        {spl_length_parse, "1mi", 1609.344},
        {spl_length_parse, "2 miles", 3218.688},
        {spl_length_parse, "½ mile", 804.672},
        {spl_area_parse, "30 sq ft", 2.7870912},
        {spl_area_parse, "30ft2", 2.7870912},
        {spl_area_parse, "40 m²", 40},
        {spl_area_parse, "2 acres", 8093.7128448},
        {spl_area_parse, "0.25 acre", 1011.7141056},
        {spl_speed_parse, "30mph", 48.28032},
        {spl_speed_parse, "50", 50},
        {spl_speed_parse, "50 km/h", 50},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GError) error = NULL;
        double value = 0;

        rows[i].parse(rows[i].text, "it", &value, &error);
        expect_ok(error);
        expect_near(value, rows[i].value, 1e-6 * rows[i].value, rows[i].text);
    }
}

/* What is printed is read back as what was shown, in every unit and at every size: printed again it
 * is the same text, and it is off by no more than its last figure. */
static void every_amount_that_is_printed_is_read_back(void **state)
{
    static const struct {
        char *(*format)(double);
        gboolean (*parse)(const char *, const char *, double *, GError **);
        double least, most;
    } kinds[] = {
        {spl_mass_format, spl_mass_parse, 0.05, 9e5},
        {spl_volume_format, spl_volume_parse, 0.05, 9e5},
        {spl_mass_exact, spl_mass_parse, 3, 9e5},
        {spl_volume_exact, spl_volume_parse, 3, 9e5},
        {spl_length_format, spl_length_parse, 0.03, 1e6},
        {spl_height_format, spl_length_parse, 10, 9e3},
        {spl_area_format, spl_area_parse, 0.01, 1e8},
        {spl_speed_format, spl_speed_parse, 16, 130},
    };

    (void)state;
    for (enum spl_units units = SPL_UNITS_METRIC; units <= SPL_UNITS_IMP; units++) {
        customs(units);
        for (gsize k = 0; k < G_N_ELEMENTS(kinds); k++) {
            for (double value = kinds[k].least; value < kinds[k].most; value *= 1.00317) {
                g_autoptr(GError) error = NULL;
                g_autofree char *text = kinds[k].format(value), *again = NULL;
                double read = 0;

                if (!kinds[k].parse(text, "it", &read, &error))
                    fail_msg("%.6g is printed as '%s' and refused: %s", value, text,
                             error->message);
                again = kinds[k].format(read);
                if (strcmp(text, again) != 0)
                    fail_msg("%.6g is printed as '%s', read as %.6g and printed as '%s'", value,
                             text, read, again);
                /* Half of the last figure shown: a twentieth at most. */
                if (fabs(read - value) > 0.053 * value && fabs(read - value) > 0.0501)
                    fail_msg("%.6g is printed as '%s', which is %.6g", value, text, read);
            }
        }
    }
}

static void the_units_of_the_customs_are_printed(void **state)
{
    static const struct {
        char *(*format)(double);
        double value;
        const char *us, *imp;
    } rows[] = {
        /* By hand: 510.29 g / 28.3495 = 18.0 oz; 473.18 mL are 16 US and 16.65 imperial oz. */
        {spl_mass_format, 510.29141625, "1 lb 2 oz", "1 lb 2 oz"},
        {spl_mass_format, 453.5, "1 lb", "1 lb"},
        {spl_mass_format, 86.6, "3.1 oz", "3.1 oz"},
        {spl_volume_format, 473.176473, "16 fl oz", "16.7 fl oz"},
        {spl_volume_format, 4546.09, "1.2 gal", "1 gal"},
        {spl_length_format, 15, "49 ft", "49 ft"},
        {spl_length_format, 3218.688, "2 miles", "2 miles"},
        {spl_height_format, 298.704, "980 ft", "980 ft"},
        {spl_distance_format, 120, "75 miles", "75 miles"},
        {spl_area_format, 2.7870912, "30 sq ft", "30 sq ft"},
        {spl_temperature_format, 10, "50 °F", "50 °F"},
        {spl_warmth_format, 10, "18 °F", "18 °F"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *us = NULL, *imp = NULL;

        customs(SPL_UNITS_US);
        us = rows[i].format(rows[i].value);
        assert_string_equal(us, rows[i].us);
        customs(SPL_UNITS_IMP);
        imp = rows[i].format(rows[i].value);
        assert_string_equal(imp, rows[i].imp);
    }
}

static void strengths_are_per_cent_or_us_proof(void **state)
{
    g_autoptr(GError) error = NULL;
    double frac;

    (void)state;
    assert_true(spl_strength_parse("40%", "--strength", &frac, &error));
    expect_near(frac, 0.40, 1e-12, "");
    /* US proof is twice the per cent by volume at 60 F (27 CFR 5.1). */
    assert_true(spl_strength_parse("80 proof us", "--strength", &frac, &error));
    expect_near(frac, 0.40, 1e-12, "");
    assert_false(spl_strength_parse("101%", "--strength", &frac, &error));
    expect_error(error, SPL_ERROR_INVALID, "101%");
    assert_false(spl_strength_parse("80 proof", "--strength", &frac, &error));
    expect_error(error, SPL_ERROR_INVALID, "differ");
    assert_false(spl_strength_parse("40", "--strength", &frac, &error));
    expect_error(error, SPL_ERROR_INVALID, "unit");
}

static void jars_ratios_and_parts_are_read(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) parts = NULL;
    static const struct {
        double ratio;
        const char *text;
    } shown[] = {{5.0, "1:5"}, {5.187, "1:5.2"}, {9.96, "1:10"}, {12.4, "1:12"}, {0.919, "1:0.9"}};
    double ml, ratio;
    int count;

    (void)state;
    assert_true(spl_jars_parse("6x500mL", "--jar", &count, &ml, &error));
    assert_int_equal(count, 6);
    expect_near(ml, 500, 0, "mL");
    assert_true(spl_jars_parse("1L", "--jar", &count, &ml, &error));
    assert_int_equal(count, 1);
    assert_false(spl_jars_parse("0x500mL", "--jar", &count, &ml, &error));
    expect_error(error, SPL_ERROR_INVALID, "0x500mL");
    assert_true(spl_ratio_parse("1:5", "--ratio", &ratio, &error));
    expect_near(ratio, 5, 0, "mL/g");
    assert_false(spl_ratio_parse("1:0", "--ratio", &ratio, &error));
    expect_error(error, SPL_ERROR_INVALID, "1:0");
    for (gsize i = 0; i < G_N_ELEMENTS(shown); i++) {
        g_autofree char *text = spl_ratio_format(shown[i].ratio);

        assert_string_equal(text, shown[i].text);
    }
    parts = spl_parts_parse("2:1:1", "--parts", &error);
    assert_int_equal(parts->len, 3);
}

static void places_are_read_in_three_forms(void **state)
{
    static const struct {
        const char *text;
        double lat, lon;
    } rows[] = {
        {"54.9712,-2.4610", 54.9712, -2.4610},
        {"54.9712, -2.4610", 54.9712, -2.4610},
        {"geo:54.9712,-2.4610", 54.9712, -2.4610},
        {"geo:54.9712,-2.4610,180;u=10", 54.9712, -2.4610}, /* RFC 5870 section 3.4 */
        {"54°58'12\"N 2°27'36\"W", 54.97, -2.46},
        {"54d58m12sN,2d27m36sW", 54.97, -2.46},
        {"2°27'36\"W 54°58'12\"N", 54.97, -2.46},
        {"43.5°S 172.6°E", -43.5, 172.6},
        {" -42.8821,147.3272 ", -42.8821, 147.3272},
        {"\342\210\22242.8821 147.3272", -42.8821, 147.3272}, /* U+2212 */
        {"GEO:-42.8821,147.3272", -42.8821, 147.3272},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GError) error = NULL;
        double lat = 0, lon = 0;

        spl_coordinates_parse(rows[i].text, "--at", &lat, &lon, &error);
        expect_ok(error);
        expect_near(lat, rows[i].lat, 1e-9, "deg");
        expect_near(lon, rows[i].lon, 1e-9, "deg");
    }
}

static void impossible_places_are_refused(void **state)
{
    static const struct {
        const char *text, *part;
    } rows[] = {
        {"91,0", "swapped"},
        {"-120.5,45", "swapped"},
        {"45,181", "out of range"},
        {"nan,2", "not a place"},
        {"54.97", "not a place"},
        {"54.97;2", "not a place"},
        {"54°61'N 2°W", "not a place"},
        {"54N 2N", "not a place"},
        {"", "not a place"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GError) error = NULL;
        double lat, lon;

        if (spl_coordinates_parse(rows[i].text, "--at", &lat, &lon, &error))
            fail_msg("'%s' was taken", rows[i].text);
        expect_error(error, SPL_ERROR_INVALID, rows[i].part);
    }
}

static void what_is_wrong_with_an_amount_is_said_in_its_own_unit(void **state)
{
    static const struct {
        const char *text, *part;
    } rows[] = {
        {"0mL", "is not more than nothing"}, {"-5mL", "is not more than nothing"},
        {"0g", "is not more than nothing"},  {"9999999mL", "absurdly large"},
        {"0.04g", "absurdly small"},         {"0.04mL", "absurdly small"},
        {"2000kg", "absurdly large"},        {"5 furlongs", "unit that is not known"},
    };
    double grams = 1, ml = 2;

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GError) error = NULL;

        if (spl_mass_or_volume_parse(rows[i].text, "AMOUNT", &grams, &ml, &error))
            fail_msg("'%s' was taken", rows[i].text);
        expect_error(error, SPL_ERROR_INVALID, rows[i].part);
        assert_true(grams == 1 && ml == 2);
    }
    assert_true(spl_mass_or_volume_parse("87g", "AMOUNT", &grams, &ml, NULL));
    assert_true(grams == 87 && isnan(ml));
}

static void bottles_are_added_up(void **state)
{
    static const struct {
        const char *text;
        double g, ml;
    } good[] = {{"3x100mL", NAN, 300.0},
                {"3x100mL+40mL", NAN, 340.0},
                {"2x50g + 12.5g + 1kg", 1112.5, NAN},
                {"50mL", NAN, 50.0}};
    static const char *const bad[] = {"0x10mL",    "0x100mL",  "1001x1mL",     "3x",
                                      "x100mL",    "3x100",    "100mL+",       "+",
                                      "100mL+20g", "3x100mL-", "900x900L+1mL", "1000x900L"};
    struct spl_amount amount;

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(good); i++) {
        assert_true(spl_amount_parse(good[i].text, "amount", &amount, NULL));
        assert_true(isnan(good[i].g) ? isnan(amount.g) : fabs(amount.g - good[i].g) < 1e-9);
        assert_true(isnan(good[i].ml) ? isnan(amount.ml) : fabs(amount.ml - good[i].ml) < 1e-9);
    }
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        amount = (struct spl_amount){7, 7};
        if (spl_amount_parse(bad[i], "amount", &amount, NULL))
            fail_msg("'%s' was taken", bad[i]);
        assert_true(amount.g == 7 && amount.ml == 7);
    }
    {
        int count;
        double ml;

        assert_false(spl_jars_parse("0x10mL", "jar", &count, &ml, NULL));
    }
}

static void amounts_are_written_for_people(void **state)
{
    static const struct {
        char *(*format)(double);
        double value;
        const char *text;
    } rows[] = {
        {spl_mass_format, 87, "87 g"},       {spl_mass_format, 2500, "2.5 kg"},
        {spl_mass_format, 3.26, "3.3 g"},    {spl_volume_format, 520, "520 mL"},
        {spl_volume_format, 1250, "1.25 L"}, {spl_percent_format, 0.3422, "34.2 %"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *text = rows[i].format(rows[i].value);

        assert_string_equal(text, rows[i].text);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(masses_become_grams),
    cmocka_unit_test(volumes_become_millilitres),
    cmocka_unit_test(nonsense_masses_are_refused_and_the_target_kept),
    cmocka_unit_test(a_bare_pint_is_refused_because_pints_differ),
    cmocka_unit_test_teardown(a_bare_pint_is_that_of_the_customs, back_to_metric),
    cmocka_unit_test(lengths_and_areas_are_read_in_all_units),
    cmocka_unit_test_teardown(every_amount_that_is_printed_is_read_back, back_to_metric),
    cmocka_unit_test_teardown(the_units_of_the_customs_are_printed, back_to_metric),
    cmocka_unit_test(strengths_are_per_cent_or_us_proof),
    cmocka_unit_test(jars_ratios_and_parts_are_read),
    cmocka_unit_test(places_are_read_in_three_forms),
    cmocka_unit_test(impossible_places_are_refused),
    cmocka_unit_test(what_is_wrong_with_an_amount_is_said_in_its_own_unit),
    cmocka_unit_test(bottles_are_added_up),
    cmocka_unit_test(amounts_are_written_for_people),
};
expect_main(tests)
