/* SPDX-License-Identifier: MIT
 *
 * Holds as rows. See book/hold.h.
 */
#include "book/hold.h"

#include "base/text.h"
#include "book/statement.h"

gboolean spl_hold_add(struct spl_book *book, gint64 thing_id, struct spl_day day, const char *why,
                      const char *by, GError **error)
{
    g_autofree char *uuid = spl_uuid_new();
    gint64 at = spl_book_stamp(book, error);

    return at > 0 && spl_book_execute(book, error,
                                      "INSERT INTO hold (uuid, thing_id, day, why, by, at)"
                                      " VALUES (?, ?, ?, ?, ?, ?)",
                                      "tldttl", uuid, thing_id, day, why, by, at);
}

gboolean spl_hold_find(struct spl_book *book, gint64 thing_id, char **why, GError **error)
{
    g_autoptr(spl_statement) row = spl_statement_open(
        book, error,
        "SELECT h.why FROM hold h WHERE h.thing_id = ?1 AND h.at > coalesce("
        " (SELECT max(r.at) FROM release r WHERE r.thing_id = ?1), 0) ORDER BY h.at DESC LIMIT 1",
        "l", thing_id);
    GError *failed = NULL;

    *why = NULL;
    if (row == NULL)
        return FALSE;
    if (spl_statement_row(row, &failed))
        *why = spl_column_text(row, 0);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    return TRUE;
}
