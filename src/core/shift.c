/* SPDX-License-Identifier: MIT
 *
 * Moving dates by place. See core/shift.h.
 */
#include "core/shift.h"

#include <math.h>
#include <string.h>

/* See the header for where each is from. */
#define SPRING_STEEP_LAT 48.0
#define SPRING_STEEP_D 4.0
#define SPRING_FLAT_LAT 60.0
#define SPRING_FLAT_D 2.5
#define GROWTH_D_PER_100_M 3.4
#define AMERICA_D_EAST 0.8
#define AUTUMN_D_PER_K 2.5
#define AUTUMN_D_PER_100_M (-2.0)
#define AUTUMN_EAST_MOST 15.0

static gboolean is_part(const char *material, const char *part)
{
    const char *slash = material == NULL ? NULL : strchr(material, '/');

    return slash != NULL && strcmp(slash + 1, part) == 0;
}

enum spl_event spl_event_of(double stage, const char *material, int month)
{
    static const char *const ripe[] = {"berry", "fruit", "seed", "hip", "haw", "nut"};

    /* A root dug in the second half of the year waits for die-back, whatever its own stage. */
    if (is_part(material, "root") && month > 7)
        return SPL_EVENT_SENESCENCE;
    if (stage >= 91)
        return SPL_EVENT_SENESCENCE;
    if (stage >= 71)
        return SPL_EVENT_RIPENING;
    if (isnan(stage)) {
        for (gsize i = 0; i < G_N_ELEMENTS(ripe); i++) {
            if (is_part(material, ripe[i]))
                return SPL_EVENT_RIPENING;
        }
    }
    return SPL_EVENT_GROWTH;
}

struct spl_shift_rates spl_shift_rates_hopkins(void)
{
    return (struct spl_shift_rates){4, 0.8, 4 / 1.2192};
}

gboolean spl_shift_in_america(double lat, double lon)
{
    return lat >= 25 && lat <= 60 && lon >= -130 && lon <= -50;
}

/* The short way round, east positive. */
static double eastward(double lon0, double lon)
{
    double east = lon - lon0;

    if (east > 180)
        east -= 360;
    else if (east < -180)
        east += 360;
    return east;
}

double spl_shift_days(struct spl_shift_rates rates, double lat0, double lon0, double elevation0_m,
                      double lat, double lon, double elevation_m)
{
    return rates.lat_d * (fabs(lat) - fabs(lat0)) + rates.lon_d * eastward(lon0, lon) +
           rates.elevation_d * (elevation_m - elevation0_m) / 100;
}

double spl_shift_autumn_c(const double mean_c[12], gboolean south)
{
    return south ? (mean_c[2] + mean_c[3]) / 2 : (mean_c[8] + mean_c[9]) / 2;
}

/* The days of spring between the equator and a latitude: the integral of the rate, so that a way
 * and its return are equal. */
static double spring_days(double lat)
{
    double past = fabs(lat) - SPRING_STEEP_LAT;
    double band = SPRING_FLAT_LAT - SPRING_STEEP_LAT;
    double fall = (SPRING_STEEP_D - SPRING_FLAT_D) / band;
    double days = SPRING_STEEP_D * fabs(lat);

    if (past > 0)
        days -= fall * MIN(past, band) * MIN(past, band) / 2;
    if (past > band)
        days -= (SPRING_STEEP_D - SPRING_FLAT_D) * (past - band);
    return days;
}

/* Europe, where leaves colour later towards the Atlantic and no earlier towards the pole. */
static gboolean in_europe(const struct spl_shift_place *place)
{
    return place->lat >= 35 && place->lat <= 72 && place->lon >= -25 && place->lon <= 45;
}

static double autumn_days(const struct spl_shift_place *from, const struct spl_shift_place *to)
{
    double days = AUTUMN_D_PER_100_M * (to->elevation_m - from->elevation_m) / 100;

    if (!isnan(from->autumn_c) && !isnan(to->autumn_c))
        return AUTUMN_D_PER_K * (to->autumn_c - from->autumn_c);
    if (in_europe(from) && in_europe(to))
        return days - CLAMP(eastward(from->lon, to->lon), -AUTUMN_EAST_MOST, AUTUMN_EAST_MOST);
    return days - (fabs(to->lat) - fabs(from->lat));
}

double spl_shift_event_days(enum spl_event event, const struct spl_shift_place *from,
                            const struct spl_shift_place *to)
{
    static const struct spl_shift_rates ripening = {2.8, 0, 2.9};
    static const struct spl_shift_rates growth = {0, 0, GROWTH_D_PER_100_M};
    double days;

    if (event == SPL_EVENT_SENESCENCE)
        return autumn_days(from, to);
    if (event == SPL_EVENT_RIPENING)
        return spl_shift_days(ripening, from->lat, from->lon, from->elevation_m, to->lat, to->lon,
                              to->elevation_m);
    days = spl_shift_days(growth, from->lat, from->lon, from->elevation_m, to->lat, to->lon,
                          to->elevation_m) +
           spring_days(to->lat) - spring_days(from->lat);
    if (spl_shift_in_america(from->lat, from->lon) && spl_shift_in_america(to->lat, to->lon))
        days += AMERICA_D_EAST * eastward(from->lon, to->lon);
    return days;
}
