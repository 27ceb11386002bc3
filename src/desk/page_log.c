/* SPDX-License-Identifier: MIT
 *
 * The log, and one harvest of it. See desk/page.h.
 */
#include "desk/page.h"
#include "simpling/error.h"
#include "simpling/harvest.h"

#define LAST 200 /* entries, unless all are asked for */

struct keeping {
    GArray *list;
    guint most; /* 0: all */
    guint seen;
};

/* The last of them: they come in the order of their days. */
static gboolean keep_harvest(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    struct keeping *keeping = data;

    (void)error;
    keeping->seen++;
    if (keeping->most > 0 && keeping->list->len == 2 * keeping->most) {
        for (guint i = 0; i < keeping->most; i++)
            spl_record_clear(&spl_harvest_shape,
                             &g_array_index(keeping->list, struct spl_harvest, i));
        g_array_remove_range(keeping->list, 0, keeping->most);
    }
    spl_desk_keep(keeping->list, &spl_harvest_shape, harvest);
    return TRUE;
}

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

static gboolean read_question(struct spl_visit *visit, struct spl_harvest_question *question,
                              GError **error)
{
    static const char *const keys[] = {"site", "material", "from", "to"};

    spl_inputs_init(&spl_harvest_question_inputs, question);
    for (gsize i = 0; i < G_N_ELEMENTS(keys); i++) {
        const char *text = spl_visit_asked(visit, keys[i]);

        if (text != NULL &&
            !spl_inputs_read(&spl_harvest_question_inputs, keys[i], text, question, error))
            return FALSE;
    }
    return TRUE;
}

static void put_log(struct spl_visit *visit, struct spl_html *html, struct keeping *keeping)
{
    GArray *list = keeping->list;

    spl_html_open(html, "p");
    spl_desk_act(html, "harvest-add", "Log a harvest", NULL);
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
    while (keeping->most > 0 && list->len > keeping->most) {
        spl_record_clear(&spl_harvest_shape,
                         &g_array_index(list, struct spl_harvest, list->len - 1));
        g_array_set_size(list, list->len - 1);
    }
    if (list->len == 0)
        spl_desk_say(html, "The log has no such entry.");
    if (list->len < keeping->seen) {
        static const char *const query[] = {"all", "1", NULL};

        spl_html_open(html, "p");
        spl_html_printf(html, "The last %u of %u. ", list->len, keeping->seen);
        spl_html_open(html, "a");
        spl_html_link(html, "href", "/log", NULL, query);
        spl_html_text(html, "All of them");
        spl_html_close(html, "a");
        spl_html_close(html, "p");
    }
    spl_desk_table(html, NULL, &spl_harvest_shape, list, NULL);
}

SPL_PAGE(log)
{
    struct spl_harvest_question question;
    struct keeping keeping = {spl_list_new(&spl_harvest_shape),
                              spl_visit_asked(visit, "all") != NULL ? 0 : LAST, 0};
    struct spl_html *html;
    gboolean done = read_question(visit, &question, error) &&
                    spl_harvest_entries(house, &question, keep_harvest, &keeping, error);

    spl_inputs_clear(&spl_harvest_question_inputs, &question);
    if (done) {
        html = spl_desk_begin(visit, "Log", "/log");
        put_log(visit, html, &keeping);
        spl_visit_page(visit, 200, spl_desk_end(html));
    }
    spl_list_free(&spl_harvest_shape, keeping.list);
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

        spl_desk_part(html, "Write down");
        spl_html_open(html, "p");
        if (!(harvest.weight_g > 0))
            spl_desk_act(html, "harvest-weigh", "Its weight", code);
        spl_desk_act(html, "batch-start", "Into a jar", from);
        spl_desk_act(html, "drying-start", "Onto a rack", from);
        spl_desk_act(html, "discard", "Thrown away", code);
        spl_desk_act(html, "strike", "Strike it", code);
        spl_html_close(html, "p");
    }
    spl_record_clear(&spl_harvest_shape, &harvest);
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}
