/* SPDX-License-Identifier: MIT
 *
 * Putting rows into the data tables, and the indexes over their names. See tables_build.h.
 */
#include "core/tables_build.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "core/tables_private.h"
#include "simpling/error.h"

static GHashTable *name_index_new(void)
{
    return g_hash_table_new_full(g_str_hash, g_str_equal, g_free,
                                 (GDestroyNotify)g_ptr_array_unref);
}

struct spl_tables *spl_tables_new(void)
{
    struct spl_tables *tables = g_new0(struct spl_tables, 1);

    tables->texts = g_string_chunk_new(4096);
    tables->lists = g_ptr_array_new_with_free_func(g_free);
    tables->plants = g_ptr_array_new_with_free_func(g_free);
    tables->materials = g_ptr_array_new_with_free_func(g_free);
    tables->preparations = g_ptr_array_new_with_free_func(g_free);
    tables->makings = g_ptr_array_new_with_free_func(g_free);
    tables->left_out = g_ptr_array_new_with_free_func(g_free);
    tables->step_rules = g_ptr_array_new_with_free_func(g_free);
    tables->keepings = g_ptr_array_new_with_free_func(g_free);
    tables->jars = g_ptr_array_new_with_free_func(g_free);
    tables->presses = g_ptr_array_new_with_free_func(g_free);
    tables->methods = g_ptr_array_new_with_free_func(g_free);
    tables->protections = g_ptr_array_new_with_free_func(g_free);
    tables->menstruum_words = g_ptr_array_new_with_free_func(g_free);
    tables->plant_names = name_index_new();
    tables->material_names = name_index_new();
    tables->preparation_names = name_index_new();
    tables->method_names = name_index_new();
    tables->press_names = name_index_new();
    tables->plant_slugs = g_hash_table_new(g_str_hash, g_str_equal);
    tables->material_slugs = g_hash_table_new(g_str_hash, g_str_equal);
    tables->preparation_slugs = g_hash_table_new(g_str_hash, g_str_equal);
    tables->method_slugs = g_hash_table_new(g_str_hash, g_str_equal);
    return tables;
}

void spl_tables_free(struct spl_tables *tables)
{
    if (tables == NULL)
        return;
    GHashTable *indexes[] = {
        tables->plant_names,    tables->material_names,    tables->preparation_names,
        tables->method_names,   tables->press_names,       tables->plant_slugs,
        tables->material_slugs, tables->preparation_slugs, tables->method_slugs};
    for (gsize i = 0; i < G_N_ELEMENTS(indexes); i++)
        g_hash_table_unref(indexes[i]);
    GPtrArray *rows[] = {tables->lists,          tables->plants,     tables->materials,
                         tables->preparations,   tables->makings,    tables->keepings,
                         tables->left_out,       tables->step_rules, tables->jars,
                         tables->presses,        tables->methods,    tables->protections,
                         tables->menstruum_words};
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++)
        g_ptr_array_unref(rows[i]);
    g_string_chunk_free(tables->texts);
    g_free(tables);
}

struct spl_figure spl_figure_none(void)
{
    return (struct spl_figure){NAN, NAN, NAN, NULL, FALSE};
}

struct spl_figure spl_figure_of(double value, const char *source)
{
    return (struct spl_figure){value, value, value, source, FALSE};
}

gboolean spl_figure_is_set(struct spl_figure figure)
{
    return !isnan(figure.value);
}

static const char *keep(struct spl_tables *tables, const char *text)
{
    /* What stands twice is kept twice: to look for it costs more than its bytes. */
    return text != NULL && *text != '\0' ? g_string_chunk_insert(tables->texts, text) : "";
}

static void keep_figure(struct spl_tables *tables, struct spl_figure *figure)
{
    figure->source = figure->source != NULL ? keep(tables, figure->source) : NULL;
}

const char *const *spl_tables_names(struct spl_tables *tables, const char *list)
{
    g_auto(GStrv) pieces = g_strsplit(list != NULL ? list : "", ";", -1);
    const char **names = g_new0(const char *, g_strv_length(pieces) + 1);
    gsize n = 0;

    for (gsize i = 0; pieces[i] != NULL; i++) {
        const char *name = g_strstrip(pieces[i]);
        if (name[0] != '\0')
            names[n++] = keep(tables, name);
    }
    g_ptr_array_add(tables->lists, names);
    return names;
}

static const char *const *keep_names(struct spl_tables *tables, const char *const *names)
{
    if (names != NULL && g_ptr_array_find(tables->lists, names, NULL))
        return names;
    g_autofree char *joined = names != NULL ? g_strjoinv(";", (char **)names) : NULL;
    return spl_tables_names(tables, joined);
}

