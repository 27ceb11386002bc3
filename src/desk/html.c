/* SPDX-License-Identifier: MIT
 *
 * Pages of HTML over one GString. What each element is stands in a table: whether it has an end,
 * and how what stands in it is read.
 */
#include "desk/html.h"

#include <string.h>

enum content {
    CONTENT_MARKUP,
    CONTENT_VOID, /* has neither content nor end */
    CONTENT_TEXT, /* characters and references, no elements: the spec's "escapable raw text" */
    CONTENT_OWN,  /* neither elements nor references: script, style */
};

struct element {
    const char *name;
    enum content content;
    gboolean line; /* begins on a line of its own; between such elements white space says nothing */
};

/* clang-format off */
static const struct element elements[] = {
    {"a", CONTENT_MARKUP, FALSE},        {"abbr", CONTENT_MARKUP, FALSE},
    {"article", CONTENT_MARKUP, TRUE},   {"b", CONTENT_MARKUP, FALSE},
    {"bdi", CONTENT_MARKUP, FALSE},      {"body", CONTENT_MARKUP, TRUE},
    {"br", CONTENT_VOID, FALSE},         {"button", CONTENT_MARKUP, FALSE},
    {"caption", CONTENT_MARKUP, TRUE},   {"circle", CONTENT_MARKUP, TRUE},
    {"code", CONTENT_MARKUP, FALSE},     {"datalist", CONTENT_MARKUP, TRUE},
    {"dd", CONTENT_MARKUP, TRUE},        {"defs", CONTENT_MARKUP, TRUE},
    {"details", CONTENT_MARKUP, TRUE},   {"div", CONTENT_MARKUP, TRUE},
    {"dl", CONTENT_MARKUP, TRUE},        {"dt", CONTENT_MARKUP, TRUE},
    {"em", CONTENT_MARKUP, FALSE},       {"fieldset", CONTENT_MARKUP, TRUE},
    {"figcaption", CONTENT_MARKUP, TRUE},{"figure", CONTENT_MARKUP, TRUE},
    {"footer", CONTENT_MARKUP, TRUE},    {"form", CONTENT_MARKUP, TRUE},
    {"g", CONTENT_MARKUP, TRUE},         {"h1", CONTENT_MARKUP, TRUE},
    {"h2", CONTENT_MARKUP, TRUE},        {"h3", CONTENT_MARKUP, TRUE},
    {"h4", CONTENT_MARKUP, TRUE},        {"head", CONTENT_MARKUP, TRUE},
    {"header", CONTENT_MARKUP, TRUE},    {"hr", CONTENT_VOID, TRUE},
    {"html", CONTENT_MARKUP, TRUE},      {"i", CONTENT_MARKUP, FALSE},
    {"img", CONTENT_VOID, FALSE},        {"input", CONTENT_VOID, FALSE},
    {"label", CONTENT_MARKUP, FALSE},    {"legend", CONTENT_MARKUP, TRUE},
    {"li", CONTENT_MARKUP, TRUE},        {"line", CONTENT_MARKUP, TRUE},
    {"link", CONTENT_VOID, TRUE},        {"main", CONTENT_MARKUP, TRUE},
    {"meta", CONTENT_VOID, TRUE},        {"nav", CONTENT_MARKUP, TRUE},
    {"noscript", CONTENT_MARKUP, TRUE},  {"ol", CONTENT_MARKUP, TRUE},
    {"optgroup", CONTENT_MARKUP, TRUE},  {"option", CONTENT_MARKUP, TRUE},
    {"output", CONTENT_MARKUP, FALSE},   {"p", CONTENT_MARKUP, TRUE},
    {"path", CONTENT_MARKUP, TRUE},      {"pattern", CONTENT_MARKUP, TRUE},
    {"pre", CONTENT_MARKUP, TRUE},       {"rect", CONTENT_MARKUP, TRUE},
    {"script", CONTENT_OWN, TRUE},       {"section", CONTENT_MARKUP, TRUE},
    {"select", CONTENT_MARKUP, FALSE},   {"small", CONTENT_MARKUP, FALSE},
    {"span", CONTENT_MARKUP, FALSE},     {"strong", CONTENT_MARKUP, FALSE},
    {"style", CONTENT_OWN, TRUE},        {"summary", CONTENT_MARKUP, TRUE},
    {"svg", CONTENT_MARKUP, TRUE},       {"table", CONTENT_MARKUP, TRUE},
    {"tbody", CONTENT_MARKUP, TRUE},     {"td", CONTENT_MARKUP, TRUE},
    {"template", CONTENT_MARKUP, TRUE},  {"text", CONTENT_MARKUP, TRUE},
    {"textarea", CONTENT_TEXT, FALSE},   {"tfoot", CONTENT_MARKUP, TRUE},
    {"th", CONTENT_MARKUP, TRUE},        {"thead", CONTENT_MARKUP, TRUE},
    {"time", CONTENT_MARKUP, FALSE},     {"title", CONTENT_TEXT, TRUE},
    {"tr", CONTENT_MARKUP, TRUE},        {"ul", CONTENT_MARKUP, TRUE},
};
/* clang-format on */

