/* SPDX-License-Identifier: MIT
 *
 * Numbers with units as people write them. See base/quantity.h.
 */
#include "base/quantity.h"

#include <string.h>

#include "simpling/customs.h"

/* Whose unit it is: everybody's, or of those who say so, by name or by their customs. */
enum whose { ANY, US, IMP, METRIC };

struct unit {
    const char *name; /* squeezed */
    double factor;    /* to the house's unit */
    enum whose whose; /* a bare name with several owners is read by the customs */
};

/* NIST Handbook 44 (2023), Appendix C: the avoirdupois pound is 453.59237 g exactly. */
#define POUND 453.59237
static const struct unit masses[] = {
    {"g", 1, ANY},
    {"gram", 1, ANY},
    {"grams", 1, ANY},
    {"gramme", 1, ANY},
    {"grammes", 1, ANY},
    {"gm", 1, ANY},
    {"gms", 1, ANY},
    {"kg", 1000, ANY},
    {"kgs", 1000, ANY},
    {"kilo", 1000, ANY},
    {"kilos", 1000, ANY},
    {"kilogram", 1000, ANY},
    {"kilograms", 1000, ANY},
    {"mg", 0.001, ANY},
    {"lb", POUND, ANY},
    {"lbs", POUND, ANY},
    {"pound", POUND, ANY},
    {"pounds", POUND, ANY},
    {"oz", POUND / 16, ANY},
    {"ozs", POUND / 16, ANY},
    {"ounce", POUND / 16, ANY},
    {"ounces", POUND / 16, ANY},
};

/* US gallon 3785.411784 mL, cup 8 fl oz, tablespoon 1/2 fl oz, 3 teaspoons to it (NIST HB 44 App.
 * C); imperial gallon 4546.09 mL (UK SI 1995/1804), cup of half a pint (common practice, no
 * source). The spoon that medicine is given with elsewhere holds 5 mL, the large one 15 (common
 * practice, no source). */
#define US_GALLON 3785.411784
#define IMP_GALLON 4546.09
static const struct unit volumes[] = {
    {"ml", 1, ANY},
    {"mls", 1, ANY},
    {"millilitre", 1, ANY},
    {"millilitres", 1, ANY},
    {"milliliter", 1, ANY},
    {"milliliters", 1, ANY},
    {"cc", 1, ANY},
    {"cl", 10, ANY},
    {"dl", 100, ANY},
    {"l", 1000, ANY},
    {"litre", 1000, ANY},
    {"litres", 1000, ANY},
    {"liter", 1000, ANY},
    {"liters", 1000, ANY},
    {"floz", US_GALLON / 128, US},
    {"floz", IMP_GALLON / 160, IMP},
    {"cup", US_GALLON / 16, US},
    {"cup", IMP_GALLON / 16, IMP},
    {"pint", US_GALLON / 8, US},
    {"pint", IMP_GALLON / 8, IMP},
    {"quart", US_GALLON / 4, US},
    {"quart", IMP_GALLON / 4, IMP},
    {"gallon", US_GALLON, US},
    {"gallon", IMP_GALLON, IMP},
    {"tbsp", US_GALLON / 256, US},
    {"tbsp", 15, IMP},
    {"tbsp", 15, METRIC},
    {"tsp", US_GALLON / 768, US},
    {"tsp", 5, IMP},
    {"tsp", 5, METRIC},
};

static const struct unit lengths[] = {
    {"m", 1, ANY},           {"metre", 1, ANY},       {"metres", 1, ANY},
    {"meter", 1, ANY},       {"meters", 1, ANY},      {"km", 1000, ANY},
    {"kms", 1000, ANY},      {"cm", 0.01, ANY},       {"mm", 0.001, ANY},
    {"ft", 0.3048, ANY},     {"foot", 0.3048, ANY},   {"feet", 0.3048, ANY},
    {"'", 0.3048, ANY},      {"in", 0.0254, ANY},     {"inch", 0.0254, ANY},
    {"inches", 0.0254, ANY}, {"\"", 0.0254, ANY},     {"yd", 0.9144, ANY},
    {"yds", 0.9144, ANY},    {"yard", 0.9144, ANY},   {"yards", 0.9144, ANY},
    {"mi", 1609.344, ANY},   {"mile", 1609.344, ANY}, {"miles", 1609.344, ANY},
};

