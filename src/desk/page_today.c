/* SPDX-License-Identifier: MIT
 *
 * Today: what is stopped, where to go, whom to call, what the jars want, what runs short; in the
 * order of the year. See desk/page.h.
 */
#include <string.h>

#include "desk/form.h"
#include "desk/page.h"
#include "simpling/drying.h"
#include "simpling/error.h"
#include "simpling/harvest.h"
#include "simpling/today.h"

/* What the page shows. */
struct showing {
    struct spl_visit *visit;
    struct spl_html *html;
    struct spl_today today;
    GArray *picked; /* struct spl_picked */
    GArray *racks;  /* struct spl_drying: what is on them */
};

static void put_stop_act(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_today_stop *stop = record;

    (void)data;
    for (guint i = 0; stop->because != NULL && i < stop->because->len; i++) {
        const struct spl_cause *cause = &g_array_index(stop->because, struct spl_cause, i);

        spl_desk_next(html, cause->next);
    }
}

static void put_weight_act(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_today_missing *missing = record;
    const char *query[] = {"code", missing->code, NULL};

    (void)data;
    spl_desk_act(html, "harvest-weigh", "Weigh it", query);
}

static void put_call_act(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_plan_call *call = record;
    const char *word[] = {"site", call->site, "kind", "unsprayed", "source", call->who, NULL};
    const char *leave[] = {"site", call->site, "by", call->who, NULL};

    (void)data;
    spl_desk_act(html, "spray-note", "What they say of spraying", word);
    spl_desk_act(html, "site-permit", "Their leave", leave);
}

static void put_gather_act(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_today_opening *opening = record;
    const char *query[] = {"site", opening->site, "material", opening->material, NULL};

    (void)data;
    spl_desk_act(html, "harvest-add", "Log it", query);
}

static void put_press_act(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_today_press *press = record;
    g_auto(GStrv) jars = g_strsplit(press->jars != NULL ? press->jars : "", ", ", -1);
    const char *query[] = {"jars.0.code", jars[0], NULL};

    (void)data;
    spl_desk_act(html, "batch-press", "Press it", query);
}

/* Counted where it stands: the figure, and Enter. */
static void put_lot_act(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_today_expiring *expiring = record;
    g_autofree char *id = g_strconcat("count-", expiring->code, NULL),
                    *label = g_strconcat("Of ", expiring->code, " stand", NULL);
    const char *code[] = {"code", expiring->code, NULL};

    (void)data;
    g_strdelimit(id, ":", '-');
    spl_form_begin(html, "lot-count");
    spl_form_hidden(html, "code", expiring->code);
    spl_form_line(html, id, "amount", label, NULL);
    spl_form_end(html, "Counted");
    spl_desk_act(html, "discard", "Thrown away", code);
}

static void put_picked_act(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_picked *picked = record;
    const char *rack[] = {"from", picked->code, NULL}, *jar[] = {"from", picked->code, NULL};
    const char *last[] = {"preparation", picked->preparation, "from", picked->code, "as", "last",
                          NULL};

    (void)data;
    if (picked->last != NULL) {
        g_autofree char *words = g_strdup_printf("A jar as %s", picked->last);

        spl_desk_act(html, "batch-start", words, last);
    }
    spl_desk_act(html, "batch-start", "Into a jar", jar);
    spl_desk_act(html, "drying-start", "Onto a rack", rack);
}

static void put_rack_act(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_drying *drying = record;
    const char *code[] = {"code", drying->code, NULL};

    (void)data;
    spl_desk_act(html, "drying-weigh", "Weigh", code);
    spl_desk_act(html, "drying-turn", "Turned", code);
    spl_desk_act(html, "drying-finish", "Take down", code);
}

static gboolean is_of_a_moment(const char *step)
{
    return strcmp(step, "shake") == 0 || strcmp(step, "look") == 0 || strcmp(step, "turn") == 0;
}

/* Steps that are a matter of a moment, all ticked: one touch for all, or for all but one. */
static void put_steps(const struct showing *showing)
{
    struct spl_html *html = showing->html;
    const GArray *due = showing->today.due;
    guint n = 0;

    for (int pass = 0; pass < 2; pass++) {
        if (pass == 1 && n == 0)
            return;
        if (pass == 1) {
            spl_form_begin(html, "steps-done");
            spl_form_send(html, "These are done today");
        }
        for (guint i = 0; i < due->len; i++) {
            const struct spl_today_due *step = &g_array_index(due, struct spl_today_due, i);

            if (!is_of_a_moment(step->step) ||
                spl_day_compare(step->due, showing->visit->where.today) > 0)
                continue;
            if (pass == 0)
                n++;
            else
                spl_form_tick(html, "steps", step->code, step->step, step->what,
                              n > 1 ? "but" : NULL);
        }
    }
    spl_form_close(html);
}

