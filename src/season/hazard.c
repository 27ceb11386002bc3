/* SPDX-License-Identifier: MIT
 *
 * Fouled ground added by hand, listed, dropped; the figures of methods. See simpling/hazard.h.
 */
#include "simpling/hazard.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/text.h"
#include "book/code.h"
#include "book/hazard.h"
#include "book/site.h"
#include "core/geodesic.h"
#include "season/ground_map.h"
#include "season/house_private.h"
#include "season/touched.h"
#include "simpling/error.h"

#define ACCURACY_M 10.0 /* of ground pointed out by hand, when nobody says */
#define RADIUS_MAX_M 100000.0

/* Of the import too, so that its row in the table of commands needs no PROJ. */
static const struct spl_field skip_fields[] = {
    SPL_FIELD(spl_hazard_skip, record, SPL_LONG, "record", "record"),
    SPL_FIELD(spl_hazard_skip, reason, SPL_TEXT, "reason", "why"),
};
const struct spl_shape spl_hazard_skip_shape = SPL_SHAPE("skipped", spl_hazard_skip, skip_fields);

static const struct spl_field column_fields[] = {
    SPL_FIELD(spl_hazard_column, name, SPL_TEXT, "name", "column"),
    SPL_FIELD(spl_hazard_column, type, SPL_TEXT, "type", "holds"),
    SPL_FIELD(spl_hazard_column, width, SPL_INT, "width", NULL),
    SPL_FIELD(spl_hazard_column, first, SPL_TEXTS, "first", "first values"),
};
const struct spl_shape spl_hazard_column_shape =
    SPL_SHAPE("column", spl_hazard_column, column_fields);

static const struct spl_field import_fields[] = {
    SPL_FIELD(spl_hazard_import, layer, SPL_TEXT, "layer", "layer"),
    SPL_FIELD(spl_hazard_import, kind, SPL_TEXT, "kind", "holds"),
    SPL_FIELD(spl_hazard_import, records, SPL_LONG, "records", "records"),
    SPL_FIELD(spl_hazard_import, imported, SPL_LONG, "imported", "imported"),
    SPL_FIELD(spl_hazard_import, repaired, SPL_LONG, "repaired", "of these repaired"),
    SPL_FIELD(spl_hazard_import, unread, SPL_LONG, "unread", "could not be read"),
    SPL_FIELD(spl_hazard_import, deleted, SPL_LONG, "deleted", "struck out in the table"),
    SPL_FIELD(spl_hazard_import, crs, SPL_TEXT, "crs", "reference system"),
    SPL_FIELD_NUM(spl_hazard_import, accuracy_m, 1, "accuracy_m", "positions known to m"),
    SPL_FIELD(spl_hazard_import, encoding, SPL_TEXT, "encoding", "encoding"),
    SPL_FIELD_LIST(spl_hazard_import, fields, &spl_hazard_column_shape, "fields", "columns"),
    SPL_FIELD_LIST(spl_hazard_import, skipped, &spl_hazard_skip_shape, "skipped", "left out"),
    SPL_FIELD(spl_hazard_import, remarks, SPL_TEXTS, "remarks", "remarks"),
    SPL_FIELD(spl_hazard_import, touched, SPL_TEXTS, "touched", "picked there since"),
    SPL_FIELD_NUM(spl_hazard_import, seconds, 2, "seconds", "seconds"),
};
const struct spl_shape spl_hazard_import_shape =
    SPL_SHAPE("import", spl_hazard_import, import_fields);

/* ---- by hand ---- */

static gboolean read_metres(const char *text, const char *what, double most, double *metres,
                            GError **error)
{
    gsize n = strlen(text);

    if (n > 0 && g_ascii_isdigit(text[n - 1]))
        return spl_number_parse(text, what, 0, most, metres, error);
    if (!spl_length_parse(text, what, metres, error))
        return FALSE;
    if (*metres > most) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: '%s' is more than %.0f m; look again",
                    what, text, most);
        return FALSE;
    }
    return TRUE;
}

static struct spl_geometry *read_along(const GPtrArray *along, GError **error)
{
    g_autoptr(spl_geometry) line = spl_geometry_new(SPL_GEOMETRY_LINE);

    if (along->len < 2) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "--along: a line needs two places or more; give --along LAT,LON again");
        return NULL;
    }
    spl_geometry_begin(line, FALSE);
    for (guint i = 0; i < along->len; i++) {
        double lat, lon;

        if (!spl_coordinates_parse(along->pdata[i], "--along", &lat, &lon, error))
            return NULL;
        spl_geometry_append(line, lon, lat);
    }
    if (!spl_geometry_check(line, "--along", error) ||
        !spl_geometry_split_edges(line, "--along", error))
        return NULL;
    return g_steal_pointer(&line);
}