static const struct unit areas[] = {
    {"m2", 1, ANY},
    {"sqm", 1, ANY},
    {"squaremetre", 1, ANY},
    {"squaremetres", 1, ANY},
    {"squaremeter", 1, ANY},
    {"squaremeters", 1, ANY},
    {"ha", 10000, ANY},
    {"hectare", 10000, ANY},
    {"hectares", 10000, ANY},
    {"km2", 1e6, ANY},
    {"acre", 4046.8564224, ANY},
    {"acres", 4046.8564224, ANY},
    {"ft2", 0.09290304, ANY},
    {"sqft", 0.09290304, ANY},
    {"squarefoot", 0.09290304, ANY},
    {"squarefeet", 0.09290304, ANY},
    {"yd2", 0.83612736, ANY},
    {"sqyd", 0.83612736, ANY},
    {"squareyard", 0.83612736, ANY},
    {"squareyards", 0.83612736, ANY},
};

static const struct unit speeds[] = {
    {"km/h", 1, ANY},
    {"kmh", 1, ANY},
    {"kph", 1, ANY},
    {"mph", 1.609344, ANY},
};

static const struct {
    const struct unit *units;
    gsize n;
} kinds[] = {
    [SPL_QUANTITY_MASS] = {masses, G_N_ELEMENTS(masses)},
    [SPL_QUANTITY_VOLUME] = {volumes, G_N_ELEMENTS(volumes)},
    [SPL_QUANTITY_LENGTH] = {lengths, G_N_ELEMENTS(lengths)},
    [SPL_QUANTITY_AREA] = {areas, G_N_ELEMENTS(areas)},
    [SPL_QUANTITY_SPEED] = {speeds, G_N_ELEMENTS(speeds)},
};

/* Folding ---------------------------------------------------------------------------------------
 */

static const struct {
    gunichar sign;
    const char *text;
} fractions[] = {
    {0x00bd, "1/2"}, {0x00bc, "1/4"}, {0x00be, "3/4"}, {0x2153, "1/3"}, {0x2154, "2/3"},
    {0x2155, "1/5"}, {0x2156, "2/5"}, {0x2157, "3/5"}, {0x2158, "4/5"}, {0x2159, "1/6"},
    {0x215a, "5/6"}, {0x215b, "1/8"}, {0x215c, "3/8"}, {0x215d, "5/8"}, {0x215e, "7/8"},
};

/* What an amount is written with instead of the sign; NULL: the sign itself. */
static const char *plain_sign(gunichar c)
{
    static const char *const digits[] = {"0", "1", "2", "3", "4", "5", "6", "7", "8", "9"};

    if (c >= 0xff10 && c <= 0xff19) /* full width, as Asian keyboards give them */
        return digits[c - 0xff10];
    if ((c >= 0x2010 && c <= 0x2015) || c == 0x2212)
        return "-";
    if (c == 0x2044 || c == 0x2215)
        return "/";
    if (c == 0x2019 || c == 0x2032)
        return "'";
    if (c == 0x201d || c == 0x2033)
        return "\"";
    if (c == 0x00d7)
        return "x";
    if (c == 0x00b2)
        return "2";
    if (c == 0x00a0 || c == 0x202f || (c > 0x7f && g_unichar_isspace(c)))
        return " ";
    if (g_unichar_iszerowidth(c) || (c >= 0x202a && c <= 0x202e) || (c >= 0x2066 && c <= 0x2069))
        return "";
    return NULL;
}

