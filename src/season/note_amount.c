/* SPDX-License-Identifier: MIT
 *
 * Amounts in notes, as people type and dictate them. See season/note_scan.h.
 *
 * 28.349523125 g an ounce avoirdupois, 16 a pound: NIST Handbook 44, appendix C. Volumes are read
 * by base/amount.h, which knows whose pint it is.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "season/note_scan.h"
#include "simpling/error.h"

#define OUNCE_G 28.349523125
#define POUND_G (16 * OUNCE_G)

#define NUMBER "(\\d+ \\d+/\\d+|\\d+/\\d+|\\d*[.,]\\d+|\\d+)"
#define MASS                                                                                       \
    "(kilograms?|kilogrammes?|kilos?|kgs?|grams?|grammes?|gms?|g|ounces?|ozs?|pounds?|lbs?)"       \
    "(?![a-z0-9])"
#define VOLUME                                                                                     \
    "((?:(?:us|imp) )?(?:fl\\.? ?oz|fluid ounces?|pints?|quarts?|cups?|gallons?|tbsp|tsp)|"        \
    "millilit(?:re|er)s?|mls?|cl|dl|lit(?:re|er)s?|l)(?![a-z0-9])"
#define BAGS                                                                                       \
    "(bags?|baskets?|sacks?|handfuls?|handfulls?|buckets?|punnets?|boxes|box|crates?|trays?|"      \
    "trugs?)(?: ?full(?! ?(?:flower|bloom|blossom)))?(?![a-z])"

/* A number as it stands; what is wrong with it into `fault`. `unit` settles "1.200 kg", as scales
 * show it. */
static double number_of(const char *text, const char *unit, char **fault)
{
    const char *blank = strchr(text, ' '), *slash = strchr(text, '/');
    const char *point = strpbrk(text, ".,");

    if (slash != NULL) {
        const double whole = blank != NULL ? g_ascii_strtod(text, NULL) : 0;
        const double above = g_ascii_strtod(blank != NULL ? blank + 1 : text, NULL);
        const double below = g_ascii_strtod(slash + 1, NULL);

        if (below > 0 && above < below * 100)
            return whole + above / below;
        *fault = g_strdup_printf("'%s' is no number", text);
        return 0;
    }
    if (point != NULL) {
        g_autofree char *plain = g_strdup(text);
        const gsize behind = strlen(point + 1);

        plain[point - text] = '.';
        if (point > text && behind == 3 && !(*point == '.' && g_str_has_prefix(unit, "k"))) {
            g_autofree char *thousands =
                g_strdup_printf("%.*s%s", (int)(point - text), text, point + 1);

            *fault = g_strdup_printf("%s or %s? write it without a sign for thousands", plain,
                                     thousands);
        } else if (*point == ',' && behind > 2) {
            *fault = g_strdup_printf("'%s': which digits are behind the point?", text);
        }
        return g_ascii_strtod(plain, NULL);
    }
    return g_ascii_strtod(text, NULL);
}

static double grams_of(const char *unit)
{
    if (*unit == 'k')
        return 1000;
    if (*unit == 'g')
        return 1;
    return *unit == 'o' ? OUNCE_G : POUND_G;
}

/* One number with its unit, as g or mL. */
static gboolean scan_part(const char *text, gsize at, struct spl_note_token *token, double *amount,
                          gsize *end)
{
    static GRegex *mass, *volume;
    g_autoptr(GMatchInfo) match = NULL, other = NULL;
    g_autofree char *number = NULL, *unit = NULL;

    if (spl_note_scan(&volume, NUMBER " ?" VOLUME, text, at, &other)) {
        g_autoptr(GError) error = NULL;
        g_autofree char *whole = NULL;
        double value;

        number = g_match_info_fetch(other, 1);
        unit = g_match_info_fetch(other, 2);
        *end = spl_note_scan_end(other);
        value = number_of(number, unit, &token->fault);
        whole = g_strdup_printf("1 %s", unit);
        if (!spl_volume_parse(whole, "volume", amount, &error)) {
            if (token->fault == NULL)
                token->fault =
                    g_strdup_printf("'%s': whose? write 'us %s', 'imp %s' or mL", unit, unit, unit);
            *amount = 0;
        }
        *amount *= value;
        token->word = SPL_NOTE_VOLUME;
        return TRUE;
    }
    if (!spl_note_scan(&mass, NUMBER " ?" MASS, text, at, &match))
        return FALSE;
    number = g_match_info_fetch(match, 1);
    unit = g_match_info_fetch(match, 2);
    *end = spl_note_scan_end(match);
    *amount = number_of(number, unit, &token->fault) * grams_of(unit);
    token->word = SPL_NOTE_MASS;
    if (*unit == 'l' || *unit == 'p') { /* pounds, with ounces behind them */
        static GRegex *ounces;
        g_autoptr(GMatchInfo) more = NULL;

        if (spl_note_scan(&ounces, "\\.?(?: and |, ?| ?)" NUMBER " ?(?:ounces?|ozs?)(?![a-z0-9])",
                          text, *end, &more)) {
            g_autofree char *count = g_match_info_fetch(more, 1);

            *amount += number_of(count, "oz", &token->fault) * OUNCE_G;
            *end = spl_note_scan_end(more);
        }
    }
    return TRUE;
}

