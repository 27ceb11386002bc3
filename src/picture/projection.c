/* SPDX-License-Identifier: MIT
 *
 * Azimuthal projection about a point of the WGS 84 ellipsoid.
 */
#include "picture/projection.h"

#include <math.h>

#define A_M 6378137.0 /* WGS 84 (NIMA TR 8350.2) */
#define F (1.0 / 298.257223563)
#define E2 (F * (2.0 - F))
#define RAD (G_PI / 180.0)

static void to_space(double lat, double lon, double *x, double *y, double *z)
{
    double s = sin(lat * RAD), c = cos(lat * RAD);
    double n = A_M / sqrt(1.0 - E2 * s * s);
    *x = n * c * cos(lon * RAD);
    *y = n * c * sin(lon * RAD);
    *z = n * (1.0 - E2) * s;
}

void spl_projection_set(struct spl_projection *projection, double lat, double lon)
{
    struct spl_projection *p = projection;
    p->lat = lat;
    p->lon = lon;
    to_space(lat, lon, &p->x0, &p->y0, &p->z0);
    p->sin_lat = sin(lat * RAD);
    p->cos_lat = cos(lat * RAD);
    p->sin_lon = sin(lon * RAD);
    p->cos_lon = cos(lon * RAD);
    double w = 1.0 - E2 * p->sin_lat * p->sin_lat;
    p->n = A_M / sqrt(w);
    p->m = A_M * (1.0 - E2) / (w * sqrt(w));
}

void spl_projection_forward(const struct spl_projection *projection, double lat, double lon,
                            double *east, double *north)
{
    const struct spl_projection *p = projection;
    double x, y, z;
    to_space(lat, lon, &x, &y, &z);
    x -= p->x0;
    y -= p->y0;
    z -= p->z0;
    double e = -p->sin_lon * x + p->cos_lon * y;
    double n = -p->sin_lat * (p->cos_lon * x + p->sin_lon * y) + p->cos_lat * z;
    double flat = hypot(e, n), chord = sqrt(x * x + y * y + z * z);
    if (chord < 1e-6) {
        *east = *north = 0.0;
        return;
    }
    /* The far side of the earth lies in every direction; let it be north. */
    double sa = flat > 1e-6 ? e / flat : 0.0, ca = flat > 1e-6 ? n / flat : 1.0;
    double local = p->m * p->n / (p->n * ca * ca + p->m * sa * sa);
    /* Far away the curvature of the middle says little: the mean radius takes over. */
    double far = MIN(1.0, chord / (2.0 * A_M));
    double radius = local + (6371008.8 - local) * far * far;
    double arc = 2.0 * radius * asin(MIN(1.0, chord / (2.0 * radius)));
    *east = arc * sa;
    *north = arc * ca;
}

gboolean spl_projection_back(const struct spl_projection *projection, double east, double north,
                             double *lat, double *lon)
{
    const struct spl_projection *p = projection;
    double try_e = east, try_n = north;
    if (hypot(east, north) > 6371008.8 * G_PI)
        return FALSE;
    /* A step on a sphere, then the target is moved by what that missed, until nothing is. */
    for (int round = 0; round < 12; round++) {
        double arc = hypot(try_e, try_n) / sqrt(p->m * p->n);
        double azimuth = atan2(try_e, try_n);
        double s = sin(arc), c = cos(arc);
        double sin_lat = p->sin_lat * c + p->cos_lat * s * cos(azimuth);
        *lat = asin(CLAMP(sin_lat, -1.0, 1.0)) / RAD;
        *lon = p->lon + atan2(sin(azimuth) * s * p->cos_lat, c - p->sin_lat * sin_lat) / RAD;
        double e, n;
        spl_projection_forward(p, *lat, *lon, &e, &n);
        if (hypot(east - e, north - n) < 0.001)
            break;
        try_e += east - e;
        try_n += north - n;
    }
    *lon = remainder(*lon, 360.0);
    return TRUE;
}

void spl_projection_middle(const double *lat_lon, gsize n, double *lat, double *lon)
{
    double x = 0.0, y = 0.0, z = 0.0;
    for (gsize i = 0; i < n; i++) {
        double phi = lat_lon[2 * i] * RAD, lambda = lat_lon[2 * i + 1] * RAD;
        x += cos(phi) * cos(lambda);
        y += cos(phi) * sin(lambda);
        z += sin(phi);
    }
    if (sqrt(x * x + y * y + z * z) < 1e-3 * (double)n) {
        *lat = lat_lon[0];
        *lon = lat_lon[1];
        return;
    }
    *lat = atan2(z, hypot(x, y)) / RAD;
    *lon = atan2(y, x) / RAD;
}
