/*
 * Shapefiles that are broken: each is refused, mended or counted, and none is taken for "no ground
 * there". What shapelib 1.5 does with each by itself was tried out before and stands beside it.
 */
#include <unistd.h>

#include "core/geodesic.h"
#include "exchange/shapefile.h"
#include "shape_read.h"

/* Three squares with a table of names, to be spoilt. */
static void three(struct make *make)
{
    make_begin(make, 5);
    make_field(make, "NAME", 'C', 10, 0);
    for (int i = 0; i < 3; i++) {
        make_square(make, -2.46 + i * 0.01, 54.97, 0.001);
        make_row(make, ' ', "field");
    }
}

#define expect_counts(got, records_, imported_, unread_)                                           \
    do {                                                                                           \
        expect_ok((got)->error);                                                                   \
        if ((got)->summary.records != (records_) || (got)->summary.imported != (imported_) ||      \
            (got)->summary.unread != (unread_))                                                    \
            fail_msg("records %d imported %d unread %d (%s)", (int)(got)->summary.records,         \
                     (int)(got)->summary.imported, (int)(got)->summary.unread, got_reason(got));   \
    } while (0)

/* Writes, spoils a file of it by `spoil`, reads. */
static void read_spoilt(struct got *got, const struct make *make, void (*spoil)(const char *folder))
{
    char *folder = make_folder();
    g_autofree char *path = make_write(make, folder, "made");
    struct spl_shapefile_request request = {0};

    spoil(folder);
    got_read_path(got, path, &request);
    make_folder_clear(folder);
}

static GByteArray *load(const char *folder, const char *name)
{
    g_autofree char *path = g_build_filename(folder, name, NULL);
    char *text;
    gsize size;

    if (!g_file_get_contents(path, &text, &size, NULL))
        fail_msg("%s", path);
    return g_byte_array_new_take((guint8 *)text, size);
}

static void save(const char *folder, const char *name, GByteArray *bytes)
{
    make_put(folder, name, bytes->data, bytes->len);
    g_byte_array_unref(bytes);
}

static void drop_shx(const char *folder)
{
    g_autofree char *path = g_build_filename(folder, "made.shx", NULL);

    g_remove(path);
}

static void halve_shx(const char *folder)
{
    GByteArray *shx = load(folder, "made.shx");

    g_byte_array_set_size(shx, 108);
    save(folder, "made.shx", shx);
}

static void shorten_shx_soundly(const char *folder)
{
    GByteArray *shx = load(folder, "made.shx");

    g_byte_array_set_size(shx, 108);
    shx->data[26] = 0;
    shx->data[27] = 54; /* 108 bytes, and it says so */
    save(folder, "made.shx", shx);
}

static void shx_past_the_end(const char *folder)
{
    GByteArray *shx = load(folder, "made.shx");

    shx->data[100] = 0x3f;
    save(folder, "made.shx", shx);
}

static void shx_of_a_million(const char *folder)
{
    GByteArray *shx = load(folder, "made.shx");

    shx->data[24] = 0x00;
    shx->data[25] = 0x3d;
    save(folder, "made.shx", shx);
}

/* shapelib: refused (missing, short), or records lost without a word. */
static void an_index_that_is_wrong_hides_nothing_and_is_left_alone(void **state)
{
    void (*const spoils[])(const char *) = {drop_shx, halve_shx, shorten_shx_soundly,
                                            shx_past_the_end, shx_of_a_million};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(spoils); i++) {
        struct make make;
        struct got got;

        three(&make);
        read_spoilt(&got, &make, spoils[i]);
        expect_counts(&got, 3, 3, 0);
        assert_true(got_has_remark(&got, ".shx"));
        got_clear(&got);
        make_end(&make);
    }
}

static void nothing_is_written_beside_the_file(void **state)
{
    struct make make;
    struct got got;
    struct spl_shapefile_request request = {0};
    char *folder = make_folder();
    g_autofree char *path = NULL;
    GDir *dir;
    int files = 0;

    (void)state;
    three(&make);
    make.no_shx = TRUE;
    path = make_write(&make, folder, "made");
    got_read_path(&got, path, &request);
    expect_counts(&got, 3, 3, 0);
    dir = g_dir_open(folder, 0, NULL);
    while (g_dir_read_name(dir) != NULL)
        files++;
    g_dir_close(dir);
    assert_int_equal(files, 3); /* .shp .dbf .prj */
    got_clear(&got);
    make_end(&make);
    make_folder_clear(folder);
}

/* A file with holes between its records, as programs leave them that rewrite one at the end. */
static void records_that_were_rewritten_are_read_by_the_index(void **state)
{
    struct make make;
    struct got got;

    (void)state;
    three(&make);
    make_square(&make, 5, 54.97, 0.001); /* the second, rewritten */
    memcpy(make.shx->data + 8, make.shx->data + 24, 8);
    g_byte_array_set_size(make.shx, 24);
    got_read(&got, &make);
    expect_counts(&got, 3, 3, 0);
    expect_near(spl_geometry_points(got_at(&got, 1)->geometry)[0].lon, 5, 1e-9, "degrees");
    got_clear(&got);
    make_end(&make);
}

