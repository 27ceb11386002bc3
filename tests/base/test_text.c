/* SPDX-License-Identifier: MIT
 *
 * Text from people: cleaning, name keys, offers, UUIDs.
 */
#include "base/text.h"
#include "expect.h"

static void names_match_without_case_accents_or_hyphens(void **state)
{
    static const struct {
        const char *a, *b;
    } rows[] = {
        {"Hölle Lane", "holle lane"},
        {"Larkrigg  Beck", "LARKRIGG-BECK"},
        {"Straße", "STRASSE"},
        {" Ærø_Wood ", "ærø wood"},
        {"ﬁr plantation", "fir plantation"},
        /* Zero width space, joiner, soft hyphen, word joiner, byte order mark. */
        {"Gi\u200bll\u200d", "gill"},
        {"\u00adGi\u2060ll\ufeff", "gill"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *a = spl_name_key(rows[i].a), *b = spl_name_key(rows[i].b);

        assert_string_equal(a, b);
    }
}

static void bad_text_is_refused(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *long_text = g_strnfill(1000 * 1000, 'x');
    g_autofree char *kept = NULL;

    (void)state;
    assert_null(spl_text_clean("a\033[2Jb", "the name", SPL_NAME_MAX, FALSE, &error));
    expect_error(error, SPL_ERROR_INVALID, "control character");
    assert_null(spl_text_clean("a\nb", "the name", SPL_NAME_MAX, FALSE, &error));
    expect_error(error, SPL_ERROR_INVALID, "control character");
    assert_null(spl_text_clean("\xc3\x28", "the name", SPL_NAME_MAX, FALSE, &error));
    expect_error(error, SPL_ERROR_INVALID, "UTF-8");
    assert_null(spl_text_clean("   ", "the name", SPL_NAME_MAX, FALSE, &error));
    expect_error(error, SPL_ERROR_INVALID, "empty");
    assert_null(spl_text_clean(long_text, "the name", SPL_NAME_MAX, FALSE, &error));
    expect_error(error, SPL_ERROR_INVALID, "longer");
    assert_null(spl_text_clean("Gill\u200b", "the name", SPL_NAME_MAX, FALSE, &error));
    expect_error(error, SPL_ERROR_INVALID, "U+200B");
    assert_null(spl_text_clean("\u200d \u0301", "the name", SPL_NAME_MAX, FALSE, &error));
    expect_error(error, SPL_ERROR_INVALID, "empty");
    /* A joiner between signs or letters is how they are written (Unicode 15, 23.2). */
    g_autofree char *joined =
        spl_text_clean("\U0001f469\u200d\U0001f33e", "the name", SPL_NAME_MAX, FALSE, &error);
    assert_string_equal(joined, "\U0001f469\u200d\U0001f33e");
    kept = spl_text_clean("  Hölle\nLane ", "the remark", SPL_REMARK_MAX, TRUE, &error);
    assert_string_equal(kept, "Hölle\nLane");
}

static void text_for_other_formats_loses_its_control_characters(void **state)
{
    g_autofree char *scrubbed = spl_text_scrub("a\001b\xff"
                                               "c\nd",
                                               TRUE);
    const struct {
        const char *text;
        gboolean lines;
        const char *scrubbed;
    } rows[] = {{"", FALSE, ""},
                {" ~ as it stands ! ", FALSE, " ~ as it stands ! "},
                {"a\nb", TRUE, "a\nb"},
                {"a\nb", FALSE, "a b"},
                {"a\tb\177", TRUE, "a b "},
                {"Gr\303\266n", FALSE, "Gr\303\266n"}};

    (void)state;
    assert_string_equal(scrubbed, "a b c\nd");
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *clean = spl_text_scrub(rows[i].text, rows[i].lines);

        assert_string_equal(clean, rows[i].scrubbed);
    }
}

