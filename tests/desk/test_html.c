/* SPDX-License-Identifier: MIT
 *
 * The writer of HTML: whatever a text holds, it stays a text. What a text may become is by hand
 * from the HTML standard, sections 13.1 and 13.2.5 (tokenization); tests/browser/writer.mjs asks
 * two browsers. */
#include "desk/html.h"
#include "expect.h"

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

/* <ELEMENT>text</ELEMENT> without what stands before it. */
static char *inside(const char *element, const char *text)
{
    g_autoptr(GString) start = g_string_new("<");
    spl_html *html = spl_html_new();
    g_autofree char *page = NULL;
    const char *at = NULL;

    g_string_append_printf(start, "%s>", element);
    spl_html_line(html, element, NULL, text);
    page = spl_html_finish(html);
    at = strstr(page, start->str);
    assert_non_null(at);
    at += start->len;
    return g_strndup(at, (gsize)(strrchr(at, '<') - at));
}

static const struct {
    const char *text, *wanted;
} rows[] = {
    {"Withy Gill", "Withy Gill"},
    {"<script>alert(1)</script>", "&lt;script&gt;alert(1)&lt;/script&gt;"},
    {"a\" onload='x' `y`", "a&quot; onload=&#39;x&#39; &#96;y&#96;"},
    {"</textarea></title></style>", "&lt;/textarea&gt;&lt;/title&gt;&lt;/style&gt;"},
    {"<!-- --!> -->", "&lt;!-- --!&gt; --&gt;"},
    {"<![CDATA[ ]]>", "&lt;![CDATA[ ]]&gt;"},
    {"&lt; &amp &#60; &NotEqualTilde;", "&amp;lt; &amp;amp &amp;#60; &amp;NotEqualTilde;"},
    {"<?php ?><%= %>", "&lt;?php ?&gt;&lt;%= %&gt;"},
    {"h\xc3\xb6lle", "h&#xF6;lle"},
    {"\xf0\x9f\x8c\xbf", "&#x1F33F;"},
    /* Controls, C1 controls, noncharacters: the standard knows no reference to them. */
    {"a\001\033[2J\177b", "a&#xFFFD;&#xFFFD;[2J&#xFFFD;b"},
    {"\xc2\x80\xc2\x9f", "&#xFFFD;&#xFFFD;"},
    {"\xef\xbf\xbe\xef\xb7\x90", "&#xFFFD;&#xFFFD;"},
    {"a\tb\nc\r\nd\re", "a\tb\nc\nd\ne"},
    {"a\xe2\x80\xa8"
     "b\xe2\x80\xa9"
     "c",
     "a\nb\nc"},
    /* Turned round: "gpj.exe" shown as "exe.jpg". */
    {"\xe2\x80\xae"
     "gpj\xe2\x81\xa6\xe2\x80\x8f\xd8\x9c",
     "&#xFFFD;gpj&#xFFFD;&#xFFFD;&#xFFFD;"},
    /* Broken UTF-8: overlong '<' and NUL, a lone continuation, cut short, a surrogate, beyond. */
    {"\xc0\xbcscript", "&#xFFFD;&#xFFFD;script"},
    {"\xc0\x80", "&#xFFFD;&#xFFFD;"},
    {"a\x80z", "a&#xFFFD;z"},
    {"a\xe2\x82", "a&#xFFFD;&#xFFFD;"},
    {"\xe2\x82<b>", "&#xFFFD;&#xFFFD;&lt;b&gt;"},
    {"\xed\xa0\x80", "&#xFFFD;&#xFFFD;&#xFFFD;"},
    {"\xf4\x90\x80\x80", "&#xFFFD;&#xFFFD;&#xFFFD;&#xFFFD;"},
    /* Read as UTF-7 this once was a script. */
    {"+ADw-script+AD4-", "+ADw-script+AD4-"},
    {"", ""},
};

static void a_text_stays_a_text(void **state)
{
    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *p = inside("p", rows[i].text), *title = inside("title", rows[i].text);
        g_autofree char *area = inside("textarea", rows[i].text);

        assert_string_equal(p, rows[i].wanted);
        assert_string_equal(title, rows[i].wanted);
        assert_string_equal(area, rows[i].wanted);
        assert_true(g_str_is_ascii(p));
    }
}

