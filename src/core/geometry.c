/* SPDX-License-Identifier: MIT
 *
 * Shapes of ground: building, checking, splitting, boxes. Text, bytes and what GEOS does for us are
 * in geometry_text.c, geometry_bytes.c and geometry_rings.c.
 */
#include "core/geometry.h"

#include <math.h>

#include "core/geodesic.h"
#include "simpling/error.h"

#define M_PER_DEGREE_LAT_LEAST 110574.0 /* at the equator: never too many metres */
#define M_PER_DEGREE_LON 111320.0       /* at the equator */
#define RAD (G_PI / 180)

struct spl_geometry *spl_geometry_new(enum spl_geometry_kind kind)
{
    struct spl_geometry *geometry = g_new(struct spl_geometry, 1);

    geometry->kind = kind;
    geometry->points = g_array_new(FALSE, FALSE, sizeof(struct spl_position));
    geometry->paths = g_array_new(FALSE, FALSE, sizeof(struct spl_path));
    return geometry;
}

struct spl_geometry *spl_geometry_new_point(double lat, double lon)
{
    struct spl_geometry *point = spl_geometry_new(SPL_GEOMETRY_POINT);

    spl_geometry_begin(point, FALSE);
    spl_geometry_append(point, lon, lat);
    return point;
}

struct spl_geometry *spl_geometry_copy(const struct spl_geometry *geometry)
{
    struct spl_geometry *copy = spl_geometry_new(geometry->kind);

    g_array_append_vals(copy->points, geometry->points->data, geometry->points->len);
    g_array_append_vals(copy->paths, geometry->paths->data, geometry->paths->len);
    return copy;
}

void spl_geometry_free(struct spl_geometry *geometry)
{
    if (geometry == NULL)
        return;
    g_array_unref(geometry->points);
    g_array_unref(geometry->paths);
    g_free(geometry);
}

void spl_geometry_reset(struct spl_geometry *geometry, enum spl_geometry_kind kind)
{
    geometry->kind = kind;
    g_array_set_size(geometry->points, 0);
    g_array_set_size(geometry->paths, 0);
}

void spl_geometry_begin(struct spl_geometry *geometry, gboolean hole)
{
    const struct spl_path path = {.first = geometry->points->len, .hole = hole};

    g_array_append_val(geometry->paths, path);
}

void spl_geometry_append(struct spl_geometry *geometry, double lon, double lat)
{
    const struct spl_position position = {lon, lat};

    g_array_append_val(geometry->points, position);
    g_array_index(geometry->paths, struct spl_path, geometry->paths->len - 1).count++;
}

static gboolean bad(GError **error, const char *what, const char *fault)
{
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: %s", what, fault);
    return FALSE;
}

gboolean spl_geometry_check(const struct spl_geometry *geometry, const char *what, GError **error)
{
    const struct spl_position *points = spl_geometry_points(geometry);
    guint n = spl_geometry_n_points(geometry), next = 0;

    if (geometry->kind != SPL_GEOMETRY_POINT && geometry->kind != SPL_GEOMETRY_LINE &&
        geometry->kind != SPL_GEOMETRY_POLYGON)
        return bad(error, what, "the shape is neither points, lines nor polygons");
    if (geometry->paths->len == 0)
        return bad(error, what, "the shape is empty; give at least one place");
    for (guint i = 0; i < geometry->paths->len; i++) {
        const struct spl_path *path = spl_geometry_path(geometry, i);
        const struct spl_position *p = points + path->first;

        if (path->first != next || path->count == 0 || path->count > n - next)
            return bad(error, what,
                       "the shape has an empty part or parts that do not follow each other");
        next += path->count;
        if (geometry->kind == SPL_GEOMETRY_LINE && path->count < 2)
            return bad(error, what, "a line has fewer than two places");
        if (geometry->kind != SPL_GEOMETRY_POLYGON) {
            if (path->hole)
                return bad(error, what, "only polygons have holes");
            continue;
        }
        if (path->count < 4)
            return bad(error, what,
                       "a ring has fewer than four places, the first and last the same");
        if (p[0].lon != p[path->count - 1].lon || p[0].lat != p[path->count - 1].lat)
            return bad(error, what, "a ring is not closed; repeat its first place at the end");
        if (i == 0 && path->hole)
            return bad(error, what, "the first ring is a hole");
    }
    if (next != n)
        return bad(error, what, "places are left over that belong to no part");
    for (guint i = 0; i < n; i++)
        if (!(fabs(points[i].lon) <= 180) || !(fabs(points[i].lat) <= 90)) {
            if (isfinite(points[i].lon) && isfinite(points[i].lat))
                g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                            "%s: longitude %.10g, latitude %.10g is not on earth; %s", what,
                            points[i].lon, points[i].lat,
                            fabs(points[i].lat) <= 180 && fabs(points[i].lon) <= 90
                                ? "the two look swapped, longitude comes first"
                                : "degrees are wanted, longitude first");
            else
                bad(error, what, "a coordinate is not a number");
            return FALSE;
        }
    return TRUE;
}

