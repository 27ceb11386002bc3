/* SPDX-License-Identifier: MIT
 *
 * Amounts at the door. See base/amount.h.
 */
#include "base/amount.h"

#include <math.h>
#include <string.h>

#include "simpling/error.h"

struct unit {
    const char *name; /* lower case, no spaces */
    double factor;    /* to the house's unit */
};

/* NIST Handbook 44 (2023), Appendix C: the avoirdupois pound is 453.59237 g exactly. */
static const struct unit masses[] = {
    {"g", 1},      {"gram", 1},       {"grams", 1},       {"kg", 1000},
    {"mg", 0.001}, {"lb", 453.59237}, {"lbs", 453.59237}, {"oz", 453.59237 / 16},
};

/* US gallon 3785.411784 mL (NIST HB 44 App. C), imperial gallon 4546.09 mL (UK SI 1995/1804). */
#define US_GALLON 3785.411784
#define IMP_GALLON 4546.09
static const struct unit volumes[] = {
    {"ml", 1},
    {"cl", 10},
    {"dl", 100},
    {"l", 1000},
    {"litre", 1000},
    {"litres", 1000},
    {"liter", 1000},
    {"liters", 1000},
    {"usfloz", US_GALLON / 128},
    {"uscup", US_GALLON / 16},
    {"uspint", US_GALLON / 8},
    {"usquart", US_GALLON / 4},
    {"usgallon", US_GALLON},
    {"impfloz", IMP_GALLON / 160},
    {"imppint", IMP_GALLON / 8},
    {"impquart", IMP_GALLON / 4},
    {"impgallon", IMP_GALLON},
};

static const struct unit lengths[] = {
    {"m", 1}, {"km", 1000}, {"cm", 0.01}, {"ft", 0.3048}, {"yd", 0.9144}, {"mile", 1609.344},
};

static const struct unit areas[] = {
    {"m2", 1}, {"m²", 1}, {"ha", 10000}, {"km2", 1e6}, {"acre", 4046.8564224}, {"ft2", 0.09290304},
};

static gboolean refuse(GError **error, const char *what, const char *text, const char *why,
                       const char *forms)
{
    g_autofree char *shown = g_utf8_make_valid(text, (gssize)strnlen(text, 40));
    g_autofree char *escaped = g_strescape(shown, "\"");

    for (char *p = escaped; *p != '\0'; p++) {
        if ((guchar)*p < 0x20)
            *p = ' ';
    }
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: '%s' %s; write it as %s", what,
                g_utf8_validate(shown, -1, NULL) && strpbrk(shown, "\n\r\t\033") == NULL ? shown
                                                                                         : escaped,
                why, forms);
    return FALSE;
}

/*
 * A plain decimal number at the start of `text`: digits, at most one point, a leading sign. No
 * exponent, so that "2e3" cannot slip through as an amount. NULL if there is none, else what
 * follows.
 */
static const char *take_number(const char *text, double *number)
{
    const char *p = text;
    gboolean digits = FALSE;
    char *end;
    g_autofree char *copy = NULL;

    if (*p == '-' || *p == '+')
        p++;
    for (; g_ascii_isdigit(*p); p++)
        digits = TRUE;
    if (*p == '.') {
        for (p++; g_ascii_isdigit(*p); p++)
            digits = TRUE;
    }
    if (!digits || p - text > 30)
        return NULL;
    copy = g_strndup(text, (gsize)(p - text));
    *number = g_ascii_strtod(copy, &end);
    return *end == '\0' ? p : NULL;
}

/* Lower case without spaces, full stops and underscores: "US fl. oz" -> "usfloz". */
static char *squeeze(const char *text)
{
    GString *squeezed = g_string_new(NULL);

    for (const char *p = text; *p != '\0' && squeezed->len < 40; p++) {
        if (!g_ascii_isspace(*p) && *p != '_' && *p != '.')
            g_string_append_c(squeezed, g_ascii_tolower(*p));
    }
    return g_string_free(squeezed, FALSE);
}

