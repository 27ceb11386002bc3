/* SPDX-License-Identifier: MIT
 *
 * What may be drawn from. See season/source.h.
 */
#include "season/source.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/draw.h"
#include "book/drying.h"
#include "book/harvest.h"
#include "book/purchase.h"
#include "book/stand.h"
#include "simpling/error.h"

#define CRUMB_G 0.05 /* what scales do not see */

struct spl_water_left spl_drying_water(const struct spl_drying *drying,
                                       const struct spl_material *row, double now_g)
{
    double last_g = drying->fresh_g;

    for (guint i = 0; i < drying->events->len; i++) {
        double weight_g = g_array_index(drying->events, struct spl_drying_event, i).weight_g;

        if (!isnan(weight_g))
            last_g = weight_g;
    }
    /* Off the rack before the end: what was put up is no longer what is weighed. */
    if (row == NULL || (!spl_day_is_set(drying->finished) && drying->left_g < last_g - CRUMB_G) ||
        (spl_day_is_set(drying->finished) && isnan(drying->fresh_per_dry)))
        return (struct spl_water_left){NAN, NAN, NAN};
    return spl_water_left(drying->fresh_g, now_g, row->moisture_frac);
}

enum spl_dryness spl_drying_dryness(const struct spl_drying *drying, const struct spl_material *row,
                                    struct spl_water_left *left)
{
    g_autoptr(GArray) looks = g_array_new(FALSE, FALSE, sizeof(struct spl_dry_look));
    struct spl_water_left reckoned;
    double now_g = NAN;

    for (guint i = 0; i < drying->events->len; i++) {
        const struct spl_drying_event *event =
            &g_array_index(drying->events, struct spl_drying_event, i);
        struct spl_dry_look look = {.day = event->date, .weight_g = event->weight_g, .sign = -1};
        enum spl_dry_sign sign;

        if (spl_dry_sign_from(event->how, &sign))
            look.sign = (int)sign;
        if (!isnan(event->weight_g))
            now_g = event->weight_g;
        g_array_append_val(looks, look);
    }
    reckoned = spl_drying_water(drying, row, now_g);
    if (left != NULL)
        *left = reckoned;
    return spl_dryness_of(spl_dry_shown((const struct spl_dry_look *)(const void *)looks->data,
                                        looks->len, row != NULL ? row->part : SPL_PART_ANY),
                          reckoned);
}

void spl_source_clear(struct spl_source *source)
{
    spl_thing_clear(&source->thing);
    g_free(source->material);
    *source = (struct spl_source){0};
}

static gboolean refuse_struck(const char *code, const char *struck, GError **error)
{
    if (struck == NULL)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is struck (%s); nothing may draw on it",
                code, struck);
    return FALSE;
}

static gboolean refuse_unnamed(const struct spl_source *source, const char *named_by,
                               const char *signs, GError **error)
{
    if (source->row == NULL || !source->row->plant->deadly_lookalike ||
        (named_by != NULL && signs != NULL))
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                "%s: %s has a deadly look-alike and %s not noted; correct %s: who named it, and by "
                "which signs",
                source->thing.code, source->row->plant->common,
                named_by == NULL ? "who named it is" : "the signs are", source->thing.code);
    spl_error_explain(error, NULL,
                      spl_next_new(SPL_ACTION_AMEND, "code", source->thing.code, "named_by", NULL,
                                   "signs", NULL, "why", NULL, NULL),
                      NULL);
    return FALSE;
}

/* A root dug when nothing stands above it was named earlier in the year, by a mark at the plant in
 * leaf or flower: where a deadly root grows beside it, no batch without. */
