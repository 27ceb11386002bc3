/* SPDX-License-Identifier: MIT
 *
 * The inside of the estate map, shared by estate_map.c (whole sheet), map_hazards.c, map_sites.c
 * and map_frame.c. Nobody else includes it.
 */
#ifndef SPL_PICTURE_ESTATE_PRIVATE_H
#define SPL_PICTURE_ESTATE_PRIVATE_H

#include "picture/estate_map.h"
#include "picture/flow.h"
#include "picture/map_labels.h"
#include "picture/projection.h"

struct spl_estate_draw {
    const struct spl_estate_map *map;
    const char *title;
    struct spl_page *page;
    struct spl_projection projection;
    double frame_x, frame_y, frame_w, frame_h; /* within the coordinate band */
    double column_w;                           /* of keys and list, beside it */
    double middle_e, middle_n;                 /* what lies in the frame's middle, m */
    double pt_per_m;
    double denominator; /* the scale is 1 : this */
    struct spl_room *room;
};

/* Where a place lies on the sheet. */
void spl_estate_xy(const struct spl_estate_draw *draw, double lat, double lon, double *x,
                   double *y);

/* Ground and zones of all hazards, hatched within the frame. */
void spl_estate_draw_hazards(struct spl_estate_draw *draw);
/* Their names, where room is left after the places. */
void spl_estate_name_hazards(struct spl_estate_draw *draw);

/* "closed to 31 m, ask to 80 m"; free with g_free. */
char *spl_estate_reach(double closed_m, double ask_m);

/* Grounds, marks and labels of the places; home. */
void spl_estate_draw_sites(struct spl_estate_draw *draw);

/* Double frame with coordinates; scale bar and north into the column at x, y: returns its height.
 */
void spl_estate_draw_frame(struct spl_estate_draw *draw);
double spl_estate_draw_scale(struct spl_estate_draw *draw, double x, double y, double w);

/* Widths of the band that carries the coordinates, pt. */
#define SPL_BAND_SIDE 46.0
#define SPL_BAND_TOP 11.0

#endif
