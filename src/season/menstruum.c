/* SPDX-License-Identifier: MIT
 *
 * A liquid as a person writes it. See season/menstruum.h.
 */
#include "season/menstruum.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/text.h"
#include "simpling/error.h"

void spl_menstruum_clear(struct spl_menstruum *menstruum)
{
    g_clear_pointer(&menstruum->words, g_free);
    g_clear_pointer(&menstruum->supplier, g_free);
    g_clear_pointer(&menstruum->number, g_free);
}

/* The piece of `words` that is a strength: "40%", "40 %", "80 proof us"; NULL if none is. */
static char *find_strength(const char *words)
{
    g_autoptr(GRegex) regex =
        g_regex_new("-?[0-9][0-9.,]*\\s*(%|proof(\\s+(us|uk))?)", G_REGEX_CASELESS, 0, NULL);
    g_autoptr(GMatchInfo) match = NULL;

    if (regex == NULL || !g_regex_match(regex, words, 0, &match))
        return NULL;
    return g_match_info_fetch(match, 0);
}

static gboolean take_piece(char **pieces, guint i, const char *what, char **target, GError **error)
{
    if (*g_strstrip(pieces[i]) == '\0')
        return TRUE;
    *target = spl_text_clean(pieces[i], what, SPL_NAME_MAX, FALSE, error);
    return *target != NULL;
}

static gboolean is_water(const char *words)
{
    return g_ascii_strcasecmp(words, "water") == 0 || g_str_has_suffix(words, " water");
}

static gboolean parse(const char *text, enum spl_liquid liquid, struct spl_menstruum *menstruum,
                      GError **error)
{
    g_auto(GStrv) pieces = g_strsplit(text, ",", 3);
    guint n = g_strv_length(pieces);
    g_autofree char *strength = NULL;

    if (n == 0 || *g_strstrip(pieces[0]) == '\0') {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "menstruum: is empty; write it as \"spirit 40%%, SUPPLIER, NUMBER\"");
        return FALSE;
    }
    if (!take_piece(pieces, 0, "menstruum", &menstruum->words, error) ||
        (n > 1 && !take_piece(pieces, 1, "menstruum: supplier", &menstruum->supplier, error)) ||
        (n > 2 && !take_piece(pieces, 2, "menstruum: number", &menstruum->number, error)))
        return FALSE;
    strength = find_strength(menstruum->words);
    if (strength != NULL &&
        !spl_strength_parse(strength, "menstruum", &menstruum->strength_frac, error))
        return FALSE;
    /* Of honey people say its water. */
    if (liquid == SPL_LIQUID_HONEY && menstruum->strength_frac < 0.5)
        menstruum->strength_frac = 1.0 - menstruum->strength_frac;
    /* Water thins what is mixed, and has no strength of its own. */
    if (strength == NULL && liquid == SPL_LIQUID_SPIRIT && is_water(menstruum->words)) {
        menstruum->strength_frac = 0.0;
        return TRUE;
    }
    if (strength == NULL && (liquid == SPL_LIQUID_SPIRIT || liquid == SPL_LIQUID_GLYCEROL)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "menstruum: '%s' does not say how strong it is; write it as \"%s 40%%, "
                    "SUPPLIER, NUMBER\"",
                    menstruum->words, menstruum->words);
        return FALSE;
    }
    if (strength == NULL && (liquid == SPL_LIQUID_VINEGAR || liquid == SPL_LIQUID_OXYMEL)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "menstruum: '%s' a vinegar of unknown strength (home-made) does not keep herbs "
                    "safely; titrate it, or take a bought one, and say its acid: \"%s 5%%\"",
                    menstruum->words, menstruum->words);
        return FALSE;
    }
    return TRUE;
}

gboolean spl_menstruum_parse(const char *text, enum spl_liquid liquid,
                             struct spl_menstruum *menstruum, GError **error)
{
    struct spl_menstruum own = {.strength_frac = NAN};

    if (parse(text, liquid, &own, error)) {
        *menstruum = own;
        return TRUE;
    }
    spl_menstruum_clear(&own);
    return FALSE;
}