static const char *fraction_of(gunichar c)
{
    for (gsize i = 0; i < G_N_ELEMENTS(fractions); i++) {
        if (fractions[i].sign == c)
            return fractions[i].text;
    }
    return NULL;
}

char *spl_quantity_fold(const char *text)
{
    GString *folded = g_string_new(NULL);

    if (!g_utf8_validate(text, -1, NULL)) {
        g_string_append(folded, text);
        return g_string_free(folded, FALSE);
    }
    for (; *text != '\0'; text = g_utf8_next_char(text)) {
        gunichar c = g_utf8_get_char(text);
        const char *fraction = fraction_of(c), *plain = plain_sign(c);

        if (fraction != NULL)
            g_string_append_printf(folded, " %s", fraction);
        else if (plain != NULL)
            g_string_append(folded, plain);
        else
            g_string_append_unichar(folded, c);
    }
    return g_strstrip(g_string_free(folded, FALSE));
}

char *spl_quantity_squeeze(const char *text)
{
    GString *squeezed = g_string_new(NULL);

    for (const char *p = text; *p != '\0' && squeezed->len < 40; p++) {
        if (!g_ascii_isspace(*p) && *p != '_' && *p != '.')
            g_string_append_c(squeezed, g_ascii_tolower(*p));
    }
    return g_string_free(squeezed, FALSE);
}

/* Numbers ---------------------------------------------------------------------------------------
 */

static gsize digits_at(const char *p)
{
    gsize n = 0;

    while (g_ascii_isdigit(p[n]))
        n++;
    return n;
}

/* "n/d"; what follows. */
static const char *take_fraction(const char *p, double *number)
{
    gsize over = digits_at(p), under = p[over] == '/' ? digits_at(p + over + 1) : 0;
    double divisor;

    if (over == 0 || under == 0 || over > 3 || under > 3)
        return NULL;
    divisor = g_ascii_strtod(p + over + 1, NULL);
    if (divisor == 0)
        return NULL;
    *number = g_ascii_strtod(p, NULL) / divisor;
    return p + over + 1 + under;
}

/* Digits, at most one point or comma. No exponent, so that "2e3" cannot slip through. */
static const char *take_decimal(const char *p, double *number)
{
    const char *from = p;
    gsize whole = digits_at(p), parts = 0;
    g_autofree char *copy = NULL;

    p += whole;
    if (*p == '.') {
        parts = digits_at(p + 1);
        p += 1 + parts;
    } else if (*p == ',') {
        gsize behind = digits_at(p + 1);

        if (whole == 0 || behind < 1 || behind > 2 || p[1 + behind] == ',')
            return NULL;
        parts = behind;
        p += 1 + behind;
    }
    if (whole + parts == 0 || p - from > 30)
        return NULL;
    copy = g_strdelimit(g_strndup(from, (gsize)(p - from)), ",", '.');
    *number = g_ascii_strtod(copy, NULL);
    return p;
}

const char *spl_quantity_number(const char *folded, double *number)
{
    const char *p = folded, *rest;
    double sign = 1, value = 0, part;

    while (g_ascii_isspace(*p))
        p++;
    if (*p == '-' || *p == '+')
        sign = *p++ == '-' ? -1 : 1;
    while (g_ascii_isspace(*p))
        p++;
    rest = take_fraction(p, &value);
    if (rest == NULL) {
        gsize whole = digits_at(p);

        rest = take_decimal(p, &value);
        if (rest == NULL)
            return NULL;
        if (rest == p + whole && g_ascii_isspace(*rest)) {
            const char *next = rest;

            while (g_ascii_isspace(*next))
                next++;
            next = take_fraction(next, &part);
            if (next != NULL && part < 1) {
                value += part;
                rest = next;
            }
        }
    }
    *number = sign * value;
    return rest;
}

/* Units -----------------------------------------------------------------------------------------
 */

