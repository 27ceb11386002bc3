/* SPDX-License-Identifier: MIT
 *
 * Shapes: text and bytes in and out, what is refused, boxes, splitting, repair.
 */
#include "core/geodesic.h"
#include "core/geometry.h"
#include "expect.h"

static void wkt_goes_in_and_comes_out_the_same(void **state)
{
    static const char *const texts[] = {
        "POINT(-2.461 54.9712)",
        "MULTIPOINT(1 2, 3 4)",
        "LINESTRING(0 0, 0.001 0, 0.001 0.001)",
        "MULTILINESTRING((0 0, 0.001 0), (0.002 0, 0.003 0.001))",
        "POLYGON((0 0, 0.001 0, 0.001 0.001, 0 0.001, 0 0))",
        "POLYGON((0 0, 0.005 0, 0.005 0.005, 0 0.005, 0 0), (0.001 0.001, 0.001 0.002, 0.002 "
        "0.002, 0.001 0.001))",
        "MULTIPOLYGON(((0 0, 0.001 0, 0.001 0.001, 0 0)), ((0.002 0, 0.003 0, 0.003 0.001, 0.002 "
        "0)))",
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(texts); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(spl_geometry) shape = spl_geometry_from_wkt(texts[i], "shape", &error),
                                back = NULL;
        g_autofree char *text = NULL;
        g_autoptr(GBytes) bytes = NULL;
        g_autofree char *again = NULL;

        expect_ok(error);
        text = spl_geometry_to_wkt(shape);
        assert_string_equal(text, texts[i]);
        bytes = spl_geometry_to_bytes(shape);
        back = spl_geometry_new(SPL_GEOMETRY_POINT);
        assert_true(spl_geometry_from_bytes(back, g_bytes_get_data(bytes, NULL),
                                            g_bytes_get_size(bytes), &error));
        again = spl_geometry_to_wkt(back);
        assert_string_equal(again, texts[i]);
    }
}

