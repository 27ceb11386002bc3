/* SPDX-License-Identifier: MIT
 *
 * Reference systems against published places; shapefiles of others (from Debian packages) against
 * distances that GEOS (through shapely) and ogrinfo agreed on. */
#include <geos_c.h>
#include <shapefil.h>
#include <sys/wait.h>

#include "core/geodesic.h"
#include "exchange/projection.h"
#include "exchange/shape_rings.h"
#include "exchange/shapefile.h"
#include "expect.h"

/* ---- reference systems ---- */

/* Worked with PROJ 9.1.1's cs2cs and checked beside EPSG guidance note 7-2; the British one without
 * the OSTN grid. */
static void published_places_come_out_where_they_are(void **state)
{
    static const struct {
        const char *crs;
        double x, y, lon, lat, tolerance;
    } rows[] = {
        {"EPSG:32633", 500000, 5000000, 15.0, 45.1534771834, 1e-9},
        {"EPSG:2154", 700000, 6600000, 3.0, 46.5, 1e-9},
        {"EPSG:3857", 1669792.3618991, 5621521.4861, 15.0, 44.9999999994, 1e-8},
        {"EPSG:25832", 500000, 5300000, 9.0, 47.85334195, 1e-8},
        {"EPSG:27700", 651409.903, 313177.270, 1.7160519904, 52.6579785986, 1e-4},
        {"EPSG:2269", 7600000, 700000, -122.8512103242, 45.5626788567, 1e-8},
        {"EPSG:4326", 12.5, 41.9, 12.5, 41.9, 0},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(spl_projection) projection = spl_projection_new(rows[i].crs, "--crs", &error);
        struct spl_position p = {rows[i].x, rows[i].y};

        expect_ok(error);
        assert_int_equal(spl_projection_apply(projection, &p, 1), 1);
        if (fabs(p.lon - rows[i].lon) > rows[i].tolerance ||
            fabs(p.lat - rows[i].lat) > rows[i].tolerance)
            fail_msg("%s: %.10f %.10f", rows[i].crs, p.lon, p.lat);
    }
}

static void esri_texts_are_understood_and_name_their_accuracy(void **state)
{
    static const char utm[] = "PROJCS[\"WGS_1984_UTM_Zone_33N\",GEOGCS[\"GCS_WGS_1984\",DATUM[\"D_"
                              "WGS_1984\",SPHEROID[\"WGS_1984\","
                              "6378137.0,298.257223563]],PRIMEM[\"Greenwich\",0.0],UNIT[\"Degree\","
                              "0.0174532925199433]],PROJECTION["
                              "\"Transverse_Mercator\"],PARAMETER[\"False_Easting\",500000.0],"
                              "PARAMETER[\"False_Northing\",0.0],"
                              "PARAMETER[\"Central_Meridian\",15.0],PARAMETER[\"Scale_Factor\",0."
                              "9996],PARAMETER[\"Latitude_Of_Origin\","
                              "0.0],UNIT[\"Meter\",1.0]]";
    static const char unknown[] = "GEOGCS[\"unnamed\",DATUM[\"D_unknown\",SPHEROID[\"Unknown\","
                                  "6378206.4,294.978698213898]],PRIMEM["
                                  "\"Greenwich\",0],UNIT[\"Degree\",0.0174532925199433]]";
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_projection) known = spl_projection_new(utm, "a.prj", &error);
    g_autoptr(spl_projection) doubtful = spl_projection_new(unknown, "b.prj", &error);
    g_autoptr(spl_projection) old = spl_projection_new("EPSG:4267", "--crs", &error);
    struct spl_position p = {500000, 5000000}, q = {-80, 35}, r = {-80, 35};

    (void)state;
    expect_ok(error);
    assert_int_equal(spl_projection_apply(known, &p, 1), 1);
    expect_near(p.lat, 45.1534771834, 1e-9, "degrees");
    expect_near(spl_projection_accuracy_m(known), 0, 0, "m");
    assert_int_equal(spl_projection_apply(doubtful, &q, 1), 1);
    assert_true(isnan(spl_projection_accuracy_m(doubtful)));
    /* NAD27 to WGS 84 moves this place by about 20 m east and 12 m north, known to 10 m */
    assert_int_equal(spl_projection_apply(old, &r, 1), 1);
    expect_near(spl_projection_accuracy_m(old), 10, 6, "m");
    expect_near(spl_geodesic_inverse((struct spl_position){-80, 35}, r, NULL, NULL), 23, 8, "m");
}

