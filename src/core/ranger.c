/* SPDX-License-Identifier: MIT
 *
 * From a site to ground: plane geometry in the azimuthal equidistant plane about the site. Each
 * path of a shape lies wholly inside or outside another's area unless edges cross, so one position
 * of each path decides.
 */
#include "core/geodesic.h"

#include <math.h>

struct spl_ranger {
    struct spl_plane plane;
    enum spl_geometry_kind kind;
    gboolean is_point;
    GArray *site_xy;    /* struct spl_xy */
    GArray *site_paths; /* struct spl_path */
    struct spl_xy min, max;
    GArray *ground_xy; /* kept between calls */
};

static void project_all(const struct spl_plane *plane, const struct spl_geometry *geometry,
                        GArray *xy)
{
    const struct spl_position *points = spl_geometry_points(geometry);
    guint n = spl_geometry_n_points(geometry);
    struct spl_xy *out;

    g_array_set_size(xy, n);
    out = (struct spl_xy *)(void *)xy->data;
    for (guint i = 0; i < n; i++)
        out[i] = spl_plane_project(plane, points[i]);
}

struct spl_ranger *spl_ranger_new(const struct spl_geometry *site)
{
    struct spl_ranger *ranger = g_new0(struct spl_ranger, 1);
    const struct spl_xy *xy;

    ranger->site_xy = g_array_new(FALSE, FALSE, sizeof(struct spl_xy));
    ranger->site_paths = g_array_new(FALSE, FALSE, sizeof(struct spl_path));
    ranger->ground_xy = g_array_new(FALSE, FALSE, sizeof(struct spl_xy));
    ranger->kind = site->kind;
    ranger->is_point = spl_geometry_n_points(site) == 1;
    spl_plane_init(&ranger->plane,
                   ranger->is_point ? spl_geometry_points(site)[0] : spl_geometry_box_middle(site));
    project_all(&ranger->plane, site, ranger->site_xy);
    g_array_append_vals(ranger->site_paths, site->paths->data, site->paths->len);
    xy = (const struct spl_xy *)(const void *)ranger->site_xy->data;
    ranger->min = ranger->max = xy[0];
    for (guint i = 1; i < ranger->site_xy->len; i++) {
        ranger->min.x = fmin(ranger->min.x, xy[i].x);
        ranger->min.y = fmin(ranger->min.y, xy[i].y);
        ranger->max.x = fmax(ranger->max.x, xy[i].x);
        ranger->max.y = fmax(ranger->max.y, xy[i].y);
    }
    return ranger;
}

void spl_ranger_free(struct spl_ranger *ranger)
{
    if (ranger == NULL)
        return;
    g_array_unref(ranger->site_xy);
    g_array_unref(ranger->site_paths);
    g_array_unref(ranger->ground_xy);
    g_free(ranger);
}

void spl_ranger_set_point(struct spl_ranger *ranger, struct spl_position point)
{
    const struct spl_path path = {.first = 0, .count = 1};
    const struct spl_xy origin = {0, 0};

    ranger->kind = SPL_GEOMETRY_POINT;
    ranger->is_point = TRUE;
    ranger->min = ranger->max = origin;
    spl_plane_init(&ranger->plane, point);
    g_array_set_size(ranger->site_xy, 0);
    g_array_append_val(ranger->site_xy, origin);
    g_array_set_size(ranger->site_paths, 0);
    g_array_append_val(ranger->site_paths, path);
}

/* ---- plane geometry ---- */

static double square_to_segment(struct spl_xy p, struct spl_xy a, struct spl_xy b)
{
    double dx = b.x - a.x, dy = b.y - a.y, length = dx * dx + dy * dy, t = 0, x, y;

    if (length > 0)
        t = CLAMP(((p.x - a.x) * dx + (p.y - a.y) * dy) / length, 0, 1);
    x = a.x + t * dx - p.x;
    y = a.y + t * dy - p.y;
    return x * x + y * y;
}

static double side(struct spl_xy a, struct spl_xy b, struct spl_xy p)
{
    return (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
}

static double square_between(struct spl_xy a, struct spl_xy b, struct spl_xy c, struct spl_xy d)
{
    double square;

    if (((side(a, b, c) > 0) != (side(a, b, d) > 0)) &&
        ((side(c, d, a) > 0) != (side(c, d, b) > 0)))
        return 0;
    square = fmin(square_to_segment(a, c, d), square_to_segment(b, c, d));
    return fmin(square, fmin(square_to_segment(c, a, b), square_to_segment(d, a, b)));
}

/* Is p inside the area that the paths bound? Holes count only within the ring that they belong to.
 */
static gboolean is_inside(struct spl_xy p, const struct spl_xy *xy, const GArray *paths)
{
    gboolean within = FALSE;

    for (guint i = 0; i < paths->len; i++) {
        const struct spl_path *path = &g_array_index(paths, struct spl_path, i);
        const struct spl_xy *ring = xy + path->first;
        gboolean odd = FALSE;

        if (!path->hole && within)
            return TRUE; /* inside the ring before, and in none of its holes */
        if (path->hole && !within)
            continue;
        for (guint k = 1; k < path->count; k++) {
            struct spl_xy a = ring[k - 1], b = ring[k];

            if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) * (b.x - a.x) / (b.y - a.y))
                odd = !odd;
        }
        within = path->hole ? within && !odd : odd;
    }
    return within;
}

