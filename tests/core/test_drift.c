/* SPDX-License-Identifier: MIT
 *
 * Drift: the curves against the published table and worked values, the exclusion zone against the
 * rule. */
#include "core/drift.h"
#include "expect.h"

/* JKI basic drift values 2010 (Rautmann, Streloke, Winkler 2001; via the R data package pfm): per
 * cent of the dose. FOCUS fitted the curve to them, so they agree to a few per cent. */
static void the_curves_follow_the_measured_values(void **state)
{
    static const struct {
        enum spl_drift_crop crop;
        double m, pct;
    } rows[] = {
        {SPL_DRIFT_ARABLE, 1, 2.77},       {SPL_DRIFT_ARABLE, 5, 0.57},
        {SPL_DRIFT_ARABLE, 10, 0.29},      {SPL_DRIFT_ARABLE, 30, 0.10},
        {SPL_DRIFT_FRUIT_EARLY, 3, 29.20}, {SPL_DRIFT_FRUIT_EARLY, 10, 11.81},
        {SPL_DRIFT_FRUIT_EARLY, 20, 2.77}, {SPL_DRIFT_FRUIT_EARLY, 50, 0.30},
        {SPL_DRIFT_FRUIT_LATE, 5, 8.41},   {SPL_DRIFT_FRUIT_LATE, 30, 0.54},
        {SPL_DRIFT_VINES_EARLY, 3, 2.70},  {SPL_DRIFT_VINES_EARLY, 20, 0.13},
        {SPL_DRIFT_VINES_LATE, 5, 3.62},   {SPL_DRIFT_VINES_LATE, 50, 0.10},
        {SPL_DRIFT_HOPS, 3, 19.33},        {SPL_DRIFT_HOPS, 40, 0.25},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++)
        expect_near(spl_drift_pct(rows[i].crop, rows[i].m), rows[i].pct,
                    0.005 + 0.025 * rows[i].pct, "%");
}

/* Reckoned by an independent program from FOCUS, Surface Water Scenarios, Appendix B. */
static void the_curves_give_the_worked_values(void **state)
{
    static const struct {
        enum spl_drift_crop crop;
        double m, pct;
    } rows[] = {
        {SPL_DRIFT_ARABLE, 1, 2.759},       {SPL_DRIFT_ARABLE, 3, 0.942},
        {SPL_DRIFT_ARABLE, 5, 0.572},       {SPL_DRIFT_ARABLE, 10, 0.290},
        {SPL_DRIFT_ARABLE, 30, 0.099},      {SPL_DRIFT_ARABLE, 50, 0.060},
        {SPL_DRIFT_ARABLE, 100, 0.031},     {SPL_DRIFT_FRUIT_EARLY, 3, 29.197},
        {SPL_DRIFT_FRUIT_EARLY, 5, 19.884}, {SPL_DRIFT_FRUIT_EARLY, 10, 11.807},
        {SPL_DRIFT_FRUIT_EARLY, 20, 2.762}, {SPL_DRIFT_FRUIT_EARLY, 30, 1.036},
        {SPL_DRIFT_FRUIT_EARLY, 50, 0.301}, {SPL_DRIFT_FRUIT_LATE, 5, 8.411},
        {SPL_DRIFT_FRUIT_LATE, 20, 1.081},  {SPL_DRIFT_FRUIT_LATE, 50, 0.216},
        {SPL_DRIFT_HOPS, 3, 19.326},        {SPL_DRIFT_HOPS, 10, 5.769},
        {SPL_DRIFT_HOPS, 20, 1.771},        {SPL_DRIFT_HOPS, 50, 0.132},
        {SPL_DRIFT_AERIAL, 1, 50.47},       {SPL_DRIFT_AERIAL, 5, 27.296},
        {SPL_DRIFT_AERIAL, 10, 20.948},     {SPL_DRIFT_AERIAL, 20, 14.101},
        {SPL_DRIFT_AERIAL, 50, 5.646},      {SPL_DRIFT_AERIAL, 100, 2.825},
        {SPL_DRIFT_AERIAL, 300, 0.943},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++)
        expect_near(spl_drift_pct(rows[i].crop, rows[i].m), rows[i].pct, 0.00051, "%");
}

static void the_distance_of_a_share_is_the_curve_backwards(void **state)
{
    static const struct {
        enum spl_drift_crop crop;
        double pct, m;
    } rows[] = {
        {SPL_DRIFT_ARABLE, 1, 2.8},
        {SPL_DRIFT_FRUIT_EARLY, 1, 30.4},
        {SPL_DRIFT_FRUIT_LATE, 1, 20.9},
        {SPL_DRIFT_VINES_LATE, 1, 11.4},
        {SPL_DRIFT_HOPS, 1, 24.5},
        {SPL_DRIFT_AERIAL, 1, 282.9},
        {SPL_DRIFT_ARABLE, 0.1, 29.8},
        {SPL_DRIFT_FRUIT_EARLY, 0.1, 78.9},
        {SPL_DRIFT_FRUIT_LATE, 0.1, 77.4},
        {SPL_DRIFT_VINES_LATE, 0.1, 49.5},
        {SPL_DRIFT_HOPS, 0.1, 55.1},
        {SPL_DRIFT_AERIAL, 0.5, 566.1},
        {SPL_DRIFT_FRUIT_EARLY, 0.05, 105.1},
        {SPL_DRIFT_HOPS, 0.05, 70.4},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++)
        expect_near(spl_drift_distance_m(rows[i].crop, rows[i].pct), rows[i].m, 0.051, "m");
}