static void what_is_no_place_is_not_a_number(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_projection) projection = spl_projection_new("EPSG:32633", "--crs", &error);
    struct spl_position p[3] = {{1e30, 1e30}, {500000, 5000000}, {NAN, 0}};

    (void)state;
    expect_ok(error);
    assert_int_equal(spl_projection_apply(projection, p, 3), 1);
    assert_true(isnan(p[0].lon) && isnan(p[0].lat) && isnan(p[2].lon));
    assert_null(spl_projection_new("EPSG:999999", "--crs", &error));
    expect_error(error, SPL_ERROR_INVALID, "EPSG:999999");
    assert_null(spl_projection_new("EPSG:5701", "--crs", &error)); /* heights */
    expect_error(error, SPL_ERROR_INVALID, "EPSG:NUMBER");
}

/* ---- shapefiles of others ---- */

static char *cache; /* NULL: cannot be had */

static int fetch(void **state)
{
    g_autofree char *out = NULL;
    int status = 0;

    (void)state;
    if (g_spawn_command_line_sync("sh " SPL_SOURCE_DIR "/tests/outside/map_packages.sh", &out, NULL,
                                  &status, NULL) &&
        status == 0)
        cache = g_strdup(g_strstrip(out));
    return 0;
}

/* GEOS's distance in the file's own plane, from the parts as we read them. */
static double planar(const char *path, int record, double x, double y)
{
    SHPHandle shapes = SHPOpen(path, "rb");
    SHPObject *shape;
    g_autoptr(spl_geometry) raw = spl_geometry_new(SPL_GEOMETRY_POLYGON);
    GEOSContextHandle_t geos = GEOS_init_r();
    GEOSGeometry *point = GEOSGeom_createPointFromXY_r(geos, x, y), *all;
    GPtrArray *lines = g_ptr_array_new();
    gboolean repaired = FALSE, odd = FALSE;
    char *reason = NULL;
    double d;

    assert_non_null(shapes);
    shape = SHPReadObject(shapes, record);
    assert_true(spl_shape_parts(shape, SPL_GEOMETRY_POLYGON, raw, &repaired, &reason));
    assert_false(repaired);
    for (guint i = 0; i < raw->paths->len; i++) {
        const struct spl_path *path_ = spl_geometry_path(raw, i);
        const struct spl_position *p = spl_geometry_points(raw) + path_->first;
        GEOSCoordSequence *row = GEOSCoordSeq_create_r(geos, path_->count, 2);

        for (guint k = 0; k < path_->count; k++) {
            GEOSCoordSeq_setXY_r(geos, row, k, p[k].lon, p[k].lat);
            if (k > 0 && (p[k - 1].lat > y) != (p[k].lat > y) &&
                x < p[k - 1].lon +
                        (y - p[k - 1].lat) * (p[k].lon - p[k - 1].lon) / (p[k].lat - p[k - 1].lat))
                odd = !odd;
        }
        g_ptr_array_add(lines, GEOSGeom_createLineString_r(geos, row));
    }
    all = GEOSGeom_createCollection_r(geos, GEOS_MULTILINESTRING, (GEOSGeometry **)lines->pdata,
                                      lines->len);
    GEOSDistance_r(geos, all, point, &d);
    GEOSGeom_destroy_r(geos, all);
    GEOSGeom_destroy_r(geos, point);
    GEOS_finish_r(geos);
    g_ptr_array_unref(lines);
    SHPDestroyObject(shape);
    SHPClose(shapes);
    return odd ? 0 : d;
}