/* From the origin, in one pass: the nearest edge and the inside test together. */
static double square_from_origin(const struct spl_xy *xy, const struct spl_geometry *ground)
{
    const struct spl_xy origin = {0, 0};
    gboolean area = ground->kind == SPL_GEOMETRY_POLYGON, within = FALSE;
    double best = INFINITY;

    for (guint i = 0; i < ground->paths->len; i++) {
        const struct spl_path *path = spl_geometry_path(ground, i);
        const struct spl_xy *p = xy + path->first;
        gboolean odd = FALSE;

        if (area && !path->hole && within)
            return 0;
        if (ground->kind == SPL_GEOMETRY_POINT || path->count == 1) {
            for (guint k = 0; k < path->count; k++)
                best = fmin(best, p[k].x * p[k].x + p[k].y * p[k].y);
            continue;
        }
        for (guint k = 1; k < path->count; k++) {
            struct spl_xy a = p[k - 1], b = p[k];

            best = fmin(best, square_to_segment(origin, a, b));
            if (area && (a.y > 0) != (b.y > 0) && 0 < a.x - a.y * (b.x - a.x) / (b.y - a.y))
                odd = !odd;
        }
        if (area)
            within = path->hole ? within && !odd : odd;
    }
    return within ? 0 : best;
}

static double square_to_box(struct spl_xy a, struct spl_xy b, struct spl_xy min, struct spl_xy max)
{
    double dx = fmax(fmax(min.x - fmax(a.x, b.x), fmin(a.x, b.x) - max.x), 0);
    double dy = fmax(fmax(min.y - fmax(a.y, b.y), fmin(a.y, b.y) - max.y), 0);

    return dx * dx + dy * dy;
}

/* The edges of a path; a point set's points are edges of no length. */
static guint n_edges(enum spl_geometry_kind kind, const struct spl_path *path)
{
    return kind == SPL_GEOMETRY_POINT || path->count == 1 ? path->count : path->count - 1;
}

static void edge(enum spl_geometry_kind kind, const struct spl_path *path, const struct spl_xy *xy,
                 guint i, struct spl_xy *a, struct spl_xy *b)
{
    *a = xy[path->first + i];
    *b = kind == SPL_GEOMETRY_POINT || path->count == 1 ? *a : xy[path->first + i + 1];
}

static double square_between_shapes(const struct spl_ranger *ranger, const struct spl_xy *xy,
                                    const struct spl_geometry *ground)
{
    const struct spl_xy *site_xy = (const struct spl_xy *)(const void *)ranger->site_xy->data;
    double best = INFINITY;

    for (guint g = 0; g < ground->paths->len && best > 0; g++) {
        const struct spl_path *path = spl_geometry_path(ground, g);
        guint n = n_edges(ground->kind, path);

        for (guint k = 0; k < n && best > 0; k++) {
            struct spl_xy a, b;

            edge(ground->kind, path, xy, k, &a, &b);
            if (square_to_box(a, b, ranger->min, ranger->max) >= best)
                continue;
            for (guint s = 0; s < ranger->site_paths->len; s++) {
                const struct spl_path *own = &g_array_index(ranger->site_paths, struct spl_path, s);
                guint m = n_edges(ranger->kind, own);

                for (guint j = 0; j < m; j++) {
                    struct spl_xy c, d;

                    edge(ranger->kind, own, site_xy, j, &c, &d);
                    best = fmin(best, square_between(a, b, c, d));
                }
            }
        }
    }
    if (best > 0 && ground->kind == SPL_GEOMETRY_POLYGON)
        for (guint s = 0; s < ranger->site_paths->len; s++) {
            const struct spl_path *own = &g_array_index(ranger->site_paths, struct spl_path, s);
            guint n = ranger->kind == SPL_GEOMETRY_POINT ? own->count : 1;

            for (guint k = 0; k < n; k++)
                if (is_inside(site_xy[own->first + k], xy, ground->paths))
                    return 0;
        }
    if (best > 0 && ranger->kind == SPL_GEOMETRY_POLYGON)
        for (guint g = 0; g < ground->paths->len; g++) {
            const struct spl_path *path = spl_geometry_path(ground, g);
            guint n = ground->kind == SPL_GEOMETRY_POINT ? path->count : 1;

            for (guint k = 0; k < n; k++)
                if (is_inside(xy[path->first + k], site_xy, ranger->site_paths))
                    return 0;
        }
    return best;
}

double spl_ranger_distance_m(struct spl_ranger *ranger, const struct spl_geometry *ground)
{
    const struct spl_xy *xy;

    project_all(&ranger->plane, ground, ranger->ground_xy);
    xy = (const struct spl_xy *)(const void *)ranger->ground_xy->data;
    return sqrt(ranger->is_point ? square_from_origin(xy, ground)
                                 : square_between_shapes(ranger, xy, ground));
}

double spl_geometry_distance_m(const struct spl_geometry *site, const struct spl_geometry *ground)
{
    g_autoptr(spl_ranger) ranger = spl_ranger_new(site);

    return spl_ranger_distance_m(ranger, ground);
}

struct spl_geometry *spl_geometry_circle(struct spl_position centre, double radius_m)
{
    struct spl_geometry *circle = spl_geometry_new(SPL_GEOMETRY_POLYGON);
    int n = (int)CLAMP(ceil(2 * G_PI * radius_m / (0.9 * SPL_EDGE_MAX_M)), 64, 4096);
    double outer_m = radius_m / cos(G_PI / n);

    spl_geometry_begin(circle, FALSE);
    for (int i = 0; i <= n; i++) {
        struct spl_position p = spl_geodesic_direct(centre, -360.0 * (i % n) / n, outer_m);

        spl_geometry_append(circle, p.lon, p.lat);
    }
    return circle;
}
