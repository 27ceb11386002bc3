/* SPDX-License-Identifier: MIT
 *
 * What was seen growing, for windows. See season/windows_private.h.
 */
#include <math.h>
#include <string.h>

#include "book/sighting.h"
#include "core/geodesic.h"
#include "season/windows_private.h"

/* How many of the latest sightings of a material count, from notes and log each: the shared part of
 * what they say is settled long before. */
#define SIGHTINGS_OWN 1000   /* when only one site is asked */
#define SIGHTINGS_OTHERS 100 /* then, of all sites */
#define SIGHTINGS_ALL 300    /* when many are */

/* A stage seen farther than this from where every row expects it is no word about a day. */
#define OTHER_FLUSH_DAYS 60.0
#define OUTSIDE_BLUR_D 5.0   /* how badly a picking outside its window says the day */
#define YEAR_NOTES_MOST 60   /* near a place: more say no more */
#define YEAR_NOTES_OF_ONE 20 /* of one material */

static void array_free(gpointer array)
{
    g_array_unref(array);
}

void spl_window_row_seen_free(gpointer data)
{
    struct spl_row_seen *seen = data;

    spl_sighting_pool_free(seen->pool);
    g_hash_table_unref(seen->now);
    g_free(seen);
}

/* All that was seen of it, on whatever day: one list for every day that is asked about. */
static const GArray *known_of(struct spl_window_maker *maker, const char *material, GError **error)
{
    static const struct spl_day ever = {G_MAXINT32};
    GArray *known = g_hash_table_lookup(maker->known, material);
    g_autoptr(GArray) own = NULL;

    if (known != NULL)
        return known;
    known = spl_seen_list(maker->house->book, material, 0, ever,
                          maker->only_site != 0 ? SIGHTINGS_OTHERS : SIGHTINGS_ALL, error);
    if (known == NULL)
        return NULL;
    if (maker->only_site != 0) {
        guint kept = 0;

        own = spl_seen_list(maker->house->book, material, maker->only_site, ever, SIGHTINGS_OWN,
                            error);
        if (own == NULL) {
            g_array_unref(known);
            return NULL;
        }
        for (guint i = 0; i < known->len; i++) { /* the own ones come whole, once */
            struct spl_seen one = g_array_index(known, struct spl_seen, i);

            if (one.site_id != maker->only_site)
                g_array_index(known, struct spl_seen, kept++) = one;
        }
        g_array_set_size(known, kept);
        g_array_append_vals(known, own->data, own->len);
    }
    g_hash_table_insert(maker->known, g_strdup(material), known);
    return known;
}

