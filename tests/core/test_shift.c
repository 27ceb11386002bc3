/* Moving dates by place: the published law of Hopkins, and the house's own rates by hand. */
#include "core/shift.h"
#include "sheet.h"

static void hopkins_numbers_come_out(void **state)
{
    struct spl_shift_rates hopkins = spl_shift_rates_hopkins();

    (void)state;
    /* Hopkins 1918: 4 days for 1 degree, 5 degrees, 400 ft. By hand: 0.61 x 4 + 6.80 x 0.8 +
     * 84 m / 121.92 m x 4 = 2.44 + 5.44 + 2.76. */
    expect_near(spl_shift_days(hopkins, 43.65, -79.38, 76, 44.26, -72.58, 160), 10.64, 0.005, "d");
    expect_near(spl_shift_days(hopkins, 50, 10, 0, 50, 10, 100), 3.2808, 5e-5, "d");
    expect_near(spl_shift_days(hopkins, 50, 10, 0, 51, 15, 121.92), 12, 1e-9, "d");
}

static void house_rates_move_by_latitude_and_height(void **state)
{
    (void)state;
    /* 2 x 2.5 + 2 x 3.0; longitude counts for nothing in Europe. */
    expect_near(spl_shift_days(spl_shift_rates_of(SPL_EVENT_GROWTH, FALSE), 50, 0, 100, 52, 9, 300),
                11, 1e-9, "d");
    /* 2 x 2.8 + 2 x 2.9 */
    expect_near(
        spl_shift_days(spl_shift_rates_of(SPL_EVENT_RIPENING, FALSE), 50, 0, 100, 52, 9, 300), 11.4,
        1e-9, "d");
    /* Earlier with height and to the east: -2 x 2.0 - 9 x 1.0; latitude counts for nothing. */
    expect_near(
        spl_shift_days(spl_shift_rates_of(SPL_EVENT_SENESCENCE, FALSE), 50, 0, 100, 52, 9, 300),
        -13, 1e-9, "d");
    /* 0.8 d per degree east inside temperate North America. */
    expect_near(
        spl_shift_days(spl_shift_rates_of(SPL_EVENT_GROWTH, TRUE), 44, -75, 100, 44, -70, 100), 4,
        1e-9, "d");
}

static void poleward_is_later_on_both_hemispheres(void **state)
{
    struct spl_shift_rates rates = spl_shift_rates_of(SPL_EVENT_GROWTH, FALSE);

    (void)state;
    expect_near(spl_shift_days(rates, -40, 170, 0, -44, 170, 0), 10, 1e-9, "d");
    expect_near(spl_shift_days(rates, 48, 8, 0, -44, 170, 0), -10, 1e-9, "d");
}

static void longitude_takes_the_short_way_round(void **state)
{
    (void)state;
    expect_near(
        spl_shift_days(spl_shift_rates_of(SPL_EVENT_SENESCENCE, FALSE), 50, 179, 0, 50, -179, 0),
        -2, 1e-9, "d");
    expect_near(
        spl_shift_days(spl_shift_rates_of(SPL_EVENT_SENESCENCE, FALSE), 50, -179, 0, 50, 179, 0), 2,
        1e-9, "d");
}

static void america_has_its_bounds(void **state)
{
    (void)state;
    assert_true(spl_shift_in_america(44, -72));
    assert_true(spl_shift_in_america(45.5, -122.7));
    assert_false(spl_shift_in_america(54, -2));
    assert_false(spl_shift_in_america(-34, -60));
    assert_false(spl_shift_in_america(10, -72));
}

static void a_stage_or_a_part_says_what_kind_of_event_it_is(void **state)
{
    (void)state;
    assert_int_equal(spl_event_of(60, "elder/flower", 6), SPL_EVENT_GROWTH);
    assert_int_equal(spl_event_of(13, "nettle/leaf", 4), SPL_EVENT_GROWTH);
    assert_int_equal(spl_event_of(69, "dandelion/leaf", 6), SPL_EVENT_GROWTH);
    assert_int_equal(spl_event_of(85, "hawthorn/berry", 9), SPL_EVENT_RIPENING);
    assert_int_equal(spl_event_of(93, "dandelion/root", 10), SPL_EVENT_SENESCENCE);
    assert_int_equal(spl_event_of(97, "nettle/root", 11), SPL_EVENT_SENESCENCE);
    assert_int_equal(spl_event_of(7, "burdock/root", 3), SPL_EVENT_GROWTH);
    assert_int_equal(spl_event_of(NAN, "nettle/root", 11), SPL_EVENT_SENESCENCE);
    assert_int_equal(spl_event_of(NAN, "dandelion/root", 3), SPL_EVENT_GROWTH);
    assert_int_equal(spl_event_of(NAN, "nettle/seed", 8), SPL_EVENT_RIPENING);
    assert_int_equal(spl_event_of(NAN, "rose/fruit", 9), SPL_EVENT_RIPENING);
    assert_int_equal(spl_event_of(NAN, "hawthorn/berry", 9), SPL_EVENT_RIPENING);
    assert_int_equal(spl_event_of(NAN, "elder/flower", 6), SPL_EVENT_GROWTH);
    assert_int_equal(spl_event_of(NAN, NULL, 6), SPL_EVENT_GROWTH);
    /* First-year roots: the stage says that they grow, the month that they are dug after die-back.
     */
    assert_int_equal(spl_event_of(49, "burdock/root", 10), SPL_EVENT_SENESCENCE);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(hopkins_numbers_come_out),
    cmocka_unit_test(house_rates_move_by_latitude_and_height),
    cmocka_unit_test(poleward_is_later_on_both_hemispheres),
    cmocka_unit_test(longitude_takes_the_short_way_round),
    cmocka_unit_test(america_has_its_bounds),
    cmocka_unit_test(a_stage_or_a_part_says_what_kind_of_event_it_is),
};
expect_main(tests)
