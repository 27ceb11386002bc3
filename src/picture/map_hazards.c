/* SPDX-License-Identifier: MIT
 *
 * Contaminated ground on the estate map: the ground itself in close hatching, what is closed around
 * it in open hatching of the same slope, where to ask in thin lines of the other slope.
 */
#include <math.h>

#include "base/amount.h"
#include "picture/estate_private.h"
#include "picture/hatch.h"
#include "picture/words.h"

#define GROUND_SPACING 1.8
#define CLOSED_SPACING 3.6 /* twice the ground's: its lines run through */
#define ASK_SPACING 4.5
#define TICK 2.0         /* a shape smaller than this is drawn as a tick of this length */
#define OUTLINE_FROM 8.0 /* larger shapes get an outline */
#define MOST_NAMES 80
#define NAME_W 100.0

struct hazard_shape {
    GArray *xy;    /* of double */
    GArray *rings; /* of gsize */
    double left, top, right, bottom;
};

static void project(const struct spl_estate_draw *draw, const struct spl_estate_map_hazard *hazard,
                    struct hazard_shape *shape)
{
    g_array_set_size(shape->xy, 0);
    g_array_set_size(shape->rings, 0);
    shape->left = shape->top = INFINITY;
    shape->right = shape->bottom = -INFINITY;
    gsize whole = hazard->n_points, at = 0;
    gsize n_rings = hazard->rings != NULL ? hazard->n_rings : 1;
    for (gsize r = 0; r < n_rings; r++) {
        gsize n = hazard->rings != NULL ? hazard->rings[r] : whole, kept = 0;
        double last_x = NAN, last_y = NAN;
        for (gsize i = 0; i < n && at + i < whole; i++) {
            const double *p = &hazard->points[2 * (at + i)];
            double x, y;
            spl_estate_xy(draw, p[0], p[1], &x, &y);
            /* Corners closer together than a hair are one on paper. */
            if (i > 0 && i + 1 < n && hypot(x - last_x, y - last_y) < 0.25)
                continue;
            double pair[2] = {x, y};
            g_array_append_vals(shape->xy, pair, 2);
            kept++;
            last_x = x;
            last_y = y;
            shape->left = MIN(shape->left, x);
            shape->right = MAX(shape->right, x);
            shape->top = MIN(shape->top, y);
            shape->bottom = MAX(shape->bottom, y);
        }
        at += n;
        g_array_append_val(shape->rings, kept);
    }
}

static gboolean outside(const struct spl_estate_draw *draw, const struct hazard_shape *shape,
                        double reach)
{
    return shape->xy->len == 0 || shape->right + reach < draw->frame_x ||
           shape->left - reach > draw->frame_x + draw->frame_w ||
           shape->bottom + reach < draw->frame_y ||
           shape->top - reach > draw->frame_y + draw->frame_h;
}

static void lay(struct spl_hatch *hatch, const struct spl_estate_map_hazard *hazard,
                const struct hazard_shape *shape, double reach)
{
    const double *xy = (const double *)(void *)shape->xy->data;
    const gsize *rings = (const gsize *)(void *)shape->rings->data;
    if (hazard->shape == SPL_MAP_POLYGON) {
        spl_hatch_polygon(hatch, xy, rings, shape->rings->len, reach);
        return;
    }
    gsize at = 0;
    for (guint r = 0; r < shape->rings->len; r++) {
        for (gsize i = 0; hazard->shape == SPL_MAP_POINT && i < rings[r]; i++)
            spl_hatch_line(hatch, &xy[2 * (at + i)], 1, reach);
        if (hazard->shape == SPL_MAP_LINE && rings[r] > 0)
            spl_hatch_line(hatch, &xy[2 * at], rings[r], reach);
        at += rings[r];
    }
}

/* The ground itself: outline or line as strokes, tiny ones as a tick, each place once. */
static void trace(const struct spl_estate_map_hazard *hazard, const struct hazard_shape *shape,
                  GHashTable *ticks, GArray *outlines, GArray *lines)
{
    const double *xy = (const double *)(void *)shape->xy->data;
    double size = MAX(shape->right - shape->left, shape->bottom - shape->top);
    if (hazard->shape == SPL_MAP_POINT || size < TICK) {
        double x = (shape->left + shape->right) / 2.0, y = (shape->top + shape->bottom) / 2.0;
        guint key = ((guint)(int)floor(x / TICK) << 16) ^ ((guint)(int)floor(y / TICK) & 0xffffU);
        if (g_hash_table_add(ticks, GUINT_TO_POINTER(key + 1))) {
            double tick[4] = {x - TICK / 2.0, y - TICK / 2.0, x + TICK / 2.0, y + TICK / 2.0};
            g_array_append_vals(lines, tick, 4);
        }
        return;
    }
    if (hazard->shape == SPL_MAP_POLYGON && size < OUTLINE_FROM)
        return;
    gsize at = 0;
    for (guint r = 0; r < shape->rings->len; r++) {
        gsize n = g_array_index(shape->rings, gsize, r);
        gsize edges = hazard->shape == SPL_MAP_POLYGON ? n : n > 0 ? n - 1 : 0;
        for (gsize i = 0; i < edges; i++) {
            const double *p = &xy[2 * (at + i)], *q = &xy[2 * (at + (i + 1) % n)];
            double stroke[4] = {p[0], p[1], q[0], q[1]};
            g_array_append_vals(hazard->shape == SPL_MAP_POLYGON ? outlines : lines, stroke, 4);
        }
        at += n;
    }
}

static void spare(struct spl_estate_draw *draw, const GArray *strokes)
{
    const double *all = (const double *)(void *)strokes->data;
    for (guint i = 0; i + 3 < strokes->len; i += 4)
        spl_room_spare(draw->room, all[i], all[i + 1], all[i + 2], all[i + 3]);
}

