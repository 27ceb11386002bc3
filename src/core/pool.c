/* SPDX-License-Identifier: MIT
 *
 * The liquid in a jar: sums by mass for spirit, by volume for what shrinks less than a hundredth
 * (vinegar, glycerol, honey: the contraction of glycerol with water stays under 1.1 %, from
 * memory).
 */
#include "core/pool.h"

#include <math.h>

#include "core/alcohol.h"

/* USP syrup: 850 g of sugar and 450 mL of water make 1000 mL. */
#define SYRUP_SUGAR_G 850.0
#define SYRUP_WATER_ML 450.0
#define SYRUP_FREE_WATER_ETHANOL 0.18 /* share of the free water */

double spl_herb_volume_ml_per_g(double moisture_frac)
{
    return moisture_frac / SPL_WATER_G_PER_ML + (1.0 - moisture_frac) / SPL_SOLIDS_G_PER_ML;
}

double spl_liquid_density(enum spl_liquid liquid, double strength_frac, double honey_frac)
{
    switch (liquid) {
    case SPL_LIQUID_SPIRIT:
        return spl_alcohol_density(spl_alcohol_mass_from_abv(strength_frac), 20.0) / 1000.0;
    case SPL_LIQUID_VINEGAR:
        return SPL_VINEGAR_G_PER_ML;
    case SPL_LIQUID_OIL:
    case SPL_LIQUID_SALVE:
        return SPL_OIL_G_PER_ML;
    case SPL_LIQUID_GLYCEROL:
        return strength_frac * SPL_GLYCEROL_G_PER_ML + (1.0 - strength_frac) * SPL_WATER_G_PER_ML;
    case SPL_LIQUID_OXYMEL:
        return honey_frac * SPL_HONEY_G_PER_ML + (1.0 - honey_frac) * SPL_VINEGAR_G_PER_ML;
    case SPL_LIQUID_SYRUP:
    case SPL_LIQUID_WATER:
        return SPL_WATER_G_PER_ML;
    case SPL_LIQUID_HONEY:
        return SPL_HONEY_G_PER_ML;
    case SPL_LIQUID_NONE:
        break;
    }
    return 1.0;
}

struct spl_pool spl_pool_of(enum spl_liquid liquid, double menstruum_ml, double strength_frac,
                            double honey_frac, double water_g)
{
    double poured_g = menstruum_ml * spl_liquid_density(liquid, strength_frac, honey_frac);
    struct spl_pool pool = {.liquid = liquid,
                            .ml = menstruum_ml + water_g / SPL_WATER_G_PER_ML,
                            .mass_g = poured_g + water_g,
                            .final_frac = NAN,
                            .acid_frac = NAN};

    switch (liquid) {
    case SPL_LIQUID_SPIRIT: {
        struct spl_spirit all = spl_spirit_mix(spl_spirit_from_volume(menstruum_ml, strength_frac),
                                               spl_spirit_from_water(water_g));

        pool.ml = spl_spirit_ml(all);
        pool.final_frac = spl_spirit_abv(all);
        break;
    }
    case SPL_LIQUID_VINEGAR:
        pool.final_frac = pool.acid_frac = strength_frac * menstruum_ml / pool.ml;
        break;
    case SPL_LIQUID_GLYCEROL:
        pool.final_frac = strength_frac * menstruum_ml / pool.ml;
        break;
    case SPL_LIQUID_OXYMEL: {
        double honey_g = honey_frac * menstruum_ml * SPL_HONEY_G_PER_ML;

        pool.acid_frac = strength_frac * (1.0 - honey_frac) * menstruum_ml / pool.ml;
        pool.final_frac = SPL_HONEY_SUGAR_FRAC * honey_g / pool.mass_g;
        break;
    }
    case SPL_LIQUID_SYRUP:
        pool.final_frac = strength_frac;
        break;
    case SPL_LIQUID_HONEY:
        pool.final_frac = strength_frac * poured_g / pool.mass_g;
        break;
    case SPL_LIQUID_SALVE:
        pool.final_frac = strength_frac;
        pool.ml = menstruum_ml;
        pool.mass_g = poured_g;
        break;
    case SPL_LIQUID_OIL:
        pool.ml = menstruum_ml;
        pool.mass_g = poured_g;
        break;
    case SPL_LIQUID_WATER:
        break;
    case SPL_LIQUID_NONE:
        pool.ml = pool.mass_g = 0.0;
        break;
    }
    return pool;
}

double spl_pool_yield(const struct spl_pool *pool, double herb_g, double water_g,
                      double kept_ml_per_g)
{
    double out_ml = pool->ml - kept_ml_per_g * herb_g;

    if (spl_liquid_is_oil(pool->liquid)) /* what the herb keeps is in part its own water */
        out_ml = MIN(pool->ml, out_ml + water_g / SPL_WATER_G_PER_ML);
    if (!(out_ml > 0.0))
        return 0.0;
    if (pool->liquid == SPL_LIQUID_SYRUP) {
        double sugar_g = spl_syrup_sugar_g(out_ml * SPL_WATER_G_PER_ML, pool->final_frac);

        out_ml += spl_syrup_sugar_ml(sugar_g);
    }
    if (pool->liquid == SPL_LIQUID_SALVE)
        out_ml += spl_salve_wax_ml(spl_salve_wax_g(out_ml * SPL_OIL_G_PER_ML, pool->final_frac));
    return out_ml;
}