static void wkt_in_other_dress_is_understood(void **state)
{
    static const struct {
        const char *text, *plain;
    } rows[] = {
        {"point z ( -2 54 120 )", "POINT(-2 54)"},
        {"PointZM(-2 54 120 7)", "POINT(-2 54)"},
        {"POINT M (-2 54 7)", "POINT(-2 54)"},
        {"POINT(-2 54 120)", "POINT(-2 54)"},
        {"MULTIPOINT((1 2),(3 4))", "MULTIPOINT(1 2, 3 4)"},
        {"\n LINESTRING\t(0 0,1e-3 0)", "LINESTRING(0 0, 0.001 0)"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(spl_geometry) shape = spl_geometry_from_wkt(rows[i].text, "shape", &error);
        g_autofree char *text = NULL;

        expect_ok(error);
        text = spl_geometry_to_wkt(shape);
        assert_string_equal(text, rows[i].plain);
    }
}

static void wrong_wkt_is_refused_with_its_place(void **state)
{
    static const struct {
        const char *text, *part;
    } rows[] = {
        {"", "POINT, LINESTRING, POLYGON"},
        {"POINT", "'(' is wanted at character 6"},
        {"POINT(1)", "longitude and latitude"},
        {"POINT(1 2", "',' or ')'"},
        {"POINT(1 2) x", "nothing more"},
        {"POINT(nan 2)", "a number is wanted at character 7"},
        {"POINT(inf 2)", "a number"},
        {"POINT(0x10 2)", "a number"},
        {"POINT(1,5 2)", "longitude and latitude"},
        {"POINT(1e999 2)", "a number"},
        {"POINT(1 2, 3 4)", "one place"},
        {"POINT(1 2 3 4 5)", "more than four"},
        {"POINT(12 123)", "swapped"},
        {"POINT(500000 5000000)", "not on earth"},
        {"POINT EMPTY", "'('"},
        {"LINESTRING(0 0)", "fewer than two"},
        {"LINESTRING(0 0, 1 1 1)", "different numbers"},
        {"LINESTRING(-170 0, 170 0)", "180th meridian"},
        {"POLYGON((0 0, 1 0, 0 0))", "fewer than four"},
        {"POLYGON((0 0, 1 0, 1 1, 0 1))", "not closed"},
        {"GEOMETRYCOLLECTION(POINT(1 2))", "POINT, LINESTRING, POLYGON"},
        {"CIRCULARSTRING(0 0, 1 1, 2 0)", "POINT, LINESTRING, POLYGON"},
        {"SRID=4326;POINT(1 2)", "POINT, LINESTRING, POLYGON"},
        {"MULTIPOLYGON((0 0, 1 0, 1 1, 0 0))", "'(' is wanted"},
        {"((((((((((((((((((((((((((((((((((((((((((((((((((", "POINT, LINESTRING, POLYGON"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(spl_geometry) shape = spl_geometry_from_wkt(rows[i].text, "--wkt", &error);

        if (shape != NULL)
            fail_msg("'%s' was taken", rows[i].text);
        if (strstr(error->message, "--wkt") == NULL)
            fail_msg("'%s' does not name the option", error->message);
        expect_error(error, SPL_ERROR_INVALID, rows[i].part);
    }
}

static void damaged_bytes_are_never_believed(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_geometry) shape =
        spl_geometry_from_wkt("POLYGON((0 0, 0.005 0, 0.005 0.005, 0 0.005, 0 0), (0.001 0.001, "
                              "0.001 0.002, 0.002 0.002, 0.001 "
                              "0.001))",
                              "shape", &error);
    g_autoptr(spl_geometry) back = spl_geometry_new(SPL_GEOMETRY_POINT);
    g_autoptr(GBytes) bytes = spl_geometry_to_bytes(shape);
    gsize size;
    const guint8 *data = g_bytes_get_data(bytes, &size);
    g_autoptr(GRand) rand = g_rand_new_with_seed(2);
    const double nan_ = NAN;
    g_autofree guint8 *with_nan = g_memdup2(data, size);
    int refused = 0;

    (void)state;
    for (gsize n = 0; n < size; n++) {
        g_autofree guint8 *cut = g_memdup2(data, n);

        assert_false(spl_geometry_from_bytes(back, cut, n, &error));
        expect_error(error, SPL_ERROR_CORRUPT, "damaged");
    }
    memcpy(with_nan + size - 8, &nan_, 8);
    assert_false(spl_geometry_from_bytes(back, with_nan, size, &error));
    expect_error(error, SPL_ERROR_CORRUPT, "damaged");
    for (int i = 0; i < 20000; i++) {
        g_autofree guint8 *flipped = g_memdup2(data, size);

        for (int k = 0; k < 3; k++)
            flipped[g_rand_int_range(rand, 0, (gint32)size)] ^=
                (guint8)(1 << g_rand_int_range(rand, 0, 8));
        if (!spl_geometry_from_bytes(back, flipped, size, NULL))
            refused++;
        else if (!spl_geometry_check(back, "shape", NULL))
            fail_msg("an unsound shape was taken");
    }
    assert_true(refused > 1000);
}

/* Shapes that no reader makes, for whoever builds one in memory. */
static void shapes_that_do_not_hang_together_are_refused(void **state)
{
    g_autoptr(spl_geometry) shape = spl_geometry_new(SPL_GEOMETRY_LINE);
    GError *error = NULL;
    struct spl_path *path;

    (void)state;
    assert_false(spl_geometry_check(shape, "map", &error));
    expect_error(error, SPL_ERROR_INVALID, "map: the shape is empty");
    spl_geometry_begin(shape, FALSE);
    spl_geometry_append(shape, 0, 0);
    assert_false(spl_geometry_check(shape, "map", &error));
    expect_error(error, SPL_ERROR_INVALID, "fewer than two places");
    spl_geometry_append(shape, 0, 0.001);
    assert_true(spl_geometry_check(shape, "map", &error));
    path = &g_array_index(shape->paths, struct spl_path, 0);
    path->hole = TRUE;
    assert_false(spl_geometry_check(shape, "map", &error));
    expect_error(error, SPL_ERROR_INVALID, "only polygons have holes");
    path->hole = FALSE;
    path->count = 1;
    shape->kind = SPL_GEOMETRY_POINT;
    assert_false(spl_geometry_check(shape, "map", &error));
    expect_error(error, SPL_ERROR_INVALID, "places are left over");
    path->count = 3;
    assert_false(spl_geometry_check(shape, "map", &error));
    expect_error(error, SPL_ERROR_INVALID, "empty part");
    path->count = 0;
    assert_false(spl_geometry_check(shape, "map", &error));
    expect_error(error, SPL_ERROR_INVALID, "empty part");
    path->count = 2;
    path->first = 1;
    assert_false(spl_geometry_check(shape, "map", &error));
    expect_error(error, SPL_ERROR_INVALID, "do not follow each other");
    path->first = 0;
    g_array_index(shape->points, struct spl_position, 1).lon = NAN;
    assert_false(spl_geometry_check(shape, "map", &error));
    expect_error(error, SPL_ERROR_INVALID, "a coordinate is not a number");
    g_array_index(shape->points, struct spl_position, 1).lon = 0;
    g_array_index(shape->points, struct spl_position, 1).lat = INFINITY;
    assert_false(spl_geometry_check(shape, "map", &error));
    expect_error(error, SPL_ERROR_INVALID, "a coordinate is not a number");
    shape->kind = (enum spl_geometry_kind)9;
    assert_false(spl_geometry_check(shape, "map", &error));
    expect_error(error, SPL_ERROR_INVALID, "neither points, lines nor polygons");
    spl_geometry_free(NULL);
}

static void lines_and_points_need_no_repair(void **state)
{
    g_autoptr(spl_geometry) line = spl_geometry_from_wkt("LINESTRING(0 0, 0.002 0.001)", "m", NULL);
    g_autoptr(spl_geometry) mended = spl_geometry_repair(line, "m", NULL);
    g_autofree char *text = spl_geometry_to_wkt(mended);
    struct spl_position middle = spl_geometry_middle(line);

    (void)state;
    assert_string_equal(text, "LINESTRING(0 0, 0.002 0.001)");
    expect_near(middle.lon, 0.001, 1e-9, "degrees");
    expect_near(middle.lat, 0.0005, 1e-9, "degrees");
}

static void boxes_hold_their_shape_with_its_margin(void **state)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(3);

    (void)state;
    for (int i = 0; i < 20000; i++) {
        struct spl_position at = {g_rand_double_range(rand, -180, 180),
                                  g_rand_double_range(rand, -90, 90)};
        double margin = pow(10, g_rand_double_range(rand, 0, 4.5));
        struct spl_position near =
            spl_geodesic_direct(at, g_rand_double_range(rand, 0, 360), margin);
        struct spl_box boxes[2];
        int n = spl_position_boxes(at, margin, boxes);
        gboolean held = FALSE;

        for (int k = 0; k < n; k++) {
            assert_true(boxes[k].min_lon <= boxes[k].max_lon &&
                        boxes[k].min_lat <= boxes[k].max_lat);
            assert_true(boxes[k].min_lon >= -180 && boxes[k].max_lon <= 180);
            assert_true(boxes[k].min_lat >= -90 && boxes[k].max_lat <= 90);
            held |= near.lon >= boxes[k].min_lon && near.lon <= boxes[k].max_lon &&
                    near.lat >= boxes[k].min_lat && near.lat <= boxes[k].max_lat;
        }
        if (!held)
            fail_msg("%g m about %.6f %.6f: %.6f %.6f is outside", margin, at.lat, at.lon, near.lat,
                     near.lon);
    }
}

