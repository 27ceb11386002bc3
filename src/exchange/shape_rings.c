/* SPDX-License-Identifier: MIT
 *
 * Parts, rings, holes, long edges and crossings of one shape.
 */
#include "exchange/shape_rings.h"

#include <math.h>
#include <string.h>

#define SURE_MAX 160 /* places in a ring that are compared edge by edge; more go to GEOS */

gboolean spl_shape_kind(int shape_type, enum spl_geometry_kind *kind)
{
    switch (shape_type) {
    case SHPT_POINT:
    case SHPT_POINTZ:
    case SHPT_POINTM:
    case SHPT_MULTIPOINT:
    case SHPT_MULTIPOINTZ:
    case SHPT_MULTIPOINTM:
        *kind = SPL_GEOMETRY_POINT;
        return TRUE;
    case SHPT_ARC:
    case SHPT_ARCZ:
    case SHPT_ARCM:
        *kind = SPL_GEOMETRY_LINE;
        return TRUE;
    case SHPT_POLYGON:
    case SHPT_POLYGONZ:
    case SHPT_POLYGONM:
        *kind = SPL_GEOMETRY_POLYGON;
        return TRUE;
    default:
        return FALSE;
    }
}

/* ---- parts ---- */

static gboolean same_place(struct spl_position a, struct spl_position b)
{
    return a.lon == b.lon && a.lat == b.lat;
}

/* Twice the area, positive when counter-clockwise, taken about the first place to keep its digits.
 */
static double twice_area(const struct spl_position *p, guint n)
{
    double sum = 0;

    for (guint i = 1; i + 1 < n; i++)
        sum += (p[i].lon - p[0].lon) * (p[i + 1].lat - p[0].lat) -
               (p[i + 1].lon - p[0].lon) * (p[i].lat - p[0].lat);
    return sum;
}

gboolean spl_shape_parts(const SHPObject *shape, enum spl_geometry_kind kind,
                         struct spl_geometry *raw, gboolean *repaired, char **reason)
{
    enum spl_geometry_kind own;
    int n = shape->nVertices, parts = shape->nParts;

    spl_geometry_reset(raw, kind);
    if (shape->nSHPType == SHPT_NULL) {
        *reason = g_strdup("it has no shape");
        return FALSE;
    }
    if (!spl_shape_kind(shape->nSHPType, &own) || own != kind) {
        *reason = g_strdup("its shape is of another kind than the file's");
        return FALSE;
    }
    if (n <= 0) {
        *reason = g_strdup("its shape has no places");
        return FALSE;
    }
    for (int i = 0; i < n; i++)
        if (!isfinite(shape->padfX[i]) || !isfinite(shape->padfY[i])) {
            *reason = g_strdup("a coordinate is not a number");
            return FALSE;
        }
    if (kind == SPL_GEOMETRY_POINT) {
        spl_geometry_begin(raw, FALSE);
        for (int i = 0; i < n; i++)
            spl_geometry_append(raw, shape->padfX[i], shape->padfY[i]);
        return TRUE;
    }
    if (parts > 0 && shape->panPartStart[0] != 0) {
        *reason = g_strdup("its first part does not begin with its first place");
        return FALSE;
    }
    if (parts <= 0)
        *repaired = TRUE; /* one part is meant */
    for (int k = 0; k < MAX(parts, 1); k++) {
        int from = parts > 0 ? shape->panPartStart[k] : 0;
        int to = k + 1 < parts ? shape->panPartStart[k + 1] : n;
        guint least = kind == SPL_GEOMETRY_LINE ? 2 : 4, first;

        if (from < 0 || to > n || from > to) {
            *reason = g_strdup("its parts do not follow each other");
            return FALSE;
        }
        if (from == to) {
            *repaired = TRUE; /* an empty part says nothing */
            continue;
        }
        spl_geometry_begin(raw, FALSE);
        first = spl_geometry_n_points(raw);
        for (int i = from; i < to; i++)
            spl_geometry_append(raw, shape->padfX[i], shape->padfY[i]);
        if (kind == SPL_GEOMETRY_POLYGON &&
            !same_place(spl_geometry_points(raw)[first],
                        spl_geometry_points(raw)[spl_geometry_n_points(raw) - 1])) {
            *repaired = TRUE; /* closed */
            spl_geometry_append(raw, shape->padfX[from], shape->padfY[from]);
        }
        /* Too short a ring or line stays as the ground that its edges touch. */
        while (spl_geometry_n_points(raw) - first < least) {
            struct spl_position last = spl_geometry_points(raw)[spl_geometry_n_points(raw) - 1];

            *repaired = TRUE;
            spl_geometry_append(raw, last.lon, last.lat);
        }
    }
    if (raw->paths->len == 0) {
        *reason = g_strdup("its shape has no places");
        return FALSE;
    }
    return TRUE;
}

