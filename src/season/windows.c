/* SPDX-License-Identifier: MIT
 *
 * Making windows for places. See season/windows.h.
 */
#include "season/windows.h"

#include <math.h>
#include <string.h>

#include "book/sighting.h"
#include "book/window.h"
#include "season/almanac_rows.h"
#include "season/weather_source.h"

/* How many of the latest sightings of a material count, from notes and log each: the shared part of
 * what they say is settled long before. */
#define SIGHTINGS_OWN 1000   /* when only one site is asked */
#define SIGHTINGS_OTHERS 100 /* then, of all sites */
#define SIGHTINGS_ALL 300    /* when many are */

/* A stage seen farther than this from where a row expects it belongs to another flush. */
#define OTHER_FLUSH_DAYS 60.0

/* A site in a season with its warmth. */
struct place {
    struct spl_window_site site;
    const struct spl_station *station;
    struct spl_site_warmth warmth;
};

struct spl_window_maker {
    struct spl_house *house;
    struct spl_day today;
    gint64 only_site;
    struct spl_almanac_shelf *shelf;
    struct spl_weather_source *weather;
    GHashTable *references; /* almanac and station -> struct spl_reference */
    GHashTable *bases;      /* rows, season, station -> GArray of struct spl_row_season */
    GHashTable *fixes;      /* season -> struct spl_window_fixes */
    GHashTable *seen;       /* material -> GArray of struct spl_seen */
    GHashTable *places;     /* site id -> struct spl_site, of sightings */
    GHashTable *pools;      /* row and season -> struct row_pool */
    struct place *last;     /* the place asked last: callers ask it material by material */
    int last_season;
};

/* What was seen of one row's material, as residuals of one growing year. */
struct row_pool {
    struct spl_sighting_pool *pool;
    GHashTable *now; /* site id -> GArray of struct spl_sighting, this year's own */
};

static void pool_free(gpointer data)
{
    struct row_pool *pool = data;

    spl_sighting_pool_free(pool->pool);
    g_hash_table_unref(pool->now);
    g_free(pool);
}

static void array_free(gpointer array)
{
    g_array_unref(array);
}

static void fixes_free(gpointer fixes)
{
    spl_window_fixes_free(fixes);
}

static void site_free(gpointer site)
{
    spl_record_free(&spl_site_shape, site);
}

struct spl_window_maker *spl_window_maker_new_at(struct spl_house *house, gint64 site_id,
                                                 struct spl_day today, int without_year,
                                                 GError **error)
{
    g_autoptr(spl_window_maker) maker = g_new0(struct spl_window_maker, 1);

    maker->house = house;
    maker->today = today;
    maker->only_site = site_id;
    maker->references = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    maker->bases = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, array_free);
    maker->fixes = g_hash_table_new_full(NULL, NULL, NULL, fixes_free);
    maker->seen = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, array_free);
    maker->places = g_hash_table_new_full(g_int64_hash, g_int64_equal, NULL, site_free);
    maker->pools = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, pool_free);
    maker->shelf = spl_almanac_shelf_load(house, error);
    if (maker->shelf == NULL)
        return NULL;
    maker->weather = spl_weather_source_new(house, today, without_year, error);
    return maker->weather == NULL ? NULL : g_steal_pointer(&maker);
}

struct spl_window_maker *spl_window_maker_new(struct spl_house *house, gint64 site_id,
                                              GError **error)
{
    return spl_window_maker_new_at(house, site_id, house->today, 0, error);
}

static void place_forget(struct spl_window_maker *maker);

void spl_window_maker_free(struct spl_window_maker *maker)
{
    if (maker == NULL)
        return;
    place_forget(maker);
    g_hash_table_unref(maker->references);
    g_hash_table_unref(maker->bases);
    g_hash_table_unref(maker->fixes);
    g_hash_table_unref(maker->seen);
    g_hash_table_unref(maker->places);
    g_hash_table_unref(maker->pools);
    spl_almanac_shelf_free(maker->shelf);
    spl_weather_source_free(maker->weather);
    g_free(maker);
}

void spl_window_maker_set_today(struct spl_window_maker *maker, struct spl_day today)
{
    maker->today = today;
    place_forget(maker);
    spl_weather_source_set_today(maker->weather, today);
    g_hash_table_remove_all(maker->seen);
    g_hash_table_remove_all(maker->pools);
}

/* Base ------------------------------------------------------------------------------------------
 */

static const struct spl_reference *reference_of(struct spl_window_maker *maker,
                                                const struct spl_almanac_row *row, double lat,
                                                const struct spl_station *station)
{
    const struct spl_normals *spread =
        station == NULL ? NULL : spl_weather_source_normals(maker->weather, station);
    g_autofree char *key =
        g_strdup_printf("%s|%p|%d", row->almanac, (const void *)station, lat < 0);
    struct spl_reference *reference = g_hash_table_lookup(maker->references, key);

    if (reference == NULL) {
        reference = g_new(struct spl_reference, 1);
        spl_reference_init(row, lat, spread, reference);
        g_hash_table_insert(maker->references, g_steal_pointer(&key), reference);
    }
    return reference;
}

