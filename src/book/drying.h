/* SPDX-License-Identifier: MIT
 *
 * Dryings: herb on racks.
 */
#ifndef SPL_BOOK_DRYING_H
#define SPL_BOOK_DRYING_H

#include "book/book.h"
#include "simpling/record/drying.h"

/* Writes the row (id, uuid, code filled in); its sources are draws. Inside a transaction. */
gboolean spl_drying_add(struct spl_book *book, struct spl_drying *drying, GError **error);

/* "turn", "weigh", "test" or "finish"; weights NAN where not weighed, `how` of a test alone. Inside
 * a transaction. */
gboolean spl_drying_event_add(struct spl_book *book, gint64 drying_id, enum spl_drying_act act,
                              struct spl_day day, double weight_g, double garbled_g,
                              const char *how, const char *by, GError **error);

/* With its sources, events and takers. */
gboolean spl_drying_find(struct spl_book *book, const char *code, struct spl_drying *drying,
                         GError **error);

/* In order of day, without sources, events and takers. `open`: still on the rack. */
gboolean spl_drying_each(struct spl_book *book, gboolean open, gboolean all,
                         gboolean (*each)(const struct spl_drying *drying, gpointer data,
                                          GError **error),
                         gpointer data, GError **error);

/* Square metres of rack that open dryings take. */
double spl_drying_rack_taken_m2(struct spl_book *book, GError **error);

/* Fresh and dry grams of all finished dryings of a material from which nothing was taken before the
 * end: the ratio that one's own racks give. Zeros when there are none. */
gboolean spl_drying_learnt(struct spl_book *book, const char *material, double *fresh_g,
                           double *dry_g, int *count, GError **error);

#endif