/* `least`: what is less would be nothing in every list. */
static gboolean parse_unit(const char *text, const char *what, const struct unit *units,
                           gsize n_units, double least, double max, gboolean zero_allowed,
                           const char *forms, double *value, GError **error)
{
    const char *start = text, *rest;
    g_autofree char *unit = NULL;
    double number;

    while (g_ascii_isspace(*start))
        start++;
    rest = take_number(start, &number);
    if (rest == NULL)
        return refuse(error, what, text, "is not an amount", forms);
    if (*rest == ',')
        return refuse(error, what, text, "has a comma (the decimal sign is a point)", forms);
    unit = squeeze(rest);
    if (*unit == '\0')
        return refuse(error, what, text, "has no unit", forms);
    if (strcmp(unit, "pint") == 0 || strcmp(unit, "pints") == 0 || strcmp(unit, "quart") == 0 ||
        strcmp(unit, "floz") == 0 || strcmp(unit, "cup") == 0 || strcmp(unit, "gallon") == 0)
        return refuse(error, what, text, "could be US or imperial, and they differ", forms);
    for (gsize i = 0; i < n_units; i++) {
        double converted = number * units[i].factor;

        if (strcmp(unit, units[i].name) != 0)
            continue;
        if (converted < 0 || (converted == 0 && !zero_allowed))
            return refuse(error, what, text, "is not more than nothing", forms);
        if (converted > max)
            return refuse(error, what, text, "is absurdly large", forms);
        if (!zero_allowed && converted < least)
            return refuse(error, what, text, "is absurdly small", forms);
        *value = converted;
        return TRUE;
    }
    return refuse(error, what, text, "has a unit that is not known here", forms);
}

#define LEAST 0.05 /* g or mL: lists show tenths, and balances hold to half of one */
#define MASS_FORMS "87g, 2.5kg, 3oz or 1lb"
#define VOLUME_FORMS "500mL, 1L, 'us pint' or 'imp pint' with a number (2 us fl oz)"
#define STRENGTH_FORMS "40% or '80 proof us'"

gboolean spl_mass_parse(const char *text, const char *what, double *grams, GError **error)
{
    return parse_unit(text, what, masses, G_N_ELEMENTS(masses), LEAST, 1e6, FALSE, MASS_FORMS,
                      grams, error);
}

gboolean spl_volume_parse(const char *text, const char *what, double *ml, GError **error)
{
    g_autofree char *one = NULL;
    g_autofree char *squeezed = squeeze(text);

    /* "us pint" alone is one of them, as people say it. */
    if (g_str_has_prefix(squeezed, "us") || g_str_has_prefix(squeezed, "imp"))
        text = one = g_strconcat("1 ", text, NULL);
    return parse_unit(text, what, volumes, G_N_ELEMENTS(volumes), LEAST, 1e6, FALSE, VOLUME_FORMS,
                      ml, error);
}

gboolean spl_mass_or_volume_parse(const char *text, const char *what, double *grams, double *ml,
                                  GError **error)
{
    g_autoptr(GError) not_ml = NULL, not_mass = NULL;
    double number, g = NAN, v = NAN;
    const char *rest = take_number(text, &number);
    g_autofree char *unit = rest != NULL ? squeeze(rest) : g_strdup("");
    gboolean is_mass = FALSE;

    if (spl_volume_parse(text, what, &v, &not_ml) || spl_mass_parse(text, what, &g, &not_mass)) {
        *grams = g;
        *ml = v;
        return TRUE;
    }
    /* Whose unit it is, knows what is wrong with the number. */
    for (gsize i = 0; i < G_N_ELEMENTS(masses); i++)
        is_mass = is_mass || strcmp(unit, masses[i].name) == 0;
    g_propagate_error(error, is_mass ? g_steal_pointer(&not_mass) : g_steal_pointer(&not_ml));
    return FALSE;
}

#define BOTTLES_MAX 1000

/* "3x100mL", "40mL". */
static gboolean parse_bottles(const char *text, const char *what, struct spl_amount *amount,
                              GError **error)
{
    const char *size = text;
    double count = 1.0;
    struct spl_amount each;

    while (g_ascii_isdigit(*size))
        size++;
    if (size > text && (*size == 'x' || *size == 'X')) {
        count = (double)g_ascii_strtoull(text, NULL, 10); /* "0x10" is no number of sixteen */
        if (count < 1.0 || count > BOTTLES_MAX)
            return refuse(error, what, text, "is not between 1 and 1000 bottles", "3x100mL");
        size++;
    } else {
        size = text;
    }
    if (!spl_mass_or_volume_parse(size, what, &each.g, &each.ml, error))
        return FALSE;
    each = (struct spl_amount){.g = each.g * count, .ml = each.ml * count};
    if (each.g > 1e6 || each.ml > 1e6)
        return refuse(error, what, text, "is absurdly large", "3x100mL");
    *amount = each;
    return TRUE;
}

