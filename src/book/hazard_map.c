/* SPDX-License-Identifier: MIT
 *
 * The map of hazards against the shapes: every box of the R*Tree must hold the exact shape that it
 * stands for (SQLite keeps single precision, rounded outward), and a layer's bounds all its shapes.
 * See book/derive.h.
 */
#include <string.h>

#include "book/derive.h"
#include "book/hazard.h"
#include "book/statement.h"
#include "core/geometry.h"

#define SHOWN 5 /* records named one by one */

/* What is wrong with one layer, gathered from its records. */
struct layer {
    gint64 id;
    char *name;
    GString *off; /* records that are not on the map where they lie */
    guint n_off, n_outside;
    struct spl_box bounds; /* as they should be at least */
};

struct map {
    struct spl_book *book;
    gboolean mend;
    GArray *mendings;
    GArray *off; /* gint64: hazards whose boxes are to be made again */
};

static gboolean holds(const struct spl_box *outer, const struct spl_box *inner)
{
    return outer->min_lon <= inner->min_lon && outer->max_lon >= inner->max_lon &&
           outer->min_lat <= inner->min_lat && outer->max_lat >= inner->max_lat;
}

/* Whether the tree's rows for hazard `id` are those `n` boxes. */
static gboolean boxes_hold(struct spl_book *book, gint64 id, const struct spl_box *boxes, int n,
                           gboolean *hold, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT id & 1, min_lon, min_lat, max_lon, max_lat FROM hazard_box WHERE id BETWEEN ?"
        " AND ? ORDER BY id",
        SPL_WITH(2 * id, 2 * id + 1));
    gboolean all = TRUE;
    GError *failed = NULL;
    struct spl_box box;
    int found = 0, which;

    while (rows != NULL && spl_statement_next(rows, &failed,
                                              SPL_INTO(&which, &box.min_lon, &box.min_lat,
                                                       &box.max_lon, &box.max_lat))) {
        found++;
        all = all && which < n && holds(&box, &boxes[which]);
    }
    *hold = all && found == n;
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

static void end_layer(struct map *map, struct layer *layer)
{
    if (layer->n_off > SHOWN)
        g_string_append_printf(layer->off, " and %u more", layer->n_off - SHOWN);
    if (layer->n_off > 0)
        spl_mending_add(map->mendings, g_strdup_printf("layer %s", layer->name),
                        g_strdup_printf("record%s %s %s not on the map where %s",
                                        layer->n_off == 1 ? "" : "s", layer->off->str,
                                        layer->n_off == 1 ? "is" : "are",
                                        layer->n_off == 1 ? "it lies" : "they lie"),
                        g_strdup("put on the map again from the exact shapes"), NULL);
    if (layer->n_outside > 0)
        spl_mending_add(map->mendings, g_strdup_printf("layer %s", layer->name),
                        g_strdup_printf("its bounds leave out %u of its records", layer->n_outside),
                        g_strdup("bounds widened to hold them"), NULL);
    g_free(layer->name);
    g_string_free(layer->off, TRUE);
}

/* A hazard beside its layer, as they are walked; texts and shape stand till the next step. */
struct row {
    gint64 id, layer_id, record;
    const char *name; /* of the layer */
    struct spl_blob shape;
    struct spl_box bounds; /* of the layer */
};

static gboolean next_row(struct spl_statement *rows, struct row *row, GError **error)
{
    return spl_statement_next(rows, error,
                              SPL_INTO(&row->id, &row->layer_id, &row->name, &row->record,
                                       &row->shape, &row->bounds.min_lon, &row->bounds.min_lat,
                                       &row->bounds.max_lon, &row->bounds.max_lat));
}

static void begin_layer(struct layer *layer, const struct row *row)
{
    *layer = (struct layer){.id = row->layer_id,
                            .name = g_strdup(row->name),
                            .off = g_string_new(NULL),
                            .bounds = row->bounds};
}

/* Widened to hold the boxes: all the way round for two of them, as an import does. */
static gboolean widen(struct spl_box *bounds, const struct spl_box *boxes, int n)
{
    struct spl_box whole = boxes[0];

    if (n == 2) {
        whole.min_lon = -180;
        whole.max_lon = 180;
    }
    if (holds(bounds, &whole))
        return FALSE;
    bounds->min_lon = MIN(bounds->min_lon, whole.min_lon);
    bounds->min_lat = MIN(bounds->min_lat, whole.min_lat);
    bounds->max_lon = MAX(bounds->max_lon, whole.max_lon);
    bounds->max_lat = MAX(bounds->max_lat, whole.max_lat);
    return TRUE;
}

static gboolean look_at_hazard(struct map *map, struct layer *layer, const struct row *row,
                               struct spl_geometry *shape, GError **error)
{
    g_autoptr(GError) unreadable = NULL;
    struct spl_box boxes[2];
    gboolean hold;
    int n;