/* ---- holes ---- */

struct ring {
    guint path;
    double twice_area;
    double min_x, min_y, max_x, max_y;
    int within; /* the smallest ring around it, -1: none */
    gboolean hole;
};

static gboolean ring_holds(const struct spl_position *p, guint n, struct spl_position q)
{
    gboolean odd = FALSE;

    for (guint i = 1; i < n; i++)
        if ((p[i - 1].lat > q.lat) != (p[i].lat > q.lat) &&
            q.lon < p[i - 1].lon + (q.lat - p[i - 1].lat) * (p[i].lon - p[i - 1].lon) /
                                       (p[i].lat - p[i - 1].lat))
            odd = !odd;
    return odd;
}

static int compare_area(gconstpointer a, gconstpointer b)
{
    double first = fabs(((const struct ring *)a)->twice_area);
    double second = fabs(((const struct ring *)b)->twice_area);

    return first > second ? -1 : first < second ? 1 : 0;
}

/* All places of the inner ring in the outer; those on its edge count either way, so most decide. */
static gboolean lies_within(const struct spl_geometry *raw, const struct ring *inner,
                            const struct ring *outer)
{
    const struct spl_path *in = spl_geometry_path(raw, inner->path);
    const struct spl_path *out = spl_geometry_path(raw, outer->path);
    const struct spl_position *points = spl_geometry_points(raw);
    guint held = 0, asked = 0;

    if (inner->min_x < outer->min_x || inner->max_x > outer->max_x || inner->min_y < outer->min_y ||
        inner->max_y > outer->max_y)
        return FALSE;
    for (guint i = 0; i + 1 < in->count && asked < 9; i += MAX(1, in->count / 9), asked++)
        held += ring_holds(points + out->first, out->count, points[in->first + i]) ? 1 : 0;
    return held * 2 > asked;
}

/*
 * Which rings may lie around a place: a grid over the shape, each ring in the cells that its box
 * touches, or, touching many, in a list of its own. Shapes of a hundred thousand rings exist.
 */
#define CELLS_EACH 16 /* more go to the list */

struct ring_grid {
    const GArray *rings;
    double min_x, min_y, step_x, step_y;
    int side;
    GArray **cells; /* of guint, ascending; NULL: none */
    GArray *wide;
};

static int grid_cell(double value, double min, double step, int side)
{
    double cell = step > 0 ? (value - min) / step : 0;

    return !(cell > 0) ? 0 : cell >= side ? side - 1 : (int)cell; /* 0 with NAN */
}