/* Never less than the true length. */
static double edge_length_most_m(struct spl_position a, struct spl_position b)
{
    double north = fabs(b.lat - a.lat) * 111700;
    double least = a.lat * b.lat <= 0 ? 0 : fmin(fabs(a.lat), fabs(b.lat));

    return hypot(north, fabs(b.lon - a.lon) * M_PER_DEGREE_LON * cos(least * RAD) * 1.004);
}

gboolean spl_geometry_split_edges(struct spl_geometry *geometry, const char *what, GError **error)
{
    const struct spl_position *points = spl_geometry_points(geometry);
    g_autoptr(spl_geometry) split = NULL;
    gboolean any = FALSE;
    GArray *other;

    if (geometry->kind == SPL_GEOMETRY_POINT)
        return TRUE;
    for (guint i = 0; i < geometry->paths->len; i++) {
        const struct spl_path *path = spl_geometry_path(geometry, i);

        for (guint k = path->first + 1; k < path->first + path->count; k++) {
            if (fabs(points[k].lon - points[k - 1].lon) > 180)
                return bad(error, what,
                           "an edge goes more than half round the earth; cut the shape at the "
                           "180th meridian (RFC 7946 3.1.9)");
            any |= edge_length_most_m(points[k - 1], points[k]) > SPL_EDGE_MAX_M;
        }
    }
    if (!any)
        return TRUE;
    split = spl_geometry_new(geometry->kind);
    for (guint i = 0; i < geometry->paths->len; i++) {
        const struct spl_path *path = spl_geometry_path(geometry, i);

        spl_geometry_begin(split, path->hole);
        spl_geometry_append(split, points[path->first].lon, points[path->first].lat);
        for (guint k = path->first + 1; k < path->first + path->count; k++) {
            struct spl_position a = points[k - 1], b = points[k];
            /* A millimetre below the most: rounded to the nine places of WKT, no piece is split
             * again. */
            guint n = (guint)ceil(edge_length_most_m(a, b) / (SPL_EDGE_MAX_M - 0.001));

            if (n > SPL_SPLIT_MAX || spl_geometry_n_points(split) + n >
                                         SPL_SPLIT_MAX + spl_geometry_n_points(geometry)) {
                g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                            "%s: its long edges are more than %d km together; give a smaller shape",
                            what, SPL_SPLIT_MAX);
                return FALSE;
            }
            for (guint j = 1; j < n; j++)
                spl_geometry_append(split, a.lon + (b.lon - a.lon) * j / n,
                                    a.lat + (b.lat - a.lat) * j / n);
            spl_geometry_append(split, b.lon, b.lat);
        }
    }
    other = geometry->points;
    geometry->points = split->points;
    split->points = other;
    other = geometry->paths;
    geometry->paths = split->paths;
    split->paths = other;
    return TRUE;
}

/* ---- boxes ---- */

/* Longitudes not cut at the antimeridian; max_lon may exceed 180 and min_lon fall below -180. */
struct span {
    double min_lon, max_lon, min_lat, max_lat;
};

static struct span path_span(const struct spl_geometry *geometry, const struct spl_path *path)
{
    const struct spl_position *p = spl_geometry_points(geometry) + path->first;
    struct span span = {p[0].lon, p[0].lon, p[0].lat, p[0].lat};
    double lon = p[0].lon, sum_lat = p[0].lat;

