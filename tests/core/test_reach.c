/* SPDX-License-Identifier: MIT
 *
 * How far an almanac reaches: the pairs of stations of 1991-2020 that the sources compare, places
 * at the ends of the earth, and how the better of two is chosen. */
#include "core/reach.h"
#include "expect.h"

static const double klein_altendorf[12] = {2.6,  3.2,  6.3,  9.8,  13.6, 16.5,
                                           18.7, 18.1, 14.6, 10.5, 6.3,  3.3};
static const double newton_rigg[12] = {3.6,  4.0,  5.5,  7.6, 10.5, 13.2,
                                       15.1, 14.6, 12.4, 9.2, 6.0,  3.8};
static const double durham[12] = {4.1, 4.6, 6.2, 8.3, 11.0, 13.6, 15.8, 15.6, 13.3, 10.0, 6.6, 4.3};
static const double basel[12] = {2.2, 3.2, 7.0, 10.7, 14.6, 18.2, 20.2, 19.7, 15.4, 11.1, 6.0, 2.9};
static const double lerwick[12] = {4.2, 3.8, 4.6, 6.1, 8.1, 10.3, 12.2, 12.6, 11.1, 8.5, 6.2, 4.5};
static const double lebanon[12] = {-6.8, -5.3, -0.1, 6.8, 13.7, 18.4,
                                   21.3, 20.3, 15.9, 9.2, 2.9,  -2.9};
static const double white_plains[12] = {-0.7, 0.0,  4.1,  10.0, 15.7, 20.5,
                                        23.9, 22.7, 19.1, 13.1, 6.9,  2.2};
static const double washington[12] = {2.0,  3.5,  7.7,  13.7, 19.0, 23.9,
                                      26.5, 25.5, 21.6, 14.9, 9.1,  4.4};

/* RMS and range as the table of the sources has them, and its verdict where a latitude does not
 * decide. */
static void pairs_of_stations_come_out_as_published(void **state)
{
    static const struct {
        const double *from, *to;
        double lat0, lon0, lat, lon, rms_k, range_k;
        gboolean fits, fair;
    } pairs[] = {
        {newton_rigg, durham, 54.7, -2.8, 54.8, -1.6, 0.7, 0.2, TRUE, FALSE},
        {klein_altendorf, basel, 50.6, 7, 47.5, 7.6, 1.0, 1.9, TRUE, FALSE},
        {newton_rigg, lerwick, 54.7, -2.8, 60.1, -1.2, 1.7, -2.7, TRUE, FALSE},
        {klein_altendorf, newton_rigg, 50.6, 7, 54.7, -2.8, 2.2, -4.6, TRUE, TRUE},
        {lebanon, white_plains, 43.6, -72.3, 41.1, -73.7, 3.9, -3.5, TRUE, TRUE},
        {klein_altendorf, lerwick, 50.6, 7, 60.1, -1.2, 3.9, -7.3, TRUE, TRUE},
        {klein_altendorf, lebanon, 50.6, 7, 43.6, -72.3, 4.8, 12.0, FALSE, TRUE},
        {klein_altendorf, washington, 50.6, 7, 39, -77, 5.0, 8.4, FALSE, TRUE},
        {lebanon, klein_altendorf, 43.6, -72.3, 50.6, 7, 4.8, -12.0, FALSE, TRUE},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(pairs); i++) {
        struct spl_reach_place from = {pairs[i].lat0, pairs[i].lon0, pairs[i].from};
        struct spl_reach_place to = {pairs[i].lat, pairs[i].lon, pairs[i].to};
        struct spl_reach reach;

        spl_reach_of(&from, &to, &reach);
        expect_near(reach.rms_k, pairs[i].rms_k, 0.1, "K");
        expect_near(reach.range_k, pairs[i].range_k, 0.25, "K");
        assert_int_equal(reach.fits, pairs[i].fits);
        assert_int_equal(reach.fair, pairs[i].fair);
    }
}

static gboolean fits(double lat0, double lon0, const double *from, double lat, double lon,
                     const double *to)
{
    struct spl_reach_place almanac = {lat0, lon0, from}, site = {lat, lon, to};
    struct spl_reach reach;

    spl_reach_of(&almanac, &site, &reach);
    return reach.fits;
}

static void the_ends_of_the_earth_have_none(void **state)
{
    (void)state;
    assert_false(fits(54.5, -2.5, newton_rigg, 0.001, 10, NULL));
    assert_false(fits(54.5, -2.5, newton_rigg, -0.001, 10, NULL));
    assert_false(fits(54.5, -2.5, newton_rigg, -80, 0, NULL));
    assert_false(fits(54.5, -2.5, newton_rigg, 89, 0, NULL));
    assert_false(fits(43.5, -72.5, lebanon, -1.3, 36.8, NULL));
    /* Half round the globe without a word of its climate. */
    assert_false(fits(43.5, -72.5, lebanon, 43.1, 141.3, NULL));
    assert_true(fits(50, 9, klein_altendorf, 47.5, 7.6, NULL));
    /* South: an even climate serves, an inland one does not. */
    assert_true(fits(54.5, -2.5, newton_rigg, -42.9, 147.3, NULL));
    assert_false(fits(43.5, -72.5, lebanon, -42.9, 147.3, NULL));
    /* With the normals of Christchurch it may be known (about 17 in January, 6 in July). */
    static const double christchurch[12] = {17.5, 17.2, 15.5, 12.7, 9.8,  7.1,
                                            6.6,  7.9,  10.3, 12.2, 14.1, 16.3};
    assert_true(fits(54.5, -2.5, newton_rigg, -43.5, 172.6, christchurch));
    assert_true(fits(NAN, NAN, NULL, -43.5, 172.6, NULL));
}

static void no_summer_or_no_winter_is_outside_all(void **state)
{
    double cold[12], hot[12];

    (void)state;
    for (int m = 0; m < 12; m++) {
        cold[m] = 5 + (m == 6);
        hot[m] = 25;
    }
    assert_false(fits(54.5, -2.5, newton_rigg, 60, 0, cold));
    assert_false(fits(43.5, -72.5, lebanon, 40, -72, hot));
}

static void far_almanacs_cost_more_and_widen(void **state)
{
    struct spl_reach_place near = {54.5, -2.5, newton_rigg}, far = {50, 9, klein_altendorf};
    struct spl_reach_place site = {54.8, -1.6, durham}, bare = {54.8, -1.6, NULL};
    struct spl_reach a, b, c;

    (void)state;
    spl_reach_of(&near, &site, &a);
    spl_reach_of(&far, &site, &b);
    spl_reach_of(&far, &bare, &c);
    assert_true(spl_reach_cost(&near, &a) < spl_reach_cost(&far, &b));
    expect_near(spl_reach_sd_d(&a), 0, 1e-12, "d");
    expect_near(spl_reach_sd_d(&b), 2 * (b.rms_k - 1), 1e-12, "d");
    expect_near(spl_reach_sd_d(&c), 8 * (c.km - 300) / 1000, 1e-9, "d");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(pairs_of_stations_come_out_as_published),
    cmocka_unit_test(the_ends_of_the_earth_have_none),
    cmocka_unit_test(no_summer_or_no_winter_is_outside_all),
    cmocka_unit_test(far_almanacs_cost_more_and_widen),
};
expect_main(tests)