static void a_box_across_the_180th_meridian_is_two(void **state)
{
    g_autoptr(spl_geometry) shape = spl_geometry_new(SPL_GEOMETRY_POLYGON);
    static const double ring[][2] = {
        {179.9, -17}, {-179.9, -17}, {-179.9, -16.9}, {179.9, -16.9}, {179.9, -17}};
    struct spl_box boxes[2];

    (void)state;
    spl_geometry_begin(shape, FALSE);
    for (gsize i = 0; i < G_N_ELEMENTS(ring); i++)
        spl_geometry_append(shape, ring[i][0], ring[i][1]);
    assert_int_equal(spl_geometry_boxes(shape, 0, boxes), 2);
    expect_near(boxes[0].min_lon, 179.9, 1e-9, "degrees");
    expect_near(boxes[0].max_lon, 180, 0, "degrees");
    expect_near(boxes[1].min_lon, -180, 0, "degrees");
    expect_near(boxes[1].max_lon, -179.9, 1e-9, "degrees");
    expect_near(fabs(spl_geometry_box_middle(shape).lon), 180, 1e-9, "degrees");
    /* 0.2 degrees by 0.1 at 17 S: about 21.3 km x 11.07 km */
    expect_near(spl_geometry_area_m2(shape) / 1e6, 21.29 * 11.068, 0.3, "km2");
}

static void a_ring_round_a_pole_has_the_pole_in_its_box(void **state)
{
    g_autoptr(spl_geometry) shape = spl_geometry_new(SPL_GEOMETRY_POLYGON);
    struct spl_box boxes[2];

    (void)state;
    spl_geometry_begin(shape, FALSE);
    for (int i = 0; i <= 36; i++)
        spl_geometry_append(shape, remainder(10.0 * (i % 36), 360), -80);
    assert_int_equal(spl_geometry_boxes(shape, 0, boxes), 1);
    expect_near(boxes[0].min_lat, -90, 0, "degrees");
    expect_near(boxes[0].max_lat, -80, 0, "degrees");
    expect_near(boxes[0].min_lon, -180, 0, "degrees");
    expect_near(boxes[0].max_lon, 180, 0, "degrees");
}

