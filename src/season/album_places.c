/* SPDX-License-Identifier: MIT
 *
 * What the book knows to grow where: for the pictures that show places.
 */
#include "season/album_places.h"

#include <string.h>

#include "book/site.h"
#include "core/stage.h"
#include "simpling/harvest.h"
#include "simpling/stand.h"

struct spl_places_known {
    GHashTable *plants;    /* "site|plant", a set */
    GHashTable *materials; /* site -> GPtrArray of slugs */
};

static void free_array(gpointer array)
{
    g_ptr_array_unref(array);
}

static void note(struct spl_places_known *known, const char *site, const char *material)
{
    const char *slash = strchr(material, '/');
    GPtrArray *slugs = g_hash_table_lookup(known->materials, site);

    if (slash == NULL)
        return;
    g_hash_table_add(known->plants,
                     g_strdup_printf("%s|%.*s", site, (int)(slash - material), material));
    if (slugs == NULL) {
        slugs = g_ptr_array_new_with_free_func(g_free);
        g_hash_table_insert(known->materials, g_strdup(site), slugs);
    }
    if (!g_ptr_array_find_with_equal_func(slugs, material, g_str_equal, NULL))
        g_ptr_array_add(slugs, g_strdup(material));
}

static gboolean note_harvest(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    (void)error;
    note(data, harvest->site, harvest->material);
    return TRUE;
}

struct spl_places_known *spl_places_known_new(struct spl_house *house, GError **error)
{
    g_autoptr(spl_places_known) known = g_new0(struct spl_places_known, 1);
    struct spl_harvest_question question = {.from = SPL_DAY_NONE, .to = SPL_DAY_NONE};
    GArray *stages, *stands;

    known->plants = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    known->materials = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, free_array);
    stages = spl_stage_list(house->book, 0, NULL, error);
    if (stages == NULL)
        return NULL;
    for (guint i = 0; i < stages->len; i++) {
        const struct spl_stage_record *stage = &g_array_index(stages, struct spl_stage_record, i);

        note(known, stage->site, stage->material);
    }
    spl_list_free(&spl_stage_record_shape, stages);
    if (!spl_harvest_entries(house, &question, note_harvest, known, error))
        return NULL;
    stands = spl_stand_lines(house, &(struct spl_stand_question){.year = SPL_COUNT_NONE}, error);
    if (stands == NULL)
        return NULL;
    for (guint i = 0; i < stands->len; i++) {
        const struct spl_stand_line *line = &g_array_index(stands, struct spl_stand_line, i);

        note(known, line->site, line->material);
    }
    spl_list_free(&spl_stand_line_shape, stands);
    return g_steal_pointer(&known);
}

void spl_places_known_free(struct spl_places_known *known)
{
    if (known == NULL)
        return;
    g_hash_table_unref(known->plants);
    g_hash_table_unref(known->materials);
    g_free(known);
}

gboolean spl_places_known_any(const struct spl_places_known *known)
{
    return g_hash_table_size(known->plants) > 0;
}

gboolean spl_places_known_has(const struct spl_places_known *known, const char *site,
                              const char *material)
{
    const char *slash = strchr(material, '/');
    g_autofree char *key = NULL;

    if (site == NULL || slash == NULL)
        return FALSE;
    key = g_strdup_printf("%s|%.*s", site, (int)(slash - material), material);
    return g_hash_table_contains(known->plants, key);
}

const GPtrArray *spl_places_known_materials(const struct spl_places_known *known, const char *site)
{
    return g_hash_table_lookup(known->materials, site);
}
