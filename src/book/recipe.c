/* SPDX-License-Identifier: MIT
 *
 * Recipes as rows. See book/recipe.h.
 */
#include "book/recipe.h"

#include "base/text.h"
#include "book/noun.h"
#include "book/statement.h"

static const struct spl_field recipe_fields[] = {
    SPL_FIELD(spl_recipe, name, SPL_TEXT, "name", "recipe", SPL_STORED("name"), .empty = TRUE),
    SPL_FIELD(spl_recipe, day, SPL_DAY, "date", "kept", SPL_STORED("day")),
    SPL_FIELD(spl_recipe, code, SPL_TEXT, "code", "batch",
              SPL_CODE("h.kind, h.mark, h.year, h.number")),
    SPL_FIELD(spl_recipe, preparation, SPL_TEXT, "preparation", "preparation",
              SPL_STORED("preparation"), .empty = TRUE),
    SPL_FIELD(spl_recipe, materials, SPL_TEXT, "materials", "of", SPL_STORED("materials"),
              .empty = TRUE),
    SPL_FIELD(spl_recipe, dry, SPL_BOOL, "dry", "dry", SPL_STORED("dry")),
    SPL_FIELD_NUM(spl_recipe, ratio, 2, "ratio", "1:", SPL_STORED("ratio")),
    SPL_FIELD_NUM(spl_recipe, strength_pct, 1, "strength", "poured %", SPL_STORED("strength_pct")),
    SPL_FIELD(spl_recipe, menstruum, SPL_TEXT, "menstruum", "menstruum", SPL_STORED("menstruum")),
    SPL_FIELD_NUM(spl_recipe, honey_ml_per_ml, 2, "honey", "honey:vinegar",
                  SPL_STORED("honey_ml_per_ml")),
    SPL_FIELD_NUM(spl_recipe, jar_ml, 0, "jar_ml", "jar mL", SPL_STORED("jar_ml")),
    SPL_FIELD(spl_recipe, jars, SPL_INT, "jars", "jars", SPL_STORED("jars"), .none_is_0 = TRUE),
    SPL_FIELD(spl_recipe, days, SPL_INT, "days", "days", SPL_STORED("days"), .none_is_0 = TRUE),
    SPL_FIELD(spl_recipe, by, SPL_TEXT, "by", "by", SPL_STORED("by")),
    SPL_FIELD_KEPT(spl_recipe, id, SPL_LONG, SPL_ID("id")),
    SPL_FIELD_KEPT(spl_recipe, uuid, SPL_TEXT, SPL_READ("uuid"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_recipe, name_key, SPL_TEXT, SPL_STORED("name_key"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_recipe, batch_id, SPL_LONG, SPL_STORED("batch_id")),
};
const struct spl_shape spl_recipe_shape = SPL_SHAPE("recipe", spl_recipe, recipe_fields);

const struct spl_noun spl_recipe_noun = {
    .shape = &spl_recipe_shape,
    .table = "recipe",
    .from = "recipe_now t JOIN thing h ON h.id = t.batch_id",
    .fact = TRUE,
};

gboolean spl_recipe_add(struct spl_book *book, struct spl_recipe *recipe, GError **error)
{
    g_free(recipe->name_key);
    recipe->name_key = spl_name_key(recipe->name);
    return spl_noun_add(book, &spl_recipe_noun, recipe, recipe->day, SPL_NONE, error);
}

GArray *spl_recipe_list(struct spl_book *book, GError **error)
{
    return spl_noun_list(book, &spl_recipe_noun, "ORDER BY t.name_key", SPL_NONE, error);
}

gboolean spl_recipe_named(struct spl_book *book, const char *name, struct spl_recipe *recipe,
                          GError **error)
{
    g_autofree char *key = spl_name_key(name);

    return spl_noun_get(book, &spl_recipe_noun, "WHERE t.name_key = ?", SPL_WITH((const char *)key),
                        recipe, error);
}

gboolean spl_recipe_usual(struct spl_book *book, const char *preparation, const char *materials,
                          gboolean dry, struct spl_recipe *recipe, GError **error)
{
    return spl_noun_get(book, &spl_recipe_noun,
                        "WHERE t.preparation = ? AND t.materials = ? AND t.dry = ?"
                        " ORDER BY t.at DESC, t.uuid DESC LIMIT 1",
                        SPL_WITH(preparation, materials, dry != FALSE), recipe, error);
}

gboolean spl_recipe_strike(struct spl_book *book, const char *name, const char *by, const char *why,
                           GError **error)
{
    g_autofree char *key = spl_name_key(name);
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT uuid FROM recipe t WHERE name_key = ? AND NOT EXISTS (SELECT 1 FROM"
        " live x WHERE x.subject = t.uuid)",
        SPL_WITH((const char *)key));
    g_autoptr(GPtrArray) uuids = g_ptr_array_new_with_free_func(g_free);
    GError *failed = NULL;
    const char *uuid;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&uuid)))
        g_ptr_array_add(uuids, g_strdup(uuid));
    for (guint i = 0; rows != NULL && failed == NULL && i < uuids->len; i++) {
        const char *subject = g_ptr_array_index(uuids, i);

        spl_fact_add(book, "strike", SPL_NAMED(subject, by, why), &failed);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}
