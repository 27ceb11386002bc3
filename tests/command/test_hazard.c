/* SPDX-License-Identifier: MIT
 *
 * Hazards at the command line: from a map layer to a verdict, by hand, along lines, with figures of
 * the book's own; what is late is named with what it touches; places go out and in as map files.
 */
#include "cli.h"

#include "../exchange/shape_make.h"

/* Shapefiles are made in the test's own folder. */
static void put_map(const struct cli *cli, struct make *make, const char *stem)
{
    g_autofree char *path = make_write(make, cli->folder, stem);

    make_end(make);
}

/* A road of two places south of Withy Gill (54.6012, -2.5871), so many metres off. */
static void put_road(const struct cli *cli, const char *stem, double metres)
{
    double lat = 54.6012 - metres / 111315.0; /* a degree of latitude at 54.6 N, GeodSolve */
    const double xy[] = {-2.60, lat, -2.57, lat};
    const int start = 0;
    struct make make;

    make_begin(&make, 3);
    make_field(&make, "NAME", 'C', 20, 0);
    make_add(&make, xy, 2, &start, 1);
    make_row(&make, ' ', "Gill Road");
    put_map(cli, &make, stem);
}

static void check_says(struct cli *cli, const char *line, const char *verdict, const char *why)
{
    json_t *check = cli_json(cli, line);
    const json_t *reason = json_array_get(json_object_get(check, "reasons"), 0);

    if (strcmp(json_text(check, "verdict"), verdict) != 0 ||
        strstr(json_text(reason, "what"), why) == NULL)
        fail_msg("%s: %s because '%s', expected %s because '%s'", line, json_text(check, "verdict"),
                 json_text(reason, "what"), verdict, why);
    assert_int_equal(cli->status, strcmp(verdict, "clear") == 0 ? 0
                                  : strcmp(verdict, "ask") == 0 ? 3
                                                                : 4);
    json_decref(check);
}

#define CHECK "check 'Withy Gill' --json"

/* Lead in lettuce at 22 m still 1.5 to 3 times the background (Agricultural and Food Science 1995),
 * household advice of 50 to 100 m (Martat); of motorways PAH that do not fall up to 150 m
 * (Crepineau 2003) and the herb trade's 500 m. A metre on both sides of each; the place is known to
 * 10 m. */
static void check_bounds(struct cli *cli, const char *method, double closed_m, double ask_m)
{
    g_autofree char *import = g_strdup_printf("hazard import roads.shp --method %s", method);
    const struct {
        double metres;
        const char *verdict;
    } rows[] = {
        {closed_m - 1, "closed"}, {closed_m + 1, "ask"}, {ask_m - 1, "ask"}, {ask_m + 1, "clear"}};

    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        put_road(cli, "roads", rows[i].metres + 10);
        cli_ok(cli, import);
        check_says(cli, CHECK, rows[i].verdict, "");
    }
}

static void a_road_layer_leads_to_a_verdict(void **state)
{
    struct cli *cli = *state;
    json_t *answer;
    const json_t *reason;

    cli_clear_site(cli, "Withy Gill");
    check_says(cli, CHECK, "clear", "");
    put_road(cli, "roads", 45);
    cli_ok(cli, "hazard import roads.shp --method road --name-field NAME");
    check_says(cli, CHECK, "ask", "Gill Road (road), 45 m away (may be as near as 35 m");
    answer = cli_json(cli, CHECK);
    reason = json_array_get(json_object_get(answer, "reasons"), 0);
    expect_near(json_number(reason, "distance_m"), 45, 0.1, "m");
    assert_non_null(
        strstr(json_text(reason, "source"), "layer 'roads' record 1, imported 2027-06-20"));
    assert_non_null(strstr(json_text(reason, "rule"), "100 m"));
    json_decref(answer);
    /* the same layer again, the road moved: the old one is gone */
    put_road(cli, "roads", 15);
    cli_ok(cli, "hazard import roads.shp --method road --name-field NAME");
    check_says(cli, CHECK, "closed", "Gill Road (road), 15 m away (may be as near as 5 m");
    check_bounds(cli, "road", 25, 100);
    check_bounds(cli, "motorway", 150, 500);
    put_road(cli, "roads", 550);
    cli_ok(cli, "hazard import roads.shp --method road");
    check_says(cli, CHECK, "clear", "");
    answer = cli_json(cli, "check 'Withy Gill' --near 600 --json");
    assert_int_equal(json_array_size(json_object_get(answer, "near")), 1);
    expect_near(json_number(json_array_get(json_object_get(answer, "near"), 0), "distance_m"), 550,
                0.5, "m");
    json_decref(answer);
    cli_ok(cli, "book check");
}

