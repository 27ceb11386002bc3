/* SPDX-License-Identifier: MIT
 *
 * Which recipe a batch is made by. Private to season; what faces see is simpling/recipe.h.
 */
#ifndef SPL_SEASON_RECIPE_H
#define SPL_SEASON_RECIPE_H

#include "season/house_private.h"
#include "simpling/recipe.h"

/* What `as` may be beside a name. */
#define SPL_RECIPE_LAST "last" /* as the batch of this herb that was started last */
#define SPL_RECIPE_NONE "none" /* by the tables */

struct spl_recipe_ask {
    const char *as;          /* NULL: the one kept last for this herb, if there is any */
    const char *preparation; /* slug */
    const char *materials;   /* slugs joined with ", ", in any order */
    gboolean dry;
    gint64 but; /* the batch that is being made, for "last"; 0 */
};

/*
 * The recipe; its `name` is NULL when it was never kept (as last). FALSE without an error: there is
 * none to follow. SPL_ERROR_NOT_FOUND: no such name, no batch before; SPL_ERROR_REFUSED: it is for
 * another preparation, or for dried herb where this is fresh.
 */
gboolean spl_recipe_choose(struct spl_house *house, const struct spl_recipe_ask *ask,
                           struct spl_recipe *recipe, GError **error);

/* "by your recipe 'strong nettle' (B26-003): 1:4, spirit 60%, 42 days …" Free with g_free. */
char *spl_recipe_words(const struct spl_recipe *recipe, const struct spl_recipe_ask *ask);

/* What was poured on as a share; NAN: it has no strength. */
double spl_recipe_strength(const struct spl_recipe *recipe);

#endif
