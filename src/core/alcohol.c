/* SPDX-License-Identifier: MIT
 *
 * Ethanol and water after OIML R 22 (1975). Horner's scheme for the powers; every inverse is a
 * bisection, for density falls strictly with the ethanol in the mixture at every temperature.
 */
#include "core/alcohol.h"

#include <math.h>

#include "simpling/error.h"

#define REFERENCE_CELSIUS 20.0

/* Powers 0 to 11 of the mass fraction, kg/m3, at 20 degrees. */
static const double a_row[12] = {9.982012300e2, -1.929769495e2, 3.891238958e2, -1.668103923e3,
                                 1.352215441e4, -8.829278388e4, 3.062874042e5, -6.138381234e5,
                                 7.470172998e5, -5.478461354e5, 2.234460334e5, -3.903285426e4};

/* Powers 1 to 6 of (t - 20). */
static const double b_row[6] = {-2.0618513e-1, -5.2682542e-3, 3.6130013e-5,
                                -3.8957702e-7, 7.1693540e-9,  -9.9739231e-11};

/* For powers 1 to 5 of (t - 20): powers 1 to 11 of the mass fraction. */
static const double c_rows[5][11] = {
    {1.693443461530087e-1, -1.046914743455169e1, 7.196353469546523e1, -7.047478054272792e2,
     3.924090430035045e3, -1.210164659068747e4, 2.248646550400788e4, -2.605562982188164e4,
     1.852373922069467e4, -7.420201433430137e3, 1.285617841998974e3},
    {-1.193013005057010e-2, 2.517399633803461e-1, -2.170575700536993, 1.353034988843029e1,
     -5.029988758547014e1, 1.096355666577570e2, -1.422753946421155e2, 1.080435942856230e2,
     -4.414153236817392e1, 7.442971530188783},
    {-6.802995733503803e-4, 1.876837790289664e-2, -2.002561813734156e-1, 1.022992966719220,
     -2.895696483903638, 4.810060584300675, -4.672147440794683, 2.458043105903461,
     -5.411227621436812e-1},
    {4.075376675622027e-6, -8.763058573471110e-6, 6.515031360099368e-6, -1.515784836987210e-6},
    {-2.788074354782409e-8, 1.345612883493354e-8}};

/* c[0] x + c[1] x^2 + ... */
static double polynomial(const double *c, int n, double x)
{
    double sum = 0.0;

    for (int i = n - 1; i >= 0; i--)
        sum = (sum + c[i]) * x;
    return sum;
}

double spl_alcohol_density(double mass_frac, double celsius)
{
    double t = celsius - REFERENCE_CELSIUS;
    double mixed = 0.0;

    if (!(mass_frac >= 0.0 && mass_frac <= 1.0) || !(celsius >= SPL_ALCOHOL_CELSIUS_MIN) ||
        !(celsius <= SPL_ALCOHOL_CELSIUS_MAX))
        return NAN;
    for (int i = 4; i >= 0; i--)
        mixed = (mixed + polynomial(c_rows[i], 11, mass_frac)) * t;
    return a_row[0] + polynomial(a_row + 1, 11, mass_frac) + polynomial(b_row, 6, t) + mixed;
}

double spl_alcohol_abv_from_mass_at(double mass_frac, double celsius)
{
    return mass_frac * spl_alcohol_density(mass_frac, celsius) / spl_alcohol_density(1.0, celsius);
}

double spl_alcohol_mass_from_abv_at(double abv_frac, double celsius)
{
    double low = 0.0, high = 1.0;

    if (!(abv_frac >= 0.0 && abv_frac <= 1.0) || isnan(spl_alcohol_density(1.0, celsius)))
        return NAN;
    if (abv_frac == 0.0 || abv_frac == 1.0)
        return abv_frac;
    for (int i = 0; i < 60; i++) {
        double middle = (low + high) / 2.0;

        if (spl_alcohol_abv_from_mass_at(middle, celsius) < abv_frac)
            low = middle;
        else
            high = middle;
    }
    return (low + high) / 2.0;
}

double spl_alcohol_abv_from_mass(double mass_frac)
{
    return spl_alcohol_abv_from_mass_at(mass_frac, REFERENCE_CELSIUS);
}

double spl_alcohol_mass_from_abv(double abv_frac)
{
    return spl_alcohol_mass_from_abv_at(abv_frac, REFERENCE_CELSIUS);
}

double spl_alcohol_mass_from_density(double kg_per_m3, double celsius)
{
    double low = 0.0, high = 1.0;

    if (!(kg_per_m3 <= spl_alcohol_density(low, celsius)) ||
        !(kg_per_m3 >= spl_alcohol_density(high, celsius)))
        return NAN;
    for (int i = 0; i < 60; i++) {
        double middle = (low + high) / 2.0;

        if (spl_alcohol_density(middle, celsius) > kg_per_m3)
            low = middle;
        else
            high = middle;
    }
    return (low + high) / 2.0;
}

double spl_alcohol_density_in_air(double kg_per_m3)
{
    const double air = 1.2, weights = 8000.0; /* kg/m3 */

    return (kg_per_m3 - air) / (1.0 - air / weights);
}

