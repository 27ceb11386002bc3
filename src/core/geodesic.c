/* SPDX-License-Identifier: MIT
 *
 * Geodesics on WGS 84 after C. F. F. Karney (2013), doi 10.1007/s00190-012-0578-z; equation numbers
 * are those of that paper. The inverse problem is solved by Newton's method on the azimuth at the
 * first end, kept inside a bracket, so it also ends for nearly opposite places.
 *
 * Within 20 km of the centre the plane uses the mid-latitude formula with its third-order terms
 * (W. Torge, Geodesy, 6.3: Gauss), which is ten times as fast and there within 0.1 mm of it.
 */
#include "core/geodesic.h"

#include <math.h>

#define EARTH_A 6378137.0
#define EARTH_F (1 / 298.257223563)
#define EARTH_B (EARTH_A * (1 - EARTH_F))
#define EARTH_N (EARTH_F / (2 - EARTH_F))     /* third flattening */
#define EARTH_E2 (EARTH_F * (2 - EARTH_F))    /* eccentricity squared */
#define EARTH_EP2 (EARTH_E2 / (1 - EARTH_E2)) /* second eccentricity squared */
#define RAD (G_PI / 180)

/* The first digits of a difference of longitudes, brought to -180..180. */
static double lon_difference(double from, double to)
{
    return remainder(to - from, 360);
}

/* Clenshaw's sum of c[k] sin(2 k sigma), k = 1..n. */
static double sine_sum(const double *c, int n, double sin_s, double cos_s)
{
    double twice = 2 * (cos_s - sin_s) * (cos_s + sin_s), b1 = 0, b2 = 0;

    for (int k = n; k >= 1; k--) {
        double b0 = twice * b1 - b2 + c[k];

        b2 = b1;
        b1 = b0;
    }
    return 2 * sin_s * cos_s * b1;
}

/* (17), (18) and (42), (43): distance and reduced length along the auxiliary sphere. */
static double a1_series(double e, double c[7])
{
    double e2 = e * e;

    c[1] = e * ((6 - e2) * e2 - 16) / 32;
    c[2] = e2 * ((64 - 9 * e2) * e2 - 128) / 2048;
    c[3] = e * e2 * (9 * e2 - 16) / 768;
    c[4] = e2 * e2 * (3 * e2 - 5) / 512;
    c[5] = -7 * e * e2 * e2 / 1280;
    c[6] = -7 * e2 * e2 * e2 / 2048;
    return (e2 * (e2 * (e2 + 4) + 64) / 256 + 1) / (1 - e);
}

static double a2_series(double e, double c[7])
{
    double e2 = e * e;

    c[1] = e * (e2 * (e2 + 2) + 16) / 32;
    c[2] = e2 * (e2 * (35 * e2 + 64) + 384) / 2048;
    c[3] = e * e2 * (15 * e2 + 80) / 768;
    c[4] = e2 * e2 * (7 * e2 + 35) / 512;
    c[5] = 63 * e * e2 * e2 / 1280;
    c[6] = 77 * e2 * e2 * e2 / 2048;
    return (e2 * (e2 * (25 * e2 + 36) + 64) / 256 + 1) * (1 - e);
}

/* (21): the inverse of the first, sigma from distance. */
static void a1_inverse_series(double e, double c[7])
{
    double e2 = e * e;

    c[1] = e * (e2 * (205 * e2 - 432) + 768) / 1536;
    c[2] = e2 * (e2 * (4005 * e2 - 4736) + 3840) / 12288;
    c[3] = e * e2 * (116 - 225 * e2) / 384;
    c[4] = e2 * e2 * (2695 - 7173 * e2) / 7680;
    c[5] = 3467 * e * e2 * e2 / 7680;
    c[6] = 38081 * e2 * e2 * e2 / 61440;
}