static gboolean refuse_unmarked_root(struct spl_house *house, const struct spl_source *source,
                                     const struct spl_harvest *harvest, GError **error)
{
    const struct spl_plant *plant = source->row != NULL ? source->row->plant : NULL;
    g_autoptr(GArray) notes = NULL;

    if (plant == NULL || !plant->deadly_lookalike || !spl_part_is_dug(source->row->part))
        return TRUE;
    notes = spl_stand_notes(house->book, harvest->site_id, plant->slug, error);
    if (notes == NULL)
        return FALSE;
    if (spl_stand_mark_of(notes, plant->slug, harvest->date) != NULL)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                "%s: a root of %s, which has a deadly look-alike, and the stand was not marked in "
                "leaf or flower before that day; if it was seen so then, mark %s at %s, as of the "
                "day it was seen",
                source->thing.code, plant->common, plant->slug, harvest->site);
    spl_error_explain(error, NULL,
                      spl_next_new(SPL_ACTION_STAND_MARK, "site", harvest->site, "plant",
                                   plant->slug, "seen", NULL, "on", NULL, NULL),
                      NULL);
    return FALSE;
}

static gboolean open_harvest(struct spl_house *house, struct spl_source *source, GError **error)
{
    struct spl_harvest harvest;
    gboolean ok;

    if (!spl_harvest_find(house->book, source->thing.code, &harvest, error))
        return FALSE;
    source->material = g_steal_pointer(&harvest.material);
    source->row = spl_tables_material_by_slug(house->tables, source->material);
    source->state = SPL_HERB_FRESH;
    source->day = source->picked = harvest.date;
    source->left_g = harvest.left_g;
    ok = refuse_struck(source->thing.code, harvest.struck, error) &&
         refuse_unnamed(source, harvest.named_by, harvest.signs, error);
    ok = ok && refuse_unmarked_root(house, source, &harvest, error);
    spl_record_clear(&spl_harvest_shape, &harvest);
    return ok;
}

static gboolean open_purchase(struct spl_house *house, struct spl_source *source, GError **error)
{
    struct spl_purchase purchase;
    gboolean ok;

    if (!spl_purchase_find(house->book, source->thing.code, &purchase, error))
        return FALSE;
    source->material = g_steal_pointer(&purchase.material);
    source->row = spl_tables_material_by_slug(house->tables, source->material);
    source->day = purchase.date;
    source->left_g = purchase.left_g;
    if (purchase.state == SPL_HERB_DRIED) {
        source->state = SPL_HERB_DRIED;
        source->numbered = purchase.number != NULL;
        source->dryness = source->numbered ? SPL_DRYNESS_SHOWN : SPL_DRYNESS_OPEN;
        if (source->row != NULL && spl_figure_is_set(source->row->fresh_per_dry))
            source->fresh_per_g = source->row->fresh_per_dry.value;
    } else {
        source->state = SPL_HERB_FRESH;
        source->picked = purchase.date;
    }
    /* Who bought it fresh names it as a picker does; for dried herb the supplier stands, whose
     * number says which. */
    ok = refuse_struck(source->thing.code, purchase.struck, error) &&
         ((source->state == SPL_HERB_DRIED && purchase.number != NULL) ||
          refuse_unnamed(source, purchase.named_by, purchase.signs, error));
    spl_record_clear(&spl_purchase_shape, &purchase);
    return ok;
}

