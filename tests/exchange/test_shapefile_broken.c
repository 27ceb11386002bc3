/* SPDX-License-Identifier: MIT
 *
 * Shapefiles that are broken: each is refused, mended or counted, and none is taken for "no ground
 * there". What shapelib 1.5 does with each by itself was tried out before and stands beside it.
 */
#include <unistd.h>

#include "shape_spoil.h"

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
        {prj_cut, SPL_ERROR_INVALID, "EPSG:NUMBER"},
        {prj_local, SPL_ERROR_INVALID, "EPSG:NUMBER"},
        {prj_string, SPL_ERROR_INVALID, "EPSG:NUMBER"},
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
    cmocka_unit_test(what_is_no_shapefile_is_refused_in_one_line),
    cmocka_unit_test(folders_and_missing_files_are_refused),
    cmocka_unit_test(two_gigabytes_of_nothing_are_not_read),
    cmocka_unit_test(an_empty_layer_is_whole),
};
expect_main(tests)