static void grid_put(struct ring_grid *grid, guint i)
{
    const struct ring *ring = &g_array_index(grid->rings, struct ring, i);
    int x0 = grid_cell(ring->min_x, grid->min_x, grid->step_x, grid->side);
    int x1 = grid_cell(ring->max_x, grid->min_x, grid->step_x, grid->side);
    int y0 = grid_cell(ring->min_y, grid->min_y, grid->step_y, grid->side);
    int y1 = grid_cell(ring->max_y, grid->min_y, grid->step_y, grid->side);

    if ((x1 - x0 + 1) * (gint64)(y1 - y0 + 1) > CELLS_EACH) {
        g_array_append_val(grid->wide, i);
        return;
    }
    for (int y = y0; y <= y1; y++)
        for (int x = x0; x <= x1; x++) {
            GArray **cell = &grid->cells[y * grid->side + x];

            if (*cell == NULL)
                *cell = g_array_new(FALSE, FALSE, sizeof(guint));
            g_array_append_val(*cell, i);
        }
}

static void grid_begin(struct ring_grid *grid, const GArray *rings)
{
    const struct ring *first = &g_array_index(rings, struct ring, 0);
    double max_x = first->max_x, max_y = first->max_y;

    *grid = (struct ring_grid){.rings = rings, .min_x = first->min_x, .min_y = first->min_y};
    for (guint i = 1; i < rings->len; i++) {
        const struct ring *ring = &g_array_index(rings, struct ring, i);

        grid->min_x = fmin(grid->min_x, ring->min_x);
        grid->min_y = fmin(grid->min_y, ring->min_y);
        max_x = fmax(max_x, ring->max_x);
        max_y = fmax(max_y, ring->max_y);
    }
    grid->side = (int)ceil(sqrt(rings->len));
    grid->step_x = (max_x - grid->min_x) / grid->side;
    grid->step_y = (max_y - grid->min_y) / grid->side;
    grid->cells = g_new0(GArray *, (gsize)grid->side * (gsize)grid->side);
    grid->wide = g_array_new(FALSE, FALSE, sizeof(guint));
}

static void grid_end(struct ring_grid *grid)
{
    for (int i = 0; i < grid->side * grid->side; i++)
        if (grid->cells[i] != NULL)
            g_array_unref(grid->cells[i]);
    g_free(grid->cells);
    g_array_unref(grid->wide);
}

/* The last ring of the list that holds this one; -1: none. */
static int last_around(const struct spl_geometry *raw, const GArray *rings, const GArray *list,
                       const struct ring *ring)
{
    for (guint k = list != NULL ? list->len : 0; k > 0; k--) {
        guint around = g_array_index(list, guint, k - 1);

        if (lies_within(raw, ring, &g_array_index(rings, struct ring, around)))
            return (int)around;
    }
    return -1;
}

/* The rings come by falling area, so that the last one before it that holds a ring is the nearest
 * around it. */
static void find_holes(const struct spl_geometry *raw, GArray *rings)
{
    struct ring_grid grid;

    grid_begin(&grid, rings);
    for (guint i = 0; i < rings->len; i++) {
        struct ring *ring = &g_array_index(rings, struct ring, i);
        int x = grid_cell(ring->min_x, grid.min_x, grid.step_x, grid.side);
        int y = grid_cell(ring->min_y, grid.min_y, grid.step_y, grid.side);

        ring->within = MAX(last_around(raw, rings, grid.cells[y * grid.side + x], ring),
                           last_around(raw, rings, grid.wide, ring));
        if (ring->within >= 0 && ring->twice_area != 0) {
            const struct ring *around = &g_array_index(rings, struct ring, ring->within);

            ring->hole = !around->hole && (around->twice_area > 0) != (ring->twice_area > 0);
        }
        grid_put(&grid, i);
    }
    grid_end(&grid);
}

static struct ring measure(const struct spl_geometry *raw, guint i)
{
    const struct spl_path *path = spl_geometry_path(raw, i);
    const struct spl_position *p = spl_geometry_points(raw) + path->first;
    struct ring ring = {.path = i,
                        .twice_area = twice_area(p, path->count),
                        .min_x = p[0].lon,
                        .max_x = p[0].lon,
                        .min_y = p[0].lat,
                        .max_y = p[0].lat,
                        .within = -1};

