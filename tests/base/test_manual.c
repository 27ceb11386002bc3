/* SPDX-License-Identifier: MIT
 *
 * The manual: the part of Markdown that it is written in, and its own pages and links.
 */
#include "base/manual.h"

#include <glib/gstdio.h>
#include <string.h>

#include "expect.h"

static const struct spl_manual_block *block(const GArray *blocks, guint i)
{
    assert_true(i < blocks->len);
    return &g_array_index(blocks, struct spl_manual_block, i);
}

static const char *text_of(const GArray *blocks, guint i)
{
    return g_ptr_array_index(block(blocks, i)->texts, 0);
}

static void a_page_is_read_block_by_block(void **state)
{
    static const char page[] = "# Words\n\nOne word\nfor one.\n\n- a\n  b\n- c\n\n    x 'y'\n\n"
                               "      z\n\n| a | b |\n|--|--|\n| `c` | d |\n## Part\n";
    static const enum spl_manual_kind kinds[] = {
        SPL_MANUAL_HEADING, SPL_MANUAL_TEXT, SPL_MANUAL_ITEM, SPL_MANUAL_ITEM,
        SPL_MANUAL_CODE,    SPL_MANUAL_HEAD, SPL_MANUAL_ROW,  SPL_MANUAL_HEADING};
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) blocks = spl_manual_read(page, "page", &error);

    (void)state;
    expect_ok(error);
    assert_int_equal(blocks->len, G_N_ELEMENTS(kinds));
    for (guint i = 0; i < blocks->len; i++)
        assert_int_equal(block(blocks, i)->kind, kinds[i]);
    assert_string_equal(text_of(blocks, 1), "One word for one.");
    assert_string_equal(text_of(blocks, 2), "a b");
    assert_string_equal(text_of(blocks, 4), "x 'y'\n\n  z");
    assert_string_equal(g_ptr_array_index(block(blocks, 6)->texts, 1), "d");
    assert_int_equal(block(blocks, 7)->level, 2);
}

static void what_it_does_not_know_is_refused_with_its_line(void **state)
{
    static const char *const bad[][2] = {
        {"", "nothing"},
        {"words\n", "line 1: a page begins"},
        {"# A\n\n# B\n", "line 3: the title"},
        {"# A\n\n#### B\n", "line 3: a heading"},
        {"# A\n\n<b>x</b>\n", "line 3: this mark"},
        {"# A\n\n```\nx\n```\n", "line 3: this mark"},
        {"# A\n\nx\n   y\n", "line 4: set in by four"},
        {"# A\n\n| a | b |\n|--|--|\n| c |\n", "line 5: a row has as many"},
        {"# A\n\n| a | b\n", "line 3: a row ends"},
        {"# A\n\n|--|\n", "line 3: this stands below"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        g_autoptr(GError) error = NULL;

        assert_null(spl_manual_read(bad[i][0], "page", &error));
        expect_error(error, SPL_ERROR_CORRUPT, bad[i][1]);
        g_clear_error(&error);
    }
}

static void a_text_is_read_piece_by_piece(void **state)
{
    g_autoptr(GArray) spans =
        spl_manual_spans("say `a **b**` and **c**, see [Words](words.md#the-book), [here](#x) `");
    static const struct {
        enum spl_manual_mark mark;
        const char *text, *page, *id;
    } wanted[] = {
        {SPL_MANUAL_PLAIN, "say ", NULL, NULL},   {SPL_MANUAL_LITERAL, "a **b**", NULL, NULL},
        {SPL_MANUAL_PLAIN, " and ", NULL, NULL},  {SPL_MANUAL_STRONG, "c", NULL, NULL},
        {SPL_MANUAL_PLAIN, ", see ", NULL, NULL}, {SPL_MANUAL_LINK, "Words", "words", "the-book"},
        {SPL_MANUAL_PLAIN, ", ", NULL, NULL},     {SPL_MANUAL_LINK, "here", NULL, "x"},
        {SPL_MANUAL_PLAIN, " `", NULL, NULL},
    };

    (void)state;
    assert_int_equal(spans->len, G_N_ELEMENTS(wanted));
    for (guint i = 0; i < spans->len; i++) {
        const struct spl_manual_span *span = &g_array_index(spans, struct spl_manual_span, i);

        assert_int_equal(span->mark, wanted[i].mark);
        assert_string_equal(span->text, wanted[i].text);
        assert_int_equal(g_strcmp0(span->page, wanted[i].page), 0);
        assert_int_equal(g_strcmp0(span->id, wanted[i].id), 0);
    }
}

static GArray *page_of(const char *name)
{
    g_autofree char *path = g_strdup_printf(SPL_SOURCE_DIR "/data/manual/%s.md", name);
    g_autofree char *text = NULL;
    g_autoptr(GError) error = NULL;
    GArray *blocks;

    if (!g_file_get_contents(path, &text, NULL, &error))
        fail_msg("%s", error->message);
    blocks = spl_manual_read(text, name, &error);
    if (blocks == NULL)
        fail_msg("%s", error->message);
    return blocks;
}

static gboolean has_section(const char *page, const char *id)
{
    g_autoptr(GArray) blocks = page_of(page);

    for (guint i = 0; i < blocks->len; i++) {
        g_autofree char *own = spl_manual_id(text_of(blocks, i));

        if (block(blocks, i)->kind == SPL_MANUAL_HEADING && strcmp(own, id) == 0)
            return TRUE;
    }
    return FALSE;
}

/* Links of one text lead somewhere; adds the pages that they name. */
static void check_links(const char *page, const char *text, GHashTable *named)
{
    g_autoptr(GArray) spans = spl_manual_spans(text);

    for (guint i = 0; i < spans->len; i++) {
        const struct spl_manual_span *span = &g_array_index(spans, struct spl_manual_span, i);
        const char *to = span->page != NULL ? span->page : page;

        if (span->mark != SPL_MANUAL_LINK)
            continue;
        if (span->id != NULL && !has_section(to, span->id))
            fail_msg("%s.md: %s.md has no section %s", page, to, span->id);
        g_hash_table_add(named, g_strdup(to));
    }
}

static void every_page_is_read_and_every_link_leads_somewhere(void **state)
{
    g_autoptr(GHashTable) named = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(GDir) folder = g_dir_open(SPL_SOURCE_DIR "/data/manual", 0, NULL);
    g_autoptr(GPtrArray) pages = g_ptr_array_new_with_free_func(g_free);
    const char *file;

    (void)state;
    while ((file = g_dir_read_name(folder)) != NULL)
        g_ptr_array_add(pages, g_strndup(file, strlen(file) - strlen(".md")));
    assert_true(pages->len >= 8);
    g_hash_table_add(named, g_strdup("manual"));
    for (guint p = 0; p < pages->len; p++) {
        const char *page = g_ptr_array_index(pages, p);
        g_autoptr(GArray) blocks = page_of(page);

        for (guint i = 0; i < blocks->len; i++)
            for (guint t = 0; t < block(blocks, i)->texts->len; t++)
                check_links(page, g_ptr_array_index(block(blocks, i)->texts, t), named);
    }
    for (guint p = 0; p < pages->len; p++) {
        if (!g_hash_table_contains(named, g_ptr_array_index(pages, p)))
            fail_msg("no page leads to %s.md", (char *)g_ptr_array_index(pages, p));
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_page_is_read_block_by_block),
    cmocka_unit_test(what_it_does_not_know_is_refused_with_its_line),
    cmocka_unit_test(a_text_is_read_piece_by_piece),
    cmocka_unit_test(every_page_is_read_and_every_link_leads_somewhere),
};
expect_main(tests)
