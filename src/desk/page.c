/* SPDX-License-Identifier: MIT
 *
 * The frame of every page. See desk/page.h.
 */
#include "desk/page.h"

#include <string.h>

static const struct {
    const char *path, *words;
} pages[] = {
    {"/", "Today"},        {"/places", "Places"},
    {"/season", "Season"}, {"/log", "Log"},
    {"/racks", "Racks"},   {"/jars", "Jars"},
    {"/shelf", "Shelf"},   {"/reckon", "Reckon"},
    {"/recall", "Recall"}, {"/questions", "Questions"},
    {"/files", "Files"},   {"/help", "Help"},
};

/* An address of ours that is no constant: in its first step and the rest. */
static void link_to(struct spl_html *html, const char *path)
{
    const char *parts[] = {path + 1, NULL};

    spl_html_link(html, "href", "/", path[1] != '\0' ? parts : NULL, NULL);
}

static void put_head(struct spl_html *html, const char *title)
{
    const char *style[] = {spl_style_name(), NULL};
    g_autofree char *whole = g_strconcat(title, " \xE2\x80\x93 simpling", NULL);

    spl_html_open(html, "html");
    spl_html_attr(html, "lang", "en");
    spl_html_open(html, "head");
    spl_html_raw(html, "\n<meta charset=\"utf-8\">"
                       "\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">"
                       "\n<meta name=\"color-scheme\" content=\"light dark\">");
    spl_html_line(html, "title", NULL, whole);
    spl_html_open(html, "link");
    spl_html_attr(html, "rel", "stylesheet");
    spl_html_link(html, "href", "/style", style, NULL);
    spl_html_raw(html, "\n<link rel=\"icon\" href=\"data:,\">");
    spl_html_close(html, "head");
}

static void put_pages(struct spl_html *html, const char *here)
{
    spl_html_open(html, "nav");
    spl_html_attr(html, "aria-label", "Pages of the book");
    spl_html_open(html, "ul");
    for (gsize i = 0; i < G_N_ELEMENTS(pages); i++) {
        spl_html_open(html, "li");
        spl_html_open(html, "a");
        link_to(html, pages[i].path);
        if (here != NULL && strcmp(here, pages[i].path) == 0)
            spl_html_attr(html, "aria-current", "page");
        spl_html_text(html, pages[i].words);
        spl_html_close(html, "a");
        spl_html_close(html, "li");
    }
    spl_html_close(html, "ul");
    spl_html_close(html, "nav");
}

static struct spl_html *begin(const struct spl_visit *visit, const char *window_title,
                              const char *here)
{
    struct spl_html *html = spl_html_new();

    put_head(html, window_title);
    spl_html_open(html, "body");
    spl_html_open(html, "a");
    spl_html_attr(html, "class", "skip");
    spl_html_place(html, "page");
    spl_html_text(html, "To the page");
    spl_html_close(html, "a");
    if (visit != NULL) {
        g_autofree char *day = spl_day_words(visit->where.today);

        spl_html_open(html, "header");
        put_pages(html, here);
        spl_html_open(html, "p");
        spl_html_attr(html, "class", "day");
        spl_html_printf(html, "%s ", day);
        spl_html_open(html, "a");
        spl_html_link(html, "href", "/settings", NULL, NULL);
        spl_html_text(html, "Settings");
        spl_html_close(html, "a");
        spl_html_text(html, " ");
        spl_html_open(html, "a");
        spl_html_link(html, "href", "/close", NULL, NULL);
        spl_html_text(html, "Close the desk");
        spl_html_close(html, "a");
        spl_html_close(html, "p");
        spl_html_close(html, "header");
    }
    spl_html_open(html, "main");
    spl_html_attr(html, "id", "page");
    spl_html_attr(html, "tabindex", "-1");
    return html;
}

struct spl_html *spl_desk_begin_bare(const struct spl_visit *visit, const char *window_title,
                                     const char *here)
{
    return begin(visit, window_title, here);
}

void spl_desk_heading(struct spl_html *html, const char *title)
{
    spl_html_open(html, "h1");
    spl_html_name(html, title);
    spl_html_close(html, "h1");
}

struct spl_html *spl_desk_begin(const struct spl_visit *visit, const char *title, const char *here)
{
    struct spl_html *html = spl_desk_begin_bare(visit, title, here);

    spl_desk_heading(html, title);
    return html;
}

void spl_desk_script(struct spl_html *html)
{
    const char *script[] = {spl_script_name(), NULL};

    spl_html_open(html, "script");
    spl_html_link(html, "src", "/script", script, NULL);
    spl_html_flag(html, "defer", TRUE);
    spl_html_close(html, "script");
}

char *spl_desk_end(struct spl_html *html)
{
    spl_html_close(html, "main");
    spl_html_close(html, "body");
    spl_html_close(html, "html");
    return spl_html_finish(html);
}

void spl_desk_part(struct spl_html *html, const char *title)
{
    spl_html_line(html, "h2", NULL, title);
}

void spl_desk_say(struct spl_html *html, const char *text)
{
    spl_html_open(html, "p");
    spl_desk_text(html, text);
    spl_html_close(html, "p");
}

