/* SPDX-License-Identifier: MIT
 *
 * Folding at words and tables that share the width of a terminal.
 */
#include "base/layout.h"

#include <locale.h>
#include <string.h>

#include "expect.h"

static void text_is_folded_at_its_words(void **state)
{
    g_autofree char *folded = spl_text_fold("nothing known against it", 10);
    g_autofree char *kept = spl_text_fold("nothing known against it", 0);
    g_autofree char *paragraphs = spl_text_fold("one\n\ntwo", 10);

    (void)state;
    assert_string_equal(folded, "nothing\nknown\nagainst it");
    assert_string_equal(kept, "nothing known against it");
    assert_string_equal(paragraphs, "one\n\ntwo");
}

static void a_long_piece_breaks_behind_its_stroke_and_only_then_anywhere(void **state)
{
    g_autofree char *material = spl_text_fold("dandelion/flower", 12);
    g_autofree char *word = spl_text_fold("abcdefghij", 4);

    (void)state;
    assert_string_equal(material, "dandelion/\nflower");
    assert_string_equal(word, "abcd\nefgh\nij");
}

static void width_is_counted_in_columns_not_in_octets(void **state)
{
    (void)state;
    assert_int_equal(spl_text_width("dåndelion"), 9);
    assert_int_equal(spl_text_width("a\xcc\x8a"), 1); /* a with a combining ring */
    assert_int_equal(spl_text_width("艾"), 2);
}

static const struct spl_grid_column columns[] = {{.heading = "site"},
                                                 {.heading = "grams", .right = TRUE, .whole = TRUE},
                                                 {.heading = "never"},
                                                 {.heading = "why"}};
static const char *const cells[] = {"Withy Gill", "96",  "", "said not to be sprayed since 2019",
                                    "Low Croft",  "640", "", "your own ground"};

/* What the grid becomes at `width`; free with free(). */
static char *printed(int width)
{
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);

    assert_true(spl_grid_print(columns, G_N_ELEMENTS(columns), cells, 2, width, out));
    fclose(out);
    return text;
}

static void assert_fits(const char *text, int width)
{
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);

    for (guint i = 0; lines[i] != NULL; i++) {
        if (spl_text_width(lines[i]) > width)
            fail_msg("'%s' is wider than %d", lines[i], width);
    }
}

static void every_line_fits_the_terminal_and_no_word_is_cut(void **state)
{
    static const char *const words[] = {"Withy", "sprayed", "ground", "2019", "640"};

    (void)state;
    for (int width = 40; width <= 120; width++) {
        char *text = printed(width);

        assert_fits(text, width);
        for (gsize i = 0; i < G_N_ELEMENTS(words); i++)
            assert_non_null(strstr(text, words[i]));
        free(text);
    }
}

static void a_column_without_text_is_left_out(void **state)
{
    char *text = printed(80);

    (void)state;
    assert_null(strstr(text, "never"));
    assert_non_null(strstr(text, "grams"));
    free(text);
}

static void without_a_terminal_nothing_is_folded_or_cut(void **state)
{
    char *text = printed(0);
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);

    (void)state;
    assert_int_equal(g_strv_length(lines), 4); /* heading, two rows, the end */
    assert_non_null(strstr(lines[1], "said not to be sprayed since 2019"));
    free(text);
}

static void too_narrow_a_terminal_gets_entry_by_entry(void **state)
{
    char *text = printed(16);

    (void)state;
    assert_true(g_str_has_prefix(text, "Withy Gill\n  grams  96\n  why    said"));
    free(text);
}

