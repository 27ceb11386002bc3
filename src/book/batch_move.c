/* SPDX-License-Identifier: MIT
 *
 * Moved and dropped steps. See book/batch_move.h.
 */
#include "book/batch_move.h"

#include <string.h>

#include "book/amendment.h"
#include "book/statement.h"

#define PREFIX "due:"

gboolean spl_batch_move_add(struct spl_book *book, const char *batch_uuid, enum spl_step step,
                            struct spl_day due, const char *by, const char *why, GError **error)
{
    g_autofree char *field = g_strconcat(PREFIX, spl_step_name(step), NULL);

    return spl_amendment_add_day(book, batch_uuid, field, due, by, why, error);
}

GArray *spl_batch_move_list(struct spl_book *book, const char *batch_uuid, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT field, value, at FROM amendment_now WHERE subject = ?"
        " AND field >= '" PREFIX "' AND field < 'due;' ORDER BY field, at DESC, uuid DESC",
        SPL_WITH(batch_uuid));
    GArray *moves = g_array_new(FALSE, FALSE, sizeof(struct spl_batch_move));
    struct spl_batch_move move = {0};
    GError *failed = NULL;
    const char *field;
    gint64 at;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&field, &move.due, &at))) {
        enum spl_step step;

        if (!spl_step_parse(field + strlen(PREFIX), "step", &step, NULL))
            continue;
        move.on.n = (gint32)(at / G_USEC_PER_SEC / (24 * 60 * 60));
        move.step = (int)step;
        if (moves->len == 0 ||
            g_array_index(moves, struct spl_batch_move, moves->len - 1).step != move.step)
            g_array_append_val(moves, move);
    }
    if (rows != NULL && failed == NULL)
        return moves;
    if (failed != NULL)
        g_propagate_error(error, failed);
    g_array_unref(moves);
    return NULL;
}