static gboolean open_drying(struct spl_house *house, struct spl_source *source, GError **error)
{
    struct spl_drying drying;
    gboolean ok;

    if (!spl_drying_find(house->book, source->thing.code, &drying, error))
        return FALSE;
    source->material = g_steal_pointer(&drying.material);
    source->row = spl_tables_material_by_slug(house->tables, source->material);
    source->day = drying.started;
    source->picked = drying.started;
    source->left_g = drying.left_g;
    source->minutes = drying.minutes;
    ok = refuse_struck(source->thing.code, drying.struck, error);
    if (ok && drying.kind != SPL_DRYING_DRIED) {
        source->state = drying.kind == SPL_DRYING_HEATED ? SPL_HERB_HEATED : SPL_HERB_FROZEN;
        if (!isnan(drying.wilted_g))
            source->fresh_per_g = drying.fresh_g / drying.wilted_g;
    } else if (ok && spl_day_is_set(drying.finished)) {
        source->day = drying.finished;
        source->dryness = spl_drying_dryness(&drying, source->row, &source->left);
        source->state = source->dryness == SPL_DRYNESS_WET ? SPL_HERB_WILTED : SPL_HERB_DRIED;
        if (!isnan(drying.fresh_per_dry))
            source->fresh_per_g = drying.fresh_per_dry;
        else if (source->row != NULL && spl_figure_is_set(source->row->fresh_per_dry))
            source->fresh_per_g = source->row->fresh_per_dry.value;
    } else if (ok && !isnan(drying.wilted_g)) {
        source->state = SPL_HERB_WILTED;
        source->fresh_per_g = drying.fresh_g / drying.wilted_g;
        source->dryness = spl_drying_dryness(&drying, source->row, &source->left);
    } else if (ok) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: is on the rack and was not weighed since; weigh it first",
                    source->thing.code);
        spl_error_explain(
            error, NULL,
            spl_next_new(SPL_ACTION_DRYING_WEIGH, "code", source->thing.code, "weight", NULL, NULL),
            NULL);
        ok = FALSE;
    }
    spl_record_clear(&spl_drying_shape, &drying);
    return ok;
}

gboolean spl_source_open(struct spl_house *house, const char *code, const char *kinds,
                         struct spl_source *source, GError **error)
{
    gboolean ok;

    *source = (struct spl_source){.day = SPL_DAY_NONE,
                                  .picked = SPL_DAY_NONE,
                                  .fresh_per_g = 1.0,
                                  .minutes = NAN,
                                  .dryness = SPL_DRYNESS_OPEN,
                                  .left = {NAN, NAN, NAN}};
    if (spl_house_tables(house, error) == NULL ||
        !spl_code_find(house->book, code, kinds, "a source of herb", &source->thing, error))
        return FALSE;
    switch (source->thing.kind) {
    case 'P':
        ok = open_purchase(house, source, error);
        break;
    case 'D':
        ok = open_drying(house, source, error);
        break;
    default:
        ok = open_harvest(house, source, error);
        break;
    }
    if (!ok)
        spl_source_clear(source);
    return ok;
}

gboolean spl_source_allow(const struct spl_source *source, double grams, struct spl_day on,
                          double *taken_g, GError **error)
{
    char there[SPL_DAY_TEXT_SIZE], then[SPL_DAY_TEXT_SIZE];

    if (isnan(source->left_g)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: its weight is missing; weigh it first", source->thing.code);
        return FALSE;
    }
    if (source->left_g < CRUMB_G) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: nothing is left of it",
                    source->thing.code);
        return FALSE;
    }
    *taken_g = isnan(grams) ? source->left_g : grams;
    if (*taken_g > source->left_g + CRUMB_G) {
        g_autofree char *wanted = spl_mass_exact(*taken_g);
        g_autofree char *left = spl_mass_exact(source->left_g);

        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: %s are wanted, %s are left; weigh again, or take less", source->thing.code,
                    wanted, left);
        return FALSE;
    }
    *taken_g = MIN(*taken_g, source->left_g);
    if (spl_day_compare(on, source->day) < 0) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "on",
                            "%s is of %s, later than %s; say a later day", source->thing.code,
                            spl_day_format(source->day, there), spl_day_format(on, then));
        return FALSE;
    }
    return TRUE;
}

gboolean spl_source_take(struct spl_house *house, const struct spl_source *source, gint64 taker_id,
                         double grams, struct spl_day on, double *taken_g, GError **error)
{
    return spl_source_allow(source, grams, on, taken_g, error) &&
           spl_draw_add(house->book, taker_id, source->thing.id, on, *taken_g, NAN, error);
}