/* All rows that have days in the season, reckoned once for every site that shares these. */
static const GArray *bases_of(struct spl_window_maker *maker, const GPtrArray *rows, int season,
                              double lat, const struct spl_station *station)
{
    char key[128];
    GArray *bases;

    g_snprintf(key, sizeof key, "%p|%d|%p|%d", (const void *)rows, season, (const void *)station,
               lat < 0);
    bases = g_hash_table_lookup(maker->bases, key);
    if (bases != NULL)
        return bases;
    bases = g_array_new(FALSE, FALSE, sizeof(struct spl_row_season));
    for (guint i = 0; i < rows->len; i++) {
        const struct spl_almanac_row *row = g_ptr_array_index(rows, i);
        struct spl_row_season base;

        if (spl_row_season_init(row, season, lat, reference_of(maker, row, lat, station), &base))
            g_array_append_val(bases, base);
    }
    g_hash_table_insert(maker->bases, g_strdup(key), bases);
    return bases;
}

/* Place -----------------------------------------------------------------------------------------
 */

static gboolean place_init(struct spl_window_maker *maker, const struct spl_site *site, int season,
                           struct place *place, GError **error)
{
    GError *failed = NULL;
    double km = NAN;

    *place = (struct place){.site = {.name = site->name,
                                     .lat = site->lat,
                                     .lon = site->lon,
                                     .elevation_m = site->elevation_m,
                                     .station_km = NAN,
                                     .station_elevation_m = NAN}};
    place->station = spl_weather_source_station(maker->weather, site->lat, site->lon, &km, &failed);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (place->station == NULL)
        return TRUE;
    if (!spl_weather_source_warmth(maker->weather, place->station, site->lat, site->elevation_m,
                                   season, &place->warmth, error)) {
        place->station = NULL;
        return FALSE;
    }
    place->site.usual = &place->warmth.usual;
    place->site.year = place->warmth.has_year ? &place->warmth.year : NULL;
    place->site.station = place->station->name;
    place->site.station_km = km;
    place->site.station_elevation_m = place->station->elevation_m;
    return TRUE;
}

static void place_clear(struct place *place)
{
    if (place->station != NULL)
        spl_site_warmth_clear(&place->warmth);
}

static void place_forget(struct spl_window_maker *maker)
{
    if (maker->last != NULL)
        place_clear(maker->last);
    g_clear_pointer(&maker->last, g_free);
}

/* As place_init, but kept until another place is asked. NULL with an error. */
static const struct place *place_of(struct spl_window_maker *maker, const struct spl_site *site,
                                    int season, GError **error)
{
    struct spl_window_site *kept = maker->last == NULL ? NULL : &maker->last->site;
    /* Heights may both be unknown, and then are the same. */
    gboolean same = kept != NULL && maker->last_season == season && kept->lat == site->lat &&
                    kept->lon == site->lon &&
                    (kept->elevation_m == site->elevation_m ||
                     (isnan(kept->elevation_m) && isnan(site->elevation_m)));

    if (!same) {
        place_forget(maker);
        maker->last = g_new0(struct place, 1);
        maker->last_season = season;
        if (!place_init(maker, site, season, maker->last, error)) {
            g_clear_pointer(&maker->last, g_free);
            return NULL;
        }
    }
    maker->last->site.name = site->name;
    return maker->last;
}

/* Sightings -------------------------------------------------------------------------------------
 */

static const GArray *seen_of(struct spl_window_maker *maker, const char *material, GError **error)
{
    GArray *seen = g_hash_table_lookup(maker->seen, material);
    g_autoptr(GArray) own = NULL;

    if (seen != NULL)
        return seen;
    seen = spl_seen_list(maker->house->book, material, 0, maker->today,
                         maker->only_site != 0 ? SIGHTINGS_OTHERS : SIGHTINGS_ALL, error);
    if (seen == NULL)
        return NULL;
    if (maker->only_site != 0) {
        guint kept = 0;

        own = spl_seen_list(maker->house->book, material, maker->only_site, maker->today,
                            SIGHTINGS_OWN, error);
        if (own == NULL) {
            g_array_unref(seen);
            return NULL;
        }
        for (guint i = 0; i < seen->len; i++) { /* the own ones come whole, once */
            struct spl_seen one = g_array_index(seen, struct spl_seen, i);

            if (one.site_id != maker->only_site)
                g_array_index(seen, struct spl_seen, kept++) = one;
        }
        g_array_set_size(seen, kept);
        g_array_append_vals(seen, own->data, own->len);
    }
    g_hash_table_insert(maker->seen, g_strdup(material), seen);
    return seen;
}

