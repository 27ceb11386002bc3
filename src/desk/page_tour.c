/* SPDX-License-Identifier: MIT
 *
 * The first day: what to do first, on the real pages, each step ticked when the book has it. See
 * desk/page.h.
 */
#include <string.h>

#include "desk/page.h"
#include "simpling/error.h"
#include "simpling/tour.h"

/* The forms of a step; two at most. */
struct way {
    const char *act; /* NULL: none */
    const char *words;
};

static const struct step {
    const char *key; /* of what the book has (spl_tour_step) */
    const char *title, *why;
    struct way ways[2];
} steps[] = {
    {"home",
     "Who you are, and where home is",
     "Your name stands in the log behind what you write; from home the outings begin, and its "
     "latitude says when the year turns.",
     {{NULL, NULL}, {NULL, NULL}}},
    {"place",
     "A place",
     "Where you gather, with its position: a stand's place stays in this book.",
     {{"site-add", "A new place"}, {NULL, NULL}}},
    {"leave",
     "Leave to gather",
     "Whose ground it is, and what they said: by word or by letter, for which parts, until when.",
     {{"site-permit", "Leave, given or refused"}, {NULL, NULL}}},
    {"spraying",
     "What was said of spraying",
     "Ground of which nobody knows is asked about and never taken for clean. Write down who said "
     "it, of which days.",
     {{"spray-note", "What was said of spraying"}, {NULL, NULL}}},
    {"hazard",
     "Fields, roads and rails beside it",
     "A hazard near a place closes it or asks, at the distance of its kind; the distances are "
     "yours to change, the law of your country comes first.",
     {{"hazard-add", "A field, road or other hazard"}, {NULL, NULL}}},
    {"stand",
     "What the place bears",
     "Counted or paced, it says how much the stand can spare; under twenty plants nothing is "
     "taken.",
     {{"stand-set", "What a place bears"}, {NULL, NULL}}},
    {"harvest",
     "The first harvest",
     "Name the plant by signs that its deadly look-alikes do not have; the form says which. When "
     "in doubt, leave it.",
     {{"harvest-add", "Log a harvest"}, {NULL, NULL}}},
    {"jar",
     "The first jar",
     "What was picked goes into a jar or onto a rack. The desk reckons herb and spirit and warns "
     "where it would not keep.",
     {{"batch-start", "A new jar"}, {"drying-start", "Herb on a rack"}}},
    {"lot",
     "Strained and bottled",
     "What comes out of the press is a lot with a code, a label and a date.",
     {{"batch-press", "Strain and press"}, {NULL, NULL}}},
    {"given",
     "Given out",
     "To a number, never to a name: the recall finds by it who has what.",
     {{"lot-use", "Give out"}, {NULL, NULL}}},
    {"plan",
     "The next batches, planned",
     "What is to be made wants herb, days and jars: the plan finds the outings and whom to call "
     "first.",
     {{"plan-add", "Plan a batch"}, {NULL, NULL}}},
};

static const struct spl_tour_step *find(const GArray *done, const char *key)
{
    for (guint i = 0; i < done->len; i++) {
        const struct spl_tour_step *step = &g_array_index(done, struct spl_tour_step, i);

        if (strcmp(step->key, key) == 0)
            return step;
    }
    g_assert_not_reached();
}

static void put_step(struct spl_html *html, const struct step *step,
                     const struct spl_tour_step *has, gboolean next)
{
    spl_html_open(html, "li");
    spl_html_line(html, "strong", NULL, step->title);
    spl_html_text(html, " ");
    spl_html_line(html, "span",
                  has->done ? "word clear"
                  : next    ? "word ask"
                            : "word",
                  has->done ? "done"
                  : next    ? "next"
                            : "to do");
    spl_html_line(html, "small", NULL, has->done ? has->words : step->why);
    if (strcmp(step->key, "home") == 0) {
        spl_html_open(html, "a");
        spl_html_link(html, "href", "/settings", NULL, NULL);
        spl_html_attr(html, "class", "act");
        spl_html_text(html, "Settings");
        spl_html_close(html, "a");
    }
    for (gsize i = 0; i < G_N_ELEMENTS(step->ways) && step->ways[i].act != NULL; i++)
        spl_desk_act(html, step->ways[i].act, step->ways[i].words, NULL);
    if (strcmp(step->key, "place") == 0) {
        const char *parts[] = {"places", NULL};

        spl_html_open(html, "a");
        spl_html_link(html, "href", "/files", parts, NULL);
        spl_html_attr(html, "class", "act");
        spl_html_text(html, "Places from a file");
        spl_html_close(html, "a");
    }
    spl_html_close(html, "li");
}

SPL_PAGE(tour)
{
    GArray *done = spl_tour(house, error);
    struct spl_html *html;
    gboolean next = TRUE;
    guint n = 0;

    if (done == NULL)
        return FALSE;
    for (gsize i = 0; i < G_N_ELEMENTS(steps); i++)
        n += find(done, steps[i].key)->done ? 1 : 0;
    html = spl_desk_begin(visit, "The first day", "/help");
    spl_html_open(html, "p");
    if (n == G_N_ELEMENTS(steps))
        spl_html_text(html, "All of it is in the book; from here on, Today says what is due.");
    else
        spl_html_printf(html,
                        "%u of %u steps are in the book. Each is the form that is used every day; "
                        "their order is only advice, and each may be done later.",
                        n, (guint)G_N_ELEMENTS(steps));
    spl_html_close(html, "p");
    spl_html_open(html, "ol");
    spl_html_attr(html, "class", "tour");
    for (gsize i = 0; i < G_N_ELEMENTS(steps); i++) {
        const struct spl_tour_step *has = find(done, steps[i].key);

        put_step(html, &steps[i], has, next && !has->done);
        next = next && has->done;
    }
    spl_html_close(html, "ol");
    spl_desk_note(html, "Gathering is for who may do so where you live: local codes, protected "
                        "plants and whoever licenses your practice come before what stands here.");
    spl_desk_go(html, "/help", NULL, "The manual");
    spl_list_free(&spl_tour_step_shape, done);
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}