static void cut_shp(const char *folder)
{
    GByteArray *shp = load(folder, "made.shp");

    g_byte_array_set_size(shp, shp->len - 40);
    save(folder, "made.shp", shp);
}

static void cut_shp_and_shx(const char *folder)
{
    drop_shx(folder);
    cut_shp(folder);
}

static void cut_shp_between(const char *folder)
{
    GByteArray *shp = load(folder, "made.shp");

    g_byte_array_set_size(shp, shp->len - 136); /* a whole record */
    save(folder, "made.shp", shp);
    drop_shx(folder);
}

/* shapelib: opens, NULL for the records that are cut off. */
static void a_truncated_file_is_incomplete_whichever_way(void **state)
{
    void (*const spoils[])(const char *) = {cut_shp, cut_shp_and_shx, cut_shp_between};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(spoils); i++) {
        struct make make;
        struct got got;

        three(&make);
        read_spoilt(&got, &make, spoils[i]);
        expect_counts(&got, 3, 2, 1);
        assert_false(got.summary.everywhere);
        /* the head's bounds reach to where the third one was */
        assert_true(got.summary.bounds.max_lon > -2.4391);
        got_clear(&got);
        make_end(&make);
    }
}

static void without_a_table_a_cut_file_still_shows_its_gap(void **state)
{
    struct make make;
    struct got got;

    (void)state;
    three(&make);
    make.no_dbf = TRUE;
    read_spoilt(&got, &make, cut_shp_and_shx);
    expect_counts(&got, 3, 2, 1);
    assert_true(got_has_remark(&got, ".dbf is missing"));
    got_clear(&got);
    make_end(&make);
}

static void no_bounds(const char *folder)
{
    GByteArray *shp = load(folder, "made.shp");
    const double nan_ = NAN;

    memcpy(shp->data + 36, &nan_, 8);
    g_byte_array_set_size(shp, shp->len - 40);
    save(folder, "made.shp", shp);
}

static void a_gap_without_stated_bounds_may_be_anywhere(void **state)
{
    struct make make;
    struct got got;

    (void)state;
    three(&make);
    read_spoilt(&got, &make, no_bounds);
    expect_counts(&got, 3, 2, 1);
    assert_true(got.summary.everywhere);
    expect_near(got.summary.bounds.min_lat, -90, 0, "degrees");
    got_clear(&got);
    make_end(&make);
}

static void zeros_behind(const char *folder)
{
    GByteArray *shp = load(folder, "made.shp");
    const guint8 zeros[64] = {0};

    g_byte_array_append(shp, zeros, 64);
    save(folder, "made.shp", shp);
}

static void padding_behind_the_last_record_is_no_gap(void **state)
{
    struct make make;
    struct got got;

    (void)state;
    three(&make);
    read_spoilt(&got, &make, zeros_behind);
    expect_counts(&got, 3, 3, 0);
    assert_true(got_has_remark(&got, "the head states"));
    got_clear(&got);
    make_end(&make);
}

/* ---- single records ---- */

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

/* ---- whole files ---- */

static void poke_magic(const char *folder)
{
    GByteArray *shp = load(folder, "made.shp");

    shp->data[2] = 1;
    save(folder, "made.shp", shp);
}
static void poke_type(const char *folder)
{
    GByteArray *shp = load(folder, "made.shp");

    shp->data[32] = 31;
    save(folder, "made.shp", shp);
}
static void poke_type_unknown(const char *folder)
{
    GByteArray *shp = load(folder, "made.shp");

    shp->data[32] = 99;
    save(folder, "made.shp", shp);
}
static void empty_shp(const char *folder)
{
    make_put(folder, "made.shp", "", 0);
}
static void short_shp(const char *folder)
{
    make_put(folder, "made.shp", "\0\0\x27\x0a", 4);
}
static void zip_shp(const char *folder)
{
    make_put(folder, "made.shp", "PK\003\004 and so on", 14);
}
static void text_shp(const char *folder)
{
    make_put(folder, "made.shp", "this is a letter, not a map", 27);
}
static void prj_cut(const char *folder)
{
    make_put(folder, "made.prj", MAKE_WGS84, 80);
}
static void prj_local(const char *folder)
{
    const char *local =
        "LOCAL_CS[\"yard\",LOCAL_DATUM[\"yard\",0],UNIT[\"metre\",1],AXIS[\"x\",EAST],"
        "AXIS[\"y\",NORTH]]";

    make_put(folder, "made.prj", local, strlen(local));
}
static void prj_string(const char *folder)
{
    make_put(folder, "made.prj", "+proj=utm +zone=30", 18);
}

