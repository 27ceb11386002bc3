/* SPDX-License-Identifier: MIT
 *
 * Hazards as rows. See book/hazard.h.
 *
 * The R*Tree takes a NULL or NaN bound for 0.0 without a word, and the hazard would be lost from
 * its place; so every box is checked before it goes in.
 */
#include "book/hazard.h"

#include <math.h>

#include "base/text.h"
#include "book/statement.h"
#include "simpling/error.h"

static const struct spl_field layer_fields[] = {
    SPL_FIELD(spl_hazard_layer, name, SPL_TEXT, "layer", "layer"),
    SPL_FIELD(spl_hazard_layer, methods, SPL_TEXT, "methods", "methods"),
    SPL_FIELD(spl_hazard_layer, records, SPL_LONG, "records", "records"),
    SPL_FIELD(spl_hazard_layer, unread, SPL_LONG, "unread", "unread"),
    SPL_FIELD_NUM(spl_hazard_layer, accuracy_m, 1, "accuracy_m", "known to m"),
    SPL_FIELD(spl_hazard_layer, imported, SPL_DAY, "imported", "imported"),
    SPL_FIELD(spl_hazard_layer, source, SPL_TEXT, "source", "source"),
    SPL_FIELD(spl_hazard_layer, crs, SPL_TEXT, "crs", NULL),
    SPL_FIELD(spl_hazard_layer, checksum, SPL_TEXT, "checksum", NULL),
    SPL_FIELD_NUM(spl_hazard_layer, min_lon, 6, "min_lon", NULL),
    SPL_FIELD_NUM(spl_hazard_layer, min_lat, 6, "min_lat", NULL),
    SPL_FIELD_NUM(spl_hazard_layer, max_lon, 6, "max_lon", NULL),
    SPL_FIELD_NUM(spl_hazard_layer, max_lat, 6, "max_lat", NULL),
};
const struct spl_shape spl_hazard_layer_shape = SPL_SHAPE("layer", spl_hazard_layer, layer_fields);

static const struct spl_field line_fields[] = {
    SPL_FIELD(spl_hazard_line, what, SPL_TEXT, "what", "hazard"),
    SPL_FIELD(spl_hazard_line, method, SPL_TEXT, "method", "method"),
    SPL_FIELD_NUM(spl_hazard_line, distance_m, 1, "distance_m", "m away"),
    SPL_FIELD_NUM(spl_hazard_line, uncertainty_m, 1, "uncertainty_m", NULL),
    SPL_FIELD(spl_hazard_line, on, SPL_DAY, "date", "sprayed"),
    SPL_FIELD(spl_hazard_line, product, SPL_TEXT, "product", "with"),
    SPL_FIELD(spl_hazard_line, layer, SPL_TEXT, "layer", "layer"),
    SPL_FIELD(spl_hazard_line, record, SPL_LONG, "record", "record"),
};
const struct spl_shape spl_hazard_line_shape = SPL_SHAPE("hazard", spl_hazard_line, line_fields);

static const struct spl_field method_fields[] = {
    SPL_FIELD(spl_method_line, method, SPL_TEXT, "method", "method"),
    SPL_FIELD(spl_method_line, name, SPL_TEXT, "name", "what it is"),
    SPL_FIELD(spl_method_line, lasting, SPL_BOOL, "lasting", "lasting"),
    SPL_FIELD_NUM(spl_method_line, closed_m, 1, "closed_m", "closed m"),
    SPL_FIELD_NUM(spl_method_line, ask_m, 1, "ask_m", "ask m"),
    SPL_FIELD(spl_method_line, hold_on_days, SPL_INT, "hold_on_days", "days on it"),
    SPL_FIELD(spl_method_line, hold_near_days, SPL_INT, "hold_near_days", "days beside"),
    SPL_FIELD(spl_method_line, changed, SPL_DAY, "changed", "changed"),
    SPL_FIELD(spl_method_line, why, SPL_TEXT, "why", "why"),
    SPL_FIELD(spl_method_line, source, SPL_TEXT, "source", NULL),
};
const struct spl_shape spl_method_line_shape = SPL_SHAPE("method", spl_method_line, method_fields);

/* ---- writing ---- */

