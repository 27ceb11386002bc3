/* SPDX-License-Identifier: MIT
 *
 * Today: what is stopped, where to go, whom to call, what the jars want, what runs short. See
 * desk/page.h.
 */
#include <string.h>

#include "desk/form.h"
#include "desk/page.h"
#include "simpling/error.h"
#include "simpling/today.h"

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

static void put_lot_act(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_today_expiring *expiring = record;
    const char *query[] = {"code", expiring->code, NULL};

    (void)data;
    spl_desk_act(html, "lot-count", "Count it", query);
}

/* Steps that are a matter of a moment, all ticked: what was not done is unticked. */
static void put_steps(struct spl_visit *visit, struct spl_html *html, const GArray *due)
{
    gboolean any = FALSE;

    for (guint i = 0; i < due->len; i++) {
        const struct spl_today_due *step = &g_array_index(due, struct spl_today_due, i);

        if (strcmp(step->step, "shake") != 0 && strcmp(step->step, "look") != 0 &&
            strcmp(step->step, "turn") != 0)
            continue;
        if (spl_day_compare(step->due, visit->where.today) > 0)
            continue;
        if (!any)
            spl_form_begin(html, "steps-done");
        any = TRUE;
        spl_form_tick(html, "steps", step->code, step->step, step->what);
    }
    if (any)
        spl_form_end(html, "These are done today");
}

/* One touch moves it to its reserve day. */
static void put_rained_off(struct spl_visit *visit, struct spl_html *html, const GArray *outing)
{
    char day[SPL_DAY_TEXT_SIZE];

    if (outing->len == 0)
        return;
    spl_form_begin(html, "outing-move");
    spl_form_hidden(html, "day", spl_day_format(visit->where.today, day));
    spl_form_hidden(html, "to", "reserve");
    spl_form_end(html, "Rained off: on its reserve day");
}

static void put_step_act(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_today_due *due = record;
    const char *press[] = {"jars.0.code", due->code, NULL};
    const char *step[] = {"code", due->code, "step", due->step, NULL};

    (void)data;
    if (strcmp(due->step, "strain") == 0)
        spl_desk_act(html, "batch-press", "Strain and press", press);
    else
        spl_desk_act(html, "batch-step", "Note it", step);
}

SPL_PAGE(today)
{
    struct spl_html *html;
    struct spl_today today;
    gboolean quiet;

    if (!spl_today(house, &today, error))
        return FALSE;
    html = spl_desk_begin(visit, "Today", "/");
    if (today.to_answer != NULL) {
        g_autofree char *words = g_strdup_printf("To answer: %s", today.to_answer);

        spl_desk_go(html, "/questions", NULL, words);
    }
    spl_desk_table_acts(html, "Stops", &spl_today_stop_shape, today.stops, NULL, put_stop_act,
                        NULL);
    spl_desk_table(html, "Today's outing", &spl_plan_stop_shape, today.outing, NULL);
    put_rained_off(visit, html, today.outing);
    spl_desk_table_acts(html, "Calls to make", &spl_plan_call_shape, today.calls, NULL,
                        put_call_act, NULL);
    spl_desk_table_acts(html, "Weights missing", &spl_today_missing_shape, today.missing_weights,
                        NULL, put_weight_act, NULL);
    spl_desk_table_acts(html, "Steps due", &spl_today_due_shape, today.due, NULL, put_step_act,
                        NULL);
    put_steps(visit, html, today.due);
    spl_desk_table_acts(html, "Runs out, and a jar is ready", &spl_today_press_shape,
                        today.to_press, NULL, put_press_act, NULL);
    spl_desk_table_acts(html, "Can be gathered", &spl_today_opening_shape, today.gather, NULL,
                        put_gather_act, NULL);
    spl_desk_table(html, "Opens soon", &spl_today_opening_shape, today.opening, NULL);
    spl_desk_table(html, "Runs short", &spl_today_short_shape, today.shortage, NULL);
    spl_desk_table_acts(html, "Out of date, or soon", &spl_today_expiring_shape, today.expiring,
                        NULL, put_lot_act, NULL);
    quiet = today.stops->len + today.outing->len + today.calls->len + today.missing_weights->len +
                today.due->len + today.to_press->len + today.gather->len + today.opening->len +
                today.shortage->len + today.expiring->len ==
            0;
    if (quiet)
        spl_desk_say(html, "Nothing is due.");
    spl_desk_acts_begin(html);
    spl_desk_act(html, "harvest-add", "A harvest", NULL);
    spl_desk_act(html, "spray-note", "What was said of spraying", NULL);
    spl_desk_act(html, "stage-note", "A stage seen", NULL);
    spl_desk_act(html, "batch-start", "A jar", NULL);
    spl_desk_act(html, "batch-press", "A pressing", NULL);
    spl_desk_act(html, "lot-use", "Giving out", NULL);
    spl_desk_act(html, "drying-start", "Herb on a rack", NULL);
    spl_desk_acts_end(html);
    spl_record_clear(&spl_today_shape, &today);
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}