struct wanted {
    gint64 record; /* from 1 */
    struct spl_ranger *ranger;
    double m;
};

static gboolean keep(const struct spl_shapefile_record *record, gpointer data, GError **error)
{
    struct wanted *wanted = data;

    if (!spl_geometry_check(record->geometry, "record", error))
        return FALSE;
    if (record->record == wanted->record)
        wanted->m = spl_ranger_distance_m(wanted->ranger, record->geometry);
    return TRUE;
}

/* On the ellipsoid, through our reader. */
static double ellipsoid(const char *path, int record, const char *crs, double x, double y)
{
    g_autoptr(GError) error = NULL;
    struct spl_shapefile_request request = {.crs = crs};
    g_autoptr(spl_shapefile) file = spl_shapefile_open(path, &request, &error);
    g_autoptr(spl_projection) projection = spl_projection_new(crs, "--crs", &error);
    struct spl_shapefile_summary summary;
    struct spl_position at = {x, y};
    g_autoptr(spl_geometry) site = NULL;
    struct wanted wanted = {.record = record + 1, .m = NAN};

    expect_ok(error);
    assert_int_equal(spl_projection_apply(projection, &at, 1), 1);
    site = spl_geometry_new_point(at.lat, at.lon);
    wanted.ranger = spl_ranger_new(site);
    spl_shapefile_read(file, keep, &wanted, NULL, &summary, &error);
    expect_ok(error);
    assert_int_equal(summary.unread, 0);
    spl_shapefile_summary_clear(&summary);
    spl_ranger_free(wanted.ranger);
    return wanted.m;
}

static void distances_on_maps_of_others_are_the_golden_ones(void **state)
{
    static const char spdata[] = "usr/lib/R/site-library/spData/shapes/NY8_utm18.shp";
    static const struct {
        const char *file, *crs;
        double x, y;
        int record; /* from 0 */
        double d, unit_m;
        double
            scale; /* of the map there: UTM 0.9996 (1 + (E - 500 km)^2 / 2 R^2), Lambert about 1 */
    } rows[] = {
        {spdata, "EPSG:32618", 400000, 4700000, 92, 0, 1, 1},
        {spdata, "EPSG:32618", 400000, 4700000, 90, 2318.755468, 1, 0.999723},
        {spdata, "EPSG:32618", 400000, 4700000, 276, 3261.649234, 1, 0.999723},
        {spdata, "EPSG:32618", 370000, 4790000, 56, 0, 1, 1},
        {spdata, "EPSG:32618", 370000, 4790000, 55, 3290.534018, 1, 0.999808},
        {"nybb.shp", "EPSG:2263", 1000000, 200000, 2, 0, 1200.0 / 3937, 1},
        {"nybb.shp", "EPSG:2263", 1000000, 200000, 1, 5287.362817, 1200.0 / 3937, 1},
        {"nybb.shp", "EPSG:2263", 1000000, 200000, 3, 6039.581351, 1200.0 / 3937, 1},
        {"nybb.shp", "EPSG:2263", 960000, 150000, 0, 0, 1200.0 / 3937, 1},
        {"nybb.shp", "EPSG:2263", 960000, 150000, 2, 18157.285465, 1200.0 / 3937, 1},
    };

    (void)state;
    if (cache == NULL)
        skip();
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *path = g_build_filename(cache, rows[i].file, NULL);
        double d = planar(path, rows[i].record, rows[i].x, rows[i].y), m, wanted;

        if (!(fabs(d - rows[i].d) < 1e-5))
            fail_msg("%s #%d: %.6f in the plane, golden %.6f", rows[i].file, rows[i].record, d,
                     rows[i].d);
        m = ellipsoid(path, rows[i].record, rows[i].crs, rows[i].x, rows[i].y);
        wanted = rows[i].d * rows[i].unit_m / rows[i].scale;
        /* The scale of a map changes along the way: 2e-5 for UTM, 1e-4 for this Lambert. */
        if (!(fabs(m - wanted) <= wanted * (rows[i].unit_m == 1 ? 3e-5 : 1.5e-4)))
            fail_msg("%s #%d: %.3f m on the ellipsoid, %.3f m by the map's scale", rows[i].file,
                     rows[i].record, m, wanted);
    }
}