static void a_value_stays_in_its_quotes(void **state)
{
    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        spl_html *html = spl_html_new();
        g_autofree char *page = NULL, *wanted = NULL;

        spl_html_open(html, "input");
        spl_html_attr(html, "value", rows[i].text);
        spl_html_attr(html, "title", NULL);
        spl_html_flag(html, "checked", TRUE);
        spl_html_flag(html, "disabled", FALSE);
        page = spl_html_finish(html);
        wanted = g_strdup_printf("<!DOCTYPE html><input value=\"%s\" checked>\n", rows[i].wanted);
        assert_string_equal(page, wanted);
    }
}

static void a_page_is_nested(void **state)
{
    spl_html *html = spl_html_new();
    g_autofree char *page = NULL;

    (void)state;
    spl_html_open(html, "p");
    spl_html_attr(html, "class", "v");
    spl_html_attr_number(html, "data-n", -3);
    spl_html_printf(html, "%s & ", "a");
    spl_html_name(html, "<b>");
    spl_html_open(html, "br");
    spl_html_text(html, "c");
    spl_html_raw(html, "&nbsp;<wbr>");
    spl_html_close(html, "p");
    spl_html_open(html, "textarea");
    spl_html_text(html, "\nkept");
    spl_html_text(html, "\nkept");
    spl_html_close(html, "textarea");
    spl_html_policy(html, "default-src 'none'");
    page = spl_html_finish(html);
    assert_string_equal(
        page, "<!DOCTYPE html>\n"
              "<p class=\"v\" data-n=\"-3\">a &amp; <bdi>&lt;b&gt;</bdi><br>c&nbsp;<wbr></p>"
              "<textarea>\n\nkept\nkept</textarea>\n"
              "<meta http-equiv=\"Content-Security-Policy\" "
              "content=\"default-src &#39;none&#39;\">\n");
}

/* RFC 3986, 2.1 to 2.3; "&" between pairs as the HTML standard writes it in a value. */
static void an_address_is_of_this_house(void **state)
{
    static const char *const site[] = {"javascript:alert(1)//\"><b>", "a/../b?c#d %2e", NULL};
    static const char *const moves[] = {"..", "", ".", NULL};
    static const char *const query[] = {"on", "2027-07-14",        "none", NULL,
                                        "q",  "a&b=c\xe2\x80\xae", NULL};
    spl_html *html = spl_html_new();
    g_autofree char *page = NULL;

    (void)state;
    spl_html_open(html, "a");
    spl_html_link(html, "href", "/place", site, query);
    spl_html_close(html, "a");
    spl_html_open(html, "form");
    spl_html_link(html, "action", "", NULL, NULL);
    spl_html_close(html, "form");
    spl_html_open(html, "a");
    spl_html_place(html, "p1\"x");
    spl_html_close(html, "a");
    spl_html_open(html, "a");
    spl_html_link(html, "href", "/place/", moves, NULL);
    spl_html_close(html, "a");
    page = spl_html_finish(html);
    assert_string_equal(
        page,
        "<!DOCTYPE html>"
        "<a href=\"/place/javascript%3Aalert%281%29%2F%2F%22%3E%3Cb%3E/a%2F..%2Fb%3Fc%23d%20%252e"
        "?on=2027-07-14&amp;q=a%26b%3Dc%E2%80%AE\"></a>\n"
        "<form action=\"\"></form><a href=\"#p1%22x\"></a><a href=\"/place/-/-/-\"></a>\n");
}

static void json_cannot_end_its_script(void **state)
{
    spl_html *html = spl_html_new();
    g_autofree char *page = NULL;

    (void)state;
    spl_html_open(html, "script");
    spl_html_attr(html, "type", "application/json");
    spl_html_json(html, "{\"a\":\"</script><!--<script>&\xe2\x80\xa8\xf0\x9f\x8c\xbf\"}");
    spl_html_close(html, "script");
    page = spl_html_finish(html);
    assert_string_equal(page, "<!DOCTYPE html>\n<script type=\"application/json\">"
                              "{\"a\":\"\\u003c/script\\u003e\\u003c!--\\u003cscript\\u003e\\u0026"
                              "\\u2028\\ud83c\\udf3f\"}</script>\n");
}