/* The row at this place with the new content, or a new row at the end. */
static gpointer store(GPtrArray *rows, gpointer old, gconstpointer row, gsize size)
{
    if (old == NULL) {
        old = g_malloc(size);
        g_ptr_array_add(rows, old);
    }
    memcpy(old, row, size);
    return old;
}

const struct spl_plant *spl_tables_put_plant(struct spl_tables *tables,
                                             const struct spl_plant *plant)
{
    struct spl_plant row = *plant;

    row.slug = keep(tables, row.slug);
    row.common = keep(tables, row.common);
    row.latin = keep(tables, row.latin);
    row.names = keep_names(tables, row.names);
    row.family = keep(tables, row.family);
    row.lookalikes = keep(tables, row.lookalikes);
    row.picking = keep(tables, row.picking);
    row.pregnancy = keep(tables, row.pregnancy);
    row.children = keep(tables, row.children);
    row.not_with = keep(tables, row.not_with);
    row.cautions = keep(tables, row.cautions);
    row.contraindications = keep(tables, row.contraindications);
    row.status = keep(tables, row.status);
    row.sources = keep(tables, row.sources);
    row.namesake = keep(tables, row.namesake);
    row.country = keep(tables, row.country);
    gpointer stored =
        store(tables->plants, g_hash_table_lookup(tables->plant_slugs, row.slug), &row, sizeof row);
    g_hash_table_insert(tables->plant_slugs, (gpointer)row.slug, stored);
    return stored;
}

const struct spl_material *spl_tables_put_material(struct spl_tables *tables,
                                                   const struct spl_material *material)
{
    struct spl_material row = *material;
    g_autofree char *slug = g_strdup_printf("%s/%s", row.plant->slug, spl_part_name(row.part));

    row.slug = keep(tables, slug);
    row.spoken = keep(tables, row.spoken);
    row.pharmacy = keep(tables, row.pharmacy);
    row.names = keep_names(tables, row.names);
    row.piece = keep(tables, row.piece);
    row.picking = keep(tables, row.picking);
    row.cautions = keep(tables, row.cautions);
    row.sources = keep(tables, row.sources);
    struct spl_figure *figures[] = {&row.moisture_frac,   &row.trim_frac,     &row.bulk_g_per_ml,
                                    &row.volume_ml_per_g, &row.piece_g,       &row.picking_g_per_h,
                                    &row.share_frac,      &row.fresh_per_dry, &row.stages,
                                    &row.return_years};
    for (gsize i = 0; i < G_N_ELEMENTS(figures); i++)
        keep_figure(tables, figures[i]);
    gpointer stored = store(
        tables->materials, g_hash_table_lookup(tables->material_slugs, row.slug), &row, sizeof row);
    g_hash_table_insert(tables->material_slugs, (gpointer)row.slug, stored);
    return stored;
}

const struct spl_preparation *spl_tables_put_preparation(struct spl_tables *tables,
                                                         const struct spl_preparation *preparation)
{
    struct spl_preparation row = *preparation;

    row.slug = keep(tables, row.slug);
    row.name = keep(tables, row.name);
    row.menstruum = keep(tables, row.menstruum);
    row.storage = keep(tables, row.storage);
    row.cautions = keep(tables, row.cautions);
    row.label = keep(tables, row.label);
    row.lid = keep(tables, row.lid);
    row.sources = keep(tables, row.sources);
    struct spl_figure *figures[] = {&row.ratio_fresh_ml_per_g, &row.ratio_dry_ml_per_g,
                                    &row.strength_frac,        &row.fill_frac,
                                    &row.headspace_frac,       &row.poured_floor_frac,
                                    &row.final_floor_frac,     &row.final_caution_frac,
                                    &row.honey_ml_per_ml,      &row.sugar_g_per_ml,
                                    &row.juice_ml_per_g};
    for (gsize i = 0; i < G_N_ELEMENTS(figures); i++)
        keep_figure(tables, figures[i]);
    gpointer stored =
        store(tables->preparations, g_hash_table_lookup(tables->preparation_slugs, row.slug), &row,
              sizeof row);
    g_hash_table_insert(tables->preparation_slugs, (gpointer)row.slug, stored);
    return stored;
}

void spl_tables_put_method(struct spl_tables *tables, const struct spl_method *method)
{
    struct spl_method row = *method;

    row.slug = keep(tables, row.slug);
    row.name = keep(tables, row.name);
    row.source = keep(tables, row.source);
    row.note = keep(tables, row.note);
    gpointer stored = store(tables->methods, g_hash_table_lookup(tables->method_slugs, row.slug),
                            &row, sizeof row);
    g_hash_table_insert(tables->method_slugs, (gpointer)row.slug, stored);
}