/* The strongest thing that can be poured. */
static double strongest(enum spl_liquid liquid)
{
    switch (liquid) {
    case SPL_LIQUID_VINEGAR:
    case SPL_LIQUID_OXYMEL:
        return SPL_VINEGAR_STRONGEST_FRAC;
    case SPL_LIQUID_HONEY:
        return SPL_HONEY_DRIEST_FRAC;
    default:
        return 1.0;
    }
}

double spl_strength_needed(enum spl_liquid liquid, double ratio, double honey_frac,
                           double moisture_frac, double final_frac)
{
    double water_ml = moisture_frac / SPL_WATER_G_PER_ML, needed = NAN;

    switch (liquid) {
    case SPL_LIQUID_SPIRIT: {
        double low = final_frac, high = 1.0;

        if (spl_pool_of(liquid, ratio, 1.0, 0.0, moisture_frac).final_frac < final_frac)
            return NAN;
        for (int i = 0; i < 60; i++) {
            double middle = (low + high) / 2.0;

            if (spl_pool_of(liquid, ratio, middle, 0.0, moisture_frac).final_frac < final_frac)
                low = middle;
            else
                high = middle;
        }
        return (low + high) / 2.0;
    }
    case SPL_LIQUID_VINEGAR:
    case SPL_LIQUID_GLYCEROL:
        needed = final_frac * (ratio + water_ml) / ratio;
        break;
    case SPL_LIQUID_OXYMEL:
        needed = final_frac * (ratio + water_ml) / (ratio * (1.0 - honey_frac));
        break;
    case SPL_LIQUID_SYRUP:
    case SPL_LIQUID_SALVE:
        return final_frac;
    case SPL_LIQUID_HONEY:
        needed = final_frac * (ratio * SPL_HONEY_G_PER_ML + moisture_frac) /
                 (ratio * SPL_HONEY_G_PER_ML);
        break;
    case SPL_LIQUID_OIL:
    case SPL_LIQUID_WATER:
    case SPL_LIQUID_NONE:
        return NAN;
    }
    return needed <= strongest(liquid) ? needed : NAN;
}

double spl_ratio_needed(enum spl_liquid liquid, double honey_frac, double moisture_frac,
                        double final_frac)
{
    double water_ml = moisture_frac / SPL_WATER_G_PER_ML, share;

    if (liquid == SPL_LIQUID_SPIRIT) {
        /* final mass share = R d / (R d + w) with d the density of ethanol, solved for R. */
        double mass_frac = spl_alcohol_mass_from_abv(final_frac);

        return mass_frac < 1.0
                   ? moisture_frac * mass_frac / (SPL_ETHANOL_G_PER_ML * (1.0 - mass_frac))
                   : (double)INFINITY;
    }
    if (spl_liquid_is_oil(liquid) || liquid == SPL_LIQUID_NONE || liquid == SPL_LIQUID_SYRUP ||
        liquid == SPL_LIQUID_WATER)
        return INFINITY;
    if (liquid == SPL_LIQUID_HONEY) /* by mass: d h / (h + w) is the end */
        return final_frac < SPL_HONEY_DRIEST_FRAC
                   ? final_frac * moisture_frac / (SPL_HONEY_DRIEST_FRAC - final_frac) /
                         SPL_HONEY_G_PER_ML
                   : (double)INFINITY;
    share =
        final_frac / (strongest(liquid) * (liquid == SPL_LIQUID_OXYMEL ? 1.0 - honey_frac : 1.0));
    return share < 1.0 ? water_ml * share / (1.0 - share) : (double)INFINITY;
}

/* ---- syrup --------------------------------------------------------------------------------- */

double spl_syrup_sugar_g(double liquid_g, double sugar_frac)
{
    return liquid_g * sugar_frac / (1.0 - sugar_frac);
}

double spl_syrup_sugar_ml(double sugar_g)
{
    return sugar_g * (1000.0 - SYRUP_WATER_ML) / SYRUP_SUGAR_G;
}

double spl_salve_wax_g(double oil_g, double wax_frac)
{
    return oil_g * wax_frac / (1.0 - wax_frac);
}

double spl_salve_wax_ml(double wax_g)
{
    return wax_g / SPL_WAX_G_PER_ML;
}

double spl_salve_ml_per_g(double wax_frac)
{
    return spl_salve_wax_ml(wax_frac) + (1.0 - wax_frac) / SPL_OIL_G_PER_ML;
}

double spl_syrup_ethanol_ml(double ml, double sugar_g)
{
    double held_ml = sugar_g * SYRUP_WATER_ML / SYRUP_SUGAR_G;
    double free_ml = ml - spl_syrup_sugar_ml(sugar_g) - held_ml;

    return free_ml > 0.0 ? SYRUP_FREE_WATER_ETHANOL * free_ml : 0.0;
}