/* Wrong calls: each a defect of the house's own code, which ends the program. */
static void misnested(spl_html *html)
{
    spl_html_open(html, "p");
    spl_html_open(html, "b");
    spl_html_close(html, "p");
}
static void not_closed(spl_html *html)
{
    spl_html_open(html, "p");
    g_free(spl_html_finish(html));
}
static void unknown_element(spl_html *html)
{
    spl_html_open(html, "plaintext");
}
static void element_in_title(spl_html *html)
{
    spl_html_open(html, "title");
    spl_html_open(html, "b");
}
static void text_in_script(spl_html *html)
{
    spl_html_open(html, "script");
    spl_html_text(html, "a");
}
static void text_in_style(spl_html *html)
{
    spl_html_open(html, "style");
    spl_html_text(html, "a");
}
static void script_in_drawing(spl_html *html)
{
    spl_html_open(html, "svg");
    spl_html_open(html, "script");
}
static void script_attribute(spl_html *html)
{
    spl_html_open(html, "p");
    spl_html_attr(html, "onClick", "a");
}
static void style_attribute(spl_html *html)
{
    spl_html_open(html, "p");
    spl_html_attr(html, "style", "a");
}
static void address_attribute(spl_html *html)
{
    spl_html_open(html, "a");
    spl_html_attr(html, "HREF", "javascript:alert(1)");
}
static void foreign_attribute(spl_html *html)
{
    spl_html_open(html, "a");
    spl_html_attr(html, "x onload=y", "a");
}
static void late_attribute(spl_html *html)
{
    spl_html_open(html, "p");
    spl_html_text(html, "a");
    spl_html_attr(html, "class", "a");
}
static void other_house(spl_html *html)
{
    spl_html_open(html, "a");
    spl_html_link(html, "href", "//example.org", NULL, NULL);
}
static void scheme(spl_html *html)
{
    spl_html_open(html, "a");
    spl_html_link(html, "href", "javascript:alert", NULL, NULL);
}
static void script_that_ends(spl_html *html)
{
    spl_html_open(html, "script");
    spl_html_own(html, "'</script>'");
}
static void closed_void(spl_html *html)
{
    spl_html_open(html, "br");
    spl_html_close(html, "br");
}

static void a_wrong_call_ends_the_program(void **state)
{
    void (*const wrong[])(spl_html *) = {
        misnested,         not_closed,        unknown_element,  element_in_title, text_in_script,
        text_in_style,     script_in_drawing, script_attribute, style_attribute,  address_attribute,
        foreign_attribute, late_attribute,    other_house,      scheme,           script_that_ends,
        closed_void,
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(wrong); i++) {
        int status = 0;
        pid_t child = fork();

        assert_true(child >= 0);
        if (child == 0) {
            spl_html *html = spl_html_new();

            signal(SIGABRT, SIG_DFL); /* cmocka's own */
            (void)close(STDOUT_FILENO);
            (void)close(STDERR_FILENO);
            wrong[i](html);
            _exit(0);
        }
        assert_int_equal(waitpid(child, &status, 0), child);
        if (!WIFSIGNALED(status) || WTERMSIG(status) != SIGABRT)
            fail_msg("wrong call %zu is let through", i);
    }
}

/* Each element of the table is found, so that none stands out of its order. */
static void every_element_is_known(void **state)
{
    g_auto(GStrv) names = g_strsplit(
        "a abbr article b bdi body button caption circle code datalist dd defs details div dl dt "
        "em "
        "fieldset figcaption figure footer form g h1 h2 h3 h4 head header html i label legend li "
        "line "
        "main nav noscript ol optgroup option output p path pattern pre rect script section select "
        "small span strong style summary svg table tbody td template text textarea tfoot th thead "
        "time title tr ul",
        " ", -1);
    spl_html *html = spl_html_new();
    g_autofree char *page = NULL;

    (void)state;
    for (char **name = names; *name != NULL; name++) {
        spl_html_open(html, *name);
        spl_html_close(html, *name);
    }
    for (const char *const *name =
             (const char *const[]){"br", "hr", "img", "input", "link", "meta", NULL};
         *name != NULL; name++)
        spl_html_open(html, *name);
    page = spl_html_finish(html);
    assert_non_null(strstr(page, "<meta>"));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_text_stays_a_text),        cmocka_unit_test(a_value_stays_in_its_quotes),
    cmocka_unit_test(a_page_is_nested),           cmocka_unit_test(an_address_is_of_this_house),
    cmocka_unit_test(json_cannot_end_its_script), cmocka_unit_test(a_wrong_call_ends_the_program),
    cmocka_unit_test(every_element_is_known),
};

expect_main(tests)
