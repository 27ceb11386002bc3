/* SPDX-License-Identifier: MIT
 *
 * GeoJSON read with jansson as one document of bounded size. See exchange/geojson.h; writing is in
 * geojson_write.c.
 */
#include "exchange/geojson.h"

#include <jansson.h>
#include <math.h>
#include <string.h>

#include "base/file.h"
#include "base/text.h"
#include "exchange/geojson_documents.h"
#include "simpling/error.h"

/* ---- in ---- */

struct reading {
    const char *path;
    const char *name_property;
    GArray *places;
    GPtrArray *remarks;
    guint number; /* of the feature, from 1 */
};

static gboolean read_position(const json_t *position, double *lon, double *lat, double *elevation)
{
    size_t n = json_array_size(position);
    const json_t *x = json_array_get(position, 0), *y = json_array_get(position, 1);
    const json_t *z = json_array_get(position, 2);

    if (n < 2 || !json_is_number(x) || !json_is_number(y))
        return FALSE;
    *lon = json_number_value(x);
    *lat = json_number_value(y);
    if (elevation != NULL && json_is_number(z))
        *elevation = json_number_value(z);
    return TRUE;
}

/* One polygon: the first ring is the outer one, the others are holes. */
static gboolean read_rings(const json_t *rings, struct spl_geometry *ground)
{
    size_t i, k;
    const json_t *ring, *position;

    if (json_array_size(rings) == 0)
        return FALSE;
    json_array_foreach(rings, i, ring)
    {
        if (json_array_size(ring) == 0)
            return FALSE;
        spl_geometry_begin(ground, i > 0);
        json_array_foreach(ring, k, position)
        {
            double lon, lat;

            if (!read_position(position, &lon, &lat, NULL) ||
                spl_geometry_n_points(ground) >= SPL_GEOMETRY_POINTS_MAX)
                return FALSE;
            spl_geometry_append(ground, lon, lat);
        }
    }
    return TRUE;
}

/* NULL with the reason in words. */
static struct spl_geometry *read_ground(const json_t *geometry, double *elevation,
                                        const char **reason)
{
    const char *type = json_string_value(json_object_get(geometry, "type"));
    const json_t *coordinates = json_object_get(geometry, "coordinates"), *polygon;
    g_autoptr(spl_geometry) ground = spl_geometry_new(SPL_GEOMETRY_POLYGON);
    gboolean ok = FALSE;
    double lon, lat;
    size_t i;

    *reason = "its coordinates cannot be read";
    if (g_strcmp0(type, "Point") == 0) {
        ok = read_position(coordinates, &lon, &lat, elevation);
        ground->kind = SPL_GEOMETRY_POINT;
        if (ok) {
            spl_geometry_begin(ground, FALSE);
            spl_geometry_append(ground, lon, lat);
        }
    } else if (g_strcmp0(type, "Polygon") == 0) {
        ok = read_rings(coordinates, ground);
    } else if (g_strcmp0(type, "MultiPolygon") == 0) {
        ok = json_array_size(coordinates) > 0;
        json_array_foreach(coordinates, i, polygon) ok = ok && read_rings(polygon, ground);
    } else
        *reason = type == NULL ? "it has no shape" : "a place is a point or an area";
    return ok ? g_steal_pointer(&ground) : NULL;
}

static const char *read_text(const json_t *properties, const char *key)
{
    return json_string_value(json_object_get(properties, key));
}

static char *read_name(const struct reading *reading, const json_t *properties)
{
    static const char *const usual[] = {"name", "NAME", "Name", "title"};
    const char *name = NULL;

    if (reading->name_property != NULL)
        name = read_text(properties, reading->name_property);
    for (guint i = 0; reading->name_property == NULL && name == NULL && i < G_N_ELEMENTS(usual);
         i++)
        name = read_text(properties, usual[i]);
    return name != NULL && name[0] != '\0' ? g_strdup(name) : NULL;
}

/* NAN when not said or not between the two, which a remark then says. */
static double read_metres(const struct reading *reading, const char *name, const char *what,
                          double metres, double least, double most)
{
    if (isnan(metres) || (metres >= least && metres <= most))
        return metres;
    spl_place_remark(reading->remarks,
                     "%s: its %s of %.10g m was passed over: %.10g to %.10g can be", name, what,
                     metres, least, most);
    return NAN;
}