void spl_tables_put_press(struct spl_tables *tables, const struct spl_press *press)
{
    struct spl_press row = *press;
    struct spl_press *old = NULL;

    row.slug = keep(tables, row.slug);
    row.name = keep(tables, row.name);
    row.sources = keep(tables, row.sources);
    keep_figure(tables, &row.retained_fresh_ml_per_g);
    keep_figure(tables, &row.retained_dry_ml_per_g);
    for (guint i = 0; i < tables->presses->len && old == NULL; i++) {
        struct spl_press *other = g_ptr_array_index(tables->presses, i);
        if (strcmp(other->slug, row.slug) == 0)
            old = other;
    }
    store(tables->presses, old, &row, sizeof row);
}

void spl_tables_put_menstruum_word(struct spl_tables *tables, const struct spl_menstruum_word *word)
{
    struct spl_menstruum_word row = *word;
    struct spl_menstruum_word *old = NULL;

    row.word = keep(tables, row.word);
    row.language = keep(tables, row.language);
    row.source = keep(tables, row.source);
    for (guint i = 0; i < tables->menstruum_words->len && old == NULL; i++) {
        struct spl_menstruum_word *other = g_ptr_array_index(tables->menstruum_words, i);

        if (strcmp(other->word, row.word) == 0)
            old = other;
    }
    store(tables->menstruum_words, old, &row, sizeof row);
}

void spl_tables_put_jar(struct spl_tables *tables, const struct spl_jar *jar)
{
    struct spl_jar row = *jar;
    struct spl_jar *old = NULL;

    row.note = keep(tables, row.note);
    row.source = keep(tables, row.source);
    for (guint i = 0; i < tables->jars->len && old == NULL; i++) {
        struct spl_jar *other = g_ptr_array_index(tables->jars, i);
        if (fabs(other->nominal_ml - row.nominal_ml) < 1e-6)
            old = other;
    }
    store(tables->jars, old, &row, sizeof row);
}

void spl_tables_leave_out(struct spl_tables *tables, const char *why)
{
    g_ptr_array_add(tables->left_out, g_strdup(why));
}

void spl_tables_put_making(struct spl_tables *tables, const struct spl_making *making)
{
    struct spl_making row = *making;
    struct spl_making *old = NULL;

    row.note = keep(tables, row.note);
    row.sources = keep(tables, row.sources);
    keep_figure(tables, &row.ratio_fresh_ml_per_g);
    keep_figure(tables, &row.ratio_dry_ml_per_g);
    keep_figure(tables, &row.strength_frac);
    keep_figure(tables, &row.fill_frac);
    for (guint i = 0; i < tables->makings->len && old == NULL; i++) {
        struct spl_making *other = g_ptr_array_index(tables->makings, i);
        if (other->material == row.material && other->preparation == row.preparation &&
            other->drug_state == row.drug_state)
            old = other;
    }
    store(tables->makings, old, &row, sizeof row);
}

void spl_tables_put_step_rule(struct spl_tables *tables, const struct spl_step_rule *rule)
{
    struct spl_step_rule row = *rule;
    struct spl_step_rule *old = NULL;

    row.words = keep(tables, row.words);
    row.source = keep(tables, row.source);
    for (guint i = 0; i < tables->step_rules->len && old == NULL; i++) {
        struct spl_step_rule *other = g_ptr_array_index(tables->step_rules, i);
        if (other->preparation == row.preparation && other->material == row.material &&
            other->part == row.part && other->state == row.state && other->step == row.step)
            old = other;
    }
    store(tables->step_rules, old, &row, sizeof row);
}

void spl_tables_put_keeping(struct spl_tables *tables, const struct spl_keeping *keeping)
{
    struct spl_keeping row = *keeping;
    struct spl_keeping *old = NULL;

    row.custom = keep(tables, row.custom);
    row.storage = keep(tables, row.storage);
    row.note = keep(tables, row.note);
    row.sources = keep(tables, row.sources);
    keep_figure(tables, &row.pressed_days);
    keep_figure(tables, &row.unpressed_days);
    for (guint i = 0; i < tables->keepings->len && old == NULL; i++) {
        struct spl_keeping *other = g_ptr_array_index(tables->keepings, i);
        if (strcmp(other->custom, row.custom) == 0 && other->preparation == row.preparation &&
            other->material == row.material && other->part == row.part && other->state == row.state)
            old = other;
    }
    store(tables->keepings, old, &row, sizeof row);
}