static void a_dry_run_shows_and_writes_nothing(void **state)
{
    struct cli *cli = *state;
    g_autofree char *before = NULL, *after = NULL;
    json_t *answer;

    put_road(cli, "roads", 45);
    before = cli_checksum(cli);
    answer = cli_json(cli, "hazard import roads.shp --dry-run --json");
    after = cli_checksum(cli);
    assert_string_equal(before, after);
    assert_int_equal(cli->status, 0);
    assert_string_equal(json_text(json_array_get(json_object_get(answer, "fields"), 0), "name"),
                        "NAME");
    assert_string_equal(
        json_string_value(json_array_get(
            json_object_get(json_array_get(json_object_get(answer, "fields"), 0), "first"), 0)),
        "Gill Road");
    expect_near(json_number(answer, "imported"), 1, 0, "records");
    json_decref(answer);
}

static void a_layer_with_gaps_or_of_doubtful_place_asks(void **state)
{
    struct cli *cli = *state;
    struct make make;

    cli_clear_site(cli, "Withy Gill");
    make_begin(&make, 5);
    make_field(&make, "NAME", 'C', 20, 0);
    make_square(&make, -2.60, 54.59, 0.002);
    make_row(&make, ' ', "one");
    make_square(&make, -2.57, 54.61, 0.002);
    make_row(&make, ' ', "two");
    memset(make.shp->data + 8 + 44, 0xff, 4); /* the first record's parts begin nowhere */
    put_map(cli, &make, "parcels");
    cli_ok(cli, "hazard import parcels.shp --method boom --on 2027-05-01");
    assert_non_null(strstr(cli->err, "incomplete"));
    check_says(cli, CHECK, "ask", "layer 'parcels' is incomplete: 1 record could not be read");
    cli_ok(cli, "hazard drop parcels");
    check_says(cli, CHECK, "clear", "");
    make_begin(&make, 5);
    make.prj = NULL;
    make_square(&make, -2.59, 54.594, 0.002); /* 600 m off */
    put_map(cli, &make, "bare");
    cli_ok(cli, "hazard import bare.shp --method boom --on 2027-05-01");
    check_says(cli, CHECK, "ask", "field boom, sprayed, 582 m away (may be as near as 472 m");
    assert_non_null(strstr(cli->out, "the positions in layer 'bare' are doubtful"));
    /* What is known well of a place far away makes no layer less doubtful. */
    cli_ok(cli, "site add 'Kell Moss' --at 54.65,-2.60 --accuracy 10");
    cli_ok(cli, "spray note 'Kell Moss' --kind sprayed --source 'the tenant' --on 2027-05-02");
    check_says(cli, CHECK, "ask", "field boom, sprayed, 582 m away (may be as near as 472 m");
    cli_ok(cli, "hazard import bare.shp --method boom --on 2027-05-01 --crs EPSG:4326");
    check_says(cli, CHECK, "clear", "");
}

static void columns_tell_method_and_day_record_by_record(void **state)
{
    struct cli *cli = *state;
    struct make make;
    json_t *answer;

    cli_clear_site(cli, "Withy Gill");
    make_begin(&make, 5);
    make_field(&make, "HOW", 'C', 20, 0);
    make_field(&make, "DAY", 'D', 8, 0);
    make_field(&make, "WITH", 'C', 20, 0);
    make_square(&make, -2.5875, 54.6008, 0.0008); /* the site lies on it */
    make_row(&make, ' ', "Boom", "20240601", "a weedkiller");
    make_square(&make, -2.50, 54.60, 0.001);
    make_row(&make, ' ', "by the moon", "20270501", "");
    put_map(cli, &make, "sprays");
    answer = cli_json(
        cli, "hazard import sprays.shp --method-field HOW --date-field DAY --product-field WITH "
             "--json");
    assert_non_null(strstr(
        json_string_value(json_array_get(json_object_get(answer, "remarks"),
                                         json_array_size(json_object_get(answer, "remarks")) - 1)),
        "by the moon"));
    json_decref(answer);
    /* 1 June 2024 + 1095 days is 1 June 2027: over by 20 June, closed on the day before */
    check_says(cli, CHECK, "clear", "");
    check_says(cli, "check 'Withy Gill' --on 2027-06-01 --json", "closed",
               "sprayed with a weedkiller, on the site");
    check_says(cli, "check 'Withy Gill' --on 2027-06-02 --json", "clear", "");
}