static void read_feature(struct reading *reading, const json_t *feature)
{
    const json_t *properties = json_object_get(feature, "properties");
    const json_t *elevation = json_object_get(properties, "elevation_m");
    const json_t *accuracy = json_object_get(properties, "accuracy_m");
    g_autofree char *name = read_name(reading, properties);
    g_autoptr(spl_geometry) ground = NULL;
    g_autofree char *what = NULL;
    g_autoptr(GError) bad = NULL;
    struct spl_place *place;
    double height = NAN;
    const char *reason = "it has no name; say which property is the name (name_field)";

    reading->number++;
    if (name != NULL)
        ground = read_ground(json_object_get(feature, "geometry"), &height, &reason);
    what = name != NULL ? g_strdup(name) : g_strdup_printf("feature %u", reading->number);
    if (ground == NULL) {
        spl_place_remark(reading->remarks, "%s was passed over: %s", what, reason);
        return;
    }
    if (!spl_geometry_check(ground, what, &bad) || !spl_geometry_split_edges(ground, what, &bad) ||
        !spl_geometry_check_rings(ground, what, &bad)) {
        spl_place_remark(reading->remarks, "%s was passed over: %s", what, bad->message);
        return;
    }
    place = spl_places_add(reading->places);
    place->name = g_steal_pointer(&name);
    place->ground = g_steal_pointer(&ground);
    place->elevation_m =
        read_metres(reading, what, "elevation",
                    json_is_number(elevation) ? json_number_value(elevation) : height, -500, 9000);
    place->accuracy_m =
        read_metres(reading, what, "accuracy",
                    json_is_number(accuracy) ? json_number_value(accuracy) : NAN, 0, 100000);
    place->remark = g_strdup(read_text(properties, "remark"));
}

static void take_feature(const json_t *feature, gpointer data)
{
    read_feature(data, feature);
}

gboolean spl_geojson_features(const char *path, const json_t *document, gboolean elsewhere,
                              void (*each)(const json_t *feature, gpointer data), gpointer data,
                              GError **error)
{
    const char *type = json_string_value(json_object_get(document, "type"));
    const char *crs = json_string_value(
        json_object_get(json_object_get(json_object_get(document, "crs"), "properties"), "name"));
    const json_t *features = json_object_get(document, "features"), *feature;
    size_t i;

    if (!elsewhere && crs != NULL && strstr(crs, "CRS84") == NULL && strstr(crs, "4326") == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: its coordinates are in '%.60s', not longitude and latitude on WGS 84 (RFC "
                    "7946); have it written anew",
                    path, crs);
        return FALSE;
    }
    if (g_strcmp0(type, "Feature") == 0) {
        each(document, data);
        return TRUE;
    }
    if (g_strcmp0(type, "FeatureCollection") != 0 || !json_is_array(features)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: is no GeoJSON of features (RFC 7946); give a FeatureCollection", path);
        return FALSE;
    }
    if (json_array_size(features) > SPL_PLACES_MAX) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT, "%s: holds more than %d features; split it",
                    path, SPL_PLACES_MAX);
        return FALSE;
    }
    json_array_foreach(features, i, feature) each(feature, data);
    return TRUE;
}

gboolean spl_geojson_documents(const char *path, spl_geojson_fn each, gpointer data, GError **error)
{
    gsize size;
    g_autofree char *text = spl_file_read(path, SPL_PLACE_FILE_MAX, &size, error);
    const char *at = text, *end;
    gboolean ok = text != NULL, any = FALSE;

    if (!ok)
        return FALSE;
    if (g_str_has_prefix(text, "\xef\xbb\xbf"))
        at += 3; /* a byte order mark */
    end = text + size;
    while (ok) {
        json_error_t fault;
        json_t *document;

        while (at < end && (g_ascii_isspace(*at) || *at == '\x1e'))
            at++; /* between documents: white space, or the record separator of RFC 8142 */
        if (at == end && any)
            break;
        document = json_loadb(at, (size_t)(end - at), JSON_DISABLE_EOF_CHECK, &fault);
        if (document == NULL) {
            g_autofree char *shown = spl_text_scrub(fault.text, FALSE);

            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "%s: is no JSON (line %d: %s); give a GeoJSON file", path, fault.line,
                        shown);
            return FALSE;
        }
        any = TRUE;
        ok = each(document, data, error);
        json_decref(document);
        at += fault.position; /* never 0: a document has two bytes at least */
        if (at == end)
            break;
    }
    return ok;
}

static gboolean read_document(const json_t *document, gpointer data, GError **error)
{
    struct reading *reading = data;

    return spl_geojson_features(reading->path, document, FALSE, take_feature, reading, error);
}

GArray *spl_geojson_read(const char *path, const char *name_property, GPtrArray *remarks,
                         GError **error)
{
    g_autoptr(GArray) places = spl_places_new();
    struct reading reading = {path, name_property, places, remarks, 0};

    return spl_geojson_documents(path, read_document, &reading, error) ? g_steal_pointer(&places)
                                                                       : NULL;
}