static gboolean take_away(struct spl_book *book, gint64 id, GError **error)
{
    return spl_book_execute(
               book, error,
               "DELETE FROM hazard_box WHERE id IN (SELECT 2 * id FROM hazard WHERE"
               " layer_id = ?1 UNION ALL SELECT 2 * id + 1 FROM hazard WHERE layer_id ="
               " ?1)",
               "l", id) &&
           spl_book_execute(book, error, "DELETE FROM hazard WHERE layer_id = ?", "l", id) &&
           spl_book_execute(book, error, "DELETE FROM hazard_layer WHERE id = ?", "l", id);
}

static gint64 find_layer(struct spl_book *book, const char *name, GError **error)
{
    g_autofree char *key = spl_name_key(name);

    return spl_book_number(book, 0, error, "SELECT id FROM hazard_layer WHERE name_key = ?", "t",
                           key);
}

gboolean spl_hazard_layer_begin(struct spl_book *book, struct spl_hazard_layer *layer,
                                gboolean fresh, GError **error)
{
    g_autofree char *key = spl_name_key(layer->name), *uuid = spl_uuid_new();
    GError *failed = NULL;
    gint64 older = find_layer(book, layer->name, &failed), at;

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (older != 0 && fresh) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS,
                    "%s: there is a hazard or layer of that name; choose another, or drop it first "
                    "with 'hazard drop'",
                    layer->name);
        return FALSE;
    }
    if (older != 0 && !take_away(book, older, error))
        return FALSE;
    at = spl_book_stamp(book, &failed);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (!spl_book_execute(
            book, error,
            "INSERT INTO hazard_layer (uuid, name, name_key, source, checksum, crs,"
            " methods, records, unread, accuracy_m, min_lon, min_lat, max_lon, max_lat,"
            " day, at) VALUES (?, ?, ?, ?, ?, ?, '', 0, 0, NULL, -180, -90, 180, 90, ?, ?)",
            "ttttttdl", uuid, layer->name, key, layer->source, layer->checksum, layer->crs,
            layer->imported, at))
        return FALSE;
    layer->id = spl_book_last_id(book);
    return TRUE;
}

static gboolean box_is_sound(const struct spl_box *box)
{
    return box->min_lon >= -180 && box->max_lon <= 180 && box->min_lat >= -90 &&
           box->max_lat <= 90 && box->min_lon <= box->max_lon &&
           box->min_lat <= box->max_lat; /* FALSE with NAN */
}

/* The boxes of one shape; an id of its own for a second one beyond the 180th meridian. */
static gboolean put_boxes(struct spl_book *book, gint64 id, const struct spl_geometry *shape,
                          gint64 record, GError **error)
{
    struct spl_box boxes[2];
    int n = spl_geometry_boxes(shape, 0, boxes);

    for (int i = 0; i < n; i++) {
        if (!box_is_sound(&boxes[i])) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "record %" G_GINT64_FORMAT
                        ": its place on earth is not known; leave it out",
                        record);
            return FALSE;
        }
        if (!spl_book_execute(book, error, "INSERT INTO hazard_box VALUES (?, ?, ?, ?, ?)", "lrrrr",
                              2 * id + i, boxes[i].min_lon, boxes[i].max_lon, boxes[i].min_lat,
                              boxes[i].max_lat))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_hazard_box_again(struct spl_book *book, gint64 id, GError **error)
{
    g_autoptr(spl_statement) row =
        spl_statement_open(book, error, "SELECT record, shape FROM hazard WHERE id = ?", "l", id);
    g_autoptr(spl_geometry) shape = spl_geometry_new(SPL_GEOMETRY_POINT);
    const void *bytes;
    gsize size;

    if (row == NULL || !spl_statement_row(row, error))
        return FALSE;
    bytes = spl_column_blob(row, 1, &size);
    return spl_geometry_from_bytes(shape, bytes, size, error) &&
           spl_book_execute(book, error, "DELETE FROM hazard_box WHERE id BETWEEN ? AND ?", "ll",
                            2 * id, 2 * id + 1) &&
           put_boxes(book, id, shape, spl_column_long(row, 0), error);
}