static struct spl_geometry *read_shape(const struct spl_hazard_words *words, GError **error)
{
    gboolean along = words->along != NULL && words->along->len > 0;
    double lat, lon, radius_m = 0;
    g_autoptr(spl_geometry) shape = NULL;

    if ((words->at != NULL) + (words->wkt != NULL) + along != 1) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "%s: say where it is with one of --at LAT,LON (and --radius M), --wkt TEXT, or "
                    "--along LAT,LON for each place of a line",
                    words->name);
        return NULL;
    }
    if (words->radius != NULL && words->at == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE, "--radius: goes with --at; leave it out");
        return NULL;
    }
    if (along)
        return read_along(words->along, error);
    if (words->at != NULL) {
        if (!spl_coordinates_parse(words->at, "--at", &lat, &lon, error) ||
            (words->radius != NULL &&
             !read_metres(words->radius, "--radius", RADIUS_MAX_M, &radius_m, error)))
            return NULL;
        return radius_m > 0 ? spl_geometry_circle((struct spl_position){lon, lat}, radius_m)
                            : spl_geometry_new_point(lat, lon);
    }
    shape = spl_geometry_from_wkt(words->wkt, "--wkt", error);
    if (shape == NULL || !spl_geometry_check_rings(shape, "--wkt", error))
        return NULL;
    return g_steal_pointer(&shape);
}

static void set_bounds(struct spl_hazard_layer *layer, const struct spl_geometry *shape)
{
    struct spl_box boxes[2];
    int n = spl_geometry_boxes(shape, 0, boxes);

    layer->min_lon = n == 1 ? boxes[0].min_lon : -180;
    layer->max_lon = n == 1 ? boxes[0].max_lon : 180;
    layer->min_lat = boxes[0].min_lat;
    layer->max_lat = boxes[0].max_lat;
}

static gboolean clean(const char *text, const char *what, char **out, GError **error)
{
    *out = NULL;
    if (text == NULL)
        return TRUE;
    *out = spl_text_clean(text, what, SPL_NAME_MAX, FALSE, error);
    return *out != NULL;
}

gboolean spl_hazard_new(struct spl_house *house, const struct spl_hazard_words *words,
                        struct spl_hazard_layer *layer, GPtrArray **touched, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    const struct spl_method *method;
    g_autoptr(spl_geometry) shape = NULL;
    g_autofree char *product = NULL;
    gboolean ok;

    *touched = g_ptr_array_new_with_free_func(g_free);
    *layer =
        (struct spl_hazard_layer){.records = 1, .accuracy_m = ACCURACY_M, .imported = house->today};
    ok = tables != NULL && spl_tables_method(tables, words->method, &method, error) &&
         clean(words->name, "the hazard's name", &layer->name, error) &&
         clean(words->product, "--product", &product, error) &&
         clean(words->source != NULL ? words->source : "added by hand", "--source", &layer->source,
               error) &&
         (words->accuracy == NULL ||
          read_metres(words->accuracy, "--accuracy", 100000, &layer->accuracy_m, error));
    if (ok && method->lasting && spl_day_is_set(words->on)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "--on: '%s' is lasting ground and has no day; leave it out", method->slug);
        ok = FALSE;
    }
    if (ok && spl_code_is_shaped(layer->name)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: a hazard's name may not look like a code; choose a name in words",
                    layer->name);
        ok = FALSE;
    }
    if (ok && (shape = read_shape(words, error)) == NULL)
        ok = FALSE;
    if (ok && (ok = spl_book_begin(house->book, error))) {
        struct spl_hazard_put put = {.record = 1,
                                     .name = layer->name,
                                     .method = method->slug,
                                     .product = product,
                                     .on = words->on,
                                     .shape = shape};

        layer->methods = g_strdup(method->slug);
        set_bounds(layer, shape);
        spl_ground_map_forget(house);
        ok = spl_hazard_layer_begin(house->book, layer, TRUE, error) &&
             spl_hazard_put(house->book, layer, &put, error) &&
             spl_hazard_layer_end(house->book, layer, error) &&
             (method->lasting || spl_touched_by_layer(house, layer->name, *touched, error));
        ok = spl_book_finish(house->book, ok, error);
    }
    if (!ok) {
        spl_record_clear(&spl_hazard_layer_shape, layer);
        g_clear_pointer(touched, g_ptr_array_unref);
    }
    return ok;
}

/* ---- lists ---- */

