/* SPDX-License-Identifier: MIT
 *
 * A map layer from a shapefile, GeoJSON or GPX into the book, whole or not at all. See
 * simpling/hazard.h. In a file of its own, so that only the helper program that reads shapefiles is
 * linked with PROJ.
 */
#include <math.h>
#include <string.h>

#include "base/file.h"
#include "base/text.h"
#include "book/code.h"
#include "book/hazard.h"
#include "exchange/map_layer.h"
#include "exchange/shapefile.h"
#include "season/ground_map.h"
#include "season/house_private.h"
#include "season/touched.h"
#include "season/whereabouts.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/hazard.h"
#include "simpling/record/site.h"

struct importing {
    struct spl_house *house;
    const struct spl_hazard_import_words *words;
    const struct spl_method *method; /* of records that do not say; NULL: unknown */
    const struct spl_method *unknown;
    struct spl_hazard_layer layer;
    GHashTable *methods; /* text of a record -> const struct spl_method * */
    GHashTable *used;    /* slugs */
    GHashTable *strange; /* texts that are no method, for the words */
    gint64 n_strange;
    gboolean any_dated;
};

/* One of the two. */
struct layer_file {
    struct spl_shapefile *shape;
    struct spl_map_layer *map;
};

static gboolean open_file(struct layer_file *file, const char *path,
                          const struct spl_shapefile_request *request, GError **error)
{
    if (spl_map_layer_is(path))
        file->map = spl_map_layer_open(path, request, error);
    else
        file->shape = spl_shapefile_open(path, request, error);
    return file->map != NULL || file->shape != NULL;
}

static void close_file(struct layer_file *file)
{
    spl_shapefile_free(file->shape);
    spl_map_layer_free(file->map);
}

static const char *path_of(const struct layer_file *file)
{
    return file->map != NULL ? spl_map_layer_path(file->map) : spl_shapefile_path(file->shape);
}

static GArray *fields_of(struct layer_file *file)
{
    return file->map != NULL ? spl_map_layer_fields(file->map) : spl_shapefile_fields(file->shape);
}

static const struct spl_method *method_of(struct importing *importing, const char *text)
{
    const struct spl_method *method;

    if (text == NULL)
        return importing->method != NULL ? importing->method : importing->unknown;
    method = g_hash_table_lookup(importing->methods, text);
    if (method == NULL) {
        if (!spl_tables_method(importing->house->tables, text, &method, NULL)) {
            method = importing->method != NULL ? importing->method : importing->unknown;
            g_hash_table_add(importing->strange, g_strdup(text));
        }
        g_hash_table_insert(importing->methods, g_strdup(text), (gpointer)method);
    }
    if (g_hash_table_contains(importing->strange, text))
        importing->n_strange++;
    return method;
}

static gboolean take(const struct spl_shapefile_record *record, gpointer data, GError **error)
{
    struct importing *importing = data;
    const struct spl_method *method = method_of(importing, record->method);
    struct spl_hazard_put put = {
        .record = record->record,
        .name = record->name,
        .method = method->slug,
        .product = record->product,
        .on = SPL_DAY_NONE,
        .shape = record->geometry,
    };

    if (!method->lasting) {
        put.on = spl_day_is_set(record->on) ? record->on : importing->words->on;
        importing->any_dated = TRUE;
    }
    if (!g_hash_table_contains(importing->used, method->slug))
        g_hash_table_add(importing->used, g_strdup(method->slug));
    if (importing->words->dry_run)
        return TRUE;
    return spl_hazard_put(importing->house->book, &importing->layer, &put, error);
}

static int compare_texts(gconstpointer a, gconstpointer b)
{
    return strcmp(a, b);
}

static char *join_keys(GHashTable *set, const char *separator, guint most)
{
    GList *keys = g_list_sort(g_hash_table_get_keys(set), compare_texts);
    GString *text = g_string_new(NULL);
    guint n = 0;

    for (GList *key = keys; key != NULL && n < most; key = key->next, n++)
        g_string_append_printf(text, "%s%s", n > 0 ? separator : "", (const char *)key->data);
    g_list_free(keys);
    return g_string_free(text, FALSE);
}

