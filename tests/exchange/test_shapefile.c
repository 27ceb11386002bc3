/* SPDX-License-Identifier: MIT
 *
 * Shapefiles that are sound: every kind of shape, holes and islands, texts, dates, reference
 * systems. */
#include "core/geodesic.h"
#include "exchange/shapefile.h"
#include "shape_read.h"

static void squares_come_in_with_their_columns(void **state)
{
    struct make make;
    struct got got;

    (void)state;
    make_begin(&make, 5);
    make_field(&make, "NAME", 'C', 20, 0);
    make_field(&make, "SPRAYED", 'D', 8, 0);
    make_field(&make, "HOW", 'C', 10, 0);
    make_field(&make, "WITH", 'C', 12, 0);
    make_square(&make, -2.46, 54.97, 0.001);
    make_row(&make, ' ', "Top Field", "20270504", "boom", "weedkiller");
    make_square(&make, -2.45, 54.97, 0.001);
    make_row(&make, ' ', "Low Field", "00000000", "", "");
    make_square(&make, -2.44, 54.97, 0.001);
    make_row(&make, ' ', "", "        ", "airblast", "");
    got_read_with(&got, &make,
                  (struct spl_shapefile_request){.name_field = "name",
                                                 .date_field = "Sprayed",
                                                 .method_field = "HOW",
                                                 .product_field = "with"});
    expect_ok(got.error);
    assert_int_equal(got.summary.records, 3);
    assert_int_equal(got.summary.imported, 3);
    assert_int_equal(got.summary.repaired, 0);
    assert_int_equal(got.summary.unread, 0);
    expect_near(got.summary.accuracy_m, 0, 0, "m");
    assert_string_equal(got_at(&got, 0)->name, "Top Field");
    assert_int_equal(got_at(&got, 0)->on.n, spl_day_from_ymd(2027, 5, 4).n);
    assert_string_equal(got_at(&got, 0)->method, "boom");
    assert_string_equal(got_at(&got, 0)->product, "weedkiller");
    assert_false(spl_day_is_set(got_at(&got, 1)->on));
    assert_null(got_at(&got, 1)->method);
    assert_null(got_at(&got, 2)->name);
    assert_false(spl_day_is_set(got_at(&got, 2)->on));
    expect_near(got.summary.bounds.min_lon, -2.46, 1e-12, "degrees");
    expect_near(got.summary.bounds.max_lon, -2.439, 1e-12, "degrees");
    got_clear(&got);
    make_end(&make);
}

static void every_kind_of_shape_is_read_with_heights_and_measures(void **state)
{
    static const int types[] = {1, 3, 5, 8, 11, 13, 15, 18, 21, 23, 25, 28};
    const double xy[] = {0, 50, 0, 50.001, 0.001, 50.001, 0.001, 50, 0, 50};
    const int start = 0;

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(types); i++) {
        struct make make;
        struct got got;
        enum spl_geometry_kind kind;
        int base = types[i] % 10;

        make_begin(&make, types[i]);
        make_add(&make, xy, base == 1 ? 1 : 5, &start, 1);
        got_read(&got, &make);
        if (got.error != NULL || got.records->len != 1)
            fail_msg("type %d: %s", types[i], got.error != NULL ? got.error->message : "no record");
        kind = base == 1 || base == 8 ? SPL_GEOMETRY_POINT
               : base == 3            ? SPL_GEOMETRY_LINE
                                      : SPL_GEOMETRY_POLYGON;
        assert_int_equal(got_at(&got, 0)->geometry->kind, kind);
        assert_int_equal(spl_geometry_n_points(got_at(&got, 0)->geometry), base == 1 ? 1 : 5);
        got_clear(&got);
        make_end(&make);
    }
}