static void long_edges_are_split_where_they_were_drawn(void **state)
{
    g_autoptr(GError) error = NULL;
    /* 10 km along 45 N: the geodesic bows 1.96 m off the straight line in degrees (5.5 of the
     * facts) */
    g_autoptr(spl_geometry) line =
        spl_geometry_from_wkt("LINESTRING(0 45, 0.1268311 45)", "line", &error);
    g_autoptr(spl_geometry) on = spl_geometry_new_point(45, 0.06341555);
    g_autoptr(spl_geometry) unsplit = spl_geometry_new(SPL_GEOMETRY_LINE);

    (void)state;
    expect_ok(error);
    assert_true(spl_geometry_n_points(line) >= 11);
    expect_near(spl_geometry_distance_m(on, line), 0, 0.03, "m");
    spl_geometry_begin(unsplit, FALSE);
    spl_geometry_append(unsplit, 0, 45);
    spl_geometry_append(unsplit, 0.1268311, 45);
    expect_near(spl_geometry_distance_m(on, unsplit), 1.96, 0.02, "m");
    for (guint i = 1; i < spl_geometry_n_points(line); i++)
        assert_true(spl_geodesic_inverse(spl_geometry_points(line)[i - 1],
                                         spl_geometry_points(line)[i], NULL,
                                         NULL) <= SPL_EDGE_MAX_M);
}

static void unsound_rings_are_named_and_made_sound(void **state)
{
    g_autoptr(GError) error = NULL;
    /* a bow tie: two triangles of 0.005 x 0.01 / 2 each */
    g_autoptr(spl_geometry) tie =
        spl_geometry_from_wkt("POLYGON((0 0, 0.01 0.01, 0.01 0, 0 0.01, 0 0))", "tie", &error);
    g_autoptr(spl_geometry) repaired = NULL;
    g_autoptr(spl_geometry) flat = NULL;

    (void)state;
    expect_ok(error);
    assert_false(spl_geometry_check_rings(tie, "tie", &error));
    expect_error(error, SPL_ERROR_INVALID, "Self-intersection");
    repaired = spl_geometry_repair(tie, "tie", &error);
    expect_ok(error);
    assert_true(spl_geometry_check(repaired, "tie", &error));
    assert_true(spl_geometry_check_rings(repaired, "tie", &error));
    /* degrees at the equator: 1113.195 m x 1105.744 m, half of it in the two triangles */
    expect_near(spl_geometry_area_m2(repaired), 1113.195 * 1105.744 / 2, 800, "m2");
    flat = spl_geometry_from_wkt("POLYGON((0 0, 0.001 0, 0.002 0, 0 0))", "flat", &error);
    assert_null(spl_geometry_repair(flat, "flat", &error));
    expect_error(error, SPL_ERROR_INVALID, "no ground");
}

static void the_middle_of_a_horseshoe_is_on_its_ground(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_geometry) shape =
        spl_geometry_from_wkt("POLYGON((0 0, 0.009 0, 0.009 0.009, 0.008 0.009, 0.008 0.001, 0.001 "
                              "0.001, 0.001 0.009, 0 0.009, 0 0))",
                              "horseshoe", &error);
    struct spl_position middle;
    g_autoptr(spl_geometry) point = NULL;

    (void)state;
    expect_ok(error);
    middle = spl_geometry_middle(shape);
    point = spl_geometry_new_point(middle.lat, middle.lon);
    expect_near(spl_geometry_distance_m(point, shape), 0, 0, "m");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(wkt_goes_in_and_comes_out_the_same),
    cmocka_unit_test(wkt_in_other_dress_is_understood),
    cmocka_unit_test(wrong_wkt_is_refused_with_its_place),
    cmocka_unit_test(damaged_bytes_are_never_believed),
    cmocka_unit_test(shapes_that_do_not_hang_together_are_refused),
    cmocka_unit_test(lines_and_points_need_no_repair),
    cmocka_unit_test(boxes_hold_their_shape_with_its_margin),
    cmocka_unit_test(a_box_across_the_180th_meridian_is_two),
    cmocka_unit_test(a_ring_round_a_pole_has_the_pole_in_its_box),
    cmocka_unit_test(long_edges_are_split_where_they_were_drawn),
    cmocka_unit_test(unsound_rings_are_named_and_made_sound),
    cmocka_unit_test(the_middle_of_a_horseshoe_is_on_its_ground),
};
expect_main(tests)
