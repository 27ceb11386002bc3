/* SPDX-License-Identifier: MIT
 *
 * GeoJSON (RFC 7946) as a map layer: every kind of shape but collections of them. See
 * exchange/map_layer.h.
 */
#include <string.h>

#include "exchange/geojson_documents.h"
#include "exchange/map_layer_private.h"
#include "simpling/error.h"

#define NUMBER_TEXT 40
#define ROUND_MIN 4 /* positions of a line that may go round something */

struct reading {
    struct spl_map_layer *layer;
    gboolean elsewhere; /* the person named the reference system */
};

static gboolean read_position(const json_t *position, struct spl_position *at)
{
    const json_t *x = json_array_get(position, 0), *y = json_array_get(position, 1);

    if (!json_is_number(x) || !json_is_number(y))
        return FALSE;
    *at = (struct spl_position){json_number_value(x), json_number_value(y)};
    return TRUE;
}

static gboolean read_path(const json_t *positions, gboolean hole, struct spl_geometry *raw)
{
    size_t i;
    const json_t *position;

    if (json_array_size(positions) == 0)
        return FALSE;
    spl_geometry_begin(raw, hole);
    json_array_foreach(positions, i, position)
    {
        struct spl_position at;

        if (!read_position(position, &at))
            return FALSE;
        spl_geometry_append(raw, at.lon, at.lat);
    }
    return TRUE;
}

static gboolean is_same(const struct spl_position *a, const struct spl_position *b)
{
    return a->lon == b->lon && a->lat == b->lat;
}

/* Closed, and outer rings clockwise, holes the other way, whichever way they were drawn: the first
 * ring is the outer one (RFC 7946 3.1.6), and what is settled later tells them by their turn. */
static gboolean settle_ring(struct spl_geometry *raw, gboolean *repaired)
{
    struct spl_path *path = &g_array_index(raw->paths, struct spl_path, raw->paths->len - 1);
    struct spl_position *p = &g_array_index(raw->points, struct spl_position, path->first);
    double twice = 0;

    if (!is_same(&p[0], &p[path->count - 1])) {
        spl_geometry_append(raw, p[0].lon, p[0].lat);
        *repaired = TRUE;
    }
    path = &g_array_index(raw->paths, struct spl_path, raw->paths->len - 1);
    p = &g_array_index(raw->points, struct spl_position, path->first);
    if (path->count < 4)
        return FALSE;
    for (guint i = 0; i + 1 < path->count; i++)
        twice += (p[i].lon - p[0].lon) * (p[i + 1].lat - p[0].lat) -
                 (p[i + 1].lon - p[0].lon) * (p[i].lat - p[0].lat);
    if ((twice > 0) == path->hole)
        return TRUE;
    for (guint i = 0; i < path->count / 2; i++) {
        struct spl_position other = p[i];

        p[i] = p[path->count - 1 - i];
        p[path->count - 1 - i] = other;
    }
    return TRUE;
}

static gboolean read_polygon(const json_t *rings, struct spl_geometry *raw, gboolean *repaired)
{
    size_t i;
    const json_t *ring;

    if (json_array_size(rings) == 0)
        return FALSE;
    json_array_foreach(rings, i, ring) if (!read_path(ring, i > 0, raw) ||
                                           !settle_ring(raw, repaired)) return FALSE;
    return TRUE;
}

static gboolean read_line(struct spl_map_layer *layer, const json_t *positions,
                          struct spl_geometry *raw)
{
    guint first = spl_geometry_n_points(raw), n;

    if (!read_path(positions, FALSE, raw))
        return FALSE;
    n = spl_geometry_n_points(raw) - first;
    if (n >= ROUND_MIN &&
        is_same(&spl_geometry_points(raw)[first], &spl_geometry_points(raw)[first + n - 1]))
        layer->rounds++;
    return n >= 2;
}

