/* SPDX-License-Identifier: MIT
 *
 * Finding room for words on a map: rectangles that are taken, and the first free place near a
 * point.
 */
#ifndef SPL_PICTURE_MAP_LABELS_H
#define SPL_PICTURE_MAP_LABELS_H

#include <glib.h>

/* What is taken within one frame. */
struct spl_room;

/* A frame at x, y of w by h, pt. */
struct spl_room *spl_room_new(double x, double y, double w, double h);
void spl_room_free(struct spl_room *room);

void spl_room_take(struct spl_room *room, double x, double y, double w, double h);
gboolean spl_room_is_free(const struct spl_room *room, double x, double y, double w, double h);

/* Words had better not cover what a stroke shows. */
void spl_room_spare(struct spl_room *room, double x1, double y1, double x2, double y2);

/*
 * Looks for a free w by h rectangle near (px, py): first close around a mark of half size r, then
 * in rings out to `reach`. Of the free ones the first that covers nothing to be spared is taken,
 * else, unless it is to be `clear` of all that, the one that covers least of it, nearest first.
 * TRUE: it is taken, (*x, *y) is its top left corner.
 */
gboolean spl_room_find(struct spl_room *room, double px, double py, double r, double w, double h,
                       double reach, gboolean clear, double *x, double *y);

#endif
