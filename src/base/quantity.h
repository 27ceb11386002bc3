/* SPDX-License-Identifier: MIT
 *
 * A number and its unit as people write them: "87g", "½ oz", "1 1/2 lb", "2 lb 8 oz", "0,5 kg",
 * "half a pint". What each kind allows is amount.h's; here a text becomes a figure or a sentence
 * that says what is wrong with it.
 */
#ifndef SPL_BASE_QUANTITY_H
#define SPL_BASE_QUANTITY_H

#include <glib.h>

enum spl_quantity {
    SPL_QUANTITY_MASS,   /* g */
    SPL_QUANTITY_VOLUME, /* mL */
    SPL_QUANTITY_LENGTH, /* m */
    SPL_QUANTITY_AREA,   /* m2 */
    SPL_QUANTITY_SPEED   /* km/h */
};

/*
 * The text as it is read: vulgar fractions written out with a space before them (never by NFKD,
 * which makes 11/2 of 1½), every kind of blank, hyphen and full-width digit as its ASCII sign,
 * invisible marks gone. Free with g_free.
 */
char *spl_quantity_fold(const char *text);

/* A number at the start of a folded text: decimal, with one or two digits behind a comma, a
 * fraction, or a whole number and a fraction. What follows it; NULL: there is none. */
const char *spl_quantity_number(const char *folded, double *number);

/* TRUE when the unit (as squeezed by spl_quantity_squeeze) measures this kind. */
gboolean spl_quantity_has_unit(enum spl_quantity kind, const char *unit);

/* Lower case without blanks, full stops and underscores: "US fl. oz" -> "usfloz". Free with g_free.
 */
char *spl_quantity_squeeze(const char *text);

/*
 * The whole text as one figure of the kind, in the house's unit. NULL, or what is wrong with it
 * ("has no unit"), owned by the caller; then `value` is untouched. `bare`: a number without a unit
 * is in the house's, where the person's units are metric.
 */
char *spl_quantity_read(enum spl_quantity kind, const char *text, gboolean bare, double *value);

#endif
