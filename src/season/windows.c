/* SPDX-License-Identifier: MIT
 *
 * Making windows for places. See season/windows.h.
 */
#include "season/windows.h"

#include <math.h>
#include <string.h>

#include "book/window.h"
#include "season/windows_private.h"

/* How far ahead the windows of the next growing year are news. */
#define SOON_DAYS 31
/* A window's days may come so much later, and so much earlier, than the almanac's own. */
#define ROOM_DAYS 100

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
    maker->known = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, array_free);
    maker->seen = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, array_free);
    maker->past = spl_window_past_new();
    maker->places = g_hash_table_new_full(g_int64_hash, g_int64_equal, NULL, site_free);
    maker->pools = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, spl_window_row_seen_free);
    maker->years = g_hash_table_new_full(NULL, NULL, NULL, array_free);
    maker->plants = g_ptr_array_new_with_free_func(g_free);
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

static void place_forget(struct spl_window_maker *maker)
{
    if (maker->last != NULL)
        spl_window_place_clear(maker->last);
    g_clear_pointer(&maker->last, g_free);
}

void spl_window_maker_free(struct spl_window_maker *maker)
{
    if (maker == NULL)
        return;
    place_forget(maker);
    g_hash_table_unref(maker->references);
    g_hash_table_unref(maker->bases);
    g_hash_table_unref(maker->fixes);
    g_hash_table_unref(maker->known);
    g_hash_table_unref(maker->seen);
    g_hash_table_unref(maker->past);
    g_hash_table_unref(maker->places);
    g_hash_table_unref(maker->pools);
    g_hash_table_unref(maker->years);
    g_ptr_array_unref(maker->plants);
    spl_almanac_shelf_free(maker->shelf);
    spl_weather_source_free(maker->weather);
    g_free(maker->unfit);
    g_free(maker);
}

void spl_window_maker_set_today(struct spl_window_maker *maker, struct spl_day today)
{
    maker->today = today;
    place_forget(maker);
    spl_weather_source_set_today(maker->weather, today);
    g_hash_table_remove_all(maker->seen);
    g_hash_table_remove_all(maker->pools);
    g_hash_table_remove_all(maker->years);
    g_hash_table_remove_all(maker->fixes);
}

const char *spl_window_maker_unfit(const struct spl_window_maker *maker)
{
    return maker->unfit;
}

/* Base ------------------------------------------------------------------------------------------
 */

const struct spl_reference *spl_window_reference(struct spl_window_maker *maker,
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

        if (spl_row_season_init(row, season, lat, spl_window_reference(maker, row, lat, station),
                                &base))
            g_array_append_val(bases, base);
    }
    g_hash_table_insert(maker->bases, g_strdup(key), bases);
    return bases;
}

/* Place -----------------------------------------------------------------------------------------
 */

gboolean spl_window_place_init(struct spl_window_maker *maker, const struct spl_site *site,
                               int season, struct spl_window_place *place, GError **error)
{
    struct spl_reach_place reach = {site->lat, site->lon, NULL};
    GError *failed = NULL;
    double km = NAN;

    *place = (struct spl_window_place){.site = {.name = site->name,
                                                .lat = site->lat,
                                                .lon = site->lon,
                                                .elevation_m = site->elevation_m,
                                                .station_km = NAN,
                                                .station_elevation_m = NAN,
                                                .almanac_km = NAN}};
    place->station = spl_weather_source_station(maker->weather, site->lat, site->lon, &km, &failed);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (place->station != NULL) {
        if (!spl_weather_source_warmth(maker->weather, place->station, site->lat, site->elevation_m,
                                       season, &place->warmth, error)) {
            place->station = NULL;
            return FALSE;
        }
        place->site.usual = &place->warmth.usual;
        place->site.year = place->warmth.has_year ? &place->warmth.year : NULL;
        place->site.years = place->warmth.years;
        place->site.foretold = place->warmth.foretold;
        place->site.mean_c = reach.mean_c = place->warmth.mean_c;
        place->site.frost = &place->warmth.frost;
        place->site.station = place->station->name;
        place->site.station_km = km;
        place->site.station_elevation_m = place->station->elevation_m;
    }
    place->choice = spl_almanac_shelf_at(maker->shelf, &reach, &place->reach, error);
    if (place->choice != NULL)
        return TRUE;
    spl_window_place_clear(place);
    place->station = NULL;
    return FALSE;
}

