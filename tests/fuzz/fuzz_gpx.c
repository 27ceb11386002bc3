/* SPDX-License-Identifier: MIT
 *
 * GPX: every waypoint that is taken is on earth, and written out and read back it is the same.
 */
#include "exchange/gpx.h"
#include "places.h"

static void read_back(const char *path, const GArray *places)
{
    g_autoptr(GPtrArray) remarks = spl_place_remarks_new();
    g_autofree char *beside = places_beside(path);
    g_autoptr(GArray) again = NULL;
    GError *error = NULL;
    gboolean done = spl_gpx_write(beside, places, &error);

    fuzz_promise(done, error);
    fuzz_check(done);
    error = NULL;
    again = spl_gpx_read(beside, remarks, &error);
    fuzz_promise(again != NULL, error);
    fuzz_check(again != NULL && again->len == places->len && remarks->len == 0);
    for (guint i = 0; i < places->len; i++) {
        const struct spl_place *a = &g_array_index(places, struct spl_place, i);
        const struct spl_place *b = &g_array_index(again, struct spl_place, i);

        fuzz_check(places_same_text(a->name, b->name));
        fuzz_check(places_same_text(a->remark, b->remark));
        fuzz_check(places_same_metres(a->elevation_m, b->elevation_m));
        fuzz_check(places_same_ground(a, b, 1e-7));
    }
    unlink(beside);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    const char *path = fuzz_file(bytes, size, ".gpx");
    g_autoptr(GPtrArray) remarks = spl_place_remarks_new();
    GError *error = NULL;
    g_autoptr(GArray) places = spl_gpx_read(path, remarks, &error);

    fuzz_promise(places != NULL, error);
    if (places == NULL)
        return 0;
    places_check(places, remarks);
    read_back(path, places);
    return 0;
}
