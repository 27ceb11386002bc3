/* SPDX-License-Identifier: MIT
 *
 * GeoJSON with jansson: read as one document of bounded size, written feature by feature.
 */
#include "exchange/geojson.h"

#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/text.h"
#include "simpling/error.h"

/* ---- in ---- */

struct reading {
    const char *path;
    const char *name_property;
    GArray *places;
    GPtrArray *remarks;
    guint number; /* of the feature, from 1 */
    GError **error;
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
    const char *reason = "it has no name; say which property is the name with --name-field";

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

static gboolean read_document(struct reading *reading, const json_t *document)
{
    const char *type = json_string_value(json_object_get(document, "type"));
    const char *crs = json_string_value(
        json_object_get(json_object_get(json_object_get(document, "crs"), "properties"), "name"));
    const json_t *features = json_object_get(document, "features"), *feature;
    size_t i;

    if (crs != NULL && strstr(crs, "CRS84") == NULL && strstr(crs, "4326") == NULL) {
        g_set_error(reading->error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: its coordinates are in '%.60s', not longitude and latitude on WGS 84 (RFC "
                    "7946); have it written anew",
                    reading->path, crs);
        return FALSE;
    }
    if (g_strcmp0(type, "Feature") == 0) {
        read_feature(reading, document);
        return TRUE;
    }
    if (g_strcmp0(type, "FeatureCollection") != 0 || !json_is_array(features)) {
        g_set_error(reading->error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: is no GeoJSON of features (RFC 7946); give a FeatureCollection",
                    reading->path);
        return FALSE;
    }
    if (json_array_size(features) > SPL_PLACES_MAX) {
        g_set_error(reading->error, SPL_ERROR, SPL_ERROR_LIMIT,
                    "%s: holds more than %d features; split it", reading->path, SPL_PLACES_MAX);
        return FALSE;
    }
    json_array_foreach(features, i, feature) read_feature(reading, feature);
    return TRUE;
}

GArray *spl_geojson_read(const char *path, const char *name_property, GPtrArray *remarks,
                         GError **error)
{
    g_autoptr(GArray) places = spl_places_new();
    struct reading reading = {path, name_property, places, remarks, 0, error};
    gsize size;
    g_autofree char *text = spl_file_read(path, SPL_PLACE_FILE_MAX, &size, error);
    const char *at = text, *end;
    gboolean ok = text != NULL;

    if (!ok)
        return NULL;
    if (g_str_has_prefix(text, "\xef\xbb\xbf"))
        at += 3; /* a byte order mark */
    end = text + size;
    while (ok) {
        json_error_t fault;
        json_t *document;

        while (at < end && (g_ascii_isspace(*at) || *at == '\x1e'))
            at++; /* between documents: white space, or the record separator of RFC 8142 */
        if (at == end && reading.number > 0)
            break;
        document = json_loadb(at, (size_t)(end - at), JSON_DISABLE_EOF_CHECK, &fault);
        if (document == NULL) {
            g_autofree char *shown = spl_text_scrub(fault.text, FALSE);

            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "%s: is no JSON (line %d: %s); give a GeoJSON file", path, fault.line,
                        shown);
            return NULL;
        }
        ok = read_document(&reading, document);
        json_decref(document);
        at += fault.position; /* never 0: a document has two bytes at least */
        if (at == end)
            break;
    }
    return ok ? g_steal_pointer(&places) : NULL;
}

/* ---- out ---- */

static double signed_area(const struct spl_position *p, guint n)
{
    double sum = 0;

    for (guint i = 1; i < n; i++)
        sum += (p[i - 1].lon - p[0].lon) * (p[i].lat - p[0].lat) -
               (p[i].lon - p[0].lon) * (p[i - 1].lat - p[0].lat);
    return sum;
}

/* Outer rings counter-clockwise, holes clockwise (RFC 7946 3.1.6). */
static json_t *ring_json(const struct spl_geometry *ground, const struct spl_path *path)
{
    const struct spl_position *p = spl_geometry_points(ground) + path->first;
    gboolean turn = (signed_area(p, path->count) < 0) != path->hole;
    json_t *ring = json_array();

    for (guint i = 0; i < path->count; i++) {
        const struct spl_position *q = &p[turn ? path->count - 1 - i : i];

        json_array_append_new(ring, json_pack("[f, f]", q->lon, q->lat));
    }
    return ring;
}

static json_t *ground_json(const struct spl_place *place)
{
    const struct spl_geometry *ground = place->ground;
    json_t *polygons = json_array(), *rings = NULL;

    if (ground == NULL || ground->kind != SPL_GEOMETRY_POLYGON) {
        json_decref(polygons);
        return isnan(place->elevation_m)
                   ? json_pack("{s:s, s:[f, f]}", "type", "Point", "coordinates", place->lon,
                               place->lat)
                   : json_pack("{s:s, s:[f, f, f]}", "type", "Point", "coordinates", place->lon,
                               place->lat, place->elevation_m);
    }
    for (guint i = 0; i < ground->paths->len; i++) {
        const struct spl_path *path = spl_geometry_path(ground, i);

        if (!path->hole) {
            rings = json_array();
            json_array_append_new(polygons, rings);
        }
        json_array_append_new(rings, ring_json(ground, path));
    }
    if (json_array_size(polygons) == 1) {
        json_t *one =
            json_pack("{s:s, s:O}", "type", "Polygon", "coordinates", json_array_get(polygons, 0));

        json_decref(polygons);
        return one;
    }
    return json_pack("{s:s, s:o}", "type", "MultiPolygon", "coordinates", polygons);
}

static void put_text(json_t *object, const char *key, const char *text)
{
    json_object_set_new(object, key, text != NULL ? json_string(text) : json_null());
}

static void put_number(json_t *object, const char *key, double number)
{
    json_object_set_new(object, key, isnan(number) ? json_null() : json_real(number));
}

static void put_day(json_t *object, const char *key, struct spl_day day)
{
    char text[SPL_DAY_TEXT_SIZE];

    put_text(object, key, spl_day_is_set(day) ? spl_day_format(day, text) : NULL);
}

static char *feature_text(const struct spl_place *place)
{
    json_t *properties = json_object();
    json_t *feature = json_pack("{s:s, s:o, s:o}", "type", "Feature", "geometry",
                                ground_json(place), "properties", properties);
    char *dumped, *text;

    put_text(properties, "name", place->name);
    put_text(properties, "verdict", place->verdict);
    put_day(properties, "date", place->date);
    put_day(properties, "until", place->until);
    put_text(properties, "why", place->why);
    put_number(properties, "elevation_m", place->elevation_m);
    put_number(properties, "accuracy_m", place->accuracy_m);
    put_text(properties, "remark", place->remark);
    dumped = json_dumps(feature, JSON_COMPACT | JSON_REAL_PRECISION(12));
    json_decref(feature);
    text = g_strdup(dumped);
    free(dumped);
    return text;
}

gboolean spl_geojson_write(const char *path, const GArray *places, GError **error)
{
    g_autoptr(spl_file_writer) writer = spl_file_writer_open(path, error);

    if (writer == NULL ||
        !spl_file_writer_text(writer, "{\"type\":\"FeatureCollection\",\"features\":[", error))
        return FALSE;
    for (guint i = 0; i < places->len; i++) {
        g_autofree char *text = feature_text(&g_array_index(places, struct spl_place, i));

        if (!spl_file_writer_text(writer, i > 0 ? ",\n" : "\n", error) ||
            !spl_file_writer_text(writer, text, error))
            return FALSE;
    }
    return spl_file_writer_text(writer, "\n]}\n", error) && spl_file_writer_commit(writer, error);
}