    if (!spl_geometry_from_bytes(shape, row->shape.data, row->shape.size, &unreadable)) {
        spl_mending_add(
            map->mendings,
            g_strdup_printf("layer %s, record %" G_GINT64_FORMAT, layer->name, row->record),
            g_strdup_printf("its shape is damaged (%s)", unreadable->message), NULL,
            g_strdup("import the layer again"));
        return TRUE;
    }
    n = spl_geometry_boxes(shape, 0, boxes);
    if (!boxes_hold(map->book, row->id, boxes, n, &hold, error))
        return FALSE;
    if (!hold) {
        if (layer->n_off++ < SHOWN)
            g_string_append_printf(layer->off, "%s%" G_GINT64_FORMAT, layer->n_off > 1 ? ", " : "",
                                   row->record);
        g_array_append_val(map->off, row->id);
    }
    if (widen(&layer->bounds, boxes, n))
        layer->n_outside++;
    return TRUE;
}

static gboolean write_bounds(struct map *map, const struct layer *layer, GError **error)
{
    return layer->n_outside == 0 || !map->mend ||
           spl_book_execute(map->book, error,
                            "UPDATE hazard_layer SET min_lon = ?, min_lat = ?, max_lon = ?,"
                            " max_lat = ? WHERE id = ?",
                            SPL_WITH(layer->bounds.min_lon, layer->bounds.min_lat,
                                     layer->bounds.max_lon, layer->bounds.max_lat, layer->id));
}

static gboolean look_at_shapes(struct map *map, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        map->book, error,
        "SELECT h.id, l.id, l.name, h.record, h.shape, l.min_lon, l.min_lat, l.max_lon, l.max_lat"
        " FROM hazard_layer l CROSS JOIN hazard h ON h.layer_id = l.id ORDER BY l.id, h.id",
        SPL_NONE);
    g_autoptr(spl_geometry) shape = spl_geometry_new(SPL_GEOMETRY_POINT);
    struct layer layer = {0};
    struct row row;
    GError *failed = NULL;

    while (rows != NULL && failed == NULL && next_row(rows, &row, &failed)) {
        if (layer.id != row.layer_id) {
            if (layer.id != 0 && write_bounds(map, &layer, &failed))
                end_layer(map, &layer);
            begin_layer(&layer, &row);
        }
        if (failed == NULL)
            (void)look_at_hazard(map, &layer, &row, shape, &failed);
    }
    if (layer.id != 0) {
        if (failed == NULL)
            (void)write_bounds(map, &layer, &failed);
        end_layer(map, &layer);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

/* Boxes of hazards that are gone. */
static gboolean look_at_orphans(struct map *map, GError **error)
{
    GError *failed = NULL;
    gint64 n = spl_book_number(map->book, 0, &failed,
                               "SELECT count(*) FROM hazard_box b WHERE NOT EXISTS"
                               " (SELECT 1 FROM hazard h WHERE h.id = b.id / 2)",
                               SPL_NONE);

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (n == 0)
        return TRUE;
    spl_mending_add(
        map->mendings, g_strdup("map of hazards"),
        g_strdup_printf("shows %" G_GINT64_FORMAT " that %s gone", n, n == 1 ? "is" : "are"),
        g_strdup("taken off the map"), NULL);
    return !map->mend || spl_book_execute(map->book, error,
                                          "DELETE FROM hazard_box WHERE id NOT IN"
                                          " (SELECT 2 * id FROM hazard UNION ALL"
                                          "  SELECT 2 * id + 1 FROM hazard)",
                                          SPL_NONE);
}

/* A tree that is damaged in itself is made anew, empty; its own description is kept. */
static gboolean look_at_tree(struct map *map, gboolean *sound, GError **error)
{
    g_autoptr(spl_statement) row =
        spl_statement_open(map->book, error,
                           "SELECT rtreecheck('hazard_box'), (SELECT sql FROM sqlite_schema"
                           " WHERE name = 'hazard_box')",
                           SPL_NONE);
    g_autofree char *answer = NULL, *sql = NULL;

    if (row == NULL || !spl_statement_next(row, error, SPL_INTO(&answer, &sql)))
        return FALSE;
    g_clear_pointer(&row, spl_statement_done);
    *sound = g_strcmp0(answer, "ok") == 0;
    if (*sound)
        return TRUE;
    spl_mending_add(map->mendings, g_strdup("map of hazards"),
                    g_strdelimit(g_strdup_printf("is damaged (%s)", answer), "\n", ' '),
                    g_strdup("drawn anew from the exact shapes"), NULL);
    return !map->mend || (spl_book_script(map->book, "DROP TABLE hazard_box", error) &&
                          spl_book_script(map->book, sql, error));
}

static gboolean put_back(struct map *map, GError **error)
{
    for (guint i = 0; i < map->off->len; i++) {
        if (!spl_hazard_box_again(map->book, g_array_index(map->off, gint64, i), error))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_hazard_map_look(struct spl_book *book, gboolean mend, GArray *mendings, GError **error)
{
    g_autoptr(GArray) off = g_array_new(FALSE, FALSE, sizeof(gint64));
    struct map map = {book, mend, mendings, off};
    gboolean sound;

    if (!look_at_tree(&map, &sound, error))
        return FALSE;
    /* What is in a damaged tree says nothing; a new one is empty, and all is put on it. */
    if (!sound && !mend)
        return TRUE;
    return look_at_orphans(&map, error) && look_at_shapes(&map, error) &&
           (!mend || put_back(&map, error));
}
