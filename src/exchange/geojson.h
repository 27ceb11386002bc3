/* SPDX-License-Identifier: MIT
 *
 * GeoJSON (RFC 7946) in and out: places as Features with Point, Polygon or MultiPolygon, longitude
 * first, rings by the right-hand rule.
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

/* Writes all places whole or not at all. SPL_ERROR_IO and others of base/file.h. */
gboolean spl_geojson_write(const char *path, const GArray *places, GError **error);

#endif