gboolean spl_hazard_rebuild(struct spl_book *book, GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT id, record, shape FROM hazard h WHERE NOT EXISTS"
                           " (SELECT 1 FROM hazard_box b WHERE b.id = 2 * h.id) ORDER BY id",
                           "");
    g_autoptr(spl_geometry) shape = spl_geometry_new(SPL_GEOMETRY_POINT);
    GError *failed = NULL;

    while (rows != NULL && failed == NULL && spl_statement_row(rows, &failed)) {
        gsize size;
        const void *bytes = spl_column_blob(rows, 2, &size);

        if (spl_geometry_from_bytes(shape, bytes, size, &failed))
            (void)put_boxes(book, spl_column_long(rows, 0), shape, spl_column_long(rows, 1),
                            &failed);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

gboolean spl_hazard_put(struct spl_book *book, const struct spl_hazard_layer *layer,
                        const struct spl_hazard_put *hazard, GError **error)
{
    g_autoptr(GBytes) shape = spl_geometry_to_bytes(hazard->shape);
    gint64 id;

    if (!spl_book_execute(book, error,
                          "INSERT INTO hazard (layer_id, record, name, method, product, day, shape)"
                          " VALUES (?, ?, ?, ?, ?, ?, ?)",
                          "lltttdb", layer->id, hazard->record, hazard->name, hazard->method,
                          hazard->product, hazard->on, shape))
        return FALSE;
    id = spl_book_last_id(book);
    return put_boxes(book, id, hazard->shape, hazard->record, error);
}

gboolean spl_hazard_layer_end(struct spl_book *book, const struct spl_hazard_layer *layer,
                              GError **error)
{
    return spl_book_execute(
        book, error,
        "UPDATE hazard_layer SET methods = ?, records = ?, unread = ?, accuracy_m"
        " = ?, min_lon = ?, min_lat = ?, max_lon = ?, max_lat = ?, crs = ?"
        " WHERE id = ?",
        "tllrrrrrtl", layer->methods, layer->records, layer->unread, layer->accuracy_m,
        layer->min_lon, layer->min_lat, layer->max_lon, layer->max_lat, layer->crs, layer->id);
}

gboolean spl_hazard_layer_drop(struct spl_book *book, const char *name, GError **error)
{
    GError *failed = NULL;
    gint64 id = find_layer(book, name, &failed);
    g_autoptr(GPtrArray) names = NULL;
    g_autofree char *offer = NULL;
    GArray *layers;

    if (failed == NULL && id != 0)
        return take_away(book, id, error);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    layers = spl_hazard_layers(book, error);
    if (layers == NULL)
        return FALSE;
    names = g_ptr_array_new();
    for (guint i = 0; i < layers->len; i++)
        g_ptr_array_add(names, g_array_index(layers, struct spl_hazard_layer, i).name);
    offer = spl_names_offer(name, names);
    g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                "%s: there is no hazard or layer of that name%s%s", name, offer,
                *offer == '\0' ? "; look at 'hazard list'" : "");
    spl_list_free(&spl_hazard_layer_shape, layers);
    return FALSE;
}

/* ---- reading ---- */

GArray *spl_hazard_layers(struct spl_book *book, GError **error)
{
    GArray *layers = spl_list_new(&spl_hazard_layer_shape);
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT id, name, source, checksum, crs, methods, records, unread, accuracy_m, min_lon,"
        " min_lat, max_lon, max_lat, day FROM hazard_layer ORDER BY name_key",
        "");
    GError *failed = NULL;

    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_hazard_layer layer = {
            .id = spl_column_long(rows, 0),
            .name = spl_column_text(rows, 1),
            .source = spl_column_text(rows, 2),
            .checksum = spl_column_text(rows, 3),
            .crs = spl_column_text(rows, 4),
            .methods = spl_column_text(rows, 5),
            .records = spl_column_long(rows, 6),
            .unread = spl_column_long(rows, 7),
            .accuracy_m = spl_column_real(rows, 8),
            .min_lon = spl_column_real(rows, 9),
            .min_lat = spl_column_real(rows, 10),
            .max_lon = spl_column_real(rows, 11),
            .max_lat = spl_column_real(rows, 12),
            .imported = spl_column_day(rows, 13),
        };

        g_array_append_val(layers, layer);
    }
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        spl_list_free(&spl_hazard_layer_shape, layers);
        return NULL;
    }
    return layers;
}