static void degrees_in_the_plane_are_the_golden_ones(void **state)
{
    g_autofree char *path = NULL;

    (void)state;
    if (cache == NULL)
        skip();
    path = g_build_filename(cache, "usr/lib/R/site-library/sf/shape/nc.shp", NULL);
    expect_near(planar(path, 86, -76.0, 35.2), 0.086692, 5e-7, "degrees");
}

static gboolean count(const struct spl_shapefile_record *record, gpointer data, GError **error)
{
    int *n = data;

    (*n)++;
    return spl_geometry_check(record->geometry, "record", error);
}

/* Every shapefile of the packages: its record count is that of the package's own description. */
static void maps_of_others_are_read_whole(void **state)
{
    static const struct {
        const char *file, *crs;
        int records;
        gboolean doubtful;
    } rows[] = {
        {"usr/lib/R/site-library/spData/shapes/NY8_utm18.shp", NULL, 281, TRUE},
        {"usr/lib/R/site-library/spData/shapes/boston_tracts.shp", NULL, 506, FALSE},
        {"usr/lib/R/site-library/spData/shapes/world.shp", NULL, 177, FALSE},
        {"usr/lib/R/site-library/sf/shape/nc.shp", NULL, 100, FALSE},
        {"usr/lib/R/site-library/sf/shape/olinda1.shp", NULL, 470, TRUE},
        {"usr/lib/R/site-library/sf/shape/storms_xyz.shp", NULL, 71, TRUE},
        {"usr/lib/R/site-library/sf/shape/storms_xyzm.shp", NULL, 71, TRUE},
        {"usr/lib/python3/dist-packages/geopandas/datasets/naturalearth_lowres/"
         "naturalearth_lowres.shp",
         NULL, 177, FALSE},
        {"usr/lib/python3/dist-packages/geopandas/datasets/naturalearth_cities/"
         "naturalearth_cities.shp",
         NULL, 243, FALSE},
    };

    (void)state;
    if (cache == NULL)
        skip();
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *path = g_build_filename(cache, rows[i].file, NULL);
        g_autoptr(GError) error = NULL;
        struct spl_shapefile_request request = {.crs = rows[i].crs};
        g_autoptr(spl_shapefile) file = spl_shapefile_open(path, &request, &error);
        struct spl_shapefile_summary summary;
        int n = 0;

        expect_ok(error);
        spl_shapefile_read(file, count, &n, NULL, &summary, &error);
        expect_ok(error);
        if (n != rows[i].records || summary.unread != 0)
            fail_msg("%s: %d records, %d unread", rows[i].file, n, (int)summary.unread);
        if (isnan(summary.accuracy_m) != rows[i].doubtful)
            fail_msg("%s: known to %g m", rows[i].file, summary.accuracy_m);
        spl_shapefile_summary_clear(&summary);
    }
}

static void maps_that_are_not_of_the_earth_are_refused(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *path = NULL;
    struct spl_shapefile_request request = {0};

    (void)state;
    if (cache == NULL)
        skip();
    path = g_build_filename(cache, "usr/lib/R/site-library/spData/shapes/baltim.shp", NULL);
    assert_null(spl_shapefile_open(path, &request, &error)); /* no .prj, and x from 860 on */
    expect_error(error, SPL_ERROR_INVALID, "EPSG:NUMBER");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(published_places_come_out_where_they_are),
    cmocka_unit_test(esri_texts_are_understood_and_name_their_accuracy),
    cmocka_unit_test(what_is_no_place_is_not_a_number),
    cmocka_unit_test_setup(distances_on_maps_of_others_are_the_golden_ones, fetch),
    cmocka_unit_test(degrees_in_the_plane_are_the_golden_ones),
    cmocka_unit_test(maps_of_others_are_read_whole),
    cmocka_unit_test(maps_that_are_not_of_the_earth_are_refused),
};
expect_main(tests)