static gboolean name_layer(struct importing *importing, GError **error)
{
    const struct spl_hazard_import_words *words = importing->words;
    g_autofree char *base = g_path_get_basename(words->path);
    g_autofree char *stem = g_strdup(base);
    char *dot = strrchr(stem, '.');

    if (dot != NULL && dot != stem)
        *dot = '\0';
    importing->layer.name = spl_text_clean(words->layer != NULL ? words->layer : stem, "layer",
                                           SPL_NAME_MAX, FALSE, error);
    if (importing->layer.name != NULL && spl_code_is_shaped(importing->layer.name)) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "layer",
                            "'%s': a layer's name may not look like a code; choose another",
                            importing->layer.name);
        return FALSE;
    }
    if (importing->layer.name != NULL)
        importing->layer.source = spl_text_clean(words->source != NULL ? words->source : base,
                                                 "source", SPL_NAME_MAX, FALSE, error);
    else
        spl_error_about(error, "layer");
    if (importing->layer.source == NULL)
        spl_error_about(error, "source");
    return importing->layer.source != NULL;
}

static gboolean find_method(struct importing *importing, GError **error)
{
    const struct spl_hazard_import_words *words = importing->words;
    const struct spl_tables *tables = spl_house_tables(importing->house, error);

    if (tables == NULL ||
        !spl_tables_method(tables, SPL_METHOD_UNKNOWN, &importing->unknown, error))
        return FALSE;
    if (words->method != NULL)
        importing->method = spl_tables_method_by_slug(tables, words->method);
    if (words->method != NULL || words->method_field != NULL || words->dry_run)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_USAGE, "method",
                        "is missing: say what the layer shows (road, railway, power-line, boom …), "
                        "or which column tells it; a dry run shows the columns");
    return FALSE;
}

/* The reader's lists as the face's. */
static void take_summary(struct spl_hazard_import *import, struct spl_shapefile_summary *summary)
{
    import->kind = g_steal_pointer(&summary->kind);
    import->crs = g_steal_pointer(&summary->crs);
    import->encoding = g_steal_pointer(&summary->encoding);
    import->accuracy_m = summary->accuracy_m;
    import->min_lat = summary->imported > 0 ? summary->bounds.min_lat : NAN;
    import->max_lat = summary->imported > 0 ? summary->bounds.max_lat : NAN;
    import->min_lon = summary->imported > 0 ? summary->bounds.min_lon : NAN;
    import->max_lon = summary->imported > 0 ? summary->bounds.max_lon : NAN;
    import->records = summary->records;
    import->imported = summary->imported;
    import->repaired = summary->repaired;
    import->unread = summary->unread;
    import->deleted = summary->deleted;
    import->remarks = g_steal_pointer(&summary->remarks);
    import->skipped = spl_list_new(&spl_hazard_skip_shape);
    for (guint i = 0; summary->skipped != NULL && i < summary->skipped->len; i++) {
        struct spl_shapefile_skip *from =
            &g_array_index(summary->skipped, struct spl_shapefile_skip, i);
        struct spl_hazard_skip skip = {from->record, g_steal_pointer(&from->reason)};

        g_array_append_val(import->skipped, skip);
    }
}

static GArray *take_columns(GArray *fields)
{
    GArray *columns = spl_list_new(&spl_hazard_column_shape);

    for (guint i = 0; i < fields->len; i++) {
        struct spl_shapefile_field *field = &g_array_index(fields, struct spl_shapefile_field, i);
        struct spl_hazard_column column = {g_steal_pointer(&field->name),
                                           g_steal_pointer(&field->type), field->width,
                                           g_steal_pointer(&field->first)};

        g_array_append_val(columns, column);
    }
    spl_list_free(&spl_shapefile_field_shape, fields);
    return columns;
}

static gboolean end_layer(struct importing *importing, const struct spl_shapefile_summary *summary,
                          GError **error)
{
    struct spl_hazard_layer *layer = &importing->layer;

    layer->methods = join_keys(importing->used, ",", G_MAXUINT);
    layer->records = summary->records - summary->deleted;
    layer->unread = summary->unread;
    layer->accuracy_m = summary->accuracy_m;
    layer->crs = g_strdup(summary->crs);
    layer->min_lon = summary->bounds.min_lon;
    layer->min_lat = summary->bounds.min_lat;
    layer->max_lon = summary->bounds.max_lon;
    layer->max_lat = summary->bounds.max_lat;
    /* Records that nobody could read may be of any kind that was asked for. */
    if (*layer->methods == '\0') {
        g_free(layer->methods);
        layer->methods = g_strdup(importing->method != NULL ? importing->method->slug
                                                            : importing->unknown->slug);
    }
    return spl_hazard_layer_end(importing->house->book, layer, error);
}

static gboolean read_records(struct importing *importing, struct layer_file *file,
                             struct spl_shapefile_summary *summary, GError **error)
{
    const struct spl_progress *progress = &importing->house->progress;

