/* SPDX-License-Identifier: MIT
 *
 * From a spraying to what it touches. See season/touched.h.
 */
#include "season/touched.h"

#include <math.h>
#include <string.h>

#include "book/code.h"
#include "book/draw.h"
#include "book/drying.h"
#include "book/harvest.h"
#include "book/lot.h"
#include "book/site.h"
#include "core/geodesic.h"
#include "season/ground_map.h"
#include "simpling/error.h"

/* All that came of a thing, each once, nearest first; `codes` is both the answer and the work. */
static gboolean follow(struct spl_house *house, gint64 id, GPtrArray *codes, GError **error)
{
    guint next = 0;

    for (;;) {
        GPtrArray *takers = spl_draw_takers(house->book, id, error);
        struct spl_thing thing;

        if (takers == NULL)
            return FALSE;
        for (guint i = 0; i < takers->len; i++)
            if (!g_ptr_array_find_with_equal_func(codes, takers->pdata[i], g_str_equal, NULL))
                g_ptr_array_add(codes, g_strdup(takers->pdata[i]));
        g_ptr_array_unref(takers);
        if (next == codes->len)
            return TRUE;
        if (!spl_code_find(house->book, codes->pdata[next++], "HPDBL", "a record", &thing, error))
            return FALSE;
        id = thing.id;
        spl_thing_clear(&thing);
    }
}

char *spl_touched_line(struct spl_house *house, const struct spl_harvest *harvest, GError **error)
{
    g_autoptr(GPtrArray) codes = g_ptr_array_new_with_free_func(g_free);
    g_autofree char *into = NULL;
    char day[SPL_DAY_TEXT_SIZE];

    if (!follow(house, harvest->id, codes, error))
        return NULL;
    g_ptr_array_add(codes, NULL);
    into = g_strjoinv(", ", (char **)codes->pdata);
    return g_strdup_printf("%s %s of %s at %s%s%s", harvest->code, harvest->material,
                           spl_day_format(harvest->date, day), harvest->site,
                           *into != '\0' ? ", in " : "", into);
}

/* One thing that came of a harvest, with what is left of it. */
static gboolean add_record(struct spl_house *house, const struct spl_harvest *harvest,
                           const char *code, GArray *records, GError **error)
{
    struct spl_touched touched = {.left_g = NAN, .left_ml = NAN};
    struct spl_thing thing;
    gboolean ok = TRUE;

    if (!spl_code_find(house->book, code, "HPDBL", "a record", &thing, error))
        return FALSE;
    if (thing.kind == 'L') {
        struct spl_lot lot;

        ok = spl_lot_find(house->book, code, house->today, &lot, NULL, error);
        if (ok) {
            touched.left_g = lot.left_g;
            touched.left_ml = lot.left_ml;
            spl_record_clear(&spl_lot_shape, &lot);
        }
    } else if (thing.kind == 'D') {
        struct spl_drying drying;

        ok = spl_drying_find(house->book, code, &drying, error);
        if (ok) {
            touched.left_g = drying.left_g;
            spl_record_clear(&spl_drying_shape, &drying);
        }
    }
    if (ok) {
        touched.code = g_strdup(code);
        touched.kind = thing.kind == 'L'   ? SPL_THING_LOT
                       : thing.kind == 'D' ? SPL_THING_DRYING
                       : thing.kind == 'B' ? SPL_THING_BATCH
                       : thing.kind == 'P' ? SPL_THING_PURCHASE
                                           : SPL_THING_HARVEST;
        touched.harvest = g_strdup(harvest->code);
        g_array_append_val(records, touched);
    }
    spl_thing_clear(&thing);
    return ok;
}

static gboolean add_records(struct spl_house *house, const struct spl_harvest *harvest,
                            GArray *records, GError **error)
{
    g_autoptr(GPtrArray) codes = g_ptr_array_new_with_free_func(g_free);
    struct spl_touched first = {.code = g_strdup(harvest->code),
                                .kind = SPL_THING_HARVEST,
                                .harvest = g_strdup(harvest->code),
                                .left_g = harvest->left_g,
                                .left_ml = NAN};

    g_array_append_val(records, first);
    if (!follow(house, harvest->id, codes, error))
        return FALSE;
    for (guint i = 0; i < codes->len; i++)
        if (!add_record(house, harvest, g_ptr_array_index(codes, i), records, error))
            return FALSE;
    return TRUE;
}

/* No way of spraying reaches so far, from one end of a place to the other of its neighbour. */
#define FAR_M 50000.0

