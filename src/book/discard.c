/* SPDX-License-Identifier: MIT
 *
 * What was thrown away. See book/discard.h.
 */
#include "book/discard.h"

#include "book/code.h"
#include "book/noun.h"

/* Zero means "not counted so" in the table's two amounts. */
#define DISCARDS                                                                                   \
    "SELECT t.kind, t.mark, t.year, t.number, d.day, nullif(d.grams, 0), nullif(d.ml, 0),"         \
    " d.why, d.by FROM discard_now d JOIN thing t ON t.id = d.thing_id WHERE "

static gboolean relay(struct spl_book *book, struct spl_statement *rows,
                      gboolean (*each)(const struct spl_discard_row *row, gpointer data,
                                       GError **error),
                      gpointer data, GError **error)
{
    struct spl_discard_row row;
    struct spl_coded coded;
    GError *failed = NULL;
    gboolean ok = rows != NULL;

    while (ok &&
           spl_statement_next(rows, &failed,
                              SPL_INTO(&coded, &row.day, &row.grams, &row.ml, &row.why, &row.by))) {
        row.code = spl_coded_format(book, &coded);
        ok = each(&row, data, error);
        g_free(row.code);
        g_free(row.why);
        g_free(row.by);
    }
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    return ok;
}

gboolean spl_discard_each(struct spl_book *book, struct spl_day first, struct spl_day last,
                          gboolean (*each)(const struct spl_discard_row *row, gpointer data,
                                           GError **error),
                          gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, DISCARDS "d.day BETWEEN ? AND ? ORDER BY d.day, d.at", SPL_WITH(first, last));

    return relay(book, rows, each, data, error);
}

gboolean spl_discard_each_of(struct spl_book *book, gint64 thing_id,
                             gboolean (*each)(const struct spl_discard_row *row, gpointer data,
                                              GError **error),
                             gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, DISCARDS "d.thing_id = ? ORDER BY d.day, d.at", SPL_WITH(thing_id));

    return relay(book, rows, each, data, error);
}
