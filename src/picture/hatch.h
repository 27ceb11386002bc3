/* SPDX-License-Identifier: MIT
 *
 * Hatching as lines, not as patterns: the strokes are reckoned here, so that they come out alike in
 * every format and overlapping shapes are hatched once.
 */
#ifndef SPL_PICTURE_HATCH_H
#define SPL_PICTURE_HATCH_H

#include <glib.h>

/*
 * A hatching of parallel lines across a rectangle. Shapes are laid onto it one by one; what they
 * cover in common is hatched once (the stretches of each line are joined before drawing).
 */
struct spl_hatch;

/* Lines at `angle` (radians from the x axis), `spacing` apart (> 0), through the rectangle, pt. */
struct spl_hatch *spl_hatch_new(double x, double y, double w, double h, double angle,
                                double spacing);
void spl_hatch_free(struct spl_hatch *hatch);

/*
 * Lays on a polygon (even-odd) of rings with `rings[i]` points each, x and y by turns, and all that
 * lies within `reach` (>= 0) of it.
 */
void spl_hatch_polygon(struct spl_hatch *hatch, const double *xy, const gsize *rings, gsize n_rings,
                       double reach);

/* Lays on all that lies within `reach` (> 0) of the open line through n points. */
void spl_hatch_line(struct spl_hatch *hatch, const double *xy, gsize n, double reach);

/* The strokes, four numbers each (x1 y1 x2 y2), cut to the rectangle. A GArray of double. */
GArray *spl_hatch_strokes(struct spl_hatch *hatch);

/*
 * The almanac's band from x0 to x3, its best part x1 to x2: slanted strokes of height h below y
 * whose gaps shrink from `wide` at the ends to `close` at the best part. Appends four numbers per
 * stroke and, to `widths`, one stroke width.
 */
void spl_hatch_band(double x0, double x1, double x2, double x3, double y, double h, double wide,
                    double close, GArray *strokes, GArray *widths);

#endif
