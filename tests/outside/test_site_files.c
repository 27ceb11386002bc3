/* SPDX-License-Identifier: MIT
 *
 * Places written as shapefile, GeoJSON and GPX, read back by gdal's ogrinfo: number, names,
 * verdicts, coordinates, reference system, the direction of rings.
 */
#include "../command/cli.h"

static char *ogrinfo(const struct cli *cli, const char *arguments)
{
    g_autofree char *line = g_strdup_printf("ogrinfo -al %s", arguments);
    g_auto(GStrv) argv = NULL;
    char *out = NULL;
    int status = -1;

    assert_true(g_shell_parse_argv(line, NULL, &argv, NULL));
    assert_true(g_spawn_sync(cli->folder, argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &out, NULL,
                             &status, NULL));
    assert_int_equal(status, 0);
    return out;
}

static void expect_parts(const char *text, const char *const *parts)
{
    for (; *parts != NULL; parts++)
        if (strstr(text, *parts) == NULL)
            fail_msg("ogrinfo does not show '%s': %s", *parts, text);
}

static void gdal_reads_what_we_write(void **state)
{
    static const char *const points[] = {"Feature Count: 2",
                                         "NAME (String) = Caf\xc3\xa9 Croft",
                                         "VERDICT (String) = clear",
                                         "VERDICT (String) = ask",
                                         "DATE (Date) = 2027/06/20",
                                         "POINT (-2.5871 54.6012)",
                                         "UNTIL (Date) = 2027/07/20",
                                         "World Geodetic System 1984",
                                         NULL};
    /* clockwise, as the shapefile format wants the outer ring */
    static const char *const areas[] = {
        "Feature Count: 1",
        "POLYGON ((-2.59 54.6,-2.59 54.605,-2.58 54.605,-2.58 54.6,-2.59 54.6))", NULL};
    /* counter-clockwise (RFC 7946 3.1.6), although it was drawn clockwise */
    static const char *const json[] = {
        "Feature Count: 2",
        "name (String) = Caf\xc3\xa9 Croft",
        "POLYGON ((-2.59 54.6,-2.58 54.6,-2.58 54.605,-2.59 54.605,-2.59 54.6))",
        "verdict (String) = clear",
        "World Geodetic System 1984",
        NULL};
    static const char *const gpx[] = {
        "Feature Count: 2",        "name (String) = Caf\xc3\xa9 Croft",
        "ele (Real) = 210",        "desc (String) = clear on 2027-06-20",
        "POINT (-2.5871 54.6012)", NULL};
    static const char wkt[] =
        "POLYGON((-2.59 54.60,-2.59 54.605,-2.58 54.605,-2.58 54.60,-2.59 54.60))";
    struct cli *cli = *state;
    g_autofree char *path = g_find_program_in_path("ogrinfo"), *area = NULL;
    g_autofree char *shown_points = NULL, *shown_areas = NULL, *shown_json = NULL,
                    *shown_gpx = NULL;

    if (path == NULL)
        skip();
    cli_clear_site(cli, "Withy Gill");
    area = g_build_filename(cli->folder, "area.wkt", NULL);
    assert_true(g_file_set_contents(area, wkt, -1, NULL));
    cli_ok(cli, "site add 'Caf\xc3\xa9 Croft' --at 54.602,-2.585 --area area.wkt --accuracy 5");
    cli_ok(cli, "site export p.shp");
    cli_ok(cli, "site export a.shp --areas");
    cli_ok(cli, "site export p.geojson");
    cli_ok(cli, "site export p.gpx");
    expect_parts(shown_points = ogrinfo(cli, "p.shp"), points);
    expect_parts(shown_areas = ogrinfo(cli, "a.shp"), areas);
    expect_parts(shown_json = ogrinfo(cli, "p.geojson"), json);
    expect_parts(shown_gpx = ogrinfo(cli, "p.gpx waypoints"), gpx);
}

static const struct CMUnitTest tests[] = {
    cli_test(gdal_reads_what_we_write),
};
expect_main(tests)
