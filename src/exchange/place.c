/* SPDX-License-Identifier: MIT
 *
 * Lists of places for map formats.
 */
#include "exchange/place.h"

#include <math.h>

#define REMARKS_MAX 200 /* more are not kept: one line each is enough to see what is wrong */

static void clear(gpointer data)
{
    struct spl_place *place = data;

    g_free(place->name);
    spl_geometry_free(place->ground);
    g_free(place->remark);
    g_free(place->why);
}

GArray *spl_places_new(void)
{
    GArray *places = g_array_new(FALSE, TRUE, sizeof(struct spl_place));

    g_array_set_clear_func(places, clear);
    return places;
}

struct spl_place *spl_places_add(GArray *places)
{
    struct spl_place *place;

    g_array_set_size(places, places->len + 1);
    place = &g_array_index(places, struct spl_place, places->len - 1);
    *place = (struct spl_place){.lat = NAN,
                                .lon = NAN,
                                .elevation_m = NAN,
                                .accuracy_m = NAN,
                                .date = SPL_DAY_NONE,
                                .until = SPL_DAY_NONE};
    return place;
}

GPtrArray *spl_place_remarks_new(void)
{
    return g_ptr_array_new_with_free_func(g_free);
}

void spl_place_remark(GPtrArray *remarks, const char *format, ...)
{
    va_list values;

    if (remarks->len >= REMARKS_MAX)
        return;
    va_start(values, format);
    g_ptr_array_add(remarks, g_strdup_vprintf(format, values));
    va_end(values);
}