/* The names by which a volume with several owners goes. */
static const struct {
    const char *said, *name;
} spellings[] = {
    {"fluidounce", "floz"}, {"fluidounces", "floz"}, {"flozs", "floz"},       {"cups", "cup"},
    {"pints", "pint"},      {"pt", "pint"},          {"pts", "pint"},         {"quarts", "quart"},
    {"qt", "quart"},        {"qts", "quart"},        {"gallons", "gallon"},   {"gal", "gallon"},
    {"gals", "gallon"},     {"tablespoon", "tbsp"},  {"tablespoons", "tbsp"}, {"tbsps", "tbsp"},
    {"teaspoon", "tsp"},    {"teaspoons", "tsp"},    {"tsps", "tsp"},
};

static const char *spelled(const char *said)
{
    for (gsize i = 0; i < G_N_ELEMENTS(spellings); i++) {
        if (strcmp(spellings[i].said, said) == 0)
            return spellings[i].name;
    }
    return said;
}

static enum whose customary(void)
{
    static const enum whose of[] = {
        [SPL_UNITS_METRIC] = METRIC, [SPL_UNITS_US] = US, [SPL_UNITS_IMP] = IMP};

    return of[spl_customs()->read];
}

/* The unit of that name; `*differ`: there are several, and nobody says whose. */
static const struct unit *find_unit(enum spl_quantity kind, const char *said, gboolean *differ)
{
    enum whose whose = customary();
    const char *name = said;

    *differ = FALSE;
    if (kind == SPL_QUANTITY_VOLUME) {
        gsize skip = g_str_has_prefix(said, "us")         ? 2
                     : g_str_has_prefix(said, "imperial") ? 8
                     : g_str_has_prefix(said, "imp")      ? 3
                                                          : 0;

        if (skip > 0)
            whose = skip == 2 ? US : IMP;
        name = spelled(said + skip);
    }
    for (gsize i = 0; i < kinds[kind].n; i++) {
        const struct unit *unit = &kinds[kind].units[i];

        if (strcmp(unit->name, name) != 0)
            continue;
        if (unit->whose == whose || (unit->whose == ANY && name == said))
            return unit;
        *differ = unit->whose != ANY;
    }
    return NULL;
}

gboolean spl_quantity_has_unit(enum spl_quantity kind, const char *unit)
{
    gboolean differ;

    return find_unit(kind, unit, &differ) != NULL || differ;
}

/* Of a word that is no unit of the kind. */
static char *wrong_unit(enum spl_quantity kind, const char *unit, gboolean differ)
{
    if (differ)
        return g_strdup("could be US or imperial, and they differ");
    if (strcmp(unit, "gr") == 0)
        return g_strdup("could be grams or grains");
    if (g_str_has_prefix(unit, "drop"))
        return g_strdup("has no measure: drops and droppers differ");
    if (kind == SPL_QUANTITY_MASS && spl_quantity_has_unit(SPL_QUANTITY_VOLUME, unit))
        return g_strdup("is a volume, and this is weighed");
    if (kind == SPL_QUANTITY_VOLUME && spl_quantity_has_unit(SPL_QUANTITY_MASS, unit))
        return g_strdup("is a weight, and this is a volume");
    return g_strdup("has a unit that is not known here");
}

/* The unit at `p` up to the next number; `*next` is where that begins. */
static char *take_unit(enum spl_quantity kind, const char *p, const char **next)
{
    const char *end = p;
    g_autofree char *said = NULL;

    while (*end != '\0' && !g_ascii_isdigit(*end))
        end++;
    /* "40m2": the digit is of the unit when nothing of a number follows it. */
    if (kind == SPL_QUANTITY_AREA && *end == '2' && !g_ascii_isdigit(end[1]) && end[1] != '.' &&
        end > p && g_ascii_isalpha(end[-1]))
        end++;
    said = g_strndup(p, (gsize)(end - p));
    *next = end;
    return spl_quantity_squeeze(said);
}