void spl_window_place_reach(struct spl_window_place *place, const struct spl_almanac_row *row)
{
    gboolean own = spl_almanac_choice_is_own(place->choice, row);

    place->site.reach_sd_d = own ? 0 : spl_reach_sd_d(&place->reach);
    place->site.fair = !own && place->reach.fair;
    place->site.almanac_km = own ? NAN : place->reach.km;
}

void spl_window_place_clear(struct spl_window_place *place)
{
    if (place->station != NULL)
        spl_site_warmth_clear(&place->warmth);
    g_clear_pointer(&place->year_notes, g_array_unref);
}

/* As spl_window_place_init, but kept until another place is asked. NULL with an error. */
static struct spl_window_place *place_of(struct spl_window_maker *maker,
                                         const struct spl_site *site, int season, GError **error)
{
    struct spl_window_site *kept = maker->last == NULL ? NULL : &maker->last->site;
    /* Heights may both be unknown, and then are the same. */
    gboolean same = kept != NULL && maker->last_season == season && kept->lat == site->lat &&
                    kept->lon == site->lon &&
                    (kept->elevation_m == site->elevation_m ||
                     (isnan(kept->elevation_m) && isnan(site->elevation_m)));

    if (!same) {
        place_forget(maker);
        maker->last = g_new0(struct spl_window_place, 1);
        maker->last_season = season;
        if (!spl_window_place_init(maker, site, season, maker->last, error)) {
            g_clear_pointer(&maker->last, g_free);
            return NULL;
        }
        if (!spl_window_year_near(maker, maker->last, season, error)) {
            place_forget(maker);
            return NULL;
        }
    }
    maker->last->site.name = site->name;
    return maker->last;
}

/* Windows ---------------------------------------------------------------------------------------
 */

static struct spl_window_account *account_of(const struct spl_row_season *base,
                                             const struct spl_window_place *place,
                                             const struct spl_forecast *forecast)
{
    struct spl_window_account *account = g_new0(struct spl_window_account, 1);

    *account = (struct spl_window_account){
        .almanac = g_strdup(base->row->almanac),
        .almanac_km = place->site.almanac_km,
        .climate_k =
            place->site.reach_sd_d > 0 || place->site.almanac_km > 0 ? place->reach.rms_k : NAN,
        .period_d = fabs(forecast->period_d) > 0 ? forecast->period_d : NAN,
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
        .year_d = forecast->n_year > 0 ? forecast->year_d : NAN,
        .year_sightings = forecast->n_year,
        .frost = SPL_DAY_NONE,
        .start_sd_d = forecast->start_sd_d,
        .end_sd_d = forecast->end_sd_d,
    };
    if (isfinite(forecast->frost_n))
        account->frost.n = (gint32)rint(forecast->frost_n);
    if (!isnan(forecast->sum_from_n))
        account->sum_from.n = (gint32)forecast->sum_from_n;
    return account;
}

static struct spl_window_fixes *fixes_of(struct spl_window_maker *maker, int season, GError **error)
{
    struct spl_window_fixes *fixes = g_hash_table_lookup(maker->fixes, GINT_TO_POINTER(season));

    if (fixes == NULL) {
        fixes = spl_window_fixes_load(maker->house->book, season, maker->today, error);
        if (fixes != NULL)
            g_hash_table_insert(maker->fixes, GINT_TO_POINTER(season), fixes);
    }
    return fixes;
}

