/* SPDX-License-Identifier: MIT
 *
 * Ethanol and water: density after OIML R 22, strengths by mass and by volume, blending and
 * dilution.
 *
 * The formula is that of OIML R 22 "International Alcoholometric Tables" (1975), all 54
 * coefficients, -20 to +40 degrees Celsius, mass fraction 0 to 1. Strength by volume is that at
 * 20 degrees Celsius unless a function says otherwise. Volumes do not add, masses do: whatever is
 * mixed is mixed as mass of ethanol and mass of the whole.
 */
#ifndef SPL_CORE_ALCOHOL_H
#define SPL_CORE_ALCOHOL_H

#include <glib.h>

#include "simpling/record/dilution.h"

#define SPL_ALCOHOL_CELSIUS_MIN (-20.0)
#define SPL_ALCOHOL_CELSIUS_MAX 40.0
#define SPL_WATER_G_PER_ML 0.9982012300   /* R 22 at 20 degrees, mass fraction 0 */
#define SPL_ETHANOL_G_PER_ML 0.7892391233 /* R 22 at 20 degrees, mass fraction 1 */

/*
 * Density in kg/m3 (in vacuum) of a mixture with mass fraction `mass_frac` (0..1) of ethanol at
 * `celsius`. NAN outside -20..40 degrees or 0..1. Below 0 degrees weak mixtures would be frozen;
 * the formula's figure is given all the same.
 */
double spl_alcohol_density(double mass_frac, double celsius);

/* Strength by volume (0..1) at 20 degrees of a mixture with this mass fraction, and its inverse.
 * NAN outside 0..1. */
double spl_alcohol_abv_from_mass(double mass_frac);
double spl_alcohol_mass_from_abv(double abv_frac);

/* The same for volumes measured at `celsius` (older tables count at 15 or 15.56 degrees). */
double spl_alcohol_abv_from_mass_at(double mass_frac, double celsius);
double spl_alcohol_mass_from_abv_at(double abv_frac, double celsius);

/* The mass fraction of a mixture that has this density at `celsius`; NAN if none has. */
double spl_alcohol_mass_from_density(double kg_per_m3, double celsius);

/* Density in air, as pharmacopoeias and hydrometers give it: buoyancy against weights of 8000
 * kg/m3. */
double spl_alcohol_density_in_air(double kg_per_m3);

/* An amount of spirit: what stays the same through every mixing. */
struct spl_spirit {
    double mass_g;    /* the whole */
    double ethanol_g; /* of it, ethanol */
};

/* `ml` at 20 degrees of strength `abv_frac`. */
struct spl_spirit spl_spirit_from_volume(double ml, double abv_frac);

/* `grams` of water. */
struct spl_spirit spl_spirit_from_water(double grams);

struct spl_spirit spl_spirit_mix(struct spl_spirit a, struct spl_spirit b);

/* Volume in mL at 20 degrees, strength by volume 0..1 (0 for nothing), pure ethanol in mL. */
double spl_spirit_ml(struct spl_spirit spirit);
double spl_spirit_abv(struct spl_spirit spirit);
double spl_spirit_ethanol_ml(struct spl_spirit spirit);

/* `ml` of it taken away; what is left. Taking more than there is leaves nothing. */
struct spl_spirit spl_spirit_take(struct spl_spirit spirit, double ml);

/*
 * How much spirit of `from_frac` and water make `make_ml` of `to_frac`, all measured at `celsius`.
 * SPL_ERROR_INVALID: strengths outside 0..1, a target not above 0, an amount not above 0;
 * SPL_ERROR_REFUSED: the target is stronger than the source.
 */
gboolean spl_alcohol_dilute(double from_frac, double to_frac, double make_ml, double celsius,
                            struct spl_dilution *dilution, GError **error);

#endif