void spl_tables_put_protected(struct spl_tables *tables, const struct spl_protected *rule)
{
    struct spl_protected row = *rule;
    struct spl_protected *old = NULL;

    row.country = keep(tables, row.country);
    row.latin = keep(tables, row.latin);
    row.words = keep(tables, row.words);
    row.source = keep(tables, row.source);
    for (guint i = 0; i < tables->protections->len && old == NULL; i++) {
        struct spl_protected *other = g_ptr_array_index(tables->protections, i);
        if (strcmp(other->country, row.country) == 0 && strcmp(other->latin, row.latin) == 0 &&
            other->part == row.part)
            old = other;
    }
    store(tables->protections, old, &row, sizeof row);
}

/* ---- names --------------------------------------------------------------------------------- */

static void add_name(GHashTable *index, const char *name, gconstpointer row)
{
    if (name == NULL || name[0] == '\0')
        return;
    char *key = spl_tables_key(name);
    GPtrArray *rows = g_hash_table_lookup(index, key);
    if (rows == NULL) {
        rows = g_ptr_array_new();
        g_hash_table_insert(index, key, rows);
    } else {
        g_free(key);
    }
    if (!g_ptr_array_find(rows, row, NULL))
        g_ptr_array_add(rows, (gpointer)row);
}

static void add_plant_names(GHashTable *index, const struct spl_plant *plant)
{
    add_name(index, plant->slug, plant);
    add_name(index, plant->common, plant);
    add_name(index, plant->latin, plant);
    for (gsize i = 0; plant->names[i] != NULL; i++)
        add_name(index, plant->names[i], plant);
}

/* Forms of its own; what a plant's names and the words for parts make is found without a list. */
static void add_material_names(GHashTable *index, const struct spl_material *material)
{
    add_name(index, material->spoken, material);
    add_name(index, material->pharmacy, material);
    for (gsize i = 0; material->names[i] != NULL; i++)
        add_name(index, material->names[i], material);
}

/* Every row's own slug must lead to it alone: nothing else may go by that name. */
static gboolean check_slug(GHashTable *index, const char *kind, const char *slug, gconstpointer row,
                           GError **error)
{
    g_autofree char *key = spl_tables_key(slug);
    GPtrArray *rows = g_hash_table_lookup(index, key);

    if (rows == NULL || (rows->len == 1 && g_ptr_array_index(rows, 0) == row))
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                "the %s '%s' cannot be told from another row that bears its name as another name; "
                "take the name out of one of them",
                kind, slug);
    return FALSE;
}

gboolean spl_tables_finish(struct spl_tables *tables, GError **error)
{
    GHashTable *indexes[] = {tables->plant_names, tables->material_names, tables->preparation_names,
                             tables->method_names, tables->press_names};
    for (gsize i = 0; i < G_N_ELEMENTS(indexes); i++)
        g_hash_table_remove_all(indexes[i]);

    for (guint i = 0; i < tables->plants->len; i++)
        add_plant_names(tables->plant_names, g_ptr_array_index(tables->plants, i));
    for (guint i = 0; i < tables->materials->len; i++)
        add_material_names(tables->material_names, g_ptr_array_index(tables->materials, i));
    for (guint i = 0; i < tables->preparations->len; i++) {
        const struct spl_preparation *row = g_ptr_array_index(tables->preparations, i);
        add_name(tables->preparation_names, row->slug, row);
        add_name(tables->preparation_names, row->name, row);
    }
    for (guint i = 0; i < tables->methods->len; i++) {
        const struct spl_method *row = g_ptr_array_index(tables->methods, i);
        add_name(tables->method_names, row->slug, row);
        add_name(tables->method_names, row->name, row);
    }
    for (guint i = 0; i < tables->presses->len; i++) {
        const struct spl_press *row = g_ptr_array_index(tables->presses, i);
        add_name(tables->press_names, row->slug, row);
        add_name(tables->press_names, row->name, row);
    }

    for (guint i = 0; i < tables->plants->len; i++) {
        const struct spl_plant *row = g_ptr_array_index(tables->plants, i);
        if (!check_slug(tables->plant_names, "plant", row->slug, row, error))
            return FALSE;
    }
    for (guint i = 0; i < tables->materials->len; i++) {
        const struct spl_material *row = g_ptr_array_index(tables->materials, i);
        if (!check_slug(tables->material_names, "material", row->slug, row, error))
            return FALSE;
    }
    /* Rules name plants by their Latin name; the plants may have come in later. */
    for (guint i = 0; i < tables->protections->len; i++) {
        struct spl_protected *rule = g_ptr_array_index(tables->protections, i);
        g_autofree char *key = spl_tables_key(rule->latin);
        GPtrArray *rows = g_hash_table_lookup(tables->plant_names, key);
        rule->plant = rows != NULL && rows->len == 1 ? g_ptr_array_index(rows, 0) : NULL;
    }
    return TRUE;
}