static void the_nearest_names_are_offered(void **state)
{
    g_autoptr(GPtrArray) names = g_ptr_array_new();
    g_autofree char *offer = NULL, *none = NULL;

    (void)state;
    g_ptr_array_add(names, (gpointer) "nettle");
    g_ptr_array_add(names, (gpointer) "elder");
    g_ptr_array_add(names, (gpointer) "Larkrigg Beck");
    offer = spl_names_offer("netle", names);
    assert_string_equal(offer, "; did you mean 'nettle'?");
    none = spl_names_offer("zzzzzzzz", names);
    assert_string_equal(none, "");
}

/* By hand; kitten to sitting is Levenshtein's usual example (3), and a swap of neighbours is one
 * step. */
static void the_distance_counts_a_swap_as_one(void **state)
{
    const struct {
        const char *a, *b;
        guint distance;
    } rows[] = {{"", "", 0},
                {"", "haw", 3},
                {"hip", "hip", 0},
                {"hip", "haw", 2},
                {"kitten", "sitting", 3},
                {"netlte", "nettle", 1},
                {"ca", "abc", 3},
                {"Gr\303\266n", "Gron", 1}};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        assert_int_equal(spl_text_distance(rows[i].a, rows[i].b), rows[i].distance);
        assert_int_equal(spl_text_distance(rows[i].b, rows[i].a), rows[i].distance);
    }
}

static void name_based_uuids_follow_the_rfc(void **state)
{
    /* RFC 4122 appendix C names the DNS space; the version-5 value of "www.example.com" in it is
     * the worked example of RFC 9562 appendix A.4. */
    g_autofree char *uuid = spl_uuid_v5("6ba7b810-9dad-11d1-80b4-00c04fd430c8", "www.example.com");
    g_autofree char *random = spl_uuid_new();

    (void)state;
    assert_string_equal(uuid, "2ed6657d-e927-568b-95e1-2665a8aea6a2");
    assert_true(spl_uuid_is_valid(random));
    assert_null(spl_uuid_v5("not a uuid", "x"));
}

/* Beside GLib's own judge: every pair of bytes, and three of the edges of UTF-8, at each place of a
 * text that is longer than what is looked at in one go. */
static void utf8_is_what_glib_says_it_is(void **state)
{
    static const unsigned char edges[] = {0x00, 0x01, 0x7f, 0x80, 0x8f, 0x90, 0x9f,
                                          0xa0, 0xbf, 0xc0, 0xc2, 0xdf, 0xe0, 0xe1,
                                          0xed, 0xef, 0xf0, 0xf4, 0xf5, 0xff};
    char text[20];
    int valid = 0;

    (void)state;
    for (int pair = 0; pair < 0x10000; pair++) {
        gsize at = (gsize)pair % (sizeof text - 1);
        gboolean right;

        memset(text, 'a', sizeof text);
        text[at] = (char)(pair >> 8);
        text[at + 1] = (char)pair;
        right = g_utf8_validate(text, sizeof text, NULL);
        assert_int_equal(spl_text_is_utf8(text, sizeof text), right);
        assert_int_equal(spl_text_is_utf8(text, at + 1),
                         g_utf8_validate(text, (gssize)at + 1, NULL));
        valid += right;
    }
    assert_int_equal(valid, 127 * 127 + 30 * 64); /* of ASCII, and the two-byte characters */
    for (gsize i = 0; i < 20 * 20 * 20; i++) {
        gsize at = i % (sizeof text - 3);

        memset(text, 'a', sizeof text);
        text[at] = (char)edges[i / 400];
        text[at + 1] = (char)edges[i / 20 % 20];
        text[at + 2] = (char)edges[i % 20];
        assert_int_equal(spl_text_is_utf8(text, sizeof text),
                         g_utf8_validate(text, sizeof text, NULL));
    }
    assert_true(spl_text_is_utf8("", 0));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(names_match_without_case_accents_or_hyphens),
    cmocka_unit_test(bad_text_is_refused),
    cmocka_unit_test(text_for_other_formats_loses_its_control_characters),
    cmocka_unit_test(the_nearest_names_are_offered),
    cmocka_unit_test(the_distance_counts_a_swap_as_one),
    cmocka_unit_test(name_based_uuids_follow_the_rfc),
    cmocka_unit_test(utf8_is_what_glib_says_it_is),
};
expect_main(tests)