static void what_is_long_stands_under_its_row(void **state)
{
    static const struct spl_grid_column heads[] = {{.heading = "code", .whole = TRUE},
                                                   {.heading = "mostly over", .whole = TRUE},
                                                   {.heading = "left in the jar", .right = TRUE},
                                                   {.heading = "held"}};
    static const char *const rows[] = {
        "H26-004",
        "21 May",
        "60",
        "closed: sprayed on the site, handheld, thistle killer, as the "
        "tenant's son says, who did the thistles in May and is sorry",
        "H26-005",
        "3 Jun",
        "8",
        ""};
    char *text = NULL;
    size_t size = 0;

    (void)state;
    for (int width = 40; width <= 120; width++) {
        FILE *out = open_memstream(&text, &size);

        assert_true(spl_grid_print(heads, G_N_ELEMENTS(heads), rows, 2, width, out));
        fclose(out);
        assert_fits(text, width);
        if (width <= 60) { /* two columns of words would be six lines high */
            assert_non_null(strstr(text, "\n    held: closed: sprayed"));
            assert_non_null(strstr(text, "\nH26-005"));
        }
        free(text);
    }
}

/* What comes out of a stream of `width` columns; free with free(). */
static char *streamed(const char *said, int width)
{
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    FILE *stream = spl_fold_stream(out, width, NULL);

    assert_non_null(stream);
    assert_true(fputs(said, stream) >= 0);
    assert_int_equal(fclose(stream), 0);
    fclose(out);
    return text;
}

static void a_stream_breaks_what_is_too_wide_and_leaves_the_rest(void **state)
{
    static const char *const pairs[][2] = {
        {"verdict: clear, nothing known\n", "verdict: clear,\n  nothing known\n"},
        {"  300 g lime for the tea\n", "  300 g lime for\n    the tea\n"},
        {"a  b   c\n\nd\n", "a  b   c\n\nd\n"},
        {"http://127.0.0.1:4242/a/b\n", "http://127.0.0.1:4242/a/b\n"},
        {"which place? ", "which place? "},
        {"Größe über übel ärgert\n", "Größe über übel\n  ärgert\n"}, /* 15 columns, 19 octets */
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(pairs); i++) {
        char *text = streamed(pairs[i][0], 16);

        assert_string_equal(text, pairs[i][1]);
        free(text);
    }
}

/* POSIX.1-2017, Shell Command Language 2.2.1: a backslash before a newline joins the lines. */
static void a_command_to_paste_stays_one(void **state)
{
    static const char line[] = "  simpling spray note 'Kell Moss' --kind unsprayed --source "
                               "\"the tenant of the croft\" --on 2027-05-24\n";
    g_auto(GStrv) whole = NULL;

    (void)state;
    assert_true(g_shell_parse_argv(line, NULL, &whole, NULL));
    for (int width = 30; width <= 120; width++) {
        char *text = streamed(line, width);
        g_auto(GStrv) pieces = g_strsplit(text, "\\\n", -1), again = NULL;
        g_autofree char *joined = g_strjoinv("", pieces);

        assert_fits(text, MAX(width, 40));
        assert_true(g_shell_parse_argv(joined, NULL, &again, NULL));
        assert_true(g_strv_equal((const char *const *)whole, (const char *const *)again));
        free(text);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(text_is_folded_at_its_words),
    cmocka_unit_test(a_long_piece_breaks_behind_its_stroke_and_only_then_anywhere),
    cmocka_unit_test(width_is_counted_in_columns_not_in_octets),
    cmocka_unit_test(every_line_fits_the_terminal_and_no_word_is_cut),
    cmocka_unit_test(a_column_without_text_is_left_out),
    cmocka_unit_test(without_a_terminal_nothing_is_folded_or_cut),
    cmocka_unit_test(too_narrow_a_terminal_gets_entry_by_entry),
    cmocka_unit_test(what_is_long_stands_under_its_row),
    cmocka_unit_test(a_stream_breaks_what_is_too_wide_and_leaves_the_rest),
    cmocka_unit_test(a_command_to_paste_stays_one),
};
int main(int argc, char **argv)
{
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    setlocale(LC_CTYPE, "C.UTF-8");
    return cmocka_run_group_tests(tests, NULL, NULL);
}