/* One touch moves it to its reserve day. */
static void put_rained_off(const struct showing *showing)
{
    char day[SPL_DAY_TEXT_SIZE];

    if (showing->today.outing->len == 0)
        return;
    spl_form_begin(showing->html, "outing-move");
    spl_form_hidden(showing->html, "day", spl_day_format(showing->visit->where.today, day));
    spl_form_hidden(showing->html, "to", "reserve");
    spl_form_end(showing->html, "Rained off: on its reserve day");
}

static void put_step_act(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_today_due *due = record;
    const char *press[] = {"jars.0.code", due->code, NULL};
    const char *step[] = {"code", due->code, "step", due->step, NULL};

    (void)data;
    if (strcmp(due->step, "strain") == 0 || strcmp(due->step, "ready") == 0)
        spl_desk_act(html, "batch-press", "Strain and press", press);
    if (strcmp(due->step, "strain") != 0)
        spl_desk_act(html, "batch-step", "Note it", step);
}

/* The parts, in four groups whose order follows the year ----------------------------------------
 */

/* Where to go, whom to ask, what is ready. */
static void put_ground(const struct showing *showing)
{
    struct spl_html *html = showing->html;
    const struct spl_today *today = &showing->today;

    spl_desk_table_acts(html, "Calls to make", &spl_plan_call_shape, today->calls, NULL,
                        put_call_act, NULL);
    spl_desk_table_acts(html, "Can be gathered", &spl_today_opening_shape, today->gather, NULL,
                        put_gather_act, NULL);
    spl_desk_table(html, "Opens soon", &spl_today_opening_shape, today->opening, NULL);
    spl_desk_table(html, "Runs short", &spl_today_short_shape, today->shortage, NULL);
}

/* What came home: onto the scales, into a jar, onto a rack and off it. */
static void put_herb(const struct showing *showing)
{
    struct spl_html *html = showing->html;

    spl_desk_table_acts(html, "Weights missing", &spl_today_missing_shape,
                        showing->today.missing_weights, NULL, put_weight_act, NULL);
    spl_desk_table_acts(html, "Picked, and not put up yet", &spl_picked_shape, showing->picked,
                        "last", put_picked_act, NULL);
    spl_desk_table_acts(html, "On the racks", &spl_drying_shape, showing->racks,
                        "kind finished dry_g garbled_g fresh_per_dry left_g", put_rack_act, NULL);
}

static void put_jars(const struct showing *showing)
{
    struct spl_html *html = showing->html;

    spl_desk_table_acts(html, "Steps due", &spl_today_due_shape, showing->today.due, NULL,
                        put_step_act, NULL);
    put_steps(showing);
    spl_desk_table_acts(html, "Runs out, and a jar is ready", &spl_today_press_shape,
                        showing->today.to_press, NULL, put_press_act, NULL);
}

static void put_shelf(const struct showing *showing)
{
    struct spl_html *html = showing->html;

    spl_desk_table_acts(html, "Out of date, or soon", &spl_today_expiring_shape,
                        showing->today.expiring, NULL, put_lot_act, NULL);
    spl_html_open(html, "section");
    spl_html_attr(html, "class", "acts");
    spl_desk_part(html, "Giving out");
    spl_form_begin(html, "lot-use");
    spl_form_hidden(html, "again", "yes");
    spl_form_line(html, "again-for", "for", "The same again for (a number, never a name)", NULL);
    spl_form_end(html, "Given out");
    spl_html_open(html, "p");
    spl_desk_act(html, "lot-use", "A new mixture", NULL);
    spl_html_open(html, "a");
    spl_html_link(html, "href", "/count", NULL, NULL);
    spl_html_attr(html, "class", "act");
    spl_html_text(html, "Count all that stands");
    spl_html_close(html, "a");
    spl_html_close(html, "p");
    spl_html_close(html, "section");
}

/* A place and a day, and what came of it. */
static void put_sprayed(const struct showing *showing)
{
    struct spl_html *html = showing->html;

    spl_html_open(html, "section");
    spl_html_attr(html, "class", "acts");
    spl_desk_part(html, "They sprayed");
    spl_desk_ask_begin(html, "recall");
    spl_desk_ask_field(html, "of", "Place", "as Fold Lane", NULL);
    spl_desk_ask_field(html, "sprayed", "Sprayed on", "the day, or the month: 2027-05", NULL);
    spl_desk_ask_end(html, "What came of it");
    spl_html_close(html, "section");
}

