/* SPDX-License-Identifier: MIT
 *
 * Whether herb is dry. Herb that is not, under oil, is the known way to botulism: no air, no acid,
 * and water enough (Clostridium botulinum grows from a water activity of 0.94; garlic in oil,
 * Morse et al. 1990, Am J Public Health 80:1372).
 *
 * Dry is what was shown to be dry: two weighings a day apart that no longer differ, or the hand's
 * test of its part. What water is left is reckoned from the weights and the water of the fresh
 * herb, with the range of that; such a sum can refuse or ask and never shows anything dry by
 * itself, since the water of a fresh plant is not known that well.
 */
#ifndef SPL_CORE_DRY_H
#define SPL_CORE_DRY_H

#include <glib.h>

#include "core/tables.h"
#include "simpling/day.h"

/*
 * Water, by mass, above which herb is not dried whatever was seen. Dryers end at 8 to 12 %; a leaf
 * with 22 % stands at a water activity of 0.84 (Cassia alata at 24 degrees), so 15 % keeps away
 * from the 0.93 that is dangerous; common practice for the figure itself, no source.
 */
#define SPL_DRY_REFUSED_FRAC 0.15
/* Up to here it counts as usual for dried herb (Agroscope Transfer 226, 2018: 10 to 12 %). */
#define SPL_DRY_USUAL_FRAC 0.12
/* Two weighings a day apart that differ by less are the same; common practice, no source. */
#define SPL_DRY_SAME_FRAC 0.02

/* The water that is left in it, 0 to 1; all NAN: cannot be reckoned. */
struct spl_water_left {
    double low, value, high;
};

/* Of `fresh_g` of herb with so much water that weighs `now_g`. The dry matter stays:
 * 1 - fresh (1 - w) / now. All NAN when the water is not known or a weight is not above 0. */
struct spl_water_left spl_water_left(double fresh_g, double now_g, struct spl_figure moisture_frac);

/* What a hand finds of herb that is dry through. */
enum spl_dry_sign {
    SPL_DRY_CRUMBLES, /* a leaf or petal between the fingers */
    SPL_DRY_SNAPS,    /* a stem when it is bent */
    SPL_DRY_BREAKS    /* the thickest piece: its core is hard and breaks */
};
#define SPL_DRY_SIGNS 3
/* "crumbles", "snaps", "breaks". */
const char *spl_dry_sign_name(enum spl_dry_sign sign);
/* FALSE for another word. */
gboolean spl_dry_sign_from(const char *word, enum spl_dry_sign *sign);
/* The one that tells of this part: what is thickest in it dries last. Leaf, flower and bud crumble,
 * stems of herb and tops snap, roots, bark, fruit and seed break (common practice, no source). */
enum spl_dry_sign spl_dry_sign_of(enum spl_part part);
/* "the leaf crumbles", "the stem snaps", "the core breaks". */
const char *spl_dry_sign_words(enum spl_dry_sign sign);

/* One look at it: a weight, or a hand's finding. */
struct spl_dry_look {
    struct spl_day day;
    double weight_g; /* NAN: not weighed */
    int sign;        /* of enum spl_dry_sign; -1: not tried */
};

/* How it was shown. */
enum spl_dry_proof { SPL_DRY_NOT_SHOWN, SPL_DRY_BY_WEIGHT, SPL_DRY_BY_HAND };

/* By the looks in their order: the last two weights, at least a day apart, differ by less than
 * SPL_DRY_SAME_FRAC of the first; or the last try of the hand found the sign of its part. */
enum spl_dry_proof spl_dry_shown(const struct spl_dry_look *looks, guint n, enum spl_part part);

enum spl_dryness {
    SPL_DRYNESS_SHOWN, /* shown, and the sum does not speak against it */
    SPL_DRYNESS_DOUBT, /* shown, though the sum says that it may hold more than 15 % */
    SPL_DRYNESS_OPEN,  /* not shown; or by weights alone of what cannot be reckoned: herb that was
                          kept cold does not get lighter either */
    SPL_DRYNESS_WET    /* cannot be dry: even the low end of the sum is above 15 % */
};
enum spl_dryness spl_dryness_of(enum spl_dry_proof proof, struct spl_water_left left);

#endif
