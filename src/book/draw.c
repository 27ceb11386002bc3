/* SPDX-License-Identifier: MIT
 *
 * Draws and discards as rows. See book/draw.h.
 */
#include "book/draw.h"

#include "book/code.h"
#include "book/noun.h"

gboolean spl_draw_add(struct spl_book *book, gint64 taker_id, gint64 source_id, struct spl_day day,
                      double grams, double ml, GError **error)
{
    return spl_fact_add(book, "draw", SPL_NAMED(taker_id, source_id, day, grams, ml), error);
}

/* Codes out of rows of kind, mark, year, number. */
static GPtrArray *codes_of(struct spl_book *book, struct spl_statement *rows, GError **error)
{
    GPtrArray *codes = g_ptr_array_new_with_free_func(g_free);
    struct spl_coded coded;
    GError *failed = NULL;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&coded)))
        g_ptr_array_add(codes, spl_coded_format(book, &coded));
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        g_ptr_array_unref(codes);
        return NULL;
    }
    return codes;
}

GPtrArray *spl_draw_takers(struct spl_book *book, gint64 id, GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT t.kind, t.mark, t.year, t.number FROM draw_now d"
                           " JOIN thing t ON t.id = d.taker_id WHERE d.source_id = ?"
                           " GROUP BY t.id ORDER BY t.id",
                           SPL_WITH(id));

    return codes_of(book, rows, error);
}

GPtrArray *spl_draw_sources(struct spl_book *book, gint64 id, GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT t.kind, t.mark, t.year, t.number FROM thing t WHERE t.id IN"
                           " (SELECT source_id FROM draw_of WHERE taker_id = ?) ORDER BY t.id",
                           SPL_WITH(id));

    return codes_of(book, rows, error);
}

gboolean spl_draw_each_source(struct spl_book *book, gint64 id, spl_draw_visit each, gpointer data,
                              GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT t.kind, t.mark, t.year, t.number, sum(d.ml) FROM draw_now d"
                           " JOIN thing t ON t.id = d.source_id WHERE d.taker_id = ?"
                           " GROUP BY t.id ORDER BY t.id",
                           SPL_WITH(id));
    struct spl_coded coded;
    GError *failed = NULL;
    double ml;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&coded, &ml))) {
        g_autofree char *code = spl_coded_format(book, &coded);

        each(code, ml, data);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

gboolean spl_discard_add(struct spl_book *book, gint64 thing_id, struct spl_day day, double grams,
                         double ml, const char *why, const char *by, GError **error)
{
    return spl_fact_add(book, "discard", SPL_NAMED(thing_id, day, grams, ml, why, by), error);
}
