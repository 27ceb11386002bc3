/* SPDX-License-Identifier: MIT
 *
 * Hatching as lines: a scan over parallel lines, each with the stretches that shapes cover.
 */
#include "picture/hatch.h"

#include <math.h>
#include <stdlib.h>

#define MOST_LINES 200000

struct stretch {
    double from, to; /* along the line */
};

struct spl_hatch {
    double x, y, w, h;
    double ux, uy; /* along the lines; across is (-uy, ux) */
    double spacing;
    double along_min, along_max;
    int first, last; /* numbers of the lines that meet the rectangle */
    GArray **lines;  /* of struct stretch; NULL: none yet */
    GArray *crossings;
};

struct crossing {
    int line;
    double along;
};

static double across_of(const struct spl_hatch *hatch, double x, double y)
{
    return -hatch->uy * x + hatch->ux * y;
}

static double along_of(const struct spl_hatch *hatch, double x, double y)
{
    return hatch->ux * x + hatch->uy * y;
}

struct spl_hatch *spl_hatch_new(double x, double y, double w, double h, double angle,
                                double spacing)
{
    g_return_val_if_fail(spacing > 0.0, NULL);
    struct spl_hatch *hatch = g_new0(struct spl_hatch, 1);
    *hatch = (struct spl_hatch){
        .x = x, .y = y, .w = w, .h = h, .ux = cos(angle), .uy = sin(angle), .spacing = spacing};
    double low = INFINITY, high = -INFINITY;
    hatch->along_min = INFINITY;
    hatch->along_max = -INFINITY;
    for (int i = 0; i < 4; i++) {
        double cx = x + (i & 1 ? w : 0.0), cy = y + (i & 2 ? h : 0.0);
        double t = across_of(hatch, cx, cy), s = along_of(hatch, cx, cy);
        low = MIN(low, t);
        high = MAX(high, t);
        hatch->along_min = MIN(hatch->along_min, s);
        hatch->along_max = MAX(hatch->along_max, s);
    }
    /* Lines lie at whole multiples of the spacing: hatchings of neighbours run into each other. */
    hatch->first = (int)ceil(low / spacing);
    hatch->last = (int)floor(high / spacing);
    if (hatch->last - hatch->first > MOST_LINES)
        hatch->last = hatch->first + MOST_LINES;
    if (hatch->last >= hatch->first)
        hatch->lines = g_new0(GArray *, (gsize)(hatch->last - hatch->first + 1));
    hatch->crossings = g_array_new(FALSE, FALSE, sizeof(struct crossing));
    return hatch;
}

void spl_hatch_free(struct spl_hatch *hatch)
{
    if (hatch == NULL)
        return;
    for (int i = hatch->first; i <= hatch->last; i++)
        if (hatch->lines[i - hatch->first] != NULL)
            g_array_unref(hatch->lines[i - hatch->first]);
    g_free(hatch->lines);
    g_array_unref(hatch->crossings);
    g_free(hatch);
}

static void cover(struct spl_hatch *hatch, int line, double from, double to)
{
    from = MAX(from, hatch->along_min);
    to = MIN(to, hatch->along_max);
    if (!(from < to))
        return;
    GArray **at = &hatch->lines[line - hatch->first];
    if (*at == NULL)
        *at = g_array_new(FALSE, FALSE, sizeof(struct stretch));
    struct stretch stretch = {from, to};
    g_array_append_val(*at, stretch);
}

/* The lines with low <= line * spacing <= high, cut to those that there are. */
static void lines_between(const struct spl_hatch *hatch, double low, double high, int *first,
                          int *last)
{
    double a = ceil(low / hatch->spacing), b = floor(high / hatch->spacing);
    *first = a < hatch->first ? hatch->first : a > hatch->last ? hatch->last + 1 : (int)a;
    *last = b > hatch->last ? hatch->last : b < hatch->first ? hatch->first - 1 : (int)b;
}

/*
 * All within `reach` of the piece from (s1, t1) to (s2, t2), in along and across. On each line that
 * is one stretch, because the shape is convex: the hull of what the two round ends and the oblong
 * between them cover.
 */
