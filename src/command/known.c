/* SPDX-License-Identifier: MIT
 *
 * simpling material list, preparation list: what the program knows by name.
 */
#include "simpling/known.h"

#include "command/rows.h"

static int run_materials(struct spl_call *call, GError **error)
{
    GArray *list = spl_known_materials(call->house, call->said, error);

    if (list == NULL)
        return -1;
    spl_call_print_list(call, list, "nothing is called so");
    spl_list_free(&spl_known_material_shape, list);
    return 0;
}

static int run_preparations(struct spl_call *call, GError **error)
{
    GArray *list = spl_known_preparations(call->house, call->said, error);

    if (list == NULL)
        return -1;
    spl_call_print_list(call, list, "nothing is called so");
    spl_list_free(&spl_known_preparation_shape, list);
    return 0;
}

const struct spl_command spl_command_material_list = {
    .words = "material list",
    .summary = "The herbs that are known by name, and when they are gathered",
    .inputs = &spl_known_inputs,
    .at = "text?",
    .about = "Any of the names will do wherever a material is asked for. More of them can stand in "
             "tables of your own.",
    .examples =
        (const char *const[]){"simpling material list", "simpling material list nettle", NULL},
    .needs = SPL_NEEDS_TABLES,
    .shape = &spl_known_material_shape,
    .array = TRUE,
    .run = run_materials,
};

const struct spl_command spl_command_preparation_list = {
    .words = "preparation list",
    .summary = "What can be made, and with what",
    .inputs = &spl_known_inputs,
    .at = "text?",
    .about = "The ratio is grams of herb to millilitres poured on, as it is where nothing else is "
             "said.",
    .examples = (const char *const[]){"simpling preparation list", NULL},
    .needs = SPL_NEEDS_TABLES,
    .shape = &spl_known_preparation_shape,
    .array = TRUE,
    .run = run_preparations,
};
