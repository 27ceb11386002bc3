/* SPDX-License-Identifier: MIT
 *
 * Growth stages: the codes of the scale, words both ways, ranges.
 */
#include "sheet.h"

#include "core/stage.h"

static void every_code_of_the_published_scale_is_known_and_no_other(void **state)
{
    g_autoptr(spl_sheet) sheet = sheet_open("bbch_codes.csv");
    gboolean listed[100] = {FALSE};

    (void)state;
    for (guint i = 0; i < sheet_rows(sheet); i++) {
        int code = (int)sheet_number(sheet, i, "code");
        g_autoptr(GError) error = NULL;
        int read = -1;

        listed[code] = TRUE;
        assert_true(spl_stage_parse(sheet_text(sheet, i, "code"), "--stage", &read, &error));
        assert_int_equal(read, code);
        assert_string_not_equal(spl_stage_about(code), "");
    }
    for (int code = -5; code < 120; code++) {
        gboolean wanted = code >= 0 && code < 100 && listed[code];
        if (spl_stage_is_valid(code) != wanted)
            fail_msg("code %d is %s", code, wanted ? "not known" : "known");
    }
}

static void the_words_of_the_trade_stand_for_their_codes(void **state)
{
    g_autoptr(spl_sheet) sheet = sheet_open("bbch_codes.csv");
    int words = 0;

    (void)state;
    for (guint i = 0; i < sheet_rows(sheet); i++) {
        const char *word = sheet_text(sheet, i, "word");
        g_autoptr(GError) error = NULL;
        int code = -1;

        if (*word == '\0')
            continue;
        words++;
        assert_true(spl_stage_parse(word, "--stage", &code, &error));
        assert_int_equal(code, (int)sheet_number(sheet, i, "code"));
        assert_string_equal(spl_stage_word(code), word);
    }
    assert_true(words >= 8);
}

static void every_word_leads_back_to_its_own_code(void **state)
{
    g_autoptr(GPtrArray) words = spl_stage_words();
    int before = -1;

    (void)state;
    assert_true(words->len > 20);
    for (guint i = 0; i < words->len; i++) {
        const char *word = g_ptr_array_index(words, i);
        g_autoptr(GError) error = NULL;
        int code = -1;

        assert_true(spl_stage_parse(word, "--stage", &code, &error));
        assert_string_equal(spl_stage_word(code), word);
        assert_true(code > before);
        before = code;
    }
}

static void other_words_and_spellings_are_forgiven(void **state)
{
    static const struct {
        const char *text;
        int code;
    } cases[] = {{"Full Flower", 65}, {"in-flower", 65}, {"  FLOWERING ", 65}, {"in bud", 51},
                 {"budding", 51},     {"dieback", 97},   {"gone to seed", 79}, {"5", 5},
                 {"05", 5},           {"Rosette", 39},   {"fading", 67},       {"dead_ripe", 89},
                 {"first petals", 59}};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autoptr(GError) error = NULL;
        int code = -1;

        assert_true(spl_stage_parse(cases[i].text, "--stage", &code, &error));
        assert_int_equal(code, cases[i].code);
    }
}

static void the_order_of_the_scale_is_that_of_the_plant(void **state)
{
    /* BBCH monograph: 61 < 65 < 69 < 71 < 81 < 89 < 93; the words keep it. */
    static const char *const order[] = {"in bud",      "first flowers", "full flower", "going over",
                                        "young fruit", "in seed",       "turning",     "ripe",
                                        "fully ripe",  "died back"};
    int before = -1;

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(order); i++) {
        int code = -1;
        assert_true(spl_stage_parse(order[i], "--stage", &code, NULL));
        assert_true(code > before);
        before = code;
    }
}

static void codes_that_the_scale_lacks_are_refused_with_their_neighbours(void **state)
{
    g_autoptr(GError) error = NULL;
    int code = 7;

    (void)state;
    assert_false(spl_stage_parse("42", "--stage", &code, &error));
    expect_error(error, SPL_ERROR_INVALID, "41");
    assert_false(spl_stage_parse("90", "--stage", &code, &error));
    expect_error(error, SPL_ERROR_INVALID, "89");
    assert_int_equal(code, 7);
}

static void nonsense_is_refused_with_the_words_there_are(void **state)
{
    static const char *const bad[] = {"", "100", "-1", "6.5", "bloomin", "65 %", "0x41", "nan"};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        g_autoptr(GError) error = NULL;
        int code = 7;

        assert_false(spl_stage_parse(bad[i], "--stage", &code, &error));
        expect_error(error, SPL_ERROR_INVALID, "--stage");
        assert_int_equal(code, 7);
    }
    g_autoptr(GError) error = NULL;
    int code = 7;
    assert_false(spl_stage_parse("full flowr", "--stage", &code, &error));
    expect_error(error, SPL_ERROR_INVALID, "did you mean");
    assert_false(spl_stage_parse("full \xff", "--stage", &code, &error));
    expect_error(error, SPL_ERROR_INVALID, "UTF-8");
}

static void words_between_two_take_the_earlier(void **state)
{
    (void)state;
    assert_string_equal(spl_stage_word(62), "early flower");
    assert_string_equal(spl_stage_word(73), "young fruit");
    assert_string_equal(spl_stage_word(SPL_STAGE_NONE), "");
    g_autofree char *shown = spl_stage_format(5);
    assert_string_equal(shown, "buds swelling (05)");
    g_autofree char *none = spl_stage_format(SPL_STAGE_NONE);
    assert_string_equal(none, "");
}

static void ranges_are_read_and_may_run_over_the_winter(void **state)
{
    g_autoptr(GError) error = NULL;
    int from = 0, to = 0;

    (void)state;
    assert_true(spl_stage_range_parse("60-63", "--stages", &from, &to, &error));
    assert_int_equal(from, 60);
    assert_int_equal(to, 63);
    assert_true(spl_stage_range_parse("in bud to full flower", "--stages", &from, &to, &error));
    assert_int_equal(from, 51);
    assert_int_equal(to, 65);
    assert_true(spl_stage_range_parse("ripe", "--stages", &from, &to, &error));
    assert_int_equal(from, 87);
    assert_int_equal(to, 87);
    assert_true(spl_stage_range_parse("93-11", "--stages", &from, &to, &error));
    assert_true(spl_stage_in(97, from, to));
    assert_true(spl_stage_in(5, from, to));
    assert_false(spl_stage_in(51, from, to));
    assert_true(spl_stage_in(63, 60, 63));
    assert_false(spl_stage_in(64, 60, 63));
    assert_false(spl_stage_in(SPL_STAGE_NONE, 0, 99));
    assert_false(spl_stage_range_parse("60-", "--stages", &from, &to, &error));
    expect_error(error, SPL_ERROR_INVALID, "--stages");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_code_of_the_published_scale_is_known_and_no_other),
    cmocka_unit_test(the_words_of_the_trade_stand_for_their_codes),
    cmocka_unit_test(every_word_leads_back_to_its_own_code),
    cmocka_unit_test(other_words_and_spellings_are_forgiven),
    cmocka_unit_test(the_order_of_the_scale_is_that_of_the_plant),
    cmocka_unit_test(codes_that_the_scale_lacks_are_refused_with_their_neighbours),
    cmocka_unit_test(nonsense_is_refused_with_the_words_there_are),
    cmocka_unit_test(words_between_two_take_the_earlier),
    cmocka_unit_test(ranges_are_read_and_may_run_over_the_winter),
};
expect_main(tests)