/* Attributes whose value is an address or script. */
static const char *const addresses[] = {
    "action",   "background", "cite",    "data",     "formaction", "href",  "manifest",
    "ping",     "poster",     "src",     "srcset",   "srcdoc",     "style", "xlink:href",
    "longdesc", "usemap",     "classid", "codebase", "http-equiv"};

struct spl_html {
    GString *out;
    GPtrArray *open;           /* of const struct element, borrowed */
    const struct element *tag; /* whose attributes are being written; NULL: none */
    guint apart;               /* how many of the open elements keep their white space */
    guint drawings;            /* how many of them are svg */
};

static const struct element *find(const char *name)
{
    gsize low = 0, high = G_N_ELEMENTS(elements);

    while (low < high) {
        gsize middle = (low + high) / 2;
        const char *there = elements[middle].name;
        int order = *name != *there ? *name - *there : strcmp(name, there);

        if (order == 0)
            return &elements[middle];
        if (order < 0)
            high = middle;
        else
            low = middle + 1;
    }
    return NULL;
}

static guint keeps_space(const struct element *element)
{
    return element->content == CONTENT_TEXT || strcmp(element->name, "pre") == 0 ? 1 : 0;
}

static guint is_drawing(const struct element *element)
{
    return strcmp(element->name, "svg") == 0 ? 1 : 0;
}

static const struct element *innermost(const spl_html *html)
{
    return html->open->len == 0 ? NULL : html->open->pdata[html->open->len - 1];
}

/* Ends the start tag, when one is being written: TRUE. */
static gboolean end_tag(spl_html *html)
{
    if (html->tag == NULL)
        return FALSE;
    g_string_append_c(html->out, '>');
    html->tag = NULL;
    return TRUE;
}

spl_html *spl_html_new(void)
{
    spl_html *html = g_new0(spl_html, 1);

    html->out = g_string_sized_new(16 * 1024);
    html->open = g_ptr_array_new();
    g_string_append(html->out, "<!DOCTYPE html>");
    return html;
}

void spl_html_free(spl_html *html)
{
    if (html == NULL)
        return;
    if (html->out != NULL)
        g_string_free(html->out, TRUE);
    g_ptr_array_unref(html->open);
    g_free(html);
}

char *spl_html_finish(spl_html *html)
{
    char *page = NULL;

    end_tag(html);
    g_assert(html->open->len == 0);
    g_string_append_c(html->out, '\n');
    page = g_string_free(g_steal_pointer(&html->out), FALSE);
    spl_html_free(html);
    return page;
}

void spl_html_open(spl_html *html, const char *name)
{
    const struct element *element = find(name), *parent = innermost(html);

    g_assert(element != NULL);
    g_assert(parent == NULL || parent->content == CONTENT_MARKUP);
    end_tag(html);
    if (element->line && html->apart == 0)
        g_string_append_c(html->out, '\n');
    g_string_append_c(html->out, '<');
    g_string_append(html->out, element->name);
    html->tag = element;
    if (element->content == CONTENT_VOID)
        return;
    g_ptr_array_add(html->open, (gpointer)element);
    /* In a drawing these hold markup. */
    g_assert(element->content != CONTENT_OWN || html->drawings == 0);
    html->apart += keeps_space(element);
    html->drawings += is_drawing(element);
}

void spl_html_close(spl_html *html, const char *name)
{
    const struct element *element = innermost(html);

    g_assert(element != NULL && strcmp(element->name, name) == 0);
    end_tag(html);
    html->apart -= keeps_space(element);
    html->drawings -= is_drawing(element);
    g_string_append_len(html->out, "</", 2);
    g_string_append(html->out, element->name);
    g_string_append_c(html->out, '>');
    g_ptr_array_set_size(html->open, (gint)html->open->len - 1);
}

