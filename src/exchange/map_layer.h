/* SPDX-License-Identifier: MIT
 *
 * Map layers of ground that are no shapefiles: GeoJSON (RFC 7946) and GPX 1.1, read as
 * exchange/shapefile.h reads those, with its records and its summary.
 *
 * Nothing that cannot be read is taken for "no ground there". Points, lines and areas may be mixed;
 * of a GPX file waypoints are points, tracks and routes lines. A file is read whole, so it may have
 * no more than SPL_PLACE_FILE_MAX bytes. PROJ turns what is not in degrees, so only helper programs
 * call this.
 */
#ifndef SPL_EXCHANGE_MAP_LAYER_H
#define SPL_EXCHANGE_MAP_LAYER_H

#include "exchange/shapefile.h"

typedef struct spl_map_layer spl_map_layer; /* the name that g_autoptr needs */

/* Whether the ending of the name is one of theirs: .geojson, .json, .gpx. */
gboolean spl_map_layer_is(const char *path);

/*
 * Reads the file. A column is a property of features, or an element of a waypoint or track (name,
 * cmt, desc, type, time …); without a `name_field` it is "name" or "title" where there is one.
 * `crs` is for GeoJSON alone. SPL_ERROR_NOT_FOUND, _INVALID (another kind of file, another
 * reference system that is not named, no such column), _LIMIT. Free with spl_map_layer_free.
 */
struct spl_map_layer *
spl_map_layer_open(const char *path, const struct spl_shapefile_request *request, GError **error);
void spl_map_layer_free(struct spl_map_layer *layer);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_map_layer, spl_map_layer_free)

const char *spl_map_layer_path(const struct spl_map_layer *layer); /* borrowed */

/* A list of spl_shapefile_field_shape, in the order in which they were met. */
GArray *spl_map_layer_fields(struct spl_map_layer *layer);

/* As spl_shapefile_read. */
gboolean spl_map_layer_read(struct spl_map_layer *layer,
                            gboolean (*each)(const struct spl_shapefile_record *record,
                                             gpointer data, GError **error),
                            gpointer data, const struct spl_progress *progress,
                            struct spl_shapefile_summary *summary, GError **error);

#endif
