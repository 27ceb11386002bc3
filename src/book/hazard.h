/* SPDX-License-Identifier: MIT
 *
 * Hazards in the book: layers with exact shapes behind an R*Tree of boxes, and the figures of
 * methods that this book changed.
 */
#ifndef SPL_BOOK_HAZARD_H
#define SPL_BOOK_HAZARD_H

#include <glib.h>

#include "book/book.h"
#include "core/geometry.h"
#include "simpling/record/hazard.h"

/* ---- writing: begin a layer, put its hazards, end it; all in one transaction ---- */

/* What is put on the map. Texts are borrowed, NULL: none. */
struct spl_hazard_put {
    gint64 record;
    const char *name, *method, *product;
    struct spl_day on;
    const struct spl_geometry *shape; /* that spl_geometry_check passes */
};

/*
 * Takes an older layer of this name away and makes room for the new; `layer` gets its id. With
 * `fresh` an older one is SPL_ERROR_EXISTS.
 */
gboolean spl_hazard_layer_begin(struct spl_book *book, struct spl_hazard_layer *layer,
                                gboolean fresh, GError **error);
/* SPL_ERROR_INVALID: a shape whose box is not finite or not in order; it would be lost in the tree.
 */
gboolean spl_hazard_put(struct spl_book *book, const struct spl_hazard_layer *layer,
                        const struct spl_hazard_put *hazard, GError **error);
/* Writes what is known only at the end: methods, counts, accuracy, bounds. */
gboolean spl_hazard_layer_end(struct spl_book *book, const struct spl_hazard_layer *layer,
                              GError **error);

/* SPL_ERROR_NOT_FOUND offers the nearest names. Inside a transaction. */
gboolean spl_hazard_layer_drop(struct spl_book *book, const char *name, GError **error);

/* Makes the boxes anew from the shapes, where any is missing. Inside a transaction. */
gboolean spl_hazard_rebuild(struct spl_book *book, GError **error);

/* The same for one hazard, whatever boxes it has. Inside a transaction. */
gboolean spl_hazard_box_again(struct spl_book *book, gint64 id, GError **error);

/* ---- reading ---- */

/* All layers by name: a list of spl_hazard_layer_shape. */
GArray *spl_hazard_layers(struct spl_book *book, GError **error);

/* A hazard as it is stored; texts live till the next step. */
struct spl_hazard_row {
    gint64 id, layer_id, record;
    const char *name, *method, *product;
    struct spl_day on;
    const void *shape; /* bytes for spl_geometry_from_bytes */
    gsize shape_size;
};

/* Calls `each` for every hazard whose box meets one of the boxes, each once. */
gboolean spl_hazard_near(struct spl_book *book, const struct spl_box *boxes, int n,
                         gboolean (*each)(const struct spl_hazard_row *row, gpointer data,
                                          GError **error),
                         gpointer data, GError **error);

/* Calls `each` for every hazard, by layer and record. */
gboolean spl_hazard_each(struct spl_book *book,
                         gboolean (*each)(const struct spl_hazard_row *row, gpointer data,
                                          GError **error),
                         gpointer data, GError **error);

/* Before asking about many sites: the first 128 MB of the book are mapped into memory, and 32 MB of
 * other pages kept instead of SQLite's 2. */
gboolean spl_hazard_expect_many(struct spl_book *book, GError **error);

/* ---- figures ---- */

/* Writes the figures that `line` has. Inside a transaction. */
gboolean spl_method_figure_add(struct spl_book *book, const struct spl_method_line *line,
                               const char *by, GError **error);
/* Those that hold, by method: a list of spl_method_line_shape (name, lasting, source unset). */
GArray *spl_method_figures(struct spl_book *book, GError **error);

#endif