/* ---- amounts ------------------------------------------------------------------------------- */

struct spl_spirit spl_spirit_from_volume(double ml, double abv_frac)
{
    double mass_frac = spl_alcohol_mass_from_abv(abv_frac);
    double mass_g = ml * spl_alcohol_density(mass_frac, REFERENCE_CELSIUS) / 1000.0;

    return (struct spl_spirit){mass_g, mass_g * mass_frac};
}

struct spl_spirit spl_spirit_from_water(double grams)
{
    return (struct spl_spirit){grams, 0.0};
}

struct spl_spirit spl_spirit_mix(struct spl_spirit a, struct spl_spirit b)
{
    return (struct spl_spirit){a.mass_g + b.mass_g, a.ethanol_g + b.ethanol_g};
}

static double mass_frac_of(struct spl_spirit spirit)
{
    if (!(spirit.mass_g > 0.0))
        return 0.0;
    return CLAMP(spirit.ethanol_g / spirit.mass_g, 0.0, 1.0);
}

double spl_spirit_ml(struct spl_spirit spirit)
{
    return spirit.mass_g * 1000.0 / spl_alcohol_density(mass_frac_of(spirit), REFERENCE_CELSIUS);
}

double spl_spirit_abv(struct spl_spirit spirit)
{
    return spl_alcohol_abv_from_mass(mass_frac_of(spirit));
}

double spl_spirit_ethanol_ml(struct spl_spirit spirit)
{
    return spirit.ethanol_g / SPL_ETHANOL_G_PER_ML;
}

struct spl_spirit spl_spirit_take(struct spl_spirit spirit, double ml)
{
    double all_ml = spl_spirit_ml(spirit);
    double left = all_ml > 0.0 ? MAX(0.0, 1.0 - ml / all_ml) : 0.0;

    return (struct spl_spirit){spirit.mass_g * left, spirit.ethanol_g * left};
}

/* ---- dilution ------------------------------------------------------------------------------ */

static const struct spl_field dilution_fields[] = {
    SPL_FIELD_NUM(spl_dilution, from_abv_pct, 2, "from_abv", "from % vol"),
    SPL_FIELD_NUM(spl_dilution, to_abv_pct, 2, "to_abv", "to % vol"),
    SPL_FIELD_NUM(spl_dilution, make_ml, 1, "make_ml", "make mL"),
    SPL_FIELD_NUM(spl_dilution, spirit_ml, 1, "spirit_ml", "spirit mL"),
    SPL_FIELD_NUM(spl_dilution, water_ml, 1, "water_ml", "water mL"),
    SPL_FIELD_NUM(spl_dilution, contraction_ml, 1, "contraction_ml", "shrinks by mL"),
    SPL_FIELD_NUM(spl_dilution, spirit_g, 1, "spirit_g", "spirit g"),
    SPL_FIELD_NUM(spl_dilution, water_g, 1, "water_g", "water g"),
};
const struct spl_shape spl_dilution_shape = SPL_SHAPE("dilution", spl_dilution, dilution_fields);

gboolean spl_alcohol_dilute(double from_frac, double to_frac, double make_ml, double celsius,
                            struct spl_dilution *dilution, GError **error)
{
    double from_mass, to_mass, from_density, to_density, water_density, make_g, spirit_g;

    if (!(from_frac > 0.0 && from_frac <= 1.0) || !(to_frac > 0.0 && to_frac <= 1.0)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "strengths of %g %% and %g %% vol: both must lie above 0 and not over 100 %%",
                    from_frac * 100.0, to_frac * 100.0);
        return FALSE;
    }
    if (!(make_ml > 0.0) || !isfinite(make_ml)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%g mL to make: the amount must be above 0", make_ml);
        return FALSE;
    }
    if (to_frac > from_frac) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%g %% cannot be made from %g %% by adding water: take a stronger spirit",
                    to_frac * 100.0, from_frac * 100.0);
        return FALSE;
    }
    from_mass = spl_alcohol_mass_from_abv_at(from_frac, celsius);
    to_mass = spl_alcohol_mass_from_abv_at(to_frac, celsius);
    from_density = spl_alcohol_density(from_mass, celsius);
    to_density = spl_alcohol_density(to_mass, celsius);
    water_density = spl_alcohol_density(0.0, celsius);
    if (isnan(from_density)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%g degrees Celsius: the alcohol table runs from -20 to 40", celsius);
        return FALSE;
    }
    make_g = make_ml * to_density / 1000.0;
    spirit_g = make_g * to_mass / from_mass;
    *dilution = (struct spl_dilution){.from_abv_pct = from_frac * 100.0,
                                      .to_abv_pct = to_frac * 100.0,
                                      .make_ml = make_ml,
                                      .spirit_ml = spirit_g * 1000.0 / from_density,
                                      .water_ml = (make_g - spirit_g) * 1000.0 / water_density,
                                      .spirit_g = spirit_g,
                                      .water_g = make_g - spirit_g};
    dilution->contraction_ml = dilution->spirit_ml + dilution->water_ml - make_ml;
    return TRUE;
}
