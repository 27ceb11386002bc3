/* SPDX-License-Identifier: MIT
 *
 * The recall: from "they sprayed" or from a code to the harvests, jars and bottles, and to whom
 * they went. As print it is the sheet. See desk/page.h.
 */
#include "desk/page.h"
#include "simpling/error.h"
#include "simpling/trace.h"

static void put_question(struct spl_visit *visit, struct spl_html *html)
{
    spl_desk_ask_begin(html, "recall");
    spl_desk_ask_field(html, "of", "Code or place",
                       "a code, as L26-003; or with a day below the place that was sprayed",
                       spl_visit_asked(visit, "of"));
    spl_desk_ask_field(html, "sprayed", "Sprayed on",
                       "the day, or the month: 2027-05; empty for a code",
                       spl_visit_asked(visit, "sprayed"));
    spl_desk_ask_field(html, "within", "Places within",
                       "so near to it too: 150m; empty: the place alone",
                       spl_visit_asked(visit, "within"));
    spl_desk_ask_end(html, "Follow it");
}

static void put_trace(struct spl_visit *visit, struct spl_html *html, const struct spl_trace *trace)
{
    gboolean any = trace->harvests->len + trace->purchases->len + trace->dryings->len +
                       trace->batches->len + trace->lots->len >
                   0;

    spl_desk_part(html, trace->of);
    if (!any)
        spl_desk_say(html, "Nothing in the book comes of it.");
    if (trace->lots->len > 0 && trace->uses->len == 0)
        spl_desk_say(html, "Nothing of these lots went out.");
    spl_desk_table(html, "To whom it went", &spl_lot_use_shape, trace->uses, NULL);
    spl_desk_table(html, "Lots", &spl_trace_lot_shape, trace->lots, NULL);
    spl_desk_table(html, "Jars", &spl_trace_batch_shape, trace->batches, NULL);
    spl_desk_table(html, "Dryings", &spl_trace_other_shape, trace->dryings, NULL);
    spl_desk_table(html, "Harvests", &spl_trace_harvest_shape, trace->harvests, NULL);
    spl_desk_table(html, "Bought in", &spl_trace_other_shape, trace->purchases, NULL);
    spl_desk_table(html, "What was said of spraying", &spl_trace_said_shape, trace->said, NULL);
    spl_desk_table(html, "What was said of the bottles", &spl_reaction_shape, trace->reactions,
                   NULL);
    if (any) {
        const char *query[] = {"of",      spl_visit_asked(visit, "of"),
                               "sprayed", spl_visit_asked(visit, "sprayed"),
                               "within",  spl_visit_asked(visit, "within"),
                               NULL};

        const char *sheet[] = {"what",    "recall",
                               "of",      spl_visit_asked(visit, "of"),
                               "sprayed", spl_visit_asked(visit, "sprayed"),
                               "within",  spl_visit_asked(visit, "within"),
                               NULL};

        spl_html_open(html, "p");
        spl_desk_act(html, "recall-withdraw", "Withdraw all these lots", query);
        if (spl_visit_asked(visit, "sprayed") != NULL) {
            const char *note[] = {"site", spl_visit_asked(visit, "of"),      "kind", "sprayed",
                                  "on",   spl_visit_asked(visit, "sprayed"), NULL};

            spl_desk_act(html, "spray-note", "Note that it was sprayed", note);
        }
        spl_desk_print(html, "The sheet, to print", sheet);
        spl_html_close(html, "p");
    }
}

SPL_PAGE(recall)
{
    static const char *const keys[] = {"of", "sprayed", "within"};
    struct spl_trace_words words;
    static const char *const paper[] = {"what", "recall", "form", "yes", NULL};
    struct spl_trace trace;
    struct spl_html *html;
    gboolean asked = spl_visit_asked(visit, "of") != NULL, done = TRUE;

    spl_inputs_init(&spl_trace_inputs, &words);
    for (gsize i = 0; i < G_N_ELEMENTS(keys) && done; i++) {
        const char *text = spl_visit_asked(visit, keys[i]);

        done = text == NULL || spl_inputs_read(&spl_trace_inputs, keys[i], text, &words, error);
    }
    if (done && asked)
        done = spl_trace_follow(house, &words, &trace, error);
    spl_inputs_clear(&spl_trace_inputs, &words);
    if (!done)
        return FALSE;
    html = spl_desk_begin(visit, "Recall", "/recall");
    put_question(visit, html);
    if (asked) {
        put_trace(visit, html, &trace);
        spl_record_clear(&spl_trace_shape, &trace);
    }
    if (!asked) {
        spl_html_open(html, "p");
        spl_desk_print(html, "A recall's sheet", paper);
        spl_html_close(html, "p");
    }
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}
