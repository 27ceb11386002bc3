/* SPDX-License-Identifier: MIT
 *
 * What was thrown away. See book/discard.h.
 */
#include "book/discard.h"

#include <math.h>

#include "book/code.h"
#include "book/statement.h"

/* Zero means "not counted so" in the table's two amounts. */
static double amount_of(struct spl_statement *rows, int column)
{
    double amount = spl_column_real(rows, column);

    return amount > 0.0 ? amount : (double)NAN;
}

gboolean spl_discard_each(struct spl_book *book, struct spl_day first, struct spl_day last,
                          gboolean (*each)(const struct spl_discard_row *row, gpointer data,
                                           GError **error),
                          gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT t.kind, t.mark, t.year, t.number, d.day, d.grams, d.ml, d.why, d.by FROM discard d"
        " JOIN thing t ON t.id = d.thing_id WHERE d.day BETWEEN ? AND ? ORDER BY d.day, d.at",
        "dd", first, last);
    GError *failed = NULL;
    gboolean ok = rows != NULL;

    while (ok && spl_statement_row(rows, &failed)) {
        struct spl_discard_row row = {
            .code = spl_code_format(book, spl_column_peek(rows, 0)[0], spl_column_peek(rows, 1),
                                    spl_column_int(rows, 2), spl_column_int(rows, 3)),
            .day = spl_column_day(rows, 4),
            .grams = amount_of(rows, 5),
            .ml = amount_of(rows, 6),
            .why = spl_column_text(rows, 7),
            .by = spl_column_text(rows, 8),
        };

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