    for (guint k = 1; k < path->count; k++) {
        ring.min_x = fmin(ring.min_x, p[k].lon);
        ring.max_x = fmax(ring.max_x, p[k].lon);
        ring.min_y = fmin(ring.min_y, p[k].lat);
        ring.max_y = fmax(ring.max_y, p[k].lat);
    }
    return ring;
}

static void copy_ring(struct spl_geometry *sorted, const struct spl_geometry *raw,
                      const struct ring *ring)
{
    const struct spl_path *path = spl_geometry_path(raw, ring->path);
    const struct spl_position *p = spl_geometry_points(raw) + path->first;

    spl_geometry_begin(sorted, ring->hole);
    for (guint j = 0; j < path->count; j++)
        spl_geometry_append(sorted, p[j].lon, p[j].lat);
}

/*
 * Finds which rings are holes and puts each behind the ring that it is cut from. The order and
 * direction of rings in files is often wrong, so only where one lies and that it runs against the
 * ring around it make it a hole.
 */
static void sort_holes(struct spl_geometry *raw)
{
    guint n = raw->paths->len;
    g_autoptr(GArray) rings = g_array_sized_new(FALSE, TRUE, sizeof(struct ring), n);
    g_autoptr(spl_geometry) sorted = NULL;
    g_autofree int *first = NULL, *next = NULL; /* the holes of each ring, as a chain */
    GArray *other;

    if (n < 2)
        return;
    for (guint i = 0; i < n; i++) {
        struct ring ring = measure(raw, i);

        g_array_append_val(rings, ring);
    }
    g_array_sort(rings, compare_area);
    find_holes(raw, rings);
    first = g_new(int, n);
    next = g_new(int, n);
    memset(first, -1, n * sizeof *first);
    for (guint i = n; i > 0; i--) {
        const struct ring *ring = &g_array_index(rings, struct ring, i - 1);

        if (ring->hole) {
            next[i - 1] = first[ring->within];
            first[ring->within] = (int)(i - 1);
        }
    }
    sorted = spl_geometry_new(raw->kind);
    for (guint i = 0; i < n; i++) {
        if (g_array_index(rings, struct ring, i).hole)
            continue;
        copy_ring(sorted, raw, &g_array_index(rings, struct ring, i));
        for (int k = first[i]; k >= 0; k = next[k])
            copy_ring(sorted, raw, &g_array_index(rings, struct ring, k));
    }
    other = raw->points;
    raw->points = sorted->points;
    sorted->points = other;
    other = raw->paths;
    raw->paths = sorted->paths;
    sorted->paths = other;
}

/* ---- turning and splitting ---- */

/* Metres between two turned places, nearly; never much too few. In a file of degrees an edge is as
 * wide as its numbers say; else it goes the short way round. */
static double edge_m(struct spl_position a, struct spl_position b, gboolean degrees)
{
    double dlon = b.lon - a.lon, least = a.lat * b.lat <= 0 ? 0 : fmin(fabs(a.lat), fabs(b.lat));

    if (!degrees && fabs(dlon) > 180)
        dlon = remainder(dlon, 360);
    return hypot((b.lat - a.lat) * 111700, dlon * 111700 * cos(least * G_PI / 180));
}

static gboolean turn(const struct spl_geometry *raw, struct spl_projection *projection,
                     struct spl_geometry *ground)
{
    guint n = spl_geometry_n_points(raw);

    spl_geometry_reset(ground, raw->kind);
    g_array_append_vals(ground->points, raw->points->data, n);
    g_array_append_vals(ground->paths, raw->paths->data, raw->paths->len);
    return spl_projection_apply(projection, (struct spl_position *)(void *)ground->points->data,
                                n) == n;
}

static gboolean split(struct spl_geometry *raw, struct spl_projection *projection,
                      struct spl_geometry *ground, char **reason)
{
    gboolean degrees = spl_projection_is_degrees(projection);
    const struct spl_position *turned = spl_geometry_points(ground),
                              *points = spl_geometry_points(raw);
    g_autoptr(spl_geometry) longer = NULL;
    gboolean any = FALSE;

