/* SPDX-License-Identifier: MIT
 *
 * What a jar was charged with, summed up.
 */
#include "core/charge.h"

#include <math.h>

#include "core/pool.h"
#include "simpling/error.h"

/* What a gram keeps when pressed: low, usual, high. */
static void add_kept(const struct spl_charge_herb *herb, double kept[3])
{
    const struct spl_figure *figure = &herb->kept_ml_per_g;
    double usual = isnan(figure->value) ? 0.0 : figure->value;

    kept[0] += herb->grams * (figure->low < usual ? figure->low : usual);
    kept[1] += herb->grams * usual;
    kept[2] += herb->grams * (figure->high > usual ? figure->high : usual);
}

static double pressed_ml(const struct spl_blend *pool, enum spl_liquid liquid, double water_g,
                         double kept_ml)
{
    double ml = pool->ml - kept_ml;

    if (spl_liquid_is_oil(liquid)) /* what the herb keeps is in part its own water */
        ml = MIN(pool->ml, ml + spl_blend_water(water_g).ml);
    return MAX(0.0, ml);
}

void spl_charge_sum(enum spl_liquid liquid, const struct spl_charge_herb *herbs, guint n_herbs,
                    const struct spl_charge_liquid *liquids, guint n_liquids,
                    struct spl_charge *charge)
{
    struct spl_blend poured = {0}, pool;
    double water_g = 0.0, kept[3] = {0.0, 0.0, 0.0}, solid_ml = 0.0;

    *charge = (struct spl_charge){.first_on = SPL_DAY_NONE, .last_herb_on = SPL_DAY_NONE};
    for (guint i = 0; i < n_liquids; i++)
        poured = spl_blend_mix(poured, liquids[i].blend);
    pool = poured;
    for (guint i = 0; i < n_herbs; i++) {
        const struct spl_charge_herb *herb = &herbs[i];
        double volume = isnan(herb->volume_ml_per_g) ? spl_herb_volume_ml_per_g(herb->moisture_frac)
                                                     : herb->volume_ml_per_g;

        charge->herb_g += herb->grams;
        if (herb->fresh)
            charge->fresh_g += herb->grams;
        solid_ml += herb->grams * volume;
        if (liquid != SPL_LIQUID_HONEY || herb->fresh)
            water_g += herb->grams * herb->moisture_frac;
        add_kept(herb, kept);
        pool = spl_blend_mix(pool, herb->soaked);
        solid_ml += herb->soaked.ml;
        if (spl_day_is_set(herb->on)) {
            if (spl_day_compare(herb->on, charge->first_on) < 0)
                charge->first_on = herb->on;
            if (!spl_day_is_set(charge->last_herb_on) ||
                spl_day_compare(herb->on, charge->last_herb_on) > 0)
                charge->last_herb_on = herb->on;
        }
    }
    if (!spl_liquid_is_oil(liquid))
        pool = spl_blend_mix(pool, spl_blend_water(water_g));
    charge->poured_ml = poured.ml;
    charge->ratio =
        charge->herb_g > 0.0 && poured.ml > 0.0 ? poured.ml / charge->herb_g : (double)NAN;
    charge->poured_frac = spl_blend_strength(&poured, liquid);
    charge->pool = pool;
    charge->final_frac = spl_blend_strength(&pool, liquid);
    charge->acid_frac = pool.acid_g > 0.0 ? spl_blend_acid(&pool) : (double)NAN;
    charge->sugar_frac = pool.sugar_g > 0.0 ? spl_blend_sugar(&pool) : (double)NAN;
    charge->room_ml = poured.ml + solid_ml;
    charge->yield_ml = pressed_ml(&pool, liquid, water_g, kept[1]);
    charge->yield_low_ml = pressed_ml(&pool, liquid, water_g, kept[2]);
    charge->yield_high_ml = pressed_ml(&pool, liquid, water_g, kept[0]);
}

gboolean spl_parts_share(const double *have_ml, const double *parts, guint n, double *taken_ml,
                         GError **error)
{
    double per_part = INFINITY;

    for (guint i = 0; i < n; i++) {
        if (!(have_ml[i] > 0.0) || !(parts[i] > 0.0) || !isfinite(parts[i])) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "%g parts of %g mL: parts and amounts must be above 0", parts[i],
                        have_ml[i]);
            return FALSE;
        }
        per_part = MIN(per_part, have_ml[i] / parts[i]);
    }
    if (n == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "nothing to put together");
        return FALSE;
    }
    for (guint i = 0; i < n; i++)
        taken_ml[i] = MIN(have_ml[i], per_part * parts[i]);
    return TRUE;
}
