/* SPDX-License-Identifier: MIT
 *
 * What a thing came from, asked whether it is kept back: a batch of held ground makes no free lot.
 */
#include "book/harvest.h"
#include "book/lot.h"
#include "book/trace.h"
#include "season/batch_private.h"

static gboolean ask_one(struct spl_house *house, const struct spl_reached *one, char **why,
                        GError **error)
{
    if (one->kind == 'H') {
        struct spl_harvest harvest;

        if (!spl_harvest_find(house->book, one->code, &harvest, error))
            return FALSE;
        if (harvest.held != NULL)
            *why = g_strdup_printf("comes of %s, which is held: %s", one->code, harvest.held);
        spl_record_clear(&spl_harvest_shape, &harvest);
    } else if (one->kind == 'L') {
        struct spl_lot lot;

        if (!spl_lot_get(house->book, one->id, house->today, &lot, error))
            return FALSE;
        if (g_str_equal(lot.state, "held") || g_str_equal(lot.state, "withdrawn"))
            *why = g_strdup_printf("comes of %s, which is %s: %s", one->code, lot.state,
                                   lot.why != NULL ? lot.why : "no reason noted");
        spl_record_clear(&spl_lot_shape, &lot);
    }
    return TRUE;
}

gboolean spl_upstream_trouble(struct spl_house *house, gint64 id, char **why, GError **error)
{
    g_autoptr(GArray) seeds = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(GArray) reached = NULL;

    *why = NULL;
    g_array_append_val(seeds, id);
    reached = spl_trace_reach(house->book, seeds, FALSE, error);
    if (reached == NULL)
        return FALSE;
    for (guint i = 0; *why == NULL && i < reached->len; i++) {
        const struct spl_reached *one = &g_array_index(reached, struct spl_reached, i);

        if (one->id != id && !ask_one(house, one, why, error))
            return FALSE;
    }
    return TRUE;
}