static gboolean give_row(struct spl_statement *rows,
                         gboolean (*each)(const struct spl_hazard_row *row, gpointer data,
                                          GError **error),
                         gpointer data, GError **error)
{
    struct spl_hazard_row row = {
        .id = spl_column_long(rows, 0),
        .layer_id = spl_column_long(rows, 1),
        .record = spl_column_long(rows, 2),
        .name = spl_column_peek(rows, 3),
        .method = spl_column_peek(rows, 4),
        .product = spl_column_peek(rows, 5),
        .on = spl_column_day(rows, 6),
    };

    row.shape = spl_column_blob(rows, 7, &row.shape_size);
    return each(&row, data, error);
}

#define ROW_COLUMNS "h.id, h.layer_id, h.record, h.name, h.method, h.product, h.day, h.shape"

gboolean spl_hazard_near(struct spl_book *book, const struct spl_box *boxes, int n,
                         gboolean (*each)(const struct spl_hazard_row *row, gpointer data,
                                          GError **error),
                         gpointer data, GError **error)
{
    g_autoptr(GHashTable) seen =
        n > 1 ? g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL) : NULL;
    GError *failed = NULL;

    for (int i = 0; i < n && failed == NULL; i++) {
        g_autoptr(spl_statement) rows = spl_statement_open(
            book, error,
            "SELECT " ROW_COLUMNS
            ", b.id & 1 FROM hazard_box b CROSS JOIN hazard h ON h.id = b.id / 2"
            " WHERE b.max_lon >= ? AND b.min_lon <= ? AND b.max_lat >= ? AND b.min_lat <= ?",
            "rrrr", boxes[i].min_lon, boxes[i].max_lon, boxes[i].min_lat, boxes[i].max_lat);

        if (rows == NULL)
            return FALSE;
        while (failed == NULL && spl_statement_row(rows, &failed)) {
            if (seen != NULL) {
                gint64 id = spl_column_long(rows, 0);

                if (!g_hash_table_add(seen, g_memdup2(&id, sizeof id)))
                    continue;
            }
            (void)give_row(rows, each, data, &failed);
        }
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

gboolean spl_hazard_each(struct spl_book *book,
                         gboolean (*each)(const struct spl_hazard_row *row, gpointer data,
                                          GError **error),
                         gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT " ROW_COLUMNS " FROM hazard h ORDER BY h.layer_id, h.record, h.id",
        "");
    GError *failed = NULL;

    while (rows != NULL && failed == NULL && spl_statement_row(rows, &failed))
        (void)give_row(rows, each, data, &failed);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

gboolean spl_hazard_expect_many(struct spl_book *book, GError **error)
{
    return spl_book_script(book, "PRAGMA cache_size = -32768; PRAGMA mmap_size = 134217728", error);
}

/* ---- figures ---- */

gboolean spl_method_figure_add(struct spl_book *book, const struct spl_method_line *line,
                               const char *by, GError **error)
{
    g_autofree char *uuid = spl_uuid_new();
    GError *failed = NULL;
    gint64 at = spl_book_stamp(book, &failed);

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    return spl_book_execute(
        book, error,
        "INSERT INTO method_figure (uuid, method, closed_m, ask_m, hold_on_days,"
        " hold_near_days, day, why, by, at) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        "ttrriidttl", uuid, line->method, line->closed_m, line->ask_m, line->hold_on_days,
        line->hold_near_days, line->changed, line->why, by, at);
}

GArray *spl_method_figures(struct spl_book *book, GError **error)
{
    GArray *lines = spl_list_new(&spl_method_line_shape);
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT method, closed_m, ask_m, hold_on_days, hold_near_days, day, why FROM method_figure "
        "f"
        " WHERE NOT EXISTS (SELECT 1 FROM method_figure g WHERE g.method = f.method AND"
        " (g.at, g.uuid) > (f.at, f.uuid)) ORDER BY method",
        "");
    GError *failed = NULL;

    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_method_line line = {
            .method = spl_column_text(rows, 0),
            .closed_m = spl_column_real(rows, 1),
            .ask_m = spl_column_real(rows, 2),
            .hold_on_days = spl_column_int(rows, 3),
            .hold_near_days = spl_column_int(rows, 4),
            .changed = spl_column_day(rows, 5),
            .why = spl_column_text(rows, 6),
        };

        g_array_append_val(lines, line);
    }
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        spl_list_free(&spl_method_line_shape, lines);
        return NULL;
    }
    return lines;
}
