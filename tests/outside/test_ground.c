/* SPDX-License-Identifier: MIT
 *
 * Distances to ground against GEOS and Karney's own code in PROJ: 10,000 random polygons with
 * holes, lines and points within 5 km, from points and from sites with an area. Inside and outside
 * never differ, distances agree within 1 cm.
 */
#include <geodesic.h>
#include <geos_c.h>

#include "core/geodesic.h"
#include "expect.h"

static struct geod_geodesic earth;

/* The reference plane about a place: PROJ's geodesics, not ours. */
static void plane_xy(struct spl_position about, struct spl_position p, double *x, double *y)
{
    double s, azi;

    geod_inverse(&earth, about.lat, about.lon, p.lat, p.lon, &s, &azi, NULL);
    *x = s * sin(azi * G_PI / 180);
    *y = s * cos(azi * G_PI / 180);
}

static struct spl_position at_xy(struct spl_position about, double x, double y)
{
    double lat, lon;

    geod_direct(&earth, about.lat, about.lon, atan2(x, y) * 180 / G_PI, hypot(x, y), &lat, &lon,
                NULL);
    return (struct spl_position){remainder(lon, 360), CLAMP(lat, -90, 90)};
}

/* A ring that bulges in and out about its middle; it never crosses itself. */
static void add_ring(struct spl_geometry *shape, GRand *rand, struct spl_position about, double x,
                     double y, double low, double high, gboolean hole)
{
    int n = g_rand_int_range(rand, hole ? 4 : 10, 21); /* so round that a hole keeps within it */
    struct spl_position first = {0, 0};

    spl_geometry_begin(shape, hole);
    for (int i = 0; i < n; i++) {
        double a = 2 * G_PI * (i + g_rand_double_range(rand, -0.4, 0.4)) / n;
        double r = g_rand_double_range(rand, low, high);
        struct spl_position p = at_xy(about, x + r * cos(a), y + r * sin(a));

        if (i == 0)
            first = p;
        spl_geometry_append(shape, p.lon, p.lat);
    }
    spl_geometry_append(shape, first.lon, first.lat);
}

static struct spl_geometry *some_ground(GRand *rand, struct spl_position about)
{
    double reach = g_rand_double_range(rand, 0, 4400), a = g_rand_double_range(rand, 0, 2 * G_PI);
    double size = pow(10, g_rand_double_range(rand, 0.5, 2.7)), x = reach * cos(a),
           y = reach * sin(a);
    int kind = g_rand_int_range(rand, 0, 4);
    struct spl_geometry *shape;

    if (g_rand_int_range(rand, 0, 3) == 0)
        x = y = g_rand_double_range(rand, -size, size); /* about the site itself */
    if (kind == 0) {
        shape = spl_geometry_new(SPL_GEOMETRY_LINE);
        spl_geometry_begin(shape, FALSE);
        for (int i = 0; i < 6; i++) {
            struct spl_position p = at_xy(about, x + g_rand_double_range(rand, -size, size),
                                          y + g_rand_double_range(rand, -size, size));

            spl_geometry_append(shape, p.lon, p.lat);
        }
        return shape;
    }
    if (kind == 1 && g_rand_boolean(rand)) {
        struct spl_position p = at_xy(about, x, y);

        return spl_geometry_new_point(p.lat, p.lon);
    }
    shape = spl_geometry_new(SPL_GEOMETRY_POLYGON);
    add_ring(shape, rand, about, x, y, size * 0.6, size, FALSE);
    if (kind == 2)
        add_ring(shape, rand, about, x, y, size * 0.1, size * 0.4, TRUE);
    return shape;
}

static GEOSGeometry *to_geos(GEOSContextHandle_t geos, struct spl_position about,
                             const struct spl_geometry *shape)
{
    GEOSGeometry *rings[2] = {NULL, NULL};

    if (shape->kind == SPL_GEOMETRY_POINT) {
        double x, y;

        plane_xy(about, spl_geometry_points(shape)[0], &x, &y);
        return GEOSGeom_createPointFromXY_r(geos, x, y);
    }
    for (guint i = 0; i < shape->paths->len; i++) {
        const struct spl_path *path = spl_geometry_path(shape, i);
        GEOSCoordSequence *row = GEOSCoordSeq_create_r(geos, path->count, 2);

        for (guint k = 0; k < path->count; k++) {
            double x, y;

            plane_xy(about, spl_geometry_points(shape)[path->first + k], &x, &y);
            GEOSCoordSeq_setXY_r(geos, row, k, x, y);
        }
        if (shape->kind == SPL_GEOMETRY_LINE)
            return GEOSGeom_createLineString_r(geos, row);
        rings[i] = GEOSGeom_createLinearRing_r(geos, row);
    }
    return GEOSGeom_createPolygon_r(geos, rings[0], rings + 1, shape->paths->len - 1);
}

static struct spl_position some_place(GRand *rand, int i)
{
    struct spl_position about = {g_rand_double_range(rand, -180, 180),
                                 asin(g_rand_double_range(rand, -1, 1)) * 180 / G_PI};

