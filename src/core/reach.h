/* SPDX-License-Identifier: MIT
 *
 * How far an almanac reaches: whether its dates can be moved to a place at all.
 *
 * With the monthly normals of both places: the root mean square of their twelve differences (the
 * south turned by six months) up to 2 K and yearly ranges within 5 K fit; up to 4 K and 8 K they
 * serve with a caution; beyond, early shifts are nonsense and there is no window. A place whose
 * warmest month stays below 8 C, or whose coldest does not fall below 15 C, is outside every
 * almanac. Without normals 30 degrees of longitude
 * on the same half of the globe stand in; in the south only almanacs of an even climate serve (a
 * yearly range up to 20 K), as there is hardly any inland of middle latitudes there. Always 15
 * degrees of latitude. Engineering choices, with the sigma that climate distances use (RMS 4 K is
 * 2 to 3 standard deviations of a month).
 */
#ifndef SPL_CORE_REACH_H
#define SPL_CORE_REACH_H

#include <glib.h>

#define SPL_REACH_LAT 15.0
#define SPL_REACH_LON 30.0
#define SPL_REACH_MOVE_D 60.0 /* a row that would move farther is no window */

struct spl_reach_place {
    double lat, lon;
    const double *mean_c; /* twelve, January first; NULL: not known */
};

struct spl_reach {
    gboolean fits;
    gboolean fair;   /* serves, but with a caution */
    gboolean mirror; /* the other hemisphere's */
    double rms_k;    /* NAN without normals of both */
    double range_k;  /* the site's yearly range less the almanac's; NAN */
    double lat_d;    /* degrees of latitude towards the pole */
    double km;       /* apart on the globe; in the mirror: from where the almanac's place would be
                        on the site's half */
};

/* `site` has a place; the almanac's may be NAN, and then reaches everywhere. */
void spl_reach_of(const struct spl_reach_place *almanac, const struct spl_reach_place *site,
                  struct spl_reach *reach);

/*
 * The better (smaller) of two almanacs that fit: kilometres and climate together, 1 K of RMS
 * counting as much as 1000 km; without normals in the south, the evener climate.
 */
double spl_reach_cost(const struct spl_reach_place *almanac, const struct spl_reach *reach);

/* What widens a window so far away: days (sd). 2 d for each kelvin of RMS above 1; without normals
 * 8 d for each 1000 km beyond the first 300. */
double spl_reach_sd_d(const struct spl_reach *reach);

#endif
