/* SPDX-License-Identifier: MIT
 *
 * Map layers that are read whole, turned into sound ground record by record. See
 * exchange/map_layer.h.
 */
#include "exchange/map_layer.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "exchange/map_layer_private.h"
#include "exchange/place.h"
#include "exchange/shape_rings.h"
#include "exchange/shape_table.h"
#include "simpling/error.h"

#define TELL_EVERY 1000
#define FIRST_VALUES 3
#define BAD_DATES_NAMED 5
#define WGS84 "EPSG:4326"

/* Filling ---------------------------------------------------------------------------------------
 */

static void record_clear(gpointer data)
{
    struct spl_map_record *record = data;

    spl_geometry_free(record->raw);
    g_free(record->reason);
    if (record->values != NULL)
        g_ptr_array_unref(record->values);
}

guint spl_map_layer_add(struct spl_map_layer *layer, struct spl_geometry *raw, char *reason,
                        gboolean repaired)
{
    struct spl_map_record record = {raw, reason, NULL, repaired};

    g_array_append_val(layer->records, record);
    return layer->records->len - 1;
}

static guint column_of(struct spl_map_layer *layer, const char *name, gboolean number)
{
    gpointer place;
    struct spl_shapefile_field field;

    if (g_hash_table_lookup_extended(layer->places, name, NULL, &place))
        return GPOINTER_TO_UINT(place);
    field = (struct spl_shapefile_field){g_strdup(name), g_strdup(number ? "number" : "text"), 0,
                                         g_ptr_array_new_with_free_func(g_free)};
    g_array_append_val(layer->columns, field);
    g_hash_table_insert(layer->places, g_strdup(name), GUINT_TO_POINTER(layer->columns->len - 1));
    return layer->columns->len - 1;
}

void spl_map_layer_say(struct spl_map_layer *layer, guint record, const char *column,
                       const char *value, gboolean number)
{
    struct spl_map_record *to = &g_array_index(layer->records, struct spl_map_record, record);
    g_autofree char *name = spl_text_scrub(column, FALSE), *text = spl_text_scrub(value, FALSE);
    struct spl_shapefile_field *field;
    guint place;

    g_strstrip(text);
    if (*text == '\0' || *name == '\0')
        return;
    place = column_of(layer, name, number);
    field = &g_array_index(layer->columns, struct spl_shapefile_field, place);
    field->width = (int)MAX((gsize)field->width, MIN(strlen(text), (gsize)G_MAXINT));
    if (field->first->len < FIRST_VALUES &&
        !g_ptr_array_find_with_equal_func(field->first, text, g_str_equal, NULL))
        g_ptr_array_add(field->first, g_strdup(text));
    if (to->values == NULL)
        to->values = g_ptr_array_new_with_free_func(g_free);
    if (to->values->len <= place)
        g_ptr_array_set_size(to->values, (int)place + 1);
    g_free(to->values->pdata[place]);
    to->values->pdata[place] = g_steal_pointer(&text);
}

/* Opening ---------------------------------------------------------------------------------------
 */

static const char *ending_of(const char *path)
{
    const char *dot = strrchr(path, '.');

    return dot != NULL ? dot : "";
}

gboolean spl_map_layer_is(const char *path)
{
    const char *ending = ending_of(path);

    return g_ascii_strcasecmp(ending, ".geojson") == 0 ||
           g_ascii_strcasecmp(ending, ".json") == 0 || g_ascii_strcasecmp(ending, ".gpx") == 0;
}

static int column_named(const struct spl_map_layer *layer, const char *name)
{
    for (guint i = 0; i < layer->columns->len; i++)
        if (g_ascii_strcasecmp(g_array_index(layer->columns, struct spl_shapefile_field, i).name,
                               name) == 0)
            return (int)i;
    return -1;
}

static gboolean find_column(struct spl_map_layer *layer, const char *name, const char *key,
                            int *column, GError **error)
{
    g_autoptr(GString) all = g_string_new(NULL);

    *column = name != NULL ? column_named(layer, name) : -1;
    if (name == NULL || *column >= 0)
        return TRUE;
    for (guint i = 0; i < layer->columns->len; i++)
        g_string_append_printf(all, "%s%s", i > 0 ? ", " : "",
                               g_array_index(layer->columns, struct spl_shapefile_field, i).name);
    spl_error_set_input(error, SPL_ERROR_NOT_FOUND, key, "%s: has no column '%s'; it has %s",
                        layer->path, name, all->len > 0 ? all->str : "none");
    return FALSE;
}

static gboolean find_columns(struct spl_map_layer *layer,
                             const struct spl_shapefile_request *request, GError **error)
{
    static const char *const usual[] = {"name", "title"};

    if (!find_column(layer, request->name_field, "name_field", &layer->name_column, error) ||
        !find_column(layer, request->method_field, "method_field", &layer->method_column, error) ||
        !find_column(layer, request->date_field, "date_field", &layer->date_column, error) ||
        !find_column(layer, request->product_field, "product_field", &layer->product_column, error))
        return FALSE;
    for (gsize i = 0; i < G_N_ELEMENTS(usual) && layer->name_column < 0; i++)
        layer->name_column = column_named(layer, usual[i]);
    return TRUE;
}

