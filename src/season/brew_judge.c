/* SPDX-License-Identifier: MIT
 *
 * Whether a batch keeps: what is in it put to the keeping rules. See season/batch_private.h.
 */
#include <math.h>

#include "core/menstrua.h"
#include "core/pool.h"
#include "core/water.h"
#include "season/batch_private.h"
#include "season/check_private.h"
#include "simpling/error.h"

static const struct spl_charge_row *charge_at(const struct spl_brew *brew, guint i)
{
    return &g_array_index(brew->charges, struct spl_charge_row, i);
}

/* The traditional exception: all that is fresh may go into oil so. */
static const char *oil_exception(struct spl_house *house, const struct spl_brew *brew)
{
    const char *name = NULL;

    for (guint i = 0; i < brew->charges->len; i++) {
        const struct spl_charge_row *charge = charge_at(brew, i);
        const struct spl_material *row;

        if (charge->state == SPL_HERB_UNSAID || charge->state == SPL_HERB_DRIED)
            continue;
        row = spl_tables_material_by_slug(house->tables, charge->material);
        if (row == NULL || !row->fresh_oil)
            return NULL;
        name = row->spoken;
    }
    return name;
}

/* What of the undried herb goes into oil only dried; NULL: nothing. */
static const char *dry_only(struct spl_house *house, const struct spl_brew *brew)
{
    for (guint i = 0; i < brew->charges->len; i++) {
        const struct spl_charge_row *charge = charge_at(brew, i);
        const struct spl_material *row;

        if (charge->state == SPL_HERB_UNSAID || charge->state == SPL_HERB_DRIED)
            continue;
        row = spl_tables_material_by_slug(house->tables, charge->material);
        if (row != NULL && spl_keeping_dry_only(row))
            return row->spoken;
    }
    return NULL;
}

/* The weakest liquid that came from a bottle: an infused vinegar of one's own is judged by the end.
 * Honey has no strength. */
static double weakest_poured(const struct spl_brew *brew)
{
    double weakest = NAN;

    for (guint i = 0; i < brew->charges->len; i++) {
        const struct spl_charge_row *charge = charge_at(brew, i);

        if (charge->kind == SPL_CHARGE_LIQUID && charge->strength_frac > 0.0 &&
            !(weakest <= charge->strength_frac))
            weakest = charge->strength_frac;
    }
    return weakest;
}

/* The word by which a liquid is of one's own making, in its name or for its supplier; NULL: none.
 */
static const char *home_made(const struct spl_tables *tables, const struct spl_charge_row *charge,
                             gboolean *close)
{
    const struct spl_menstruum_word *word;
    gboolean near;

    *close = FALSE;
    if (charge->titrated != NULL ||
        (spl_menstruum_find(tables, charge->words, SPL_MENSTRUUM_BOUGHT, &near) != NULL && !near))
        return NULL;
    word = spl_menstruum_is(tables, charge->supplier, SPL_MENSTRUUM_HOME_MADE);
    if (word == NULL)
        word = spl_menstruum_find(tables, charge->words, SPL_MENSTRUUM_HOME_MADE, close);
    return word != NULL ? word->word : NULL;
}

/* What the words of the liquids poured on say they are; of several the first that is wrong in
 * either way. */
static void read_liquids(const struct spl_tables *tables, const struct spl_brew *brew,
                         struct spl_keeping_ask *ask)
{
    for (guint i = 0; i < brew->charges->len; i++) {
        const struct spl_charge_row *charge = charge_at(brew, i);

        if (charge->kind != SPL_CHARGE_LIQUID || charge->words == NULL)
            continue;
        if (ask->home_made == NULL) {
            ask->home_made = home_made(tables, charge, &ask->home_made_close);
            ask->home_made_in = charge->words;
        }
        if (ask->poison == NULL) {
            const struct spl_menstruum_word *word = spl_menstruum_find(
                tables, charge->words, SPL_MENSTRUUM_DENATURED, &ask->poison_close);

            ask->poison = word != NULL ? word->word : NULL;
            ask->poison_in = charge->words;
        }
    }
}

/* Its water activity; of honey also the water, and how much of the herb it would bear. */
static void judge_water(const struct spl_brew *brew, struct spl_keeping_ask *ask)
{
    struct spl_blend honey = {0};

    ask->water_activity = spl_blend_water_activity(&brew->sum.pool, brew->liquid, brew->sugar_frac);
    if (brew->liquid != SPL_LIQUID_HONEY)
        return;
    ask->water_frac = 1.0 - brew->sum.final_frac;
    for (guint i = 0; i < brew->charges->len; i++) {
        const struct spl_charge_row *charge = charge_at(brew, i);

        if (charge->kind == SPL_CHARGE_LIQUID || charge->kind == SPL_CHARGE_LOT)
            honey = spl_blend_mix(honey, charge->blend);
    }
    if (brew->material != NULL)
        ask->honey_room_g =
            spl_honey_room_g(honey.mass_g, 1.0 - spl_blend_strength(&honey, SPL_LIQUID_HONEY),
                             brew->material->moisture_frac.value, SPL_HONEY_KEEPS_FRAC);
}

gboolean spl_brew_judge(struct spl_house *house, const struct spl_brew *brew, int days_since_picked,
                        const char *hold, GPtrArray *cautions, GError **error)
{
    g_autoptr(GArray) findings = NULL;
    struct spl_keeping_ask ask;

    spl_keeping_ask_init(&ask);
    ask.liquid = brew->liquid;
    ask.preparation = brew->preparation;
    ask.fresh = brew->sum.herb_g > 0.0 && !brew->dried && brew->liquid != SPL_LIQUID_NONE;
    ask.outside_use = brew->row.outside;
    ask.poured_frac = brew->sum.poured_frac;
    ask.final_frac = brew->sum.final_frac;
    ask.acid_frac = isnan(brew->sum.acid_frac) ? 0.0 : brew->sum.acid_frac;
    ask.sugar_frac = isnan(brew->sum.sugar_frac) ? 0.0 : brew->sum.sugar_frac;
    if (brew->liquid == SPL_LIQUID_OXYMEL || brew->liquid == SPL_LIQUID_VINEGAR)
        ask.poured_frac = weakest_poured(brew);
    if (brew->liquid == SPL_LIQUID_SYRUP)
        ask.ethanol_missing_ml =
            spl_syrup_ethanol_ml(brew->sum.yield_ml, brew->sum.yield_ml * brew->sugar_frac);
    judge_water(brew, &ask);
    read_liquids(house->tables, brew, &ask);
    ask.dry_only = dry_only(house, brew);
    ask.oil_exception = oil_exception(house, brew);
    ask.days_since_picked = days_since_picked;
    findings = spl_keeping_judge(&ask);
    if (!spl_keeping_allow(findings, hold, error))
        return FALSE;
    for (guint i = 0; i < findings->len; i++)
        spl_caution_add(cautions, "%s", g_array_index(findings, struct spl_finding, i).text);
    return TRUE;
}