void spl_desk_note(struct spl_html *html, const char *text)
{
    spl_html_open(html, "p");
    spl_html_attr(html, "class", "note");
    spl_desk_text(html, text);
    spl_html_close(html, "p");
}

/* Links -----------------------------------------------------------------------------------------
 */

static const char *page_of_kind(char kind)
{
    switch (kind) {
    case 'H':
        return "harvest";
    case 'D':
        return "drying";
    case 'B':
        return "batch";
    case 'L':
        return "lot";
    default:
        return NULL; /* has no page of its own */
    }
}

static gsize digits(const char *text)
{
    return strspn(text, "0123456789");
}

/* The length of the code that `text` begins with, with the mark of another book in front or
 * without; 0: none. `kind`: its letter. */
static gsize code_length(const char *text, char *kind)
{
    gsize mark = strspn(text, "ABCDEFGHIJKLMNOPQRSTUVWXYZ"), at = 0, n;

    if (mark >= 2 && mark <= 8 && text[mark] == ':')
        at = mark + 1;
    *kind = text[at];
    if (strchr("HPDBLUN", *kind) == NULL || *kind == '\0' || digits(text + at + 1) != 2 ||
        text[at + 3] != '-')
        return 0;
    n = digits(text + at + 4);
    return n >= 3 && !g_ascii_isalnum(text[at + 4 + n]) ? at + 4 + n : 0;
}

static void put_code(struct spl_html *html, const char *code, char kind)
{
    const char *page = page_of_kind(kind);
    const char *parts[] = {page, code, NULL};

    if (page == NULL) {
        spl_html_text(html, code);
        return;
    }
    spl_html_open(html, "a");
    spl_html_link(html, "href", "/", parts, NULL);
    spl_html_attr(html, "class", "code");
    spl_html_text(html, code);
    spl_html_close(html, "a");
}

void spl_desk_text(struct spl_html *html, const char *text)
{
    GString *plain = g_string_new(NULL);
    gboolean in_word = FALSE;

    while (*text != '\0') {
        char kind;
        gsize n = in_word ? 0 : code_length(text, &kind);

        if (n > 0) {
            g_autofree char *code = g_strndup(text, n);

            if (plain->len > 0)
                spl_html_text(html, plain->str);
            g_string_truncate(plain, 0);
            put_code(html, code, kind);
            text += n;
        } else {
            in_word = g_ascii_isalnum(*text) || (guchar)*text >= 0x80;
            g_string_append_c(plain, *text++);
        }
    }
    if (plain->len > 0)
        spl_html_text(html, plain->str);
    g_string_free(plain, TRUE);
}

void spl_desk_code(struct spl_html *html, const char *code)
{
    spl_desk_text(html, code);
}

/* A browser takes these two away from an address, escaped or not. A blank behind does no harm:
 * names are found without it. */
static char *step_of(const char *name)
{
    gboolean dots = strcmp(name, ".") == 0 || strcmp(name, "..") == 0;

    return g_strconcat(name, dots || *name == '\0' ? " " : "", NULL);
}

void spl_desk_place(struct spl_html *html, const char *name)
{
    g_autofree char *step = step_of(name);
    const char *parts[] = {step, NULL};

    spl_html_open(html, "a");
    spl_html_link(html, "href", "/place", parts, NULL);
    spl_html_name(html, name);
    spl_html_close(html, "a");
}

void spl_desk_plant(struct spl_html *html, const char *material)
{
    g_autofree char *plant = g_strndup(material, strcspn(material, "/")), *step = step_of(plant);
    const char *parts[] = {step, NULL};

    spl_html_open(html, "a");
    spl_html_link(html, "href", "/plant", parts, NULL);
    spl_html_text(html, material);
    spl_html_close(html, "a");
}

void spl_desk_print(struct spl_html *html, const char *words, const char *const *query)
{
    spl_html_open(html, "a");
    spl_html_link(html, "href", "/print", NULL, query);
    spl_html_attr(html, "class", "act");
    spl_html_text(html, words);
    spl_html_close(html, "a");
}

void spl_desk_acts_begin(struct spl_html *html)
{
    spl_html_open(html, "section");
    spl_html_attr(html, "class", "acts");
    spl_desk_part(html, "Write down");
    spl_html_open(html, "p");
}

void spl_desk_acts_end(struct spl_html *html)
{
    spl_html_close(html, "p");
    spl_html_close(html, "section");
}

void spl_desk_go_literal(struct spl_html *html, const char *path, const char *const *query,
                         const char *words)
{
    spl_html_open(html, "p");
    spl_html_open(html, "a");
    spl_html_link_literal(html, "href", path, NULL, query);
    spl_html_text(html, words);
    spl_html_close(html, "a");
    spl_html_close(html, "p");
}

void spl_desk_act(struct spl_html *html, const char *act, const char *words,
                  const char *const *query)
{
    const char *parts[] = {act, NULL};

    spl_html_open(html, "a");
    spl_html_link(html, "href", "/act", parts, query);
    spl_html_attr(html, "class", "act");
    spl_html_text(html, words);
    spl_html_close(html, "a");
}
