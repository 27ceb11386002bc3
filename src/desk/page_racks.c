/* SPDX-License-Identifier: MIT
 *
 * The racks, and one drying of them. See desk/page.h.
 */
#include "desk/look.h"
#include "desk/page.h"
#include "simpling/drying.h"
#include "simpling/error.h"

static gboolean keep_drying(const struct spl_drying *drying, gpointer data, GError **error)
{
    (void)error;
    spl_desk_keep(data, &spl_drying_shape, drying);
    return TRUE;
}

static void put_acts(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_drying *drying = record;
    const char *code[] = {"code", drying->code, NULL}, *from[] = {"from", drying->code, NULL};

    (void)data;
    if (spl_day_is_set(drying->finished) || drying->kind != SPL_DRYING_DRIED) {
        spl_desk_act(html, "batch-start", "Into a jar", from);
        return;
    }
    spl_desk_act(html, "drying-turn", "Turned", code);
    spl_desk_act(html, "drying-weigh", "Weigh", code);
    spl_desk_act(html, "drying-finish", "Take down", code);
}

SPL_PAGE(racks)
{
    struct spl_drying_question question = {.open = spl_visit_asked(visit, "all") == NULL};
    GArray *list = spl_list_new(&spl_drying_shape);
    gboolean done = spl_drying_entries(house, &question, keep_drying, list, error);

    if (done) {
        static const char *const query[] = {"all", "1", NULL};
        struct spl_html *html = spl_desk_begin(visit, "Racks", "/racks");

        spl_html_open(html, "p");
        spl_desk_act(html, "drying-start", "Herb on a rack", NULL);
        spl_html_close(html, "p");
        if (list->len == 0)
            spl_desk_say(html, question.open ? "Nothing is on a rack." : "Nothing was dried yet.");
        spl_desk_table_acts(html, NULL, &spl_drying_shape, list, NULL, put_acts, NULL);
        if (question.open) {
            spl_desk_go(html, "/racks", query, "What was taken down too");
        }
        spl_look_links(html, "/racks");
        spl_visit_page(visit, 200, spl_desk_end(html));
    }
    spl_list_free(&spl_drying_shape, list);
    return done;
}

SPL_PAGE(drying)
{
    struct spl_drying drying;
    struct spl_html *html;
    g_autofree char *title = NULL;

    if (!spl_drying_show(house, spl_visit_of(visit), &drying, error))
        return FALSE;
    title = g_strdup_printf("%s, %s", drying.code, drying.material);
    html = spl_desk_begin(visit, title, "/racks");
    spl_desk_record(html, &spl_drying_shape, &drying);
    spl_desk_causes(html, drying.because);
    {
        const char *code[] = {"code", drying.code, NULL};

        spl_desk_acts_begin(html);
        put_acts(html, &drying, NULL);
        spl_desk_act(html, "drying-test", "Tried by hand", code);
        spl_desk_act(html, "discard", "Thrown away", code);
        spl_desk_act(html, "amend", "Correct it", code);
        spl_desk_act(html, "strike", "Strike it", code);
        spl_desk_acts_end(html);
    }
    spl_record_clear(&spl_drying_shape, &drying);
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}