    return file->map != NULL
               ? spl_map_layer_read(file->map, take, importing, progress, summary, error)
               : spl_shapefile_read(file->shape, take, importing, progress, summary, error);
}

static gboolean read_file(struct importing *importing, struct layer_file *file,
                          struct spl_shapefile_summary *summary, struct spl_hazard_import *import,
                          GError **error)
{
    struct spl_house *house = importing->house;
    gboolean ok;

    if (importing->words->dry_run)
        return read_records(importing, file, summary, error);
    if (!spl_book_begin(house->book, error))
        return FALSE;
    spl_ground_map_forget(house);
    ok = spl_hazard_layer_begin(house->book, &importing->layer, FALSE, error) &&
         read_records(importing, file, summary, error) &&
         (summary->imported == 0 ||
          spl_whereabouts_fit(house, &summary->bounds, importing->layer.name, error)) &&
         end_layer(importing, summary, error) &&
         (!importing->any_dated || spl_touched_by_layer(house, importing->layer.name,
                                                        import->touched, import->picked, error));
    return spl_book_finish(house->book, ok, error);
}

/* What would be refused, told in a dry run. */
static gboolean remark_whereabouts(struct spl_house *house, struct spl_shapefile_summary *summary,
                                   GError **error)
{
    GError *failed = NULL;
    gboolean swapped;
    g_autofree char *words = spl_whereabouts(house, &summary->bounds, &swapped, &failed);

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (words != NULL)
        g_ptr_array_add(summary->remarks, g_strdup_printf("the layer %s", words));
    return TRUE;
}

static gboolean read_layer(struct spl_house *house, const struct spl_hazard_import_words *words,
                           struct spl_hazard_import *import, GError **error)
{
    const struct spl_shapefile_request request = {
        .crs = words->crs,
        .encoding = words->encoding,
        .name_field = words->name_field,
        .method_field = words->method_field,
        .date_field = words->date_field,
        .product_field = words->product_field,
    };
    struct importing importing = {.house = house, .words = words};
    struct spl_shapefile_summary summary = {0};
    gint64 started = g_get_monotonic_time();
    struct layer_file file = {NULL, NULL};
    gboolean ok;

    *import = (struct spl_hazard_import){.touched = g_ptr_array_new_with_free_func(g_free),
                                         .picked = spl_list_new(&spl_touched_shape)};
    importing.layer.imported = house->today;
    importing.methods = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    importing.used = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    importing.strange = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    ok = open_file(&file, words->path, &request, error) && find_method(&importing, error) &&
         name_layer(&importing, error);
    if (ok) {
        importing.layer.checksum = spl_file_checksum(path_of(&file), error);
        ok = importing.layer.checksum != NULL &&
             read_file(&importing, &file, &summary, import, error);
    }
    if (ok && words->dry_run && summary.imported > 0)
        ok = remark_whereabouts(house, &summary, error);
    if (ok) {
        take_summary(import, &summary);
        import->layer = g_strdup(importing.layer.name);
        if (words->dry_run)
            import->fields = take_columns(fields_of(&file));
        if (importing.n_strange > 0) {
            g_autofree char *texts = join_keys(importing.strange, "', '", 5);

            g_ptr_array_add(
                import->remarks,
                g_strdup_printf(
                    "%" G_GINT64_FORMAT " records have a method that is in no table ('%s'); they "
                    "count as '%s'",
                    importing.n_strange, texts,
                    importing.method != NULL ? importing.method->slug : importing.unknown->slug));
        }
        import->seconds = (double)(g_get_monotonic_time() - started) / G_USEC_PER_SEC;
    } else {
        spl_record_clear(&spl_hazard_import_shape, import);
    }
    close_file(&file);
    spl_shapefile_summary_clear(&summary);
    spl_record_clear(&spl_hazard_layer_shape, &importing.layer);
    g_hash_table_unref(importing.methods);
    g_hash_table_unref(importing.used);
    g_hash_table_unref(importing.strange);
    return ok;
}

gboolean spl_hazard_read(struct spl_house *house, const struct spl_hazard_import_words *said,
                         struct spl_hazard_import *import, GError **error)
{
    struct spl_hazard_import_words words;
    struct spl_hazard_import made;
    gboolean ok;

    if (!spl_entry_take(house, &spl_hazard_import_inputs, said, &words, error))
        return FALSE;
    ok = read_layer(house, &words, &made, error);
    if (ok)
        *import = made;
    spl_inputs_clear(&spl_hazard_import_inputs, &words);
    return ok;
}