static void cover_reach(struct spl_hatch *hatch, double s1, double t1, double s2, double t2,
                        double reach)
{
    int first, last;
    lines_between(hatch, MIN(t1, t2) - reach, MAX(t1, t2) + reach, &first, &last);
    if (MAX(s1, s2) + reach < hatch->along_min || MIN(s1, s2) - reach > hatch->along_max)
        return;
    double length = hypot(s2 - s1, t2 - t1);
    double a = length > 0.0 ? (s2 - s1) / length : 1.0, b = length > 0.0 ? (t2 - t1) / length : 0.0;
    for (int line = first; line <= last; line++) {
        double t = line * hatch->spacing, from = INFINITY, to = -INFINITY;
        double gap1 = t - t1, gap2 = t - t2;
        if (fabs(gap1) <= reach) {
            double half = sqrt(reach * reach - gap1 * gap1);
            from = s1 - half;
            to = s1 + half;
        }
        if (fabs(gap2) <= reach) {
            double half = sqrt(reach * reach - gap2 * gap2);
            from = MIN(from, s2 - half);
            to = MAX(to, s2 + half);
        }
        /* 0 <= (s-s1) a + gap1 b <= length and |-(s-s1) b + gap1 a| <= reach */
        double low = -INFINITY, high = INFINITY;
        if (fabs(a) > 1e-12) {
            double u = -gap1 * b / a, v = (length - gap1 * b) / a;
            low = MAX(low, MIN(u, v));
            high = MIN(high, MAX(u, v));
        } else if (gap1 * b < 0.0 || gap1 * b > length) {
            high = -INFINITY;
        }
        if (fabs(b) > 1e-12) {
            double u = (gap1 * a - reach) / b, v = (gap1 * a + reach) / b;
            low = MAX(low, MIN(u, v));
            high = MIN(high, MAX(u, v));
        } else if (fabs(gap1 * a) > reach) {
            high = -INFINITY;
        }
        if (low <= high) {
            from = MIN(from, s1 + low);
            to = MAX(to, s1 + high);
        }
        cover(hatch, line, from, to);
    }
}

static int compare_crossings(gconstpointer a, gconstpointer b)
{
    const struct crossing *one = a, *two = b;
    if (one->line != two->line)
        return one->line < two->line ? -1 : 1;
    return one->along < two->along ? -1 : one->along > two->along;
}

static void cross_edge(struct spl_hatch *hatch, double s1, double t1, double s2, double t2)
{
    if (t1 > t2) {
        double t = t1, s = s1;
        t1 = t2, s1 = s2;
        t2 = t, s2 = s;
    }
    int first, last;
    lines_between(hatch, t1, t2, &first, &last);
    for (int line = first; line <= last; line++) {
        double t = line * hatch->spacing;
        if (t >= t2 || t < t1) /* half open: a corner on a line counts once */
            continue;
        struct crossing crossing = {line, s1 + (s2 - s1) * (t - t1) / (t2 - t1)};
        g_array_append_val(hatch->crossings, crossing);
    }
}

void spl_hatch_polygon(struct spl_hatch *hatch, const double *xy, const gsize *rings, gsize n_rings,
                       double reach)
{
    g_array_set_size(hatch->crossings, 0);
    gsize start = 0;
    for (gsize r = 0; r < n_rings; r++) {
        gsize n = rings[r];
        for (gsize i = 0; i < n; i++) {
            const double *p = &xy[2 * (start + i)], *q = &xy[2 * (start + (i + 1) % n)];
            double s1 = along_of(hatch, p[0], p[1]), t1 = across_of(hatch, p[0], p[1]);
            double s2 = along_of(hatch, q[0], q[1]), t2 = across_of(hatch, q[0], q[1]);
            cross_edge(hatch, s1, t1, s2, t2);
            if (reach > 0.0)
                cover_reach(hatch, s1, t1, s2, t2, reach);
        }
        start += n;
    }
    g_array_sort(hatch->crossings, compare_crossings);
    const struct crossing *all = (const struct crossing *)(void *)hatch->crossings->data;
    for (guint i = 0; i + 1 < hatch->crossings->len; i += 2)
        cover(hatch, all[i].line, all[i].along, all[i + 1].along);
}

void spl_hatch_line(struct spl_hatch *hatch, const double *xy, gsize n, double reach)
{
    for (gsize i = 0; i + 1 < n || i == 0; i++) {
        const double *p = &xy[2 * i], *q = n > 1 ? &xy[2 * (i + 1)] : p;
        cover_reach(hatch, along_of(hatch, p[0], p[1]), across_of(hatch, p[0], p[1]),
                    along_of(hatch, q[0], q[1]), across_of(hatch, q[0], q[1]), reach);
    }
}

