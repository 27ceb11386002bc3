/* SPDX-License-Identifier: MIT
 *
 * Hazards from GeoJSON (RFC 7946) and GPX 1.1: points, lines and areas, and what is doubtful or
 * cannot be read is never taken for "no ground there". Withy Gill is 54.6012, -2.5871.
 */
#include "cli.h"

#define CHECK "check 'Withy Gill' --json"

static void put(const struct cli *cli, const char *name, const char *text)
{
    g_autofree char *path = g_build_filename(cli->folder, name, NULL);

    assert_true(g_file_set_contents(path, text, -1, NULL));
}

/* Features of these shapes, with these properties. */
static void put_features(const struct cli *cli, const char *name, const char *const (*features)[2],
                         gsize n, const char *more)
{
    GString *text = g_string_new("{\"type\":\"FeatureCollection\"");

    g_string_append_printf(text, "%s,\"features\":[", more);
    for (gsize i = 0; i < n; i++)
        g_string_append_printf(text, "%s{\"type\":\"Feature\",\"properties\":{%s},\"geometry\":%s}",
                               i > 0 ? "," : "", features[i][0], features[i][1]);
    g_string_append(text, "]}");
    put(cli, name, text->str);
    g_string_free(text, TRUE);
}

static void check_says(struct cli *cli, const char *verdict, const char *why)
{
    json_t *check = cli_json(cli, CHECK);
    const json_t *reason = json_array_get(json_object_get(check, "reasons"), 0);

    if (strcmp(json_text(check, "verdict"), verdict) != 0 ||
        (*why != '\0' && strstr(json_text(reason, "what"), why) == NULL))
        fail_msg("%s because '%s', expected %s because '%s'", json_text(check, "verdict"),
                 json_text(reason, "what"), verdict, why);
    json_decref(check);
}

/* A line 45 m south of the place is as far as the same line in a shapefile; 45 m of latitude at
 * 54.6 N by GeodSolve (111,315 m a degree). */
static void lines_points_and_areas_lead_to_the_same_verdict(void **state)
{
    static const char *const shapes[][2] = {
        {"LineString", "[[-2.60,%.8f],[-2.57,%.8f]]"},
        {"MultiLineString", "[[[-2.60,%.8f],[-2.5871,%.8f]],[[-2.5871,%.8f],[-2.57,%.8f]]]"},
        {"Point", "[-2.5871,%.8f]"},
        {"MultiPoint", "[[-2.5871,%.8f],[-2.57,54.59]]"},
        {"Polygon", "[[[-2.60,54.59],[-2.57,54.59],[-2.57,%.8f],[-2.60,%.8f],[-2.60,54.59]]]"},
        {"MultiPolygon", "[[[[-2.60,54.59],[-2.57,54.59],[-2.57,%.8f],[-2.60,%.8f],[-2.60,54.59]]],"
                         "[[[-2.7,54.5],[-2.69,54.5],[-2.69,54.51],[-2.7,54.5]]]]"},
    };
    const double lat = 54.6012 - 45 / 111315.0;
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    for (gsize i = 0; i < G_N_ELEMENTS(shapes); i++) {
        g_auto(GStrv) parts = g_strsplit(shapes[i][1], "%.8f", -1);
        char degrees[32];
        g_autofree char *at = NULL, *shape = NULL;
        const char *features[1][2];

        g_ascii_formatd(degrees, sizeof degrees, "%.8f", lat);
        at = g_strjoinv(degrees, parts);
        shape = g_strdup_printf("{\"type\":\"%s\",\"coordinates\":%s}", shapes[i][0], at);
        features[0][0] = "\"name\":\"Gill Road\"";
        features[0][1] = shape;
        put_features(cli, "roads.geojson", features, 1, "");
        cli_ok(cli, "hazard import roads.geojson --method road");
        check_says(cli, "ask", "Gill Road (road), 45 m away (may be as near as 35 m");
    }
    cli_ok(cli, "book check");
}

/* RFC 7946 3.1.6: the first ring is the outer one, the others holes, and readers should not refuse
 * rings that run the wrong way: the place lies in the hole, or in the ring, whichever way. */
