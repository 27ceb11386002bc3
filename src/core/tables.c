/* SPDX-License-Identifier: MIT
 *
 * Look-ups in the data tables. See tables.h.
 */
#include "core/tables.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "core/tables_private.h"
#include "simpling/error.h"

#define NAME_SHOWN 60 /* of a wrong name, in a message */

char *spl_tables_key(const char *name)
{
    g_autofree char *plain = g_malloc(strlen(name) + 1);
    gsize n = 0;

    for (const char *at = name; *at != '\0'; at++) {
        if (*at == '\'' || *at == '`' || *at == '.')
            continue;
        /* The typographic apostrophes U+2018 and U+2019. */
        if (strncmp(at, "\xe2\x80\x98", 3) == 0 || strncmp(at, "\xe2\x80\x99", 3) == 0) {
            at += 2;
            continue;
        }
        plain[n++] = *at == '/' ? ' ' : *at;
    }
    plain[n] = '\0';
    return spl_name_key(plain);
}

/* ---- by name ------------------------------------------------------------------------------- */

char *spl_tables_shown_name(const char *name)
{
    g_autofree char *clean = spl_text_scrub(name, FALSE);
    return g_utf8_substring(clean, 0, MIN(g_utf8_strlen(clean, -1), NAME_SHOWN));
}

/* A name that is worth a search: valid UTF-8 of a sensible length. */
static gboolean name_is_sane(const char *kind, const char *name, GError **error)
{
    if (name == NULL)
        name = "";
    if (g_utf8_validate(name, -1, NULL) && strlen(name) <= SPL_NAME_MAX && name[0] != '\0')
        return TRUE;
    g_autofree char *shown = spl_tables_shown_name(name);
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                "the %s '%s' must be valid UTF-8 of 1 to %d bytes", kind, shown, SPL_NAME_MAX);
    return FALSE;
}

/* The table whose rows are of this kind: "presses" of "press". */
static const char *table_of(const char *kind)
{
    static const char *const tables[][2] = {
        {"plant", "plants"},  {"material", "materials"},        {"preparation", "preparations"},
        {"press", "presses"}, {"method of hazards", "hazards"},
    };

    for (gsize i = 0; i < G_N_ELEMENTS(tables); i++)
        if (strcmp(tables[i][0], kind) == 0)
            return tables[i][1];
    g_assert_not_reached();
}

static gboolean not_found(const char *kind, const char *name, GPtrArray *names, GError **error)
{
    g_autofree char *shown = spl_tables_shown_name(name);
    g_autofree char *offer = spl_names_offer(name, names);

    if (offer == NULL || offer[0] == '\0') {
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                    "there is no %s '%s' in the tables; a row in your own %s.csv adds it", kind,
                    shown, table_of(kind));
    } else {
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND, "there is no %s '%s' in the tables%s",
                    kind, shown, offer);
    }
    return FALSE;
}

/* "'nettle/leaf', 'nettle/root'": the slug is the first member of every row that has names. */
static char *slugs_of(GPtrArray *rows)
{
    g_autoptr(GString) list = g_string_new(NULL);

    for (guint i = 0; i < rows->len; i++) {
        const char *const *slug = g_ptr_array_index(rows, i);
        g_string_append_printf(list, "%s'%s'", i == 0 ? "" : ", ", *slug);
    }
    return g_string_free(g_steal_pointer(&list), FALSE);
}
G_STATIC_ASSERT(G_STRUCT_OFFSET(struct spl_plant, slug) == 0);
G_STATIC_ASSERT(G_STRUCT_OFFSET(struct spl_material, slug) == 0);
G_STATIC_ASSERT(G_STRUCT_OFFSET(struct spl_preparation, slug) == 0);
G_STATIC_ASSERT(G_STRUCT_OFFSET(struct spl_method, slug) == 0);
G_STATIC_ASSERT(G_STRUCT_OFFSET(struct spl_press, slug) == 0);

