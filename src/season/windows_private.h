/* SPDX-License-Identifier: MIT
 *
 * The inside of the maker of windows, shared by season/windows.c (places, almanacs, windows) and
 * season/windows_seen.c (what was seen growing).
 */
#ifndef SPL_SEASON_WINDOWS_PRIVATE_H
#define SPL_SEASON_WINDOWS_PRIVATE_H

#include "core/reach.h"
#include "season/almanac_rows.h"
#include "season/weather_source.h"
#include "season/windows.h"

/* A site in a season with its warmth and the almanac that speaks for it. */
struct spl_window_place {
    struct spl_window_site site;
    const struct spl_station *station;
    struct spl_site_warmth warmth;
    const struct spl_almanac_choice *choice; /* of the shelf */
    struct spl_reach reach;                  /* of the program's almanac, if one fits */
    GArray *year_notes;                      /* struct spl_year_near: seen near by this year */
};

/* Something that was seen this year, and what it means for the year. */
struct spl_year_near {
    struct spl_year_note note;
    const char *material;
    gint64 site_id;
    double lat, lon;
    struct spl_day on;
};

/* What was seen of one row's material, as residuals of one growing year. */
struct spl_row_seen {
    struct spl_sighting_pool *pool;
    GHashTable *now; /* site id -> GArray of struct spl_sighting, this year's own */
};

struct spl_window_maker {
    struct spl_house *house;
    struct spl_day today;
    gint64 only_site;
    struct spl_almanac_shelf *shelf;
    struct spl_weather_source *weather;
    GHashTable *references;        /* almanac and station -> struct spl_reference */
    GHashTable *bases;             /* rows, season, station -> GArray of struct spl_row_season */
    GHashTable *fixes;             /* season -> struct spl_window_fixes */
    GHashTable *known;             /* material -> GArray of struct spl_seen, whenever it was */
    GHashTable *seen;              /* material -> the same up to today */
    GHashTable *past;              /* what sightings of years that are over say to a row */
    GHashTable *places;            /* site id -> struct spl_site, of sightings */
    GHashTable *pools;             /* row and season -> struct spl_row_seen */
    GHashTable *years;             /* season -> GArray of struct spl_year_near */
    GPtrArray *plants;             /* texts that those borrow */
    struct spl_window_place *last; /* the place asked last: callers ask it material by material */
    int last_season;
    char *unfit; /* why the last place has no windows; NULL: it has */
};

gboolean spl_window_place_init(struct spl_window_maker *maker, const struct spl_site *site,
                               int season, struct spl_window_place *place, GError **error);
void spl_window_place_clear(struct spl_window_place *place);

/* The row's reference year at a place. */
const struct spl_reference *spl_window_reference(struct spl_window_maker *maker,
                                                 const struct spl_almanac_row *row, double lat,
                                                 const struct spl_station *station);

/* Sets what of the almanac's distance concerns the row: nothing for one of the person's own. */
void spl_window_place_reach(struct spl_window_place *place, const struct spl_almanac_row *row);

/* Sightings of a row's material; `choice` holds its other flushes, of which the nearest counts. */
const struct spl_row_seen *spl_window_row_seen(struct spl_window_maker *maker,
                                               const struct spl_almanac_choice *choice,
                                               const struct spl_almanac_row *row, int season,
                                               GError **error);
void spl_window_row_seen_free(gpointer seen);
GHashTable *spl_window_past_new(void);

/* What was seen this year within SPL_YEAR_NEAR_KM of a place, for spl_window_year_effect. */
gboolean spl_window_year_near(struct spl_window_maker *maker, struct spl_window_place *place,
                              int season, GError **error);

/* Of that, what tells of a window of `row` that usually begins on `start_n` at site `site_id`. */
void spl_window_year_effect(const struct spl_window_place *place, gint64 site_id,
                            const struct spl_almanac_row *row, double start_n,
                            struct spl_year_effect *effect);

#endif
