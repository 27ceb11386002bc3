/* SPDX-License-Identifier: MIT
 *
 * Prints a page of hostile texts for tests/browser/writer.mjs: each in an element, an attribute, a
 * textarea and an address, and all of them as JSON. */
#include "desk/html.h"

#include <stdio.h>

/* What a browser shows of each is the text itself: none of these holds what the writer changes. */
static const char *const texts[] = {
    "Withy Gill",
    "<script>ran = true</script>",
    "\"><script>ran = true</script>",
    "'><img src=x onerror='ran = true'>",
    "` onmouseover=ran=true autofocus onfocus=ran=true x=`",
    "</textarea><script>ran = true</script>",
    "</title><script>ran = true</script>",
    "</style></script><script>ran = true</script>",
    "<!--",
    "-->",
    "--!>",
    "<!-->",
    "<![CDATA[<b>]]>",
    "]]><script>ran = true</script>",
    "&lt;script&gt;",
    "&amp",
    "&#60;script&#62;",
    "&NotEqualTilde;",
    "&copy=1",
    "javascript:ran=true",
    "data:text/html,<script>ran=true</script>",
    "//example.invalid/x",
    "<svg onload=ran=true>",
    "<math><mtext></form><form><mglyph><style></math><img src onerror=ran=true>",
    "<iframe srcdoc='<script>parent.ran=true</script>'>",
    "<base href=http://example.invalid/>",
    "<meta http-equiv=refresh content='0;url=http://example.invalid/'>",
    "<plaintext>",
    "<noscript><p title='</noscript><img src=x onerror=ran=true>'>",
    "+ADw-script+AD4-ran=true+ADw-/script+AD4-",
    "h\xc3\xb6lle \xf0\x9f\x8c\xbf \xe6\xbc\xa2",
    "\nfirst line empty",
    "tab\tand\nline",
};

int main(void)
{
    spl_html *html = spl_html_new();
    g_autoptr(GString) json = g_string_new("[");
    g_autofree char *page = NULL;

    spl_html_open(html, "html");
    spl_html_attr(html, "lang", "en");
    spl_html_open(html, "head");
    spl_html_open(html, "meta");
    spl_html_attr(html, "charset", "utf-8");
    spl_html_line(html, "title", NULL, texts[6]);
    for (gsize i = 0; i < G_N_ELEMENTS(texts); i++) {
        g_string_append(json, i == 0 ? "\"" : ",\"");
        for (const char *at = texts[i]; *at != '\0'; at++) {
            if (*at == '"' || *at == '\\')
                g_string_append_c(json, '\\');
            if (*at == '\n')
                g_string_append(json, "\\n");
            else if (*at == '\t')
                g_string_append(json, "\\t");
            else
                g_string_append_c(json, *at);
        }
        g_string_append_c(json, '"');
    }
    g_string_append_c(json, ']');
    spl_html_open(html, "script");
    spl_html_attr(html, "type", "application/json");
    spl_html_attr(html, "id", "texts");
    spl_html_json(html, json->str);
    spl_html_close(html, "script");
    spl_html_close(html, "head");
    spl_html_open(html, "body");
    for (gsize i = 0; i < G_N_ELEMENTS(texts); i++) {
        const char *const parts[] = {texts[i], NULL};

        spl_html_open(html, "p");
        spl_html_attr(html, "data-text", texts[i]);
        spl_html_text(html, texts[i]);
        spl_html_close(html, "p");
        spl_html_line(html, "textarea", NULL, texts[i]);
        spl_html_open(html, "a");
        spl_html_link(html, "href", "/place", parts, NULL);
        spl_html_close(html, "a");
    }
    spl_html_close(html, "body");
    spl_html_close(html, "html");
    page = spl_html_finish(html);
    (void)fputs(page, stdout);
    return 0;
}
