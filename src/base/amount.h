/* SPDX-License-Identifier: MIT
 *
 * Amounts at the door: what a person types becomes a number in the house's units (grams,
 * millilitres, metres, square metres, fractions, degrees), and back.
 *
 * Inside there are no other units; those outside are the person's (simpling/customs.h). Numbers are
 * read the same in every locale; NaN, infinity, hexadecimal, what may be a thousand or a decimal, a
 * missing unit, zero (where it makes no sense), negative and absurd values are refused with
 * SPL_ERROR_INVALID and the accepted forms. `what` names the value in the message ("weight").
 * Targets are written only on success.
 */
#ifndef SPL_BASE_AMOUNT_H
#define SPL_BASE_AMOUNT_H

#include <glib.h>

#include "base/quantity.h"
#include "simpling/input.h"

/* The forms of a kind that hold at this door, for messages: "87g, 2.5kg, 3oz or 1lb 2oz". */
const char *spl_amount_forms(enum spl_quantity kind);

/* "87g" "2.5kg" "3oz" "1lb 2oz" "½ lb" (avoirdupois: NIST HB 44 App. C, 28.349523125 g) -> g,
 * >= 0.05, <= 1e6. */
gboolean spl_mass_parse(const char *text, const char *what, double *grams, GError **error);

/*
 * "500mL" "50cl" "1L" "us fl oz" "imp pint", pints, cups, quarts, gallons, spoons -> mL, >= 0.05,
 * <= 1e6. A bare pint, quart, gallon, cup or fl oz is that of the customs; where these are metric
 * it is refused: they differ.
 */
gboolean spl_volume_parse(const char *text, const char *what, double *ml, GError **error);

/* Either of the two: the other is NAN. What is wrong is said of the one whose unit it has. */
gboolean spl_mass_or_volume_parse(const char *text, const char *what, double *grams, double *ml,
                                  GError **error);
/* The same as one value, also by the bottle: "3x100mL", "3x100mL+40mL" is 340 mL. */
gboolean spl_amount_parse(const char *text, const char *what, struct spl_amount *amount,
                          GError **error);

/* "500mL" or "6x500mL" -> how many (1-1000) and mL each. */
gboolean spl_jars_parse(const char *text, const char *what, int *count, double *ml, GError **error);

/* "40%" (by volume) or "80 proof us" -> 0..1; "80 proof" where the customs are those of the US. */
gboolean spl_strength_parse(const char *text, const char *what, double *frac, GError **error);

/* "30%" -> 0..1, both ends allowed. */
gboolean spl_share_parse(const char *text, const char *what, double *frac, GError **error);

/* "1:5" -> 5 (mL put in per g), > 0, <= 1000. */
gboolean spl_ratio_parse(const char *text, const char *what, double *ml_per_g, GError **error);

/* "1:1", "2:1:1" -> the parts, each > 0. Returns a GArray of double. */
GArray *spl_parts_parse(const char *text, const char *what, GError **error);

/* "120m" "1.2km" "300ft" "5 ft 6 in" "2 miles" -> m, >= 0, <= 2e7. */
gboolean spl_length_parse(const char *text, const char *what, double *metres, GError **error);

/* "40m2" "0.5ha" "2 acres" "30 sq ft" -> m2, > 0, <= 1e10. */
gboolean spl_area_parse(const char *text, const char *what, double *m2, GError **error);

/* "50km/h" "30mph", where the customs are metric "50" -> km/h. */
gboolean spl_speed_parse(const char *text, const char *what, double *km_h, GError **error);

/* A bare number in [min, max], for options that are named for their unit. */
gboolean spl_number_parse(const char *text, const char *what, double min, double max,
                          double *number, GError **error);

/* A bare whole number in [min, max]. */
gboolean spl_count_parse(const char *text, const char *what, int min, int max, int *count,
                         GError **error);

/* "HH:MM" -> minutes after midnight. */
gboolean spl_clock_parse(const char *text, const char *what, int *minutes, GError **error);

/*
 * "54.9712,-2.4610", "54°58'16\"N 2°27'40\"W" (also with d m s letters) or "geo:54.97,-2.46" ->
 * WGS 84 degrees. Out of range is refused; a latitude beyond 90 whose partner would fit is named as
 * probably swapped.
 */
gboolean spl_coordinates_parse(const char *text, const char *what, double *lat, double *lon,
                               GError **error);

/*
 * For people, in the units of the customs, so that they read back to within what is shown: "87 g",
 * "2.5 kg", "3.1 oz", "1 lb 2 oz". Free with g_free.
 */
char *spl_mass_format(double grams);
/* "500 mL", "1.25 L", "16.9 fl oz", "1.5 gal". */
char *spl_volume_format(double ml);
/* Mass or volume by unit, "g" or "mL"; NAN: "". */
char *spl_amount_format(double amount, const char *unit);
/* To a tenth of a gram or millilitre, a hundredth of an ounce: where sums must be followed. */
char *spl_mass_exact(double grams);
char *spl_volume_exact(double ml);
char *spl_amount_exact(double amount, const char *unit);
/* "15 m", "3.2 m", "1.2 km", "49 ft", "1.9 miles". */
char *spl_length_format(double metres);
/* Never in another unit than metres or feet: "310 m", "1017 ft". */
char *spl_height_format(double metres);
/* By road: "6 km", "450 m", "3.7 miles"; whole units from ten on. */
char *spl_distance_format(double km);
/* "40 m2", "1.2 ha", "431 sq ft", "3 acres". */
char *spl_area_format(double m2);
/* "12.5 °C", "54.5 °F"; and a difference of two. */
char *spl_temperature_format(double celsius);
char *spl_warmth_format(double kelvin);
/* "50 km/h", "31 mph". */
char *spl_speed_format(double km_h);
/* "34.2 %". */
char *spl_percent_format(double frac);
/* "1:5.2", "1:12": mL poured on per g, > 0, to a tenth below ten. */
char *spl_ratio_format(double ml_per_g);
/* A number with at most `decimals` places, no trailing zeros, decimal point in every locale. */
char *spl_number_format(double number, int decimals);

#endif