static gboolean ambiguous(const char *kind, const char *name, GPtrArray *rows, GError **error)
{
    g_autofree char *slugs = slugs_of(rows);
    g_autofree char *shown = spl_tables_shown_name(name);

    g_set_error(error, SPL_ERROR, SPL_ERROR_AMBIGUOUS, "the %s '%s' may be %s; say which", kind,
                shown, slugs);
    return FALSE;
}

static GPtrArray *rows_named(GHashTable *index, const char *name)
{
    g_autofree char *key = spl_tables_key(name);
    return g_hash_table_lookup(index, key);
}

/* The slugs of the rows, to offer. */
static GPtrArray *slug_list(GPtrArray *rows)
{
    GPtrArray *names = g_ptr_array_new();

    for (guint i = 0; i < rows->len; i++) {
        const char *const *slug = g_ptr_array_index(rows, i);
        g_ptr_array_add(names, (gpointer)*slug);
    }
    return names;
}

static gboolean find(const char *kind, GHashTable *index, GPtrArray *all, const char *name,
                     gconstpointer *row, GError **error)
{
    if (!name_is_sane(kind, name, error))
        return FALSE;
    GPtrArray *rows = rows_named(index, name);
    if (rows == NULL) {
        g_autoptr(GPtrArray) names = slug_list(all);
        return not_found(kind, name, names, error);
    }
    if (rows->len > 1)
        return ambiguous(kind, name, rows, error);
    *row = g_ptr_array_index(rows, 0);
    return TRUE;
}

gboolean spl_tables_plant(const struct spl_tables *tables, const char *name,
                          const struct spl_plant **plant, GError **error)
{
    if (!name_is_sane("plant", name, error))
        return FALSE;
    GPtrArray *rows = rows_named(tables->plant_names, name);
    if (rows == NULL) {
        g_autoptr(GPtrArray) names = slug_list(tables->plants);
        for (guint i = 0; i < tables->plants->len; i++) {
            const struct spl_plant *row = g_ptr_array_index(tables->plants, i);
            g_ptr_array_add(names, (gpointer)row->latin);
            for (gsize j = 0; row->names[j] != NULL; j++)
                g_ptr_array_add(names, (gpointer)row->names[j]);
        }
        return not_found("plant", name, names, error);
    }
    if (rows->len > 1)
        return ambiguous("plant", name, rows, error);
    *plant = g_ptr_array_index(rows, 0);
    return TRUE;
}

/* Adds the materials of `plant`, of `part` or of any. */
static void add_materials_of(const struct spl_tables *tables, const struct spl_plant *plant,
                             enum spl_part part, GPtrArray *found)
{
    for (guint i = 0; i < tables->materials->len; i++) {
        const struct spl_material *row = g_ptr_array_index(tables->materials, i);
        if (row->plant == plant && (part == SPL_PART_ANY || row->part == part))
            g_ptr_array_add(found, (gpointer)row);
    }
}

static void add_of_plants_named(const struct spl_tables *tables, const char *key,
                                enum spl_part part, GPtrArray *found)
{
    GPtrArray *plants = g_hash_table_lookup(tables->plant_names, key);

    for (guint i = 0; plants != NULL && i < plants->len; i++)
        add_materials_of(tables, g_ptr_array_index(plants, i), part, found);
}

/*
 * All that a name may mean: a spoken form of its own; else a plant's name with a word for a part
 * behind it; else a plant's name alone, which is good enough when one part of it is known.
 */
