/* SPDX-License-Identifier: MIT
 *
 * Plain records about weather stations. Free what one holds with spl_record_clear and its shape.
 */
#ifndef SIMPLING_RECORD_WEATHER_H
#define SIMPLING_RECORD_WEATHER_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/row.h"

struct spl_station {
    gint64 id;
    char *name;
    double lat, lon;    /* WGS 84; NAN: not known, then it serves no site */
    double elevation_m; /* NAN: not known */
    int days;           /* measured */
    struct spl_day first, last;
    gboolean normals; /* monthly normals were imported */
};
extern const struct spl_shape spl_station_shape;

#endif
