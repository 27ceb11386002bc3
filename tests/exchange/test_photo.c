/* SPDX-License-Identifier: MIT
 *
 * Photos: what they are, what they say, the small picture, and bytes that mean harm.
 */
#include "expect.h"

#include <stdio.h>

#include <jpeglib.h>

#include "photo_make.h"

static void look(const GByteArray *bytes, struct spl_photo_facts *facts)
{
    GError *error = NULL;

    if (!spl_photo_look(bytes->data, bytes->len, facts, &error))
        fail_msg("%s", error->message);
}

/* The small picture's pixels, by libjpeg alone, and its markers. */
struct shown {
    int width, height, markers;
    guint8 *rgb;
};

static void show(const struct spl_photo_facts *facts, struct shown *shown)
{
    struct jpeg_decompress_struct jpeg;
    struct jpeg_error_mgr errors;
    gsize size;
    g_autofree guint8 *bytes = g_base64_decode(facts->small, &size);

    assert_true(size <= SPL_PHOTO_SMALL_MOST);
    jpeg.err = jpeg_std_error(&errors);
    jpeg_create_decompress(&jpeg);
    for (int i = 1; i < 16; i++)
        jpeg_save_markers(&jpeg, JPEG_APP0 + i, 0xffff);
    jpeg_save_markers(&jpeg, JPEG_COM, 0xffff);
    jpeg_mem_src(&jpeg, bytes, size);
    jpeg_read_header(&jpeg, TRUE);
    jpeg_start_decompress(&jpeg);
    *shown = (struct shown){.width = (int)jpeg.output_width, .height = (int)jpeg.output_height};
    for (jpeg_saved_marker_ptr m = jpeg.marker_list; m != NULL; m = m->next)
        shown->markers++;
    shown->rgb = g_malloc((gsize)shown->width * (gsize)shown->height * 3);
    while (jpeg.output_scanline < jpeg.output_height) {
        JSAMPROW row = shown->rgb + (gsize)jpeg.output_scanline * (gsize)shown->width * 3;

        jpeg_read_scanlines(&jpeg, &row, 1);
    }
    jpeg_finish_decompress(&jpeg);
    jpeg_destroy_decompress(&jpeg);
}

static char colour_at(const struct shown *shown, double x, double y)
{
    const guint8 *at =
        shown->rgb +
        ((gsize)(y * shown->height) * (gsize)shown->width + (gsize)(x * shown->width)) * 3;

    return at[0] > 128 ? (at[1] > 128 ? 'w' : 'r') : at[1] > 128 ? 'g' : 'b';
}

static void a_photo_says_when_and_where(void **state)
{
    const struct photo_said said = PHOTO_SAID;
    GByteArray *bytes = photo_with(photo_jpeg(1200, 900), &said);
    struct spl_photo_facts facts;

    (void)state;
    look(bytes, &facts);
    assert_int_equal(facts.kind, SPL_PHOTO_JPEG);
    assert_int_equal(facts.width, 1200);
    assert_int_equal(facts.height, 900);
    assert_int_equal(facts.day.n, spl_day_from_ymd(2027, 7, 14).n);
    assert_int_equal(facts.minute, 19 * 60 + 42);
    expect_near(facts.lat, 54 + 36 / 60.0 + 4.3 / 3600, 1e-9, "degrees");
    expect_near(facts.lon, -(2 + 35 / 60.0 + 13.5 / 3600), 1e-9, "degrees");
    assert_null(facts.unseen);
    spl_photo_facts_clear(&facts);
    g_byte_array_unref(bytes);
}

static void the_small_picture_says_neither(void **state)
{
    const struct photo_said said = PHOTO_SAID;
    GByteArray *bytes = photo_with(photo_jpeg(1200, 900), &said);
    struct spl_photo_facts facts, again;
    struct shown shown;
    gsize size;
    g_autofree guint8 *small = NULL;

    (void)state;
    look(bytes, &facts);
    show(&facts, &shown);
    assert_int_equal(shown.width, 640);
    assert_int_equal(shown.height, 480);
    assert_int_equal(shown.markers, 0);
    small = g_base64_decode(facts.small, &size);
    assert_null(g_strstr_len((char *)small, (gssize)size, "Exif"));
    assert_true(spl_photo_look(small, size, &again, NULL));
    assert_false(spl_day_is_set(again.day));
    assert_true(isnan(again.lat));
    spl_photo_facts_clear(&facts);
    spl_photo_facts_clear(&again);
    g_free(shown.rgb);
    g_byte_array_unref(bytes);
}

