/* SPDX-License-Identifier: MIT
 *
 * What stands in a jar: the liquid poured on and the plant's own water, mixed by mass; how strong
 * it ends; what must be poured for a wanted strength; the sugar of a syrup.
 *
 * Plain numbers only. Herbs are taken to give up all their water in the end (long maceration breaks
 * the cells): the cautious side for strength.
 */
#ifndef SPL_CORE_POOL_H
#define SPL_CORE_POOL_H

#include <glib.h>

#include "core/tables.h"

#define SPL_VINEGAR_G_PER_ML 1.010   /* cider vinegar, 239 g in a US cup (USDA 02048) */
#define SPL_GLYCEROL_G_PER_ML 1.2611 /* pure, 20 degrees (WHO hand-rub guide: 1.261) */
#define SPL_HONEY_G_PER_ML 1.433     /* 339 g in a US cup (USDA 19296) */
#define SPL_HONEY_WATER_FRAC 0.171   /* by mass (USDA 19296); 706 honeys: 15.0 to 20.4 % */
#define SPL_HONEY_DRIEST_FRAC 0.85   /* all but water of the driest of those */
#define SPL_HONEY_SUGAR_FRAC                                                                       \
    0.82                       /* by mass: 17.1 % water (USDA 19296) and a little that is neither */
#define SPL_OIL_G_PER_ML 0.915 /* olive, from memory (0.913-0.916) */
#define SPL_WAX_G_PER_ML 0.96  /* beeswax, from memory (0.95-0.97) */
#define SPL_SOLIDS_G_PER_ML 1.45 /* dry matter of plants, from memory (1.4-1.5) */
#define SPL_VINEGAR_STRONGEST_FRAC                                                                 \
    0.155 /* German vinegar ordinance 1972: 5 to 15.5 g in 100 mL                                  \
           */

/* What stands in a jar. */
struct spl_pool {
    enum spl_liquid liquid;
    double ml; /* everything liquid, the plant's water included */
    double mass_g;
    double final_frac; /* vol ethanol, g acid per mL, vol glycerol; oxymel and syrup: sugar by mass;
                          honey: all but water, by mass; salve: wax by mass; NAN for oil, water
                          and none */
    double acid_frac;  /* vinegar and oxymel: g acid per mL; else NAN */
};

/*
 * `menstruum_ml` of strength `strength_frac` over herb that brings `water_g` of its own.
 * `honey_frac` counts for oxymel only (0..1 by volume). Oil takes up no water: its pool is the oil.
 * For a syrup `ml` and `mass_g` are those of the water before the sugar, and final_frac is
 * `strength_frac`; for a salve those of the oil before the wax.
 */
struct spl_pool spl_pool_of(enum spl_liquid liquid, double menstruum_ml, double strength_frac,
                            double honey_frac, double water_g);

/*
 * What is poured off and pressed out of such a pool, in mL, when the herb of `herb_g` with
 * `water_g` keeps `kept_ml_per_g`: never below 0; of oil never more than was poured on; of a syrup
 * the finished syrup with its sugar, of a salve the finished one with its wax.
 */
double spl_pool_yield(const struct spl_pool *pool, double herb_g, double water_g,
                      double kept_ml_per_g);

/* The density, g per mL, of what is poured on; 1 for none. */
double spl_liquid_density(enum spl_liquid liquid, double strength_frac, double honey_frac);

/*
 * The strength to pour, 0..1, so that `ratio` mL per g over herb of water `moisture_frac` ends at
 * `final_frac` (oxymel: acid; syrup: the same sugar). NAN: not reachable even with the strongest
 * thing (absolute alcohol, pure glycerol, vinegar of 15.5 %, honey of 15 % water), or the liquid
 * has no strength.
 */
double spl_strength_needed(enum spl_liquid liquid, double ratio, double honey_frac,
                           double moisture_frac, double final_frac);

/* The least ratio, mL per g, at which the strongest thing reaches `final_frac`; INFINITY: none. */
double spl_ratio_needed(enum spl_liquid liquid, double honey_frac, double moisture_frac,
                        double final_frac);

/* mL that 1 g of herb with this water takes up in a jar once the air has left it. */
double spl_herb_volume_ml_per_g(double moisture_frac);

/* The sugar that brings `liquid_g` of watery liquid to `sugar_frac` by mass, and the volume that
 * `sugar_g` takes up when dissolved (550 mL for 850 g: USP syrup, 850 g and 450 mL in 1000 mL). */
double spl_syrup_sugar_g(double liquid_g, double sugar_frac);
double spl_syrup_sugar_ml(double sugar_g);

/* The wax that brings `oil_g` to `wax_frac` by mass (f/(1-f) of the oil), and its room. */
double spl_salve_wax_g(double oil_g, double wax_frac);
double spl_salve_wax_ml(double wax_g);
/* The room of a gram of salve that holds `wax_frac` of wax by mass, the rest oil. */
double spl_salve_ml_per_g(double wax_frac);

/* The pure ethanol in mL that keeps `ml` of syrup holding only `sugar_g` (free-water rule, UNC
 * Pharmaceutics laboratory: 18 % of the water that the sugar does not hold); 0 when none is free.
 */
double spl_syrup_ethanol_ml(double ml, double sugar_g);

#endif
