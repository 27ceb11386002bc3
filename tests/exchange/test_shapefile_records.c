/* SPDX-License-Identifier: MIT
 *
 * Shapefiles with broken records and tables: each is mended or counted, and none is taken for "no
 * ground there". What shapelib 1.5 does with each by itself stands beside it. */
#include "shape_spoil.h"

/* The first record's content (first at 108 in the file, 8 in make.shp) changed at `at`. */
static void poke32(struct make *make, guint at, guint32 value)
{
    for (int i = 0; i < 4; i++)
        make->shp->data[8 + at + (guint)i] = (guint8)(value >> (8 * i));
}

static void poke_double(struct make *make, guint at, double value)
{
    memcpy(make->shp->data + 8 + at, &value, 8);
}

/* In a polygon record: 4 box, 36 parts, 40 places, 44 first part, 48 first x. */
static void spoil_parts(struct make *make)
{
    poke32(make, 36, 50000001);
}
static void spoil_points(struct make *make)
{
    poke32(make, 40, (guint32)-5);
}
static void spoil_start(struct make *make)
{
    poke32(make, 44, 3);
}
static void spoil_start_far(struct make *make)
{
    poke32(make, 44, 5000);
}
static void spoil_nan(struct make *make)
{
    poke_double(make, 64, NAN);
}
static void spoil_inf(struct make *make)
{
    poke_double(make, 72, INFINITY);
}
static void spoil_type(struct make *make)
{
    poke32(make, 0, 3);
}
static void spoil_null(struct make *make)
{
    poke32(make, 0, 0);
}
static void spoil_type_unknown(struct make *make)
{
    poke32(make, 0, 77);
}
static void spoil_place(struct make *make)
{
    poke_double(make, 64, 500000);
}