gboolean spl_amount_parse(const char *text, const char *what, struct spl_amount *amount,
                          GError **error)
{
    g_auto(GStrv) terms = g_strsplit(text, "+", 21);
    guint n = g_strv_length(terms);
    struct spl_amount sum = {NAN, NAN};

    if (n < 2 || *g_strstrip(terms[0]) == '\0') /* one, or a number with its sign */
        return parse_bottles(text, what, amount, error);
    if (n > 20)
        return refuse(error, what, text, "adds up too much", "3x100mL+40mL");
    for (guint i = 0; i < n; i++) {
        struct spl_amount term;

        if (!parse_bottles(g_strstrip(terms[i]), what, &term, error))
            return FALSE;
        if (i > 0 && isnan(term.g) != isnan(sum.g))
            return refuse(error, what, text, "adds weight to volume", "3x100mL+40mL");
        sum.g = i > 0 ? sum.g + term.g : term.g;
        sum.ml = i > 0 ? sum.ml + term.ml : term.ml;
    }
    if (sum.g > 1e6 || sum.ml > 1e6)
        return refuse(error, what, text, "is absurdly large", "3x100mL+40mL");
    *amount = sum;
    return TRUE;
}

gboolean spl_jars_parse(const char *text, const char *what, int *count, double *ml, GError **error)
{
    const char *cross = text;
    double number;

    while (g_ascii_isdigit(*cross))
        cross++;
    if (cross == text || cross - text > 4 || (*cross != 'x' && *cross != 'X')) {
        if (!spl_volume_parse(text, what, ml, error))
            return FALSE;
        *count = 1;
        return TRUE;
    }
    number = (double)g_ascii_strtoull(text, NULL, 10); /* "0x10" is no number of sixteen */
    if (number < 1 || number > 1000)
        return refuse(error, what, text, "is not between 1 and 1000 jars", "6x500mL");
    if (!spl_volume_parse(cross + 1, what, ml, error))
        return FALSE;
    *count = (int)number;
    return TRUE;
}

gboolean spl_strength_parse(const char *text, const char *what, double *frac, GError **error)
{
    double number;
    const char *rest = take_number(text, &number);
    g_autofree char *unit = rest != NULL ? squeeze(rest) : NULL;

    if (rest == NULL)
        return refuse(error, what, text, "is not a strength", STRENGTH_FORMS);
    if (strcmp(unit, "proof") == 0)
        return refuse(error, what, text, "could be US or old British proof, and they differ",
                      STRENGTH_FORMS);
    if (strcmp(unit, "proofus") == 0 || strcmp(unit, "usproof") == 0)
        number /= 2;
    else if (strcmp(unit, "%") != 0 && strcmp(unit, "%vol") != 0 && strcmp(unit, "%abv") != 0)
        return refuse(error, what, text, "has no unit that is known here", STRENGTH_FORMS);
    if (number < 0 || number > 100)
        return refuse(error, what, text, "is not between 0 and 100 per cent", STRENGTH_FORMS);
    *frac = number / 100;
    return TRUE;
}

gboolean spl_share_parse(const char *text, const char *what, double *frac, GError **error)
{
    double number;
    const char *rest = take_number(text, &number);
    g_autofree char *unit = rest != NULL ? squeeze(rest) : NULL;

    if (rest == NULL || strcmp(unit, "%") != 0)
        return refuse(error, what, text, "is not a share", "30%");
    if (number < 0 || number > 100)
        return refuse(error, what, text, "is not between 0 and 100 per cent", "30%");
    *frac = number / 100;
    return TRUE;
}