/* Bounds that a kitchen knows, said as a fault. */
static void judge(struct spl_note_token *token)
{
    if (token->fault != NULL)
        return;
    if (token->number <= 0)
        token->fault = g_strdup("nothing is no amount; leave the line out");
    else if (token->number > 1000000)
        token->fault = g_strdup("more than a tonne, or than 1000 litres");
}

/* "+ 150 g" behind an amount, as often as it stands there. */
static void scan_more(const char *text, struct spl_note_token *token)
{
    static GRegex *plus;
    g_autoptr(GMatchInfo) match = NULL;

    while (spl_note_scan(&plus, " ?\\+ ?(?=\\d)", text, token->end, &match)) {
        const enum spl_note_word word = token->word;
        double more;
        gsize end;

        if (!scan_part(text, spl_note_scan_end(match), token, &more, &end))
            return;
        if (token->word != word && token->fault == NULL)
            token->fault = g_strdup("grams and millilitres cannot be added");
        token->number += more;
        token->end = end;
        token->value = TRUE; /* as it was typed, for the remark */
        g_clear_pointer(&match, g_match_info_unref);
    }
}

static gboolean scan_times(const char *text, gsize at, struct spl_note_token *token)
{
    static GRegex *times;
    g_autoptr(GMatchInfo) match = NULL;
    g_autofree char *count = NULL;
    double each;
    gsize end;

    if (!spl_note_scan(&times, "(\\d{1,3}) ?[x*] ?(?=[\\d.])", text, at, &match) ||
        !scan_part(text, spl_note_scan_end(match), token, &each, &end))
        return FALSE;
    count = g_match_info_fetch(match, 1);
    token->number = each * g_ascii_strtod(count, NULL);
    token->value = TRUE;
    token->end = end;
    return TRUE;
}

static gboolean scan_range(const char *text, gsize at, struct spl_note_token *token)
{
    static GRegex *range;
    g_autoptr(GMatchInfo) match = NULL;

    if (!spl_note_scan(&range,
                       "\\d+(?:[.,]\\d+)? ?(?:g|kg)? ?(?:-|to) ?\\d+(?:[.,]\\d+)? ?(?:" MASS
                       "|" VOLUME ")",
                       text, at, &match))
        return FALSE;
    token->word = SPL_NOTE_MASS;
    token->end = spl_note_scan_end(match);
    token->fault = g_strdup("one amount, please: as it was weighed, or 'about' the middle");
    return TRUE;
}

/* Number words ----------------------------------------------------------------------------------
 */

static const struct number_word {
    const char *word;
    double value; /* added; multiplied from 100 on */
} number_words[] = {
    {"a", 1},         {"an", 1},         {"one", 1},      {"two", 2},        {"three", 3},
    {"four", 4},      {"five", 5},       {"six", 6},      {"seven", 7},      {"eight", 8},
    {"nine", 9},      {"ten", 10},       {"eleven", 11},  {"twelve", 12},    {"thirteen", 13},
    {"fourteen", 14}, {"fifteen", 15},   {"sixteen", 16}, {"seventeen", 17}, {"eighteen", 18},
    {"nineteen", 19}, {"twenty", 20},    {"thirty", 30},  {"forty", 40},     {"fifty", 50},
    {"sixty", 60},    {"seventy", 70},   {"eighty", 80},  {"ninety", 90},    {"hundred", 100},
    {"half", 0.5},    {"quarter", 0.25}, {"couple", 2},   {"dozen", 12},     {"thousand", 1000},
};

static gboolean number_word(const char *text, gsize at, double *value, gsize *end)
{
    *end = spl_note_piece_end(text, at);
    for (gsize i = 0; i < G_N_ELEMENTS(number_words); i++) {
        if (strlen(number_words[i].word) == *end - at &&
            strncmp(number_words[i].word, text + at, *end - at) == 0) {
            *value = number_words[i].value;
            return TRUE;
        }
    }
    return FALSE;
}

/* "six hundred", "one and a half", "half a"; the place behind its blanks in `end`. */
static gboolean scan_words(const char *text, gsize at, double *value, gsize *end)
{
    double sum = 0, last;
    gsize stop;
    gboolean any = FALSE;

    while (number_word(text, at, &last, &stop)) {
        if (last >= 100)
            sum = (sum > 0 ? sum : 1) * last;
        else if (any && last == 1 && (sum == 0.5 || sum == 0.25))
            last = 0; /* half a pound */
        else if (any && sum == 1 && last < 1)
            sum = last; /* a quarter */
        else
            sum += last;
        any = TRUE;
        at = stop + (text[stop] == ' ' || text[stop] == '-');
        if (strncmp(text + at, "and ", 4) == 0 && number_word(text, at + 4, &last, &stop)) {
            /* One and a half: the "a" is none of its own. */
            at += 4;
            if (strncmp(text + at, "a half", 6) == 0 || strncmp(text + at, "a quarter", 9) == 0)
                at += 2;
            if (number_word(text, at, &last, &stop) && last < 1) {
                sum += last;
                at = stop + (text[stop] == ' ');
            }
        } else if (strncmp(text + at, "of ", 3) == 0 && sum < 3) {
            at += 3;
        }
    }
    *value = sum;
    *end = at;
    return any;
}