/* (24), (25): longitude. */
static double a3_series(double e, double c[6])
{
    const double n = EARTH_N, n2 = n * n;
    double e2 = e * e, e3 = e * e2, e4 = e2 * e2, e5 = e2 * e3;

    c[1] = (1 - n) / 4 * e + (1 - n2) / 8 * e2 + (3 + 3 * n - n2) / 64 * e3 +
           (5 + 2 * n + 0 * n2) / 128 * e4 + 3 * e5 / 128;
    c[2] = (2 - 3 * n + n2) / 32 * e2 + (3 - 2 * n - 3 * n2) / 64 * e3 + (3 + n) / 128 * e4 +
           5 * e5 / 256;
    c[3] = (5 - 9 * n + 5 * n2) / 192 * e3 + (9 - 10 * n) / 384 * e4 + 7 * e5 / 512;
    c[4] = (7 - 14 * n) / 512 * e4 + 7 * e5 / 512;
    c[5] = 21 * e5 / 2560;
    return 1 - (1 - n) / 2 * e - (2 + n - 3 * n2) / 8 * e2 - (1 + 3 * n + n2) / 16 * e3 -
           (3 + 2 * n) / 64 * e4 - 3 * e5 / 128;
}

static double small_eps(double k2)
{
    return k2 / (2 * (1 + sqrt(1 + k2)) + k2); /* (16) */
}

static void unit(double *s, double *c)
{
    double h = hypot(*s, *c);

    *s /= h;
    *c /= h;
}

/* The reduced latitude's sine and cosine; a pole is kept just off the axis. */
static void reduce(double lat, double *sin_b, double *cos_b)
{
    *sin_b = (1 - EARTH_F) * sin(lat * RAD);
    *cos_b = fabs(lat) >= 90 ? 0 : cos(lat * RAD);
    unit(sin_b, cos_b);
    *cos_b = fmax(*cos_b, 1e-160);
}

/* What one azimuth at the first end leads to at the second. */
struct arc {
    double sin_alp2, cos_alp2;
    double sin_s1, cos_s1, sin_s2, cos_s2, sigma12;
    double eps;
    double lambda12, slope; /* longitude and its derivative by the azimuth */
};

/* (8)-(12), (45), (46) with the latitudes so turned that beta1 <= 0, beta1 <= beta2 <= -beta1. */
static struct arc follow(double sin_b1, double cos_b1, double sin_b2, double cos_b2,
                         double sin_alp1, double cos_alp1)
{
    struct arc arc;
    double sin_alp0, cos_alp0, somg1, comg1, somg2, comg2, omega12, k2, c1[7], c2[7], c3[6], a1, a2,
        a3, b3, m12b;

    if (sin_b1 == 0 && cos_alp1 == 0)
        cos_alp1 = -1e-160; /* the equator is left southward */
    sin_alp0 = sin_alp1 * cos_b1;
    cos_alp0 = hypot(cos_alp1, sin_alp1 * sin_b1);
    arc.sin_s1 = sin_b1;
    somg1 = sin_alp0 * sin_b1;
    arc.cos_s1 = comg1 = cos_alp1 * cos_b1;
    unit(&arc.sin_s1, &arc.cos_s1);
    arc.sin_alp2 = cos_b2 != cos_b1 ? sin_alp0 / cos_b2 : sin_alp1;
    arc.cos_alp2 = cos_b2 != cos_b1 || fabs(sin_b2) != -sin_b1
                       ? sqrt((cos_alp1 * cos_b1) * (cos_alp1 * cos_b1) +
                              (cos_b1 < -sin_b1 ? (cos_b2 - cos_b1) * (cos_b1 + cos_b2)
                                                : (sin_b1 - sin_b2) * (sin_b1 + sin_b2))) /
                             cos_b2
                       : fabs(cos_alp1);
    arc.sin_s2 = sin_b2;
    somg2 = sin_alp0 * sin_b2;
    arc.cos_s2 = comg2 = arc.cos_alp2 * cos_b2;
    unit(&arc.sin_s2, &arc.cos_s2);
    arc.sigma12 = atan2(fmax(0, arc.cos_s1 * arc.sin_s2 - arc.sin_s1 * arc.cos_s2),
                        arc.cos_s1 * arc.cos_s2 + arc.sin_s1 * arc.sin_s2);
    omega12 = atan2(fmax(0, comg1 * somg2 - somg1 * comg2), comg1 * comg2 + somg1 * somg2);
    k2 = cos_alp0 * cos_alp0 * EARTH_EP2;
    arc.eps = small_eps(k2);
    a3 = a3_series(arc.eps, c3);
    b3 = sine_sum(c3, 5, arc.sin_s2, arc.cos_s2) - sine_sum(c3, 5, arc.sin_s1, arc.cos_s1);
    arc.lambda12 = omega12 - EARTH_F * sin_alp0 * a3 * (arc.sigma12 + b3);
    a1 = a1_series(arc.eps, c1);
    a2 = a2_series(arc.eps, c2);
    /* m12 / b, (38)-(40) */
    m12b = sqrt(1 + k2 * arc.sin_s2 * arc.sin_s2) * (arc.cos_s1 * arc.sin_s2) -
           sqrt(1 + k2 * arc.sin_s1 * arc.sin_s1) * (arc.sin_s1 * arc.cos_s2) -
           arc.cos_s1 * arc.cos_s2 *
               ((a1 - a2) * arc.sigma12 +
                a1 * (sine_sum(c1, 6, arc.sin_s2, arc.cos_s2) -
                      sine_sum(c1, 6, arc.sin_s1, arc.cos_s1)) -
                a2 * (sine_sum(c2, 6, arc.sin_s2, arc.cos_s2) -
                      sine_sum(c2, 6, arc.sin_s1, arc.cos_s1)));
    arc.slope = arc.cos_alp2 == 0 ? -2 * sqrt(1 - EARTH_E2 * cos_b1 * cos_b1) / sin_b1
                                  : (1 - EARTH_F) * m12b / (arc.cos_alp2 * cos_b2);
    return arc;
}

