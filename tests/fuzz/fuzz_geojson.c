/* SPDX-License-Identifier: MIT
 *
 * GeoJSON: every place that is taken is sound ground on earth, and written out and read back it is
 * the same.
 */
#include "exchange/geojson.h"
#include "places.h"

/*
 * Areas of less than a metre may collapse when their positions are rounded to 12 digits, and are
 * then passed over; such a file is only read.
 */
static gboolean any_speck(const GArray *places)
{
    for (guint i = 0; i < places->len; i++) {
        const struct spl_geometry *ground = g_array_index(places, struct spl_place, i).ground;
        const struct spl_position *p = spl_geometry_points(ground);

        for (guint k = 0; ground->kind == SPL_GEOMETRY_POLYGON && k < ground->paths->len; k++) {
            const struct spl_path *path = spl_geometry_path(ground, k);

            for (guint j = path->first + 1; j < path->first + path->count; j++)
                if (hypot(p[j].lon - p[j - 1].lon, p[j].lat - p[j - 1].lat) < 1e-5)
                    return TRUE;
        }
    }
    return FALSE;
}

static void read_back(const char *path, const GArray *places)
{
    g_autoptr(GPtrArray) remarks = spl_place_remarks_new();
    g_autofree char *beside = places_beside(path);
    g_autoptr(GArray) again = NULL;
    GError *error = NULL;
    gboolean done = spl_geojson_write(beside, places, &error);

    fuzz_promise(done, error);
    fuzz_check(done);
    error = NULL;
    again = spl_geojson_read(beside, NULL, remarks, &error);
    fuzz_promise(again != NULL, error);
    fuzz_check(again != NULL);
    if (!any_speck(places)) {
        fuzz_check(again->len == places->len && remarks->len == 0);
        for (guint i = 0; i < places->len; i++) {
            const struct spl_place *a = &g_array_index(places, struct spl_place, i);
            const struct spl_place *b = &g_array_index(again, struct spl_place, i);

            fuzz_check(places_same_text(a->name, b->name));
            fuzz_check(places_same_text(a->remark, b->remark));
            fuzz_check(places_same_metres(a->elevation_m, b->elevation_m));
            fuzz_check(places_same_metres(a->accuracy_m, b->accuracy_m));
            fuzz_check(places_same_ground(a, b, 1e-9));
        }
    }
    unlink(beside);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    const char *path = fuzz_file(bytes, size, ".geojson");
    g_autoptr(GPtrArray) remarks = spl_place_remarks_new();
    GError *error = NULL;
    g_autoptr(GArray) places = spl_geojson_read(path, NULL, remarks, &error);

    fuzz_promise(places != NULL, error);
    if (places == NULL)
        return 0;
    places_check(places, remarks);
    if (places->len > 0)
        read_back(path, places);
    return 0;
}
