/* SPDX-License-Identifier: MIT
 *
 * Azimuthal projection about a point of the WGS 84 ellipsoid, true in distance and direction from
 * there: the place's chord in the local east-north-up frame gives azimuth and, with Euler's radius
 * of curvature in that azimuth, the arc. Within 100 km of the middle it agrees with the geodesic to
 * better than 1e-5 of the distance, anywhere to 0.5 %. No seam at 180 degrees, none at the poles.
 */
#ifndef SPL_PICTURE_PROJECTION_H
#define SPL_PICTURE_PROJECTION_H

#include <glib.h>

struct spl_projection {
    double lat, lon; /* the middle, degrees */
    /* reckoned from it: */
    double x0, y0, z0, sin_lat, cos_lat, sin_lon, cos_lon, m, n;
};

void spl_projection_set(struct spl_projection *projection, double lat, double lon);

/* Metres east and north of the middle. */
void spl_projection_forward(const struct spl_projection *projection, double lat, double lon,
                            double *east, double *north);

/* Degrees; FALSE outside the disc of the earth. */
gboolean spl_projection_back(const struct spl_projection *projection, double east, double north,
                             double *lat, double *lon);

/* The middle of n places (lat, lon by turns): of their directions from the earth's centre; the
 * first place when these cancel out. n >= 1. */
void spl_projection_middle(const double *lat_lon, gsize n, double *lat, double *lon);

#endif