static void what_is_no_shapefile_is_refused_in_one_line(void **state)
{
    static const struct {
        void (*spoil)(const char *);
        enum spl_error_code code;
        const char *part;
    } rows[] = {
        {poke_magic, SPL_ERROR_INVALID, "no shapefile"},        /* shapelib: opens */
        {poke_type, SPL_ERROR_INVALID, "surfaces in space"},    /* opens */
        {poke_type_unknown, SPL_ERROR_INVALID, "unknown kind"}, /* opens */
        {empty_shp, SPL_ERROR_INVALID, "empty"},
        {short_shp, SPL_ERROR_INVALID, "cut short"},
        {zip_shp, SPL_ERROR_INVALID, "unzip"},
        {text_shp, SPL_ERROR_INVALID, "no shapefile"},
        {prj_cut, SPL_ERROR_INVALID, "--crs"},
        {prj_local, SPL_ERROR_INVALID, "--crs"},
        {prj_string, SPL_ERROR_INVALID, "--crs"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        struct make make;
        struct got got;

        three(&make);
        read_spoilt(&got, &make, rows[i].spoil);
        if (got.error == NULL)
            fail_msg("row %zu was taken", i);
        expect_error(got.error, rows[i].code, rows[i].part);
        got_clear(&got);
        make_end(&make);
    }
}

static void folders_and_missing_files_are_refused(void **state)
{
    struct got got;
    struct spl_shapefile_request request = {0};

    (void)state;
    got_read_path(&got, g_get_tmp_dir(), &request);
    expect_error(got.error, SPL_ERROR_INVALID, "folder");
    got_clear(&got);
    got_read_path(&got, "/nowhere/at/all.shp", &request);
    expect_error(got.error, SPL_ERROR_NOT_FOUND, "/nowhere/at/all.shp");
    got_clear(&got);
}

/* A head and a record that claim 2 GB in a file that is as long, but empty (sparse). */
static void two_gigabytes_of_nothing_are_not_read(void **state)
{
    struct make make;
    struct got got;
    struct spl_shapefile_request request = {0};
    char *folder = make_folder();
    g_autofree char *path = NULL;
    GByteArray *shp;

    (void)state;
    three(&make);
    make.no_shx = TRUE;
    path = make_write(&make, folder, "made");
    shp = load(folder, "made.shp");
    memset(shp->data + 24, 0xff, 4); /* the head's length */
    shp->data[24] = 0x3f;
    memset(shp->data + 100 + 136 + 4, 0xff, 4); /* the second record's */
    shp->data[100 + 136 + 4] = 0x3f;
    save(folder, "made.shp", shp);
    if (truncate(path, 0x7ffffff0L) != 0)
        skip();
    got_read_path(&got, path, &request);
    expect_ok(got.error);
    assert_int_equal(got.summary.imported, 1);
    assert_true(got.summary.unread >= 2);
    got_clear(&got);
    make_end(&make);
    make_folder_clear(folder);
}

static void an_empty_layer_is_whole(void **state)
{
    struct make make;
    struct got got;

    (void)state;
    make_begin(&make, 5);
    got_read(&got, &make);
    expect_counts(&got, 0, 0, 0);
    got_clear(&got);
    make_end(&make);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(an_index_that_is_wrong_hides_nothing_and_is_left_alone),
    cmocka_unit_test(nothing_is_written_beside_the_file),
    cmocka_unit_test(records_that_were_rewritten_are_read_by_the_index),
    cmocka_unit_test(a_truncated_file_is_incomplete_whichever_way),
    cmocka_unit_test(without_a_table_a_cut_file_still_shows_its_gap),
    cmocka_unit_test(a_gap_without_stated_bounds_may_be_anywhere),
    cmocka_unit_test(padding_behind_the_last_record_is_no_gap),
    cmocka_unit_test(a_record_that_cannot_be_believed_is_counted),
    cmocka_unit_test(parts_that_go_backwards_are_counted),
    cmocka_unit_test(rings_that_can_be_mended_are_ground),
    cmocka_unit_test(a_flat_ring_beside_a_full_one_stays),
    cmocka_unit_test(a_shape_without_places_or_parts_is_counted_or_mended),
    cmocka_unit_test(rows_and_shapes_that_do_not_match_are_said),
    cmocka_unit_test(struck_out_rows_are_left_out_and_said),
    cmocka_unit_test(a_broken_table_is_refused),
    cmocka_unit_test(a_column_that_is_not_there_is_named_with_those_that_are),
    cmocka_unit_test(what_is_no_shapefile_is_refused_in_one_line),
    cmocka_unit_test(folders_and_missing_files_are_refused),
    cmocka_unit_test(two_gigabytes_of_nothing_are_not_read),
    cmocka_unit_test(an_empty_layer_is_whole),
};
expect_main(tests)
