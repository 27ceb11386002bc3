/* SPDX-License-Identifier: MIT
 *
 * Putting things into a jar: each checked, drawn, written as a charge and kept in the list that is
 * reckoned with.
 */
#ifndef SPL_SEASON_CHARGING_H
#define SPL_SEASON_CHARGING_H

#include "season/batch_private.h"
#include "season/menstruum.h"
#include "season/recipe.h"
#include "season/state.h"

/* What the putting-in needs to know while it goes on. */
struct spl_charging {
    struct spl_house *house;
    const struct spl_batch_words *words;
    struct spl_brew *brew;
    const struct spl_press *press;
    GPtrArray *cautions;
    const struct spl_recipe *recipe; /* that it is made by; NULL: by the tables */
    int days_since_picked;           /* of the oldest fresh herb; -1 unknown */
    struct spl_joining joining;      /* what is in the jar, and what comes to it */
};

/* Is there each of these (struct spl_source_words)? */
gboolean spl_charging_known(struct spl_house *house, const GArray *sources, GError **error);

/* Herb, marc and lots, as the words say. */
gboolean spl_charging_sources(struct spl_charging *f, GError **error);

/* The liquid, as much as the words, the ratio or the jar say; reckons before and after. */
gboolean spl_charging_liquid(struct spl_charging *f, GError **error);

/* What the menstruum is: as said, as the first of the batch, or as the tables have it. */
gboolean spl_charging_menstruum(struct spl_charging *f, double ml, struct spl_menstruum *m,
                                GError **error);

/* What a syrup's sugar or a salve's wax is brought to: as said, as in the recipe, or as usual. */
double spl_charging_target(const struct spl_charging *f);

/* One liquid; `words` NULL: those of the menstruum. Nothing for an amount that is NAN or 0. */
gboolean spl_charging_pour(struct spl_charging *f, enum spl_liquid kind, double ml, double strength,
                           double honey, const struct spl_menstruum *m, const char *words,
                           GError **error);

/* Writes a charge and adds it to the list. Takes the row over. */
gboolean spl_charging_put(struct spl_charging *f, struct spl_charge_row *row, GError **error);

#endif