static GPtrArray *materials_named(const struct spl_tables *tables, const char *name)
{
    g_autofree char *key = spl_tables_key(name);
    GPtrArray *spoken = g_hash_table_lookup(tables->material_names, key);
    GPtrArray *found = g_ptr_array_new();

    for (guint i = 0; spoken != NULL && i < spoken->len; i++)
        g_ptr_array_add(found, g_ptr_array_index(spoken, i));
    for (int part = SPL_PART_LEAF; found->len == 0 && part < SPL_PARTS; part++) {
        const char *const *words = spl_part_words((enum spl_part)part);
        for (gsize i = 0; words[i] != NULL && found->len == 0; i++) {
            gsize length = strlen(words[i]), all = strlen(key);
            if (all < length + 2 || key[all - length - 1] != ' ' ||
                strcmp(key + all - length, words[i]) != 0)
                continue;
            g_autofree char *plant = g_strndup(key, all - length - 1);
            add_of_plants_named(tables, plant, (enum spl_part)part, found);
        }
    }
    if (found->len == 0)
        add_of_plants_named(tables, key, SPL_PART_ANY, found);
    return found;
}

/* Does a name of the plant look like the one before the stroke? */
static gboolean plant_is_near(const struct spl_plant *plant, const char *wanted)
{
    g_autoptr(GPtrArray) names = g_ptr_array_new(), near = NULL;

    g_ptr_array_add(names, (gpointer)plant->slug);
    g_ptr_array_add(names, (gpointer)plant->latin);
    for (gsize i = 0; plant->names[i] != NULL; i++)
        g_ptr_array_add(names, (gpointer)plant->names[i]);
    near = spl_names_nearest(wanted, names, 1);
    return near->len > 0;
}

/*
 * The materials to offer for a name that is none. Of 'hemlock/root' the plant must look alike, not
 * the part: 'burdock/root' would be a deadly guess.
 */
static GPtrArray *offered_materials(const struct spl_tables *tables, const char *name)
{
    g_autofree char *plant = g_strndup(name, strcspn(name, "/"));
    gboolean has_part = strchr(name, '/') != NULL;
    GPtrArray *names = g_ptr_array_new();

    for (guint i = 0; i < tables->materials->len; i++) {
        const struct spl_material *row = g_ptr_array_index(tables->materials, i);

        if (has_part && !plant_is_near(row->plant, plant))
            continue;
        g_ptr_array_add(names, (gpointer)row->slug);
        if (!has_part)
            g_ptr_array_add(names, (gpointer)row->spoken);
    }
    return names;
}

gboolean spl_tables_material(const struct spl_tables *tables, const char *name,
                             const struct spl_material **material, GError **error)
{
    if (!name_is_sane("material", name, error))
        return FALSE;
    g_autoptr(GPtrArray) rows = materials_named(tables, name);
    if (rows->len == 0) {
        g_autoptr(GPtrArray) names = offered_materials(tables, name);
        return not_found("material", name, names, error);
    }
    if (rows->len > 1)
        return ambiguous("material", name, rows, error);
    *material = g_ptr_array_index(rows, 0);
    return TRUE;
}

/* "GB" holds in "GB" and in "GB-NIR", "EU" in every member. */
gboolean spl_tables_country_fits(const char *rule, const char *country)
{
    /* As of 2020. */
    static const char members[] = "AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MT NL "
                                  "PL PT RO SE SI SK";
    gsize length = strlen(rule);

    if (strcmp(rule, "EU") == 0 && strlen(country) >= 2) {
        g_autofree char *nation = g_ascii_strup(country, 2);

        return strstr(members, nation) != NULL;
    }
    return g_ascii_strncasecmp(rule, country, length) == 0 &&
           (country[length] == '\0' || country[length] == '-');
}

/* Another plant that goes by this one's names in the country; NULL: none, or `name` tells them
 * apart, as a slug and a Latin name do. */