/* Outer 0..10, hole 2..8, island 4..6 in it, all times a thousandth of a degree at the equator. */
static void check_island(gboolean reversed, gboolean shuffled)
{
    static const double outer[] = {0, 0, 0, 10, 10, 10, 10, 0, 0, 0},
                        hole[] = {2, 2, 8, 2, 8, 8, 2, 8, 2, 2};
    static const double island[] = {4, 4, 4, 6, 6, 6, 6, 4, 4, 4};
    const double *const rings[3] = {shuffled ? island : outer, hole, shuffled ? outer : island};
    const int starts[] = {0, 5, 10};
    double xy[30];
    struct make make;
    struct got got;
    static const struct {
        double x, m; /* thousandths of a degree along y = 5; metres at 111319.49 m to a degree */
    } places[] = {{1, 0}, {3, 111.319}, {5, 0}, {7, 111.319}, {9, 0}, {11, 111.319}};

    for (int r = 0; r < 3; r++)
        for (int i = 0; i < 5; i++) {
            int from = reversed ? 4 - i : i;

            xy[2 * (5 * r + i)] = rings[r][2 * from] / 1000;
            xy[2 * (5 * r + i) + 1] = rings[r][2 * from + 1] / 1000;
        }
    make_begin(&make, 5);
    make_add(&make, xy, 15, starts, 3);
    got_read(&got, &make);
    expect_ok(got.error);
    assert_int_equal(got.records->len, 1);
    for (gsize i = 0; i < G_N_ELEMENTS(places); i++) {
        g_autoptr(spl_geometry) site = spl_geometry_new_point(0.005, places[i].x / 1000);

        expect_near(spl_geometry_distance_m(site, got_at(&got, 0)->geometry), places[i].m, 0.01,
                    "m");
    }
    got_clear(&got);
    make_end(&make);
}

static void holes_and_islands_are_told_whatever_the_order_of_rings(void **state)
{
    (void)state;
    check_island(FALSE, FALSE);
    check_island(TRUE, FALSE); /* counter-clockwise outers, clockwise holes */
    check_island(FALSE, TRUE); /* the island before the ring around it */
    check_island(TRUE, TRUE);
}

#define SIDE 20 /* fields each way */

/* Four hundred fields, each with a hole: all rings in a shuffled order, one shape. */
static void each_hole_finds_its_field_among_hundreds(void **state)
{
    enum { RINGS = 2 * SIDE * SIDE };
    static double xy[RINGS * 10];
    static int starts[RINGS];
    int order[RINGS], holes = 0;
    struct make make;
    struct got got;
    g_autoptr(GRand) rand = g_rand_new_with_seed(7);
    const struct spl_geometry *ground;

    (void)state;
    for (int i = 0; i < RINGS; i++)
        order[i] = i;
    for (int i = RINGS - 1; i > 0; i--) {
        int k = g_rand_int_range(rand, 0, i + 1), kept = order[i];

        order[i] = order[k];
        order[k] = kept;
    }
    for (int i = 0; i < RINGS; i++) {
        int field = order[i] / 2;
        gboolean hole = order[i] % 2 == 1;
        double x = field % SIDE * 0.002, y = field / SIDE * 0.002;
        double a = hole ? 0.0002 : 0, b = hole ? 0.0008 : 0.001; /* of a field 0.001 wide */
        const double ring[10] = {x + a, y + a, hole ? x + b : x + a, hole ? y + a : y + b,
                                 x + b, y + b, hole ? x + a : x + b, hole ? y + b : y + a,
                                 x + a, y + a};

        memcpy(xy + 10 * i, ring, sizeof ring);
        starts[i] = 5 * i;
    }
    make_begin(&make, 5);
    make_add(&make, xy, 5 * RINGS, starts, RINGS);
    got_read(&got, &make);
    expect_ok(got.error);
    assert_int_equal(got.summary.imported, 1);
    ground = got_at(&got, 0)->geometry;
    for (guint i = 0; i < ground->paths->len; i++)
        holes += spl_geometry_path(ground, i)->hole ? 1 : 0;
    assert_int_equal(holes, SIDE * SIDE);
    for (int field = 0; field < SIDE * SIDE; field += 7) {
        double x = field % SIDE * 0.002, y = field / SIDE * 0.002;
        g_autoptr(spl_geometry) middle = spl_geometry_new_point(y + 0.0005, x + 0.0005);
        g_autoptr(spl_geometry) rim = spl_geometry_new_point(y + 0.0005, x + 0.0001);

        /* 0.0003 degrees at the equator: 33.17 m north, 33.40 m east (GeodSolve) */
        expect_near(spl_geometry_distance_m(middle, ground), 33.17, 0.05, "m");
        expect_near(spl_geometry_distance_m(rim, ground), 0, 0, "m");
    }
    got_clear(&got);
    make_end(&make);
}

