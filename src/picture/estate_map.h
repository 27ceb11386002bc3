/* SPDX-License-Identifier: MIT
 *
 * The estate map: the places with clear, ask or closed written out, what grows there, contaminated
 * ground hatched with its distances, home, scale bar, north, coordinates on the frame; then a
 * gazetteer of all places, as long as it needs to be.
 *
 * Projection: azimuthal about the middle of the places, distances from there true on the ellipsoid
 * (picture/projection.h). It has no seam at the 180th meridian and none at the poles.
 */
#ifndef SPL_PICTURE_ESTATE_MAP_H
#define SPL_PICTURE_ESTATE_MAP_H

#include "picture/page.h"
#include "simpling/day.h"
#include "simpling/record/reason.h"

/* A place to gather. */
struct spl_estate_map_site {
    const char *name;
    double lat, lon; /* WGS 84, degrees */
    enum spl_verdict verdict;
    const char *reason;    /* every reason against it in words, worst first; may be NULL */
    const char *stands;    /* "nettle leaf, elder flower"; may be NULL */
    const double *outline; /* lat, lon by turns of its ground; NULL: a point */
    gsize n_outline;       /* pairs */
    double hazard_m;       /* distance to the nearest contaminated ground, m; NAN: none near */
    double hazard_lat;     /* the nearest point of it; NAN: not known */
    double hazard_lon;
};

enum spl_estate_map_shape { SPL_MAP_POINT, SPL_MAP_LINE, SPL_MAP_POLYGON };

/* Contaminated ground. */
struct spl_estate_map_hazard {
    enum spl_estate_map_shape shape;
    const char *kind;     /* "orchard, sprayed by airblast", "road": same words share a key entry */
    const char *name;     /* of this one, drawn beside it when there is room; may be NULL */
    double closed_m;      /* nobody gathers nearer than this, m, >= 0 */
    double ask_m;         /* ask up to this, m, >= closed_m */
    const double *points; /* lat, lon by turns, WGS 84, degrees; all rings one after the other */
    gsize n_points;       /* pairs, in all rings */
    const gsize *rings;   /* pairs in each ring or part; NULL: all in one */
    gsize n_rings;
};

struct spl_estate_map {
    const char *title;         /* "The gathering grounds" */
    const char *subtitle;      /* may be NULL */
    struct spl_day today;      /* for which day the verdicts hold; unset: not said */
    double home_lat, home_lon; /* NAN: no home known */
    const char *home_name;     /* NULL: "home" */
    const struct spl_estate_map_site *sites;
    gsize n_sites;
    const struct spl_estate_map_hazard *hazards;
    gsize n_hazards;
    const char *const *notes; /* for the foot ("layer incomplete …") */
    gsize n_notes;
};

/* SPL_ERROR_INVALID: a coordinate out of range, naming the place. */
GBytes *spl_estate_map_draw(const struct spl_estate_map *map,
                            const struct spl_page_options *options, struct spl_page_report *report,
                            GError **error);

/* Where the places lie on its first page, as shares of the page's width and height: the same map
 * laid out and not drawn. Of places alone `name`, position and outline count. SPL_ERROR_INVALID as
 * above. */
gboolean spl_estate_map_spots(const struct spl_estate_map *map,
                              const struct spl_page_options *options,
                              void (*each)(const struct spl_estate_map_site *site, double x,
                                           double y, gpointer data),
                              gpointer data, GError **error);

#endif
