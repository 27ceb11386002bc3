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

static void put_need(struct spl_visit *visit, struct spl_house *house, struct spl_html *html,
                     struct spl_reading *reading)
{
    struct spl_need_result result;
    GError *error = NULL;

    if (reading->errors->len == 0) {
        if (spl_need_answer(house, reading->said, &result, &error)) {
            spl_desk_part(html, "What it needs");
            spl_desk_record(html, &spl_need_result_shape, &result);
            spl_record_clear(&spl_need_result_shape, &result);
        } else {
            spl_reading_wrong(reading, error);
        }
    }
    (void)visit;
}

static void put_dilution(struct spl_html *html, struct spl_reading *reading)
{
    struct spl_dilution dilution;
    GError *error = NULL;

    if (reading->errors->len > 0)
        return;
    if (spl_dilute(reading->said, &dilution, &error)) {
        spl_desk_part(html, "Spirit and water");
        spl_desk_values(html, &spl_dilution_shape, &dilution);
        spl_record_clear(&spl_dilution_shape, &dilution);
    } else {
        spl_reading_wrong(reading, error);
    }
}

SPL_PAGE(reckon)
{
    const char *what = spl_visit_asked(visit, "what");
    gboolean need = g_strcmp0(what, "herb") == 0, spirit = g_strcmp0(what, "spirit") == 0;
    struct spl_reading herbs = {0}, spirits = {0};
    struct spl_html *html = spl_desk_begin(visit, "Reckon", "/reckon");

    (void)error;
    spl_reading_begin(&herbs, &spl_need_inputs, need ? visit->query : NULL, "what");
    spl_reading_begin(&spirits, &spl_dilute_inputs, spirit ? visit->query : NULL, "what");
    if (need)
        put_need(visit, house, html, &herbs);
    if (spirit)
        put_dilution(html, &spirits);
    spl_desk_part(html, "How much herb");
    spl_form_ask(html, "reckon", "herb", &herbs, "Reckon");
    spl_desk_part(html, "Spirit let down with water");
    spl_form_ask(html, "reckon", "spirit", &spirits, "Let down");
    spl_visit_page(visit, herbs.errors->len + spirits.errors->len > 0 ? 422 : 200,
                   spl_desk_end(html));
    spl_reading_end(&herbs);
    spl_reading_end(&spirits);
    return TRUE;
}