static void a_hole_is_a_hole_whichever_way_it_runs(void **state)
{
#define OUTER "[[-2.70,54.5],[-2.48,54.5],[-2.48,54.7],[-2.70,54.7],[-2.70,54.5]]"
#define OUTER_BACK "[[-2.70,54.5],[-2.70,54.7],[-2.48,54.7],[-2.48,54.5],[-2.70,54.5]]"
#define HOLE "[[-2.66,54.55],[-2.52,54.55],[-2.52,54.65],[-2.66,54.65],[-2.66,54.55]]"
#define HOLE_BACK "[[-2.66,54.55],[-2.66,54.65],[-2.52,54.65],[-2.52,54.55],[-2.66,54.55]]"
    static const char *const rings[] = {OUTER "," HOLE_BACK, OUTER "," HOLE, OUTER_BACK "," HOLE,
                                        OUTER_BACK "," HOLE_BACK};
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    for (gsize i = 0; i < G_N_ELEMENTS(rings); i++) {
        g_autofree char *shape =
            g_strdup_printf("{\"type\":\"Polygon\",\"coordinates\":[%s]}", rings[i]);
        const char *const features[][2] = {{"", shape}};

        put_features(cli, "field.json", features, 1, "");
        cli_ok(cli, "hazard import field.json --method boom --on 2027-05-01");
        check_says(cli, "clear", "");
    }
    {
        const char *const features[][2] = {
            {"", "{\"type\":\"Polygon\",\"coordinates\":[" OUTER_BACK "]}"}};

        put_features(cli, "field.json", features, 1, "");
        cli_ok(cli, "hazard import field.json --method boom --on 2027-05-01");
        check_says(cli, "closed", "");
    }
}

static void columns_tell_method_day_and_name(void **state)
{
    static const char *const features[][2] = {
        {"\"HOW\":\"boom\",\"DAY\":\"2027-06-10\",\"title\":\"Low field\",\"ha\":4.5",
         "{\"type\":\"Point\",\"coordinates\":[-2.5871,54.6012,140]}"},
        {"\"HOW\":\"tip\",\"DAY\":\"last week\"",
         "{\"type\":\"Point\",\"coordinates\":[-2.70,54.50]}"},
    };
    struct cli *cli = *state;
    json_t *answer;

    cli_clear_site(cli, "Withy Gill");
    put_features(cli, "sprays.geojson", features, 2, "");
    cli_refused(cli, "hazard import sprays.geojson", 2, "method");
    cli_refused(cli, "hazard import sprays.geojson --method-field nosuch", 1,
                "no column 'nosuch'; it has HOW, DAY, title, ha");
    answer = cli_json(cli, "hazard import sprays.geojson --dry-run --json");
    assert_int_equal(json_array_size(json_object_get(answer, "fields")), 4);
    json_decref(answer);
    assert_non_null(strstr(cli_ok(cli, "hazard list"), "no "));
    answer = cli_json(cli, "hazard import sprays.geojson --method-field how --date-field day "
                           "--json");
    expect_near(json_number(answer, "imported"), 2, 0, "records");
    assert_non_null(strstr(cli->out, "'last week'"));
    json_decref(answer);
    check_says(cli, "closed", "Low field (field boom), sprayed");
}

/* Null shapes are features that nobody placed (RFC 7946 3.2). */
static void what_cannot_be_read_makes_the_layer_incomplete(void **state)
{
    static const char *const away = "{\"type\":\"Point\",\"coordinates\":[-2.70,54.50]}";
    static const char *const bad[] = {
        "null",
        "{\"type\":\"GeometryCollection\",\"geometries\":[]}",
        "{\"type\":\"LineString\",\"coordinates\":[[-2.6,54.6]]}",
        "{\"type\":\"Polygon\",\"coordinates\":[[[-2.6,54.6],[-2.5,54.6]]]}",
        "{\"type\":\"Point\",\"coordinates\":[\"-2.6\",54.6]}",
        "{\"type\":\"Point\",\"coordinates\":[-2.6,154.6]}"};
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        const char *const features[][2] = {{"", away}, {"", bad[i]}};

        put_features(cli, "layer.geojson", features, 2, "");
        cli_ok(cli, "hazard import layer.geojson --method boom --on 2027-05-01");
        assert_non_null(strstr(cli->err, "incomplete"));
        check_says(cli, "ask", "layer 'layer' is incomplete: 1 record could not be read");
        cli_ok(cli, "hazard drop layer");
        /* What the file says that it covers bounds where the missing one may lie (RFC 7946 5). */
        put_features(cli, "layer.geojson", features, 2, ",\"bbox\":[-2.71,54.49,-2.69,54.51]");
        cli_ok(cli, "hazard import layer.geojson --method boom --on 2027-05-01");
        check_says(cli, "clear", "");
        cli_ok(cli, "hazard drop layer");
    }
}

