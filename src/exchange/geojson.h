/* SPDX-License-Identifier: MIT
 *
 * GeoJSON (RFC 7946) in and out: places as Features with Point, Polygon or MultiPolygon, and any
 * ground out; longitude first, rings by the right-hand rule.
 */
#ifndef SPL_EXCHANGE_GEOJSON_H
#define SPL_EXCHANGE_GEOJSON_H

#include <glib.h>

#include "exchange/place.h"

/*
 * Reads a FeatureCollection, a Feature or a list of lines with one Feature each (RFC 8142 and
 * newline-delimited). The name is the property `name_property` (NULL: "name", "NAME", "title").
 * Features without a name, without a shape or of another shape are passed over with a remark. NULL
 * with SPL_ERROR_NOT_FOUND, _INVALID (no JSON, no GeoJSON, another reference system), _LIMIT.
 */
GArray *spl_geojson_read(const char *path, const char *name_property, GPtrArray *remarks,
                         GError **error);

/* ---- out, one feature at a time ---- */

enum spl_geojson_kind { SPL_GEOJSON_TEXT, SPL_GEOJSON_NUMBER, SPL_GEOJSON_WHOLE, SPL_GEOJSON_DAY };

/* A property of a feature: text NULL, number NAN and no day are written as null. */
struct spl_geojson_property {
    const char *name;
    enum spl_geojson_kind kind;
    const char *text;
    double number;
    gint64 whole;
    struct spl_day day;
};

typedef struct spl_geojson_writer spl_geojson_writer; /* the name that g_autoptr needs */

/* The file is there only after a commit. SPL_ERROR_IO and others of base/file.h. */
struct spl_geojson_writer *spl_geojson_writer_open(const char *path, GError **error);
gboolean spl_geojson_writer_put(struct spl_geojson_writer *writer,
                                const struct spl_geometry *ground,
                                const struct spl_geojson_property *properties, guint n,
                                GError **error);
gboolean spl_geojson_writer_commit(struct spl_geojson_writer *writer, GError **error);
void spl_geojson_writer_free(struct spl_geojson_writer *writer); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_geojson_writer, spl_geojson_writer_free)

/* Writes all places whole or not at all. SPL_ERROR_IO and others of base/file.h. */
gboolean spl_geojson_write(const char *path, const GArray *places, GError **error);

#endif
