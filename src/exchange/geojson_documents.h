/* SPDX-License-Identifier: MIT
 *
 * The documents of a GeoJSON file: one, or one a line (RFC 8142 and newline-delimited).
 */
#ifndef SPL_EXCHANGE_GEOJSON_DOCUMENTS_H
#define SPL_EXCHANGE_GEOJSON_DOCUMENTS_H

#include <glib.h>
#include <jansson.h>

/* Whether another document may follow: FALSE with an error ends it. */
typedef gboolean (*spl_geojson_fn)(const json_t *document, gpointer data, GError **error);

/* Gives every document of the file. SPL_ERROR_NOT_FOUND, _INVALID (no JSON), _LIMIT. */
gboolean spl_geojson_documents(const char *path, spl_geojson_fn each, gpointer data,
                               GError **error);

/* The features of a document, which is a FeatureCollection, or one Feature. `elsewhere`: another
 * reference system than WGS 84 may be named in it. SPL_ERROR_INVALID, _LIMIT. */
gboolean spl_geojson_features(const char *path, const json_t *document, gboolean elsewhere,
                              void (*each)(const json_t *feature, gpointer data), gpointer data,
                              GError **error);

#endif