/* TIFF 6.0, tag 274: where the first row and the first column of what is stored are seen. Corners
 * from above left, clockwise: red, green, white, blue as they are stored. */
static void each_way_of_holding_is_upright(void **state)
{
    static const char *const seen[] = {"rgwb", "grbw", "wbrg", "bwgr",
                                       "rbwg", "brgw", "wgrb", "gwbr"};

    (void)state;
    for (int way = 1; way <= 8; way++) {
        struct photo_said said = PHOTO_SAID;
        struct spl_photo_facts facts;
        struct shown shown;
        GByteArray *bytes;
        char corners[5] = "";

        said.orientation = way;
        bytes = photo_with(photo_jpeg(160, 80), &said);
        look(bytes, &facts);
        show(&facts, &shown);
        assert_int_equal(facts.width, way >= 5 ? 80 : 160);
        assert_int_equal(shown.width, way >= 5 ? 80 : 160);
        corners[0] = colour_at(&shown, 0.1, 0.1);
        corners[1] = colour_at(&shown, 0.9, 0.1);
        corners[2] = colour_at(&shown, 0.9, 0.9);
        corners[3] = colour_at(&shown, 0.1, 0.9);
        if (strcmp(corners, seen[way - 1]) != 0)
            fail_msg("held as %d: %s, expected %s", way, corners, seen[way - 1]);
        spl_photo_facts_clear(&facts);
        g_free(shown.rgb);
        g_byte_array_unref(bytes);
    }
}

static void what_cannot_be_is_not_said(void **state)
{
    static const struct photo_said odd[] = {
        {1, "2027:02:30 19:42:10", {54, 1, 36, 1, 43, 10}, {2, 1, 35, 1, 135, 10}, 'N', 'W'},
        {1, "    :  :     :  :  ", {54, 1, 36, 1, 43, 0}, {2, 1, 35, 1, 135, 10}, 'N', 'W'},
        {1, "0000:00:00 00:00:00", {0, 1, 0, 1, 0, 1}, {0, 1, 0, 1, 0, 1}, 'N', 'E'},
        {1, "2027:07:14 25:00:00", {91, 1, 0, 1, 0, 1}, {2, 1, 0, 1, 0, 1}, 'N', 'E'},
        {9, "2027-07-14 19:42:10", {54, 1, 36, 1, 43, 10}, {181, 1, 0, 1, 0, 1}, 'N', 'E'},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(odd); i++) {
        GByteArray *bytes = photo_with(photo_jpeg(64, 32), &odd[i]);
        struct spl_photo_facts facts;

        look(bytes, &facts);
        assert_false(spl_day_is_set(facts.day));
        assert_int_equal(isnan(facts.lat), i > 0);
        assert_int_equal(facts.width, 64);
        spl_photo_facts_clear(&facts);
        g_byte_array_unref(bytes);
    }
}

static void refuse(const guint8 *bytes, gsize size, enum spl_error_code code, const char *part)
{
    struct spl_photo_facts facts;
    GError *error = NULL;

    assert_false(spl_photo_look(bytes, size, &facts, &error));
    expect_error(error, code, part);
}

static void a_photo_that_was_cut_short_is_refused(void **state)
{
    GByteArray *bytes = photo_jpeg(1200, 900);

    (void)state;
    for (guint size = 3; size < bytes->len; size += 97) {
        struct spl_photo_facts facts;
        GError *error = NULL;

        if (spl_photo_look(bytes->data, size, &facts, &error))
            fail_msg("%u of %u octets are taken for a photo", size, bytes->len);
        expect_error(error, SPL_ERROR_INVALID, "copy it anew");
    }
    for (guint size = 8; size < sizeof photo_png; size++) {
        /* The last chunk says nothing more of the picture. */
        if (size < sizeof photo_png - 12)
            refuse(photo_png, size, SPL_ERROR_INVALID, "is damaged");
    }
    g_byte_array_unref(bytes);
}

