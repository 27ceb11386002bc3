/* SPDX-License-Identifier: MIT
 *
 * The map's projection against geodesics: published distances (Karney 2013, rows of GeographicLib's
 * geodtest.c and GeodSolve), and PROJ's geodesic routines for places within a map.
 */
#include "expect.h"

#include <geodesic.h>

#include "picture/projection.h"

/* WGS 84; source: GeographicLib tests/geodtest.c rows 1-5, GeodSolve for JFK-LHR. */
static const double published[][6] = {
    /* lat1 lon1 lat2 lon2 azimuth metres */
    {40.6, -73.8, 51.6, -0.5, 51.198882846, 5551759.400319},
    {35.60777, -139.44815, -11.17491, -69.95921, 111.098748429560326, 8935244.5604818305},
    {55.52454, 106.05087, 77.03196, 197.18234 - 360.0, 22.020059880982801, 4105086.1713924406},
    {-21.97856, 142.59065, 41.84138, 98.56635, -32.44456876433189, 8394328.894657671},
    {-19.79938, -174.47484, -11.99349, -154.35109, 71.167275780171533, 2319004.8601169389},
    {-41.22777, 122.32875, -7.57291, 130.37946, 11.0, 3812686.035106021},
    {45.0, 0.0, 46.0, 0.0, 0.0, 111141.548474},
    {0.0, 0.0, 0.0, 1.0, 90.0, 111319.490793},
};

static void published_distances_hold_across_the_earth(void **state)
{
    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(published); i++) {
        const double *row = published[i];
        struct spl_projection p;
        double e, n;
        spl_projection_set(&p, row[0], row[1]);
        spl_projection_forward(&p, row[2], row[3], &e, &n);
        expect_near(hypot(e, n), row[5], row[5] * 0.005, "m");
        if (row[4] != 11.0) /* the table gives no azimuth for that row */
            expect_near(remainder(atan2(e, n) * 180.0 / G_PI - row[4], 360.0), 0.0, 0.3, "degrees");
    }
}

static void within_a_map_it_is_the_geodesic(void **state)
{
    (void)state;
    struct geod_geodesic earth;
    geod_init(&earth, 6378137.0, 1.0 / 298.257223563);
    g_autoptr(GRand) random = g_rand_new_with_seed(11);
    for (int i = 0; i < 2000; i++) {
        double lat = g_rand_double_range(random, -90, 90),
               lon = g_rand_double_range(random, -180, 180);
        double far = g_rand_double_range(random, 1, 100e3),
               azimuth = g_rand_double_range(random, -180, 180);
        double lat2, lon2, e, n, back_lat, back_lon;
        geod_direct(&earth, lat, lon, azimuth, far, &lat2, &lon2, NULL);
        struct spl_projection p;
        spl_projection_set(&p, lat, lon);
        spl_projection_forward(&p, lat2, lon2, &e, &n);
        expect_near(hypot(e, n), far, far * 1e-5 + 0.001, "m");
        expect_near(
            hypot(e - far * sin(azimuth * G_PI / 180.0), n - far * cos(azimuth * G_PI / 180.0)),
            0.0, far * 3e-5 + 0.002, "m");
        assert_true(spl_projection_back(&p, e, n, &back_lat, &back_lon));
        double missed;
        geod_inverse(&earth, lat2, lon2, back_lat, back_lon, &missed, NULL, NULL);
        expect_near(missed, 0.0, 0.01, "m");
    }
}

static void poles_and_the_180th_meridian_have_no_seam(void **state)
{
    (void)state;
    struct spl_projection p;
    double e1, n1, e2, n2, lat, lon;
    spl_projection_set(&p, 90.0, 0.0);
    spl_projection_forward(&p, 89.9, 37.0, &e1, &n1);
    expect_near(hypot(e1, n1), 11169.4, 0.5, "m"); /* 0.1 degree by 111 694 m: b^-1 a^2 pi / 180 */
    spl_projection_set(&p, -90.0, 120.0);
    spl_projection_forward(&p, -90.0, 0.0, &e1, &n1);
    expect_near(hypot(e1, n1), 0.0, 1e-6, "m");
    spl_projection_set(&p, 10.0, 179.999);
    spl_projection_forward(&p, 10.0, -179.999, &e1, &n1);
    spl_projection_forward(&p, 10.0, 179.997, &e2, &n2);
    expect_near(e1, -e2, 0.001, "m");
    assert_true(spl_projection_back(&p, e1, n1, &lat, &lon));
    expect_near(lon, -179.999, 1e-7, "degrees");
    assert_false(spl_projection_back(&p, 2.1e7, 0.0, &lat, &lon));
}

static void the_middle_of_places_is_among_them(void **state)
{
    (void)state;
    double lat, lon;
    static const double across[] = {10.0, 179.0, 10.0, -179.0};
    spl_projection_middle(across, 2, &lat, &lon);
    expect_near(fabs(lon), 180.0, 1e-9, "degrees");
    static const double poles[] = {90.0, 0.0, -90.0, 0.0};
    spl_projection_middle(poles, 2, &lat, &lon);
    expect_near(lat, 90.0, 1e-9, "degrees"); /* they cancel out: the first */
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(published_distances_hold_across_the_earth),
    cmocka_unit_test(within_a_map_it_is_the_geodesic),
    cmocka_unit_test(poles_and_the_180th_meridian_have_no_seam),
    cmocka_unit_test(the_middle_of_places_is_among_them),
};

expect_main(tests)