/* Degrees in a system of metres would all lie within a few steps of its origin. */
static gboolean numbers_fit(const struct spl_map_layer *layer, GError **error)
{
    gboolean any = FALSE;

    if (spl_projection_is_degrees(layer->projection))
        return TRUE;
    for (guint i = 0; i < layer->records->len; i++) {
        const struct spl_geometry *raw =
            g_array_index(layer->records, struct spl_map_record, i).raw;

        for (guint k = 0; raw != NULL && k < spl_geometry_n_points(raw); k++) {
            const struct spl_position *at = &spl_geometry_points(raw)[k];

            any = TRUE;
            if (!(fabs(at->lon) <= 180 && fabs(at->lat) <= 90))
                return TRUE;
        }
    }
    if (any)
        spl_error_set_input(error, SPL_ERROR_INVALID, "crs",
                            "%s: its numbers look like degrees and cannot be those of '%s', which "
                            "is in metres; if they are longitude and latitude, leave the reference "
                            "system out",
                            layer->path, spl_projection_name(layer->projection));
    return !any;
}

struct spl_map_layer *
spl_map_layer_open(const char *path, const struct spl_shapefile_request *request, GError **error)
{
    g_autoptr(spl_map_layer) layer = g_new0(struct spl_map_layer, 1);
    gboolean gpx = g_ascii_strcasecmp(ending_of(path), ".gpx") == 0;

    layer->path = g_strdup(path);
    layer->format = gpx ? "GPX" : "GeoJSON";
    layer->records = g_array_new(FALSE, FALSE, sizeof(struct spl_map_record));
    g_array_set_clear_func(layer->records, record_clear);
    layer->columns = spl_list_new(&spl_shapefile_field_shape);
    layer->places = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    layer->remarks = spl_place_remarks_new();
    if (request->encoding != NULL) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "encoding",
                            "%s tells its own; leave this out", layer->format);
        return NULL;
    }
    if (gpx && request->crs != NULL) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "crs",
                            "GPX has longitude and latitude on WGS 84 and no other; leave this "
                            "out");
        return NULL;
    }
    layer->projection =
        spl_projection_new(request->crs != NULL ? request->crs : WGS84, "crs", error);
    if (layer->projection == NULL) {
        spl_error_about(error, "crs");
        return NULL;
    }
    if (!(gpx ? spl_map_layer_gpx(layer, error)
              : spl_map_layer_geojson(layer, request->crs, error)) ||
        !find_columns(layer, request, error) || !numbers_fit(layer, error))
        return NULL;
    if (layer->rounds > 0)
        spl_place_remark(layer->remarks,
                         "%u lines end where they begin and count as lines: if one goes round "
                         "sprayed ground, draw that as an area",
                         layer->rounds);
    return g_steal_pointer(&layer);
}

void spl_map_layer_free(struct spl_map_layer *layer)
{
    if (layer == NULL)
        return;
    g_clear_pointer(&layer->records, g_array_unref);
    spl_list_free(&spl_shapefile_field_shape, layer->columns);
    g_clear_pointer(&layer->places, g_hash_table_unref);
    g_clear_pointer(&layer->remarks, g_ptr_array_unref);
    spl_projection_free(layer->projection);
    g_free(layer->path);
    g_free(layer);
}

const char *spl_map_layer_path(const struct spl_map_layer *layer)
{
    return layer->path;
}

GArray *spl_map_layer_fields(struct spl_map_layer *layer)
{
    GArray *fields = g_steal_pointer(&layer->columns);

    layer->columns = spl_list_new(&spl_shapefile_field_shape);
    return fields;
}

/* Reading ---------------------------------------------------------------------------------------
 */

struct reading {
    struct spl_map_layer *layer;
    struct spl_shapefile_summary *summary;
    struct spl_box bounds;
    gboolean any_bounds;
    gint64 unplaced, bad_dates;
    GString *undated;
    guint kinds; /* a bit for each enum spl_geometry_kind */
};

static void widen(struct reading *reading, const struct spl_box *box)
{
    struct spl_box *all = &reading->bounds;

    if (!reading->any_bounds)
        *all = *box;
    all->min_lon = fmin(all->min_lon, box->min_lon);
    all->min_lat = fmin(all->min_lat, box->min_lat);
    all->max_lon = fmax(all->max_lon, box->max_lon);
    all->max_lat = fmax(all->max_lat, box->max_lat);
    reading->any_bounds = TRUE;
}

static void skip(struct spl_shapefile_summary *summary, gint64 record, char *reason)
{
    struct spl_shapefile_skip one = {.record = record, .reason = reason};

    summary->unread++;
    if (summary->skipped->len < SPL_SHAPEFILE_SKIPS_MAX)
        g_array_append_val(summary->skipped, one);
    else
        g_free(reason);
}

static const char *value_of(const struct spl_map_record *record, int column)
{
    return record->values != NULL && column >= 0 && (guint)column < record->values->len
               ? record->values->pdata[column]
               : NULL;
}

