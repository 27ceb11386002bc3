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
#include "book/noun.h"
#include "simpling/error.h"
#include "simpling/record/site.h"

/* methods and what is reckoned of the records are written when the layer ends. */
static const struct spl_field layer_fields[] = {
    SPL_FIELD(spl_hazard_layer, name, SPL_TEXT, "layer", "layer", SPL_STORED("name"),
              .empty = TRUE),
    SPL_FIELD(spl_hazard_layer, methods, SPL_TEXT, "methods", "methods", SPL_STORED("methods"),
              .empty = TRUE),
    SPL_FIELD(spl_hazard_layer, records, SPL_LONG, "records", "records", SPL_STORED("records")),
    SPL_FIELD(spl_hazard_layer, unread, SPL_LONG, "unread", "unread", SPL_STORED("unread")),
    SPL_FIELD_NUM(spl_hazard_layer, accuracy_m, 1, "accuracy_m", "known to m",
                  SPL_STORED("accuracy_m")),
    SPL_FIELD(spl_hazard_layer, imported, SPL_DAY, "imported", "imported", SPL_STORED("day")),
    SPL_FIELD(spl_hazard_layer, source, SPL_TEXT, "source", "source", SPL_STORED("source"),
              .empty = TRUE),
    SPL_FIELD(spl_hazard_layer, crs, SPL_TEXT, "crs", NULL, SPL_STORED("crs")),
    SPL_FIELD(spl_hazard_layer, checksum, SPL_TEXT, "checksum", NULL, SPL_STORED("checksum")),
    SPL_FIELD_NUM(spl_hazard_layer, min_lon, 6, "min_lon", NULL, SPL_STORED("min_lon")),
    SPL_FIELD_NUM(spl_hazard_layer, min_lat, 6, "min_lat", NULL, SPL_STORED("min_lat")),
    SPL_FIELD_NUM(spl_hazard_layer, max_lon, 6, "max_lon", NULL, SPL_STORED("max_lon")),
    SPL_FIELD_NUM(spl_hazard_layer, max_lat, 6, "max_lat", NULL, SPL_STORED("max_lat")),
    SPL_FIELD_LIST(spl_hazard_layer, touched, &spl_touched_shape, "touched", NULL),
    SPL_FIELD_KEPT(spl_hazard_layer, id, SPL_LONG, SPL_ID("id")),
    SPL_FIELD_KEPT(spl_hazard_layer, uuid, SPL_TEXT, SPL_READ("t.uuid"), .empty = TRUE),
};
const struct spl_shape spl_hazard_layer_shape = SPL_SHAPE("layer", spl_hazard_layer, layer_fields);

const struct spl_noun spl_hazard_layer_noun = {
    .shape = &spl_hazard_layer_shape,
    .table = "hazard_layer",
    /* One of a colleague's that has the name of another is told apart by its mark. */
    .from = "(SELECT l.id, l.uuid, l.mark, l.at, l.name || CASE WHEN l.name_key LIKE '% (' ||"
            " l.mark || ')' AND l.name NOT LIKE '% (' || l.mark || ')' THEN ' (' || l.mark || ')'"
            " ELSE '' END AS name, l.name_key, l.methods, l.records, l.unread, l.accuracy_m, l.day,"
            " l.source, l.crs, l.checksum, l.min_lon, l.min_lat, l.max_lon, l.max_lat"
            " FROM hazard_layer l) t",
    .fact = TRUE,
};

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
    SPL_FIELD(spl_method_line, method, SPL_TEXT, "method", "method", SPL_STORED("method"),
              .empty = TRUE),
    SPL_FIELD(spl_method_line, name, SPL_TEXT, "name", "what it is"),
    SPL_FIELD(spl_method_line, lasting, SPL_BOOL, "lasting", "lasting"),
    SPL_FIELD_NUM(spl_method_line, closed_m, 1, "closed_m", "closed m", SPL_STORED("closed_m")),
    SPL_FIELD_NUM(spl_method_line, ask_m, 1, "ask_m", "ask m", SPL_STORED("ask_m")),
    SPL_FIELD(spl_method_line, hold_on_days, SPL_INT, "hold_on_days", "days on it",
              SPL_STORED("hold_on_days")),
    SPL_FIELD(spl_method_line, hold_near_days, SPL_INT, "hold_near_days", "days beside",
              SPL_STORED("hold_near_days")),
    SPL_FIELD(spl_method_line, changed, SPL_DAY, "changed", "changed", SPL_STORED("day")),
    SPL_FIELD(spl_method_line, why, SPL_TEXT, "why", "why", SPL_STORED("why"), .empty = TRUE),
    SPL_FIELD(spl_method_line, source, SPL_TEXT, "source", NULL),
};
const struct spl_shape spl_method_line_shape = SPL_SHAPE("method", spl_method_line, method_fields);