/* NULL with the reason. */
static struct spl_geometry *read_shape(struct spl_map_layer *layer, const json_t *shape,
                                       gboolean *repaired, const char **reason)
{
    const char *type = json_string_value(json_object_get(shape, "type"));
    const json_t *coordinates = json_object_get(shape, "coordinates"), *part;
    g_autoptr(spl_geometry) raw = spl_geometry_new(SPL_GEOMETRY_POINT);
    gboolean many = type != NULL && g_str_has_prefix(type, "Multi"), ok;
    const char *kind = many ? type + 5 : type;
    size_t i;

    *reason = "its coordinates cannot be read";
    ok = json_array_size(coordinates) > 0;
    if (g_strcmp0(kind, "Point") == 0) {
        struct spl_position at;

        if (many)
            return ok && read_path(coordinates, FALSE, raw) ? g_steal_pointer(&raw) : NULL;
        if (!read_position(coordinates, &at))
            return NULL;
        return spl_geometry_new_point(at.lat, at.lon);
    }
    if (g_strcmp0(kind, "LineString") == 0) {
        raw->kind = SPL_GEOMETRY_LINE;
        if (!many)
            return read_line(layer, coordinates, raw) ? g_steal_pointer(&raw) : NULL;
        json_array_foreach(coordinates, i, part) ok = ok && read_line(layer, part, raw);
    } else if (g_strcmp0(kind, "Polygon") == 0) {
        raw->kind = SPL_GEOMETRY_POLYGON;
        if (!many)
            return read_polygon(coordinates, raw, repaired) ? g_steal_pointer(&raw) : NULL;
        json_array_foreach(coordinates, i, part) ok = ok && read_polygon(part, raw, repaired);
    } else {
        ok = FALSE;
        *reason = type == NULL ? "it has no shape"
                               : "it is a collection, or no shape of RFC 7946; have it written as "
                                 "single shapes";
    }
    return ok ? g_steal_pointer(&raw) : NULL;
}

static void say(struct spl_map_layer *layer, guint record, const char *key, const json_t *value)
{
    char text[NUMBER_TEXT];

    if (json_is_string(value)) {
        spl_map_layer_say(layer, record, key, json_string_value(value), FALSE);
    } else if (json_is_integer(value)) {
        g_snprintf(text, sizeof text, "%" JSON_INTEGER_FORMAT, json_integer_value(value));
        spl_map_layer_say(layer, record, key, text, TRUE);
    } else if (json_is_real(value)) {
        g_ascii_formatd(text, sizeof text, "%.10g", json_real_value(value));
        spl_map_layer_say(layer, record, key, text, TRUE);
    } else if (json_is_boolean(value)) {
        spl_map_layer_say(layer, record, key, json_is_true(value) ? "yes" : "no", FALSE);
    }
}

static void take_feature(const json_t *feature, gpointer data)
{
    struct reading *reading = data;
    json_t *properties = json_object_get(feature, "properties"), *value;
    gboolean repaired = FALSE;
    const char *reason, *key;
    struct spl_geometry *raw =
        read_shape(reading->layer, json_object_get(feature, "geometry"), &repaired, &reason);
    guint record =
        spl_map_layer_add(reading->layer, raw, raw == NULL ? g_strdup(reason) : NULL, repaired);

    json_object_foreach(properties, key, value) say(reading->layer, record, key, value);
}

/* What it says that it covers: four numbers, or six with heights. */
static void take_bounds(struct spl_map_layer *layer, const json_t *bbox)
{
    size_t n = json_array_size(bbox);
    double at[6];

    if ((n != 4 && n != 6) || layer->states_bounds)
        return;
    for (size_t i = 0; i < n; i++) {
        if (!json_is_number(json_array_get(bbox, i)))
            return;
        at[i] = json_number_value(json_array_get(bbox, i));
    }
    layer->stated = (struct spl_box){at[0], at[1], at[n / 2], at[n / 2 + 1]};
    layer->states_bounds = layer->stated.min_lon >= -180 && layer->stated.min_lat >= -90 &&
                           layer->stated.max_lon <= 180 && layer->stated.max_lat <= 90 &&
                           layer->stated.min_lon <= layer->stated.max_lon &&
                           layer->stated.min_lat <= layer->stated.max_lat;
}

static gboolean take_document(const json_t *document, gpointer data, GError **error)
{
    struct reading *reading = data;

    if (!reading->elsewhere)
        take_bounds(reading->layer, json_object_get(document, "bbox"));
    return spl_geojson_features(reading->layer->path, document, reading->elsewhere, take_feature,
                                reading, error);
}

gboolean spl_map_layer_geojson(struct spl_map_layer *layer, const char *asked, GError **error)
{
    struct reading reading = {layer, asked != NULL};

    return spl_geojson_documents(layer->path, take_document, &reading, error);
}
