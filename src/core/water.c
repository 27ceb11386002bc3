/* SPDX-License-Identifier: MIT
 *
 * Norrish's sum. See core/water.h.
 */
#include "core/water.h"

#include <math.h>

#include "core/pool.h"

#define K_SUCROSE 6.47
#define K_HEXOSE 2.25
#define K_GLYCEROL 1.16

/* g per mol */
#define WATER_MOLAR 18.015
#define SUCROSE_MOLAR 342.30
#define HEXOSE_MOLAR 180.16
#define GLYCEROL_MOLAR 92.09
#define ACID_MOLAR 60.05

static double share_term(double k, double mol, double all_mol)
{
    return k * (mol / all_mol) * (mol / all_mol);
}

double spl_water_activity(const struct spl_water_mix *mix)
{
    double water = mix->water_g / WATER_MOLAR, sucrose = mix->sucrose_g / SUCROSE_MOLAR;
    double hexose = mix->hexose_g / HEXOSE_MOLAR, glycerol = mix->glycerol_g / GLYCEROL_MOLAR;
    double all = water + sucrose + hexose + glycerol + mix->acid_g / ACID_MOLAR;

    if (!(all > 0.0))
        return NAN;
    return water / all *
           exp(-share_term(K_SUCROSE, sucrose, all) - share_term(K_HEXOSE, hexose, all) -
               share_term(K_GLYCEROL, glycerol, all));
}

double spl_blend_water_activity(const struct spl_blend *blend, enum spl_liquid liquid,
                                double syrup_frac)
{
    struct spl_water_mix mix = {.acid_g = blend->acid_g};

    switch (liquid) {
    case SPL_LIQUID_HONEY:
    case SPL_LIQUID_OXYMEL:
        mix.hexose_g = blend->sugar_g;
        /* An oxymel's honey is counted by its sugar alone; what else is dry in it binds water too.
         */
        if (liquid == SPL_LIQUID_OXYMEL)
            mix.hexose_g *= (1.0 - SPL_HONEY_WATER_FRAC) / SPL_HONEY_SUGAR_FRAC;
        break;
    case SPL_LIQUID_SYRUP:
        mix.sucrose_g = syrup_frac;
        mix.water_g = 1.0 - syrup_frac;
        return spl_water_activity(&mix);
    case SPL_LIQUID_GLYCEROL:
        mix.glycerol_g = blend->glycerol_ml * SPL_GLYCEROL_G_PER_ML;
        break;
    case SPL_LIQUID_SPIRIT:
    case SPL_LIQUID_VINEGAR:
    case SPL_LIQUID_OIL:
    case SPL_LIQUID_SALVE:
    case SPL_LIQUID_WATER:
    case SPL_LIQUID_NONE:
        return NAN;
    }
    mix.water_g = MAX(0.0, blend->mass_g - mix.hexose_g - mix.glycerol_g - mix.acid_g);
    return spl_water_activity(&mix);
}

const char *spl_water_activity_words(double activity)
{
    if (activity > SPL_WATER_DANGER)
        return "the bacterium of botulism can grow in it, closed up";
    if (activity > SPL_WATER_SPOILS)
        return "some bacteria, moulds and yeasts can grow in it: keep it cold once it is open";
    if (activity > SPL_WATER_SEASON)
        return "bacteria cannot grow in it, moulds and yeasts can";
    if (activity >= SPL_WATER_KEEPS)
        return "little can grow in it: it keeps a season";
    return "nothing can grow in it";
}

double spl_honey_room_g(double honey_g, double honey_water_frac, double herb_water_frac,
                        double most_frac)
{
    if (!(honey_water_frac < most_frac) || !(herb_water_frac > most_frac))
        return honey_water_frac < most_frac ? (double)INFINITY : 0.0;
    return honey_g * (most_frac - honey_water_frac) / (herb_water_frac * (1.0 - most_frac));
}
