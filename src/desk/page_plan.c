/* SPDX-License-Identifier: MIT
 *
 * The plan: the season's batches, what they need, the outings that are kept, whom to call; the
 * outings planned anew, which takes a while and can be stopped. The year: what to make. See
 * desk/page.h.
 */
#include <string.h>

#include "base/amount.h"
#include "desk/form.h"
#include "desk/look.h"
#include "desk/page.h"
#include "simpling/error.h"
#include "simpling/outing.h"
#include "simpling/plan.h"

/* The search is tuned at the command line; what is planned here is kept. */
#define WITHOUT "seconds gap nodes no_solver keep"

/* What can be done with each -------------------------------------------------------------------
 */

static void put_line_acts(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_plan_line *line = record;
    const char *query[] = {"name", line->name, NULL};

    (void)data;
    spl_desk_act(html, "plan-drop", "Drop it", query);
}

static void put_outing_acts(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_plan_outing *outing = record;
    char day[SPL_DAY_TEXT_SIZE];
    const char *query[] = {"day", spl_day_format(outing->date, day), NULL};
    const char *sheet[] = {"what", "outing", "on", day, NULL};

    const char *loose[] = {"day", day, "loose", "yes", NULL};

    (void)data;
    spl_desk_print(html, "Its sheet", sheet);
    if (outing->past)
        return;
    if (spl_day_is_set(outing->reserve)) { /* one touch, as on Today */
        spl_form_begin(html, "outing-move");
        spl_form_hidden(html, "day", day);
        spl_form_hidden(html, "to", "reserve");
        spl_form_end(html, "To its reserve day");
    }
    spl_desk_act(html, "outing-move", "Move it", query);
    if (outing->fixed)
        spl_desk_act(html, "outing-pin", "Let it be planned anew", loose);
    else
        spl_desk_act(html, "outing-pin", "Keep it so", query);
    spl_desk_act(html, "outing-drop", "Drop it", query);
}

/* What is picked at each stop of the outings to come, and how to take more or less of it. */
static void put_take(struct spl_html *html, struct spl_day date, const struct spl_plan_stop *stop,
                     const struct spl_plan_take *take)
{
    g_autofree char *grams = spl_mass_format(take->grams);
    char day[SPL_DAY_TEXT_SIZE];
    const char *query[] = {
        "day", spl_day_format(date, day), "site", stop->site, "material", take->material, NULL};

    spl_html_open(html, "li");
    spl_desk_place(html, stop->site);
    spl_html_printf(html, ": %s ", grams);
    spl_desk_plant(html, take->material);
    spl_html_text(html, " ");
    spl_desk_act(html, "outing-take", "More or less of it", query);
    spl_html_close(html, "li");
}

static void put_stops(struct spl_html *html, const GArray *outings)
{
    for (guint i = 0; i < outings->len; i++) {
        const struct spl_plan_outing *outing = &g_array_index(outings, struct spl_plan_outing, i);
        g_autofree char *day = spl_day_words(outing->date), *title = NULL;

        if (outing->past || outing->sites == NULL || outing->sites->len == 0)
            continue;
        title = g_strdup_printf("The round of %s", day);
        spl_desk_part(html, title);
        spl_html_open(html, "ul");
        spl_html_attr(html, "class", "ledger");
        for (guint k = 0; k < outing->sites->len; k++) {
            const struct spl_plan_stop *stop =
                &g_array_index(outing->sites, struct spl_plan_stop, k);

            for (guint t = 0; stop->takes != NULL && t < stop->takes->len; t++)
                put_take(html, outing->date, stop,
                         &g_array_index(stop->takes, struct spl_plan_take, t));
        }
        spl_html_close(html, "ul");
    }
}

static void put_call_acts(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_plan_call *call = record;
    const char *word[] = {"site", call->site, "kind", "unsprayed", "source", call->who, NULL};
    const char *leave[] = {"site", call->site, "by", call->who, NULL};

    (void)data;
    spl_desk_act(html, "spray-note", "What they say of spraying", word);
    spl_desk_act(html, "site-permit", "Their leave", leave);
}

static void put_year_acts(struct spl_html *html, const void *record, gpointer data)
{
    (void)record;
    (void)data;
    spl_desk_act(html, "plan-add", "Plan a batch", NULL);
}

/* The pages -------------------------------------------------------------------------------------
 */

static void put_wish(struct spl_html *html, const struct spl_reading *reading)
{
    static const char *const path[] = {"plan", NULL};

    spl_desk_part(html, "Plan the outings anew");
    spl_desk_say(html, "What is past, or kept as it is, stays. The days are sought beside the "
                       "desk, which can be used meanwhile; the search can be stopped, and then "
                       "the plan stands as it was.");
    spl_html_open(html, "form");
    spl_html_attr(html, "method", "post");
    spl_html_flag(html, "novalidate", TRUE);
    spl_html_link(html, "action", "/", path, NULL);
    spl_form_fields(html, "f", reading, WITHOUT);
    spl_form_end(html, "Plan the outings");
}

