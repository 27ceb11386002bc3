/* SPDX-License-Identifier: MIT
 *
 * Recipes: how a batch was made, under a name. The last one kept under a name holds.
 */
#ifndef SPL_BOOK_RECIPE_H
#define SPL_BOOK_RECIPE_H

#include <glib.h>

#include "book/book.h"
#include "simpling/record/recipe.h"

/* Writes it (id, uuid filled in). Inside a transaction. */
gboolean spl_recipe_add(struct spl_book *book, struct spl_recipe *recipe, GError **error);

/* Those that hold, by name: a list of spl_recipe_shape; NULL with an error. */
GArray *spl_recipe_list(struct spl_book *book, GError **error);

/* The one of this name, whatever its case. FALSE without an error: there is none. */
gboolean spl_recipe_named(struct spl_book *book, const char *name, struct spl_recipe *recipe,
                          GError **error);

/* The one kept last of those for this preparation of these materials (as the record has them), dry
 * or fresh. FALSE without an error: there is none. */
gboolean spl_recipe_usual(struct spl_book *book, const char *preparation, const char *materials,
                          gboolean dry, struct spl_recipe *recipe, GError **error);

/* Every recipe kept under its name is struck, so that none stands behind it. In a transaction. */
gboolean spl_recipe_strike(struct spl_book *book, const char *name, const char *by, const char *why,
                           GError **error);

#endif
