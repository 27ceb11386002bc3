/* SPDX-License-Identifier: MIT
 *
 * Moving a date by place: latitude, longitude and elevation.
 *
 * House constants (fitted on nothing in this project; see DEVELOPERS.md): spring and summer +2.5 d
 * per degree of latitude poleward, +3.0 d per 100 m, 0.8 d per degree eastward inside temperate
 * North America only; ripening +2.8 and +2.9; senescence -2.0 d per 100 m and -1 d per degree east.
 */
#ifndef SPL_CORE_SHIFT_H
#define SPL_CORE_SHIFT_H

#include <glib.h>

enum spl_event {
    SPL_EVENT_GROWTH,    /* leaves, shoots, buds, flowers */
    SPL_EVENT_RIPENING,  /* fruit and seed: BBCH 71-89 */
    SPL_EVENT_SENESCENCE /* BBCH 91-97, roots after die-back */
};

/*
 * Which of them a stage is (BBCH, NAN: not said). Without a stage the part decides: berries, fruit,
 * seed, hips and haws ripen; a root whose day of the (northern) year is after July is after
 * die-back. `material` may be NULL. `month` is 1-12, counted as if the place were in the northern
 * hemisphere.
 */
enum spl_event spl_event_of(double stage, const char *material, int month);

/* Days per degree of latitude poleward, per degree of longitude east, per 100 m up. */
struct spl_shift_rates {
    double lat_d, lon_d, elevation_d;
};

/* The house's rates; `america`: both places lie inside temperate North America. */
struct spl_shift_rates spl_shift_rates_of(enum spl_event event, gboolean america);

/* Hopkins' bioclimatic law (1918, Mon. Wea. Rev. Suppl. 9): 4 d per degree, per 5 degrees of
 * longitude, per 400 ft. For comparison only. */
struct spl_shift_rates spl_shift_rates_hopkins(void);

/* Temperate North America: 25-60 N, 130-50 W. */
gboolean spl_shift_in_america(double lat, double lon);

/*
 * Days later (+) at the second place; latitudes count by their absolute value, longitude takes the
 * short way round. Elevations in m. All finite.
 */
double spl_shift_days(struct spl_shift_rates rates, double lat0, double lon0, double elevation0_m,
                      double lat, double lon, double elevation_m);

#endif