    if (raw->kind == SPL_GEOMETRY_POINT)
        return TRUE;
    for (guint i = 0; i < raw->paths->len && !any; i++) {
        const struct spl_path *path = spl_geometry_path(raw, i);

        for (guint k = path->first + 1; k < path->first + path->count && !any; k++)
            any = edge_m(turned[k - 1], turned[k], degrees) > SPL_EDGE_MAX_M;
    }
    if (!any)
        return TRUE;
    longer = spl_geometry_new(raw->kind);
    for (guint i = 0; i < raw->paths->len; i++) {
        const struct spl_path *path = spl_geometry_path(raw, i);

        spl_geometry_begin(longer, path->hole);
        spl_geometry_append(longer, points[path->first].lon, points[path->first].lat);
        for (guint k = path->first + 1; k < path->first + path->count; k++) {
            double pieces = ceil(edge_m(turned[k - 1], turned[k], degrees) / SPL_EDGE_MAX_M);
            struct spl_position a = points[k - 1], b = points[k];

            if (pieces + spl_geometry_n_points(longer) >
                SPL_SPLIT_MAX + (double)spl_geometry_n_points(raw)) {
                *reason = g_strdup("its edges are too long for a piece of ground");
                return FALSE;
            }
            for (int j = 1; j < (int)pieces; j++)
                spl_geometry_append(longer, a.lon + (b.lon - a.lon) * j / pieces,
                                    a.lat + (b.lat - a.lat) * j / pieces);
            spl_geometry_append(longer, b.lon, b.lat);
        }
    }
    if (!turn(longer, projection, ground)) {
        *reason = g_strdup("an edge of it leaves the earth in the stated reference system");
        return FALSE;
    }
    return TRUE;
}

/* ---- soundness ---- */

static int side_of(struct spl_position a, struct spl_position b, struct spl_position p)
{
    double cross = (b.lon - a.lon) * (p.lat - a.lat) - (b.lat - a.lat) * (p.lon - a.lon);
    /* Shewchuk's bound for this sum: nearer to zero its sign proves nothing. */
    double bound = 3.3306690738754716e-16 * (fabs((b.lon - a.lon) * (p.lat - a.lat)) +
                                             fabs((b.lat - a.lat) * (p.lon - a.lon)));

    return cross > bound ? 1 : cross < -bound ? -1 : 0;
}

gboolean spl_ring_is_surely_sound(const struct spl_position *ring, guint n)
{
    if (n < 4 || n > SURE_MAX)
        return FALSE;
    for (guint i = 1; i < n; i++)
        if (same_place(ring[i - 1], ring[i]) || fabs(ring[i].lon - ring[i - 1].lon) > 180)
            return FALSE;
    for (guint i = 0; i + 1 < n; i++) {
        struct spl_position a = ring[i], b = ring[i + 1];
        double min_x = fmin(a.lon, b.lon), max_x = fmax(a.lon, b.lon);
        double min_y = fmin(a.lat, b.lat), max_y = fmax(a.lat, b.lat);
        struct spl_position next = ring[i + 2 < n ? i + 2 : 1];

        /* neighbours: no turning back on the same line */
        if (side_of(a, b, next) == 0 &&
            (b.lon - a.lon) * (next.lon - b.lon) + (b.lat - a.lat) * (next.lat - b.lat) <= 0)
            return FALSE;
        for (guint k = i + 2; k + 1 < n; k++) {
            struct spl_position c = ring[k], d = ring[k + 1];

            if (i == 0 && k + 2 == n)
                continue; /* the last edge is the first one's neighbour */
            if (fmax(c.lon, d.lon) < min_x || fmin(c.lon, d.lon) > max_x ||
                fmax(c.lat, d.lat) < min_y || fmin(c.lat, d.lat) > max_y)
                continue;
            if (side_of(a, b, c) * side_of(a, b, d) != 1 &&
                side_of(c, d, a) * side_of(c, d, b) != 1)
                return FALSE;
        }
    }
    return TRUE;
}

