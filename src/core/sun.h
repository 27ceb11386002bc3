/* SPDX-License-Identifier: MIT
 *
 * Sunrise, sunset and solar noon, by the low-accuracy formulas of Meeus, Astronomical Algorithms,
 * ch. 25 and 28, as used by the NOAA solar calculator. Within seconds of an ephemeris to 60
 * degrees; real refraction varies by a minute and more.
 */
#ifndef SPL_CORE_SUN_H
#define SPL_CORE_SUN_H

#include <glib.h>

#include "simpling/day.h"

enum spl_sun_state {
    SPL_SUN_RISES,
    SPL_SUN_NEVER_SETS, /* polar day: no sunrise and sunset */
    SPL_SUN_NEVER_RISES /* polar night */
};

/*
 * Minutes after 0h UTC of the date that the place itself writes (by its longitude), so that they
 * may be negative or above 1440 far from Greenwich.
 */
struct spl_sun {
    enum spl_sun_state state;
    double sunrise_min, sunset_min; /* NAN unless it rises */
    double noon_min;
};

/* `lat` -90..90, `lon` -180..180 degrees, east positive. The upper limb, at -0.833 degrees. */
struct spl_sun spl_sun_times(struct spl_day day, double lat, double lon);

/* Apparent longitude and declination of the sun in degrees, equation of time in minutes (apparent -
 * mean), at `minutes` after 0h UTC of `day`. Targets may be NULL. */
void spl_sun_position(struct spl_day day, double minutes, double *longitude_deg,
                      double *declination_deg, double *equation_min);

/*
 * The hours for picking on a day, in minutes after 0h UTC: from `dew_hours` after sunrise ("after
 * the dew is off": WHO GACP 2003 says to avoid dew; 3 hours is an engineering choice), flowers
 * until an hour after solar noon, all else until sunset. FALSE: no sunrise on that day, or no hours
 * left.
 */
gboolean spl_sun_picking(struct spl_day day, double lat, double lon, double dew_hours,
                         gboolean flowers, double *from_min, double *until_min);

#endif