typedef void (*put_group)(const struct showing *showing);

/* Ground in spring, jars and racks in summer, straining in autumn, the shelf in winter. */
static const put_group *order_of(int month)
{
    static const put_group spring[] = {put_ground, put_herb, put_jars, put_shelf},
                           summer[] = {put_herb, put_jars, put_ground, put_shelf},
                           autumn[] = {put_jars, put_ground, put_herb, put_shelf},
                           winter[] = {put_shelf, put_jars, put_ground, put_herb};

    return month < 3 || month > 11 ? winter : month < 7 ? spring : month < 10 ? summer : autumn;
}

static void put_acts(struct spl_html *html)
{
    static const char *const sprayed[] = {"kind", "sprayed", NULL};

    spl_desk_acts_begin(html);
    spl_desk_act(html, "harvest-add", "A harvest", NULL);
    spl_desk_act(html, "spray-note", "What was said of spraying", NULL);
    spl_desk_act(html, "spray-note", "They sprayed", sprayed);
    spl_desk_act(html, "stage-note", "A stage seen", NULL);
    spl_desk_act(html, "batch-start", "A jar", NULL);
    spl_desk_act(html, "batch-press", "A pressing", NULL);
    spl_desk_act(html, "lot-use", "Giving out", NULL);
    spl_desk_act(html, "drying-start", "Herb on a rack", NULL);
    spl_desk_acts_end(html);
}

static gboolean is_quiet(const struct showing *showing)
{
    const struct spl_today *today = &showing->today;

    return today->stops->len + today->outing->len + today->calls->len +
               today->missing_weights->len + today->due->len + today->to_press->len +
               today->gather->len + today->opening->len + today->shortage->len +
               today->expiring->len + showing->picked->len + showing->racks->len ==
           0;
}

/* While nothing was bottled yet, the first steps. */
static gboolean put_first_day(struct spl_house *house, struct spl_html *html, GError **error)
{
    struct spl_book_info info;

    if (!spl_book_describe(house, &info, error))
        return FALSE;
    if (info.lots == 0)
        spl_desk_go(html, "/tour", NULL, "The first day, step by step");
    spl_record_clear(&spl_book_info_shape, &info);
    return TRUE;
}

static void put_today(const struct showing *showing, int month)
{
    static const char *const sheet[] = {"what", "outing", NULL};
    const struct spl_today *today = &showing->today;
    const put_group *order = order_of(month);
    struct spl_html *html = showing->html;

    if (today->to_answer != NULL) {
        g_autofree char *words = g_strdup_printf("To answer: %s", today->to_answer);

        spl_desk_go(html, "/questions", NULL, words);
    }
    spl_desk_table_acts(html, "Stops", &spl_today_stop_shape, today->stops, NULL, put_stop_act,
                        NULL);
    spl_desk_table(html, "Today's outing", &spl_plan_stop_shape, today->outing, NULL);
    if (today->outing->len > 0)
        spl_desk_print(html, "Its sheet, to print", sheet);
    put_rained_off(showing);
    if (is_quiet(showing))
        spl_desk_say(html, "Nothing is due.");
    for (int i = 0; i < 4; i++)
        order[i](showing);
    put_acts(html);
    put_sprayed(showing);
}

static gboolean keep_rack(const struct spl_drying *drying, gpointer data, GError **error)
{
    (void)error;
    spl_desk_keep(data, &spl_drying_shape, drying);
    return TRUE;
}

SPL_PAGE(today)
{
    const struct spl_drying_question open = {.open = TRUE};
    struct showing showing = {.visit = visit, .racks = spl_list_new(&spl_drying_shape)};
    gboolean done = spl_drying_entries(house, &open, keep_rack, showing.racks, error) &&
                    (showing.picked = spl_harvest_picked(house, error)) != NULL;

    if (done && (done = spl_today(house, &showing.today, error))) {
        showing.html = spl_desk_begin(visit, "Today", "/");
        done = put_first_day(house, showing.html, error);
        if (done)
            put_today(&showing, spl_house_month(house));
        spl_record_clear(&spl_today_shape, &showing.today);
        if (done)
            spl_visit_page(visit, 200, spl_desk_end(showing.html));
        else
            spl_html_free(showing.html);
    }
    spl_list_free(&spl_picked_shape, showing.picked);
    spl_list_free(&spl_drying_shape, showing.racks);
    return done;
}
