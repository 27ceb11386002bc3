/* SPDX-License-Identifier: MIT
 *
 * Amounts at the door: what a person types becomes a number in the house's units (grams,
 * millilitres, metres, square metres, fractions, degrees), and back.
 *
 * Inside there are no other units. Numbers are read with a decimal point whatever the locale; NaN,
 * infinity, hexadecimal, a decimal comma, a missing unit, zero (where it makes no sense), negative
 * and absurd values are refused with SPL_ERROR_INVALID and the accepted forms. `what` names the
 * value in the message ("weight"). Targets are written only on success.
 */
#ifndef SPL_BASE_AMOUNT_H
#define SPL_BASE_AMOUNT_H

#include <glib.h>

#include "simpling/input.h"

/* "87g" "2.5kg" "3oz" "1lb" (avoirdupois: NIST HB 44 App. C, 28.349523125 g) -> g, >= 0.05, <= 1e6.
 */
gboolean spl_mass_parse(const char *text, const char *what, double *grams, GError **error);

/*
 * "500mL" "50cl" "1L" "us fl oz" "us cup" "us pint" "us quart" "imp fl oz" "imp pint"
 * "imp quart" -> mL, >= 0.05, <= 1e6. A bare pint, quart, cup or fl oz is refused: they differ.
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

/* "40%" (by volume) or "80 proof us" -> 0..1. */
gboolean spl_strength_parse(const char *text, const char *what, double *frac, GError **error);

/* "30%" -> 0..1, both ends allowed. */
gboolean spl_share_parse(const char *text, const char *what, double *frac, GError **error);

/* "1:5" -> 5 (mL put in per g), > 0, <= 1000. */
gboolean spl_ratio_parse(const char *text, const char *what, double *ml_per_g, GError **error);

/* "1:1", "2:1:1" -> the parts, each > 0. Returns a GArray of double. */
GArray *spl_parts_parse(const char *text, const char *what, GError **error);

/* "120m" "1.2km" "300ft" -> m, >= 0, <= 2e7. */
gboolean spl_length_parse(const char *text, const char *what, double *metres, GError **error);

/* "40m2" "0.5ha" "2acre" -> m2, > 0, <= 1e10. */
gboolean spl_area_parse(const char *text, const char *what, double *m2, GError **error);

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

/* For people: "87 g", "2.5 kg". Free with g_free. */
char *spl_mass_format(double grams);
/* "500 mL", "1.25 L". */
char *spl_volume_format(double ml);
/* "34.2 %". */
char *spl_percent_format(double frac);
/* "3.1 oz", "1 lb 2 oz" and "16.9 US fl oz": the customary figure that --us adds. */
char *spl_mass_format_us(double grams);
char *spl_volume_format_us(double ml);
/* A number with at most `decimals` places, no trailing zeros, decimal point in every locale. */
char *spl_number_format(double number, int decimals);

#endif