static double arc_metres(const struct arc *arc)
{
    double c1[7];
    double a1 = a1_series(arc->eps, c1);

    return EARTH_B * a1 *
           (arc->sigma12 + sine_sum(c1, 6, arc->sin_s2, arc->cos_s2) -
            sine_sum(c1, 6, arc->sin_s1, arc->cos_s1));
}

double spl_geodesic_inverse(struct spl_position from, struct spl_position to, double *azimuth_from,
                            double *azimuth_to)
{
    double lon12 = lon_difference(from.lon, to.lon), lat1 = from.lat, lat2 = to.lat;
    double lon_sign = lon12 < 0 ? -1 : 1, lat_sign, swap = 1;
    double sin_b1, cos_b1, sin_b2, cos_b2, lam12, sin_alp1, cos_alp1, sin_alp2, cos_alp2, s12;
    gboolean meridian;

    if (!isfinite(lon12) || !(fabs(lat1) <= 90) || !(fabs(lat2) <= 90)) {
        if (azimuth_from != NULL)
            *azimuth_from = NAN;
        if (azimuth_to != NULL)
            *azimuth_to = NAN;
        return NAN;
    }
    lon12 = fabs(lon12);
    if (fabs(lat1) < fabs(lat2)) {
        double other = lat1;

        swap = -1;
        lon_sign = -lon_sign;
        lat1 = lat2;
        lat2 = other;
    }
    lat_sign = lat1 < 0 ? 1 : -1;
    lat1 *= lat_sign;
    lat2 *= lat_sign;
    reduce(lat1, &sin_b1, &cos_b1);
    reduce(lat2, &sin_b2, &cos_b2);
    if (cos_b1 == cos_b2) /* the same circle of latitude, whatever the last digit */
        sin_b2 = sin_b2 < 0 ? sin_b1 : -sin_b1;
    lam12 = lon12 * RAD;

    meridian = lat1 <= -90 || lon12 == 0 || lon12 == 180;
    if (meridian) {
        double s1, c1m, s2, c2m, sigma12, c1[7], a1,
            e = EARTH_EP2 / (2 * (1 + sqrt(1 + EARTH_EP2)) + EARTH_EP2);

        cos_alp1 = cos(lam12);
        sin_alp1 = lon12 == 180 ? 0 : sin(lam12);
        if (lon12 == 180)
            cos_alp1 = -1;
        cos_alp2 = 1;
        sin_alp2 = 0;
        s1 = sin_b1;
        c1m = cos_alp1 * cos_b1;
        s2 = sin_b2;
        c2m = cos_alp2 * cos_b2;
        unit(&s1, &c1m);
        unit(&s2, &c2m);
        sigma12 = atan2(fmax(0, c1m * s2 - s1 * c2m), c1m * c2m + s1 * s2);
        a1 = a1_series(e, c1);
        s12 = EARTH_B * a1 * (sigma12 + sine_sum(c1, 6, s2, c2m) - sine_sum(c1, 6, s1, c1m));
    }
    if (!meridian && sin_b1 == 0 && lam12 <= (1 - EARTH_F) * G_PI) {
        /* along the equator */
        cos_alp1 = cos_alp2 = 0;
        sin_alp1 = sin_alp2 = 1;
        s12 = EARTH_A * lam12;
    } else if (!meridian) {
        /* Newton on alpha1 within a bracket, begun with the direction on a sphere. */
        double low = 0, high = G_PI, alp1, omega = lam12 / sqrt(1 - EARTH_E2 * cos_b1 * cos_b1);
        struct arc arc = {0};

        omega = fmin(omega, G_PI);
        alp1 = atan2(cos_b2 * sin(omega), cos_b1 * sin_b2 - sin_b1 * cos_b2 * cos(omega));
        if (!(alp1 > 0 && alp1 < G_PI))
            alp1 = G_PI / 2;
        for (int i = 0; i < 100; i++) {
            double off, step;

            arc = follow(sin_b1, cos_b1, sin_b2, cos_b2, sin(alp1), cos(alp1));
            off = arc.lambda12 - lam12;
            if (off > 0)
                high = alp1;
            else
                low = alp1;
            step = arc.slope > 0 ? -off / arc.slope : NAN;
            if (fabs(step) < 1e-16 || off == 0)
                break;
            if (alp1 + step > low && alp1 + step < high)
                alp1 += step;
            else {
                double middle = (low + high) / 2;

                if (middle == alp1 || !(middle > low && middle < high))
                    break;
                alp1 = middle;
            }
        }
        arc = follow(sin_b1, cos_b1, sin_b2, cos_b2, sin(alp1), cos(alp1));
        sin_alp1 = sin(alp1);
        cos_alp1 = cos(alp1);
        sin_alp2 = arc.sin_alp2;
        cos_alp2 = arc.cos_alp2;
        s12 = arc_metres(&arc);
    }
    if (swap < 0) {
        double s = sin_alp1, c = cos_alp1;

        sin_alp1 = sin_alp2;
        cos_alp1 = cos_alp2;
        sin_alp2 = s;
        cos_alp2 = c;
    }
    if (azimuth_from != NULL)
        *azimuth_from = atan2(sin_alp1 * swap * lon_sign, cos_alp1 * swap * lat_sign) / RAD;
    if (azimuth_to != NULL)
        *azimuth_to = atan2(sin_alp2 * swap * lon_sign, cos_alp2 * swap * lat_sign) / RAD;
    return s12;
}