static const struct spl_site *site_of(struct spl_window_maker *maker, gint64 id, GError **error)
{
    struct spl_site *site = g_hash_table_lookup(maker->places, &id);

    if (site != NULL)
        return site;
    site = g_new0(struct spl_site, 1);
    if (!spl_site_load(maker->house->book, id, site, error)) {
        g_free(site);
        return NULL;
    }
    g_hash_table_insert(maker->places, &site->id, site);
    return site;
}

/* What the model, run for that site and year without any sighting, makes of one. */
static gboolean residual_of(struct spl_window_maker *maker, const struct spl_almanac_row *row,
                            const struct spl_seen *seen, int season, struct spl_sighting *sighting,
                            GError **error)
{
    const struct spl_site *site = site_of(maker, seen->site_id, error);
    struct spl_forecast forecast;
    struct spl_row_season base;
    struct place place;
    double day;
    int year;

    if (site == NULL)
        return FALSE;
    year = spl_day_season(seen->on, site->lat);
    *sighting = (struct spl_sighting){.site = (int)seen->site_id,
                                      .residual_d = NAN,
                                      .this_year = year == season,
                                      .on = seen->on,
                                      .stage = seen->stage};
    /* Outside the row's stages there is nothing to compare; bounds of this year need no model. */
    if (isnan(row->stage_from) || isnan(row->stage_to) || seen->stage < row->stage_from ||
        seen->stage > row->stage_to)
        return TRUE;
    if (!place_init(maker, site, year, &place, error))
        return FALSE;
    if (spl_row_season_init(row, year, site->lat,
                            reference_of(maker, row, site->lat, place.station), &base)) {
        spl_window_forecast(&base, &place.site, seen->on, NULL, &forecast);
        day = spl_window_stage_day(row, &forecast, seen->stage);
        if (fabs(seen->on.n - day) <= OTHER_FLUSH_DAYS)
            sighting->residual_d = seen->on.n - day;
        sighting->blur_d = spl_window_stage_blur(row, &forecast, seen->stage);
        sighting->weather_known = forecast.basis == SPL_BASIS_WEATHER;
    }
    place_clear(&place);
    return TRUE;
}

static const struct row_pool *pool_of(struct spl_window_maker *maker,
                                      const struct spl_almanac_row *row, int season, GError **error)
{
    char key[64];
    struct row_pool *pool;
    const GArray *seen;

    g_snprintf(key, sizeof key, "%p|%d", (const void *)row, season);
    pool = g_hash_table_lookup(maker->pools, key);
    if (pool != NULL)
        return pool;
    seen = seen_of(maker, row->material, error);
    if (seen == NULL)
        return NULL;
    pool = g_new0(struct row_pool, 1);
    pool->pool = spl_sighting_pool_new();
    pool->now = g_hash_table_new_full(NULL, NULL, NULL, array_free);
    for (guint i = 0; i < seen->len; i++) {
        struct spl_sighting one;
        GArray *now;

        if (!residual_of(maker, row, &g_array_index(seen, struct spl_seen, i), season, &one,
                         error)) {
            pool_free(pool);
            return NULL;
        }
        spl_sighting_pool_add(pool->pool, &one);
        if (!one.this_year)
            continue;
        now = g_hash_table_lookup(pool->now, GINT_TO_POINTER(one.site));
        if (now == NULL) {
            now = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
            g_hash_table_insert(pool->now, GINT_TO_POINTER(one.site), now);
        }
        one.site = 0;
        g_array_append_val(now, one);
    }
    g_hash_table_insert(maker->pools, g_strdup(key), pool);
    return pool;
}

/* Windows ---------------------------------------------------------------------------------------
 */

static struct spl_window_account *account_of(const struct spl_row_season *base,
                                             const struct place *place,
                                             const struct spl_forecast *forecast)
{
    struct spl_window_account *account = g_new0(struct spl_window_account, 1);

    *account = (struct spl_window_account){
        .almanac = g_strdup(base->row->almanac),
        .source = g_strdup(base->row->source),
        .usual_start = {(gint32)base->start_n},
        .usual_end = {(gint32)base->end_n},
        .shift_d = isnan(forecast->needs_dd) ? forecast->start_shift_d : NAN,
        .station = isnan(forecast->needs_dd) ? NULL : g_strdup(place->site.station),
        .station_km = isnan(forecast->needs_dd) ? NAN : place->site.station_km,
        .station_elevation_m = isnan(forecast->needs_dd) ? NAN : place->site.station_elevation_m,
        .elevation_m = forecast->elevation_m,
        .sum_from = SPL_DAY_NONE,
        .needs_dd = forecast->needs_dd,
        .reached_dd = forecast->reached_dd,
        .known_until = forecast->known_until,
        .sightings = forecast->n_sightings,
        .sightings_d = forecast->n_sightings > 0 ? forecast->offset_d : NAN,
        .start_sd_d = forecast->start_sd_d,
        .end_sd_d = forecast->end_sd_d,
    };
    if (!isnan(forecast->sum_from_n))
        account->sum_from.n = (gint32)forecast->sum_from_n;
    return account;
}