const struct spl_noun spl_method_figure_noun = {
    .shape = &spl_method_line_shape,
    .table = "method_figure",
    .from = "method_figure_now t",
    .fact = TRUE,
};

/* ---- writing ---- */

static gboolean take_away(struct spl_book *book, gint64 id, GError **error)
{
    return spl_book_execute(
               book, error,
               "DELETE FROM hazard_box WHERE id IN (SELECT 2 * id FROM hazard WHERE"
               " layer_id = ?1 UNION ALL SELECT 2 * id + 1 FROM hazard WHERE layer_id ="
               " ?1)",
               SPL_WITH(id)) &&
           spl_book_execute(book, error, "DELETE FROM hazard WHERE layer_id = ?", SPL_WITH(id)) &&
           spl_book_execute(book, error, "DELETE FROM hazard_layer WHERE id = ?", SPL_WITH(id));
}

static gint64 find_layer(struct spl_book *book, const char *name, GError **error)
{
    g_autofree char *key = spl_name_key(name);

    return spl_book_number(book, 0, error, "SELECT id FROM hazard_layer WHERE name_key = ?",
                           SPL_WITH(key));
}

gboolean spl_hazard_layer_begin(struct spl_book *book, struct spl_hazard_layer *layer,
                                gboolean fresh, GError **error)
{
    g_autofree char *name_key = spl_name_key(layer->name);
    struct spl_hazard_layer begun = *layer;
    GError *failed = NULL;
    gint64 older = find_layer(book, layer->name, &failed);

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (older != 0 && fresh) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS,
                    "%s: there is a hazard or layer of that name; choose another, or drop it first",
                    layer->name);
        return FALSE;
    }
    if (older != 0 && !take_away(book, older, error))
        return FALSE;
    begun.methods = (char *)""; /* known at the end */
    begun.records = begun.unread = 0;
    begun.accuracy_m = NAN;
    begun.min_lon = -180;
    begun.min_lat = -90;
    begun.max_lon = 180;
    begun.max_lat = 90;
    if (!spl_noun_add(book, &spl_hazard_layer_noun, &begun, begun.imported, SPL_NAMED(name_key),
                      error))
        return FALSE;
    layer->id = begun.id;
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
        if (!spl_book_execute(book, error, "INSERT INTO hazard_box VALUES (?, ?, ?, ?, ?)",
                              SPL_WITH(2 * id + i, boxes[i].min_lon, boxes[i].max_lon,
                                       boxes[i].min_lat, boxes[i].max_lat)))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_hazard_box_again(struct spl_book *book, gint64 id, GError **error)
{
    g_autoptr(spl_statement) row = spl_statement_open(
        book, error, "SELECT record, shape FROM hazard WHERE id = ?", SPL_WITH(id));
    g_autoptr(spl_geometry) shape = spl_geometry_new(SPL_GEOMETRY_POINT);
    struct spl_blob bytes;
    gint64 record;

    return row != NULL && spl_statement_next(row, error, SPL_INTO(&record, &bytes)) &&
           spl_geometry_from_bytes(shape, bytes.data, bytes.size, error) &&
           spl_book_execute(book, error, "DELETE FROM hazard_box WHERE id BETWEEN ? AND ?",
                            SPL_WITH(2 * id, 2 * id + 1)) &&
           put_boxes(book, id, shape, record, error);
}