static const GArray *seen_of(struct spl_window_maker *maker, const char *material, GError **error)
{
    GArray *seen = g_hash_table_lookup(maker->seen, material);
    const GArray *known;

    if (seen != NULL)
        return seen;
    known = known_of(maker, material, error);
    if (known == NULL)
        return NULL;
    seen = g_array_new(FALSE, FALSE, sizeof(struct spl_seen));
    for (guint i = 0; i < known->len; i++) {
        const struct spl_seen *one = &g_array_index(known, struct spl_seen, i);

        if (spl_day_compare(one->on, maker->today) <= 0)
            g_array_append_vals(seen, one, 1);
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
    if (!spl_site_named(maker->house->book, id, site, error)) {
        g_free(site);
        return NULL;
    }
    g_hash_table_insert(maker->places, &site->id, site);
    return site;
}

/* A picking, or a stage that lasts: it says that the window is open. */
static gboolean is_open(const struct spl_seen *seen)
{
    return seen->harvest || spl_window_stage_lasts(seen->stage);
}

/* Days from what a forecast expects of a sighting; NAN when the row does not have the stage. */
static double residual_from(const struct spl_almanac_row *row, const struct spl_forecast *forecast,
                            const struct spl_seen *seen)
{
    double day = spl_window_stage_day(row, forecast, seen->stage);

    if (!isnan(day) && is_open(seen))
        day = CLAMP((double)seen->on.n, forecast->start_n, forecast->end_n);
    return seen->on.n - day;
}

/* The model without any sighting, run for that place and year as on the day of the sighting; FALSE:
 * the row has no days then. */
static gboolean expect(struct spl_window_maker *maker, struct spl_window_place *place,
                       const struct spl_almanac_row *row, const struct spl_seen *seen, int year,
                       struct spl_forecast *forecast)
{
    struct spl_row_season base;
    const struct spl_reference *reference;

    if (isnan(row->stage_from) || isnan(row->stage_to) || seen->stage < row->stage_from ||
        seen->stage > row->stage_to)
        return FALSE;
    reference = spl_window_reference(maker, row, place->site.lat, place->station);
    if (!spl_row_season_init(row, year, place->site.lat, reference, &base))
        return FALSE;
    spl_window_place_reach(place, row);
    spl_window_forecast(&base, &place->site, seen->on, NULL, forecast);
    return TRUE;
}

/* The other flushes of a row's material and use. */
static gboolean is_sibling(const struct spl_almanac_row *row, const struct spl_almanac_row *other)
{
    return other != row && strcmp(other->material, row->material) == 0 &&
           g_strcmp0(other->use, row->use) == 0;
}

/* What the model makes of a sighting. */
static gboolean residual_of(struct spl_window_maker *maker, const struct spl_almanac_choice *choice,
                            const struct spl_almanac_row *row, const struct spl_seen *seen,
                            int season, struct spl_sighting *sighting, GError **error)
{
    const struct spl_site *site = site_of(maker, seen->site_id, error);
    struct spl_window_place place;
    struct spl_forecast forecast, other;
    double residual;
    int year;

    if (site == NULL)
        return FALSE;
    year = spl_day_season(seen->on, site->lat);
    *sighting = (struct spl_sighting){.site = (int)seen->site_id,
                                      .residual_d = NAN,
                                      .this_year = year == season,
                                      .open = is_open(seen),
                                      .on = seen->on,
                                      .stage = seen->stage};
    if (site->gone) { /* where it was seen is not known */
        sighting->this_year = sighting->open = FALSE;
        return TRUE;
    }
    /* Outside the row's stages there is nothing to compare; bounds of this year need no model. */
    if (isnan(row->stage_from) || isnan(row->stage_to) || seen->stage < row->stage_from ||
        seen->stage > row->stage_to)
        return TRUE;
    if (!spl_window_place_init(maker, site, year, &place, error))
        return FALSE;
    if (expect(maker, &place, row, seen, year, &forecast)) {
        residual = residual_from(row, &forecast, seen);
        sighting->blur_d = spl_window_stage_blur(row, &forecast, seen->stage) +
                           (sighting->open ? OUTSIDE_BLUR_D : 0);
        sighting->weather_known = forecast.basis == SPL_BASIS_WEATHER;
        if (fabs(residual) <= OTHER_FLUSH_DAYS)
            sighting->residual_d = residual;
        /* It belongs to the flush that it is nearest to. */
        for (guint i = 0; i < choice->rows->len && !isnan(sighting->residual_d); i++) {
            const struct spl_almanac_row *flush = g_ptr_array_index(choice->rows, i);

            if (is_sibling(row, flush) && expect(maker, &place, flush, seen, year, &other) &&
                fabs(residual_from(flush, &other, seen)) < fabs(residual))
                sighting->residual_d = NAN;
        }
    }
    spl_window_place_clear(&place);
    return TRUE;
}

/* A sighting of a growing year that is over says the same on every later day: the weather of its
 * year is known whole. So it is reckoned once, however many days are asked about. */
struct past {
    const struct spl_almanac_choice *choice;
    const struct spl_almanac_row *row;
    struct spl_seen seen;
    struct spl_sighting says;
};

static guint past_hash(gconstpointer key)
{
    const struct past *past = key;
    guint hash = g_direct_hash(past->row) * 31 + (guint)past->seen.on.n;

    return (hash * 31 + (guint)past->seen.site_id) * 31 + (guint)past->seen.stage;
}

static gboolean past_equal(gconstpointer a, gconstpointer b)
{
    const struct past *x = a, *y = b;

    return x->choice == y->choice && x->row == y->row && x->seen.site_id == y->seen.site_id &&
           x->seen.stage == y->seen.stage && x->seen.on.n == y->seen.on.n &&
           !x->seen.harvest == !y->seen.harvest;
}

GHashTable *spl_window_past_new(void)
{
    return g_hash_table_new_full(past_hash, past_equal, NULL, g_free);
}

/* As residual_of, from what was reckoned before where that still holds. */
static gboolean sighting_of(struct spl_window_maker *maker, const struct spl_almanac_choice *choice,
                            const struct spl_almanac_row *row, const struct spl_seen *seen,
                            int season, struct spl_sighting *sighting, GError **error)
{
    const struct past wanted = {.choice = choice, .row = row, .seen = *seen};
    const struct spl_site *site = site_of(maker, seen->site_id, error);
    const struct past *found;
    struct spl_day first, last;
    int year;

    if (site == NULL)
        return FALSE;
    year = spl_day_season(seen->on, site->lat);
    spl_day_season_bounds(year, site->lat, &first, &last);
    if (spl_day_compare(last, maker->today) >= 0)
        return residual_of(maker, choice, row, seen, season, sighting, error);
    found = g_hash_table_lookup(maker->past, &wanted);
    if (found == NULL) {
        struct past *fresh = g_memdup2(&wanted, sizeof wanted);

        if (!residual_of(maker, choice, row, seen, season, &fresh->says, error)) {
            g_free(fresh);
            return FALSE;
        }
        g_hash_table_add(maker->past, fresh);
        found = fresh;
    }
    *sighting = found->says;
    sighting->this_year = year == season && !site->gone;
    return TRUE;
}

const struct spl_row_seen *spl_window_row_seen(struct spl_window_maker *maker,
                                               const struct spl_almanac_choice *choice,
                                               const struct spl_almanac_row *row, int season,
                                               GError **error)
{
    char key[64];
    struct spl_row_seen *found;
    const GArray *seen;

    g_snprintf(key, sizeof key, "%p|%d", (const void *)row, season);
    found = g_hash_table_lookup(maker->pools, key);
    if (found != NULL)
        return found;
    seen = seen_of(maker, row->material, error);
    if (seen == NULL)
        return NULL;
    found = g_new0(struct spl_row_seen, 1);
    found->pool = spl_sighting_pool_new();
    found->now = g_hash_table_new_full(NULL, NULL, NULL, array_free);
    for (guint i = 0; i < seen->len; i++) {
        struct spl_sighting one;
        GArray *now;

        if (!sighting_of(maker, choice, row, &g_array_index(seen, struct spl_seen, i), season, &one,
                         error)) {
            spl_window_row_seen_free(found);
            return NULL;
        }
        /* That a window was open inside its days says nothing new. */
        if (!one.open || fabs(one.residual_d) > 0)
            spl_sighting_pool_add(found->pool, &one);
        if (!one.this_year)
            continue;
        now = g_hash_table_lookup(found->now, GINT_TO_POINTER(one.site));
        if (now == NULL) {
            now = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
            g_hash_table_insert(found->now, GINT_TO_POINTER(one.site), now);
        }
        one.site = 0;
        g_array_append_val(now, one);
    }
    g_hash_table_insert(maker->pools, g_strdup(key), found);
    return found;
}

/* The year --------------------------------------------------------------------------------------
 */

static char *plant_of(const char *material)
{
    const char *slash = strchr(material, '/');

    return slash == NULL ? g_strdup(material) : g_strndup(material, (gsize)(slash - material));
}

static gboolean is_near(double lat0, double lon0, double lat, double lon)
{
    /* A degree of latitude is at least 110 km. */
    return fabs(lat - lat0) * 110 <= SPL_YEAR_NEAR_KM &&
           spl_geodesic_inverse((struct spl_position){.lat = lat0, .lon = lon0},
                                (struct spl_position){.lat = lat, .lon = lon}, NULL,
                                NULL) <= SPL_YEAR_NEAR_KM * 1000;
}

/* One stage note of the year as a word about the year: against the row that it is nearest to, with
 * what the site is known to run ahead taken off. */
static gboolean year_note(struct spl_window_maker *maker, const struct spl_seen *seen,
                          const char *material, const char *plant, int season, GArray *list,
                          GError **error)
{
    const struct spl_site *site = site_of(maker, seen->site_id, error);
    const struct spl_almanac_row *nearest = NULL;
    const struct spl_row_seen *pool = NULL;
    struct spl_window_place place;
    struct spl_forecast best = {.basis = SPL_BASIS_ALMANAC};
    double residual = OTHER_FLUSH_DAYS, year2, blur;
    struct spl_sighting_offset offset;
    struct spl_year_near near;
    gboolean ok = TRUE;

    if (site == NULL)
        return FALSE;
    if (site->gone || is_open(seen) || spl_day_season(seen->on, site->lat) != season)
        return TRUE;
    if (maker->only_site != 0) {
        const struct spl_site *asked = site_of(maker, maker->only_site, error);

        if (asked == NULL)
            return FALSE;
        if (!is_near(asked->lat, asked->lon, site->lat, site->lon))
            return TRUE;
    }
    if (!spl_window_place_init(maker, site, season, &place, error))
        return FALSE;
    for (guint i = 0; i < place.choice->rows->len; i++) {
        const struct spl_almanac_row *row = g_ptr_array_index(place.choice->rows, i);
        struct spl_forecast forecast;

        if (strcmp(row->material, material) != 0 ||
            !expect(maker, &place, row, seen, season, &forecast) ||
            fabs(residual_from(row, &forecast, seen)) >= fabs(residual))
            continue;
        residual = residual_from(row, &forecast, seen);
        nearest = row;
        best = forecast;
    }
    if (nearest != NULL && best.year_sd_d > 0) {
        pool = spl_window_row_seen(maker, place.choice, nearest, season, error);
        ok = pool != NULL;
    }
    if (pool != NULL) {
        spl_sighting_pool_offset(pool->pool, (int)site->id, seen->on.n,
                                 best.place_sd_d * best.place_sd_d, &offset);
        year2 = best.year_sd_d * best.year_sd_d;
        blur = spl_window_stage_blur(nearest, &best, seen->stage);
        near = (struct spl_year_near){
            .note = {.plant = plant,
                     .z = (residual - offset.mean_d) / best.year_sd_d,
                     .noise = (offset.sd_d * offset.sd_d + blur * blur +
                               SPL_SIGHTING_SEEN_SD_D * SPL_SIGHTING_SEEN_SD_D) /
                              year2},
            .material = nearest->material,
            .site_id = site->id,
            .lat = site->lat,
            .lon = site->lon,
            .on = seen->on};
        g_array_append_val(list, near);
    }
    spl_window_place_clear(&place);
    return ok;
}

/* All that was seen in the growing year, of any plant. */
static const GArray *year_notes(struct spl_window_maker *maker, int season, GError **error)
{
    GArray *list = g_hash_table_lookup(maker->years, GINT_TO_POINTER(season));
    g_autoptr(GPtrArray) materials = NULL;
    struct spl_day first;

    if (list != NULL)
        return list;
    /* A season begins on 1 January in the north, the July after that in the south. */
    first = spl_day_from_ymd(season, 1, 1);
    materials = spl_seen_noted(maker->house->book, error);
    if (materials == NULL)
        return NULL;
    list = g_array_new(FALSE, FALSE, sizeof(struct spl_year_near));
    for (guint m = 0; m < materials->len; m++) {
        const char *material = g_ptr_array_index(materials, m);
        g_autoptr(GArray) seen = g_array_new(FALSE, FALSE, sizeof(struct spl_seen));
        gboolean ok = spl_seen_notes(maker->house->book, material, first, maker->today,
                                     YEAR_NOTES_OF_ONE, seen, error);
        char *plant = plant_of(material);

        g_ptr_array_add(maker->plants, plant);
        for (guint i = 0; ok && i < seen->len; i++)
            ok = year_note(maker, &g_array_index(seen, struct spl_seen, i), material, plant, season,
                           list, error);
        if (!ok) {
            g_array_unref(list);
            return NULL;
        }
    }
    g_hash_table_insert(maker->years, GINT_TO_POINTER(season), list);
    return list;
}

gboolean spl_window_year_near(struct spl_window_maker *maker, struct spl_window_place *place,
                              int season, GError **error)
{
    const GArray *all = maker->house->book == NULL ? NULL : year_notes(maker, season, error);

    place->year_notes = g_array_new(FALSE, FALSE, sizeof(struct spl_year_near));
    if (all == NULL)
        return maker->house->book == NULL;
    for (guint i = 0; i < all->len && place->year_notes->len < YEAR_NOTES_MOST; i++) {
        const struct spl_year_near *one = &g_array_index(all, struct spl_year_near, i);

        if (is_near(place->site.lat, place->site.lon, one->lat, one->lon))
            g_array_append_vals(place->year_notes, one, 1);
    }
    return TRUE;
}

void spl_window_year_effect(const struct spl_window_place *place, gint64 site_id,
                            const struct spl_almanac_row *row, double start_n,
                            struct spl_year_effect *effect)
{
    struct spl_year_note notes[YEAR_NOTES_MOST];
    g_autofree char *plant = NULL;
    guint n = 0;

    *effect = (struct spl_year_effect){.variance_z = 1};
    if (place->year_notes == NULL || place->year_notes->len == 0)
        return;
    for (guint i = 0; i < place->year_notes->len; i++) {
        const struct spl_year_near *one =
            &g_array_index(place->year_notes, struct spl_year_near, i);

        /* The site's own sightings of the material are the forecast's own matter. */
        if ((site_id != 0 && one->site_id == site_id &&
             strcmp(one->material, row->material) == 0) ||
            fabs(one->on.n - start_n) > SPL_YEAR_NEAR_DAYS)
            continue;
        notes[n++] = one->note;
    }
    if (n == 0)
        return;
    plant = plant_of(row->material);
    spl_year_effect_of(notes, n, plant, effect);
}
