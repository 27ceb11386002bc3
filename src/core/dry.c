/* SPDX-License-Identifier: MIT
 *
 * Whether herb is dry. See core/dry.h.
 */
#include "core/dry.h"

#include <math.h>
#include <string.h>

static const char *const sign_names[SPL_DRY_SIGNS] = {
    [SPL_DRY_CRUMBLES] = "crumbles", [SPL_DRY_SNAPS] = "snaps", [SPL_DRY_BREAKS] = "breaks"};
static const char *const sign_words[SPL_DRY_SIGNS] = {
    [SPL_DRY_CRUMBLES] = "the leaf crumbles between the fingers",
    [SPL_DRY_SNAPS] = "the stem snaps when it is bent",
    [SPL_DRY_BREAKS] = "the core of the thickest piece breaks"};

static double left_of(double fresh_g, double now_g, double moisture_frac)
{
    return CLAMP(1.0 - fresh_g * (1.0 - moisture_frac) / now_g, 0.0, 1.0);
}

struct spl_water_left spl_water_left(double fresh_g, double now_g, struct spl_figure moisture_frac)
{
    if (!(fresh_g > 0.0) || !(now_g > 0.0) || !spl_figure_is_set(moisture_frac))
        return (struct spl_water_left){NAN, NAN, NAN};
    /* A plant that was wetter to begin with has less dry matter, so more of the weight is water. */
    return (struct spl_water_left){left_of(fresh_g, now_g, moisture_frac.low),
                                   left_of(fresh_g, now_g, moisture_frac.value),
                                   left_of(fresh_g, now_g, moisture_frac.high)};
}

const char *spl_dry_sign_name(enum spl_dry_sign sign)
{
    return sign_names[sign];
}

gboolean spl_dry_sign_from(const char *word, enum spl_dry_sign *sign)
{
    for (int i = 0; word != NULL && i < SPL_DRY_SIGNS; i++) {
        if (strcmp(word, sign_names[i]) == 0) {
            *sign = (enum spl_dry_sign)i;
            return TRUE;
        }
    }
    return FALSE;
}

enum spl_dry_sign spl_dry_sign_of(enum spl_part part)
{
    switch (part) {
    case SPL_PART_LEAF:
    case SPL_PART_FLOWER:
    case SPL_PART_BUD:
        return SPL_DRY_CRUMBLES;
    case SPL_PART_HERB:
    case SPL_PART_TOPS:
        return SPL_DRY_SNAPS;
    default:
        return SPL_DRY_BREAKS;
    }
}

const char *spl_dry_sign_words(enum spl_dry_sign sign)
{
    return sign_words[sign];
}

enum spl_dry_proof spl_dry_shown(const struct spl_dry_look *looks, guint n, enum spl_part part)
{
    const struct spl_dry_look *last = NULL, *before = NULL, *tried = NULL;

    for (guint i = 0; i < n; i++) {
        if (looks[i].sign >= 0)
            tried = &looks[i];
        if (isnan(looks[i].weight_g))
            continue;
        /* Of several weighings on one day the last counts. */
        if (last != NULL && spl_day_diff(looks[i].day, last->day) >= 1)
            before = last;
        last = &looks[i];
    }
    if (before != NULL &&
        fabs(before->weight_g - last->weight_g) < SPL_DRY_SAME_FRAC * before->weight_g)
        return SPL_DRY_BY_WEIGHT;
    if (tried != NULL && tried->sign == (int)spl_dry_sign_of(part))
        return SPL_DRY_BY_HAND;
    return SPL_DRY_NOT_SHOWN;
}

enum spl_dryness spl_dryness_of(enum spl_dry_proof proof, struct spl_water_left left)
{
    if (left.low > SPL_DRY_REFUSED_FRAC)
        return SPL_DRYNESS_WET;
    if (proof == SPL_DRY_NOT_SHOWN || (proof == SPL_DRY_BY_WEIGHT && isnan(left.low)))
        return SPL_DRYNESS_OPEN;
    return left.high > SPL_DRY_REFUSED_FRAC ? SPL_DRYNESS_DOUBT : SPL_DRYNESS_SHOWN;
}
