/* SPDX-License-Identifier: MIT
 *
 * What was picked lately and waits for a jar or a rack. See simpling/harvest.h.
 */
#include <math.h>

#include "book/batch.h"
#include "book/harvest.h"
#include "season/batch_private.h"
#include "simpling/harvest.h"

#define REST_FRAC 0.1 /* what a jar had no room for is not asked about again */

static const struct spl_field picked_fields[] = {
    SPL_FIELD(spl_picked, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_picked, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_picked, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_picked, date, SPL_DAY, "date", "picked"),
    SPL_FIELD_NUM(spl_picked, left_g, 0, "left_g", "left g"),
    SPL_FIELD(spl_picked, preparation, SPL_TEXT, "preparation", "made last"),
    SPL_FIELD(spl_picked, last, SPL_TEXT, "last", "as"),
};
const struct spl_shape spl_picked_shape = SPL_SHAPE("picked", spl_picked, picked_fields);

static gboolean take_harvest(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    GArray *list = data;
    struct spl_picked picked = {.date = harvest->date, .left_g = harvest->left_g};

    double whole_g = isnan(harvest->garbled_g) ? harvest->weight_g : harvest->garbled_g;

    (void)error;
    if (!(harvest->left_g > REST_FRAC * whole_g)) /* without a weight nothing draws on it */
        return TRUE;
    picked.code = g_strdup(harvest->code);
    picked.material = g_strdup(harvest->material);
    picked.site = g_strdup(harvest->site);
    g_array_prepend_val(list, picked);
    return TRUE;
}

/* How its herb was made the last time. */
static gboolean find_last(struct spl_house *house, struct spl_picked *picked, GError **error)
{
    struct spl_batch_row row;
    struct spl_brew brew;
    GError *failed = NULL;

    if (spl_batch_last(house->book, NULL, picked->material, 0, &row, &failed) &&
        spl_brew_load_row(house, &row, &brew, &failed)) {
        if (!brew.dried) { /* of dried herb it is made otherwise */
            picked->preparation = g_strdup(brew.row.preparation);
            picked->last = g_strdup(brew.row.code);
        }
        spl_brew_clear(&brew);
    }
    if (failed == NULL)
        return TRUE;
    g_propagate_error(error, failed);
    return FALSE;
}

GArray *spl_harvest_picked(struct spl_house *house, GError **error)
{
    const struct spl_harvest_filter filter = {.from = spl_day_add(house->today, -SPL_PICKED_DAYS),
                                              .to = house->today};
    GArray *list = spl_list_new(&spl_picked_shape);
    gboolean ok = spl_harvest_each(house->book, &filter, take_harvest, list, error);

    for (guint i = 0; ok && i < list->len; i++)
        ok = find_last(house, &g_array_index(list, struct spl_picked, i), error);
    if (ok)
        return list;
    spl_list_free(&spl_picked_shape, list);
    return NULL;
}