struct looking {
    struct spl_house *house;
    const char *layer;         /* that it is about */
    const char *note;          /* or a word about a place, by its code; NULL: the layer */
    struct spl_position place; /* that one */
    struct spl_ground_map *map;
    GPtrArray *lines;
    GArray *records;  /* struct spl_touched; NULL: not wanted */
    GHashTable *seen; /* harvest ids */
};

static gboolean take_harvest(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    struct looking *looking = data;
    gint64 *id;
    char *line;

    if (g_hash_table_contains(looking->seen, &harvest->id))
        return TRUE;
    id = g_memdup2(&harvest->id, sizeof harvest->id);
    g_hash_table_add(looking->seen, id);
    line = spl_touched_line(looking->house, harvest, error);
    if (line == NULL)
        return FALSE;
    g_ptr_array_add(looking->lines, line);
    return looking->records == NULL ||
           add_records(looking->house, harvest, looking->records, error);
}

/* The harvests of one site that this hazard touches. */
static gboolean by_hazard(struct looking *looking, const struct spl_site *site,
                          const struct spl_hazard_near *hazard, GError **error)
{
    double unsure_m = (isnan(site->accuracy_m) ? 0 : site->accuracy_m) +
                      (isnan(hazard->uncertainty_m) ? 0 : hazard->uncertainty_m);
    struct spl_harvest_filter filter = {
        .site_id = site->id, .from = SPL_DAY_NONE, .to = SPL_DAY_NONE};

    if (hazard->distance_m - unsure_m > 0 &&
        hazard->distance_m - unsure_m >= hazard->method->closed_m)
        return TRUE;
    if (!hazard->method->lasting && spl_day_is_set(hazard->on)) {
        filter.from = hazard->on;
        filter.to = spl_day_add(hazard->on, hazard->distance_m - unsure_m <= 0
                                                ? hazard->method->hold_on_days
                                                : hazard->method->hold_near_days);
    }
    return spl_harvest_each(looking->house->book, &filter, take_harvest, looking, error);
}

static gboolean by_site(const struct spl_site *site, gpointer data, GError **error)
{
    struct looking *looking = data;
    struct spl_ground_near near;
    gboolean ok;

    if (looking->note != NULL &&
        spl_geodesic_inverse(looking->place, (struct spl_position){site->lon, site->lat}, NULL,
                             NULL) > FAR_M)
        return TRUE;
    if (!spl_ground_map_near(looking->map, looking->house, site, 0, &near, error))
        return FALSE;
    ok = TRUE;
    for (guint i = 0; i < near.hazards->len && ok; i++) {
        const struct spl_hazard_near *hazard =
            &g_array_index(near.hazards, struct spl_hazard_near, i);

        if (looking->note != NULL ? g_strcmp0(hazard->note, looking->note) == 0
                                  : g_strcmp0(hazard->layer, looking->layer) == 0)
            ok = by_hazard(looking, site, hazard, error);
    }
    spl_ground_near_clear(&near);
    return ok;
}

gboolean spl_touched_by_layer(struct spl_house *house, const char *layer, GPtrArray *lines,
                              GArray *records, GError **error)
{
    g_autoptr(GHashTable) seen = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    struct looking looking = {
        .house = house, .layer = layer, .lines = lines, .records = records, .seen = seen};

    looking.map = spl_ground_map_of(house, error);
    return looking.map != NULL && spl_site_each(house->book, by_site, &looking, error);
}

gboolean spl_touched_by_site(struct spl_house *house, gint64 site_id, struct spl_day from,
                             GPtrArray *lines, GArray *records, GError **error)
{
    g_autoptr(GHashTable) seen = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    struct spl_harvest_filter filter = {.site_id = site_id, .from = from, .to = SPL_DAY_NONE};
    struct looking looking = {.house = house, .lines = lines, .records = records, .seen = seen};

    return spl_harvest_each(house->book, &filter, take_harvest, &looking, error);
}

gboolean spl_touched_by_word(struct spl_house *house, const struct spl_site *site, const char *note,
                             struct spl_day from, GPtrArray *lines, GArray *records, GError **error)
{
    g_autoptr(GHashTable) seen = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    struct spl_harvest_filter filter = {.site_id = site->id, .from = from, .to = SPL_DAY_NONE};
    struct looking looking = {.house = house,
                              .note = note,
                              .place = {site->lon, site->lat},
                              .lines = lines,
                              .records = records,
                              .seen = seen};

    looking.map = spl_ground_map_of(house, error);
    return looking.map != NULL &&
           spl_harvest_each(house->book, &filter, take_harvest, &looking, error) &&
           spl_site_each(house->book, by_site, &looking, error);
}