static void stroke_hatch(struct spl_estate_draw *draw, struct spl_hatch *hatch, double width,
                         enum spl_tone tone, gboolean spared)
{
    g_autoptr(GArray) strokes = spl_hatch_strokes(hatch);
    if (spared)
        spare(draw, strokes);
    spl_page_strokes(draw->page, (const double *)(void *)strokes->data, strokes->len / 4, width,
                     tone);
}

void spl_estate_draw_hazards(struct spl_estate_draw *draw)
{
    double x = draw->frame_x, y = draw->frame_y, w = draw->frame_w, h = draw->frame_h;
    struct spl_hatch *ground = spl_hatch_new(x, y, w, h, -G_PI / 4.0, GROUND_SPACING);
    struct spl_hatch *closed = spl_hatch_new(x, y, w, h, -G_PI / 4.0, CLOSED_SPACING);
    struct spl_hatch *ask = spl_hatch_new(x, y, w, h, G_PI / 4.0, ASK_SPACING);
    g_autoptr(GArray) outlines = g_array_new(FALSE, FALSE, sizeof(double));
    g_autoptr(GArray) lines = g_array_new(FALSE, FALSE, sizeof(double));
    g_autoptr(GHashTable) ticks = g_hash_table_new(NULL, NULL);
    struct hazard_shape shape = {.xy = g_array_new(FALSE, FALSE, sizeof(double)),
                                 .rings = g_array_new(FALSE, FALSE, sizeof(gsize))};
    for (gsize i = 0; i < draw->map->n_hazards; i++) {
        const struct spl_estate_map_hazard *hazard = &draw->map->hazards[i];
        project(draw, hazard, &shape);
        double closed_pt = hazard->closed_m * draw->pt_per_m;
        double ask_pt = MAX(hazard->ask_m, hazard->closed_m) * draw->pt_per_m;
        if (outside(draw, &shape, ask_pt))
            continue;
        trace(hazard, &shape, ticks, outlines, lines);
        if (hazard->shape == SPL_MAP_POLYGON)
            lay(ground, hazard, &shape, 0.0);
        if (closed_pt > 0.3)
            lay(closed, hazard, &shape, closed_pt);
        if (ask_pt > 0.6)
            lay(ask, hazard, &shape, ask_pt);
    }
    spl_page_clip(draw->page, x, y, w, h);
    stroke_hatch(draw, ask, 0.3, SPL_TONE_SOFT, FALSE);
    stroke_hatch(draw, closed, 0.45, SPL_TONE_MADDER, TRUE);
    stroke_hatch(draw, ground, 0.7, SPL_TONE_MADDER, TRUE);
    spare(draw, outlines);
    spare(draw, lines);
    spl_page_strokes(draw->page, (const double *)(void *)outlines->data, outlines->len / 4, 0.7,
                     SPL_TONE_MADDER);
    spl_page_strokes(draw->page, (const double *)(void *)lines->data, lines->len / 4, 1.1,
                     SPL_TONE_MADDER);
    spl_page_unclip(draw->page);
    spl_page_ink(draw->page, SPL_INK_RULE, x, y, w, h, NULL);
    g_array_unref(shape.xy);
    g_array_unref(shape.rings);
    spl_hatch_free(ground);
    spl_hatch_free(closed);
    spl_hatch_free(ask);
}

char *spl_estate_reach(double closed_m, double ask_m)
{
    g_autofree char *near = spl_length_format(closed_m), *far = spl_length_format(ask_m);
    g_autofree char *closed =
        closed_m > 0.0 ? g_strdup_printf("closed to %s", near) : g_strdup("closed on it");
    return ask_m > closed_m ? g_strdup_printf("%s, ask to %s", closed, far)
                            : g_steal_pointer(&closed);
}

/* Beside one of its points: first where the words cover neither road nor ground, else where they
 * cover least. */
static gboolean find_name(struct spl_estate_draw *draw, const struct spl_estate_map_hazard *hazard,
                          double w, double h, double *x, double *y)
{
    for (int clear = TRUE; clear >= FALSE; clear--) {
        for (gsize k = 0; k < hazard->n_points; k++) {
            double px, py;
            spl_estate_xy(draw, hazard->points[2 * k], hazard->points[2 * k + 1], &px, &py);
            if (px < draw->frame_x || px > draw->frame_x + draw->frame_w || py < draw->frame_y ||
                py > draw->frame_y + draw->frame_h)
                continue;
            if (spl_room_find(draw->room, px, py, 0.0, w, h, 40.0, clear, x, y))
                return TRUE;
        }
    }
    return FALSE;
}

void spl_estate_name_hazards(struct spl_estate_draw *draw)
{
    struct spl_type type = {.face = SPL_FACE_SERIF,
                            .size = 7.0,
                            .italic = TRUE,
                            .tone = SPL_TONE_MADDER,
                            .knock_out = TRUE};
    int named = 0;
    for (gsize i = 0; i < draw->map->n_hazards && named < MOST_NAMES; i++) {
        const struct spl_estate_map_hazard *hazard = &draw->map->hazards[i];
        if (hazard->name == NULL)
            continue;
        g_autofree char *far = spl_estate_reach(hazard->closed_m, hazard->ask_m);
        g_autofree char *words = g_strdup_printf("%s: %s", hazard->name, far);
        double w, h, x, y;
        spl_page_measure(draw->page, NAME_W, &type, words, &w, &h);
        if (!find_name(draw, hazard, w, h, &x, &y))
            continue;
        spl_page_text(draw->page, x, y, NAME_W, &type, words);
        spl_page_say(draw->page, x, y, w, h, words);
        named++;
    }
}
