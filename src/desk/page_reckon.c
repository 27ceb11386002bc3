/* SPDX-License-Identifier: MIT
 *
 * Reckoning: how much herb and liquid a batch needs, and how spirit is let down. Nothing is
 * written. See desk/page.h.
 */
#include <string.h>

#include "desk/form.h"
#include "desk/page.h"
#include "simpling/error.h"
#include "simpling/need.h"

/* What came of the form that was sent. */
struct reckoned {
    struct spl_need_result need;
    struct spl_dilution dilution;
    gboolean needs, dilutes; /* that one is there */
};

static void reckon(struct spl_house *house, gboolean need, struct spl_reading *reading,
                   struct reckoned *of)
{
    GError *error = NULL;

    if (reading->errors->len > 0)
        return;
    if (need)
        of->needs = spl_need_answer(house, reading->said, &of->need, &error);
    else
        of->dilutes = spl_dilute(reading->said, &of->dilution, &error);
    if (error != NULL)
        spl_reading_wrong(reading, error);
}

static void put_reckoned(struct spl_html *html, const struct reckoned *of)
{
    if (of->needs) {
        spl_desk_part(html, "What it needs");
        spl_desk_record(html, &spl_need_result_shape, &of->need);
    }
    if (of->dilutes) {
        spl_desk_part(html, "Spirit and water");
        spl_desk_values(html, &spl_dilution_shape, &of->dilution);
    }
}

SPL_PAGE(reckon)
{
    const char *what = spl_visit_asked(visit, "what");
    gboolean need = g_strcmp0(what, "herb") == 0, spirit = g_strcmp0(what, "spirit") == 0, wrong;
    struct spl_reading herbs = {0}, spirits = {0};
    struct reckoned reckoned = {.needs = FALSE};
    struct spl_html *html;

    (void)error;
    spl_reading_begin(&herbs, &spl_need_inputs, need ? visit->query : NULL, "what");
    spl_reading_begin(&spirits, &spl_dilute_inputs, spirit ? visit->query : NULL, "what");
    if (need || spirit)
        reckon(house, need, need ? &herbs : &spirits, &reckoned);
    wrong = herbs.errors->len + spirits.errors->len > 0;
    html = spl_desk_begin_bare(visit, wrong ? "Error: Reckon" : "Reckon", "/reckon");
    spl_form_summary(html, "herb", &herbs);
    spl_form_summary(html, "spirit", &spirits);
    spl_desk_heading(html, "Reckon");
    put_reckoned(html, &reckoned);
    spl_desk_part(html, "How much herb");
    spl_form_ask(html, "reckon", "herb", &herbs, "Reckon");
    spl_desk_part(html, "Spirit let down with water");
    spl_form_ask(html, "reckon", "spirit", &spirits, "Let down");
    if (reckoned.needs)
        spl_record_clear(&spl_need_result_shape, &reckoned.need);
    if (reckoned.dilutes)
        spl_record_clear(&spl_dilution_shape, &reckoned.dilution);
    spl_visit_page(visit, wrong ? 422 : 200, spl_desk_end(html));
    spl_reading_end(&herbs);
    spl_reading_end(&spirits);
    return TRUE;
}