    if (i % 10 == 1)
        about.lon = remainder(180 + g_rand_double_range(rand, -0.02, 0.02), 360);
    if (i % 50 == 2)
        about.lat = 90 - g_rand_double_range(rand, 0, 0.05);
    return about;
}

static void inside_and_distance_are_those_of_geos(void **state)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(11);
    GEOSContextHandle_t geos = GEOS_init_r();
    int inside = 0;
    double worst = 0;

    (void)state;
    geod_init(&earth, 6378137, 1 / 298.257223563);
    for (int i = 0; i < 10000; i++) {
        struct spl_position about = some_place(rand, i);
        g_autoptr(spl_geometry) ground = some_ground(rand, about);
        g_autoptr(spl_geometry) site = i % 3 == 0 ? spl_geometry_new(SPL_GEOMETRY_POLYGON)
                                                  : spl_geometry_new_point(about.lat, about.lon);
        GEOSGeometry *a, *b;
        double ours, theirs;
        char meets;

        if (i % 3 == 0)
            add_ring(site, rand, about, 0, 0, 5, pow(10, g_rand_double_range(rand, 1, 2.5)), FALSE);
        a = to_geos(geos, about, site);
        b = to_geos(geos, about, ground);
        if (GEOSisValid_r(geos, a) != 1 || GEOSisValid_r(geos, b) != 1)
            fail_msg("case %d is no sound shape", i);
        meets = GEOSIntersects_r(geos, a, b);
        GEOSDistance_r(geos, a, b, &theirs);
        ours = spl_geometry_distance_m(site, ground);
        inside += meets;
        if ((ours <= 0) != (meets == 1) && !(ours < 1e-6 && theirs < 1e-6))
            fail_msg("case %d at %.6f %.6f: %.9f m, GEOS says %s", i, about.lat, about.lon, ours,
                     meets == 1 ? "they meet" : "they do not meet");
        worst = fmax(worst, fabs(ours - theirs));
        if (!(fabs(ours - theirs) < 0.01))
            fail_msg("case %d at %.6f %.6f: %.6f m, GEOS %.6f m", i, about.lat, about.lon, ours,
                     theirs);
        GEOSGeom_destroy_r(geos, a);
        GEOSGeom_destroy_r(geos, b);
    }
    GEOS_finish_r(geos);
    print_message("%d of 10000 meet; worst difference %.2g m\n", inside, worst);
    assert_true(inside > 1500 && inside < 8500);
}

/* The distance to the geodesic itself, by golden section on PROJ's code. */
static double to_geodesic_edge(struct spl_position site, struct spl_position a,
                               struct spl_position b)
{
    const double g = (sqrt(5) - 1) / 2;
    double s, azi, low = 0, high;
    struct geod_geodesicline line;

    geod_inverse(&earth, a.lat, a.lon, b.lat, b.lon, &s, &azi, NULL);
    geod_lineinit(&line, &earth, a.lat, a.lon, azi, 0);
    high = s;
    for (int i = 0; i < 60; i++) {
        double t[2] = {high - g * (high - low), low + g * (high - low)}, d[2];

        for (int k = 0; k < 2; k++) {
            double lat, lon;

            geod_position(&line, t[k], &lat, &lon, NULL);
            geod_inverse(&earth, site.lat, site.lon, lat, lon, &d[k], NULL, NULL);
        }
        if (d[0] < d[1])
            high = t[1];
        else
            low = t[0];
    }
    geod_position(&line, (low + high) / 2, &a.lat, &a.lon, NULL);
    geod_inverse(&earth, site.lat, site.lon, a.lat, a.lon, &s, NULL, NULL);
    return s;
}

static void the_plane_is_true_to_the_ellipsoid_at_five_kilometres(void **state)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(13);
    double worst = 0;

    (void)state;
    geod_init(&earth, 6378137, 1 / 298.257223563);
    for (int i = 0; i < 3000; i++) {
        struct spl_position about = some_place(rand, i);
        double r = g_rand_double_range(rand, 100, 5000), t = g_rand_double_range(rand, 0, 2 * G_PI);
        double u = g_rand_double_range(rand, 0, 2 * G_PI), half = g_rand_double_range(rand, 1, 500),
               truth;
        struct spl_position a, b;
        g_autoptr(spl_geometry) site = spl_geometry_new_point(about.lat, about.lon);
        g_autoptr(spl_geometry) line = spl_geometry_new(SPL_GEOMETRY_LINE);

        a = at_xy(about, r * cos(t) - half * cos(u), r * sin(t) - half * sin(u));
        b = at_xy(about, r * cos(t) + half * cos(u), r * sin(t) + half * sin(u));
        spl_geometry_begin(line, FALSE);
        spl_geometry_append(line, a.lon, a.lat);
        spl_geometry_append(line, b.lon, b.lat);
        truth = to_geodesic_edge(about, a, b);
        worst = fmax(worst, fabs(truth - spl_geometry_distance_m(site, line)));
    }
    print_message("worst %.2g m\n", worst);
    assert_true(worst < 0.001);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(inside_and_distance_are_those_of_geos),
    cmocka_unit_test(the_plane_is_true_to_the_ellipsoid_at_five_kilometres),
};
expect_main(tests)
