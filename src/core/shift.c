/* SPDX-License-Identifier: MIT
 *
 * Moving dates by place. See core/shift.h.
 */
#include "core/shift.h"

#include <math.h>
#include <string.h>

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

struct spl_shift_rates spl_shift_rates_of(enum spl_event event, gboolean america)
{
    switch (event) {
    case SPL_EVENT_RIPENING:
        return (struct spl_shift_rates){2.8, 0, 2.9};
    case SPL_EVENT_SENESCENCE:
        return (struct spl_shift_rates){0, -1, -2};
    case SPL_EVENT_GROWTH:
        break;
    }
    return (struct spl_shift_rates){2.5, america ? 0.8 : 0, 3};
}

struct spl_shift_rates spl_shift_rates_hopkins(void)
{
    return (struct spl_shift_rates){4, 0.8, 4 / 1.2192};
}

gboolean spl_shift_in_america(double lat, double lon)
{
    return lat >= 25 && lat <= 60 && lon >= -130 && lon <= -50;
}

double spl_shift_days(struct spl_shift_rates rates, double lat0, double lon0, double elevation0_m,
                      double lat, double lon, double elevation_m)
{
    double east = lon - lon0;

    if (east > 180)
        east -= 360;
    else if (east < -180)
        east += 360;
    return rates.lat_d * (fabs(lat) - fabs(lat0)) + rates.lon_d * east +
           rates.elevation_d * (elevation_m - elevation0_m) / 100;
}
