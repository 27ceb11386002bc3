/* SPDX-License-Identifier: MIT
 *
 * Sun times. See core/sun.h.
 */
#include "core/sun.h"

#include <math.h>

#define DAY_MIN 1440.0
#define HORIZON_DEG (-0.833) /* half the sun's disc and the usual refraction */
#define J2000_N 10957.5      /* 2000-01-01 12h in days since 1970-01-01 */

static double radians(double degrees)
{
    return degrees * G_PI / 180;
}

static double degrees(double radians)
{
    return radians * 180 / G_PI;
}

/* Meeus, Astronomical Algorithms, ch. 25 (low accuracy) and 28 (Smart's equation of time). */
void spl_sun_position(struct spl_day day, double minutes, double *longitude_deg,
                      double *declination_deg, double *equation_min)
{
    double t = (day.n + minutes / DAY_MIN - J2000_N) / 36525;
    double mean_longitude = fmod(280.46646 + t * (36000.76983 + t * 0.0003032), 360);
    double anomaly = radians(357.52911 + t * (35999.05029 - 0.0001537 * t));
    double eccentricity = 0.016708634 - t * (0.000042037 + 0.0000001267 * t);
    double centre = sin(anomaly) * (1.914602 - t * (0.004817 + 0.000014 * t)) +
                    sin(2 * anomaly) * (0.019993 - 0.000101 * t) + sin(3 * anomaly) * 0.000289;
    double node = radians(125.04 - 1934.136 * t);
    double apparent = mean_longitude + centre - 0.00569 - 0.00478 * sin(node);
    double obliquity =
        radians(23 + (26 + (21.448 - t * (46.815 + t * (0.00059 - t * 0.001813))) / 60) / 60 +
                0.00256 * cos(node));
    double y = tan(obliquity / 2) * tan(obliquity / 2), l2 = 2 * radians(mean_longitude);

    apparent = fmod(apparent, 360);
    if (apparent < 0)
        apparent += 360;
    if (longitude_deg != NULL)
        *longitude_deg = apparent;
    if (declination_deg != NULL)
        *declination_deg = degrees(asin(sin(obliquity) * sin(radians(apparent))));
    if (equation_min != NULL)
        *equation_min =
            4 * degrees(y * sin(l2) - 2 * eccentricity * sin(anomaly) +
                        4 * eccentricity * y * sin(anomaly) * cos(l2) - 0.5 * y * y * sin(2 * l2) -
                        1.25 * eccentricity * eccentricity * sin(2 * anomaly));
}

/*
 * Rise (side -1) or set (+1), with the sun's position taken at the event itself. FALSE when the sun
 * does not cross the horizon there.
 */
static gboolean crossing(struct spl_day day, double lat, double lon, int side, double noon,
                         double *minutes, enum spl_sun_state *state)
{
    double at = noon;

    for (int pass = 0; pass < 5; pass++) {
        double declination, equation, cosine, below;

        spl_sun_position(day, at, NULL, &declination, &equation);
        below = sin(radians(HORIZON_DEG)) - sin(radians(lat)) * sin(radians(declination));
        cosine = cos(radians(lat)) * cos(radians(declination));
        /* At the poles cosine is 0 and the sign of `below` alone decides. */
        if (fabs(below) >= fabs(cosine)) {
            *state = below > 0 ? SPL_SUN_NEVER_RISES : SPL_SUN_NEVER_SETS;
            return FALSE;
        }
        at = DAY_MIN / 2 - 4 * lon - equation + side * 4 * degrees(acos(below / cosine));
    }
    *minutes = at;
    return TRUE;
}

struct spl_sun spl_sun_times(struct spl_day day, double lat, double lon)
{
    struct spl_sun sun = {SPL_SUN_RISES, NAN, NAN, DAY_MIN / 2 - 4 * lon};

    for (int pass = 0; pass < 3; pass++) {
        double equation;

        spl_sun_position(day, sun.noon_min, NULL, NULL, &equation);
        sun.noon_min = DAY_MIN / 2 - 4 * lon - equation;
    }
    if (!crossing(day, lat, lon, -1, sun.noon_min, &sun.sunrise_min, &sun.state) ||
        !crossing(day, lat, lon, 1, sun.noon_min, &sun.sunset_min, &sun.state))
        sun.sunrise_min = sun.sunset_min = NAN;
    return sun;
}

gboolean spl_sun_picking(struct spl_day day, double lat, double lon, double dew_hours,
                         gboolean flowers, double *from_min, double *until_min)
{
    struct spl_sun sun = spl_sun_times(day, lat, lon);

    if (sun.state != SPL_SUN_RISES)
        return FALSE;
    *from_min = sun.sunrise_min + dew_hours * 60;
    *until_min = flowers ? MIN(sun.noon_min + 60, sun.sunset_min) : sun.sunset_min;
    return *from_min < *until_min;
}
