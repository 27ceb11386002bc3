/* SPDX-License-Identifier: MIT
 *
 * The shapes of ground: points, lines and polygons with holes on WGS 84, their boxes, and their
 * text (WKT).
 *
 * A geometry is one row of positions, cut into paths: one path with every point of a point set, one
 * path for each line, one for each ring. Rings are closed (first position = last). A hole belongs
 * to the nearest ring before it that is no hole. An edge runs the short way round between its two
 * ends and counts as a geodesic, so edges longer than SPL_EDGE_MAX_M are split at the door in the
 * reference system that they were drawn in (spl_geometry_split_edges does it for longitude and
 * latitude): a straight line on a map of 50 km lies up to 100 m beside the geodesic.
 */
#ifndef SPL_CORE_GEOMETRY_H
#define SPL_CORE_GEOMETRY_H

#include <glib.h>

#ifndef SPL_SPLIT_MAX        /* the fuzzers take less: they try nonsense by the thousand */
#define SPL_SPLIT_MAX 200000 /* positions that splitting may add: 200,000 km of long edges */
#endif
#define SPL_EDGE_MAX_M 1000.0 /* longest edge kept unsplit */
#define SPL_GEOMETRY_POINTS_MAX                                                                    \
    5000000 /* positions in one geometry that we are willing to hold                               \
             */

struct spl_position {
    double lon, lat; /* degrees, WGS 84; -180..180 and -90..90 */
};

enum spl_geometry_kind { SPL_GEOMETRY_POINT = 1, SPL_GEOMETRY_LINE = 2, SPL_GEOMETRY_POLYGON = 3 };

struct spl_path {
    guint32 first, count; /* positions of the row */
    gboolean hole;        /* polygons only */
};

typedef struct spl_geometry { /* typedef for g_autoptr */
    enum spl_geometry_kind kind;
    GArray *points; /* struct spl_position */
    GArray *paths;  /* struct spl_path */
} spl_geometry;

/* An empty geometry. Free with spl_geometry_free. */
struct spl_geometry *spl_geometry_new(enum spl_geometry_kind kind);
struct spl_geometry *spl_geometry_new_point(double lat, double lon);
struct spl_geometry *spl_geometry_copy(const struct spl_geometry *geometry);
void spl_geometry_free(struct spl_geometry *geometry);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_geometry, spl_geometry_free)

/* Empties it for another use, keeping its memory. */
void spl_geometry_reset(struct spl_geometry *geometry, enum spl_geometry_kind kind);

/* Begins the next path; positions that follow belong to it. */
void spl_geometry_begin(struct spl_geometry *geometry, gboolean hole);
void spl_geometry_append(struct spl_geometry *geometry, double lon, double lat);

static inline guint spl_geometry_n_points(const struct spl_geometry *geometry)
{
    return geometry->points->len;
}
static inline const struct spl_position *spl_geometry_points(const struct spl_geometry *geometry)
{
    return (const struct spl_position *)(const void *)geometry->points->data;
}
static inline const struct spl_path *spl_geometry_path(const struct spl_geometry *geometry, guint i)
{
    return &g_array_index(geometry->paths, struct spl_path, i);
}

/*
 * Every position finite and in range, at least one path and no empty one, lines of two positions
 * and more, rings closed and of four and more, the first ring no hole. SPL_ERROR_INVALID says what
 * is wrong, with `what` for the thing's name.
 */
gboolean spl_geometry_check(const struct spl_geometry *geometry, const char *what, GError **error);

/*
 * Rings that do not cross themselves or each other, holes within their ring (GEOS decides). FALSE
 * with SPL_ERROR_INVALID and the place of the first fault, or a fault of memory.
 */
gboolean spl_geometry_check_rings(const struct spl_geometry *geometry, const char *what,
                                  GError **error);

/*
 * A polygon as GEOS makes it valid: outer rings joined, holes cut out of that (never the reverse:
 * on doubt ground counts as covered). Lines and points come back as they are. NULL with an error
 * when nothing with an area is left.
 */
struct spl_geometry *spl_geometry_repair(const struct spl_geometry *geometry, const char *what,
                                         GError **error);

/* Splits edges longer than SPL_EDGE_MAX_M evenly along straight lines in longitude and latitude.
 * An edge over more than 180 degrees of longitude is refused with the advice to cut the shape at
 * the antimeridian (RFC 7946 3.1.9); more than SPL_GEOMETRY_POINTS_MAX positions are
 * SPL_ERROR_LIMIT. */
gboolean spl_geometry_split_edges(struct spl_geometry *geometry, const char *what, GError **error);

/* The place that stands for the whole: the point itself, the middle of the box of a line, a point
 * inside the largest part of a polygon. */
struct spl_position spl_geometry_middle(const struct spl_geometry *geometry);

/* The middle of the box: cheap, and not always on the ground itself. */
struct spl_position spl_geometry_box_middle(const struct spl_geometry *geometry);

/* The area of a polygon in m2 in the equidistant plane about its middle (parts overlapping count
 * once each); 0 for lines and points. Good to 0.1 % for shapes of up to 100 km. */
double spl_geometry_area_m2(const struct spl_geometry *geometry);

/* ---- boxes ---- */

struct spl_box {
    double min_lon, min_lat, max_lon, max_lat; /* min <= max always, all finite */
};

/*
 * The box about the geometry, widened by `margin_m` on all sides (never too little), as one box, or
 * as two when it lies across the antimeridian. One that holds a pole goes round the whole earth.
 * Returns how many (1 or 2).
 */
int spl_geometry_boxes(const struct spl_geometry *geometry, double margin_m,
                       struct spl_box boxes[2]);

/* The same for a single position. */
int spl_position_boxes(struct spl_position position, double margin_m, struct spl_box boxes[2]);

gboolean spl_boxes_meet(const struct spl_box *a, const struct spl_box *b);

/* ---- text and bytes ---- */

/*
 * Well-known text (OGC 06-103r4): POINT, MULTIPOINT, LINESTRING, MULTILINESTRING, POLYGON,
 * MULTIPOLYGON, longitude first, also with Z, M, ZM (read over) and in any case. Refused with
 * SPL_ERROR_INVALID and the place of the fault: anything else, EMPTY, GEOMETRYCOLLECTION, what
 * spl_geometry_check refuses, and latitudes that look swapped. More than `SPL_GEOMETRY_POINTS_MAX`
 * positions are SPL_ERROR_LIMIT. Edges are split. `what` names the value.
 */
struct spl_geometry *spl_geometry_from_wkt(const char *text, const char *what, GError **error);

/* The same forms out, at most 9 decimals. Free with g_free. */
char *spl_geometry_to_wkt(const struct spl_geometry *geometry);

/*
 * Exact bytes for storing: kind, paths, then the positions as little-endian doubles. The reader
 * believes nothing and refuses (SPL_ERROR_CORRUPT) what spl_geometry_check would.
 */
GBytes *spl_geometry_to_bytes(const struct spl_geometry *geometry);
gboolean spl_geometry_from_bytes(struct spl_geometry *geometry, const void *data, gsize size,
                                 GError **error);

#endif
