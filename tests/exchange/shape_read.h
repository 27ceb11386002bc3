/* SPDX-License-Identifier: MIT
 *
 * Writes a made shapefile, reads it back and keeps what came; shared by the tests of shapefiles.
 */
#ifndef SPL_TESTS_SHAPE_READ_H
#define SPL_TESTS_SHAPE_READ_H

#include "exchange/shapefile.h"
#include "expect.h"
#include "shape_make.h"

struct got_record {
    gint64 record;
    struct spl_geometry *geometry;
    char *name, *method, *product;
    struct spl_day on;
    gboolean repaired;
};

struct got {
    GError *error;
    GArray *records; /* struct got_record */
    struct spl_shapefile_summary summary;
};

static inline gboolean got_take(const struct spl_shapefile_record *record, gpointer data,
                                GError **error)
{
    struct got *got = data;
    const struct got_record copy = {.record = record->record,
                                    .geometry = spl_geometry_copy(record->geometry),
                                    .name = g_strdup(record->name),
                                    .method = g_strdup(record->method),
                                    .product = g_strdup(record->product),
                                    .on = record->on,
                                    .repaired = record->repaired};

    if (!spl_geometry_check(record->geometry, "record", error))
        return FALSE;
    g_array_append_val(got->records, copy);
    return TRUE;
}

static inline int got_compare(gconstpointer a, gconstpointer b)
{
    return ((const struct got_record *)a)->record < ((const struct got_record *)b)->record ? -1 : 1;
}

static inline void got_read_path(struct got *got, const char *path,
                                 const struct spl_shapefile_request *request)
{
    struct spl_shapefile *file;

    *got = (struct got){.records = g_array_new(FALSE, FALSE, sizeof(struct got_record))};
    file = spl_shapefile_open(path, request, &got->error);
    if (file != NULL)
        spl_shapefile_read(file, got_take, got, NULL, &got->summary, &got->error);
    spl_shapefile_free(file);
    g_array_sort(got->records, got_compare); /* they come in an order of the map */
}

static inline void got_read_with(struct got *got, const struct make *make,
                                 struct spl_shapefile_request request)
{
    char *folder = make_folder();
    g_autofree char *path = make_write(make, folder, "made");

    got_read_path(got, path, &request);
    make_folder_clear(folder);
}

static inline void got_read(struct got *got, const struct make *make)
{
    got_read_with(got, make, (struct spl_shapefile_request){0});
}

static inline const struct got_record *got_at(const struct got *got, guint i)
{
    if (i >= got->records->len)
        fail_msg("there is no record %u", i);
    return &g_array_index(got->records, struct got_record, i);
}

static inline gboolean got_has_remark(const struct got *got, const char *part)
{
    for (guint i = 0; got->summary.remarks != NULL && i < got->summary.remarks->len; i++)
        if (strstr(got->summary.remarks->pdata[i], part) != NULL)
            return TRUE;
    return FALSE;
}

/* The reason of the first skipped record, "" for none. */
static inline const char *got_reason(const struct got *got)
{
    return got->summary.skipped != NULL && got->summary.skipped->len > 0
               ? g_array_index(got->summary.skipped, struct spl_shapefile_skip, 0).reason
               : "";
}

static inline void got_clear(struct got *got)
{
    for (guint i = 0; i < got->records->len; i++) {
        struct got_record *record = &g_array_index(got->records, struct got_record, i);

        spl_geometry_free(record->geometry);
        g_free(record->name);
        g_free(record->method);
        g_free(record->product);
    }
    g_array_unref(got->records);
    spl_shapefile_summary_clear(&got->summary);
    g_clear_error(&got->error);
}

#endif