static enum spl_note_container container_of(const char *unit, double number)
{
    if (number == floor(number) && g_str_has_prefix(unit, "bag"))
        return SPL_NOTE_IN_BAGS;
    return g_str_has_prefix(unit, "handful") ? SPL_NOTE_IN_HANDFULS : SPL_NOTE_IN_OTHERS;
}

static gboolean scan_spoken(const char *text, gsize at, struct spl_note_token *token)
{
    static GRegex *mass, *volume, *bags;
    g_autoptr(GMatchInfo) match = NULL, litres = NULL, counted = NULL;
    g_autofree char *unit = NULL;
    double value;
    gsize end;

    if (!scan_words(text, at, &value, &end))
        return FALSE;
    if (spl_note_scan(&bags, BAGS, text, end, &counted)) {
        token->word = SPL_NOTE_BAGS;
        unit = g_match_info_fetch(counted, 1);
        token->value = (int)container_of(unit, value);
        token->number = MAX(1, ceil(value));
        token->end = spl_note_scan_end(counted);
        return TRUE;
    }
    if (spl_note_scan(&mass, MASS, text, end, &match)) {
        unit = g_match_info_fetch(match, 1);
        if (strlen(unit) < 2)
            return FALSE; /* "a g" is none */
        token->word = SPL_NOTE_MASS;
        token->number = value * grams_of(unit);
        token->end = spl_note_scan_end(match);
        return TRUE;
    }
    if (spl_note_scan(&volume, VOLUME, text, end, &litres)) {
        g_autofree char *one = NULL;

        unit = g_match_info_fetch(litres, 1);
        one = g_strdup_printf("1 %s", unit);
        token->word = SPL_NOTE_VOLUME;
        token->end = spl_note_scan_end(litres);
        if (spl_volume_parse(one, "volume", &token->number, NULL))
            token->number *= value;
        else
            token->fault = g_strdup_printf("'%s': whose? write us, imp or mL", unit);
        return TRUE;
    }
    return FALSE;
}

/* Shapes ----------------------------------------------------------------------------------------
 */

static gboolean scan_counted(const char *text, gsize at, struct spl_note_token *token)
{
    static GRegex *bags, *plants, *grains;
    g_autoptr(GMatchInfo) match = NULL, other = NULL, old = NULL;
    g_autofree char *number = NULL, *unit = NULL;

    if (spl_note_scan(&bags, "(\\d{1,3}|\\d+/\\d+|\\d+ \\d+/\\d+) ?" BAGS, text, at, &match)) {
        double value;

        number = g_match_info_fetch(match, 1);
        unit = g_match_info_fetch(match, 2);
        value = number_of(number, unit, &token->fault);
        token->word = SPL_NOTE_BAGS;
        token->value = (int)container_of(unit, value);
        token->number = ceil(value);
        token->end = spl_note_scan_end(match);
        judge(token);
        return TRUE;
    }
    if (spl_note_scan(&plants, "(\\d{1,6}) (?:plants?|shrubs?|trees?|bushes|stems)(?![a-z])", text,
                      at, &other)) {
        number = g_match_info_fetch(other, 1);
        token->word = SPL_NOTE_PLANTS;
        token->number = g_ascii_strtod(number, NULL);
        token->end = spl_note_scan_end(other);
        return TRUE;
    }
    if (spl_note_scan(&grains, "[\\d.,/]+ ?gr\\.?(?![a-z0-9])", text, at, &old)) {
        token->word = SPL_NOTE_MASS;
        token->end = spl_note_scan_end(old);
        token->fault = g_strdup("grams or grains? write g");
        return TRUE;
    }
    return FALSE;
}

gboolean spl_note_scan_amount(const char *text, gsize at, struct spl_note_token *token)
{
    if (!g_ascii_isdigit(text[at]) && text[at] != '.')
        return scan_spoken(text, at, token);
    if (scan_range(text, at, token) || scan_counted(text, at, token))
        return TRUE;
    if (!scan_times(text, at, token)) {
        if (!scan_part(text, at, token, &token->number, &token->end))
            return FALSE;
        scan_more(text, token);
    }
    judge(token);
    return TRUE;
}

gboolean spl_note_scan_number(const char *text, gsize at, struct spl_note_token *token)
{
    static GRegex *number;
    g_autoptr(GMatchInfo) match = NULL;

    if (!spl_note_scan(&number, NUMBER, text, at, &match))
        return FALSE;
    token->word = SPL_NOTE_NUMBER;
    token->text = g_match_info_fetch(match, 1);
    token->number = g_ascii_strtod(token->text, NULL);
    token->end = spl_note_scan_end(match);
    return TRUE;
}