static void doubtful_coordinates_are_refused(void **state)
{
    static const struct {
        const char *coordinates, *crs, *says;
    } rows[] = {
        {"[54.6012,-2.5871]", "", "the other way round it would be near"},
        {"[135,-25]", "", "15236 km from Withy Gill"}, /* geod (PROJ 9.1.1), as in test_hazard.c */
        {"[362000,523000]", "", "name the right reference system"},
        {"[-2.5871,54.6012]", " --crs EPSG:27700", "look like degrees"},
    };
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *shape =
            g_strdup_printf("{\"type\":\"Point\",\"coordinates\":%s}", rows[i].coordinates);
        g_autofree char *line =
            g_strconcat("hazard import odd.geojson --method tip", rows[i].crs, NULL);
        const char *const features[][2] = {{"", shape}};

        put_features(cli, "odd.geojson", features, 1, "");
        cli_refused(cli, line, 2, rows[i].says);
        assert_non_null(strstr(cli_ok(cli, "hazard list"), "no "));
    }
    /* In metres, said so: 54.6012 N 2.5871 W is 362169.49, 523050.19 on the British National Grid
     * (gdaltransform of GDAL 3.6.2, EPSG:4326 to EPSG:27700). */
    {
        static const char *const features[][2] = {
            {"", "{\"type\":\"Point\",\"coordinates\":[362169.49,523050.19]}"}};

        put_features(cli, "grid.geojson", features, 1,
                     ",\"crs\":{\"type\":\"name\",\"properties\":{\"name\":"
                     "\"urn:ogc:def:crs:EPSG::27700\"}}");
        cli_refused(cli, "hazard import grid.geojson --method tip", 2, "EPSG::27700");
        cli_ok(cli, "hazard import grid.geojson --method tip --crs EPSG:27700");
        check_says(cli, "closed", "");
    }
}

#define GPX                                                                                        \
    "<?xml version=\"1.0\"?><gpx version=\"1.1\" creator=\"x\" "                                   \
    "xmlns=\"http://www.topografix.com/GPX/1/1\">"
#define ROAD                                                                                       \
    "<trk><name>Gill Road</name><trkseg><trkpt lat=\"54.6007\" lon=\"-2.60\"><ele>100</ele>"       \
    "<time>2027-06-01T10:00:00Z</time></trkpt><trkpt lat=\"54.6007\" lon=\"-2.57\"/></trkseg>"     \
    "</trk>"

/* The road is 0.0005 degrees off; place and receiver are known to 10 m each. */
static void gpx_has_points_and_lines(void **state)
{
    static const struct {
        const char *body, *verdict, *why;
    } rows[] = {
        {"<wpt lat=\"54.6012\" lon=\"-2.5871\"><name>Old sump</name></wpt>", "closed", "Old sump"},
        {ROAD, "ask", "Gill Road (road), 56 m away (may be as near as 36 m"},
        {"<trk><trkseg/><trkseg><trkpt lat=\"54.6012\" lon=\"-2.5871\"/></trkseg></trk>", "closed",
         ""},
        {"<rte><name>R</name><rtept lat=\"54.6012\" lon=\"-2.60\"><name>a</name></rtept>"
         "<rtept lat=\"54.6012\" lon=\"-2.57\"/></rte>",
         "closed", "R (road)"},
        {"<trk><name>far</name><trkseg><trkpt lat=\"54.50\" lon=\"-2.7\"/>"
         "<trkpt lat=\"54.51\" lon=\"-2.7\"/></trkseg></trk>",
         "clear", ""},
        {"<trk><trkseg><trkpt lat=\"north\" lon=\"-2.7\"/></trkseg></trk>", "ask", "incomplete"},
    };
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *text = g_strconcat(GPX, rows[i].body, "</gpx>", NULL);

        put(cli, "walk.gpx", text);
        cli_ok(cli, "hazard import walk.gpx --method road");
        check_says(cli, rows[i].verdict, rows[i].why);
        cli_ok(cli, "hazard drop walk");
    }
    cli_refused(cli, "hazard import walk.gpx --method road --crs EPSG:27700", 2, "WGS 84");
}