static void a_ring_within_another_the_same_way_round_is_ground(void **state)
{
    const double xy[] = {0,    0,    0,    .010, .010, .010, .010, 0,    0,    0,
                         .002, .002, .002, .008, .008, .008, .008, .002, .002, .002};
    const int starts[] = {0, 5};
    struct make make;
    struct got got;
    g_autoptr(spl_geometry) site = spl_geometry_new_point(0.005, 0.005);

    (void)state;
    make_begin(&make, 5);
    make_add(&make, xy, 10, starts, 2);
    got_read(&got, &make);
    expect_ok(got.error);
    expect_near(spl_geometry_distance_m(site, got_at(&got, 0)->geometry), 0, 0, "m");
    assert_int_equal(got.summary.repaired, 1);
    got_clear(&got);
    make_end(&make);
}

static void texts_are_read_by_their_code_page(void **state)
{
    static const struct {
        const char *bytes, *cpg, *asked;
        guint8 mark;
        const char *text;
    } rows[] = {
        {"caf\xc3\xa9", "UTF-8", NULL, 0, "café"},
        {"caf\xe9", "ISO-8859-1", NULL, 0, "café"},
        {"caf\xe9", "88591", NULL, 0, "café"},
        {"caf\xe9\n", "ANSI 1252\r\n", NULL, 0, "café"},
        {"caf\xe9", NULL, NULL, 0x57, "café"},
        {"caf\xe9", "", NULL, 0x57, "café"},   /* an empty .cpg does not hide the mark */
        {"caf\x82", NULL, NULL, 0x01, "café"}, /* code page 437 */
        {"caf\x82", "", NULL, 0x02, "café"},   /* 850 */
        {"\xb3\xf3"
         "d\xbc",
         NULL, NULL, 0xc8, "łódĽ"},                /* 1250 */
        {"caf\xc3\xa9", NULL, NULL, 0x57, "café"}, /* UTF-8 with the ANSI mark */
        {"caf\xe9", NULL, NULL, 0, "café"},        /* nothing stated */
        {"caf\xc3\xa9", NULL, NULL, 0, "café"},
        {"caf\x82", "UTF-8", "CP437", 0, "café"}, /* asked for */
        {"plain", "no-such-page", NULL, 0, "plain"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        struct make make;
        struct got got;

        make_begin(&make, 5);
        make.cpg = rows[i].cpg;
        make.mark = rows[i].mark;
        make_field(&make, "NAME", 'C', 20, 0);
        make_square(&make, 0, 0, 0.001);
        make_row(&make, ' ', rows[i].bytes);
        got_read_with(
            &got, &make,
            (struct spl_shapefile_request){.name_field = "NAME", .encoding = rows[i].asked});
        expect_ok(got.error);
        if (g_strcmp0(got_at(&got, 0)->name, rows[i].text) != 0)
            fail_msg("row %zu: '%s', expected '%s'", i, got_at(&got, 0)->name, rows[i].text);
        got_clear(&got);
        make_end(&make);
    }
}

static void dates_are_read_however_they_were_written(void **state)
{
    static const struct {
        const char *text;
        int y, m, d;
    } rows[] = {
        {"2027-05-04", 2027, 5, 4},
        {"20270504", 2027, 5, 4},
        {"2027/05/04", 2027, 5, 4},
        {"0", 0, 0, 0},
        {"", 0, 0, 0},
        {"2027-05-04T10:00", 2027, 5, 4},
        {"20270504.0", 2027, 5, 4},
        {"2027-05-04 00:00", 2027, 5, 4},
        {"4.5.2027", 2027, 5, 4},
        {"04.05.2027 00:00", 2027, 5, 4},
    };
    static const char *const bad[] = {"20270230",  "4 May 2027", "04/05/2027",
                                      "2027",      "99999999",   "202705041",
                                      "31.2.2027", "4.5.27",     "4.5.2027x"};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows) + G_N_ELEMENTS(bad); i++) {
        gboolean good = i < G_N_ELEMENTS(rows);
        struct make make;
        struct got got;

        make_begin(&make, 5);
        make_field(&make, "DAY", 'C', 20, 0);
        make_square(&make, 0, 0, 0.001);
        make_row(&make, ' ', good ? rows[i].text : bad[i - G_N_ELEMENTS(rows)]);
        got_read_with(&got, &make, (struct spl_shapefile_request){.date_field = "DAY"});
        expect_ok(got.error);
        if (good && rows[i].y > 0)
            assert_int_equal(got_at(&got, 0)->on.n,
                             spl_day_from_ymd(rows[i].y, rows[i].m, rows[i].d).n);
        else
            assert_false(spl_day_is_set(got_at(&got, 0)->on));
        assert_int_equal(got_has_remark(&got, "dates could not be read"), !good);
        if (!good) {
            g_autofree char *named =
                g_strdup_printf("(record 1 '%s')", bad[i - G_N_ELEMENTS(rows)]);

            assert_true(got_has_remark(&got, named));
        }
        got_clear(&got);
        make_end(&make);
    }
}

