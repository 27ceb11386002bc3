/* SPDX-License-Identifier: MIT
 *
 * Holds as rows. See book/hold.h.
 */
#include "book/hold.h"

#include "book/noun.h"

gboolean spl_hold_add(struct spl_book *book, gint64 thing_id, struct spl_day day, const char *why,
                      const char *by, GError **error)
{
    return spl_fact_add(book, "hold", SPL_NAMED(thing_id, day, why, by), error);
}
