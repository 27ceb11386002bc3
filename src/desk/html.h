/* SPDX-License-Identifier: MIT
 *
 * Whole pages of HTML, written element by element: what comes from a book, a person or a file goes
 * in as text or as the value of an attribute and can be nothing else.
 *
 *     spl_html *html = spl_html_new();
 *
 *     spl_html_open(html, "p");
 *     spl_html_attr(html, "class", "verdict");
 *     spl_html_text(html, sentence);
 *     spl_html_name(html, site->name);
 *     spl_html_close(html, "p");
 *     char *page = spl_html_finish(html);
 *
 * The page is ASCII, every other character a reference, so that no guess about its encoding changes
 * it (https://html.spec.whatwg.org/multipage/syntax.html for what may stand where). Texts may be of
 * any bytes: what is no UTF-8, a control character, a noncharacter or a character that turns the
 * reading direction (U+202A-E, U+2066-9, U+200E, U+200F, U+061C) becomes U+FFFD, which can be seen;
 * CR, CR LF, U+2028 and U+2029 become a line feed.
 *
 * A page is built by our own code alone, so that a wrong call is a defect of it and ends the
 * program: an element that is not in the table of html.c, one closed that is not open, an attribute
 * after the content, text where only a literal may stand (script, style), an attribute that runs
 * script or holds an address. There is no way to write a comment, and none to write markup but from
 * a literal.
 */
#ifndef SPL_DESK_HTML_H
#define SPL_DESK_HTML_H

#include <glib.h>

typedef struct spl_html spl_html;

/* A page that is only begun: its DOCTYPE stands. */
spl_html *spl_html_new(void);

void spl_html_free(spl_html *html);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_html, spl_html_free)

/* The page, whose elements are all closed; ends with a line feed. Frees the writer; g_free the
 * text. */
char *spl_html_finish(spl_html *html);

/* An element begins. One without an end (br, input, …) is no parent of what follows. */
void spl_html_open(spl_html *html, const char *element);

/* Ends the element that was opened last; `element` is its name. */
void spl_html_close(spl_html *html, const char *element);

/* Attributes of the element that was opened last, before anything stands in it. `name` is ours;
 * NULL as value writes nothing. One that holds an address is written by spl_html_link and
 * spl_html_place. */
void spl_html_attr(spl_html *html, const char *name, const char *value);
/* The attributes of many elements alike: names and values by turns, NULL behind the last, as
 * spl_html_attr takes them. Free with g_free; for spl_html_attrs alone. */
char *spl_html_ready(const char *const *pairs);
void spl_html_attrs(spl_html *html, const char *ready);
void spl_html_attr_number(spl_html *html, const char *name, gint64 value);
/* An attribute that is there or not: checked, disabled, open, … */
void spl_html_flag(spl_html *html, const char *name, gboolean set);

/*
 * An address of this house as the value of href, src or action: `path` begins with one '/', or is
 * "" for the page itself; each of `parts` (NULL-ended, NULL: none) is one step more,
 * percent-encoded, so that a part may hold anything; "", "." and "..", which a browser would take
 * for other paths, stand as "-". `query` is pairs of key and value, NULL-ended; a pair whose value
 * is NULL is left out.
 */
#define spl_html_link(html, name, path, parts, query)                                              \
    spl_html_link_literal(html, name, "" path "", parts, query)

/* A place in the page: href="#ID". */
void spl_html_place(spl_html *html, const char *id);

/* <meta> with a Content-Security-Policy, for a page that is a file. */
void spl_html_policy(spl_html *html, const char *policy);

void spl_html_text(spl_html *html, const char *text);
void spl_html_printf(spl_html *html, const char *format, ...) G_GNUC_PRINTF(2, 3);

/* A name that somebody else gave, kept apart from the text around it when it is written from right
 * to left: <bdi>. */
void spl_html_name(spl_html *html, const char *name);

/* <element class="CLASS">text</element>; CLASS may be NULL. */
void spl_html_line(spl_html *html, const char *element, const char *class, const char *text);

/* Markup, script or style from a string constant of our own, and nothing else. */
#define spl_html_raw(html, literal) spl_html_raw_literal(html, "" literal "")

/* The whole of a script or style that is ours but no constant of C (a file built into the program).
 * It must not hold what would end its element. */
void spl_html_own(spl_html *html, const char *content);

/* JSON inside <script type="application/json">: what could end the element, and what is no ASCII,
 * stands as \u escapes. `json` is whole JSON as jansson writes it. */
void spl_html_json(spl_html *html, const char *json);

/* For the macros above. */
void spl_html_raw_literal(spl_html *html, const char *literal);
void spl_html_link_literal(spl_html *html, const char *name, const char *path,
                           const char *const *parts, const char *const *query);

#endif