static void the_curve_never_rises_and_is_whole_at_the_edge(void **state)
{
    (void)state;
    for (int crop = 0; crop < SPL_DRIFT_CROPS; crop++) {
        double last = 100;

        expect_near(spl_drift_pct((enum spl_drift_crop)crop, 0), 100, 0, "%");
        expect_near(spl_drift_pct((enum spl_drift_crop)crop, -3), 100, 0, "%");
        for (double m = 0.1; m < 3000; m *= 1.01) {
            double pct = spl_drift_pct((enum spl_drift_crop)crop, m);

            assert_true(pct <= last * 1.01); /* the two branches meet within 1 % */
            last = pct;
        }
    }
    assert_true(spl_drift_is_extrapolated(SPL_DRIFT_ARABLE, 101));
    assert_false(spl_drift_is_extrapolated(SPL_DRIFT_AERIAL, 300));
}

/* 40 CFR 170.405(a)(1) as in force since 3 December 2024 (89 FR 80767). */
static void people_keep_out_as_far_as_the_rule_says(void **state)
{
    (void)state;
    expect_near(spl_exclusion_zone_m(SPL_MANNER_AERIAL, FALSE, 3), 30.48, 0, "m");
    expect_near(spl_exclusion_zone_m(SPL_MANNER_AERIAL, TRUE, 3), 30.48, 0, "m");
    expect_near(spl_exclusion_zone_m(SPL_MANNER_AIRBLAST, FALSE, 1), 30.48, 0, "m");
    expect_near(spl_exclusion_zone_m(SPL_MANNER_MIST, FALSE, 0), 30.48, 0, "m");
    expect_near(spl_exclusion_zone_m(SPL_MANNER_NOZZLES, TRUE, 0.5), 30.48, 0, "m");
    expect_near(spl_exclusion_zone_m(SPL_MANNER_NOZZLES, FALSE, 0.5), 7.62, 0, "m");
    expect_near(spl_exclusion_zone_m(SPL_MANNER_NOZZLES, FALSE, 0.30), 0, 0, "m");
    expect_near(spl_exclusion_zone_m(SPL_MANNER_NOZZLES, FALSE, 0.3048), 0, 0, "m");
    expect_near(spl_exclusion_zone_m(SPL_MANNER_NOZZLES, FALSE, 0.305), 7.62, 0, "m");
    expect_near(spl_exclusion_zone_m(SPL_MANNER_SOLID, FALSE, 0), 0, 0, "m");
}

static void an_unknown_method_counts_as_the_worst_on_the_ground(void **state)
{
    enum spl_drift_crop crop;
    enum spl_spray_manner manner;

    (void)state;
    assert_true(spl_drift_crop_of("unknown", &crop));
    assert_int_equal(crop, SPL_DRIFT_FRUIT_EARLY);
    assert_true(spl_spray_manner_of("unknown", &manner));
    assert_int_equal(manner, SPL_MANNER_AIRBLAST);
    assert_true(spl_drift_crop_of("orchard", &crop));
    assert_int_equal(crop, SPL_DRIFT_FRUIT_EARLY);
    assert_false(spl_drift_crop_of("road", &crop));
    assert_false(spl_spray_manner_of("railway", &manner));
}

/* The crops of Rautmann, Streloke and Winkler (2001) and the manners of 40 CFR 170.405. */
static void each_method_has_its_curve_and_its_manner(void **state)
{
    static const struct {
        const char *method;
        enum spl_drift_crop crop;
        enum spl_spray_manner manner;
    } rows[] = {
        {"boom", SPL_DRIFT_ARABLE, SPL_MANNER_NOZZLES},
        {"airblast", SPL_DRIFT_FRUIT_EARLY, SPL_MANNER_AIRBLAST},
        {"orchard", SPL_DRIFT_FRUIT_EARLY, SPL_MANNER_AIRBLAST},
        {"vineyard", SPL_DRIFT_VINES_LATE, SPL_MANNER_AIRBLAST},
        {"hops", SPL_DRIFT_HOPS, SPL_MANNER_AIRBLAST},
        {"aerial", SPL_DRIFT_AERIAL, SPL_MANNER_AERIAL},
    };
    enum spl_drift_crop crop;
    enum spl_spray_manner manner;

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        assert_true(spl_drift_crop_of(rows[i].method, &crop));
        assert_int_equal(crop, rows[i].crop);
        assert_true(spl_spray_manner_of(rows[i].method, &manner));
        assert_int_equal(manner, rows[i].manner);
    }
    /* Nobody published a curve for a knapsack sprayer; that people keep out holds for it too. */
    assert_false(spl_drift_crop_of("handheld", &crop));
    assert_true(spl_spray_manner_of("handheld", &manner));
    assert_int_equal(manner, SPL_MANNER_NOZZLES);
    assert_false(spl_drift_crop_of(NULL, &crop));
    assert_false(spl_spray_manner_of(NULL, &manner));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(each_method_has_its_curve_and_its_manner),
    cmocka_unit_test(the_curves_follow_the_measured_values),
    cmocka_unit_test(the_curves_give_the_worked_values),
    cmocka_unit_test(the_distance_of_a_share_is_the_curve_backwards),
    cmocka_unit_test(the_curve_never_rises_and_is_whole_at_the_edge),
    cmocka_unit_test(people_keep_out_as_far_as_the_rule_says),
    cmocka_unit_test(an_unknown_method_counts_as_the_worst_on_the_ground),
};
expect_main(tests)
