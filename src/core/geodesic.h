/* SPDX-License-Identifier: MIT
 *
 * Distances on the WGS 84 ellipsoid (a = 6378137 m, f = 1/298.257223563): between two places, and
 * from a site to a piece of ground.
 *
 * The inverse and direct problems follow C. F. F. Karney, Algorithms for geodesics, Journal of
 * Geodesy 87 (2013) 43-55, with its series to the sixth order. Distances between shapes are taken
 * in the azimuthal equidistant plane about the site; with edges of at most 1 km that is within a
 * millimetre at 5 km.
 */
#ifndef SPL_CORE_GEODESIC_H
#define SPL_CORE_GEODESIC_H

#include <glib.h>

#include "core/geometry.h"

/*
 * Metres from `from` to `to` along the shortest line, within 0.1 micrometres. The azimuths at both
 * ends (degrees clockwise from north, -180..180) when their targets are not NULL. NAN in, NAN out.
 */
double spl_geodesic_inverse(struct spl_position from, struct spl_position to, double *azimuth_from,
                            double *azimuth_to);

/* The place `metres` away in the direction `azimuth` (degrees). */
struct spl_position spl_geodesic_direct(struct spl_position from, double azimuth, double metres);

/* ---- the plane about a place ---- */

struct spl_xy {
    double x, y; /* metres east and north of the centre */
};

struct spl_plane {
    struct spl_position centre;
    double sin_lat, cos_lat; /* of the centre */
};

void spl_plane_init(struct spl_plane *plane, struct spl_position centre);

/* Distance and direction from the centre are those of the geodesic: exact to 1 mm, at any range. */
struct spl_xy spl_plane_project(const struct spl_plane *plane, struct spl_position position);
struct spl_position spl_plane_unproject(const struct spl_plane *plane, struct spl_xy xy);

/* ---- from a site to ground ---- */

/* What repeated distances from one site need; make one for each site. */
typedef struct spl_ranger spl_ranger;

/* `site` must pass spl_geometry_check; it is not kept. Free with spl_ranger_free. */
struct spl_ranger *spl_ranger_new(const struct spl_geometry *site);
void spl_ranger_free(struct spl_ranger *ranger);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_ranger, spl_ranger_free)

/* Makes an existing ranger one about another point. */
void spl_ranger_set_point(struct spl_ranger *ranger, struct spl_position point);

/*
 * Metres between the site and the nearest place of `ground`; 0 where they share ground (a hole is
 * not ground). Within 1 cm at 5 km.
 */
double spl_ranger_distance_m(struct spl_ranger *ranger, const struct spl_geometry *ground);

/* The same for a single pair. */
double spl_geometry_distance_m(const struct spl_geometry *site, const struct spl_geometry *ground);

/* The circle of `radius_m` about a place as a polygon around it (never smaller than the circle). */
struct spl_geometry *spl_geometry_circle(struct spl_position centre, double radius_m);

#endif