static int compare_stretches(gconstpointer a, gconstpointer b)
{
    const struct stretch *one = a, *two = b;
    return one->from < two->from ? -1 : one->from > two->from;
}

/* Cuts from..to along line `t` to the rectangle (each pair of sides in turn) and appends it. */
static void cut_and_append(const struct spl_hatch *hatch, double t, double from, double to,
                           GArray *strokes)
{
    double px = -hatch->uy * t, py = hatch->ux * t;
    const double dir[2] = {hatch->ux, hatch->uy}, at[2] = {px, py};
    const double low[2] = {hatch->x, hatch->y};
    const double high[2] = {hatch->x + hatch->w, hatch->y + hatch->h};
    for (int i = 0; i < 2; i++) {
        if (fabs(dir[i]) < 1e-12) {
            if (at[i] < low[i] || at[i] > high[i])
                return;
            continue;
        }
        double u = (low[i] - at[i]) / dir[i], v = (high[i] - at[i]) / dir[i];
        from = MAX(from, MIN(u, v));
        to = MIN(to, MAX(u, v));
    }
    if (to - from < 0.05)
        return;
    double stroke[4] = {px + dir[0] * from, py + dir[1] * from, px + dir[0] * to, py + dir[1] * to};
    g_array_append_vals(strokes, stroke, 4);
}

GArray *spl_hatch_strokes(struct spl_hatch *hatch)
{
    GArray *strokes = g_array_new(FALSE, FALSE, sizeof(double));
    for (int line = hatch->first; line <= hatch->last; line++) {
        GArray *stretches = hatch->lines[line - hatch->first];
        if (stretches == NULL)
            continue;
        g_array_sort(stretches, compare_stretches);
        const struct stretch *all = (const struct stretch *)(void *)stretches->data;
        double t = line * hatch->spacing, from = all[0].from, to = all[0].to;
        for (guint i = 1; i < stretches->len; i++) {
            if (all[i].from > to) {
                cut_and_append(hatch, t, from, to, strokes);
                from = all[i].from;
                to = all[i].to;
            } else {
                to = MAX(to, all[i].to);
            }
        }
        cut_and_append(hatch, t, from, to, strokes);
    }
    return strokes;
}

#define THIN 0.35
#define THICK 0.95

static void band_stroke(double x, double share, double lean, double y, double h, double low,
                        double high, GArray *strokes, GArray *widths)
{
    double width = THIN + (THICK - THIN) * share;
    double foot = x - lean / 2.0, top = x + lean / 2.0;
    if (foot < low || top > high) { /* upright where leaning would leave the band */
        foot = CLAMP(foot, low, high);
        top = CLAMP(top, low, high);
    }
    double stroke[4] = {foot, y + h, top, y};
    g_array_append_vals(strokes, stroke, 4);
    g_array_append_val(widths, width);
}

/* From the best part outwards: the gap grows, the stroke thins. */
static void band_wing(double from, double to, double lean, double y, double h, double low,
                      double high, double wide, double close, GArray *strokes, GArray *widths)
{
    double length = fabs(to - from), sign = to < from ? -1.0 : 1.0;
    for (double at = close * 1.2; at < length;) {
        double share = 1.0 - at / length;
        band_stroke(from + sign * at, share * share, lean, y, h, low, high, strokes, widths);
        at += close + (wide - close) * (1.0 - share);
    }
    if (length > close)
        band_stroke(to, 0.0, lean, y, h, low, high, strokes, widths);
}

void spl_hatch_band(double x0, double x1, double x2, double x3, double y, double h, double wide,
                    double close, GArray *strokes, GArray *widths)
{
    double lean = h * 0.45, low = x0, high = x3;
    band_wing(x1, x0, lean, y, h, low, high, wide, close, strokes, widths);
    int n = MAX(1, (int)round((x2 - x1) / close));
    for (int i = 0; i <= n; i++)
        band_stroke(x1 + (x2 - x1) * i / n, 1.0, lean, y, h, low, high, strokes, widths);
    band_wing(x2, x3, lean, y, h, low, high, wide, close, strokes, widths);
}
