/* SPDX-License-Identifier: MIT
 *
 * What must hold for every list of places that a reader of map files gives; shared by the targets
 * of GPX and GeoJSON.
 */
#ifndef SPL_TESTS_FUZZ_PLACES_H
#define SPL_TESTS_FUZZ_PLACES_H

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "exchange/place.h"
#include "fuzz.h"

/* Aborts unless all is finite, on earth and text. Fills in lat and lon, as the house does. */
static inline void places_check(GArray *places, const GPtrArray *remarks)
{
    for (guint i = 0; i < remarks->len; i++)
        fuzz_check(g_utf8_validate(remarks->pdata[i], -1, NULL));
    for (guint i = 0; i < places->len; i++) {
        struct spl_place *place = &g_array_index(places, struct spl_place, i);
        double up = place->elevation_m, off = place->accuracy_m;
        struct spl_position middle;

        fuzz_check(place->name != NULL && place->name[0] != '\0' &&
                   g_utf8_validate(place->name, -1, NULL));
        fuzz_check(place->remark == NULL || g_utf8_validate(place->remark, -1, NULL));
        fuzz_check(isnan(up) || (up >= -500 && up <= 9000));
        fuzz_check(isnan(off) || (off >= 0 && off <= 100000));
        fuzz_check(place->ground->kind == SPL_GEOMETRY_POINT ||
                   place->ground->kind == SPL_GEOMETRY_POLYGON);
        fuzz_check(spl_geometry_check(place->ground, "place", NULL));
        fuzz_check(spl_geometry_check_rings(place->ground, "place", NULL));
        middle = spl_geometry_middle(place->ground);
        fuzz_check(fabs(middle.lat) <= 90 && fabs(middle.lon) <= 180);
        place->lat = middle.lat;
        place->lon = middle.lon;
    }
}

static inline gboolean places_same_text(const char *a, const char *b)
{
    return g_strcmp0(a, b) == 0;
}

/* Two metres that may be NAN, apart by what writing rounds. */
static inline gboolean places_same_metres(double a, double b)
{
    return (isnan(a) && isnan(b)) || fabs(a - b) <= 0.051;
}

/* The same points to what writing rounds, whichever way round and whatever edges were split. */
static inline gboolean places_same_ground(const struct spl_place *a, const struct spl_place *b,
                                          double degrees)
{
    struct spl_box one[2], other[2];
    int n = spl_geometry_boxes(a->ground, 0, one);

    if (n != spl_geometry_boxes(b->ground, 0, other) || a->ground->kind != b->ground->kind ||
        a->ground->paths->len != b->ground->paths->len)
        return FALSE;
    for (int i = 0; i < n; i++)
        if (!(fabs(one[i].min_lon - other[i].min_lon) <= degrees) ||
            !(fabs(one[i].max_lon - other[i].max_lon) <= degrees) ||
            !(fabs(one[i].min_lat - other[i].min_lat) <= degrees) ||
            !(fabs(one[i].max_lat - other[i].max_lat) <= degrees))
            return FALSE;
    return TRUE;
}

/* A second file beside the fuzzed one. Free with g_free, and unlink. */
static inline char *places_beside(const char *path)
{
    return g_strconcat(path, "-again", NULL);
}

#endif
