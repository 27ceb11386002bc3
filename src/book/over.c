/* SPDX-License-Identifier: MIT
 *
 * What is over, as rows. See book/over.h; the triggers stand in migration_over.c.
 */
#include "book/over.h"

#include "book/statement.h"

/* Columns are laid out by hand. */
/* clang-format off */

#define LEFT "(l.amount + l.counted - l.drawn - l.used - l.discarded)"

/* Of thing `id`. A lot is over when it was struck, destroyed or used up; what was withdrawn is
 * shown until it is destroyed, though nothing may be left. A jar is over when it was struck or
 * pressed. */
#define IS_OVER(id)                                                                                \
    "coalesce((SELECT l.struck IS NOT NULL OR coalesce(l.decided, '') = 'destroy'"                 \
    "   OR (coalesce(l.decided, '') <> 'withdraw' AND " LEFT " < 0.05)"                            \
    "   FROM lot_now l WHERE l.id = " id "),"                                                      \
    " (SELECT b.struck IS NOT NULL OR b.pressed IS NOT NULL FROM batch_now b WHERE b.id = " id "),"\
    " 0)"

/* The last day on which anything came into an empty lot or went out of it. */
#define HAS_ENDED(id)                                                                              \
    "(SELECT max(l.day, (SELECT day FROM lot WHERE id = " id "),"                                  \
    "   coalesce((SELECT max(day) FROM lot_use WHERE lot_id = " id "), l.day),"                    \
    "   coalesce((SELECT max(day) FROM lot_event WHERE lot_id = " id "), l.day),"                  \
    "   coalesce((SELECT max(day) FROM discard WHERE thing_id = " id "), l.day),"                  \
    "   coalesce((SELECT max(day) FROM draw WHERE source_id = " id "), l.day))"                    \
    "   FROM lot_now l WHERE l.id = " id " AND abs(" LEFT ") < 0.05)"

gboolean spl_over_settle(struct spl_book *book, GError **error)
{
    return spl_book_execute(book, error,
                            "UPDATE judged_over SET over = " IS_OVER("thing_id")
                            ", ended = " HAS_ENDED("thing_id") " WHERE over IS NULL",
                            SPL_NONE);
}

gboolean spl_over_faults(struct spl_book *book, guint *wrong, GError **error)
{
    GError *failed = NULL;
    gint64 n = spl_book_number(book, 0, &failed,
                               "SELECT (SELECT count(*) FROM thing t WHERE t.kind IN ('B', 'L')"
                               "   AND NOT EXISTS (SELECT 1 FROM judged_over o"
                               "     WHERE o.thing_id = t.id))"
                               " + (SELECT count(*) FROM judged_over o WHERE o.over IS NOT NULL"
                               "   AND (o.over <> " IS_OVER("o.thing_id")
                               "     OR o.ended IS NOT " HAS_ENDED("o.thing_id") "))",
                               SPL_NONE);

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    *wrong = (guint)n;
    return TRUE;
}

gboolean spl_over_again(struct spl_book *book, GError **error)
{
    return spl_book_execute(book, error, "DELETE FROM judged_over", SPL_NONE) &&
           spl_book_execute(book, error,
                            "INSERT INTO judged_over (thing_id) SELECT id FROM lot"
                            " UNION ALL SELECT id FROM batch",
                            SPL_NONE) &&
           spl_over_settle(book, error);
}

/* clang-format on */
