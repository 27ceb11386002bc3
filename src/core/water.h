/* SPDX-License-Identifier: MIT
 *
 * Water and water activity of what sugar or glycerol keeps: what can grow in it, and how much fresh
 * herb honey bears.
 *
 * Norrish's equation for several solutes, X the molar fractions:
 * aw = X(water) * exp(-sum K X^2), with K of sucrose 6.47, of glucose and fructose 2.25, of
 * glycerol 1.16 (Norrish 1966, as given by Baeza et al. 2010, Food Bioprocess Technol 3:87, and in
 * table 3 of PMC2836749). Vinegar's acid counts by its molecules alone. Against 706 Turkish honeys
 * (Serin et al. 2017, doi 10.1590/1678-457X.31716: 15.0 to 20.4 % water, 0.470 to 0.563) it is
 * equal at the dry end and 0.04 too high at the wet one, which is the safe side.
 */
#ifndef SPL_CORE_WATER_H
#define SPL_CORE_WATER_H

#include "core/blend.h"

/* Grams. */
struct spl_water_mix {
    double water_g, sucrose_g, hexose_g, glycerol_g, acid_g;
};

/* 0 to 1; NAN of nothing. */
double spl_water_activity(const struct spl_water_mix *mix);

/* Of a jar's liquid. `syrup_frac`: of a syrup, whose sugar comes in later, its sugar by mass. NAN
 * where neither sugar nor glycerol keeps it. */
double spl_blend_water_activity(const struct spl_blend *blend, enum spl_liquid liquid,
                                double syrup_frac);

/* Clostridium botulinum grows from 0.94 (Kabara and Orth 1997, table 3.3, the least of types A and
 * B; 0.97 of E): above this a closed jar without acid is a danger. */
#define SPL_WATER_DANGER 0.93
/* Staphylococcus aureus grows from 0.86, other bacteria from 0.90 (the same table; Int J Pharm
 * Compd 2024 28:376). */
#define SPL_WATER_SPOILS 0.85
/* Yeasts of an oxymel: kept cold above; common practice, no source for the figure. */
#define SPL_WATER_COLD 0.80
/* Mould on what is nearly dry begins from 0.65 to 0.70; nothing grows under 0.60 (Int J Pharm Compd
 * 2024 28:376). */
#define SPL_WATER_SEASON 0.70
#define SPL_WATER_KEEPS 0.60
/* What such an activity means: "bacteria cannot grow in it, moulds and yeasts can". */
const char *spl_water_activity_words(double activity);

/* Honey ferments not at all under 17 % water and certainly above 19 (common practice, no source);
 * 20 % is the most that Directive 2001/110/EC allows (from memory). Up to 18 % it keeps. */
#define SPL_HONEY_KEEPS_FRAC 0.18
#define SPL_HONEY_MOST_FRAC 0.20

/* Grams of herb, with so much water, that bring `honey_g` with `honey_water_frac` to `most_frac` of
 * water, all of the herb's water gone over; 0 when the honey has as much already. */
double spl_honey_room_g(double honey_g, double honey_water_frac, double herb_water_frac,
                        double most_frac);

#endif