/* Whether a page shows `c` as it is; what it does not is U+FFFD there. */
static gboolean shows(gunichar c)
{
    if (c < 0x20)
        return c == '\t' || c == '\n';
    if (c >= 0x7F && c < 0xA0)
        return FALSE; /* the spec reads references to these as other characters */
    if ((c & 0xFFFE) == 0xFFFE || (c >= 0xFDD0 && c <= 0xFDEF))
        return FALSE;
    return !((c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069) || c == 0x200E ||
             c == 0x200F || c == 0x061C);
}

static void append_character(GString *out, gunichar c)
{
    switch (c) {
    case '&':
        g_string_append(out, "&amp;");
        break;
    case '<':
        g_string_append(out, "&lt;");
        break;
    case '>':
        g_string_append(out, "&gt;");
        break;
    case '"':
        g_string_append(out, "&quot;");
        break;
    case '\'':
        g_string_append(out, "&#39;");
        break;
    case '`':
        g_string_append(out, "&#96;"); /* an old reader's third quote */
        break;
    default:
        if (c < 0x7F)
            g_string_append_c(out, (char)c);
        else
            g_string_append_printf(out, "&#x%X;", c);
    }
}

/* How many bytes stand for themselves on any page: most of a text, taken at once. */
static gsize plain_run(const char *text)
{
    const char *at = text;

    while (*at >= 0x20 && *at < 0x7F && *at != '&' && *at != '<' && *at != '>' && *at != '"' &&
           *at != '\'' && *at != '`')
        at++;
    return (gsize)(at - text);
}

/* The text as characters and references; the same form does in an element and in an attribute that
 * stands in quotes. */
static void append_escaped(GString *out, const char *text)
{
    while (*text != '\0') {
        const gsize plain = plain_run(text);
        gunichar c;

        if (plain > 0) {
            g_string_append_len(out, text, (gssize)plain);
            text += plain;
            continue;
        }
        c = g_utf8_get_char_validated(text, -1);

        if (c == (gunichar)-1 || c == (gunichar)-2) {
            append_character(out, 0xFFFD);
            text++;
            continue;
        }
        text = g_utf8_next_char(text);
        if (c == '\r') {
            if (*text == '\n')
                continue;
            c = '\n';
        } else if (c == 0x2028 || c == 0x2029) {
            c = '\n';
        }
        append_character(out, shows(c) ? c : 0xFFFD);
    }
}

static gboolean is_name(const char *name)
{
    const char *at = name;

    while (g_ascii_isalnum(*at) || *at == '-' || *at == ':')
        at++;
    return at > name && *at == '\0';
}

/* HTML knows no case in names. */
static gboolean runs_script(const char *name)
{
    return (name[0] == 'o' || name[0] == 'O') && (name[1] == 'n' || name[1] == 'N');
}

static gboolean takes_address(const char *name)
{
    const char first = g_ascii_tolower(*name);

    for (gsize i = 0; i < G_N_ELEMENTS(addresses); i++)
        if (first == *addresses[i] && g_ascii_strcasecmp(name, addresses[i]) == 0)
            return TRUE;
    return FALSE;
}

static void begin_attribute(spl_html *html, const char *name)
{
    g_assert(html->tag != NULL);
    g_assert(is_name(name));
    g_string_append_c(html->out, ' ');
    g_string_append(html->out, name);
}

void spl_html_attr(spl_html *html, const char *name, const char *value)
{
    g_assert(!runs_script(name) && !takes_address(name));
    g_assert(html->tag != NULL);
    if (value == NULL)
        return;
    begin_attribute(html, name);
    g_string_append(html->out, "=\"");
    append_escaped(html->out, value);
    g_string_append_c(html->out, '"');
}

char *spl_html_ready(const char *const *pairs)
{
    spl_html html = {.out = g_string_new(NULL), .tag = &elements[0]};

    for (; *pairs != NULL; pairs += 2)
        spl_html_attr(&html, pairs[0], pairs[1]);
    return g_string_free(html.out, FALSE);
}

void spl_html_attrs(spl_html *html, const char *ready)
{
    g_assert(html->tag != NULL);
    g_string_append(html->out, ready);
}

void spl_html_attr_number(spl_html *html, const char *name, gint64 value)
{
    char text[32];

    g_snprintf(text, sizeof text, "%" G_GINT64_FORMAT, value);
    spl_html_attr(html, name, text);
}

void spl_html_flag(spl_html *html, const char *name, gboolean set)
{
    if (set)
        begin_attribute(html, name);
}

/* RFC 3986, 2.3: all but its unreserved characters as %XX of the bytes. */
static void append_percent(GString *out, const char *text)
{
    for (const char *at = text; *at != '\0'; at++) {
        if (g_ascii_isalnum(*at) || strchr("-._~", *at) != NULL)
            g_string_append_c(out, *at);
        else
            g_string_append_printf(out, "%%%02X", (guint)(guchar)*at);
    }
}