static void ground_is_added_by_hand_in_three_ways(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    /* a circle whose edge is 25 m from the point: 0.0009 degrees of latitude are 100.2 m */
    cli_ok(
        cli,
        "hazard add 'the barley' --method boom --at 54.6021,-2.5871 --radius 75m --on 2027-06-01 "
        "--accuracy 0");
    check_says(cli, CHECK, "ask", "the barley (field boom), sprayed, 25 m away");
    cli_refused(cli, "hazard add 'The Barley' --method boom --at 54,-2", 1, "drop it first");
    cli_ok(cli, "hazard drop 'the barley'");
    cli_ok(cli,
           "hazard add 'old line' --method railway --along 54.6011,-2.60 --along 54.6011,-2.57");
    check_says(cli, CHECK, "closed", "old line (railway), 11 m away");
    cli_ok(cli, "hazard drop 'old line'");
    cli_ok(cli, "hazard add 'the tip' --method tip --wkt 'POLYGON((-2.588 54.601,-2.586 "
                "54.601,-2.586 54.602,"
                "-2.588 54.602,-2.588 54.601))'");
    check_says(cli, CHECK, "closed", "the tip (tip or landfill), on the site");
    cli_ok(cli, "hazard list");
    cli_ok(cli, "book check");
}

static void ground_across_the_180th_meridian_is_found_from_both_sides(void **state)
{
    struct cli *cli = *state;

    cli_ok(cli, "site add East --at -17,179.9998 --accuracy 0");
    cli_ok(cli, "site add West --at -17,-179.9998 --accuracy 0");
    cli_ok(cli, "hazard add east --method railway --at -17,179.9999 --accuracy 0");
    cli_ok(cli, "hazard add west --method railway --at -17,-179.9999 --accuracy 0");
    /* 0.0001 and 0.0003 degrees of longitude at 17 S: 10.6 and 31.9 m */
    check_says(cli, "check East --json", "ask", "east (railway), 11 m away");
    check_says(cli, "check West --json", "ask", "west (railway), 11 m away");
    assert_non_null(strstr(cli->out, "east (railway), 32 m away"));
}

static void a_changed_figure_is_named_in_the_verdict(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    put_road(cli, "roads", 115);
    cli_ok(cli, "hazard import roads.shp --method road");
    check_says(cli, CHECK, "clear", "");
    cli_ok(cli, "hazard method road --ask 120 --why 'heavy traffic since the bypass'");
    check_says(cli, CHECK, "ask", "115 m away");
    assert_non_null(strstr(cli->out, "changed in this book on 2027-06-20"));
    cli_refused(cli, "hazard method road --closed 130 --ask 120 --why x", 2, "--ask");
    cli_refused(cli, "hazard method road --closed -1 --why x", 2, "--closed");
    cli_refused(cli, "hazard method road --closed 5", 2, "--why");
    cli_refused(cli, "hazard method raod --closed 5 --why x", 1, "road");
    cli_refused(cli, "hazard method road --hold-on 5 --why x", 2, "lasting");
}

