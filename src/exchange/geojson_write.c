/* SPDX-License-Identifier: MIT
 *
 * GeoJSON written feature by feature. See exchange/geojson.h.
 */
#include <jansson.h>
#include <math.h>
#include <stdlib.h>

#include "base/file.h"
#include "exchange/geojson.h"

struct spl_geojson_writer {
    struct spl_file_writer *file;
    gint64 features;
};

static double signed_area(const struct spl_position *p, guint n)
{
    double sum = 0;

    for (guint i = 1; i < n; i++)
        sum += (p[i - 1].lon - p[0].lon) * (p[i].lat - p[0].lat) -
               (p[i].lon - p[0].lon) * (p[i - 1].lat - p[0].lat);
    return sum;
}

static json_t *position_json(const struct spl_position *position)
{
    return json_pack("[f, f]", position->lon, position->lat);
}

/* Positions of a path. Outer rings counter-clockwise, holes clockwise (RFC 7946 3.1.6). */
static json_t *path_json(const struct spl_geometry *ground, const struct spl_path *path)
{
    const struct spl_position *p = spl_geometry_points(ground) + path->first;
    gboolean turn =
        ground->kind == SPL_GEOMETRY_POLYGON && (signed_area(p, path->count) < 0) != path->hole;
    json_t *positions = json_array();

    for (guint i = 0; i < path->count; i++)
        json_array_append_new(positions, position_json(&p[turn ? path->count - 1 - i : i]));
    return positions;
}

/* What stands between the brackets of a Multi...: points, lines, or polygons with their rings. */
static json_t *parts_json(const struct spl_geometry *ground)
{
    json_t *parts = json_array(), *rings = NULL;

    if (ground->kind == SPL_GEOMETRY_POINT) {
        for (guint i = 0; i < spl_geometry_n_points(ground); i++)
            json_array_append_new(parts, position_json(&spl_geometry_points(ground)[i]));
        return parts;
    }
    for (guint i = 0; i < ground->paths->len; i++) {
        const struct spl_path *path = spl_geometry_path(ground, i);

        if (ground->kind == SPL_GEOMETRY_LINE) {
            json_array_append_new(parts, path_json(ground, path));
            continue;
        }
        if (!path->hole || rings == NULL) {
            rings = json_array();
            json_array_append_new(parts, rings);
        }
        json_array_append_new(rings, path_json(ground, path));
    }
    return parts;
}

static json_t *geometry_json(const struct spl_geometry *ground)
{
    static const char *const one[] = {NULL, "Point", "LineString", "Polygon"};
    static const char *const many[] = {NULL, "MultiPoint", "MultiLineString", "MultiPolygon"};
    json_t *parts = parts_json(ground), *geometry;

    if (json_array_size(parts) == 1)
        geometry = json_pack("{s:s, s:O}", "type", one[ground->kind], "coordinates",
                             json_array_get(parts, 0));
    else
        geometry = json_pack("{s:s, s:O}", "type", many[ground->kind], "coordinates", parts);
    json_decref(parts);
    return geometry;
}

static json_t *property_json(const struct spl_geojson_property *property)
{
    char day[SPL_DAY_TEXT_SIZE];

    switch (property->kind) {
    case SPL_GEOJSON_NUMBER:
        return isnan(property->number) ? json_null() : json_real(property->number);
    case SPL_GEOJSON_WHOLE:
        return json_integer(property->whole);
    case SPL_GEOJSON_DAY:
        return spl_day_is_set(property->day) ? json_string(spl_day_format(property->day, day))
                                             : json_null();
    case SPL_GEOJSON_TEXT:
        break;
    }
    return property->text != NULL ? json_string(property->text) : json_null();
}

struct spl_geojson_writer *spl_geojson_writer_open(const char *path, GError **error)
{
    struct spl_geojson_writer *writer = g_new0(struct spl_geojson_writer, 1);

    writer->file = spl_file_writer_open(path, error);
    if (writer->file != NULL)
        spl_file_writer_keep_private(writer->file);
    if (writer->file == NULL ||
        !spl_file_writer_text(writer->file, "{\"type\":\"FeatureCollection\",\"features\":[",
                              error))
        g_clear_pointer(&writer, spl_geojson_writer_free);
    return writer;
}

void spl_geojson_writer_free(struct spl_geojson_writer *writer)
{
    if (writer == NULL)
        return;
    spl_file_writer_free(writer->file);
    g_free(writer);
}

static gboolean write_feature(struct spl_geojson_writer *writer, json_t *geometry,
                              const struct spl_geojson_property *properties, guint n,
                              GError **error)
{
    json_t *members = json_object();
    json_t *feature = json_pack("{s:s, s:o, s:o}", "type", "Feature", "geometry", geometry,
                                "properties", members);
    char *text;
    gboolean ok;

    for (guint i = 0; i < n; i++)
        json_object_set_new(members, properties[i].name, property_json(&properties[i]));
    text = json_dumps(feature, JSON_COMPACT | JSON_REAL_PRECISION(12));
    json_decref(feature);
    ok = spl_file_writer_text(writer->file, writer->features++ > 0 ? ",\n" : "\n", error) &&
         spl_file_writer_text(writer->file, text, error);
    free(text);
    return ok;
}

gboolean spl_geojson_writer_put(struct spl_geojson_writer *writer,
                                const struct spl_geometry *ground,
                                const struct spl_geojson_property *properties, guint n,
                                GError **error)
{
    return write_feature(writer, geometry_json(ground), properties, n, error);
}

gboolean spl_geojson_writer_commit(struct spl_geojson_writer *writer, GError **error)
{
    return spl_file_writer_text(writer->file, "\n]}\n", error) &&
           spl_file_writer_commit(writer->file, error);
}

static json_t *place_json(const struct spl_place *place)
{
    if (place->ground != NULL && place->ground->kind == SPL_GEOMETRY_POLYGON)
        return geometry_json(place->ground);
    return isnan(place->elevation_m)
               ? json_pack("{s:s, s:[f, f]}", "type", "Point", "coordinates", place->lon,
                           place->lat)
               : json_pack("{s:s, s:[f, f, f]}", "type", "Point", "coordinates", place->lon,
                           place->lat, place->elevation_m);
}

gboolean spl_geojson_write(const char *path, const GArray *places, GError **error)
{
    g_autoptr(spl_geojson_writer) writer = spl_geojson_writer_open(path, error);

    if (writer == NULL)
        return FALSE;
    for (guint i = 0; i < places->len; i++) {
        const struct spl_place *place = &g_array_index(places, struct spl_place, i);
        const struct spl_geojson_property properties[] = {
            {.name = "name", .text = place->name},
            {.name = "verdict",
             .text = *spl_verdict_names[place->verdict] != '\0' ? spl_verdict_names[place->verdict]
                                                                : NULL},
            {.name = "date", SPL_GEOJSON_DAY, .day = place->date},
            {.name = "until", SPL_GEOJSON_DAY, .day = place->until},
            {.name = "why", .text = place->why},
            {.name = "elevation_m", SPL_GEOJSON_NUMBER, .number = place->elevation_m},
            {.name = "accuracy_m", SPL_GEOJSON_NUMBER, .number = place->accuracy_m},
            {.name = "remark", .text = place->remark},
        };

        if (!write_feature(writer, place_json(place), properties, G_N_ELEMENTS(properties), error))
            return FALSE;
    }
    return spl_geojson_writer_commit(writer, error);
}