void spl_html_link_literal(spl_html *html, const char *name, const char *path,
                           const char *const *parts, const char *const *query)
{
    char before = '?';

    g_assert(strcmp(name, "href") == 0 || strcmp(name, "src") == 0 || strcmp(name, "action") == 0);
    /* "//host" would be another house; what is no path could be "javascript:". */
    g_assert(path[0] == '\0' || (path[0] == '/' && path[1] != '/'));
    g_assert(strpbrk(path, "?#\\\"'<>& ") == NULL);
    begin_attribute(html, name);
    g_string_append_printf(html->out, "=\"%s", path);
    for (; parts != NULL && *parts != NULL; parts++) {
        gboolean moves = **parts == '\0' || strcmp(*parts, ".") == 0 || strcmp(*parts, "..") == 0;

        if (html->out->str[html->out->len - 1] != '/')
            g_string_append_c(html->out, '/');
        append_percent(html->out, moves ? "-" : *parts);
    }
    for (; query != NULL && *query != NULL; query += 2) {
        if (query[1] == NULL)
            continue;
        if (before == '?')
            g_string_append_c(html->out, '?');
        else
            g_string_append(html->out, "&amp;");
        before = '&';
        append_percent(html->out, query[0]);
        g_string_append_c(html->out, '=');
        append_percent(html->out, query[1]);
    }
    g_string_append_c(html->out, '"');
}

void spl_html_place(spl_html *html, const char *id)
{
    begin_attribute(html, "href");
    g_string_append(html->out, "=\"#");
    append_percent(html->out, id);
    g_string_append_c(html->out, '"');
}

void spl_html_policy(spl_html *html, const char *policy)
{
    spl_html_open(html, "meta");
    g_string_append(html->out, " http-equiv=\"Content-Security-Policy\"");
    spl_html_attr(html, "content", policy);
}

void spl_html_text(spl_html *html, const char *text)
{
    const struct element *parent = innermost(html);
    gboolean first = end_tag(html);
    gsize start = html->out->len;

    g_assert(parent != NULL && parent->content != CONTENT_OWN);
    append_escaped(html->out, text);
    /* The first line feed after these is no part of their content. */
    if (first && keeps_space(parent) != 0 && html->out->str[start] == '\n')
        g_string_insert_c(html->out, (gssize)start, '\n');
}

void spl_html_printf(spl_html *html, const char *format, ...)
{
    g_autofree char *text = NULL;
    va_list values;

    va_start(values, format);
    text = g_strdup_vprintf(format, values);
    va_end(values);
    spl_html_text(html, text);
}

void spl_html_line(spl_html *html, const char *element, const char *class, const char *text)
{
    spl_html_open(html, element);
    spl_html_attr(html, "class", class);
    spl_html_text(html, text);
    spl_html_close(html, element);
}

void spl_html_name(spl_html *html, const char *name)
{
    spl_html_line(html, "bdi", NULL, name);
}

void spl_html_raw_literal(spl_html *html, const char *literal)
{
    end_tag(html);
    g_string_append(html->out, literal);
}

void spl_html_own(spl_html *html, const char *content)
{
    const struct element *parent = innermost(html);

    g_assert(parent != NULL && parent->content == CONTENT_OWN);
    /* "<!--" and "<script" change how the rest of a script is read. */
    g_assert(strstr(content, "</") == NULL && strstr(content, "<!--") == NULL &&
             strstr(content, "<script") == NULL && g_str_is_ascii(content));
    end_tag(html);
    g_string_append(html->out, content);
}

void spl_html_json(spl_html *html, const char *json)
{
    const struct element *parent = innermost(html);

    g_assert(parent != NULL && strcmp(parent->name, "script") == 0);
    g_assert(g_utf8_validate(json, -1, NULL));
    end_tag(html);
    for (const char *at = json; *at != '\0'; at = g_utf8_next_char(at)) {
        gunichar c = g_utf8_get_char(at);

        if (c >= 0x10000)
            g_string_append_printf(html->out, "\\u%04x\\u%04x", 0xD800 + ((c - 0x10000) >> 10),
                                   0xDC00 + ((c - 0x10000) & 0x3FF));
        else if (c >= 0x7F || c == '<' || c == '>' || c == '&')
            g_string_append_printf(html->out, "\\u%04x", c);
        else
            g_string_append_c(html->out, (char)c);
    }
}
