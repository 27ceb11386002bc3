/* SPDX-License-Identifier: MIT
 *
 * The small closed lists of the data tables and their words: parts, habits, liquids, steps,
 * protections.
 */
#include "core/tables_private.h"

#include <string.h>

#include "base/text.h"
#include "simpling/error.h"

/* The first word of each is its name. */
static const char *const part_words[SPL_PARTS][12] = {
    [SPL_PART_ANY] = {"any", "all", "whole plant", NULL},
    [SPL_PART_LEAF] = {"leaf", "leaves", "foliage", "folium", "folia", NULL},
    [SPL_PART_FLOWER] = {"flower", "flowers", "blossom", "blossoms", "bloom", "flower head",
                         "flower heads", "flos", "flores", NULL},
    [SPL_PART_HERB] = {"herb", "herba", "aerial parts", "whole herb", "flowering herb", NULL},
    [SPL_PART_TOPS] = {"tops", "top", "tips", "tip", "flowering tops", "flowering top", "shoots",
                       "young shoots", "summitates", NULL},
    [SPL_PART_ROOT] = {"root", "roots", "rhizome", "rhizomes", "rootstock", "tuber", "tubers",
                       "radix", "rhizoma", NULL},
    [SPL_PART_FRUIT] = {"fruit", "fruits", "berry", "berries", "fructus", NULL},
    [SPL_PART_SEED] = {"seed", "seeds", "semen", NULL},
    [SPL_PART_BARK] = {"bark", "barks", "cortex", NULL},
    [SPL_PART_BUD] = {"bud", "buds", "gemma", "gemmae", NULL},
    [SPL_PART_SPRING_ROOT] = {"spring-root", "spring root", "spring roots", NULL},
    [SPL_PART_WHOLE] = {"root-with-herb", "root with herb", "herb with root", "radix cum herba",
                        NULL},
    [SPL_PART_SAP] = {"sap", "saps", NULL},
};

gboolean spl_part_is_dug(enum spl_part part)
{
    return part == SPL_PART_ROOT || part == SPL_PART_SPRING_ROOT || part == SPL_PART_WHOLE;
}

const char *spl_part_name(enum spl_part part)
{
    return (guint)part < SPL_PARTS ? part_words[part][0] : "";
}

const char *const *spl_part_words(enum spl_part part)
{
    return part_words[part];
}

gboolean spl_part_parse(const char *text, const char *what, enum spl_part *part, GError **error)
{
    if (g_utf8_validate(text, -1, NULL)) {
        g_autofree char *key = spl_tables_key(text);
        for (guint i = 0; i < SPL_PARTS; i++) {
            if (g_strv_contains(part_words[i], key)) {
                *part = (enum spl_part)i;
                return TRUE;
            }
        }
    }
    g_autofree char *clean = spl_text_scrub(text, FALSE);
    g_set_error(
        error, SPL_ERROR, SPL_ERROR_INVALID,
        "%s '%.60s' is no part of a plant; say leaf, flower, herb, tops, root, fruit, seed, "
        "bark, bud, spring-root, root-with-herb or sap",
        what, clean);
    return FALSE;
}

const char *spl_habit_name(enum spl_habit habit)
{
    static const char *const names[] = {"annual",  "biennial", "perennial",
                                        "climber", "shrub",    "tree"};

    return (guint)habit < G_N_ELEMENTS(names) ? names[habit] : "";
}

const char *spl_liquid_name(enum spl_liquid liquid)
{
    static const char *const names[] = {"none",   "spirit", "vinegar", "oil",   "glycerol",
                                        "oxymel", "syrup",  "honey",   "water", "salve"};

    return (guint)liquid < G_N_ELEMENTS(names) ? names[liquid] : "";
}

gboolean spl_liquid_is_oil(enum spl_liquid liquid)
{
    return liquid == SPL_LIQUID_OIL || liquid == SPL_LIQUID_SALVE;
}

const char *spl_protection_name(enum spl_protection protection)
{
    static const char *const names[] = {"caution", "leave", "refuse"};

    return (guint)protection < G_N_ELEMENTS(names) ? names[protection] : "";
}

static const char *const step_names[SPL_STEPS] = {
    [SPL_STEP_TOP_UP] = "top-up", [SPL_STEP_SHAKE] = "shake",  [SPL_STEP_LOOK] = "look",
    [SPL_STEP_DECANT] = "decant", [SPL_STEP_TURN] = "turn",    [SPL_STEP_READY] = "ready",
    [SPL_STEP_STRAIN] = "strain", [SPL_STEP_USE_BY] = "use-by"};

const char *spl_step_name(enum spl_step step)
{
    return (guint)step < SPL_STEPS ? step_names[step] : "";
}

gboolean spl_step_parse(const char *text, const char *what, enum spl_step *step, GError **error)
{
    if (g_utf8_validate(text, -1, NULL)) {
        g_autofree char *key = spl_tables_key(text);
        for (guint i = 0; i < SPL_STEPS; i++) {
            g_autofree char *name = spl_tables_key(step_names[i]);
            if (strcmp(name, key) == 0) {
                *step = (enum spl_step)i;
                return TRUE;
            }
        }
    }
    g_autofree char *clean = spl_text_scrub(text, FALSE);
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                "%s '%.60s' is no step; say top-up, shake, look, decant, turn, ready, strain or "
                "use-by",
                what, clean);
    return FALSE;
}
