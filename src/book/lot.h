/* SPDX-License-Identifier: MIT
 *
 * Lots: what stands on the shelf, what happened to it, what went out.
 */
#ifndef SPL_BOOK_LOT_H
#define SPL_BOOK_LOT_H

#include "book/book.h"
#include "book/use.h"
#include "core/blend.h"
#include "simpling/record/lot.h"

/* Nothing of it stands anywhere any more: struck, used up or destroyed. */
gboolean spl_lot_is_gone(const struct spl_lot *lot);

/* Writes the row (id, uuid, code filled in); its sources are draws. `blend` is the whole of it
 * (zero for dried herb), `hold` what it waits for or NULL. Inside a transaction. */
gboolean spl_lot_add(struct spl_book *book, struct spl_lot *lot, const struct spl_blend *blend,
                     const char *hold, GError **error);

/* Each with why, a count with counted and difference instead. Inside a
 * transaction. */
gboolean spl_lot_event_add(struct spl_book *book, gint64 lot_id, enum spl_lot_act act,
                           struct spl_day day, const char *why, double counted, double difference,
                           const char *by, GError **error);

/* What went out of it with this use. Inside a transaction. */
gboolean spl_lot_use_add(struct spl_book *book, gint64 lot_id, const struct spl_use *use,
                         double amount, GError **error);

/* With events, uses, sources and takers. `today` tells what is out of date. `blend` (may be NULL)
 * gets one millilitre of it. */
gboolean spl_lot_find(struct spl_book *book, const char *code, struct spl_day today,
                      struct spl_lot *lot, struct spl_blend *blend, GError **error);

/* The same by row id, without events and codes. */
gboolean spl_lot_get(struct spl_book *book, gint64 id, struct spl_day today, struct spl_lot *lot,
                     GError **error);

/* In order of making; `all`: also used up, destroyed and struck. Without events, uses, codes. */
gboolean spl_lot_each(struct spl_book *book, struct spl_day today, gboolean all,
                      gboolean (*each)(const struct spl_lot *lot, gpointer data, GError **error),
                      gpointer data, GError **error);

/* Those that are not over (book/over.h), and of the others those in `also`: gint64, NULL: none. */
gboolean spl_lot_each_open(struct spl_book *book, struct spl_day today, const GArray *also,
                           gboolean (*each)(const struct spl_lot *lot, gpointer data,
                                            GError **error),
                           gpointer data, GError **error);

/* Appends the lots (gint64) that were made in a span of days, and those whose day was corrected. */
gboolean spl_lot_made_between(struct spl_book *book, struct spl_day first, struct spl_day last,
                              GArray *ids, GError **error);

/* One millilitre of it; zero of dried herb. */
struct spl_blend spl_lot_blend(const struct spl_lot *lot);

/* What went out of a lot: a list of spl_lot_use_shape. */
GArray *spl_lot_uses(struct spl_book *book, gint64 lot_id, GError **error);

/* How much went out of each lot behind `since` and up to `until`: gint64 id -> double, in its unit;
 * NULL with an error. */
GHashTable *spl_lot_out_between(struct spl_book *book, struct spl_day since, struct spl_day until,
                                GError **error);

/* What went out with one use, in the order in which it was said; of the same shape. */
GArray *spl_lot_uses_of(struct spl_book *book, gint64 use_id, GError **error);

#endif
