/* SPDX-License-Identifier: MIT
 *
 * Distances on the ellipsoid: published values, the direct problem as its inverse, the plane.
 */
#include "core/geodesic.h"
#include "expect.h"

static struct spl_position at(double lat, double lon)
{
    return (struct spl_position){.lon = lon, .lat = lat};
}

static void published_lines_are_measured_to_the_micrometre(void **state)
{
    g_autofree char *text = NULL;
    g_autoptr(GError) error = NULL;
    g_auto(GStrv) lines = NULL;
    int rows = 0;

    (void)state;
    g_file_get_contents(SPL_SOURCE_DIR "/tests/data/geodesics.csv", &text, NULL, &error);
    expect_ok(error);
    lines = g_strsplit(text, "\n", -1);
    for (int i = 1; lines[i] != NULL && lines[i][0] != '\0'; i++, rows++) {
        g_auto(GStrv) cell = g_strsplit(lines[i], ",", 8);
        double v[7], azi1, azi2, s12;
        struct spl_position end;

        for (int k = 0; k < 7; k++)
            v[k] = g_ascii_strtod(cell[k], NULL);
        s12 = spl_geodesic_inverse(at(v[0], v[1]), at(v[2], v[3]), &azi1, &azi2);
        expect_near(s12, v[4], 1e-6, "m");
        expect_near(azi1, v[5], 1e-8, "degrees");
        expect_near(azi2, v[6], 1e-8, "degrees");
        end = spl_geodesic_direct(at(v[0], v[1]), v[5], v[4]);
        /* the published azimuths have 9 decimals: 0.1 mm over half the earth and more near the far
         * side */
        expect_near(spl_geodesic_inverse(end, at(v[2], v[3]), NULL, NULL), 0, 0.0005, "m");
    }
    assert_int_equal(rows, 11);
}

static void a_place_is_no_way_from_itself_and_nonsense_is_no_number(void **state)
{
    (void)state;
    expect_near(spl_geodesic_inverse(at(54.97, -2.46), at(54.97, -2.46), NULL, NULL), 0, 0, "m");
    expect_near(spl_geodesic_inverse(at(90, 0), at(90, 77), NULL, NULL), 0, 1e-8, "m");
    expect_near(spl_geodesic_inverse(at(10, 180), at(10, -180), NULL, NULL), 0, 1e-8, "m");
    /* pole to pole: twice the quarter meridian 10001965.729 m (WGS 84) */
    expect_near(spl_geodesic_inverse(at(-90, 12), at(90, 40), NULL, NULL), 2 * 10001965.7293, 0.001,
                "m");
    expect_near(spl_geodesic_inverse(at(0, 0), at(0, 180), NULL, NULL), 2 * 10001965.7293, 0.001,
                "m");
    assert_true(isnan(spl_geodesic_inverse(at(NAN, 0), at(0, 0), NULL, NULL)));
    assert_true(isnan(spl_geodesic_inverse(at(91, 0), at(0, 0), NULL, NULL)));
}

static void the_plane_keeps_distance_and_direction_from_its_centre(void **state)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(5);

    (void)state;
    for (int i = 0; i < 20000; i++) {
        struct spl_position centre =
            at(g_rand_double_range(rand, -89.5, 89.5), g_rand_double_range(rand, -180, 180));
        double reach = pow(10, g_rand_double_range(rand, 0, 4.5)); /* 1 m to 32 km */
        double azimuth = g_rand_double_range(rand, -180, 180), s, azi;
        struct spl_position to = spl_geodesic_direct(centre, azimuth, reach);
        struct spl_plane plane;
        struct spl_xy xy;

        spl_plane_init(&plane, centre);
        xy = spl_plane_project(&plane, to);
        s = spl_geodesic_inverse(centre, to, &azi, NULL);
        expect_near(s, reach, 1e-6, "m");
        /* the short way round (mid-latitude formula) against the long one */
        if (hypot(xy.x - s * sin(azi * G_PI / 180), xy.y - s * cos(azi * G_PI / 180)) > 0.001)
            fail_msg("at %.6f %.6f, %g m towards %g: off by %g m", centre.lat, centre.lon, reach,
                     azimuth,
                     hypot(xy.x - s * sin(azi * G_PI / 180), xy.y - s * cos(azi * G_PI / 180)));
        to = spl_plane_unproject(&plane, xy);
        expect_near(spl_geodesic_inverse(centre, to, NULL, NULL), reach, 0.001, "m");
    }
}

/* A square of about 200 m with a hole of 100 m, near 55 N. */
static struct spl_geometry *square_with_hole(void)
{
    g_autoptr(GError) error = NULL;
    struct spl_geometry *square = spl_geometry_from_wkt(
        "POLYGON((-2.001 54.999, -1.999 54.999, -1.999 55.001, -2.001 55.001, -2.001 54.999),"
        "(-2.0005 54.9995, -2.0005 55.0005, -1.9995 55.0005, -1.9995 54.9995, -2.0005 54.9995))",
        "field", &error);

    expect_ok(error);
    return square;
}