struct spl_position spl_geodesic_direct(struct spl_position from, double azimuth, double metres)
{
    double sin_b1, cos_b1, sin_alp1 = sin(azimuth * RAD), cos_alp1 = cos(azimuth * RAD), sin_alp0,
                           cos_alp0;
    double sin_s1, cos_s1, sin_w1, cos_w1, k2, e, c1[7], c1i[7], c3[6], a1, a3, b11, tau1, tau2,
        sigma2;
    double sin_s2, cos_s2, sin_b2, cos_b2, sigma12, lambda12, w1, w2;

    reduce(from.lat, &sin_b1, &cos_b1);
    sin_alp0 = sin_alp1 * cos_b1;
    cos_alp0 = hypot(cos_alp1, sin_alp1 * sin_b1);
    sin_s1 = sin_b1;
    sin_w1 = sin_alp0 * sin_b1;
    cos_s1 = cos_w1 = sin_b1 != 0 || cos_alp1 != 0 ? cos_b1 * cos_alp1 : 1;
    unit(&sin_s1, &cos_s1);
    k2 = cos_alp0 * cos_alp0 * EARTH_EP2;
    e = small_eps(k2);
    a1 = a1_series(e, c1);
    a1_inverse_series(e, c1i);
    a3 = a3_series(e, c3);
    b11 = sine_sum(c1, 6, sin_s1, cos_s1);
    /* tau = sigma + B1(sigma), (20) */
    tau1 = atan2(sin_s1, cos_s1) + b11;
    tau2 = tau1 + metres / (EARTH_B * a1);
    sigma2 = tau2 + sine_sum(c1i, 6, sin(tau2), cos(tau2));
    sin_s2 = sin(sigma2);
    cos_s2 = cos(sigma2);
    sigma12 = sigma2 - atan2(sin_s1, cos_s1);
    sin_b2 = cos_alp0 * sin_s2;
    cos_b2 = hypot(sin_alp0, cos_alp0 * cos_s2);
    w1 = atan2(sin_w1, cos_w1);
    w2 = atan2(sin_alp0 * sin_s2, cos_s2);
    /* whole turns of the arc stay in the longitude */
    w2 += 2 * G_PI * round((sigma2 - w2) / (2 * G_PI));
    lambda12 = w2 - w1 -
               EARTH_F * sin_alp0 * a3 *
                   (sigma12 + sine_sum(c3, 5, sin_s2, cos_s2) - sine_sum(c3, 5, sin_s1, cos_s1));
    return (struct spl_position){.lon = remainder(from.lon + lambda12 / RAD, 360),
                                 .lat = atan2(sin_b2, (1 - EARTH_F) * cos_b2) / RAD};
}

