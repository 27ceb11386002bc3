/* SPDX-License-Identifier: MIT
 *
 * /help?find=WORDS: where the manual speaks of them all, page by page, each place with its
 * heading. See desk/page.h.
 */
#include <string.h>

#include "base/manual.h"
#include "desk/page.h"

#define PLACES_MOST 40 /* of all pages; more say nothing to a reader */

/* A text as it is read, without its marks. Free with g_free. */
static char *plain_of(const struct spl_manual_block *block)
{
    GString *plain = g_string_new(NULL);

    for (guint i = 0; i < block->texts->len; i++) {
        g_autoptr(GArray) spans = spl_manual_spans(g_ptr_array_index(block->texts, i));

        if (i > 0)
            g_string_append(plain, ": ");
        for (guint k = 0; k < spans->len; k++)
            g_string_append(plain, g_array_index(spans, struct spl_manual_span, k).text);
    }
    return g_string_free(plain, FALSE);
}

/* Whatever the case. */
static gboolean has_all(const char *text, char **words)
{
    g_autofree char *folded = g_utf8_casefold(text, -1);
    gboolean any = FALSE;

    for (guint i = 0; words[i] != NULL; i++) {
        if (*words[i] == '\0')
            continue;
        any = TRUE;
        if (strstr(folded, words[i]) == NULL)
            return FALSE;
    }
    return any;
}

static void put_place(struct spl_html *html, const char *page, const char *heading,
                      const char *text)
{
    const char *parts[] = {page, NULL};

    spl_html_open(html, "li");
    spl_html_open(html, "a");
    spl_html_link(html, "href", "/help", parts, NULL);
    spl_html_text(html, heading);
    spl_html_close(html, "a");
    spl_html_text(html, ": ");
    spl_html_text(html, text);
    spl_html_close(html, "li");
}

/* How many places of this page were shown, at most `most`. */
static guint find_in(struct spl_html *html, const char *page, const GArray *blocks, char **words,
                     guint most)
{
    g_autofree char *heading = g_strdup(page);
    guint n = 0;

    for (guint i = 0; i < blocks->len && n < most; i++) {
        const struct spl_manual_block *block = &g_array_index(blocks, struct spl_manual_block, i);
        g_autofree char *text = plain_of(block);

        if (block->kind == SPL_MANUAL_HEADING) {
            g_free(heading);
            heading = g_strdup(text);
        }
        if (block->kind == SPL_MANUAL_HEAD || !has_all(text, words))
            continue;
        put_place(html, page, heading, text);
        n++;
    }
    return n;
}

static gint by_name(gconstpointer a, gconstpointer b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* The pages' names, sorted; empty when the folder cannot be read. */
static GPtrArray *pages_in(const char *folder)
{
    GPtrArray *names = g_ptr_array_new_with_free_func(g_free);
    GDir *dir = g_dir_open(folder, 0, NULL);
    const char *file;

    while (dir != NULL && (file = g_dir_read_name(dir)) != NULL)
        if (g_str_has_suffix(file, ".md"))
            g_ptr_array_add(names, g_strndup(file, strlen(file) - strlen(".md")));
    if (dir != NULL)
        g_dir_close(dir);
    g_ptr_array_sort(names, by_name);
    return names;
}

void spl_desk_find(struct spl_visit *visit, struct spl_html *html, const char *said)
{
    g_autofree char *folder = g_build_filename(visit->where.data, "manual", NULL);
    g_autofree char *folded = g_utf8_casefold(said, -1);
    g_auto(GStrv) words = g_strsplit_set(folded, " \t\r\n", -1);
    g_autoptr(GPtrArray) pages = pages_in(folder);
    guint n = 0;

    spl_html_open(html, "section");
    spl_desk_part(html, "Found in the manual");
    spl_html_open(html, "ul");
    for (guint i = 0; i < pages->len; i++) {
        const char *page = g_ptr_array_index(pages, i);
        g_autofree char *file = g_strconcat(page, ".md", NULL);
        g_autofree char *path = g_build_filename(folder, file, NULL), *text = NULL;
        g_autoptr(GArray) blocks = NULL;

        if (g_file_get_contents(path, &text, NULL, NULL))
            blocks = spl_manual_read(text, page, NULL);
        if (blocks != NULL)
            n += find_in(html, page, blocks, words, PLACES_MOST - n);
    }
    if (n == 0)
        spl_html_line(html, "li", NULL,
                      "Nothing: the manual has no place with all of these words. Try one alone.");
    spl_html_close(html, "ul");
    if (n == PLACES_MOST)
        spl_desk_note(html, "There are more; say one word more.");
    spl_html_close(html, "section");
}

void spl_desk_ask_find(struct spl_html *html, const char *said)
{
    spl_desk_ask_begin(html, "help");
    spl_desk_ask_field(html, "find", "Find in the manual", "words that stand in one place", said);
    spl_desk_ask_end(html, "Find");
}
