/* SPDX-License-Identifier: MIT
 *
 * Help: the manual's pages, from the same files as the man page and the site (base/manual.h). See
 * desk/page.h.
 */
#include <string.h>

#include "base/manual.h"
#include "desk/page.h"
#include "simpling/error.h"

#define FIRST "manual" /* the page that leads to the others */

static void put_link(struct spl_html *html, const struct spl_manual_span *span, const char *here)
{
    const char *parts[] = {span->page, NULL};

    spl_html_open(html, "a");
    if (span->page == NULL || strcmp(span->page, here) == 0)
        spl_html_place(html, span->id != NULL ? span->id : "page");
    else
        spl_html_link(html, "href", "/help", parts, NULL);
    spl_html_text(html, span->text);
    spl_html_close(html, "a");
}

static void put_text(struct spl_html *html, const char *text, const char *here)
{
    g_autoptr(GArray) spans = spl_manual_spans(text);

    for (guint i = 0; i < spans->len; i++) {
        const struct spl_manual_span *span = &g_array_index(spans, struct spl_manual_span, i);

        if (span->mark == SPL_MANUAL_LITERAL)
            spl_html_line(html, "code", NULL, span->text);
        else if (span->mark == SPL_MANUAL_STRONG)
            spl_html_line(html, "strong", NULL, span->text);
        else if (span->mark == SPL_MANUAL_LINK)
            put_link(html, span, here);
        else
            spl_html_text(html, span->text);
    }
}

static void put_heading(struct spl_html *html, const struct spl_manual_block *block)
{
    const char *text = g_ptr_array_index(block->texts, 0);
    const char *element = block->level == 2 ? "h2" : "h3";
    g_autofree char *id = spl_manual_id(text);

    if (block->level == 1) /* the page's own */
        return;
    spl_html_open(html, element);
    spl_html_attr(html, "id", id);
    spl_html_text(html, text);
    spl_html_close(html, element);
}

static void put_row(struct spl_html *html, const struct spl_manual_block *block, const char *here)
{
    gboolean head = block->kind == SPL_MANUAL_HEAD;

    spl_html_open(html, "tr");
    for (guint i = 0; i < block->texts->len; i++) {
        spl_html_open(html, head ? "th" : "td");
        spl_html_attr(html, "scope", head ? "col" : NULL);
        put_text(html, g_ptr_array_index(block->texts, i), here);
        spl_html_close(html, head ? "th" : "td");
    }
    spl_html_close(html, "tr");
}

/* What stands around a block: "ul", "table"; NULL: nothing. */
static const char *around(const struct spl_manual_block *block)
{
    switch (block->kind) {
    case SPL_MANUAL_ITEM:
        return "ul";
    case SPL_MANUAL_HEAD:
    case SPL_MANUAL_ROW:
        return "table";
    default:
        return NULL;
    }
}

static void put_block(struct spl_html *html, const struct spl_manual_block *block, const char *here)
{
    const char *text = g_ptr_array_index(block->texts, 0);

    switch (block->kind) {
    case SPL_MANUAL_HEADING:
        put_heading(html, block);
        break;
    case SPL_MANUAL_CODE:
        spl_html_open(html, "pre");
        spl_html_text(html, text);
        spl_html_close(html, "pre");
        break;
    case SPL_MANUAL_HEAD:
    case SPL_MANUAL_ROW:
        put_row(html, block, here);
        break;
    default: {
        const char *element = block->kind == SPL_MANUAL_ITEM ? "li" : "p";

        spl_html_open(html, element);
        put_text(html, text, here);
        spl_html_close(html, element);
    }
    }
}

static void put_blocks(struct spl_html *html, const GArray *blocks, const char *here)
{
    const char *open = NULL;

    for (guint i = 0; i < blocks->len; i++) {
        const struct spl_manual_block *block = &g_array_index(blocks, struct spl_manual_block, i);
        const char *wanted = around(block);

        if (open != NULL && (wanted != open || block->kind == SPL_MANUAL_HEAD)) {
            spl_html_close(html, open);
            open = NULL;
        }
        if (wanted != NULL && open == NULL) {
            spl_html_open(html, wanted);
            spl_html_attr(html, "class", "plain");
            open = wanted;
        }
        put_block(html, block, here);
    }
    if (open != NULL)
        spl_html_close(html, open);
}

/* The page's text; NULL with an error. */
static char *read_page(const struct spl_visit *visit, const char *name, GError **error)
{
    g_autofree char *file = g_strconcat(name, ".md", NULL);
    g_autofree char *path = g_build_filename(visit->where.data, "manual", file, NULL);
    gboolean plain = strspn(name, "abcdefghijklmnopqrstuvwxyz-") == strlen(name);
    char *text = NULL;

    if (!plain || !g_file_get_contents(path, &text, NULL, NULL)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND, "the manual has no page of this name");
        return NULL;
    }
    return text;
}

void spl_desk_help(struct spl_visit *visit)
{
    const char *name = spl_visit_of(visit) != NULL ? spl_visit_of(visit) : FIRST;
    g_autoptr(GError) error = NULL;
    g_autofree char *text = read_page(visit, name, &error);
    g_autoptr(GArray) blocks = text != NULL ? spl_manual_read(text, name, &error) : NULL;
    const char *find = spl_visit_asked(visit, "find");
    const struct spl_manual_block *first;
    struct spl_html *html;

    if (blocks == NULL || blocks->len == 0) {
        spl_desk_failure(visit, error);
        return;
    }
    first = &g_array_index(blocks, struct spl_manual_block, 0);
    html = spl_desk_begin(visit, g_ptr_array_index(first->texts, 0), "/help");
    if (strcmp(name, FIRST) != 0)
        spl_desk_go(html, "/help", NULL, "The manual");
    else
        spl_desk_go(html, "/tour", NULL, "The first day, step by step");
    spl_desk_ask_find(html, find);
    if (find != NULL)
        spl_desk_find(visit, html, find);
    put_blocks(html, blocks, name);
    spl_visit_page(visit, 200, spl_desk_end(html));
}
