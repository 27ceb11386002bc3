/* SPDX-License-Identifier: MIT
 *
 * What the program knows by name. See simpling/known.h.
 */
#include "simpling/known.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "core/stage.h"
#include "season/house_private.h"
#include "simpling/entry.h"

static const struct spl_input known_rows[] = {
    SPL_INPUT(spl_known_question, text, NAME, "text", "only those whose names hold it",
              .value = "WORD"),
};
const struct spl_inputs spl_known_inputs = SPL_INPUTS("known", spl_known_question, known_rows);

static const struct spl_field material_fields[] = {
    SPL_FIELD(spl_known_material, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_known_material, spoken, SPL_TEXT, "spoken", "called"),
    SPL_FIELD(spl_known_material, names, SPL_TEXT, "names", "or"),
    SPL_FIELD(spl_known_material, latin, SPL_TEXT, "latin", "Latin"),
    SPL_FIELD(spl_known_material, stages, SPL_TEXT, "stages", "gathered"),
};
const struct spl_shape spl_known_material_shape =
    SPL_SHAPE("known_material", spl_known_material, material_fields);

static const struct spl_field preparation_fields[] = {
    SPL_FIELD(spl_known_preparation, preparation, SPL_TEXT, "preparation", "preparation"),
    SPL_FIELD(spl_known_preparation, name, SPL_TEXT, "name", "called"),
    SPL_FIELD(spl_known_preparation, menstruum, SPL_TEXT, "menstruum", "made with"),
    SPL_FIELD_NUM(spl_known_preparation, ratio, 2, "ratio", "fresh 1:"),
    SPL_FIELD_NUM(spl_known_preparation, ratio_dry, 2, "ratio_dry", "dried 1:"),
};
const struct spl_shape spl_known_preparation_shape =
    SPL_SHAPE("known_preparation", spl_known_preparation, preparation_fields);

static const struct spl_field stage_fields[] = {
    SPL_FIELD(spl_known_stage, code, SPL_INT, "code", "BBCH"),
    SPL_FIELD(spl_known_stage, word, SPL_TEXT, "word", "stage"),
    SPL_FIELD(spl_known_stage, about, SPL_TEXT, "about", "what it is"),
};
const struct spl_shape spl_known_stage_shape =
    SPL_SHAPE("known_stage", spl_known_stage, stage_fields);

/* Whether one of the names (NULL at the end) holds the key. */
static gboolean holds(const char *key, const char *const *names)
{
    for (; *names != NULL; names++) {
        g_autofree char *own = spl_name_key(*names);

        if (strstr(own, key) != NULL)
            return TRUE;
    }
    return FALSE;
}

static char *stages_of(const struct spl_material *material)
{
    const char *from = spl_stage_word(material->stage_from);
    const char *to = spl_stage_word(material->stage_to);

    if (!spl_figure_is_set(material->stages))
        return g_strdup("");
    return strcmp(from, to) == 0 ? g_strdup(from) : g_strdup_printf("%s to %s", from, to);
}

static gboolean is_called(const char *key, const struct spl_material *material)
{
    const char *const own[] = {material->slug, material->spoken, material->plant->common,
                               material->plant->latin, NULL};

    return holds(key, own) || holds(key, material->names) || holds(key, material->plant->names);
}

/* The key of what is asked for; "" for all. NULL with an error. */
static char *key_of(struct spl_house *house, const struct spl_known_question *said, GError **error)
{
    struct spl_known_question question;
    char *key;

    if (!spl_entry_take(house, &spl_known_inputs, said, &question, error))
        return NULL;
    key = question.text != NULL ? spl_name_key(question.text) : g_strdup("");
    spl_inputs_clear(&spl_known_inputs, &question);
    return key;
}

GArray *spl_known_materials(struct spl_house *house, const struct spl_known_question *said,
                            GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    g_autofree char *key = tables != NULL ? key_of(house, said, error) : NULL;
    GPtrArray *all; /* borrowed */
    GArray *list;

    if (key == NULL)
        return NULL;
    all = spl_tables_materials(tables);
    list = spl_list_new(&spl_known_material_shape);
    for (guint i = 0; i < all->len; i++) {
        const struct spl_material *material = g_ptr_array_index(all, i);
        struct spl_known_material known;

        if (!is_called(key, material))
            continue;
        known = (struct spl_known_material){
            .material = g_strdup(material->slug),
            .spoken = g_strdup(material->spoken),
            .names = g_strjoinv(", ", (char **)(guintptr)material->names),
            .latin = g_strdup(material->plant->latin),
            .stages = stages_of(material),
        };
        g_array_append_val(list, known);
    }
    return list;
}

static double figure_of(const struct spl_figure *figure)
{
    return spl_figure_is_set(*figure) ? figure->value : NAN;
}

GArray *spl_known_preparations(struct spl_house *house, const struct spl_known_question *said,
                               GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    g_autofree char *key = tables != NULL ? key_of(house, said, error) : NULL;
    GPtrArray *all; /* borrowed */
    GArray *list;

    if (key == NULL)
        return NULL;
    all = spl_tables_preparations(tables);
    list = spl_list_new(&spl_known_preparation_shape);
    for (guint i = 0; i < all->len; i++) {
        const struct spl_preparation *row = g_ptr_array_index(all, i);
        struct spl_known_preparation known;

        if (!holds(key, (const char *const[]){row->slug, row->name, row->menstruum, NULL}))
            continue;
        known = (struct spl_known_preparation){
            .preparation = g_strdup(row->slug),
            .name = g_strdup(row->name),
            .menstruum = g_strdup(row->menstruum),
            .ratio = figure_of(&row->ratio_fresh_ml_per_g),
            .ratio_dry = figure_of(&row->ratio_dry_ml_per_g),
        };
        g_array_append_val(list, known);
    }
    return list;
}

GArray *spl_known_stages(void)
{
    g_autoptr(GPtrArray) words = spl_stage_words();
    GArray *list = spl_list_new(&spl_known_stage_shape);

    for (guint i = 0; i < words->len; i++) {
        struct spl_known_stage known = {.word = g_strdup(g_ptr_array_index(words, i))};

        if (spl_stage_parse(known.word, "", &known.code, NULL))
            known.about = g_strdup(spl_stage_about(known.code));
        g_array_append_val(list, known);
    }
    return list;
}
