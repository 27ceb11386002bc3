/* SPDX-License-Identifier: MIT
 *
 * Amounts for people, in the units of the customs. See base/amount.h.
 *
 * What is printed is read back: each figure is rounded first and its unit chosen after, so that
 * none says "16 oz" for a pound or "1000 g" for a kilogram.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "simpling/customs.h"

#define OUNCE (453.59237 / 16) /* g: NIST HB 44 App. C */
#define US_GALLON 3785.411784  /* mL: the same */
#define IMP_GALLON 4546.09     /* mL: UK SI 1995/1804 */
#define FOOT 0.3048            /* m */
#define MILE 1609.344          /* m */
#define SQUARE_FOOT 0.09290304 /* m2 */
#define ACRE 4046.8564224      /* m2 */

static gboolean is_metric(void)
{
    return spl_customs()->print == SPL_UNITS_METRIC;
}

char *spl_number_format(double number, int decimals)
{
    char format[16], text[G_ASCII_DTOSTR_BUF_SIZE * 8];

    g_snprintf(format, sizeof format, "%%.%df", decimals);
    g_ascii_formatd(text, sizeof text, format, number);
    if (strchr(text, '.') != NULL) {
        char *end = text + strlen(text);

        while (end[-1] == '0')
            *--end = '\0';
        if (end[-1] == '.')
            *--end = '\0';
    }
    if (strcmp(text, "-0") == 0)
        return g_strdup("0");
    return g_strdup(text);
}

static char *with_unit(double number, int decimals, const char *unit)
{
    g_autofree char *text = spl_number_format(number, decimals);

    return g_strconcat(text, " ", unit, NULL);
}

static double rounded(double number, int decimals)
{
    double scale = pow(10, decimals);

    return round(number * scale) / scale;
}

/* Decimals that show a small figure at all. */
static int places(double number)
{
    double size = fabs(number);

    return size >= 1 ? 1 : size >= 0.1 ? 2 : 3;
}

static char *metric_amount(double amount, const char *small, const char *large)
{
    if (fabs(amount) >= 999.5)
        return with_unit(amount / 1000, 2, large);
    return with_unit(amount, fabs(amount) < 9.95 ? 1 : 0, small);
}

char *spl_mass_format(double grams)
{
    double ounces = rounded(grams / OUNCE, places(grams / OUNCE));
    double rest = rounded(fmod(ounces, 16), 1);
    int pounds = (int)(ounces / 16);
    g_autofree char *text = NULL;

    if (is_metric())
        return metric_amount(grams, "g", "kg");
    if (fabs(ounces) < 16 || fabs(ounces) > 1e7)
        return with_unit(ounces, places(ounces), "oz");
    if (rest == 0)
        return g_strdup_printf("%d lb", pounds);
    text = spl_number_format(fabs(rest), 1);
    return g_strdup_printf("%d lb %s oz", pounds, text);
}

char *spl_volume_format(double ml)
{
    gboolean us = spl_customs()->print == SPL_UNITS_US;
    double gallon = us ? US_GALLON : IMP_GALLON, ounces = us ? 128 : 160;
    double count = rounded(ml / gallon * ounces, places(ml / gallon * ounces));

    if (is_metric())
        return metric_amount(ml, "mL", "L");
    if (fabs(count) < ounces)
        return with_unit(count, places(count), "fl oz");
    return with_unit(ml / gallon, 2, "gal");
}

char *spl_amount_format(double amount, const char *unit)
{
    if (isnan(amount))
        return g_strdup("");
    return strcmp(unit, "g") == 0 ? spl_mass_format(amount) : spl_volume_format(amount);
}

char *spl_mass_exact(double grams)
{
    return is_metric() ? with_unit(grams, 1, "g") : with_unit(grams / OUNCE, 2, "oz");
}

char *spl_volume_exact(double ml)
{
    double us = ml / US_GALLON * 128, imp = ml / IMP_GALLON * 160;

    if (is_metric())
        return with_unit(ml, 1, "mL");
    return with_unit(spl_customs()->print == SPL_UNITS_US ? us : imp, 2, "fl oz");
}

char *spl_amount_exact(double amount, const char *unit)
{
    return strcmp(unit, "g") == 0 ? spl_mass_exact(amount) : spl_volume_exact(amount);
}

char *spl_length_format(double metres)
{
    double feet = rounded(metres / FOOT, fabs(metres / FOOT) < 9.95 ? 1 : 0);

    if (is_metric() && fabs(metres) >= 999.5)
        return with_unit(metres / 1000, 2, "km");
    if (is_metric())
        return with_unit(metres, fabs(metres) < 9.95 ? 1 : 0, "m");
    if (fabs(feet) >= MILE / FOOT / 2)
        return with_unit(metres / MILE, fabs(metres / MILE) < 9.95 ? 2 : 1, "miles");
    return with_unit(feet, 1, "ft");
}

char *spl_height_format(double metres)
{
    return is_metric() ? with_unit(metres, 0, "m") : with_unit(metres / FOOT, 0, "ft");
}

char *spl_distance_format(double km)
{
    double miles = km * 1000 / MILE;

    if (is_metric() && km < 0.95)
        return with_unit(round(km * 100) * 10, 0, "m");
    if (is_metric())
        return with_unit(km, km < 9.95 ? 1 : 0, "km");
    return with_unit(miles, miles < 0.95 ? 2 : miles < 9.95 ? 1 : 0, "miles");
}

char *spl_area_format(double m2)
{
    double small = is_metric() ? m2 : m2 / SQUARE_FOOT;

    if (is_metric() && m2 >= 9999.5)
        return with_unit(m2 / 10000, 2, "ha");
    if (!is_metric() && m2 >= ACRE / 2)
        return with_unit(m2 / ACRE, 2, "acres");
    return with_unit(small, small < 99.5 ? places(small) : 0, is_metric() ? "m2" : "sq ft");
}

char *spl_temperature_format(double celsius)
{
    return is_metric() ? with_unit(celsius, 1, "°C") : with_unit(celsius * 1.8 + 32, 1, "°F");
}

char *spl_warmth_format(double kelvin)
{
    return is_metric() ? with_unit(kelvin, 1, "°C") : with_unit(kelvin * 1.8, 1, "°F");
}

char *spl_speed_format(double km_h)
{
    return is_metric() ? with_unit(km_h, 0, "km/h") : with_unit(km_h * 1000 / MILE, 0, "mph");
}

char *spl_ratio_format(double ml_per_g)
{
    g_autofree char *figure = spl_number_format(ml_per_g, ml_per_g < 9.95 ? 1 : 0);

    return g_strconcat("1:", figure, NULL);
}

char *spl_percent_format(double frac)
{
    return with_unit(frac * 100, 1, "%");
}
