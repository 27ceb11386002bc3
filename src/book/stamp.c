/* SPDX-License-Identifier: MIT
 *
 * Stamps: the order in which facts were written. See book/book.h.
 */
#include "book/book.h"

#include "book/book_private.h"
#include "book/statement.h"

void spl_book_set_now(struct spl_book *book, gint64 now_us)
{
    book->now_us = now_us;
}

/* The latest stamp of what is ordered by stamps across tables: rows are appended, so the last row
 * of each is its latest; what a merge brought, in any order, is in the setting `stamp`. */
static const char last_stamp[] =
    "SELECT max(at) FROM (SELECT max(at) AS at FROM amendment"
    " UNION ALL SELECT CAST(value AS INTEGER) FROM setting WHERE key = 'stamp'"
    " UNION ALL SELECT (SELECT at FROM strike ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM answer ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM trust ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM reaction ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM recipe ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM note_line ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM note_file ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM liquid ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM baseline ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM draw ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM discard ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM release ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM hold ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM lot_event ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM drying_event ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM permission ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM stand_note ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM outing_version ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM window_fix ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM method_figure ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM lot_use ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM charge ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM batch_step ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM planned ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM outing ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM day_off ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM site ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM station ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM almanac ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM hazard_layer ORDER BY id DESC LIMIT 1)"
    " UNION ALL SELECT (SELECT at FROM thing ORDER BY id DESC LIMIT 1))";

gboolean spl_book_stamped(struct spl_book *book, gint64 *last, GError **error)
{
    if (book->last_us == 0) {
        GError *failed = NULL;
        gint64 found = spl_book_number(book, 0, &failed, last_stamp, SPL_NONE);

        if (failed != NULL) {
            g_propagate_error(error, failed);
            return FALSE;
        }
        book->last_us = found;
    }
    *last = book->last_us;
    return TRUE;
}

gint64 spl_book_stamp(struct spl_book *book, GError **error)
{
    gint64 now = book->now_us > 0 ? book->now_us : g_get_real_time(), last;

    if (!spl_book_stamped(book, &last, error))
        return 0;
    /* A clock set back must not make a correction older than the one it corrects. What is written
     * together has stamps without a gap, so that it can be told from what was written before
     * (book/last.h). */
    if (book->depth > 0 && book->stamped)
        book->last_us++;
    else
        book->last_us = MAX(now, last + 2);
    book->stamped = TRUE;
    return book->last_us;
}