static void a_spraying_that_comes_to_light_names_what_it_touches(void **state)
{
    struct cli *cli = *state;
    struct make make;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 500g --stage 39 --on 2027-06-10");
    cli_ok(cli, "batch start tincture --from H27-001:87g --jar 500mL --on 2027-06-10");
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --on 2027-06-09 --source 'the neighbour'");
    assert_non_null(
        strstr(cli->err, "H27-001 nettle/leaf of 2027-06-10 at Withy Gill, in B27-001"));
    cli_ok(cli,
           "hazard add 'late news' --method boom --at 54.6012,-2.5871 --radius 5 --on 2027-06-08");
    assert_non_null(strstr(cli->err, "in B27-001"));
    cli_ok(cli,
           "hazard add 'after it' --method boom --at 54.6012,-2.5871 --radius 5 --on 2027-06-11");
    assert_null(strstr(cli->err, "B27-001"));
    make_begin(&make, 5);
    make_square(&make, -2.5875, 54.6008, 0.0008);
    put_map(cli, &make, "council");
    cli_ok(cli, "hazard import council.shp --method handheld --on 2027-06-01");
    assert_non_null(strstr(cli->err, "H27-001"));
    assert_non_null(strstr(cli->err, "B27-001"));
}

static void a_failed_import_leaves_the_old_layer(void **state)
{
    struct cli *cli = *state;
    struct make make;

    cli_clear_site(cli, "Withy Gill");
    put_road(cli, "roads", 15);
    cli_ok(cli, "hazard import roads.shp --method road");
    make_begin(&make, 3);
    {
        const double xy[] = {500000, 460000, 500100, 460100};
        const int start = 0;

        make_add(&make, xy, 2, &start, 1);
    }
    put_map(cli, &make, "roads"); /* metres under a .prj of degrees */
    cli_refused(cli, "hazard import roads.shp --method road", 2, "--crs");
    check_says(cli, CHECK, "closed", "15 m away");
}

/* A square of 200 m by Withy Gill, its numbers as they stand, under a reference system's name. */
static void put_square(const struct cli *cli, const char *stem, const char *prj, double x, double y)
{
    struct make make;

    make_begin(&make, 5);
    make.prj = prj;
    make_square(&make, x, y, 0.002);
    put_map(cli, &make, stem);
}

/* British National Grid as its .prj tells it (EPSG 27700); Airy's ellipsoid and the projection's
 * figures from the Ordnance Survey's guide to coordinate systems. */
#define GRID                                                                                       \
    "PROJCS[\"British_National_Grid\",GEOGCS[\"GCS_OSGB_1936\",DATUM[\"D_OSGB_1936\",SPHEROID["    \
    "\"Airy_1830\",6377563.396,299.3249646]],PRIMEM[\"Greenwich\",0.0],UNIT[\"Degree\","           \
    "0.0174532925199433]],PROJECTION[\"Transverse_Mercator\"],PARAMETER[\"False_Easting\","        \
    "400000.0],PARAMETER[\"False_Northing\",-100000.0],PARAMETER[\"Central_Meridian\",-2.0],"      \
    "PARAMETER[\"Scale_Factor\",0.9996012717],PARAMETER[\"Latitude_Of_Origin\",49.0],UNIT["        \
    "\"Meter\",1.0]]"

static void a_layer_in_the_wrong_place_is_refused_with_what_it_looks_like(void **state)
{
    static const struct {
        const char *prj, *crs, *says;
        double x, y;
    } rows[] = {
        {GRID, "", "look like degrees", -2.5875, 54.6008},
        {MAKE_WGS84, " --crs EPSG:27700", "look like degrees", -2.5875, 54.6008},
        {MAKE_WGS84, " --crs EPSG:3857", "look like degrees", -2.5875, 54.6008},
        {MAKE_WGS84, " --crs EPSG:32630", "look like degrees", -2.5875, 54.6008},
        {MAKE_WGS84, "", "the other way round it would be near", 54.6008, -2.5875},
        /* geod (PROJ 9.1.1), 25S 135E to 54.6012N 2.5871W: 15,235.7 km. */
        {MAKE_WGS84, "", "15236 km from Withy Gill", 135, -25},
    };
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *line =
            g_strconcat("hazard import odd.shp --method boom --on 2027-06-01", rows[i].crs, NULL);

        put_square(cli, "odd", rows[i].prj, rows[i].x, rows[i].y);
        cli_refused(cli, line, 2, rows[i].says);
        assert_non_null(strstr(cli_ok(cli, "hazard list"), "no "));
        check_says(cli, CHECK, "clear", "");
    }
    /* By hand: as WKT, the two swapped. */
    cli_refused(cli,
                "hazard add x --method tip --wkt 'POLYGON((54.59 -2.60,54.60 -2.60,54.60 -2.59,"
                "54.59 -2.60))'",
                2, "other way round");
}

