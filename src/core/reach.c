/* SPDX-License-Identifier: MIT
 *
 * How far an almanac reaches. See core/reach.h.
 */
#include "core/reach.h"

#include <math.h>

#include "core/geodesic.h"

#define GOOD_RMS_K 2.0
#define MOST_RMS_K 4.0
#define GOOD_RANGE_K 5.0
#define MOST_RANGE_K 8.0
#define WARMEST_C 8.0  /* the warmest month must be above */
#define COLDEST_C 15.0 /* the coldest one below */
#define EVEN_RANGE_K 20.0
#define SD_PER_K 2.0
#define SD_PER_1000_KM 8.0
#define HOME_KM 300.0

static double range_of(const double mean_c[12])
{
    double coldest = INFINITY, warmest = -INFINITY;

    for (int m = 0; m < 12; m++) {
        coldest = MIN(coldest, mean_c[m]);
        warmest = MAX(warmest, mean_c[m]);
    }
    return warmest - coldest;
}

/* Hardly a frost-free month, or no winter at all. */
static gboolean outside_all(const double mean_c[12])
{
    double coldest = INFINITY, warmest = -INFINITY;

    for (int m = 0; m < 12; m++) {
        coldest = MIN(coldest, mean_c[m]);
        warmest = MAX(warmest, mean_c[m]);
    }
    return warmest <= WARMEST_C || coldest >= COLDEST_C;
}

static void compare_climates(const struct spl_reach_place *almanac,
                             const struct spl_reach_place *site, struct spl_reach *reach)
{
    double squares = 0;

    for (int m = 0; m < 12; m++) {
        double off = site->mean_c[m] - almanac->mean_c[reach->mirror ? (m + 6) % 12 : m];

        squares += off * off / 12;
    }
    reach->rms_k = sqrt(squares);
    reach->range_k = range_of(site->mean_c) - range_of(almanac->mean_c);
    reach->fits = reach->fits && reach->rms_k <= MOST_RMS_K && fabs(reach->range_k) <= MOST_RANGE_K;
    reach->fair = reach->fair || reach->rms_k > GOOD_RMS_K || fabs(reach->range_k) > GOOD_RANGE_K;
}

static double degrees_east(double lon0, double lon)
{
    double apart = fabs(lon - lon0);

    return apart > 180 ? 360 - apart : apart;
}

void spl_reach_of(const struct spl_reach_place *almanac, const struct spl_reach_place *site,
                  struct spl_reach *reach)
{
    struct spl_position from, to = {.lat = site->lat, .lon = site->lon};

    *reach = (struct spl_reach){.fits = TRUE, .rms_k = NAN, .range_k = NAN};
    if (isnan(almanac->lat) || isnan(almanac->lon))
        return;
    reach->mirror = (almanac->lat < 0) != (site->lat < 0);
    reach->fair = reach->mirror;
    reach->lat_d = fabs(site->lat) - fabs(almanac->lat);
    from = (struct spl_position){.lat = reach->mirror ? -almanac->lat : almanac->lat,
                                 .lon = reach->mirror ? site->lon : almanac->lon};
    reach->km = spl_geodesic_inverse(from, to, NULL, NULL) / 1000;
    reach->fits = fabs(reach->lat_d) <= SPL_REACH_LAT;
    if (site->mean_c != NULL && outside_all(site->mean_c))
        reach->fits = FALSE;
    if (site->mean_c != NULL && almanac->mean_c != NULL)
        compare_climates(almanac, site, reach);
    else if (reach->mirror)
        reach->fits =
            reach->fits && almanac->mean_c != NULL && range_of(almanac->mean_c) <= EVEN_RANGE_K;
    else
        reach->fits = reach->fits && degrees_east(almanac->lon, site->lon) <= SPL_REACH_LON;
}

double spl_reach_cost(const struct spl_reach_place *almanac, const struct spl_reach *reach)
{
    if (!isnan(reach->rms_k))
        return reach->km / 1000 + reach->rms_k;
    if (reach->mirror && almanac->mean_c != NULL)
        return reach->km / 1000 + range_of(almanac->mean_c) / 5;
    return reach->km / 1000;
}

double spl_reach_sd_d(const struct spl_reach *reach)
{
    if (!isnan(reach->rms_k))
        return SD_PER_K * MAX(reach->rms_k - 1, 0);
    return SD_PER_1000_KM * MAX(reach->km - HOME_KM, 0) / 1000;
}
