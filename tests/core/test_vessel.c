/* SPDX-License-Identifier: MIT
 *
 * Jars: few of them, little left empty, and never more in one than goes in.
 */
#include "expect.h"

#include "core/vessel.h"

static const struct spl_vessel sizes[] = {{30.0, 30.0, 0, NULL},
                                          {500.0, 520.0, 0, NULL},
                                          {1000.0, 1040.0, 0, NULL},
                                          {250.0, 265.0, 0, NULL}};

static int count_of(const GArray *jars, double nominal_ml)
{
    for (guint i = 0; i < jars->len; i++) {
        if (g_array_index(jars, struct spl_vessel, i).nominal_ml == nominal_ml)
            return g_array_index(jars, struct spl_vessel, i).count;
    }
    return 0;
}

static double capacity_of(const GArray *jars)
{
    double ml = 0.0;

    for (guint i = 0; i < jars->len; i++)
        ml += g_array_index(jars, struct spl_vessel, i).count *
              g_array_index(jars, struct spl_vessel, i).brimful_ml;
    return ml;
}

static void a_full_jar_takes_just_that_jar(void **state)
{
    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(sizes); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(GArray) jars = spl_jars_for(sizes[i].brimful_ml, sizes, 4, &error);

        expect_ok(error);
        assert_int_equal(jars->len, 1);
        assert_int_equal(count_of(jars, sizes[i].nominal_ml), 1);
    }
}

static void few_jars_go_before_the_last_drop_of_room(void **state)
{
    g_autoptr(GError) error = NULL;
    /* 1300 mL: 1040 + 265 leaves 5 mL; by thirties it would leave less with many more jars. */
    g_autoptr(GArray) jars = spl_jars_for(1300.0, sizes, 4, &error);
    /* 541 mL: 520 + 30 (9 left), not two of 265 and one of 30, not 1040. */
    g_autoptr(GArray) small = spl_jars_for(541.0, sizes, 4, &error);

    (void)state;
    expect_ok(error);
    assert_int_equal(count_of(jars, 1000.0), 1);
    assert_int_equal(count_of(jars, 250.0), 1);
    assert_int_equal(jars->len, 2);
    assert_int_equal(count_of(small, 500.0), 1);
    assert_int_equal(count_of(small, 30.0), 1);
    assert_int_equal(small->len, 2);
}

static void whatever_the_amount_the_jars_hold_it(void **state)
{
    (void)state;
    for (double ml = 7.0; ml < 5e6; ml *= 1.37) {
        g_autoptr(GError) error = NULL;
        g_autoptr(GArray) jars = spl_jars_for(ml, sizes, 4, &error);

        expect_ok(error);
        assert_true(capacity_of(jars) >= ml - 1.0);
        assert_true(ml < 30.0 || capacity_of(jars) <= MAX(ml * 1.1 + 1.0, ml + 31.0));
    }
}

static void without_sizes_or_sense_there_is_no_answer(void **state)
{
    static const struct spl_vessel none = {0.0, 0.0, 0, NULL};
    GError *error = NULL;

    (void)state;
    assert_null(spl_jars_for(500.0, NULL, 0, &error));
    expect_error(error, SPL_ERROR_INVALID, "no jar sizes");
    assert_null(spl_jars_for(500.0, &none, 1, &error));
    expect_error(error, SPL_ERROR_INVALID, "no jar sizes");
    assert_null(spl_jars_for(NAN, sizes, 4, &error));
    expect_error(error, SPL_ERROR_INVALID, "jars");
    assert_null(spl_jars_for(1e9, sizes, 4, &error));
    expect_error(error, SPL_ERROR_INVALID, "larger");
}

/* By hand: 87 x 0.955 + 435 = 518.1 mL. */
static void herb_and_liquid_fit_the_jar_or_are_refused(void **state)
{
    GError *error = NULL;

    (void)state;
    assert_true(spl_jars_fit(87.0, 0.955, 435.0, 520.0, 0.0, &error));
    assert_false(spl_jars_fit(87.0, 0.955, 435.0, 500.0, 0.0, &error));
    expect_error(error, SPL_ERROR_REFUSED, "518 mL");
    assert_false(spl_jars_fit(87.0, 0.955, 435.0, 520.0, 0.05, &error));
    expect_error(error, SPL_ERROR_REFUSED, "put in 83 g");
    /* at the very edge, and just beyond what a measure sees */
    assert_true(spl_jars_fit(100.0, 1.0, 400.0, 500.0, 0.0, &error));
    assert_false(spl_jars_fit(100.0, 1.0, 404.0, 500.0, 0.0, &error));
    g_clear_error(&error);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_full_jar_takes_just_that_jar),
    cmocka_unit_test(few_jars_go_before_the_last_drop_of_room),
    cmocka_unit_test(whatever_the_amount_the_jars_hold_it),
    cmocka_unit_test(without_sizes_or_sense_there_is_no_answer),
    cmocka_unit_test(herb_and_liquid_fit_the_jar_or_are_refused),
};
expect_main(tests)
