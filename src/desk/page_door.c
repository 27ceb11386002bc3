/* SPDX-License-Identifier: MIT
 *
 * Pages at the door: for who is not let in, and for who just was. They tell nothing of the book.
 */
#include "desk/page.h"

char *spl_desk_refused(unsigned status, const char *words)
{
    struct spl_html *html = spl_desk_begin_bare(NULL, "Not let in", NULL);

    spl_desk_heading(html, "Not let in");
    spl_html_line(html, "p", NULL, words);
    if (status == 403)
        spl_html_line(html, "p", NULL,
                      "Begin the desk once more where the program runs: it opens this one with a "
                      "fresh key. Nothing in the book was changed.");
    return spl_desk_end(html);
}

char *spl_desk_let_in(void)
{
    struct spl_html *html = spl_html_new();

    spl_html_open(html, "html");
    spl_html_attr(html, "lang", "en");
    spl_html_open(html, "head");
    spl_html_raw(html, "\n<meta charset=\"utf-8\">"
                       "\n<meta http-equiv=\"refresh\" content=\"0; url=/\">"
                       "\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">"
                       "\n<meta name=\"color-scheme\" content=\"light dark\">"
                       "\n<link rel=\"icon\" href=\"data:,\">");
    spl_html_line(html, "title", NULL, "The desk");
    spl_html_close(html, "head");
    spl_html_open(html, "body");
    spl_html_open(html, "p");
    spl_html_open(html, "a");
    spl_html_link(html, "href", "/", NULL, NULL);
    spl_html_text(html, "To the desk");
    spl_html_close(html, "a");
    spl_html_close(html, "p");
    spl_html_close(html, "body");
    spl_html_close(html, "html");
    return spl_html_finish(html);
}
