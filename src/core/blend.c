/* SPDX-License-Identifier: MIT
 *
 * Mixing and sharing out liquids by what is in them.
 */
#include "core/blend.h"

#include <math.h>

#include "core/alcohol.h"
#include "core/pool.h"

struct spl_blend spl_blend_of(enum spl_liquid liquid, double ml, double strength_frac,
                              double honey_frac)
{
    struct spl_blend blend = {.ml = ml,
                              .mass_g = ml * spl_liquid_density(liquid, strength_frac, honey_frac)};

    switch (liquid) {
    case SPL_LIQUID_SPIRIT:
        blend.ethanol_g = spl_spirit_from_volume(ml, strength_frac).ethanol_g;
        break;
    case SPL_LIQUID_VINEGAR:
        blend.acid_g = ml * strength_frac;
        break;
    case SPL_LIQUID_GLYCEROL:
        blend.glycerol_ml = ml * strength_frac;
        break;
    case SPL_LIQUID_OXYMEL:
        blend.acid_g = ml * (1.0 - honey_frac) * strength_frac;
        blend.sugar_g = ml * honey_frac * SPL_HONEY_G_PER_ML * SPL_HONEY_SUGAR_FRAC;
        break;
    case SPL_LIQUID_HONEY:
        blend.sugar_g = blend.mass_g * strength_frac;
        break;
    case SPL_LIQUID_SYRUP: {
        /* A gram of it holds s of sugar and 1 - s of water. */
        double per_g =
            spl_syrup_sugar_ml(strength_frac) + (1.0 - strength_frac) / SPL_WATER_G_PER_ML;

        blend.mass_g = ml / per_g;
        blend.sugar_g = blend.mass_g * strength_frac;
        break;
    }
    case SPL_LIQUID_SALVE:
        blend.mass_g = ml / spl_salve_ml_per_g(strength_frac);
        break;
    case SPL_LIQUID_OIL:
    case SPL_LIQUID_WATER:
    case SPL_LIQUID_NONE:
        break;
    }
    return blend;
}

struct spl_blend spl_blend_water(double grams)
{
    return (struct spl_blend){.ml = grams / SPL_WATER_G_PER_ML, .mass_g = grams};
}

/* Nothing but ethanol and water (and the little that vinegar's acid is). */
static gboolean is_spirit(const struct spl_blend *blend)
{
    return blend->glycerol_ml == 0.0 && blend->sugar_g == 0.0 && blend->acid_g == 0.0;
}

struct spl_blend spl_blend_mix(struct spl_blend a, struct spl_blend b)
{
    struct spl_blend both = {.ml = a.ml + b.ml,
                             .mass_g = a.mass_g + b.mass_g,
                             .ethanol_g = a.ethanol_g + b.ethanol_g,
                             .acid_g = a.acid_g + b.acid_g,
                             .glycerol_ml = a.glycerol_ml + b.glycerol_ml,
                             .sugar_g = a.sugar_g + b.sugar_g};

    /* Oil is lighter than any spirit of its ethanol: it has none, and stays additive. */
    if (both.ethanol_g > 0.0 && is_spirit(&both))
        both.ml = spl_spirit_ml((struct spl_spirit){both.mass_g, both.ethanol_g});
    return both;
}

static struct spl_blend scaled(struct spl_blend blend, double factor)
{
    return (struct spl_blend){blend.ml * factor,          blend.mass_g * factor,
                              blend.ethanol_g * factor,   blend.acid_g * factor,
                              blend.glycerol_ml * factor, blend.sugar_g * factor};
}

struct spl_blend spl_blend_part(struct spl_blend blend, double ml)
{
    if (!(ml > 0.0) || !(blend.ml > 0.0))
        return (struct spl_blend){0};
    return scaled(blend, MIN(1.0, ml / blend.ml));
}

struct spl_blend spl_blend_less(struct spl_blend blend, struct spl_blend part)
{
    if (!(blend.ml > 0.0))
        return (struct spl_blend){0};
    return scaled(blend, MAX(0.0, 1.0 - part.ml / blend.ml));
}

double spl_blend_abv(const struct spl_blend *blend)
{
    if (!(blend->ml > 0.0))
        return NAN;
    return blend->ethanol_g / SPL_ETHANOL_G_PER_ML / blend->ml;
}

double spl_blend_acid(const struct spl_blend *blend)
{
    return blend->ml > 0.0 ? blend->acid_g / blend->ml : (double)NAN;
}

double spl_blend_sugar(const struct spl_blend *blend)
{
    return blend->mass_g > 0.0 ? blend->sugar_g / blend->mass_g : (double)NAN;
}

double spl_blend_strength(const struct spl_blend *blend, enum spl_liquid liquid)
{
    if (!(blend->ml > 0.0))
        return NAN;
    switch (liquid) {
    case SPL_LIQUID_SPIRIT:
        return spl_blend_abv(blend);
    case SPL_LIQUID_VINEGAR:
        return spl_blend_acid(blend);
    case SPL_LIQUID_GLYCEROL:
        return blend->glycerol_ml / blend->ml;
    case SPL_LIQUID_OXYMEL:
    case SPL_LIQUID_SYRUP:
    case SPL_LIQUID_HONEY:
        return spl_blend_sugar(blend);
    case SPL_LIQUID_OIL:
    case SPL_LIQUID_WATER:
    case SPL_LIQUID_SALVE:
    case SPL_LIQUID_NONE:
        break;
    }
    return NAN;
}