static void a_dry_run_shows_where_the_layer_lies(void **state)
{
    struct cli *cli = *state;
    json_t *answer;

    cli_clear_site(cli, "Withy Gill");
    put_square(cli, "here", MAKE_WGS84, -2.5875, 54.6008);
    answer = cli_json(cli, "hazard import here.shp --method boom --dry-run --json");
    expect_near(json_number(answer, "min_lat"), 54.6008, 1e-9, "degrees");
    expect_near(json_number(answer, "max_lat"), 54.6028, 1e-9, "degrees");
    expect_near(json_number(answer, "min_lon"), -2.5875, 1e-9, "degrees");
    expect_near(json_number(answer, "max_lon"), -2.5855, 1e-9, "degrees");
    json_decref(answer);
    assert_null(strstr(cli->out, "km from"));
    assert_non_null(
        strstr(cli_ok(cli, "hazard import here.shp --method boom --dry-run"), "54.6008"));
    assert_non_null(strstr(cli->out, "-2.5875"));
    /* and what would be refused is told */
    put_square(cli, "there", MAKE_WGS84, 54.6008, -2.5875);
    cli_ok(cli, "hazard import there.shp --method boom --dry-run");
    assert_non_null(strstr(cli->out, "other way round"));
}

static void a_place_is_guarded_whichever_way_it_comes_in(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "site add 'Mill Holme' --at 54.61,-2.58");
    cli_refused(cli, "site add x --at -2.58,54.60", 2, "latitude comes first");
    cli_refused(cli, "site edit 'Mill Holme' --at -2.58,54.60", 2, "latitude comes first");
    assert_non_null(strstr(cli_ok(cli, "site show 'Mill Holme'"), "54.61"));
    cli_ok(cli, "site edit 'Mill Holme' --at 54.62,-2.58");
    assert_null(strstr(cli->err, "km from"));
    cli_ok(cli, "site edit 'Mill Holme' --at -25,135");
    assert_non_null(strstr(cli->err, "15236 km from Withy Gill"));
    /* What was put wrong can be put right: a place is not held against itself. */
    cli_ok(cli, "site edit 'Mill Holme' --at 54.61,-2.58");
    assert_null(strstr(cli->err, "caution: Mill Holme"));

    cli_ok(cli, "start --quiet --home 54.5903,-2.6021 --site Far --at -25,135 --book far.db");
    assert_non_null(strstr(cli->err, "km from home"));
    cli_refused(cli,
                "start --quiet --home 54.5903,-2.6021 --site Far --at -2.58,54.60 --book odd.db", 2,
                "latitude comes first");
    /* A layer that came before the first place. */
    cli_ok(cli, "book init --mark BEA --book layer.db");
    put_square(cli, "there", MAKE_WGS84, 54.6008, -2.5875);
    cli_ok(cli, "hazard import there.shp --method boom --book layer.db");
    cli_ok(cli, "site add Gill --at 54.6012,-2.5871 --book layer.db");
    assert_non_null(strstr(cli->err, "km from the layer 'there'"));
}

