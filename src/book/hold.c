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