static void ground_is_no_way_off_inside_and_a_hole_is_not_ground(void **state)
{
    g_autoptr(spl_geometry) field = square_with_hole();
    g_autoptr(spl_geometry) inside = spl_geometry_new_point(55.00075, -2.0);
    g_autoptr(spl_geometry) hole = spl_geometry_new_point(55.0, -2.0);
    g_autoptr(spl_geometry) east = spl_geometry_new_point(55.0, -1.998);

    (void)state;
    expect_near(spl_geometry_distance_m(inside, field), 0, 0, "m");
    /* half a thousandth of a degree of longitude at 55 N: 0.0005 x 63994.1 m (N cos B, by hand) */
    expect_near(spl_geometry_distance_m(hole, field), 31.997, 0.002, "m");
    expect_near(spl_geometry_distance_m(east, field), 63.994, 0.002, "m");
}

static void sites_with_an_area_are_measured_from_their_edge(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_geometry) field = square_with_hole();
    g_autoptr(spl_geometry) in_hole =
        spl_geometry_from_wkt("POLYGON((-2.0001 54.9999,-1.9999 54.9999,-1.9999 55.0001,-2.0001 "
                              "55.0001,-2.0001 54.9999))",
                              "site", &error);
    g_autoptr(spl_geometry) across = spl_geometry_from_wkt(
        "POLYGON((-2.0001 54.9999,-1.99 54.9999,-1.99 55.0001,-2.0001 55.0001,-2.0001 54.9999))",
        "site", &error);
    g_autoptr(spl_geometry) around = spl_geometry_from_wkt(
        "POLYGON((-2.01 54.99,-1.99 54.99,-1.99 55.01,-2.01 55.01,-2.01 54.99))", "site", &error);
    g_autoptr(spl_geometry) tap = spl_geometry_new_point(55.0, -2.0);
    g_autoptr(spl_geometry) road =
        spl_geometry_from_wkt("LINESTRING(-2.02 54.98, -2.02 55.02)", "road", &error);

    (void)state;
    expect_ok(error);
    expect_near(spl_geometry_distance_m(in_hole, field), 0.0004 * 63994.1, 0.002, "m");
    expect_near(spl_geometry_distance_m(across, field), 0, 0, "m");
    expect_near(spl_geometry_distance_m(around, field), 0, 0, "m");
    expect_near(spl_geometry_distance_m(around, tap), 0, 0, "m");
    /* 0.01 degrees of longitude where the strip is narrowest, at 55.01 N: N cos B = 6392.83 m / 0.1
     */
    expect_near(spl_geometry_distance_m(around, road), 0.01 * 63978.2, 0.1, "m");
}

static void parts_that_overlap_are_ground_together(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_geometry) ground =
        spl_geometry_from_wkt("MULTIPOLYGON(((0 0,0.002 0,0.002 0.002,0 0.002,0 0)),"
                              "((0.001 0.001,0.003 0.001,0.003 0.003,0.001 0.003,0.001 0.001)))",
                              "ground", &error);
    g_autoptr(spl_geometry) site = spl_geometry_new_point(0.0015, 0.0015);

    (void)state;
    expect_ok(error);
    expect_near(spl_geometry_distance_m(site, ground), 0, 0, "m");
}

static void ground_across_the_180th_meridian_and_at_a_pole_is_near(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_geometry) east = spl_geometry_new_point(10, 179.9995);
    g_autoptr(spl_geometry) west = spl_geometry_new_point(10, -179.9995);
    g_autoptr(spl_geometry) pole = spl_geometry_new_point(90, 0);
    g_autoptr(spl_geometry) near_pole = spl_geometry_new_point(89.999, 123);

    (void)state;
    expect_ok(error);
    expect_near(spl_geometry_distance_m(east, west), 0.001 * 109639.4, 0.05, "m");
    /* 0.001 degrees of the last meridian: M = 6399593.6 m, x pi / 180000 */
    expect_near(spl_geometry_distance_m(pole, near_pole), 111.694, 0.001, "m");
}

static void a_circle_holds_every_place_within_its_radius(void **state)
{
    struct spl_position centre = at(54.97, -2.46);
    g_autoptr(spl_geometry) circle = spl_geometry_circle(centre, 250);
    g_autoptr(GError) error = NULL;

    (void)state;
    assert_true(spl_geometry_check(circle, "circle", &error));
    for (int a = 0; a < 360; a++) {
        struct spl_position in = spl_geodesic_direct(centre, a, 249.999);
        struct spl_position out = spl_geodesic_direct(centre, a, 270);
        g_autoptr(spl_geometry) site = spl_geometry_new_point(in.lat, in.lon);
        g_autoptr(spl_geometry) off = spl_geometry_new_point(out.lat, out.lon);

        expect_near(spl_geometry_distance_m(site, circle), 0, 0, "m");
        expect_near(spl_geometry_distance_m(off, circle), 20, 0.4, "m");
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(published_lines_are_measured_to_the_micrometre),
    cmocka_unit_test(a_place_is_no_way_from_itself_and_nonsense_is_no_number),
    cmocka_unit_test(the_plane_keeps_distance_and_direction_from_its_centre),
    cmocka_unit_test(ground_is_no_way_off_inside_and_a_hole_is_not_ground),
    cmocka_unit_test(sites_with_an_area_are_measured_from_their_edge),
    cmocka_unit_test(parts_that_overlap_are_ground_together),
    cmocka_unit_test(ground_across_the_180th_meridian_and_at_a_pole_is_near),
    cmocka_unit_test(a_circle_holds_every_place_within_its_radius),
};
expect_main(tests)
