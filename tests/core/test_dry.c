/* SPDX-License-Identifier: MIT
 *
 * What shows herb to be dry, and what a sum of weights may say: each bound from both sides, worked
 * by hand.
 */
#include "expect.h"

#include <math.h>

#include "core/dry.h"
#include "core/need.h"

static struct spl_figure water(double value, double low, double high)
{
    return SPL_FIGURE_RANGE(value, low, high, "by hand");
}

/* 1 - 280 x 0.09 / 190 = 0.8674, and at the ends 0.8526 (w 0.90) and 0.8821 (w 0.92). */
static void the_water_left_follows_from_the_dry_matter_that_stays(void **state)
{
    struct spl_water_left left = spl_water_left(280, 190, water(0.91, 0.90, 0.92));

    (void)state;
    expect_near(left.value, 0.8674, 0.00005, "of mass");
    expect_near(left.low, 0.8526, 0.00005, "of mass");
    expect_near(left.high, 0.8821, 0.00005, "of mass");
    /* 100 g of 80 % water hold 20 g dry; at 22.2 g a tenth is water. */
    expect_near(spl_water_left(100, 22.2222, water(0.8, 0.8, 0.8)).value, 0.1, 0.00005, "of mass");
    /* Lighter than its dry matter: crumbs fell, no water. */
    expect_near(spl_water_left(100, 15, water(0.8, 0.8, 0.8)).value, 0.0, 0.0, "of mass");
    assert_true(isnan(spl_water_left(0, 15, water(0.8, 0.8, 0.8)).low));
    assert_true(isnan(spl_water_left(100, NAN, water(0.8, 0.8, 0.8)).low));
    assert_true(isnan(spl_water_left(100, 15, water(NAN, NAN, NAN)).low));
}

static struct spl_dry_look weighed(int day, double g)
{
    return (struct spl_dry_look){.day = {day}, .weight_g = g, .sign = -1};
}

static struct spl_dry_look tried(int day, enum spl_dry_sign sign)
{
    return (struct spl_dry_look){.day = {day}, .weight_g = NAN, .sign = (int)sign};
}

static void two_weighings_a_day_apart_within_2_per_cent_show_it(void **state)
{
    struct spl_dry_look looks[3] = {weighed(100, 50.0), weighed(101, 49.01)};

    (void)state;
    assert_int_equal(spl_dry_shown(looks, 2, SPL_PART_LEAF), SPL_DRY_BY_WEIGHT); /* 1.98 % */
    looks[1] = weighed(101, 49.0);                                               /* 2 % */
    assert_int_equal(spl_dry_shown(looks, 2, SPL_PART_LEAF), SPL_DRY_NOT_SHOWN);
    looks[1] = weighed(100, 49.9); /* the same day */
    assert_int_equal(spl_dry_shown(looks, 2, SPL_PART_LEAF), SPL_DRY_NOT_SHOWN);
    looks[1] = weighed(101, 50.99); /* damp weather */
    assert_int_equal(spl_dry_shown(looks, 2, SPL_PART_LEAF), SPL_DRY_BY_WEIGHT);
    assert_int_equal(spl_dry_shown(looks, 1, SPL_PART_LEAF), SPL_DRY_NOT_SHOWN);
    /* The last two count, not the best two. */
    looks[2] = weighed(102, 45.0);
    assert_int_equal(spl_dry_shown(looks, 3, SPL_PART_LEAF), SPL_DRY_NOT_SHOWN);
    assert_int_equal(spl_dry_shown(NULL, 0, SPL_PART_LEAF), SPL_DRY_NOT_SHOWN);
}

/* A leaf crumbles before its stem snaps, and the stem snaps before a root's core breaks. */
static void the_hand_tries_what_dries_last_of_the_part(void **state)
{
    static const struct {
        enum spl_part part;
        enum spl_dry_sign sign;
    } rows[] = {
        {SPL_PART_LEAF, SPL_DRY_CRUMBLES}, {SPL_PART_FLOWER, SPL_DRY_CRUMBLES},
        {SPL_PART_BUD, SPL_DRY_CRUMBLES},  {SPL_PART_HERB, SPL_DRY_SNAPS},
        {SPL_PART_TOPS, SPL_DRY_SNAPS},    {SPL_PART_ROOT, SPL_DRY_BREAKS},
        {SPL_PART_FRUIT, SPL_DRY_BREAKS},  {SPL_PART_BARK, SPL_DRY_BREAKS},
        {SPL_PART_SEED, SPL_DRY_BREAKS},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        for (int sign = 0; sign < SPL_DRY_SIGNS; sign++) {
            struct spl_dry_look look = tried(100, (enum spl_dry_sign)sign);

            assert_int_equal(spl_dry_shown(&look, 1, rows[i].part),
                             sign == (int)rows[i].sign ? SPL_DRY_BY_HAND : SPL_DRY_NOT_SHOWN);
        }
    }
    for (int sign = 0; sign < SPL_DRY_SIGNS; sign++) {
        enum spl_dry_sign read;

        assert_true(spl_dry_sign_from(spl_dry_sign_name((enum spl_dry_sign)sign), &read));
        assert_int_equal(read, sign);
    }
    assert_false(spl_dry_sign_from("rustles", NULL));
    assert_false(spl_dry_sign_from(NULL, NULL));
}

static void the_sum_refuses_or_asks_and_never_shows(void **state)
{
    const struct spl_water_left dry = {0.08, 0.10, 0.15}, between = {0.15, 0.17, 0.19},
                                wet = {0.151, 0.17, 0.19}, unknown = {NAN, NAN, NAN};

    (void)state;
    assert_int_equal(spl_dryness_of(SPL_DRY_NOT_SHOWN, dry), SPL_DRYNESS_OPEN);
    assert_int_equal(spl_dryness_of(SPL_DRY_BY_HAND, dry), SPL_DRYNESS_SHOWN);
    assert_int_equal(spl_dryness_of(SPL_DRY_BY_WEIGHT, dry), SPL_DRYNESS_SHOWN);
    assert_int_equal(spl_dryness_of(SPL_DRY_BY_HAND, between), SPL_DRYNESS_DOUBT);
    assert_int_equal(spl_dryness_of(SPL_DRY_NOT_SHOWN, between), SPL_DRYNESS_OPEN);
    assert_int_equal(spl_dryness_of(SPL_DRY_BY_HAND, wet), SPL_DRYNESS_WET);
    assert_int_equal(spl_dryness_of(SPL_DRY_BY_WEIGHT, wet), SPL_DRYNESS_WET);
    assert_int_equal(spl_dryness_of(SPL_DRY_BY_HAND, unknown), SPL_DRYNESS_SHOWN);
    /* What stands in the cold keeps its weight too. */
    assert_int_equal(spl_dryness_of(SPL_DRY_BY_WEIGHT, unknown), SPL_DRYNESS_OPEN);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_water_left_follows_from_the_dry_matter_that_stays),
        cmocka_unit_test(two_weighings_a_day_apart_within_2_per_cent_show_it),
        cmocka_unit_test(the_hand_tries_what_dries_last_of_the_part),
        cmocka_unit_test(the_sum_refuses_or_asks_and_never_shows),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
