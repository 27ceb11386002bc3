/* SPDX-License-Identifier: MIT
 *
 * The shelf through a year: what each lot began with, got and gave, and what that leaves. See
 * simpling/batch.h.
 */
#include "book/lot.h"
#include "book/lot_flow.h"
#include "season/house_private.h"
#include "season/plan_private.h"
#include "simpling/batch.h"
#include "simpling/entry.h"

#define NOTHING 0.05 /* mL or g */

static const struct spl_input year_rows[] = {
    SPL_INPUT(spl_lot_year_question, year, COUNT, "year", "the growing year (default this one)",
              .value = "Y", .min = 1900, .max = 9999),
};
const struct spl_inputs spl_lot_year_inputs =
    SPL_INPUTS("lot_year", spl_lot_year_question, year_rows);

static gboolean is_still(const struct spl_lot_flow *flow)
{
    return flow->before < NOTHING && flow->made < NOTHING && flow->out < NOTHING &&
           flow->drawn < NOTHING && flow->thrown < NOTHING && flow->counted < NOTHING &&
           flow->counted > -NOTHING;
}

/* What went out of it in the year, each with its day and reference. */
static gboolean take_uses(struct spl_house *house, struct spl_day first, struct spl_day last,
                          struct spl_lot_flow *flow, GError **error)
{
    GArray *all = flow->out >= NOTHING ? spl_lot_uses(house->book, flow->id, error)
                                       : spl_list_new(&spl_lot_use_shape);

    if (all == NULL)
        return FALSE;
    flow->uses = spl_list_new(&spl_lot_use_shape);
    for (guint i = 0; i < all->len; i++) {
        const struct spl_lot_use *use = &g_array_index(all, struct spl_lot_use, i);
        struct spl_lot_use own;

        if (spl_day_compare(use->date, first) < 0 || spl_day_compare(use->date, last) > 0)
            continue;
        spl_record_copy(&spl_lot_use_shape, use, &own);
        g_array_append_val(flow->uses, own);
    }
    spl_list_free(&spl_lot_use_shape, all);
    return TRUE;
}

GArray *spl_lot_year(struct spl_house *house, const struct spl_lot_year_question *question,
                     GError **error)
{
    struct spl_day first, last;
    GArray *all, *lines;
    gboolean ok = TRUE;
    double lat;
    int year;

    if (!spl_entry_check(house, &spl_lot_year_inputs, question, error))
        return NULL;
    year = spl_plan_season(house, &lat);
    if (question->year != SPL_COUNT_NONE)
        year = question->year;
    spl_day_season_bounds(year, lat, &first, &last);
    all = spl_lot_flows(house->book, first, last, error);
    if (all == NULL)
        return NULL;
    lines = spl_list_new(&spl_lot_flow_shape);
    for (guint i = 0; ok && i < all->len; i++) {
        const struct spl_lot_flow *flow = &g_array_index(all, struct spl_lot_flow, i);
        struct spl_lot_flow own;

        if (is_still(flow))
            continue;
        spl_record_copy(&spl_lot_flow_shape, flow, &own);
        own.id = flow->id;
        ok = take_uses(house, first, last, &own, error);
        g_array_append_val(lines, own);
    }
    spl_list_free(&spl_lot_flow_shape, all);
    if (ok)
        return lines;
    spl_list_free(&spl_lot_flow_shape, lines);
    return NULL;
}
