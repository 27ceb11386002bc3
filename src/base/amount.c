/* SPDX-License-Identifier: MIT
 *
 * Amounts at the door. See base/amount.h.
 */
#include "base/amount.h"

#include <math.h>
#include <string.h>

#include "simpling/customs.h"
#include "simpling/error.h"

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
 * exponent, so that "2e3" cannot slip through. NULL if there is none, else what follows.
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

/* What a kind allows. `least`: what is less would be nothing in every list. */
struct door {
    enum spl_quantity kind;
    double least, max;
    gboolean zero_allowed, bare;
};

static gboolean parse_quantity(const char *text, const char *what, struct door door, double *value,
                               GError **error)
{
    const char *forms = spl_amount_forms(door.kind);
    double read = 0;
    g_autofree char *wrong = spl_quantity_read(door.kind, text, door.bare, &read);

    if (wrong != NULL)
        return refuse(error, what, text, wrong, forms);
    if (read < 0 || (read == 0 && !door.zero_allowed))
        return refuse(error, what, text, "is not more than nothing", forms);
    if (read > door.max)
        return refuse(error, what, text, "is absurdly large", forms);
    if (!door.zero_allowed && read < door.least)
        return refuse(error, what, text, "is absurdly small", forms);
    *value = read;
    return TRUE;
}

/* The forms that hold for this person: what stands here is read back. */
const char *spl_amount_forms(enum spl_quantity kind)
{
    static const char *const forms[][3] = {
        [SPL_QUANTITY_MASS] = {"87g, 2.5kg, 3oz or 1lb 2oz", "3oz, 1lb 2oz or 87g",
                               "3oz, 1lb 2oz or 87g"},
        [SPL_QUANTITY_VOLUME] = {"500mL, 1L, '2 us fl oz' or '1 imp pint'",
                                 "'8 fl oz', '1 pint', 500mL or '1 imp pint'",
                                 "'8 fl oz', '1 pint', 500mL or '1 us pint'"},
        [SPL_QUANTITY_LENGTH] = {"120m, 1.2km or 300ft", "300ft, 2 miles or 120m",
                                 "300ft, 2 miles or 120m"},
        [SPL_QUANTITY_AREA] = {"40m2, 0.5ha or 2 acres", "'30 sq ft', 2 acres or 40m2",
                               "'30 sq ft', 2 acres or 40m2"},
        [SPL_QUANTITY_SPEED] = {"50 or 30mph", "30mph or 50km/h", "30mph or 50km/h"},
    };

    return forms[kind][spl_customs()->read];
}

#define LEAST 0.05 /* g or mL: lists show tenths, and balances hold to half of one */
#define STRENGTH_FORMS "40% or '80 proof us'"

gboolean spl_mass_parse(const char *text, const char *what, double *grams, GError **error)
{
    return parse_quantity(text, what, (struct door){SPL_QUANTITY_MASS, LEAST, 1e6, FALSE, FALSE},
                          grams, error);
}

gboolean spl_volume_parse(const char *text, const char *what, double *ml, GError **error)
{
    return parse_quantity(text, what, (struct door){SPL_QUANTITY_VOLUME, LEAST, 1e6, FALSE, FALSE},
                          ml, error);
}