static gboolean read_one(struct reading *reading, guint i,
                         gboolean (*each)(const struct spl_shapefile_record *, gpointer, GError **),
                         gpointer data, GError **error)
{
    struct spl_map_layer *layer = reading->layer;
    struct spl_map_record *from = &g_array_index(layer->records, struct spl_map_record, i);
    struct spl_shapefile_record record = {.record = (gint64)i + 1, .repaired = from->repaired};
    g_autoptr(spl_geometry) raw = NULL, ground = NULL;
    struct spl_box boxes[2];
    char *reason = NULL;
    const char *date = value_of(from, layer->date_column);
    int n;

    if (from->raw == NULL) {
        skip(reading->summary, record.record, g_strdup(from->reason));
        return TRUE;
    }
    raw = spl_geometry_copy(from->raw);
    ground = spl_geometry_new(raw->kind);
    if (!spl_shape_settle(raw, layer->projection, ground, &record.repaired, &reason)) {
        reading->unplaced++;
        skip(reading->summary, record.record, reason);
        return TRUE;
    }
    record.geometry = ground;
    record.name = value_of(from, layer->name_column);
    record.method = value_of(from, layer->method_column);
    record.product = value_of(from, layer->product_column);
    if (!spl_shape_day(date, &record.on) && reading->bad_dates++ < BAD_DATES_NAMED)
        g_string_append_printf(reading->undated, "%s%u '%s'", reading->bad_dates == 1 ? "" : ", ",
                               i + 1, date);
    n = spl_geometry_boxes(ground, 0, boxes);
    for (int k = 0; k < n; k++)
        widen(reading, &boxes[k]);
    reading->kinds |= 1u << ground->kind;
    if (!each(&record, data, error))
        return FALSE;
    reading->summary->imported++;
    reading->summary->repaired += record.repaired ? 1 : 0;
    return TRUE;
}

static char *kinds_of(guint kinds)
{
    static const char *const names[] = {"points", "lines", "polygons"};
    GString *text = g_string_new(NULL);

    for (guint i = 0; i < G_N_ELEMENTS(names); i++)
        if ((kinds & (2u << i)) != 0)
            g_string_append_printf(text, "%s%s", text->len > 0 ? ", " : "", names[i]);
    return g_string_free(text, FALSE);
}

static void conclude(struct reading *reading)
{
    struct spl_map_layer *layer = reading->layer;
    struct spl_shapefile_summary *summary = reading->summary;

    summary->kind = kinds_of(reading->kinds);
    if (reading->bad_dates > 0)
        g_ptr_array_add(
            summary->remarks,
            g_strdup_printf("%" G_GINT64_FORMAT " dates could not be read (record %s%s); these "
                            "records count as undated; write days as 2027-05-04 or 4.5.2027",
                            reading->bad_dates, reading->undated->str,
                            reading->bad_dates > BAD_DATES_NAMED ? " …" : ""));
    summary->accuracy_m = fmax(spl_projection_accuracy_m(layer->projection), layer->least_m);
    if (isnan(spl_projection_accuracy_m(layer->projection)))
        summary->accuracy_m = NAN;
    if (layer->states_bounds)
        widen(reading, &layer->stated);
    summary->everywhere = summary->unread > 0 && !layer->states_bounds;
    summary->bounds = reading->any_bounds && !summary->everywhere
                          ? reading->bounds
                          : (struct spl_box){-180, -90, 180, 90};
}

gboolean spl_map_layer_read(struct spl_map_layer *layer,
                            gboolean (*each)(const struct spl_shapefile_record *record,
                                             gpointer data, GError **error),
                            gpointer data, const struct spl_progress *progress,
                            struct spl_shapefile_summary *summary, GError **error)
{
    g_autoptr(GString) undated = g_string_new(NULL);
    struct reading reading = {.layer = layer, .summary = summary, .undated = undated};
    guint n = layer->records->len;

    *summary = (struct spl_shapefile_summary){
        .crs = g_strdup(spl_projection_name(layer->projection)),
        .encoding = g_strdup("UTF-8"),
        .accuracy_m = NAN,
        .records = n,
        .skipped = spl_list_new(&spl_shapefile_skip_shape),
        .remarks = g_ptr_array_new_with_free_func(g_free),
    };
    for (guint k = 0; k < layer->remarks->len; k++)
        g_ptr_array_add(summary->remarks, g_strdup(layer->remarks->pdata[k]));
    for (guint i = 0; i < n; i++) {
        if (i % TELL_EVERY == 0)
            spl_progress_tell(progress, "reading shapes", i, n);
        if (!read_one(&reading, i, each, data, error))
            return FALSE;
    }
    spl_progress_tell(progress, "reading shapes", n, n);
    conclude(&reading);
    if (summary->imported > 0 || reading.unplaced == 0)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "crs",
                        "%s: none of its %u records has a place on earth in '%s'; name the right "
                        "reference system as EPSG:NUMBER",
                        layer->path, n, summary->crs);
    return FALSE;
}