static gboolean make_one(struct spl_window_maker *maker, const struct spl_site *site,
                         struct spl_window_place *place, const struct spl_row_season *base,
                         const struct spl_window_fixes *fixes, struct spl_forecast *forecast,
                         GError **error)
{
    const struct spl_almanac_row *row = base->row;
    const struct spl_row_seen *known =
        spl_window_row_seen(maker, place->choice, row, base->season, error);
    struct spl_year_effect year;
    struct spl_window_seen seen;
    struct spl_day start, end;

    if (known == NULL)
        return FALSE;
    spl_window_year_effect(place, site->id, row, base->start_n, &year);
    seen = (struct spl_window_seen){.pool = known->pool, .site = (int)site->id, .year = &year};
    if (site->id != 0 && g_hash_table_size(known->now) > 0)
        seen.own_this_year = g_hash_table_lookup(known->now, GINT_TO_POINTER((int)site->id));
    spl_window_place_reach(place, row);
    spl_window_forecast_with(base, &place->site, maker->today, &seen, forecast);
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

/* What is asked of one season: which rows, and which days their windows must touch. */
struct asked {
    const char *material, *use; /* NULL: all */
    gboolean explain;
    struct spl_day ends_from;    /* windows that are mostly over before it are left out; or none */
    struct spl_day likely_from;  /* and those that likely are; or none */
    struct spl_day begins_until; /* and those that may begin only after it; or none */
};

static struct asked everything(const char *material, const char *use, gboolean explain)
{
    return (struct asked){material, use, explain, SPL_DAY_NONE, SPL_DAY_NONE, SPL_DAY_NONE};
}

static gboolean is_asked(const struct asked *asked, const struct spl_row_season *base)
{
    const struct spl_almanac_row *row = base->row;

    return (asked->material == NULL || strcmp(row->material, asked->material) == 0) &&
           (asked->use == NULL || g_strcmp0(row->use, asked->use) == 0) &&
           (!spl_day_is_set(asked->ends_from) || base->end_n + ROOM_DAYS >= asked->ends_from.n) &&
           (!spl_day_is_set(asked->likely_from) ||
            base->end_n + ROOM_DAYS >= asked->likely_from.n) &&
           (!spl_day_is_set(asked->begins_until) ||
            base->start_n - ROOM_DAYS <= asked->begins_until.n);
}

static gboolean touches(const struct asked *asked, const struct spl_window *window)
{
    return (!spl_day_is_set(asked->ends_from) || window->latest.n >= asked->ends_from.n) &&
           (!spl_day_is_set(asked->likely_from) || window->likely_end.n >= asked->likely_from.n) &&
           (!spl_day_is_set(asked->begins_until) || window->earliest.n <= asked->begins_until.n);
}

/* Whether any row can have a window there: a season beside the asked one mostly has none. */
static gboolean any_asked(const struct asked *asked, const GArray *bases)
{
    for (guint i = 0; i < bases->len; i++) {
        if (is_asked(asked, &g_array_index(bases, struct spl_row_season, i)))
            return TRUE;
    }
    return FALSE;
}

/* Appends the windows of one growing year. */
static gboolean add_season(struct spl_window_maker *maker, const struct spl_site *site, int season,
                           const struct asked *asked, GArray *list, GError **error)
{
    const struct spl_window_fixes *fixes = fixes_of(maker, season, error);
    struct spl_window_place *place = fixes == NULL ? NULL : place_of(maker, site, season, error);
    const GArray *bases;
    int refused = 0, made = 0;

    if (place == NULL)
        return FALSE;
    bases = bases_of(maker, place->choice->rows, season, site->lat, place->station);
    for (guint i = 0; i < bases->len; i++) {
        const struct spl_row_season *base = &g_array_index(bases, struct spl_row_season, i);
        struct spl_window_told told = {.explain = NULL};
        struct spl_forecast forecast;

        if (!is_asked(asked, base))
            continue;
        if (!make_one(maker, site, place, base, fixes, &forecast, error))
            return FALSE;
        if (forecast.refusal != SPL_WINDOW_FINE) {
            refused++;
            continue;
        }
        made++;
        spl_window_from_forecast(base, &place->site, &forecast, &told.window);
        if (!touches(asked, &told.window)) {
            spl_record_clear(&spl_window_shape, &told.window);
            continue;
        }
        if (asked->explain)
            told.explain = account_of(base, place, &forecast);
        g_array_append_val(list, told);
    }
    if (place->choice->name == NULL) {
        struct spl_reach_place there = {site->lat, site->lon, place->site.mean_c};

        g_free(maker->unfit);
        maker->unfit = spl_almanac_shelf_unfit(maker->shelf, &there);
    } else if (refused > 0 && made == 0) {
        g_free(maker->unfit);
        maker->unfit =
            g_strdup_printf("no almanac fits here: the days of '%s' would have to be moved by more "
                            "than they bear; note the stages that you see, or add an almanac of "
                            "your own",
                            place->choice->name);
    }
    return TRUE;
}

/* The rows of the season beside, without the cost of a place where they cannot touch the days. */
static gboolean add_beside(struct spl_window_maker *maker, const struct spl_site *site, int season,
                           const struct asked *asked, GArray *list, GError **error)
{
    struct spl_window_place *last = maker->last;

    if (last != NULL &&
        !any_asked(asked, bases_of(maker, last->choice->rows, season, site->lat, last->station)))
        return TRUE;
    return add_season(maker, site, season, asked, list, error);
}

GArray *spl_window_maker_at(struct spl_window_maker *maker, const struct spl_site *site, int season,
                            const char *material, const char *use, gboolean explain, GError **error)
{
    struct asked asked = everything(material, use, explain);
    GArray *list = spl_list_new(&spl_window_told_shape);

    g_clear_pointer(&maker->unfit, g_free);
    if (!add_season(maker, site, season, &asked, list, error)) {
        spl_list_free(&spl_window_told_shape, list);
        return NULL;
    }
    g_array_sort(list, by_start);
    return list;
}

GArray *spl_window_maker_year(struct spl_window_maker *maker, const struct spl_site *site,
                              int season, const char *material, const char *use, gboolean explain,
                              GError **error)
{
    struct asked asked = everything(material, use, explain), running = asked;
    GArray *list = spl_list_new(&spl_window_told_shape);
    struct spl_day last;

    spl_day_season_bounds(season, site->lat, &running.likely_from, &last);
    g_clear_pointer(&maker->unfit, g_free);
    if (!add_season(maker, site, season, &asked, list, error) ||
        !add_beside(maker, site, season - 1, &running, list, error)) {
        spl_list_free(&spl_window_told_shape, list);
        return NULL;
    }
    g_array_sort(list, by_start);
    return list;
}

GArray *spl_window_maker_on(struct spl_window_maker *maker, const struct spl_site *site,
                            struct spl_day day, const char *material, const char *use,
                            gboolean explain, GError **error)
{
    int season = spl_day_season(day, site->lat);
    struct asked asked = everything(material, use, explain), running = asked, coming = asked;
    GArray *list = spl_list_new(&spl_window_told_shape);

    running.ends_from = day;
    coming.begins_until = spl_day_add(day, SOON_DAYS);
    g_clear_pointer(&maker->unfit, g_free);
    if (!add_season(maker, site, season, &asked, list, error) ||
        !add_beside(maker, site, season - 1, &running, list, error) ||
        !add_beside(maker, site, season + 1, &coming, list, error)) {
        spl_list_free(&spl_window_told_shape, list);
        return NULL;
    }
    g_array_sort(list, by_start);
    return list;
}

GArray *spl_windows_on(struct spl_house *house, const struct spl_site *site, struct spl_day day,
                       const char *material, char **unfit, GError **error)
{
    g_autoptr(spl_window_maker) maker = spl_window_maker_new(house, site->id, error);
    GArray *told, *list;

    if (maker == NULL)
        return NULL;
    told = spl_window_maker_on(maker, site, day, material, NULL, FALSE, error);
    if (told == NULL)
        return NULL;
    list = spl_list_new(&spl_window_shape);
    for (guint i = 0; i < told->len; i++) {
        struct spl_window *window = &g_array_index(told, struct spl_window_told, i).window;

        window->row = NULL;
        g_array_append_vals(list, window, 1); /* what it owns moves along */
    }
    g_array_unref(told); /* nothing was explained, so nothing else is owned */
    if (unfit != NULL)
        *unfit = g_strdup(maker->unfit);
    return list;
}