/* Rings without an area, which GEOS would drop: they stay as the ground that their edges touch. */
static gboolean take_out_flat(struct spl_geometry *ground, struct spl_geometry *flat)
{
    g_autoptr(spl_geometry) full = spl_geometry_new(SPL_GEOMETRY_POLYGON);
    const struct spl_position *points = spl_geometry_points(ground);
    gboolean outer_is_flat = FALSE;

    spl_geometry_reset(flat, SPL_GEOMETRY_POLYGON);
    for (guint i = 0; i < ground->paths->len; i++) {
        const struct spl_path *path = spl_geometry_path(ground, i);
        gboolean is_flat = twice_area(points + path->first, path->count) == 0;
        struct spl_geometry *to;

        if (!path->hole)
            outer_is_flat = is_flat;
        to = is_flat || (path->hole && outer_is_flat) ? flat : full;
        spl_geometry_begin(to, to == full && path->hole);
        for (guint k = 0; k < path->count; k++)
            spl_geometry_append(to, points[path->first + k].lon, points[path->first + k].lat);
    }
    if (flat->paths->len == 0)
        return FALSE;
    spl_geometry_reset(ground, SPL_GEOMETRY_POLYGON);
    g_array_append_vals(ground->points, full->points->data, full->points->len);
    g_array_append_vals(ground->paths, full->paths->data, full->paths->len);
    return TRUE;
}

static void append_all(struct spl_geometry *to, const struct spl_geometry *from)
{
    const struct spl_position *points = spl_geometry_points(from);

    for (guint i = 0; i < from->paths->len; i++) {
        const struct spl_path *path = spl_geometry_path(from, i);

        spl_geometry_begin(to, path->hole);
        for (guint k = 0; k < path->count; k++)
            spl_geometry_append(to, points[path->first + k].lon, points[path->first + k].lat);
    }
}

static void mend(struct spl_geometry *ground, gboolean *repaired)
{
    g_autoptr(spl_geometry) flat = spl_geometry_new(SPL_GEOMETRY_POLYGON);
    g_autoptr(spl_geometry) sound = NULL;

    *repaired |= take_out_flat(ground, flat);
    if (ground->paths->len > 0 && !spl_geometry_check_rings(ground, "rings", NULL)) {
        *repaired = TRUE;
        sound = spl_geometry_repair(ground, "rings", NULL);
        if (sound == NULL || !spl_geometry_check(sound, "rings", NULL)) {
            /* What GEOS cannot mend stays as it was drawn, every ring full: too much ground at
             * most. */
            for (guint i = 0; i < ground->paths->len; i++)
                g_array_index(ground->paths, struct spl_path, i).hole = FALSE;
        } else {
            spl_geometry_reset(ground, SPL_GEOMETRY_POLYGON);
            append_all(ground, sound);
        }
    }
    append_all(ground, flat);
}

gboolean spl_shape_settle(struct spl_geometry *raw, struct spl_projection *projection,
                          struct spl_geometry *ground, gboolean *repaired, char **reason)
{
    GError *error = NULL;

    if (raw->kind == SPL_GEOMETRY_POLYGON)
        sort_holes(raw);
    if (!turn(raw, projection, ground)) {
        *reason = g_strdup("its coordinates are no place on earth in the stated reference system");
        return FALSE;
    }
    if (!split(raw, projection, ground, reason))
        return FALSE;
    if (ground->kind == SPL_GEOMETRY_POLYGON &&
        !(ground->paths->len == 1 &&
          spl_ring_is_surely_sound(spl_geometry_points(ground), spl_geometry_n_points(ground))))
        mend(ground, repaired);
    if (!spl_geometry_check(ground, "shape", &error)) {
        *reason = g_strdup(error->message);
        g_error_free(error);
        return FALSE;
    }
    return TRUE;
}