/* Who walks round a field has its edge. */
static void a_walk_round_a_field_is_told_to_be_its_edge(void **state)
{
    struct cli *cli = *state;

    put(cli, "round.gpx",
        GPX "<trk><trkseg><trkpt lat=\"54.600\" lon=\"-2.600\"/><trkpt lat=\"54.600\" "
            "lon=\"-2.590\"/><trkpt lat=\"54.605\" lon=\"-2.590\"/><trkpt lat=\"54.6001\" "
            "lon=\"-2.6001\"/></trkseg></trk></gpx>");
    assert_non_null(
        strstr(cli_ok(cli, "hazard import round.gpx --dry-run"), "draw that as an area"));
}

static void bad_files_are_refused_in_one_line(void **state)
{
    static const struct {
        const char *name, *text, *says;
    } rows[] = {
        {"a.geojson", "", "JSON"},
        {"a.geojson", "{\"type\":\"Topology\"}", "FeatureCollection"},
        {"a.geojson", "[[[[[[", "JSON"},
        {"a.gpx", "", "GPX"},
        {"a.gpx", "<kml/>", "kml"},
        {"a.gpx", GPX "<trk>", "GPX"},
        {"a.gpx",
         "<!DOCTYPE g [<!ENTITY a \"b\">]><gpx><wpt lat=\"1\" "
         "lon=\"1\"><name>&a;</name></wpt></gpx>",
         "GPX"},
    };
    struct cli *cli = *state;

    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *line = g_strconcat("hazard import ", rows[i].name, " --method tip", NULL);

        put(cli, rows[i].name, rows[i].text);
        cli_refused(cli, line, 2, rows[i].says);
    }
}

/* GDAL turns a layer into a shapefile; both say the same of every record. */
static void gdal_reads_the_same_ground(void **state)
{
    static const char *const features[][2] = {
        {"\"name\":\"a\"", "{\"type\":\"Polygon\",\"coordinates\":[" OUTER "," HOLE "]}"},
        {"\"name\":\"b\"", "{\"type\":\"Polygon\",\"coordinates\":[" HOLE_BACK "]}"},
    };
    static const char *const keys[] = {"imported", "min_lat", "max_lat", "min_lon", "max_lon"};
    struct cli *cli = *state;
    g_autofree char *from = g_build_filename(cli->folder, "both.geojson", NULL);
    g_autofree char *to = g_build_filename(cli->folder, "both.shp", NULL);
    g_autofree char *program = g_find_program_in_path("ogr2ogr");
    char *argv[] = {program, to, from, NULL};
    json_t *own, *other;
    int status;

    if (program == NULL)
        skip();
    put_features(cli, "both.geojson", features, 2, "");
    assert_true(
        g_spawn_sync(NULL, argv, NULL, G_SPAWN_DEFAULT, NULL, NULL, NULL, NULL, &status, NULL));
    assert_int_equal(status, 0);
    own = cli_json(cli, "hazard import both.geojson --dry-run --json");
    other = cli_json(cli, "hazard import both.shp --dry-run --json");
    for (gsize i = 0; i < G_N_ELEMENTS(keys); i++)
        expect_near(json_number(own, keys[i]), json_number(other, keys[i]), 1e-9, keys[i]);
    json_decref(own);
    json_decref(other);
}

static const struct CMUnitTest tests[] = {
    cli_test(lines_points_and_areas_lead_to_the_same_verdict),
    cli_test(a_hole_is_a_hole_whichever_way_it_runs),
    cli_test(columns_tell_method_day_and_name),
    cli_test(what_cannot_be_read_makes_the_layer_incomplete),
    cli_test(doubtful_coordinates_are_refused),
    cli_test(gpx_has_points_and_lines),
    cli_test(a_walk_round_a_field_is_told_to_be_its_edge),
    cli_test(bad_files_are_refused_in_one_line),
    cli_test(gdal_reads_the_same_ground),
};
expect_main(tests)
