/* SPDX-License-Identifier: MIT
 *
 * Closing the desk: who began it from the menu has no terminal to end it in. See desk/page.h.
 */
#include "desk/form.h"
#include "desk/page.h"

void spl_desk_close(struct spl_visit *visit)
{
    struct spl_html *html;

    if (visit->form != NULL) {
        html = spl_desk_begin_bare(NULL, "The desk is closed", NULL);
        spl_desk_heading(html, "The desk is closed");
        spl_desk_say(html, "All that was confirmed is in the book. Begin the desk again from the "
                           "menu, or where the program runs; this window can be closed.");
        visit->ends = TRUE;
    } else {
        html = spl_desk_begin(visit, "Close the desk", NULL);
        spl_desk_say(html, "All that was confirmed is in the book. What stands in forms of other "
                           "windows and was not sent is not; it can be sent when the desk is begun "
                           "again.");
        spl_html_open(html, "form");
        spl_html_attr(html, "method", "post");
        spl_html_link(html, "action", "/close", NULL, NULL);
        spl_form_end(html, "Close the desk");
    }
    spl_visit_page(visit, 200, spl_desk_end(html));
}
