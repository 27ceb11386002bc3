/* SPDX-License-Identifier: MIT
 *
 * Draws: what one thing took from another. They are the trace.
 */
#ifndef SPL_BOOK_DRAW_H
#define SPL_BOOK_DRAW_H

#include <glib.h>

#include "book/book.h"
#include "simpling/day.h"

/* Writes one; an amount that does not apply is NAN. Inside a transaction. */
gboolean spl_draw_add(struct spl_book *book, gint64 taker_id, gint64 source_id, struct spl_day day,
                      double grams, double ml, GError **error);

/* Codes of what stands and drew on `id`, and of what `id` drew on; oldest first. Arrays of char *,
 * free with g_ptr_array_unref; NULL with an error. */
GPtrArray *spl_draw_takers(struct spl_book *book, gint64 id, GError **error);
GPtrArray *spl_draw_sources(struct spl_book *book, gint64 id, GError **error);

/* What `id` drew on, with how much in all, mL; NAN: not measured by volume. Oldest first. */
typedef void (*spl_draw_visit)(const char *code, double ml, gpointer data);
gboolean spl_draw_each_source(struct spl_book *book, gint64 id, spl_draw_visit each, gpointer data,
                              GError **error);

/* Throws something away. Inside a transaction. */
gboolean spl_discard_add(struct spl_book *book, gint64 thing_id, struct spl_day day, double grams,
                         double ml, const char *why, const char *by, GError **error);

#endif