static void a_record_that_cannot_be_believed_is_counted(void **state)
{
    static const struct {
        void (*spoil)(struct make *);
        const char *reason;
    } rows[] = {
        {spoil_parts, "damaged"},     /* shapelib: NULL */
        {spoil_points, "damaged"},    /* NULL */
        {spoil_start, "first place"}, /* accepted, places lost */
        {spoil_start_far, ""},        /* NULL */
        {spoil_nan, "not a number"},  /* accepted */
        {spoil_inf, "not a number"},  /* accepted */
        {spoil_type, "another kind"}, /* accepted */
        {spoil_null, "no shape"},     /* accepted */
        {spoil_type_unknown, ""},     /* accepted as nothing */
        {spoil_place, "no place on earth"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        struct make make;
        struct got got;

        three(&make);
        rows[i].spoil(&make);
        got_read(&got, &make);
        expect_counts(&got, 3, 2, 1);
        if (strstr(got_reason(&got), rows[i].reason) == NULL)
            fail_msg("row %zu: '%s' does not say '%s'", i, got_reason(&got), rows[i].reason);
        assert_int_equal(g_array_index(got.summary.skipped, struct spl_shapefile_skip, 0).record,
                         1);
        got_clear(&got);
        make_end(&make);
    }
}

static void parts_that_go_backwards_are_counted(void **state)
{
    const double xy[] = {0,   0, 0,   .01, .01, .01, .01, 0, 0,   0,
                         .02, 0, .02, .01, .03, .01, .03, 0, .02, 0};
    const int starts[] = {0, 7, 5};
    struct make make;
    struct got got;

    (void)state;
    make_begin(&make, 5);
    make_square(&make, 1, 1, 0.01);
    make_add(&make, xy, 10, starts, 3);
    got_read(&got, &make);
    expect_counts(&got, 2, 1, 1);
    got_clear(&got);
    make_end(&make);
}

static void rings_that_can_be_mended_are_ground(void **state)
{
    static const double unclosed[] = {0, 0, 0, .001, .001, .001, .001, 0};
    static const double three_places[] = {0, 0, 0, .001, 0, 0};
    static const double one_place[] = {0, 0};
    static const double bow_tie[] = {0, 0, .001, .001, .001, 0, 0, .001, 0, 0};
    static const double spike[] = {0,     0, 0,     .001,   .001,  .001, .001, 0,
                                   .0005, 0, .0005, -.0005, .0005, 0,    0,    0};
    static const struct {
        const double *xy;
        int n;
        double x, y; /* a place on that ground */
    } rows[] = {
        {unclosed, 4, .0005, .0005}, {three_places, 3, 0, .0005}, {one_place, 1, 0, 0},
        {bow_tie, 5, .0002, .0005},  {spike, 8, .0005, .0005},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        const int start = 0;
        struct make make;
        struct got got;
        g_autoptr(spl_geometry) site = spl_geometry_new_point(rows[i].y, rows[i].x);

        make_begin(&make, 5);
        make_add(&make, rows[i].xy, rows[i].n, &start, 1);
        got_read(&got, &make);
        expect_counts(&got, 1, 1, 0);
        assert_int_equal(got.summary.repaired, 1);
        expect_near(spl_geometry_distance_m(site, got_at(&got, 0)->geometry), 0, 1e-6, "m");
        got_clear(&got);
        make_end(&make);
    }
}

static void a_flat_ring_beside_a_full_one_stays(void **state)
{
    const double xy[] = {0, 0, 0, .001, .001, .001, .001, 0, 0, 0, .005, 0, .005, .001, .005, 0};
    const int starts[] = {0, 5};
    struct make make;
    struct got got;
    g_autoptr(spl_geometry) site = spl_geometry_new_point(.0005, .005);

    (void)state;
    make_begin(&make, 5);
    make_add(&make, xy, 8, starts, 2);
    got_read(&got, &make);
    expect_counts(&got, 1, 1, 0);
    assert_int_equal(got.summary.repaired, 1);
    expect_near(spl_geometry_distance_m(site, got_at(&got, 0)->geometry), 0, 1e-6, "m");
    got_clear(&got);
    make_end(&make);
}

static void a_shape_without_places_or_parts_is_counted_or_mended(void **state)
{
    const double xy[] = {0, 0, 0, .001, .001, .001, .001, 0, 0, 0};
    struct make make;
    struct got got;
    GByteArray *none;

    (void)state;
    make_begin(&make, 5);
    none = make_shape(&make, 5, xy, 0, NULL, 0);
    make_record(&make, none->data, none->len);
    g_byte_array_unref(none);
    make_square(&make, 0, 0, 0.001);
    got_read(&got, &make);
    expect_counts(&got, 2, 1, 1);
    got_clear(&got);
    make_end(&make);
}

/* ---- the table ---- */

static void rows_and_shapes_that_do_not_match_are_said(void **state)
{
    struct make make;
    struct got got;

    (void)state;
    three(&make);
    make_row(&make, ' ', "a fourth");
    got_read(&got, &make);
    expect_counts(&got, 4, 3, 1);
    assert_non_null(strstr(got_reason(&got), "the .shp no shape"));
    got_clear(&got);
    make_square(&make, 0, 0, 0.001);
    make_square(&make, 1, 0, 0.001);
    got_read(&got, &make);
    expect_counts(&got, 5, 5, 0);
    assert_true(got_has_remark(&got, "1 shapes have no row"));
    got_clear(&got);
    make_end(&make);
}

static void struck_out_rows_are_left_out_and_said(void **state)
{
    struct make make;
    struct got got;

    (void)state;
    make_begin(&make, 5);
    make_field(&make, "NAME", 'C', 10, 0);
    make_square(&make, 0, 0, 0.001);
    make_row(&make, '*', "gone");
    make_square(&make, 1, 0, 0.001);
    make_row(&make, ' ', "there");
    got_read(&got, &make);
    expect_counts(&got, 2, 1, 0);
    assert_int_equal(got.summary.deleted, 1);
    assert_non_null(strstr(got_reason(&got), "struck out"));
    got_clear(&got);
    make_end(&make);
}

static void narrow_dbf(const char *folder)
{
    GByteArray *dbf = load(folder, "made.dbf");

    dbf->data[10] = 3; /* a row shorter than its fields */
    save(folder, "made.dbf", dbf);
}

static void short_dbf(const char *folder)
{
    GByteArray *dbf = load(folder, "made.dbf");

    g_byte_array_set_size(dbf, 20);
    save(folder, "made.dbf", dbf);
}

static void cut_dbf(const char *folder)
{
    GByteArray *dbf = load(folder, "made.dbf");

    g_byte_array_set_size(dbf, dbf->len - 15);
    save(folder, "made.dbf", dbf);
}

static void a_broken_table_is_refused(void **state)
{
    struct make make;
    struct got got;

    (void)state;
    three(&make);
    read_spoilt(&got, &make, narrow_dbf);
    expect_error(got.error, SPL_ERROR_CORRUPT, "made.dbf");
    got_clear(&got);
    read_spoilt(&got, &make, short_dbf);
    expect_error(got.error, SPL_ERROR_CORRUPT, "made.dbf");
    got_clear(&got);
    read_spoilt(&got, &make,
                cut_dbf); /* a row that cannot be read is no reason to lose its ground */
    expect_counts(&got, 3, 3, 0);
    got_clear(&got);
    make_end(&make);
}

static void a_column_that_is_not_there_is_named_with_those_that_are(void **state)
{
    struct make make;
    struct got got;

    (void)state;
    three(&make);
    got_read_with(&got, &make, (struct spl_shapefile_request){.date_field = "WHEN"});
    expect_error(got.error, SPL_ERROR_INVALID, "'WHEN'; it has NAME");
    got_clear(&got);
    make.no_dbf = TRUE;
    got_read_with(&got, &make, (struct spl_shapefile_request){.date_field = "WHEN"});
    expect_error(got.error, SPL_ERROR_INVALID, "no table");
    got_clear(&got);
    got_read_with(&got, &make, (struct spl_shapefile_request){.encoding = "klingon"});
    expect_error(got.error, SPL_ERROR_INVALID, "klingon");
    got_clear(&got);
    make_end(&make);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_record_that_cannot_be_believed_is_counted),
    cmocka_unit_test(parts_that_go_backwards_are_counted),
    cmocka_unit_test(rings_that_can_be_mended_are_ground),
    cmocka_unit_test(a_flat_ring_beside_a_full_one_stays),
    cmocka_unit_test(a_shape_without_places_or_parts_is_counted_or_mended),
    cmocka_unit_test(rows_and_shapes_that_do_not_match_are_said),
    cmocka_unit_test(struck_out_rows_are_left_out_and_said),
    cmocka_unit_test(a_broken_table_is_refused),
    cmocka_unit_test(a_column_that_is_not_there_is_named_with_those_that_are),
};
expect_main(tests)