static void bad_imports_are_refused_in_one_line(void **state)
{
    struct cli *cli = *state;

    put_road(cli, "roads", 15);
    cli_refused(cli, "hazard import nothing.shp --method road", 1, "nothing.shp");
    cli_refused(cli, "hazard import . --method road", 2, "folder");
    make_put(cli->folder, "roads.zip", "PK\003\004 and so on", 14);
    cli_refused(cli, "hazard import roads.zip", 2, "unpack it first");
    cli_refused(cli, "hazard import book.db --method road", 2, "no shapefile");
    cli_refused(cli, "hazard import roads.shp", 2, "--method");
    cli_refused(cli, "hazard import roads.shp --method raod", 1, "road");
    cli_refused(cli, "hazard import roads.shp --method road --date-field WHEN", 2, "it has NAME");
    cli_refused(cli, "hazard import roads.shp --method road --crs EPSG:0", 2, "--crs");
    cli_refused(cli, "hazard import roads.shp --method road --crs roads.prj", 2, "--crs");
    cli_refused(cli, "hazard import roads.shp --method road --encoding klingon", 2, "--encoding");
    cli_refused(cli, "hazard import roads.shp --method road --layer H27-001", 2, "code");
    cli_refused(cli, "hazard import roads.shp --method road --on 2027-02-30", 2, "--on");
    cli_refused(cli, "hazard import roads.shp roads.shp --method road", 2, "too many");
    cli_refused(cli, "hazard add x --method road", 2, "--at");
    cli_refused(cli, "hazard add x --method road --at 54,-2 --wkt 'POINT(-2 54)'", 2, "one of");
    cli_refused(cli, "hazard add x --method road --at 54,-2 --on 2027-01-01", 2, "lasting");
    cli_refused(cli, "hazard add x --method boom --at 54,-2 --radius -5", 2, "--radius");
    cli_refused(cli, "hazard add x --method boom --wkt 'POLYGON((0 0,1 1,1 0,0 1,0 0))'", 2,
                "--wkt");
    cli_refused(cli, "hazard add x --method boom --wkt 'POINT(nan 2)'", 2, "--wkt");
    cli_refused(cli, "hazard add x --method boom --along 54,-2", 2, "--along");
    cli_refused(cli, "hazard drop nothing", 1, "nothing");
    cli_refused(cli, "check --all --near 5", 2, "--near");
    cli_refused(cli, "check x --near 0", 2, "--near");
}

static void places_go_out_and_come_in_again(void **state)
{
    static const char *const files[] = {"p.geojson", "p.gpx", "p.shp"};
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "site add 'Caf\xc3\xa9 Croft' --at 54.61,-2.58 --elevation 180 --accuracy 5 "
                "--remark 'by the "
                "<gate> & wall'");
    for (gsize i = 0; i < G_N_ELEMENTS(files); i++) {
        g_autofree char *out = g_strconcat("site export ", files[i], NULL);
        g_autofree char *in =
            g_strconcat("site import ", files[i], " --book other.db --accuracy 5", NULL);
        g_autofree char *other = g_build_filename(cli->folder, "other.db", NULL);
        json_t *sites;

        cli_ok(cli, out);
        cli_refused(cli, out, 1, "--force");
        g_remove(other);
        cli_ok(cli, "book init --mark BEA --book other.db");
        cli_ok(cli, in);
        sites = cli_json(cli, "site list --book other.db --json");
        assert_int_equal(json_array_size(sites), 2);
        for (int k = 0; k < 2; k++) {
            const json_t *site = json_array_get(sites, (size_t)k);
            gboolean gill = strcmp(json_text(site, "name"), "Withy Gill") == 0;

            assert_string_equal(json_text(site, "name"), gill ? "Withy Gill" : "Caf\xc3\xa9 Croft");
            expect_near(json_number(site, "lat"), gill ? 54.6012 : 54.61, 1e-7, "degrees");
            expect_near(json_number(site, "lon"), gill ? -2.5871 : -2.58, 1e-7, "degrees");
        }
        json_decref(sites);
        cli_refused(cli, in, 1, "--update");
    }
    cli_refused(cli, "site export p.kml", 2, ".geojson");
    cli_refused(cli, "site export /nowhere/p.gpx", 1, "/nowhere");
    cli_refused(cli, "site export /nowhere/p.shp", 1, "/nowhere");
}

static void put_text(const struct cli *cli, const char *name, const char *text)
{
    make_put(cli->folder, name, text, strlen(text));
}