static void put_plan(struct spl_html *html, const GArray *planned, const GArray *shortfall,
                     const struct spl_plan_outings *kept)
{
    static const char *const sheet[] = {"what", "outing", "form", "yes", NULL};

    spl_desk_table_acts(html, "What is planned", &spl_plan_line_shape, planned, NULL, put_line_acts,
                        NULL);
    if (planned->len == 0)
        spl_desk_say(html, "Nothing is planned for this season.");
    spl_html_open(html, "p");
    spl_desk_act(html, "plan-add", "Plan a batch", NULL);
    spl_html_close(html, "p");
    spl_desk_go(html, "/year", NULL, "What to make this year");
    spl_desk_table(html, "What it needs against what the stands can spare",
                   &spl_plan_shortage_shape, shortfall, NULL);
    spl_desk_table_acts(html, "Outings", &spl_plan_outing_shape, kept->outings, NULL,
                        put_outing_acts, NULL);
    if (kept->outings->len == 0)
        spl_desk_say(html, "No outing is kept.");
    put_stops(html, kept->outings);
    spl_html_open(html, "p");
    spl_desk_print(html, "An outing's sheet", sheet);
    spl_html_close(html, "p");
    spl_desk_table_acts(html, "Calls to make", &spl_plan_call_shape, kept->call, NULL,
                        put_call_acts, NULL);
}

static gboolean show(struct spl_visit *visit, struct spl_house *house,
                     const struct spl_reading *reading, unsigned status, GError **error)
{
    struct spl_plan_question question = {.season = SPL_COUNT_NONE};
    struct spl_plan_short_question missing = {.season = SPL_COUNT_NONE};
    struct spl_plan_outings kept;
    GArray *planned = spl_plan_lines(house, &question, error);
    GArray *shortfall = planned != NULL ? spl_plan_shortfall(house, &missing, error) : NULL;
    gboolean done = shortfall != NULL && spl_plan_kept(house, 0, &kept, error);

    if (done) {
        struct spl_html *html =
            spl_desk_begin_bare(visit, status == 200 ? "The plan" : "Error: The plan", "/plan");

        spl_form_summary(html, "f", reading);
        spl_desk_heading(html, "The plan");
        put_plan(html, planned, shortfall, &kept);
        put_wish(html, reading);
        spl_look_links(html, "/plan");
        spl_record_clear(&spl_plan_outings_shape, &kept);
        spl_visit_page(visit, status, spl_desk_end(html));
    }
    spl_list_free(&spl_plan_line_shape, planned);
    spl_list_free(&spl_plan_shortage_shape, shortfall);
    return done;
}

SPL_PAGE(plan)
{
    struct spl_reading reading;
    gboolean done;

    spl_reading_begin(&reading, &spl_plan_wish_inputs, NULL, NULL);
    done = show(visit, house, &reading, 200, error);
    spl_reading_end(&reading);
    return done;
}

/* The search writes once, at its end: nothing is held while it goes on. */
static gboolean search(struct spl_house *house, struct spl_plan_wish *wish, GError **error)
{
    struct spl_plan_outings plan;

    wish->keep = TRUE;
    if (!spl_plan_search(house, wish, NULL, NULL, &plan, error))
        return FALSE;
    spl_record_clear(&spl_plan_outings_shape, &plan);
    return TRUE;
}

void spl_desk_plan(struct spl_visit *visit)
{
    g_autoptr(spl_house) house = NULL;
    g_autoptr(GError) error = NULL;
    struct spl_reading reading;
    GError *failed = NULL;

    house = spl_house_open(&visit->where, SPL_HOUSE_WRITE, &error);
    if (house == NULL) {
        spl_desk_failure(visit, error);
        return;
    }
    spl_reading_begin(&reading, &spl_plan_wish_inputs, visit->form, WITHOUT);
    if (reading.errors->len == 0 && search(house, reading.said, &failed)) {
        spl_visit_send_on(visit, g_strdup("/plan"));
    } else {
        if (failed != NULL)
            spl_reading_wrong(&reading, failed);
        if (!show(visit, house, &reading, 422, &error))
            spl_desk_failure(visit, error);
    }
    spl_reading_end(&reading);
}

SPL_PAGE(year)
{
    static const char *const sheet[] = {"what", "year", "form", "yes", NULL};
    struct spl_plan_year_words words;
    struct spl_html *html;
    GArray *list;

    spl_inputs_init(&spl_plan_year_inputs, &words);
    list = spl_plan_year(house, &words, error);
    if (list == NULL)
        return FALSE;
    html = spl_desk_begin(visit, "What to make", "/plan");
    if (list->len == 0)
        spl_desk_say(html, "Nothing went out in twelve months, and nothing stands.");
    spl_desk_table_acts(html, NULL, &spl_plan_year_line_shape, list, NULL, put_year_acts, NULL);
    spl_html_open(html, "p");
    spl_desk_print(html, "The year on paper", sheet);
    spl_html_close(html, "p");
    spl_desk_go(html, "/plan", NULL, "The plan");
    spl_list_free(&spl_plan_year_line_shape, list);
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}