/* ---- the plane ---- */

#define NEAR_RAD 0.0032  /* 20 km: the mid-latitude formula */
#define NEAR_COS_LAT 0.1 /* and not within 6 degrees of a pole */

void spl_plane_init(struct spl_plane *plane, struct spl_position centre)
{
    plane->centre = centre;
    plane->sin_lat = sin(centre.lat * RAD);
    plane->cos_lat = cos(centre.lat * RAD);
}

struct spl_xy spl_plane_project(const struct spl_plane *plane, struct spl_position position)
{
    double dlat = (position.lat - plane->centre.lat) * RAD;
    double dlon = position.lon - plane->centre.lon, azimuth, s;

    if (fabs(dlon) > 180)
        dlon = lon_difference(plane->centre.lon, position.lon);
    dlon *= RAD;
    if (fabs(dlat) < NEAR_RAD && fabs(dlon) * plane->cos_lat < NEAR_RAD &&
        plane->cos_lat > NEAR_COS_LAT) {
        /* Gauss's mid-latitude formula: S sin A and S cos A in the middle of the line, turned back
         * by half the convergence of the meridians. */
        double h = dlat / 2, h2 = h * h;
        double sin_h = h * (1 - h2 / 6), cos_h = 1 - h2 / 2 + h2 * h2 / 24;
        double sin_m = plane->sin_lat * cos_h + plane->cos_lat * sin_h;
        double cos_m = plane->cos_lat * cos_h - plane->sin_lat * sin_h;
        double dlat2 = dlat * dlat, dlon2 = dlon * dlon, sin2 = sin_m * sin_m, cos2 = cos_m * cos_m;
        double w2 = 1 - EARTH_E2 * sin2, n = EARTH_A / sqrt(w2), eta2 = EARTH_EP2 * cos2;
        double v2 = 1 + eta2;
        double east =
            n * dlon * cos_m *
            (1 - dlon2 * sin2 / 24 + dlat2 * (1 + eta2 - 9 * EARTH_EP2 * sin2) / (24 * v2 * v2));
        double north = n / v2 * dlat * (1 - dlon2 / 8 + dlon2 * dlon2 / 384) *
                       (1 + dlon2 * cos2 * (1 - 2 * eta2) / 24 +
                        dlat2 * (eta2 - EARTH_EP2 * sin2) / (8 * v2 * v2));
        double turn = dlon * sin_m / 2 * (1 + dlat2 / 8 + dlon2 * cos2 / 12), turn2 = turn * turn;
        double sin_t = turn * (1 - turn2 / 6 + turn2 * turn2 / 120);
        double cos_t = 1 - turn2 / 2 + turn2 * turn2 / 24;

        return (struct spl_xy){east * cos_t - north * sin_t, north * cos_t + east * sin_t};
    }
    s = spl_geodesic_inverse(plane->centre, position, &azimuth, NULL);
    return (struct spl_xy){s * sin(azimuth * RAD), s * cos(azimuth * RAD)};
}

struct spl_position spl_plane_unproject(const struct spl_plane *plane, struct spl_xy xy)
{
    return spl_geodesic_direct(plane->centre, atan2(xy.x, xy.y) / RAD, hypot(xy.x, xy.y));
}
