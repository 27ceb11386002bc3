/* SPDX-License-Identifier: MIT
 *
 * The warmth of a place in a growing year: the nearest station's normals and days, corrected for
 * the difference in height. Stations are read once, when first needed.
 */
#ifndef SPL_SEASON_WEATHER_SOURCE_H
#define SPL_SEASON_WEATHER_SOURCE_H

#include "core/frost.h"
#include "core/warmth.h"
#include "season/house_private.h"
#include "simpling/record/weather.h"

/* A farther station says nothing about a place (an engineering choice). */
#define SPL_STATION_FARTHEST_KM 100.0

typedef struct spl_weather_source spl_weather_source;

/*
 * `today` is the last day whose weather is used. `without_year`: a calendar year whose days do not
 * count towards normals, so that a past year can be foretold honestly; 0: none.
 */
struct spl_weather_source *spl_weather_source_new(struct spl_house *house, struct spl_day today,
                                                  int without_year, GError **error);
void spl_weather_source_free(struct spl_weather_source *source); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_weather_source, spl_weather_source_free)

/* Changes the last day that is used. */
void spl_weather_source_set_today(struct spl_weather_source *source, struct spl_day today);

/* The station that serves a place; NULL: none near enough with normals or five years of days.
 * `elevation_m` may be NAN. *error says whether reading failed. */
const struct spl_station *spl_weather_source_station(struct spl_weather_source *source, double lat,
                                                     double lon, double *km, GError **error);

/* Its normals, for spl_row_season_init. Borrowed. */
const struct spl_normals *spl_weather_source_normals(struct spl_weather_source *source,
                                                     const struct spl_station *station);

/* What a place has: clear with spl_site_warmth_clear. */
struct spl_site_warmth {
    struct spl_warmth usual, year;
    gboolean has_year; /* some day of the season was measured */
    gboolean foretold; /* and its last days are a forecast */
    double mean_c[12]; /* normals at the place's height */
    struct spl_frost frost;
    const struct spl_warmth_years *years; /* the station's other years; NULL: too few. Borrowed */
};

/* `elevation_m` NAN: the station's. */
gboolean spl_weather_source_warmth(struct spl_weather_source *source,
                                   const struct spl_station *station, double lat,
                                   double elevation_m, int season, struct spl_site_warmth *warmth,
                                   GError **error);
void spl_site_warmth_clear(struct spl_site_warmth *warmth);

#endif