static void bad_place_files_are_refused_or_passed_over(void **state)
{
    struct cli *cli = *state;
    json_t *answer;

    put_text(cli, "a.geojson", "{\"type\":\"FeatureCollection\",\"features\":[");
    cli_refused(cli, "site import a.geojson", 2, "no JSON");
    put_text(cli, "a.geojson", "{\"type\":\"Topology\"}");
    cli_refused(cli, "site import a.geojson", 2, "RFC 7946");
    put_text(cli, "a.geojson",
             "{\"type\":\"FeatureCollection\",\"crs\":{\"type\":\"name\",\"properties\":{\"name\":"
             "\"EPSG:27700\"}},"
             "\"features\":[]}");
    cli_refused(cli, "site import a.geojson", 2, "EPSG:27700");
    put_text(
        cli, "a.geojson",
        "{\"type\":\"FeatureCollection\",\"features\":["
        "{\"type\":\"Feature\",\"properties\":{\"name\":\"far\"},\"geometry\":{\"type\":\"Point\","
        "\"coordinates\":[500000,460000]}},"
        "{\"type\":\"Feature\",\"properties\":{},\"geometry\":{\"type\":\"Point\",\"coordinates\":["
        "1,2]}},"
        "{\"type\":\"Feature\",\"properties\":{\"name\":\"a "
        "line\"},\"geometry\":{\"type\":\"LineString\","
        "\"coordinates\":[[1,2],[3,4]]}},"
        "{\"type\":\"Feature\",\"properties\":{\"name\":\"none\"},\"geometry\":null},"
        "{\"type\":\"Feature\",\"properties\":{\"name\":\"good\"},\"geometry\":{\"type\":\"Point\","
        "\"coordinates\":[-2.5,54.6,210]}}]}");
    answer = cli_json(cli, "site import a.geojson --json");
    assert_int_equal(cli->status, 0);
    expect_near(json_number(answer, "added"), 1, 0, "places");
    assert_int_equal(json_array_size(json_object_get(answer, "remarks")), 4);
    json_decref(answer);
    put_text(cli, "a.gpx", "<kml></kml>");
    cli_refused(cli, "site import a.gpx", 2, "no GPX");
    put_text(cli, "a.gpx", "<gpx><wpt lat='54' lon='-2'><name>x</name></wpt>");
    cli_refused(cli, "site import a.gpx", 2, "no GPX");
    put_text(
        cli, "a.gpx",
        "<!DOCTYPE gpx [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;\">]><gpx><wpt lat='54' "
        "lon='-2'><name>&b;</name></wpt></gpx>");
    cli_refused(cli, "site import a.gpx", 2, "no GPX");
    put_text(cli, "a.gpx",
             "<gpx><wpt lat='nan' lon='-2'><name>x</name></wpt><wpt lat='54' lon='-2'/><trk/>"
             "<wpt lat='54' lon='-2'><name>H27-001</name></wpt></gpx>");
    cli_refused(cli, "site import a.gpx", 2, "code");
    /* Two places of one name: the second would move the first, or be blamed on the book. */
    put_text(cli, "a.gpx",
             "<gpx><wpt lat='54.1' lon='-2'><name>Twin</name></wpt>"
             "<wpt lat='54.2' lon='-2'><name>twin</name></wpt></gpx>");
    cli_refused(cli, "site import a.gpx", 2, "has two places of the name 'twin'");
    cli_refused(cli, "site import a.gpx --update", 2, "has two places of the name 'twin'");
}

/* Near the old outline one would ask about the road for ever, and at the new place never. */
static void a_place_that_moves_off_its_outline_loses_it(void **state)
{
    static const char *const moves[] = {"site edit 'Withy Gill' --at 54.6112,-2.5871",
                                        "site import moved.gpx --update"};
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    put_road(cli, "roads", 15);
    cli_ok(cli, "hazard import roads.shp --method road --name-field NAME");
    put_text(
        cli, "gill.wkt",
        "POLYGON((-2.588 54.6008,-2.586 54.6008,-2.586 54.6016,-2.588 54.6016,-2.588 54.6008))");
    put_text(cli, "same.gpx",
             "<gpx><wpt lat='54.6013' lon='-2.5872'><name>Withy Gill</name></wpt></gpx>");
    put_text(cli, "moved.gpx",
             "<gpx><wpt lat='54.6112' lon='-2.5871'><name>Withy Gill</name></wpt></gpx>");
    for (gsize i = 0; i < G_N_ELEMENTS(moves); i++) {
        cli_ok(cli, "site edit 'Withy Gill' --at 54.6012,-2.5871 --area gill.wkt");
        check_says(cli, CHECK, "closed", "Gill Road");
        cli_ok(cli, "site import same.gpx --update"); /* within it: the outline stays */
        cli_ok(cli, "site show 'Withy Gill' --json");
        assert_non_null(strstr(cli->out, "POLYGON"));
        cli_ok(cli, moves[i]); /* a kilometre north */
        check_says(cli, CHECK, "clear", "");
        cli_ok(cli, "site show 'Withy Gill' --json");
        assert_null(strstr(cli->out, "POLYGON"));
    }
    cli_ok(cli, "book check");
}