GArray *spl_hazard_list(struct spl_house *house, GError **error)
{
    return spl_hazard_layers(house->book, error);
}

gboolean spl_hazard_drop(struct spl_house *house, const char *name, GError **error)
{
    gboolean ok = spl_book_begin(house->book, error);

    if (!ok)
        return FALSE;
    spl_ground_map_forget(house);
    ok = spl_hazard_layer_drop(house->book, name, error);
    return spl_book_finish(house->book, ok, error);
}

static int compare_lines(gconstpointer a, gconstpointer b)
{
    const struct spl_hazard_line *first = a, *second = b;

    if (first->distance_m != second->distance_m)
        return first->distance_m < second->distance_m ? -1 : 1;
    return strcmp(first->what, second->what);
}

GArray *spl_hazard_lines(struct spl_house *house, const char *site_name, double within_m,
                         GError **error)
{
    struct spl_ground_map *map = spl_ground_map_of(house, error);
    struct spl_ground_near near;
    struct spl_site site;
    GArray *lines = NULL;

    if (map == NULL || !spl_site_find(house->book, site_name, &site, error))
        return NULL;
    if (spl_ground_map_near(map, house, &site, within_m, &near, error)) {
        lines = spl_list_new(&spl_hazard_line_shape);
        for (guint i = 0; i < near.hazards->len; i++) {
            const struct spl_hazard_near *hazard =
                &g_array_index(near.hazards, struct spl_hazard_near, i);
            struct spl_hazard_line line = {
                .what = g_strdup(hazard->name != NULL ? hazard->name : hazard->method->name),
                .method = g_strdup(hazard->method->slug),
                .distance_m = hazard->distance_m,
                .uncertainty_m = hazard->uncertainty_m,
                .on = hazard->on,
                .product = g_strdup(hazard->product),
                .layer = g_strdup(hazard->layer),
                .record = g_array_index(near.records, gint64, i),
            };

            g_array_append_val(lines, line);
        }
        g_array_sort(lines, compare_lines);
        spl_ground_near_clear(&near);
    }
    spl_record_clear(&spl_site_shape, &site);
    return lines;
}

/* ---- figures ---- */

GArray *spl_hazard_methods(struct spl_house *house, GError **error)
{
    struct spl_ground_map *map = spl_ground_map_of(house, error);

    return map != NULL ? spl_ground_map_methods(map, house, error) : NULL;
}

gboolean spl_hazard_method_change(struct spl_house *house, const struct spl_method_words *words,
                                  struct spl_method_line *line, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    g_autofree char *by = NULL;
    const struct spl_method *method;
    GArray *lines;
    gboolean ok;

    *line = (struct spl_method_line){.changed = house->today};
    if (tables == NULL || !spl_tables_method(tables, words->method, &method, error))
        return FALSE;
    lines = spl_hazard_methods(house, error);
    if (lines == NULL)
        return FALSE;
    for (guint i = 0; i < lines->len; i++) {
        const struct spl_method_line *now = &g_array_index(lines, struct spl_method_line, i);

        if (strcmp(now->method, method->slug) != 0)
            continue;
        spl_record_copy(&spl_method_line_shape, now, line);
        line->changed = house->today;
    }
    spl_list_free(&spl_method_line_shape, lines);
    if (!isnan(words->closed_m))
        line->closed_m = words->closed_m;
    if (!isnan(words->ask_m))
        line->ask_m = words->ask_m;
    else
        line->ask_m = fmax(line->ask_m, line->closed_m);
    if (words->hold_on_days >= 0)
        line->hold_on_days = words->hold_on_days;
    if (words->hold_near_days >= 0)
        line->hold_near_days = words->hold_near_days;
    g_clear_pointer(&line->why, g_free);
    ok = clean(words->why, "--why", &line->why, error);
    if (ok && line->ask_m < line->closed_m) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "--ask: %.1f m is less than the %.1f m that are closed; give at least as many",
                    line->ask_m, line->closed_m);
        ok = FALSE;
    }
    if (ok && method->lasting && (words->hold_on_days >= 0 || words->hold_near_days >= 0)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "--hold-on, --hold-near: '%s' is lasting ground; leave them out", method->slug);
        ok = FALSE;
    }
    if (ok && (ok = spl_book_begin(house->book, error))) {
        by = spl_house_who(house, words->by);
        spl_ground_map_forget(house);
        ok = spl_method_figure_add(house->book, line, by, error);
        ok = spl_book_finish(house->book, ok, error);
    }
    if (!ok)
        spl_record_clear(&spl_method_line_shape, line);
    return ok;
}
