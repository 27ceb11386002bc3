/* SPDX-License-Identifier: MIT
 *
 * Recipes of one's own: how a batch was made, kept under a name. A batch is then started by name,
 * or as the last one; where neither is said, the recipe that was kept last for this preparation of
 * this herb is followed, and said.
 */
#ifndef SIMPLING_RECIPE_H
#define SIMPLING_RECIPE_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/recipe.h"

struct spl_recipe_words {
    const char *code, *name;
    struct spl_day on; /* none: today */
    const char *by;    /* NULL: the setting `who` */
};
extern const struct spl_inputs spl_recipe_inputs;
/* Keeps ratio, liquid and strength, honey to vinegar, jar and days of a batch. What is kept later
 * under the same name takes its place. SPL_ERROR_REFUSED: a batch of marc, of lots or of no herb;
 * SPL_ERROR_INVALID: a name that is shaped like a code, or "last" or "none". `cautions`: free with
 * g_ptr_array_unref. */
gboolean spl_recipe_keep(struct spl_house *house, const struct spl_recipe_words *words,
                         struct spl_recipe *recipe, GPtrArray **cautions, GError **error);

struct spl_recipe_question {
    const char *preparation, *material; /* NULL: any */
};
extern const struct spl_inputs spl_recipe_question_inputs;
/* Those that hold, by name: a list of spl_recipe_shape. */
GArray *spl_recipe_lines(struct spl_house *house, const struct spl_recipe_question *question,
                         GError **error);

struct spl_recipe_drop_words {
    const char *name;
    const char *why, *by;
};
extern const struct spl_inputs spl_recipe_drop_inputs;
/* Takes it back: nothing is made by it any more. SPL_ERROR_NOT_FOUND offers the nearest names. */
gboolean spl_recipe_drop(struct spl_house *house, const struct spl_recipe_drop_words *words,
                         struct spl_recipe *recipe, GError **error);

#endif
