/* SPDX-License-Identifier: MIT
 *
 * simpling recipe …: how a batch was made, to be made so again.
 */
#include "simpling/recipe.h"
#include "command/rows.h"

static int run_keep(struct spl_call *call, GError **error)
{
    struct spl_recipe recipe;
    GPtrArray *cautions;

    if (!spl_recipe_keep(call->house, call->said, &recipe, &cautions, error))
        return -1;
    return spl_call_tell(call, &recipe, cautions);
}

static int run_list(struct spl_call *call, GError **error)
{
    GArray *recipes = spl_recipe_lines(call->house, call->said, error);

    if (recipes == NULL)
        return -1;
    spl_call_print_list(call, recipes, "no recipe is kept");
    spl_list_free(&spl_recipe_shape, recipes);
    return 0;
}

static int run_drop(struct spl_call *call, GError **error)
{
    struct spl_recipe recipe;

    if (!spl_recipe_drop(call->house, call->said, &recipe, error))
        return -1;
    return spl_call_tell(call, &recipe, NULL);
}

const struct spl_command spl_command_recipe_keep = {
    .words = "recipe keep",
    .summary = "Keep how a batch was made under a name: ratio, liquid, jar, days",
    .inputs = &spl_recipe_inputs,
    .at = "code name",
    .about = "The next batch of this preparation and herb follows it, and says so; any batch does "
             "by name (--as NAME), or is made\nas the last one (--as last), or by the tables "
             "(--as none). What keeps is judged anew each time.",
    .examples = (const char *const[]){"simpling recipe keep B26-003 \"nettle of 2026\"", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_recipe_shape,
    .run = run_keep,
};

const struct spl_command spl_command_recipe_list = {
    .words = "recipe list",
    .summary = "The recipes that are kept",
    .inputs = &spl_recipe_question_inputs,
    .examples = (const char *const[]){"simpling recipe list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_recipe_shape,
    .array = TRUE,
    .run = run_list,
};

const struct spl_command spl_command_recipe_drop = {
    .words = "recipe drop",
    .summary = "Take a recipe back",
    .inputs = &spl_recipe_drop_inputs,
    .at = "name",
    .examples = (const char *const[]){"simpling recipe keep B26-003 \"nettle of 2026\"",
                                      "simpling recipe drop \"nettle of 2026\"", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_recipe_shape,
    .run = run_drop,
};
