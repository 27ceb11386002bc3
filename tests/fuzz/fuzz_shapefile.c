/* SPDX-License-Identifier: MIT
 *
 * Shapefiles: one input holds the three files. Two numbers of two bytes (least first) tell how long
 * the .shx and the .dbf are, then come .shx, .dbf and, to the end, .shp. Every record that comes
 * out is sound ground at a known distance, and every record that does not is counted.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "core/geodesic.h"
#include "exchange/shapefile.h"
#include "fuzz.h"

struct seen {
    gint64 records;
    struct spl_ranger *ranger;
};

static gboolean take(const struct spl_shapefile_record *record, gpointer data, GError **error)
{
    struct seen *seen = data;
    double m;

    (void)error;
    seen->records++;
    fuzz_check(spl_geometry_check(record->geometry, "record", NULL));
    m = spl_ranger_distance_m(seen->ranger, record->geometry);
    fuzz_check(m >= 0 && m < 2.1e7);
    fuzz_check(record->name == NULL || g_utf8_validate(record->name, -1, NULL));
    return TRUE;
}

static char *put(const char *stem, const char *ending, const uint8_t *bytes, size_t size)
{
    char *path = g_strconcat(stem, ending, NULL);
    FILE *file = fopen(path, "w");

    fuzz_check(file != NULL && fwrite(bytes, 1, size, file) == size && fclose(file) == 0);
    return path;
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    g_autofree char *stem =
        g_strdup_printf("%s/simpling-fuzz-map-%d",
                        access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp", (int)getpid());
    struct spl_shapefile_request request = {.name_field = "NAME", .date_field = "DAY"};
    struct spl_shapefile_summary summary = {0};
    struct seen seen = {0};
    size_t shx, dbf;
    GError *error = NULL;
    struct spl_shapefile *file;

    if (size < 4)
        return 0;
    shx = MIN((size_t)(bytes[0] | bytes[1] << 8), size - 4);
    dbf = MIN((size_t)(bytes[2] | bytes[3] << 8), size - 4 - shx);
    g_autofree char *shx_path = put(stem, ".shx", bytes + 4, shx);
    g_autofree char *dbf_path = put(stem, ".dbf", bytes + 4 + shx, dbf);
    g_autofree char *shp_path = put(stem, ".shp", bytes + 4 + shx + dbf, size - 4 - shx - dbf);
    if (shx == 0)
        unlink(shx_path);
    if (dbf == 0) {
        unlink(dbf_path);
        request.name_field = request.date_field = NULL;
    }
    file = spl_shapefile_open(shp_path, &request, &error);
    fuzz_promise(file != NULL, error);
    if (file != NULL) {
        g_autoptr(spl_geometry) site = spl_geometry_new_point(54.6, -2.58);
        GArray *fields = spl_shapefile_fields(file);
        gboolean done;

        spl_list_free(&spl_shapefile_field_shape, fields);
        seen.ranger = spl_ranger_new(site);
        error = NULL;
        done = spl_shapefile_read(file, take, &seen, NULL, &summary, &error);
        fuzz_promise(done, error);
        if (done) {
            fuzz_check(seen.records == summary.imported);
            fuzz_check(summary.imported + summary.unread + summary.deleted == summary.records);
            fuzz_check(summary.bounds.min_lon <= summary.bounds.max_lon &&
                       summary.bounds.min_lat <= summary.bounds.max_lat);
        }
        spl_shapefile_summary_clear(&summary);
        spl_ranger_free(seen.ranger);
        spl_shapefile_free(file);
    }
    unlink(shx_path);
    unlink(dbf_path);
    unlink(shp_path);
    return 0;
}
