/* SPDX-License-Identifier: MIT
 *
 * What the program knows by name. See simpling/known.h.
 */
#include "simpling/known.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "core/stage.h"
#include "season/check_private.h"
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

static struct spl_known_material known_of(const struct spl_material *material)
{
    return (struct spl_known_material){
        .material = g_strdup(material->slug),
        .spoken = g_strdup(material->spoken),
        .names = g_strjoinv(", ", (char **)(guintptr)material->names),
        .latin = g_strdup(material->plant->latin),
        .stages = stages_of(material),
    };
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
        known = known_of(material);
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

/* ---- one plant ---- */

static const struct spl_field making_fields[] = {
    SPL_FIELD(spl_known_making, material, SPL_TEXT, "material", "of"),
    SPL_FIELD(spl_known_making, preparation, SPL_TEXT, "preparation", "makes"),
    SPL_FIELD_NUM(spl_known_making, ratio, 2, "ratio", "fresh 1:"),
    SPL_FIELD_NUM(spl_known_making, ratio_dry, 2, "ratio_dry", "dried 1:"),
    SPL_FIELD_NUM(spl_known_making, strength_pct, 0, "strength_pct", "poured on at %"),
    SPL_FIELD(spl_known_making, note, SPL_TEXT, "note", "note"),
};
const struct spl_shape spl_known_making_shape =
    SPL_SHAPE("known_making", spl_known_making, making_fields);

static const struct spl_field plant_fields[] = {
    SPL_FIELD(spl_known_plant, plant, SPL_TEXT, "plant", NULL),
    SPL_FIELD(spl_known_plant, common, SPL_TEXT, "common", "called"),
    SPL_FIELD(spl_known_plant, names, SPL_TEXT, "names", "or"),
    SPL_FIELD(spl_known_plant, latin, SPL_TEXT, "latin", "Latin"),
    SPL_FIELD(spl_known_plant, family, SPL_TEXT, "family", "family"),
    SPL_FIELD(spl_known_plant, deadly, SPL_BOOL, "deadly", "has deadly kin"),
    SPL_FIELD(spl_known_plant, cautions, SPL_TEXTS, "cautions", NULL),
    SPL_FIELD_LIST(spl_known_plant, parts, &spl_known_material_shape, "parts", "its parts"),
    SPL_FIELD_LIST(spl_known_plant, makings, &spl_known_making_shape, "makings", "what each makes"),
};
const struct spl_shape spl_known_plant_shape =
    SPL_SHAPE("known_plant", spl_known_plant, plant_fields);

/* What holds of several of its parts is said once. */
static void add_cautions(struct spl_house *house, const struct spl_material *material,
                         GPtrArray *cautions)
{
    g_autoptr(GPtrArray) of = g_ptr_array_new_with_free_func(g_free);

    spl_material_cautions(house, material, of);
    for (guint i = 0; i < of->len; i++) {
        const char *text = g_ptr_array_index(of, i);

        if (!g_ptr_array_find_with_equal_func(cautions, text, g_str_equal, NULL))
            g_ptr_array_add(cautions, g_strdup(text));
    }
}

static void add_makings(const struct spl_tables *tables, const struct spl_plant *plant,
                        GArray *list)
{
    GPtrArray *all = spl_tables_makings(tables); /* borrowed */

    for (guint i = 0; i < all->len; i++) {
        const struct spl_making *row = g_ptr_array_index(all, i);
        struct spl_known_making making;

        if (row->material == NULL || row->material->plant != plant || row->preparation == NULL)
            continue;
        making = (struct spl_known_making){
            .material = g_strdup(row->material->slug),
            .preparation = g_strdup(row->preparation->name),
            .ratio = figure_of(&row->ratio_fresh_ml_per_g),
            .ratio_dry = figure_of(&row->ratio_dry_ml_per_g),
            .strength_pct = figure_of(&row->strength_frac) * 100.0,
            .note = g_strdup(row->note != NULL ? row->note : ""),
        };
        g_array_append_val(list, making);
    }
}

gboolean spl_known_plant(struct spl_house *house, const char *name, struct spl_known_plant *plant,
                         GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    const struct spl_plant *row = NULL;
    GPtrArray *all; /* borrowed */

    if (tables == NULL || !spl_tables_plant(tables, name, &row, error))
        return FALSE;
    *plant = (struct spl_known_plant){
        .plant = g_strdup(row->slug),
        .common = g_strdup(row->common),
        .latin = g_strdup(row->latin),
        .family = g_strdup(row->family),
        .names = g_strjoinv(", ", (char **)(guintptr)row->names),
        .deadly = row->deadly_lookalike,
        .cautions = g_ptr_array_new_with_free_func(g_free),
        .parts = spl_list_new(&spl_known_material_shape),
        .makings = spl_list_new(&spl_known_making_shape),
    };
    all = spl_tables_materials(tables);
    for (guint i = 0; i < all->len; i++) {
        const struct spl_material *material = g_ptr_array_index(all, i);
        struct spl_known_material known;

        if (material->plant != row)
            continue;
        known = known_of(material);
        g_array_append_val(plant->parts, known);
        add_cautions(house, material, plant->cautions);
    }
    add_makings(tables, row, plant->makings);
    return TRUE;
}