static struct spl_window_fixes *fixes_of(struct spl_window_maker *maker, int season, GError **error)
{
    struct spl_window_fixes *fixes = g_hash_table_lookup(maker->fixes, GINT_TO_POINTER(season));

    if (fixes == NULL) {
        fixes = spl_window_fixes_load(maker->house->book, season, error);
        if (fixes != NULL)
            g_hash_table_insert(maker->fixes, GINT_TO_POINTER(season), fixes);
    }
    return fixes;
}

static gboolean make_one(struct spl_window_maker *maker, const struct spl_site *site,
                         const struct place *place, const struct spl_row_season *base,
                         const struct spl_window_fixes *fixes, struct spl_forecast *forecast,
                         GError **error)
{
    const struct spl_almanac_row *row = base->row;
    const struct row_pool *pool = pool_of(maker, row, base->season, error);
    struct spl_sighting_offset offset;
    struct spl_day start, end;

    if (pool == NULL)
        return FALSE;
    spl_sighting_pool_offset(pool->pool, (int)site->id, &offset);
    spl_window_forecast_with(base, &place->site, maker->today, &offset,
                             site->id == 0 || g_hash_table_size(pool->now) == 0
                                 ? NULL
                                 : g_hash_table_lookup(pool->now, GINT_TO_POINTER((int)site->id)),
                             forecast);
    if (site->id != 0 &&
        spl_window_fixes_find(fixes, site->id, row->material, row->use, row->flush, &start, &end))
        spl_window_forecast_fix(forecast, start, end);
    return TRUE;
}

static int by_start(gconstpointer a, gconstpointer b)
{
    const struct spl_window_told *x = a, *y = b;
    int order = spl_day_compare(x->window.likely_start, y->window.likely_start);

    if (order == 0)
        order = strcmp(x->window.material, y->window.material);
    if (order == 0)
        order = g_strcmp0(x->window.use, y->window.use);
    return order != 0 ? order : x->window.flush - y->window.flush;
}

GArray *spl_window_maker_at(struct spl_window_maker *maker, const struct spl_site *site, int season,
                            const char *material, const char *use, gboolean explain, GError **error)
{
    const struct spl_window_fixes *fixes;
    const GPtrArray *rows;
    const GArray *bases;
    const struct place *place;
    gboolean ok = TRUE;
    GArray *list;

    if (season == 0)
        season = spl_day_season(maker->today, site->lat);
    fixes = fixes_of(maker, season, error);
    place = fixes == NULL ? NULL : place_of(maker, site, season, error);
    if (place == NULL)
        return NULL;
    rows = spl_almanac_shelf_at(maker->shelf, site->lat, site->lon);
    bases = bases_of(maker, rows, season, site->lat, place->station);
    list = spl_list_new(&spl_window_told_shape);
    for (guint i = 0; ok && i < bases->len; i++) {
        const struct spl_row_season *base = &g_array_index(bases, struct spl_row_season, i);
        struct spl_window_told told = {.explain = NULL};
        struct spl_forecast forecast;

        if ((material != NULL && strcmp(base->row->material, material) != 0) ||
            (use != NULL && g_strcmp0(base->row->use, use) != 0))
            continue;
        ok = make_one(maker, site, place, base, fixes, &forecast, error);
        if (!ok)
            break;
        spl_window_from_forecast(base, &place->site, &forecast, &told.window);
        if (explain)
            told.explain = account_of(base, place, &forecast);
        g_array_append_val(list, told);
    }
    if (!ok) {
        spl_list_free(&spl_window_told_shape, list);
        return NULL;
    }
    g_array_sort(list, by_start);
    return list;
}

GArray *spl_windows_at(struct spl_house *house, const struct spl_site *site, int season,
                       const char *material, GError **error)
{
    g_autoptr(spl_window_maker) maker = spl_window_maker_new(house, site->id, error);
    GArray *told, *list;

    if (maker == NULL)
        return NULL;
    told = spl_window_maker_at(maker, site, season, material, NULL, FALSE, error);
    if (told == NULL)
        return NULL;
    list = spl_list_new(&spl_window_shape);
    for (guint i = 0; i < told->len; i++) {
        struct spl_window *window = &g_array_index(told, struct spl_window_told, i).window;

        window->row = NULL;
        g_array_append_vals(list, window, 1); /* what it owns moves along */
    }
    g_array_unref(told); /* nothing was explained, so nothing else is owned */
    return list;
}
