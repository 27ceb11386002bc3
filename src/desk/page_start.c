/* SPDX-License-Identifier: MIT
 *
 * No book yet: the first questions, whose answers make one. See desk/page.h.
 */
#include "desk/form.h"
#include "desk/page.h"
#include "simpling/error.h"
#include "simpling/start.h"

static void put_form(struct spl_visit *visit, struct spl_reading *reading)
{
    gboolean wrong = reading->errors->len > 0;
    struct spl_html *html =
        spl_desk_begin_bare(visit, wrong ? "Error: A new book" : "A new book", NULL);

    spl_form_summary(html, "f", reading);
    spl_desk_heading(html, "A new book");
    spl_html_open(html, "p");
    spl_html_text(html, "There is no book at ");
    spl_html_name(html, visit->where.book);
    spl_html_text(html, " yet. These answers make one; each may be left empty and said later.");
    spl_html_close(html, "p");
    spl_html_open(html, "form");
    spl_html_attr(html, "method", "post");
    spl_html_flag(html, "novalidate", TRUE);
    spl_html_link(html, "action", "/start", NULL, NULL);
    spl_form_fields(html, "f", reading, NULL);
    spl_form_end(html, "Make the book");
    spl_visit_page(visit, wrong ? 422 : 200, spl_desk_end(html));
}

void spl_desk_start(struct spl_visit *visit)
{
    struct spl_started started;
    struct spl_reading reading;
    GError *error = NULL;

    spl_reading_begin(&reading, &spl_start_inputs, visit->form, NULL);
    if (visit->form != NULL && reading.errors->len == 0) {
        if (spl_start(&visit->where, reading.said, &started, &error)) {
            struct spl_html *html = spl_desk_begin(visit, "Your book", NULL);

            spl_desk_cautions(html, started.cautions);
            spl_desk_values(html, &spl_started_shape, &started);
            spl_desk_say(html,
                         "Next: a place, who may gather there, and what is said of spraying.");
            spl_desk_go(html, "/tour", NULL, "The first day, step by step");
            spl_html_open(html, "p");
            spl_desk_act(html, "site-add", "A place", NULL);
            spl_html_close(html, "p");
            spl_record_clear(&spl_started_shape, &started);
            spl_visit_page(visit, 200, spl_desk_end(html));
            spl_reading_end(&reading);
            return;
        }
        spl_reading_wrong(&reading, error);
    }
    put_form(visit, &reading);
    spl_reading_end(&reading);
}