    for (guint i = 1; i < path->count; i++) {
        double step = p[i].lon - p[i - 1].lon;

        if (fabs(step) > 180)
            step = remainder(step, 360);
        /* A sum of steps is a little off; without a crossing the position itself is exact. */
        lon = geometry->kind == SPL_GEOMETRY_POINT || lon + step == p[i].lon ||
                      fabs(lon + step - p[i].lon) < 1
                  ? p[i].lon
                  : lon + step;
        span.min_lon = fmin(span.min_lon, lon);
        span.max_lon = fmax(span.max_lon, lon);
        span.min_lat = fmin(span.min_lat, p[i].lat);
        span.max_lat = fmax(span.max_lat, p[i].lat);
        sum_lat += p[i].lat;
    }
    if (geometry->kind == SPL_GEOMETRY_POLYGON && fabs(lon - p[0].lon) > 180) {
        /* It goes round a pole. */
        span.min_lon = -180;
        span.max_lon = 180;
        if (sum_lat >= 0)
            span.max_lat = 90;
        else
            span.min_lat = -90;
    }
    return span;
}

static struct span whole_span(const struct spl_geometry *geometry)
{
    struct span all = path_span(geometry, spl_geometry_path(geometry, 0));

    for (guint i = 1; i < geometry->paths->len; i++) {
        struct span one = path_span(geometry, spl_geometry_path(geometry, i));
        double shift =
            360 * round(((all.min_lon + all.max_lon) - (one.min_lon + one.max_lon)) / 720);

        all.min_lon = fmin(all.min_lon, one.min_lon + shift);
        all.max_lon = fmax(all.max_lon, one.max_lon + shift);
        all.min_lat = fmin(all.min_lat, one.min_lat);
        all.max_lat = fmax(all.max_lat, one.max_lat);
    }
    return all;
}

static int span_boxes(struct span span, double margin_m, struct spl_box boxes[2])
{
    double up = margin_m / M_PER_DEGREE_LAT_LEAST * 1.01, widest, sideways;
    struct spl_box box = {-180, fmax(span.min_lat - up, -90), 180, fmin(span.max_lat + up, 90)};

    widest = fmax(fabs(box.min_lat), fabs(box.max_lat));
    if (widest < 89.99) {
        sideways = margin_m / (M_PER_DEGREE_LON * cos(widest * RAD)) * 1.01;
        span.min_lon -= sideways;
        span.max_lon += sideways;
        if (span.max_lon - span.min_lon < 360) {
            double shift = 360 * floor((span.min_lon + 180) / 360);

            box.min_lon = fmax(span.min_lon - shift, -180);
            box.max_lon = span.max_lon - shift;
        }
    }
    boxes[0] = box;
    if (box.max_lon <= 180)
        return 1;
    boxes[0].max_lon = 180;
    boxes[1] = box;
    boxes[1].min_lon = -180;
    boxes[1].max_lon = fmin(box.max_lon - 360, 180);
    return 2;
}

int spl_geometry_boxes(const struct spl_geometry *geometry, double margin_m,
                       struct spl_box boxes[2])
{
    return span_boxes(whole_span(geometry), margin_m, boxes);
}

int spl_position_boxes(struct spl_position position, double margin_m, struct spl_box boxes[2])
{
    return span_boxes((struct span){position.lon, position.lon, position.lat, position.lat},
                      margin_m, boxes);
}

gboolean spl_boxes_meet(const struct spl_box *a, const struct spl_box *b)
{
    return a->min_lon <= b->max_lon && b->min_lon <= a->max_lon && a->min_lat <= b->max_lat &&
           b->min_lat <= a->max_lat;
}

struct spl_position spl_geometry_box_middle(const struct spl_geometry *geometry)
{
    struct span span = whole_span(geometry);

    return (struct spl_position){remainder((span.min_lon + span.max_lon) / 2, 360),
                                 (span.min_lat + span.max_lat) / 2};
}

double spl_geometry_area_m2(const struct spl_geometry *geometry)
{
    struct spl_plane plane;
    double area = 0;

    if (geometry->kind != SPL_GEOMETRY_POLYGON)
        return 0;
    spl_plane_init(&plane, spl_geometry_box_middle(geometry));
    for (guint i = 0; i < geometry->paths->len; i++) {
        const struct spl_path *path = spl_geometry_path(geometry, i);
        const struct spl_position *p = spl_geometry_points(geometry) + path->first;
        struct spl_xy a = spl_plane_project(&plane, p[0]);
        double twice = 0;

        for (guint k = 1; k < path->count; k++) {
            struct spl_xy b = spl_plane_project(&plane, p[k]);

            twice += a.x * b.y - b.x * a.y;
            a = b;
        }
        area += path->hole ? -fabs(twice) / 2 : fabs(twice) / 2;
    }
    return fmax(area, 0);
}
