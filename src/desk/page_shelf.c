/* SPDX-License-Identifier: MIT
 *
 * The shelf, and one lot of it. See desk/page.h.
 */
#include "desk/look.h"
#include "desk/page.h"
#include "simpling/batch.h"
#include "simpling/error.h"

static gboolean keep_lot(const struct spl_lot *lot, gpointer data, GError **error)
{
    (void)error;
    spl_desk_keep(data, &spl_lot_shape, lot);
    return TRUE;
}

static void put_lot_acts(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_lot *lot = record;
    const char *code[] = {"code", lot->code, NULL}, *lots[] = {"lots", lot->code, NULL};

    (void)data;
    if (lot->state == SPL_STATE_ON_SHELF)
        spl_desk_act(html, "lot-use", "Give out", lots);
    if (lot->state != SPL_STATE_DESTROYED && lot->state != SPL_STATE_STRUCK)
        spl_desk_act(html, "lot-count", "Count", code);
}

SPL_PAGE(shelf)
{
    struct spl_lot_question question = {.all = spl_visit_asked(visit, "all") != NULL};
    GArray *list = spl_list_new(&spl_lot_shape);
    gboolean done = spl_lot_lines(house, &question, keep_lot, list, error);

    if (done) {
        static const char *const query[] = {"all", "1", NULL},
                                 *const again[] = {"again", "yes", NULL},
                                 *const ledger[] = {"what", "shelf", NULL};
        struct spl_html *html = spl_desk_begin(visit, "Shelf", "/shelf");

        spl_html_open(html, "p");
        spl_desk_act(html, "lot-use", "Give out a mixture", NULL);
        spl_desk_act(html, "lot-use", "The same again", again);
        spl_html_open(html, "a");
        spl_html_link(html, "href", "/count", NULL, NULL);
        spl_html_attr(html, "class", "act");
        spl_html_text(html, "Count all that stands");
        spl_html_close(html, "a");
        spl_html_open(html, "a");
        spl_html_link(html, "href", "/labels", NULL, NULL);
        spl_html_attr(html, "class", "act");
        spl_html_text(html, "Labels for many");
        spl_html_close(html, "a");
        spl_desk_print(html, "The ledger, to print", ledger);
        spl_html_close(html, "p");
        spl_desk_go(html, "/given", NULL, "What was given out today, or on any day");
        spl_desk_go(html, "/ledger", NULL, "The ledger of the spirit");
        if (list->len == 0)
            spl_desk_say(html, "The shelf is empty.");
        spl_desk_table_acts(html, NULL, &spl_lot_shape, list, NULL, put_lot_acts, NULL);
        if (!question.all) {
            spl_desk_go(html, "/shelf", query, "What is used up or destroyed too");
        }
        spl_look_links(html, "/shelf");
        spl_visit_page(visit, 200, spl_desk_end(html));
    }
    spl_list_free(&spl_lot_shape, list);
    return done;
}

static void put_acts(struct spl_html *html, const struct spl_lot *lot)
{
    const char *code[] = {"code", lot->code, NULL}, *of[] = {"of", lot->code, NULL};
    const char *labels[] = {"what", "labels", "codes", lot->code, "form", "yes", NULL};
    const char *sheet[] = {"what", "lot", "code", lot->code, NULL};

    spl_desk_acts_begin(html);
    spl_desk_print(html, "Labels", labels);
    spl_desk_print(html, "All of it, to print", sheet);
    put_lot_acts(html, lot, NULL);
    spl_desk_act(html, "lot-bottle", "Bottled, and where it stands", code);
    if (lot->state == SPL_STATE_IS_HELD || lot->state == SPL_STATE_WITHDRAWN)
        spl_desk_act(html, "lot-release", "Let it out", code);
    else
        spl_desk_act(html, "lot-hold", "Hold it", code);
    spl_desk_act(html, "lot-withdraw", "Withdraw it", code);
    spl_desk_act(html, "lot-reaction", "What somebody said of it", code);
    spl_desk_act(html, "discard", "Thrown away", code);
    spl_desk_act(html, "amend", "Correct it", code);
    spl_desk_act(html, "strike", "Strike it", code);
    spl_desk_acts_end(html);
    spl_desk_go(html, "/recall", of, "Where it came from, and to whom it went");
}

SPL_PAGE(lot)
{
    struct spl_lot lot;
    struct spl_html *html;
    g_autofree char *title = NULL;

    if (!spl_lot_show(house, spl_visit_of(visit), &lot, error))
        return FALSE;
    title = g_strdup_printf("%s, %s of %s", lot.code, lot.preparation, lot.materials);
    html = spl_desk_begin(visit, title, "/shelf");
    spl_desk_values(html, &spl_lot_shape, &lot);
    spl_desk_causes(html, lot.because);
    spl_desk_table(html, "What happened", &spl_lot_event_shape, lot.events, NULL);
    spl_desk_table(html, "What went out", &spl_lot_use_shape, lot.used, "code");
    spl_desk_table(html, "What was said of it", &spl_reaction_shape, lot.reactions, NULL);
    put_acts(html, &lot);
    spl_record_clear(&spl_lot_shape, &lot);
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}