static void columns_are_shown_with_their_first_values(void **state)
{
    struct make make;
    g_autoptr(GError) error = NULL;
    g_autofree char *path = NULL;
    g_autoptr(spl_shapefile) file = NULL;
    GArray *fields;
    struct spl_shapefile_request request = {0};
    const struct spl_shapefile_field *field;
    char *folder = make_folder();

    (void)state;
    make_begin(&make, 5);
    make_field(&make, "ELEVENCHARS", 'C', 10, 0); /* eleven characters, no NUL */
    make_field(&make, "SPRAYED", 'D', 8, 0);
    make_field(&make, "HA", 'N', 8, 2);
    make_field(&make, "OWN", 'L', 1, 0);
    for (int i = 0; i < 5; i++) {
        make_square(&make, i * 0.01, 0, 0.001);
        make_row(&make, ' ', i == 0 ? "" : i < 3 ? "oats" : "rye", "20270504", "1.25", "T");
    }
    path = make_write(&make, folder, "fields");
    file = spl_shapefile_open(path, &request, &error);
    expect_ok(error);
    fields = spl_shapefile_fields(file);
    assert_int_equal(fields->len, 4);
    field = &g_array_index(fields, struct spl_shapefile_field, 0);
    assert_string_equal(field->name, "ELEVENCHARS");
    assert_string_equal(field->type, "text");
    assert_int_equal(field->first->len, 2);
    assert_string_equal(field->first->pdata[0], "oats");
    assert_string_equal(field->first->pdata[1], "rye");
    assert_string_equal(g_array_index(fields, struct spl_shapefile_field, 1).type, "date");
    assert_string_equal(g_array_index(fields, struct spl_shapefile_field, 2).type, "number");
    assert_string_equal(g_array_index(fields, struct spl_shapefile_field, 3).type, "yes/no");
    spl_list_free(&spl_shapefile_field_shape, fields);
    make_end(&make);
    make_folder_clear(folder);
}

static void files_are_found_in_whatever_case(void **state)
{
    static const char *const stems[] = {"Parcels", "PARCELS", "parcels"};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(stems); i++) {
        struct make make;
        g_autoptr(GError) error = NULL;
        g_autofree char *path = NULL, *from = NULL, *to = NULL;
        g_autoptr(spl_shapefile) file = NULL;
        struct spl_shapefile_request request = {.name_field = "NAME"};
        char *folder = make_folder();
        static const char *const endings[][2] = {
            {".shp", ".Shp"}, {".dbf", ".DBF"}, {".prj", ".PrJ"}};

        make_begin(&make, 5);
        make_field(&make, "NAME", 'C', 10, 0);
        make_square(&make, 0, 0, 0.001);
        make_row(&make, ' ', "one");
        path = make_write(&make, folder, stems[i]);
        for (gsize k = 0; k < G_N_ELEMENTS(endings); k++) {
            g_free(from);
            g_free(to);
            from = g_strdup_printf("%s/%s%s", folder, stems[i], endings[k][0]);
            to = g_strdup_printf("%s/%s%s", folder, stems[i], endings[k][1]);
            assert_int_equal(g_rename(from, to), 0);
        }
        g_free(path);
        path = g_build_filename(folder, "parcels.shp", NULL);
        file = spl_shapefile_open(path, &request, &error);
        expect_ok(error);
        make_end(&make);
        make_folder_clear(folder);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(squares_come_in_with_their_columns),
    cmocka_unit_test(every_kind_of_shape_is_read_with_heights_and_measures),
    cmocka_unit_test(holes_and_islands_are_told_whatever_the_order_of_rings),
    cmocka_unit_test(each_hole_finds_its_field_among_hundreds),
    cmocka_unit_test(a_ring_within_another_the_same_way_round_is_ground),
    cmocka_unit_test(texts_are_read_by_their_code_page),
    cmocka_unit_test(dates_are_read_however_they_were_written),
    cmocka_unit_test(columns_are_shown_with_their_first_values),
    cmocka_unit_test(files_are_found_in_whatever_case),
};
expect_main(tests)
