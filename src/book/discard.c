/* SPDX-License-Identifier: MIT
 *
 * What was thrown away. See book/discard.h.
 */
#include "book/discard.h"

#include "book/code.h"
#include "book/noun.h"

static const struct spl_field thrown_fields[] = {
    SPL_FIELD(spl_thrown, date, SPL_DAY, "date", "date", SPL_READ("day")),
    SPL_FIELD_NUM(spl_thrown, g, 1, "g", "g", SPL_READ("nullif(t.grams, 0)")),
    SPL_FIELD_NUM(spl_thrown, ml, 1, "ml", "mL", SPL_READ("nullif(t.ml, 0)")),
    SPL_FIELD(spl_thrown, why, SPL_TEXT, "why", "why", SPL_READ("why"), .empty = TRUE),
    SPL_FIELD(spl_thrown, by, SPL_TEXT, "by", "by", SPL_READ("by")),
};
const struct spl_shape spl_thrown_shape = SPL_SHAPE("thrown", spl_thrown, thrown_fields);

const struct spl_noun spl_thrown_noun = {.shape = &spl_thrown_shape, .from = "discard_now t"};

GArray *spl_thrown_list(struct spl_book *book, gint64 thing_id, GError **error)
{
    return spl_noun_list(book, &spl_thrown_noun,
                         "WHERE t.thing_id = ? ORDER BY t.day, t.at, t.uuid", SPL_WITH(thing_id),
                         error);
}

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