static void places_of_a_doubtful_system_are_doubtful(void **state)
{
    struct cli *cli = *state;
    struct make make;
    const double xy[] = {-2.5871, 54.6012};
    const int start = 0;
    json_t *site;

    make_begin(&make, 1);
    make_field(&make, "NAME", 'C', 20, 0);
    make_add(&make, xy, 1, &start, 1);
    make_row(&make, ' ', "Withy Gill");
    make.prj = NULL;
    put_map(cli, &make, "places");
    cli_ok(cli, "site import places.shp --accuracy 5");
    site = cli_json(cli, "site show 'Withy Gill' --json");
    assert_true(json_is_null(json_object_get(json_object_get(site, "site"), "accuracy_m")));
    json_decref(site);
    cli_refused(cli, "site import places.shp --accuracy 5 --update", 2, "--crs");
    cli_ok(cli, "site import places.shp --accuracy 5 --update --crs EPSG:4326");
    site = cli_json(cli, "site show 'Withy Gill' --json");
    expect_near(json_number(json_object_get(site, "site"), "accuracy_m"), 5, 0.5, "m");
    json_decref(site);
}

/* Places of the valley, by their own numbers and by numbers that put them elsewhere. */
static void what_lies_in_the_wrong_place_of_the_earth_is_refused(void **state)
{
    struct cli *cli = *state;
    g_autofree char *json = g_build_filename(cli->folder, "swapped.geojson", NULL);

    cli_clear_site(cli, "Withy Gill");
    cli_refused(cli,
                "hazard add x --method boom --on 2027-05-01 --wkt 'POLYGON((54.59 -2.60, 54.61"
                " -2.60, 54.61 -2.58, 54.59 -2.58, 54.59 -2.60))'",
                2, "the other way round");
    cli_refused(cli, "hazard add x --method tip --at 10,10", 2, "km from Withy Gill");
    cli_ok(cli, "hazard add x --method boom --on 2027-05-01 --wkt 'POLYGON((-2.60 54.59, -2.60"
                " 54.61, -2.58 54.61, -2.58 54.59, -2.60 54.59))'");
    cli_refused(cli, "site add Far --at -2.58,54.60", 2, "latitude comes first");
    assert_true(g_file_set_contents(
        json,
        "{\"type\":\"FeatureCollection\",\"features\":[{\"type\":\"Feature\",\"geometry\":{"
        "\"type\":\"Point\",\"coordinates\":[54.6,-2.59]},\"properties\":{\"name\":\"Far\"}}]}",
        -1, NULL));
    cli_refused(cli, "site import swapped.geojson", 2, "latitude comes first");
    /* Far, and no reading of it is near: a journey, told. */
    cli_ok(cli, "site add Island --at 28.1,-15.6");
    assert_non_null(strstr(cli->err, "km from"));
}

static const struct CMUnitTest tests[] = {
    cli_test(a_place_that_moves_off_its_outline_loses_it),
    cli_test(places_of_a_doubtful_system_are_doubtful),
    cli_test(a_road_layer_leads_to_a_verdict),
    cli_test(a_dry_run_shows_and_writes_nothing),
    cli_test(a_layer_with_gaps_or_of_doubtful_place_asks),
    cli_test(columns_tell_method_and_day_record_by_record),
    cli_test(ground_is_added_by_hand_in_three_ways),
    cli_test(ground_across_the_180th_meridian_is_found_from_both_sides),
    cli_test(a_changed_figure_is_named_in_the_verdict),
    cli_test(a_spraying_that_comes_to_light_names_what_it_touches),
    cli_test(a_failed_import_leaves_the_old_layer),
    cli_test(a_layer_in_the_wrong_place_is_refused_with_what_it_looks_like),
    cli_test(a_dry_run_shows_where_the_layer_lies),
    cli_test(a_place_is_guarded_whichever_way_it_comes_in),
    cli_test(bad_imports_are_refused_in_one_line),
    cli_test(places_go_out_and_come_in_again),
    cli_test(bad_place_files_are_refused_or_passed_over),
    cli_test(what_lies_in_the_wrong_place_of_the_earth_is_refused),
};
expect_main(tests)