gboolean spl_mass_or_volume_parse(const char *text, const char *what, double *grams, double *ml,
                                  GError **error)
{
    g_autoptr(GError) not_ml = NULL, not_mass = NULL;
    g_autofree char *folded = spl_quantity_fold(text);
    double number, g = NAN, v = NAN;
    const char *rest = spl_quantity_number(folded, &number);
    g_autofree char *unit = spl_quantity_squeeze(rest != NULL ? rest : "");

    if (spl_volume_parse(text, what, &v, &not_ml) || spl_mass_parse(text, what, &g, &not_mass)) {
        *grams = g;
        *ml = v;
        return TRUE;
    }
    /* Whose unit it is, knows what is wrong with the number. */
    unit[strcspn(unit, "0123456789")] = '\0';
    g_propagate_error(error, spl_quantity_has_unit(SPL_QUANTITY_MASS, unit)
                                 ? g_steal_pointer(&not_mass)
                                 : g_steal_pointer(&not_ml));
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
    g_autofree char *folded = spl_quantity_fold(text);
    double number;
    const char *rest = spl_quantity_number(folded, &number);
    g_autofree char *unit = rest != NULL ? spl_quantity_squeeze(rest) : NULL;

    if (rest == NULL)
        return refuse(error, what, text, "is not a strength", STRENGTH_FORMS);
    if (strcmp(unit, "proof") == 0 && spl_customs()->read != SPL_UNITS_US)
        return refuse(error, what, text, "could be US or old British proof, and they differ",
                      STRENGTH_FORMS);
    if (strcmp(unit, "proof") == 0 || strcmp(unit, "proofus") == 0 || strcmp(unit, "usproof") == 0)
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
    g_autofree char *folded = spl_quantity_fold(text);
    double number;
    const char *rest = spl_quantity_number(folded, &number);
    g_autofree char *unit = rest != NULL ? spl_quantity_squeeze(rest) : NULL;

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
    return parse_quantity(text, what, (struct door){SPL_QUANTITY_LENGTH, 0, 2e7, TRUE, FALSE},
                          metres, error);
}

gboolean spl_area_parse(const char *text, const char *what, double *m2, GError **error)
{
    return parse_quantity(text, what, (struct door){SPL_QUANTITY_AREA, 1e-6, 1e10, FALSE, FALSE},
                          m2, error);
}

gboolean spl_speed_parse(const char *text, const char *what, double *km_h, GError **error)
{
    return parse_quantity(text, what, (struct door){SPL_QUANTITY_SPEED, 1e-3, 1e4, FALSE, TRUE},
                          km_h, error);
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

/* Blanks around it, and the minus signs that word processors and maps write, do not count. */
static char *fold_place(const char *text)
{
    GString *folded = g_string_new(NULL);

    for (const char *p = text; *p != '\0'; p++) {
        if (g_str_has_prefix(p, "\342\210\222")) { /* U+2212 */
            g_string_append_c(folded, '-');
            p += 2;
        } else if (g_str_has_prefix(p, "\302\240")) { /* U+00A0 */
            g_string_append_c(folded, ' ');
            p += 1;
        } else {
            g_string_append_c(folded, *p);
        }
    }
    return g_strstrip(g_string_free(folded, FALSE));
}

/* The comma between two numbers, or a blank before the second. */
static gboolean take_between(const char **rest)
{
    const char *p = *rest;
    gboolean parted = *p == ',' || *p == ' ';

    while (*p == ' ')
        p++;
    if (*p == ',')
        p++;
    while (*p == ' ')
        p++;
    if (!parted || !(g_ascii_isdigit(*p) || *p == '-' || *p == '+' || *p == '.'))
        return FALSE;
    *rest = p;
    return TRUE;
}

gboolean spl_coordinates_parse(const char *text, const char *what, double *lat, double *lon,
                               GError **error)
{
    g_autofree char *folded = fold_place(text);
    gboolean is_uri = g_ascii_strncasecmp(folded, "geo:", 4) == 0;
    const char *start = is_uri ? folded + 4 : folded;
    const char *rest;
    double a, b;
    char letter_a = 0, letter_b = 0;

    if (strlen(text) > 100)
        return refuse(error, what, text, "is too long for a place", COORDINATE_FORMS);
    rest = take_number(start, &a);
    if (rest != NULL && take_between(&rest)) {
        rest = take_number(rest, &b);
        /* RFC 5870: an altitude and parameters may follow in a geo URI. */
        if (rest != NULL && *rest != '\0' && !(is_uri && (*rest == ',' || *rest == ';')))
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