gboolean spl_hazard_rebuild(struct spl_book *book, GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT id, record, shape FROM hazard h WHERE NOT EXISTS"
                           " (SELECT 1 FROM hazard_box b WHERE b.id = 2 * h.id) ORDER BY id",
                           SPL_NONE);
    g_autoptr(spl_geometry) shape = spl_geometry_new(SPL_GEOMETRY_POINT);
    struct spl_blob bytes;
    gint64 id, record;
    GError *failed = NULL;

    while (rows != NULL && failed == NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&id, &record, &bytes))) {
        if (spl_geometry_from_bytes(shape, bytes.data, bytes.size, &failed))
            (void)put_boxes(book, id, shape, record, &failed);
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
                          SPL_WITH(layer->id, hazard->record, hazard->name, hazard->method,
                                   hazard->product, hazard->on, shape)))
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
        SPL_WITH(layer->methods, layer->records, layer->unread, layer->accuracy_m, layer->min_lon,
                 layer->min_lat, layer->max_lon, layer->max_lat, layer->crs, layer->id));
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
                *offer == '\0' ? "; look at the list of hazards" : "");
    spl_list_free(&spl_hazard_layer_shape, layers);
    return FALSE;
}

/* ---- reading ---- */

GArray *spl_hazard_layers(struct spl_book *book, GError **error)
{
    return spl_noun_list(book, &spl_hazard_layer_noun, "ORDER BY t.name_key", SPL_NONE, error);
}

/* The next hazard; its texts and shape stand till the step after. */
static gboolean next_row(struct spl_statement *rows, struct spl_hazard_row *row, GError **error)
{
    struct spl_blob shape;

    if (!spl_statement_next(rows, error,
                            SPL_INTO(&row->id, &row->layer_id, &row->record, &row->name,
                                     &row->method, &row->product, &row->on, &shape)))
        return FALSE;
    row->shape = shape.data;
    row->shape_size = shape.size;
    return TRUE;
}

#define ROW_COLUMNS "h.id, h.layer_id, h.record, h.name, h.method, h.product, h.day, h.shape"

gboolean spl_hazard_near(struct spl_book *book, const struct spl_box *boxes, int n,
                         gboolean (*each)(const struct spl_hazard_row *row, gpointer data,
                                          GError **error),
                         gpointer data, GError **error)
{
    g_autoptr(GHashTable) seen =
        n > 1 ? g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL) : NULL;
    struct spl_hazard_row row;
    GError *failed = NULL;

    for (int i = 0; i < n && failed == NULL; i++) {
        g_autoptr(spl_statement) rows = spl_statement_open(
            book, error,
            "SELECT " ROW_COLUMNS
            ", b.id & 1 FROM hazard_box b CROSS JOIN hazard h ON h.id = b.id / 2"
            " WHERE b.max_lon >= ? AND b.min_lon <= ? AND b.max_lat >= ? AND b.min_lat <= ?",
            SPL_WITH(boxes[i].min_lon, boxes[i].max_lon, boxes[i].min_lat, boxes[i].max_lat));

        if (rows == NULL)
            return FALSE;
        while (failed == NULL && next_row(rows, &row, &failed)) {
            if (seen == NULL || g_hash_table_add(seen, g_memdup2(&row.id, sizeof row.id)))
                (void)each(&row, data, &failed);
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
        SPL_NONE);
    struct spl_hazard_row row;
    GError *failed = NULL;

    while (rows != NULL && failed == NULL && next_row(rows, &row, &failed))
        (void)each(&row, data, &failed);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

gboolean spl_hazard_expect_many(struct spl_book *book, GError **error)
{
    return spl_book_script(book, "PRAGMA cache_size = -32768", error);
}

/* ---- figures ---- */

gboolean spl_method_figure_add(struct spl_book *book, const struct spl_method_line *line,
                               const char *by, GError **error)
{
    struct spl_method_line written = *line;

    return spl_noun_add(book, &spl_method_figure_noun, &written, line->changed, SPL_NAMED(by),
                        error);
}

GArray *spl_method_figures(struct spl_book *book, GError **error)
{
    return spl_noun_list(
        book, &spl_method_figure_noun,
        "WHERE NOT EXISTS (SELECT 1 FROM method_figure_now g WHERE g.method = t.method"
        " AND (g.at, g.uuid) > (t.at, t.uuid)) ORDER BY t.method",
        SPL_NONE, error);
}