/* Whether three digits behind a point or comma may part thousands: "1,200 g", "1.200 mL". Scales
 * show kilograms with three digits, and nobody weighs a milligram of herb. */
static gboolean has_two_readings(enum spl_quantity kind, const char *number, const char *rest,
                                 double factor)
{
    gboolean weighed = kind == SPL_QUANTITY_MASS || kind == SPL_QUANTITY_VOLUME;
    gsize whole;

    while (*number == ' ' || *number == '-' || *number == '+')
        number++;
    whole = digits_at(number);
    return weighed && factor == 1 && whole >= 1 && whole <= 3 && *number != '0' &&
           number[whole] == '.' && rest == number + whole + 4;
}

static gboolean has_odd_comma(const char *text)
{
    const char *comma = strchr(text, ',');

    return comma != NULL && comma > text && g_ascii_isdigit(comma[-1]) && g_ascii_isdigit(comma[1]);
}

/* "half a pint", "a cup": the number in words, or the text as it is. */
static char *with_number(const char *folded)
{
    static const struct {
        const char *word, *number;
    } words[] = {
        {"half a ", "1/2 "}, {"half an ", "1/2 "}, {"half ", "1/2 "}, {"quarter of a ", "1/4 "},
        {"a ", "1 "},        {"an ", "1 "},        {"one ", "1 "}};
    g_autofree char *lower = g_ascii_strdown(folded, -1);

    for (gsize i = 0; i < G_N_ELEMENTS(words); i++) {
        if (g_str_has_prefix(lower, words[i].word))
            return g_strconcat(words[i].number, folded + strlen(words[i].word), NULL);
    }
    /* "us pint" alone is one of them, as people say it. */
    if (g_str_has_prefix(lower, "us") || g_str_has_prefix(lower, "imp") ||
        spl_quantity_has_unit(SPL_QUANTITY_VOLUME, spelled(lower)))
        return strlen(lower) < 2 ? g_strdup(folded) : g_strconcat("1 ", folded, NULL);
    return g_strdup(folded);
}

char *spl_quantity_read(enum spl_quantity kind, const char *text, gboolean bare, double *value)
{
    g_autofree char *folded = spl_quantity_fold(text);
    g_autofree char *whole = kind == SPL_QUANTITY_VOLUME ? with_number(folded) : g_strdup(folded);
    double sum = 0, last = 0;
    const char *p = whole;

    do {
        double number;
        const char *rest = spl_quantity_number(p, &number), *next;
        g_autofree char *said = NULL;
        const struct unit *unit;
        gboolean differ;

        if (rest == NULL)
            return g_strdup(has_odd_comma(p) ? "has a comma that may part thousands or decimals; "
                                               "leave it out, or use a point"
                                             : "is not an amount");
        if (*rest == ',')
            return g_strdup("has a comma (the decimal sign is a point)");
        said = take_unit(kind, rest, &next);
        if (*said == '\0' && p == whole && bare && spl_customs()->read == SPL_UNITS_METRIC) {
            *value = number;
            return NULL;
        }
        if (*said == '\0')
            return p == whole ? g_strdup("has no unit")
                              : g_strdup_printf("does not say what its last %g are of", number);
        unit = find_unit(kind, said, &differ);
        if (unit == NULL)
            return wrong_unit(kind, said, differ);
        if (has_two_readings(kind, p, rest, unit->factor))
            return g_strdup_printf("could be %g or %.0f", number, number * 1000);
        /* "2 lb 8 oz": the parts grow smaller, and none of them is a whole of the one before. */
        if (last > 0 && (number < 0 || number * unit->factor >= last))
            return g_strdup("does not add up; say it in one unit");
        sum += number * unit->factor;
        last = unit->factor;
        p = next;
    } while (*p != '\0');
    *value = sum;
    return NULL;
}
