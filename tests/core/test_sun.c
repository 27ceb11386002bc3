/* SPDX-License-Identifier: MIT
 *
 * Sun times: against an ephemeris, published worked examples, polar day and night, date traps.
 */
#include "core/sun.h"
#include "sheet.h"

static void times_are_within_a_minute_of_an_ephemeris(void **state)
{
    g_autoptr(spl_sheet) sheet = sheet_open("sun.csv");

    (void)state;
    for (guint row = 0; row < sheet_rows(sheet); row++) {
        g_autoptr(GError) error = NULL;
        double rise = sheet_number(sheet, row, "sunrise_s");
        struct spl_day day;
        struct spl_sun sun;

        assert_true(spl_day_parse(sheet_text(sheet, row, "date"), "date", &day, &error));
        sun = spl_sun_times(day, sheet_number(sheet, row, "lat"), sheet_number(sheet, row, "lon"));
        expect_near(sun.noon_min * 60, sheet_number(sheet, row, "noon_s"), 5, "s");
        if (isnan(rise)) {
            assert_int_equal(sun.state, SPL_SUN_NEVER_SETS);
            assert_true(isnan(sun.sunrise_min) && isnan(sun.sunset_min));
            continue;
        }
        assert_int_equal(sun.state, SPL_SUN_RISES);
        expect_near(sun.sunrise_min * 60, rise, 6, "s");
        expect_near(sun.sunset_min * 60, sheet_number(sheet, row, "sunset_s"), 6, "s");
    }
}

static void position_agrees_with_meeus(void **state)
{
    double longitude, declination, equation;

    (void)state;
    /* Meeus, Astronomical Algorithms, example 25.a: 1992-10-13 0h TD, apparent longitude
     * 199.90895, declination -7.78507; equation of time 13.7109 min (the last
     * by an independent program). */
    spl_sun_position(spl_day_from_ymd(1992, 10, 13), 0, &longitude, &declination, &equation);
    expect_near(longitude, 199.90895, 2e-5, "degrees");
    expect_near(declination, -7.78507, 2e-5, "degrees");
    expect_near(equation, 13.7109, 2e-4, "min");
}

static void published_sunrises_come_out(void **state)
{
    struct spl_sun sun;

    (void)state;
    /* NREL's Solar Position Algorithm, worked example: Golden CO, 39.742476 N 105.1786 W,
     * 2003-10-17 (UTC-7): sunrise 06:12:43. Its sunset of 17:20:19 is that of the UTC day, the
     * evening of the local 16th. */
    sun = spl_sun_times(spl_day_from_ymd(2003, 10, 17), 39.742476, -105.1786);
    expect_near(sun.sunrise_min * 60, (6 * 60 + 12) * 60 + 43 + 7 * 3600, 10, "s");
    sun = spl_sun_times(spl_day_from_ymd(2003, 10, 16), 39.742476, -105.1786);
    expect_near(sun.sunset_min * 60, (17 * 60 + 20) * 60 + 19 + 7 * 3600, 10, "s");
    /* USNO, Almanac for Computers, worked example: Wayne NJ, 1990-06-25, sunrise 9.4414 h UT with
     * a rougher formula. */
    sun = spl_sun_times(spl_day_from_ymd(1990, 6, 25), 40.9, -74.3);
    expect_near(sun.sunrise_min / 60, 9.4414, 1.0 / 60, "h");
}

static void the_sun_may_stay_up_or_down(void **state)
{
    (void)state;
    assert_int_equal(spl_sun_times(spl_day_from_ymd(2027, 6, 21), 78.2, 15.6).state,
                     SPL_SUN_NEVER_SETS);
    assert_int_equal(spl_sun_times(spl_day_from_ymd(2027, 12, 21), 78.2, 15.6).state,
                     SPL_SUN_NEVER_RISES);
    assert_int_equal(spl_sun_times(spl_day_from_ymd(2027, 6, 21), 90, 0).state, SPL_SUN_NEVER_SETS);
    assert_int_equal(spl_sun_times(spl_day_from_ymd(2027, 6, 21), -90, 0).state,
                     SPL_SUN_NEVER_RISES);
}

static void the_day_is_the_one_that_the_place_writes(void **state)
{
    (void)state;
    /* Noon lies on the place's own day for every longitude: near 12 h of local mean time. */
    for (int lon = -180; lon <= 180; lon += 15) {
        struct spl_sun sun = spl_sun_times(spl_day_from_ymd(2027, 2, 11), 40, lon);

        expect_near(sun.noon_min + 4 * lon, 720 + 14.2, 1.0, "min");
        assert_true(sun.sunrise_min < sun.noon_min && sun.noon_min < sun.sunset_min);
        assert_true(sun.sunset_min - sun.sunrise_min < 1440);
    }
}

static void picking_waits_for_the_dew(void **state)
{
    struct spl_day day = spl_day_from_ymd(2025, 5, 1);
    double from, until, sunrise;

    (void)state;
    /* Montpelier VT: sunrise 09:40:54, noon 16:47:20, sunset 23:54:33 UTC (PyEphem). */
    sunrise = (9 * 60 + 40) + 54.0 / 60;
    assert_true(spl_sun_picking(day, 44.2601, -72.5754, 3, TRUE, &from, &until));
    expect_near(from, sunrise + 180, 0.2, "min");
    expect_near(until, 16 * 60 + 47 + 60 + 1.0 / 3, 0.2, "min");
    assert_true(spl_sun_picking(day, 44.2601, -72.5754, 2, FALSE, &from, &until));
    expect_near(from, sunrise + 120, 0.2, "min");
    expect_near(until, 23 * 60 + 54 + 33.0 / 60, 0.2, "min");
    assert_false(
        spl_sun_picking(spl_day_from_ymd(2025, 6, 21), 69.6492, 18.9553, 3, TRUE, &from, &until));
    /* A dew that lasts past the end of the picking hours leaves none. */
    assert_false(
        spl_sun_picking(spl_day_from_ymd(2025, 12, 21), 59.9, 10.7, 6, FALSE, &from, &until));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(times_are_within_a_minute_of_an_ephemeris),
    cmocka_unit_test(position_agrees_with_meeus),
    cmocka_unit_test(published_sunrises_come_out),
    cmocka_unit_test(the_sun_may_stay_up_or_down),
    cmocka_unit_test(the_day_is_the_one_that_the_place_writes),
    cmocka_unit_test(picking_waits_for_the_dew),
};
expect_main(tests)