GArray *spl_parts_parse(const char *text, const char *what, GError **error)
{
    g_auto(GStrv) words = g_strsplit(text, ":", 20);
    g_autoptr(GArray) parts = g_array_new(FALSE, FALSE, sizeof(double));

    for (guint i = 0; words[i] != NULL; i++) {
        double number = 0;
        const char *rest = take_number(words[i], &number);

        if (rest == NULL || *rest != '\0' || number <= 0 || number > 1000) {
            refuse(error, what, text, "is not a list of parts", "1:1 or 2:1:1");
            return NULL;
        }
        g_array_append_val(parts, number);
    }
    if (parts->len == 0) {
        refuse(error, what, text, "is not a list of parts", "1:1 or 2:1:1");
        return NULL;
    }
    return g_steal_pointer(&parts);
}

gboolean spl_ratio_parse(const char *text, const char *what, double *ml_per_g, GError **error)
{
    g_autoptr(GArray) parts = spl_parts_parse(text, what, NULL);
    double ratio;

    if (parts == NULL || parts->len != 2)
        return refuse(error, what, text, "is not a ratio", "1:5 (1 g of plant to 5 mL put in)");
    ratio = g_array_index(parts, double, 1) / g_array_index(parts, double, 0);
    if (ratio > 1000)
        return refuse(error, what, text, "is absurdly thin", "1:5 (1 g of plant to 5 mL put in)");
    *ml_per_g = ratio;
    return TRUE;
}

gboolean spl_length_parse(const char *text, const char *what, double *metres, GError **error)
{
    return parse_unit(text, what, lengths, G_N_ELEMENTS(lengths), 0, 2e7, TRUE,
                      "120m, 1.2km or 300ft", metres, error);
}

gboolean spl_area_parse(const char *text, const char *what, double *m2, GError **error)
{
    return parse_unit(text, what, areas, G_N_ELEMENTS(areas), 1e-6, 1e10, FALSE,
                      "40m2, 0.5ha or 2acre", m2, error);
}

gboolean spl_number_parse(const char *text, const char *what, double min, double max,
                          double *number, GError **error)
{
    double value;
    const char *rest = take_number(text, &value);

    if (rest != NULL && *rest == '\0' && value >= min && value <= max) {
        *number = value;
        return TRUE;
    }
    g_autofree char *low = spl_number_format(min, 3), *high = spl_number_format(max, 3);
    g_autofree char *forms = g_strdup_printf("a plain number from %s to %s", low, high);
    return refuse(error, what, text,
                  rest != NULL && *rest == ','    ? "has a comma (the decimal sign is a point)"
                  : rest == NULL || *rest != '\0' ? "is not a plain number"
                                                  : "is out of range",
                  forms);
}

gboolean spl_count_parse(const char *text, const char *what, int min, int max, int *count,
                         GError **error)
{
    double value;

    if (!spl_number_parse(text, what, min, max, &value, error))
        return FALSE;
    if (value != floor(value) || strchr(text, '.') != NULL) {
        g_autofree char *forms = g_strdup_printf("a whole number from %d to %d", min, max);

        return refuse(error, what, text, "is not a whole number", forms);
    }
    *count = (int)value;
    return TRUE;
}

gboolean spl_clock_parse(const char *text, const char *what, int *minutes, GError **error)
{
    int hour, minute;

    if (strlen(text) != 5 || text[2] != ':' || !g_ascii_isdigit(text[0]) ||
        !g_ascii_isdigit(text[1]) || !g_ascii_isdigit(text[3]) || !g_ascii_isdigit(text[4]))
        return refuse(error, what, text, "is not a time of day", "08:30");
    hour = (text[0] - '0') * 10 + (text[1] - '0');
    minute = (text[3] - '0') * 10 + (text[4] - '0');
    if (hour > 23 || minute > 59)
        return refuse(error, what, text, "is not a time of day", "08:30");
    *minutes = hour * 60 + minute;
    return TRUE;
}

#define COORDINATE_FORMS "54.9712,-2.4610, 54°58'16\"N 2°27'40\"W or geo:54.9712,-2.4610"

