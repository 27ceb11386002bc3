/* SPDX-License-Identifier: MIT
 *
 * What the readers of GeoJSON and GPX fill of a map layer (exchange/map_layer.h).
 */
#ifndef SPL_EXCHANGE_MAP_LAYER_PRIVATE_H
#define SPL_EXCHANGE_MAP_LAYER_PRIVATE_H

#include "exchange/map_layer.h"
#include "exchange/projection.h"

/* One feature, waypoint, track or route. */
struct spl_map_record {
    struct spl_geometry *raw; /* in the file's coordinates; NULL: it cannot be read */
    char *reason;             /* then why */
    GPtrArray *values;        /* of texts, at the places of their columns; NULL: none */
    gboolean repaired;
};

struct spl_map_layer {
    char *path;
    const char *format; /* "GeoJSON" … */
    GArray *records;    /* struct spl_map_record */
    GArray *columns;    /* struct spl_shapefile_field */
    GHashTable *places; /* name of a column -> its place */
    GPtrArray *remarks;
    struct spl_projection *projection;
    double least_m;        /* positions are never known better than so */
    struct spl_box stated; /* what the file says that it covers */
    gboolean states_bounds;
    int name_column, method_column, date_column, product_column; /* -1: none */
    guint rounds; /* lines that end where they begin */
};

/* A new record at the end; `raw` and `reason` (one of them is NULL) are taken over. Its place. */
guint spl_map_layer_add(struct spl_map_layer *layer, struct spl_geometry *raw, char *reason,
                        gboolean repaired);
/* A value of a record. `number`: it stands there as one. */
void spl_map_layer_say(struct spl_map_layer *layer, guint record, const char *column,
                       const char *value, gboolean number);

/* The two formats. `asked`: the reference system that was named, NULL: none. */
gboolean spl_map_layer_geojson(struct spl_map_layer *layer, const char *asked, GError **error);
gboolean spl_map_layer_gpx(struct spl_map_layer *layer, GError **error);

#endif
