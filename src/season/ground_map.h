/* SPDX-License-Identifier: MIT
 *
 * The map of hazards as the verdict needs it: which layers there are, the figures that this book
 * uses for each method, and what lies near a site.
 */
#ifndef SPL_SEASON_GROUND_MAP_H
#define SPL_SEASON_GROUND_MAP_H

#include "core/verdict.h"
#include "season/house_private.h"
#include "simpling/record/hazard.h"
#include "simpling/record/site.h"

struct spl_ground_map;

/* Read on first use and kept by the house. NULL with an error. Borrowed. */
struct spl_ground_map *spl_ground_map_of(struct spl_house *house, GError **error);

/* After layers or figures have changed. */
void spl_ground_map_forget(struct spl_house *house);

/* Corrections of ground by others that wait to be agreed to (season/readings.h); borrowed. */
const GArray *spl_ground_map_readings(const struct spl_ground_map *map);

/* What lies near one site; texts are borrowed from it and from the map. */
struct spl_ground_near {
    GArray *hazards; /* struct spl_hazard_near */
    GArray *records; /* gint64, its record in its layer, of each */
    GArray *layers;  /* struct spl_layer_near */
    GStringChunk *texts;
};

/*
 * Everything that can matter to the verdict there; with `within_m` > 0 instead everything within so
 * many metres. Clear with spl_ground_near_clear.
 */
gboolean spl_ground_map_near(struct spl_ground_map *map, struct spl_house *house,
                             const struct spl_site *site, double within_m,
                             struct spl_ground_near *near, GError **error);
void spl_ground_near_clear(struct spl_ground_near *near);

/* The furthest, in metres, that any of these methods (slugs, with commas) asks or closes. */
gboolean spl_ground_map_reach(struct spl_ground_map *map, struct spl_house *house,
                              const char *methods, double *ask_m, GError **error);

/* All methods with the figures of this book: a list of spl_method_line_shape. */
GArray *spl_ground_map_methods(struct spl_ground_map *map, struct spl_house *house, GError **error);

/* What of the map reaches to the site, so that a clear verdict is not read as looked at: "2 layers;
 * no roads known here". Free with g_free. */
char *spl_ground_map_words(const struct spl_ground_map *map, const struct spl_site *site);

/* The ground of a site: its outline, else its point. */
struct spl_geometry *spl_site_ground(const struct spl_site *site, GError **error);

/* TRUE when the site has no outline, or one that this point lies in. A point outside says that the
 * outline is no longer the site's ground. */
gboolean spl_site_outline_holds(const struct spl_site *site, double lat, double lon);

#endif
