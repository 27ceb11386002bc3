/* SPDX-License-Identifier: MIT
 *
 * Moving dates by place: the published law of Hopkins, and the house's own rates by hand.
 */
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

static double days(enum spl_event event, double lat0, double lon0, double h0, double lat,
                   double lon, double h)
{
    struct spl_shift_place from = {lat0, lon0, h0, NAN}, to = {lat, lon, h, NAN};

    return spl_shift_event_days(event, &from, &to);
}

static void house_rates_move_by_latitude_and_height(void **state)
{
    (void)state;
    /* Below 48 degrees 4 d a degree, 3.4 d per 100 m: 2 x 4 + 2 x 3.4; longitude counts for nothing
     * in Europe. */
    expect_near(days(SPL_EVENT_GROWTH, 44, 0, 100, 46, 9, 300), 14.8, 1e-9, "d");
    /* Beyond 60 degrees 2.5 d. */
    expect_near(days(SPL_EVENT_GROWTH, 62, 10, 0, 64, 10, 0), 5, 1e-9, "d");
    /* Between, 0.125 d less for each degree: 12 degrees x the mean of 4 and 2.5. */
    expect_near(days(SPL_EVENT_GROWTH, 48, 10, 0, 60, 10, 0), 39, 1e-9, "d");
    expect_near(days(SPL_EVENT_GROWTH, 60, 10, 0, 48, 10, 0), -39, 1e-9, "d");
    /* Jeffree 1960: Britain 3.6 d a degree about 50 to 56 N; ours there: 3.375. */
    expect_near(days(SPL_EVENT_GROWTH, 50, -2, 0, 56, -2, 0) / 6, 3.6, 0.3, "d");
    /* 2 x 2.8 + 2 x 2.9 */
    expect_near(days(SPL_EVENT_RIPENING, 50, 0, 100, 52, 9, 300), 11.4, 1e-9, "d");
    /* 0.8 d per degree east inside temperate North America. */
    expect_near(days(SPL_EVENT_GROWTH, 44, -75, 100, 44, -70, 100), 4, 1e-9, "d");
}

static void poleward_is_later_on_both_hemispheres(void **state)
{
    (void)state;
    expect_near(days(SPL_EVENT_GROWTH, -40, 170, 0, -44, 170, 0), 16, 1e-9, "d");
    expect_near(days(SPL_EVENT_GROWTH, 48, 8, 0, -44, 170, 0), -16, 1e-9, "d");
    expect_near(days(SPL_EVENT_RIPENING, -40, 170, 0, -44, 170, 0), 11.2, 1e-9, "d");
}

static void die_back_goes_east_inside_europe_alone(void **state)
{
    (void)state;
    /* -2 x 2.0 - 9 x 1.0; latitude counts for nothing there (Norway: -0.1 d a degree). */
    expect_near(days(SPL_EVENT_SENESCENCE, 50, 0, 100, 52, 9, 300), -13, 1e-9, "d");
    expect_near(days(SPL_EVENT_SENESCENCE, 50, -5, 0, 50, 35, 0), -15, 1e-9, "d");
    /* Elsewhere a day a degree of latitude, and none for longitude: Sapporo from Central Europe,
     * Hobart, Wellington, Vancouver from northern Britain. It was a day a degree east, so -141,
     * -134, +116 and +54 days. */
    expect_near(days(SPL_EVENT_SENESCENCE, 50, 9, 0, 43, 141.4, 0), 7, 1e-9, "d");
    expect_near(days(SPL_EVENT_SENESCENCE, 54.5, -2.5, 0, -42.9, 147.3, 0), 11.6, 1e-9, "d");
    expect_near(days(SPL_EVENT_SENESCENCE, 54.5, -2.5, 0, -41.3, 174.8, 0), 13.2, 1e-9, "d");
    expect_near(days(SPL_EVENT_SENESCENCE, 54.5, -2.5, 0, 49.3, -123.1, 0), 5.2, 1e-9, "d");
    /* Slovenia's beeches colour 1.9 d earlier per 100 m (Cufar et al. 2012, Trees 26:1091). */
    expect_near(days(SPL_EVENT_SENESCENCE, 46, 14, 50, 46, 14, 1050) / 10, -1.9, 0.2, "d");
}

/* With normals die-back follows September and October: the table of almanac sources reckons from
 * Klein-Altendorf (14.6, 10.5 C) to eight stations of 1991-2020 with the same 2.5 d a kelvin. */
static void die_back_follows_the_warmth_of_autumn(void **state)
{
    static const struct {
        const char *place;
        double lat, lon, september_c, october_c, days;
    } stations[] = {
        {"Basel", 47.5, 7.6, 15.4, 11.1, 2},        {"Durham", 54.8, -1.6, 13.3, 10.0, -2},
        {"Newton Rigg", 54.7, -2.8, 12.4, 9.2, -4}, {"Lerwick", 60.1, -1.2, 11.1, 8.5, -7},
        {"Lebanon", 43.6, -72.3, 15.9, 9.2, 0},     {"White Plains", 41.1, -73.7, 19.0, 13.1, 9},
        {"Washington", 39, -77, 20.6, 14.9, 14},    {"Kyoto", 35, 135.7, 25.0, 18.8, 23},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(stations); i++) {
        struct spl_shift_place from = {50.6, 7.0, 170, (14.6 + 10.5) / 2};
        struct spl_shift_place to = {stations[i].lat, stations[i].lon, 100,
                                     (stations[i].september_c + stations[i].october_c) / 2};

        expect_near(spl_shift_event_days(SPL_EVENT_SENESCENCE, &from, &to), stations[i].days, 1.1,
                    stations[i].place);
    }
}

static void autumn_is_in_march_and_april_in_the_south(void **state)
{
    static const double mean[12] = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12};

    (void)state;
    expect_near(spl_shift_autumn_c(mean, FALSE), 9.5, 1e-12, "C");
    expect_near(spl_shift_autumn_c(mean, TRUE), 3.5, 1e-12, "C");
}

static void longitude_takes_the_short_way_round(void **state)
{
    struct spl_shift_rates hopkins = spl_shift_rates_hopkins();

    (void)state;
    expect_near(spl_shift_days(hopkins, 50, 179, 0, 50, -179, 0), 1.6, 1e-9, "d");
    expect_near(spl_shift_days(hopkins, 50, -179, 0, 50, 179, 0), -1.6, 1e-9, "d");
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
    cmocka_unit_test(die_back_goes_east_inside_europe_alone),
    cmocka_unit_test(die_back_follows_the_warmth_of_autumn),
    cmocka_unit_test(autumn_is_in_march_and_april_in_the_south),
    cmocka_unit_test(longitude_takes_the_short_way_round),
    cmocka_unit_test(america_has_its_bounds),
    cmocka_unit_test(a_stage_or_a_part_says_what_kind_of_event_it_is),
};
expect_main(tests)
