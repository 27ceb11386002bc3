/* SPDX-License-Identifier: MIT
 *
 * The log, and one harvest of it. See desk/page.h.
 */
#include "desk/look.h"
#include "desk/page.h"
#include "simpling/error.h"
#include "simpling/harvest.h"

#define LATELY_DAYS 400 /* unless something else is asked for */

static gboolean keep_harvest(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    (void)error;
    spl_desk_keep_row(data, &spl_harvest_shape, harvest);
    return TRUE;
}

/* The last of them first. */
static void turn_round(GArray *list)
{
    for (guint i = 0; i < list->len / 2; i++) {
        struct spl_harvest *a = &g_array_index(list, struct spl_harvest, i);
        struct spl_harvest *b = &g_array_index(list, struct spl_harvest, list->len - 1 - i);
        struct spl_harvest kept = *a;

        *a = *b;
        *b = kept;
    }
}

/* `lately`: nothing was asked for, so that it is the last year that is shown. */
static gboolean read_question(struct spl_visit *visit, struct spl_harvest_question *question,
                              gboolean *lately, GError **error)
{
    static const char *const keys[] = {"site", "material", "from", "to"};

    *lately = spl_visit_asked(visit, "all") == NULL;

    spl_inputs_init(&spl_harvest_question_inputs, question);
    for (gsize i = 0; i < G_N_ELEMENTS(keys); i++) {
        const char *text = spl_visit_asked(visit, keys[i]);

        *lately = *lately && text == NULL;
        if (text != NULL &&
            !spl_inputs_read(&spl_harvest_question_inputs, keys[i], text, question, error))
            return FALSE;
    }
    if (*lately)
        question->from = spl_day_add(visit->where.today, -LATELY_DAYS);
    return TRUE;
}

static void put_log(struct spl_visit *visit, struct spl_html *html, GArray *list, gboolean lately)
{
    spl_html_open(html, "p");
    spl_desk_act(html, "harvest-add", "Log a harvest", NULL);
    spl_desk_act(html, "purchase-add", "Herb that was bought or given", NULL);
    spl_html_close(html, "p");
    spl_desk_ask_begin(html, "log");
    spl_desk_ask_field(html, "site", "Place", "as Scarth Wood; empty: all",
                       spl_visit_asked(visit, "site"));
    spl_desk_ask_field(html, "material", "Material", "as nettle leaf; empty: all",
                       spl_visit_asked(visit, "material"));
    spl_desk_ask_field(html, "from", "From", "the first day, as 2027-04-01; empty: any",
                       spl_visit_asked(visit, "from"));
    spl_desk_ask_field(html, "to", "To", "the last day; empty: any", spl_visit_asked(visit, "to"));
    spl_desk_ask_end(html, "Look");
    turn_round(list);
    if (list->len == 0)
        spl_desk_say(html, lately ? "Nothing was picked in the last year."
                                  : "The log has no such entry.");
    if (lately) {
        static const char *const query[] = {"all", "1", NULL};

        spl_html_open(html, "p");
        spl_html_text(html, "The last year. ");
        spl_html_open(html, "a");
        spl_html_link(html, "href", "/log", NULL, query);
        spl_html_text(html, "The whole log");
        spl_html_close(html, "a");
        spl_html_close(html, "p");
    }
    spl_desk_table(html, NULL, &spl_harvest_shape, list, NULL);
}

SPL_PAGE(log)
{
    struct spl_harvest_question question;
    GArray *list = spl_list_new(&spl_harvest_shape);
    gboolean lately = FALSE;
    gboolean done = read_question(visit, &question, &lately, error) &&
                    spl_harvest_entries(house, &question, keep_harvest, list, error);

    spl_inputs_clear(&spl_harvest_question_inputs, &question);
    if (done) {
        struct spl_html *html = spl_desk_begin(visit, "Log", "/log");

        put_log(visit, html, list, lately);
        spl_look_links(html, "/log");
        spl_visit_page(visit, 200, spl_desk_end(html));
    }
    spl_list_free(&spl_harvest_shape, list);
    return done;
}

SPL_PAGE(harvest)
{
    struct spl_harvest harvest;
    struct spl_html *html;
    g_autofree char *title = NULL;

    if (!spl_harvest_show(house, spl_visit_of(visit), &harvest, error))
        return FALSE;
    title = g_strdup_printf("%s, %s", harvest.code, harvest.material);
    html = spl_desk_begin(visit, title, "/log");
    spl_desk_values(html, &spl_harvest_shape, &harvest);
    spl_desk_causes(html, harvest.because);
    if (harvest.reasons != NULL && harvest.reasons->len > 0) {
        spl_desk_part(html, "The ground on that day");
        spl_desk_reasons(html, harvest.reasons);
    }
    {
        const char *code[] = {"code", harvest.code, NULL}, *from[] = {"from", harvest.code, NULL};

        spl_desk_acts_begin(html);
        if (!(harvest.weight_g > 0))
            spl_desk_act(html, "harvest-weigh", "Its weight", code);
        if (harvest.held != NULL)
            spl_desk_act(html, "harvest-release", "Let it out", code);
        spl_desk_act(html, "batch-start", "Into a jar", from);
        spl_desk_act(html, "drying-start", "Onto a rack", from);
        spl_desk_act(html, "discard", "Thrown away", code);
        spl_desk_act(html, "amend", "Correct it", code);
        spl_desk_act(html, "strike", "Strike it", code);
        spl_desk_acts_end(html);
        spl_desk_go(html, "/files/photo", code, "A photo of it");
    }
    spl_record_clear(&spl_harvest_shape, &harvest);
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}