static const struct spl_plant *namesake(const struct spl_tables *tables, const char *name,
                                        const char *country, const char *slug,
                                        const struct spl_plant *plant)
{
    g_autofree char *key = spl_tables_key(name), *own = spl_tables_key(slug);
    g_autofree char *latin = spl_tables_key(plant->latin);

    if (country == NULL || strcmp(key, own) == 0 || g_str_has_prefix(key, latin))
        return NULL;
    for (guint i = 0; i < tables->plants->len; i++) {
        const struct spl_plant *row = g_ptr_array_index(tables->plants, i);

        if (*row->namesake != '\0' && strcmp(row->namesake, plant->slug) == 0 &&
            spl_tables_country_fits(row->country, country))
            return row;
    }
    return NULL;
}

gboolean spl_tables_plant_in(const struct spl_tables *tables, const char *name, const char *country,
                             const struct spl_plant **plant, GError **error)
{
    const struct spl_plant *found, *other;

    if (!spl_tables_plant(tables, name, &found, error))
        return FALSE;
    other = namesake(tables, name, country, found->slug, found);
    if (other != NULL) {
        g_autoptr(GPtrArray) rows = g_ptr_array_new();

        g_ptr_array_add(rows, (gpointer)found);
        g_ptr_array_add(rows, (gpointer)other);
        return ambiguous("plant", name, rows, error);
    }
    *plant = found;
    return TRUE;
}

gboolean spl_tables_material_in(const struct spl_tables *tables, const char *name,
                                const char *country, const struct spl_material **material,
                                GError **error)
{
    const struct spl_material *found;
    const struct spl_plant *other;
    g_autoptr(GPtrArray) rows = NULL;

    if (!spl_tables_material(tables, name, &found, error))
        return FALSE;
    other = namesake(tables, name, country, found->slug, found->plant);
    rows = g_ptr_array_new();
    g_ptr_array_add(rows, (gpointer)found);
    if (other != NULL)
        add_materials_of(tables, other, found->part, rows);
    if (rows->len > 1)
        return ambiguous("material", name, rows, error);
    *material = found;
    return TRUE;
}

gboolean spl_tables_preparation(const struct spl_tables *tables, const char *name,
                                const struct spl_preparation **preparation, GError **error)
{
    gconstpointer row = NULL;

    if (!find("preparation", tables->preparation_names, tables->preparations, name, &row, error))
        return FALSE;
    *preparation = row;
    return TRUE;
}

gboolean spl_tables_method(const struct spl_tables *tables, const char *name,
                           const struct spl_method **method, GError **error)
{
    gconstpointer row = NULL;

    if (!find("method of hazards", tables->method_names, tables->methods, name, &row, error))
        return FALSE;
    *method = row;
    return TRUE;
}

gboolean spl_tables_press(const struct spl_tables *tables, const char *name,
                          const struct spl_press **press, GError **error)
{
    gconstpointer row = NULL;

    if (!find("press", tables->press_names, tables->presses, name, &row, error))
        return FALSE;
    *press = row;
    return TRUE;
}

const struct spl_plant *spl_tables_plant_by_slug(const struct spl_tables *tables, const char *slug)
{
    return g_hash_table_lookup(tables->plant_slugs, slug);
}

const struct spl_material *spl_tables_material_by_slug(const struct spl_tables *tables,
                                                       const char *slug)
{
    return g_hash_table_lookup(tables->material_slugs, slug);
}

const struct spl_preparation *spl_tables_preparation_by_slug(const struct spl_tables *tables,
                                                             const char *slug)
{
    return g_hash_table_lookup(tables->preparation_slugs, slug);
}

const struct spl_method *spl_tables_method_by_slug(const struct spl_tables *tables,
                                                   const char *slug)
{
    return g_hash_table_lookup(tables->method_slugs, slug);
}

const struct spl_jar *spl_tables_jar(const struct spl_tables *tables, double nominal_ml)
{
    for (guint i = 0; i < tables->jars->len; i++) {
        const struct spl_jar *jar = g_ptr_array_index(tables->jars, i);
        if (fabs(jar->nominal_ml - nominal_ml) <= 0.005 * jar->nominal_ml)
            return jar;
    }
    return NULL;
}
