/* SPDX-License-Identifier: MIT
 *
 * What a liquid is made of, so that it can be mixed, shared out and mixed again to any depth
 * without losing a gram: menstruum, pools in jars, lots, what marc still holds.
 */
#ifndef SPL_CORE_BLEND_H
#define SPL_CORE_BLEND_H

#include <glib.h>

#include "core/tables.h"

/* Volumes at 20 degrees. All zero: nothing. */
struct spl_blend {
    double ml;
    double mass_g;
    double ethanol_g;
    double acid_g;      /* as acetic acid */
    double glycerol_ml; /* pure */
    double sugar_g;
};

/* `ml` of what is poured on (core/pool.h says what the strength counts). Of a syrup and
 * a salve it is the finished one. */
struct spl_blend spl_blend_of(enum spl_liquid liquid, double ml, double strength_frac,
                              double honey_frac);
struct spl_blend spl_blend_water(double grams);

/* Masses add; volumes add too, but for spirit and water, which shrink after OIML R 22. */
struct spl_blend spl_blend_mix(struct spl_blend a, struct spl_blend b);

/* The part of `blend` that makes up `ml`; all of it when there is less. */
struct spl_blend spl_blend_part(struct spl_blend blend, double ml);

/* What is left of `blend` without `part` of it, never below nothing. */
struct spl_blend spl_blend_less(struct spl_blend blend, struct spl_blend part);

/* Its strength as `liquid` counts it: vol ethanol, g acid per mL, vol glycerol, oxymel and syrup
 * sugar by mass, honey all but water by mass; NAN for oil, salve, water, none and nothing. */
double spl_blend_strength(const struct spl_blend *blend, enum spl_liquid liquid);
double spl_blend_abv(const struct spl_blend *blend);
double spl_blend_acid(const struct spl_blend *blend);  /* g per mL */
double spl_blend_sugar(const struct spl_blend *blend); /* by mass */

#endif