/* One angle in degrees-minutes-seconds with its compass letter; what follows, or NULL. */
static const char *take_dms(const char *text, double *degrees, char *letter)
{
    double part[3] = {0, 0, 0};
    const char *p = text;
    int n = 0;

    while (n < 3) {
        const char *rest;

        while (*p == ' ')
            p++;
        if (!g_ascii_isdigit(*p) || (rest = take_number(p, &part[n])) == NULL)
            break;
        p = rest;
        while (*p == ' ')
            p++;
        if (g_str_has_prefix(p, "°"))
            p += strlen("°");
        else if (g_str_has_prefix(p, "′"))
            p += strlen("′");
        else if (g_str_has_prefix(p, "″"))
            p += strlen("″");
        else if (*p == 'd' || *p == '\'' || *p == '"' || *p == 'm' || *p == 's')
            p++;
        if (g_str_has_prefix(p, "''"))
            p += 2;
        n++;
    }
    while (*p == ' ')
        p++;
    *letter = g_ascii_toupper(*p);
    if (n == 0 || *letter == '\0' || strchr("NSEW", *letter) == NULL)
        return NULL;
    if (part[1] >= 60 || part[2] >= 60)
        return NULL;
    *degrees = part[0] + part[1] / 60 + part[2] / 3600;
    if (*letter == 'S' || *letter == 'W')
        *degrees = -*degrees;
    for (p++; *p == ' ' || *p == ','; p++)
        ;
    return p;
}

gboolean spl_coordinates_parse(const char *text, const char *what, double *lat, double *lon,
                               GError **error)
{
    const char *start = g_str_has_prefix(text, "geo:") ? text + 4 : text;
    const char *rest;
    double a, b;
    char letter_a = 0, letter_b = 0;

    if (strlen(text) > 100)
        return refuse(error, what, text, "is too long for a place", COORDINATE_FORMS);
    rest = take_number(start, &a);
    if (rest != NULL && *rest == ',') {
        for (rest++; *rest == ' '; rest++)
            ;
        rest = take_number(rest, &b);
        /* RFC 5870: an altitude and parameters may follow in a geo URI. */
        if (rest != NULL && *rest != '\0' && !(start != text && (*rest == ',' || *rest == ';')))
            rest = NULL;
    } else {
        rest = take_dms(start, &a, &letter_a);
        if (rest != NULL)
            rest = take_dms(rest, &b, &letter_b);
        if (rest != NULL && *rest != '\0')
            rest = NULL;
        if (rest != NULL && strchr("EW", letter_a) != NULL && strchr("NS", letter_b) != NULL) {
            double swap = a;

            a = b;
            b = swap;
        } else if (rest != NULL &&
                   (strchr("NS", letter_a) == NULL || strchr("EW", letter_b) == NULL)) {
            rest = NULL;
        }
    }
    if (rest == NULL)
        return refuse(error, what, text, "is not a place", COORDINATE_FORMS);
    if (fabs(a) > 90 && fabs(a) <= 180 && fabs(b) <= 90)
        return refuse(error, what, text,
                      "has a latitude beyond 90 degrees (latitude and longitude may be swapped)",
                      "LATITUDE,LONGITUDE, for example 54.9712,-2.4610");
    if (fabs(a) > 90 || fabs(b) > 180)
        return refuse(error, what, text, "is out of range (latitude 90, longitude 180 degrees)",
                      COORDINATE_FORMS);
    *lat = a;
    *lon = b;
    return TRUE;
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

char *spl_mass_format(double grams)
{
    if (fabs(grams) >= 1000)
        return with_unit(grams / 1000, 2, "kg");
    return with_unit(grams, fabs(grams) < 10 ? 1 : 0, "g");
}

char *spl_volume_format(double ml)
{
    if (fabs(ml) >= 1000)
        return with_unit(ml / 1000, 2, "L");
    return with_unit(ml, fabs(ml) < 10 ? 1 : 0, "mL");
}

char *spl_percent_format(double frac)
{
    return with_unit(frac * 100, 1, "%");
}

char *spl_mass_format_us(double grams)
{
    double ounces = grams / (453.59237 / 16);

    if (ounces >= 16) {
        g_autofree char *rest = spl_number_format(fmod(ounces, 16), 1);

        return g_strdup_printf("%d lb %s oz", (int)(ounces / 16), rest);
    }
    return with_unit(ounces, 1, "oz");
}

char *spl_volume_format_us(double ml)
{
    return with_unit(ml / (US_GALLON / 128), 1, "US fl oz");
}
