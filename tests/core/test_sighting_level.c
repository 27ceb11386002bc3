/* SPDX-License-Identifier: MIT
 *
 * Offsets that wander: the filter and its smoother beside the joint normal distribution by hand,
 * and what is learnt from notes that wander and notes that do not.
 */
#include "core/sighting.h"
#include "core/sighting_level.h"
#include "expect.h"

static GArray *two_notes(void)
{
    static const struct spl_level_note notes[] = {{10, 0, 9}, {0, 6, 9}};
    GArray *list = g_array_new(FALSE, FALSE, sizeof(struct spl_level_note));

    g_array_append_vals(list, notes, 2);
    spl_level_sort(list);
    return list;
}

static void the_offset_is_that_of_the_joint_distribution(void **state)
{
    /*
     * By hand: first offset N(0, 36), drift 1 a year, notes of variance 9: 6 d in year 0, 0 d in
     * year 10. Variances of the notes 36 + 9 = 45 and 46 + 9 = 55, between them 36; determinant
     * 45 x 55 - 36^2 = 1179.
     * Year 20, covariances 36 and 46: weights (36 x 55 - 46 x 36) / 1179 = 0.274809 and
     * (46 x 45 - 36 x 36) / 1179 = 0.656489: mean 6 x 0.274809, variance
     * 56 - 36 x 0.274809 - 46 x 0.656489.
     * Year 5, covariances 36 and 41: weights 504 / 1179 and 549 / 1179, variance
     * 41 - 36 x 0.427481 - 41 x 0.465649.
     */
    const struct spl_level_law law = {1, 1};
    g_autoptr(GArray) notes = two_notes();
    double mean, variance;

    (void)state;
    spl_level_at(notes, &law, 0, 36, 20, &mean, &variance);
    expect_near(mean, 1.648855, 1e-5, "d");
    expect_near(variance, 15.908397, 1e-5, "d^2");
    spl_level_at(notes, &law, 0, 36, 5, &mean, &variance);
    expect_near(mean, 2.564885, 1e-5, "d");
    expect_near(variance, 6.519084, 1e-5, "d^2");
}

static void one_that_stands_still_is_the_plain_update(void **state)
{
    const struct spl_level_law law = {0, 1};
    const double residual[] = {6, 0}, sigma[] = {3, 3};
    g_autoptr(GArray) notes = two_notes();
    struct spl_sighting_offset offset;
    double mean, variance;

    (void)state;
    spl_sighting_update(1, 6, residual, sigma, 2, &offset);
    for (int year = -5; year <= 15; year += 5) {
        spl_level_at(notes, &law, 1, 36, year, &mean, &variance);
        expect_near(mean, offset.mean_d, 1e-6, "d");
        expect_near(variance, offset.sd_d * offset.sd_d, 1e-6, "d^2");
    }
}

/* Twenty years of notes at one site, half of them 5 d before what is expected, half 5 d after. */
static GArray *twenty(gboolean in_turn)
{
    GArray *list = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));

    for (int i = 0; i < 20; i++) {
        gboolean early = in_turn ? i % 2 == 0 : i < 10;
        struct spl_sighting one = {.residual_d = (early ? -5 : 5) + (i % 4 < 2 ? 1 : -1),
                                   .weather_known = TRUE,
                                   .on = spl_day_from_ymd(2007 + i, 5, 1),
                                   .stage = 61};

        g_array_append_val(list, one);
    }
    return list;
}

static void late_notes_say_more_where_a_site_wanders(void **state)
{
    g_autoptr(GArray) wanders = twenty(FALSE), stands = twenty(TRUE);
    struct spl_sighting_offset now, then, still, still_then;
    double today_n = spl_day_from_ymd(2027, 5, 1).n;

    (void)state;
    spl_sighting_offset_of(wanders, today_n, &now);
    spl_sighting_offset_of(wanders, spl_day_from_ymd(2007, 5, 1).n, &then);
    assert_true(now.mean_d > 3 && now.mean_d < 5);
    assert_true(then.mean_d < -3 && then.mean_d > -5);
    assert_true(now.scale < 0.8); /* the years about it are as even as they are */
    spl_sighting_offset_of(stands, today_n, &still);
    spl_sighting_offset_of(stands, spl_day_from_ymd(2007, 5, 1).n, &still_then);
    expect_near(still.mean_d, 0, 0.1, "d");
    expect_near(still_then.mean_d, still.mean_d, 1e-12, "d");
}

static void few_notes_do_not_wander(void **state)
{
    g_autoptr(GArray) list = twenty(FALSE);
    struct spl_sighting_offset now, then;

    (void)state;
    g_array_remove_range(list, 0, 6);
    g_array_set_size(list, 8);
    spl_sighting_offset_of(list, spl_day_from_ymd(2027, 5, 1).n, &now);
    spl_sighting_offset_of(list, spl_day_from_ymd(2010, 5, 1).n, &then);
    expect_near(now.mean_d, then.mean_d, 1e-12, "d");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_offset_is_that_of_the_joint_distribution),
    cmocka_unit_test(one_that_stands_still_is_the_plain_update),
    cmocka_unit_test(late_notes_say_more_where_a_site_wanders),
    cmocka_unit_test(few_notes_do_not_wander),
};

int main(int argc, char **argv)
{
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