static void what_is_no_photo_is_refused(void **state)
{
    static const char *const others[] = {"",
                                         "%PDF-1.7",
                                         "GIF89a",
                                         "<svg></svg>",
                                         "PK\003\004",
                                         "\x00\x00\x00\x18"
                                         "ftypmp42"};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(others); i++)
        refuse((const guint8 *)others[i], strlen(others[i]), SPL_ERROR_INVALID,
               "JPEG, PNG and HEIC");
}

/* Sides that the head claims and nobody could hold. */
static void claimed_sizes_are_bounded(void **state)
{
    GByteArray *jpeg = photo_jpeg(64, 32);
    guint8 png[sizeof photo_png];

    (void)state;
    for (guint i = 0; i + 9 < jpeg->len; i++) {
        if (jpeg->data[i] == 0xff && jpeg->data[i + 1] == 0xc0)
            memcpy(jpeg->data + i + 5, "\xff\0\xff\0", 4); /* height and width, ITU-T T.81 B.2.2 */
    }
    refuse(jpeg->data, jpeg->len, SPL_ERROR_LIMIT, "65280 x 65280");
    memcpy(png, photo_png, sizeof png);
    memcpy(png + 16, "\x00\x00\xff\xff\x00\x00\xff\xff", 8);
    memcpy(png + 29, "\x39\x67\x4e\x07", 4); /* by Python's zlib */
    refuse(png, sizeof png, SPL_ERROR_LIMIT, "65535 x 65535");
    g_byte_array_unref(jpeg);
}

static void the_childs_answer_is_read_strictly(void **state)
{
    static const char *const bad[] = {
        "",
        "kind jpeg\nsize 1 1\n",
        "kind pdf\nsize 1 1\nsmall QUJD\n",
        "kind jpeg\nsize 1 70000\nsmall QUJD\n",
        "kind jpeg\nsize 1 1\nsmall QUJ\n",
        "kind jpeg\nsize 1 1\nsmall QUJD'--\n",
        "kind jpeg\nsize 1 1\nsmall QUJD\nunseen so\n",
        "kind jpeg\nsize 1 1\nat 91 0 -\nsmall QUJD\n",
        "kind jpeg\nsize 1 1\nat nan 0 -\nsmall QUJD\n",
        "kind jpeg\nsize 1 1\ntaken 2027-02-30 5\nsmall QUJD\n",
        "kind jpeg\nsize 1 1\nmore\nsmall QUJD\n",
    };
    struct spl_photo_facts facts;
    GError *error = NULL;

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        assert_false(spl_photo_facts_read(bad[i], &facts, &error));
        expect_error(error, SPL_ERROR_INVALID, "copy it anew");
    }
    assert_true(spl_photo_facts_read("kind png\nsize 2 1\ntaken 2027-07-14 1182\n"
                                     "at -54.6 2.5 8.0\nsmall QUJD\n",
                                     &facts, &error));
    assert_int_equal(facts.kind, SPL_PHOTO_PNG);
    assert_int_equal(facts.minute, 1182);
    expect_near(facts.lat, -54.6, 1e-12, "degrees");
    expect_near(facts.accuracy_m, 8, 0, "m");
    assert_string_equal(facts.small, "QUJD");
    spl_photo_facts_clear(&facts);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_photo_says_when_and_where),
        cmocka_unit_test(the_small_picture_says_neither),
        cmocka_unit_test(each_way_of_holding_is_upright),
        cmocka_unit_test(what_cannot_be_is_not_said),
        cmocka_unit_test(a_photo_that_was_cut_short_is_refused),
        cmocka_unit_test(what_is_no_photo_is_refused),
        cmocka_unit_test(claimed_sizes_are_bounded),
        cmocka_unit_test(the_childs_answer_is_read_strictly),
    };

    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
