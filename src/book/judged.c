/* SPDX-License-Identifier: MIT
 *
 * What was judged as rows. See book/judged.h; the triggers stand in migration_judged.c.
 */
#include "book/judged.h"

#include "book/statement.h"

char *spl_judged_basis(struct spl_book *book, GError **error)
{
    g_autoptr(spl_statement) row =
        spl_statement_open(book, error, "SELECT rules FROM judged_basis", SPL_NONE);
    const char *rules;

    return row != NULL && spl_statement_next(row, error, SPL_INTO(&rules)) ? g_strdup(rules) : NULL;
}

gboolean spl_judged_stale(struct spl_book *book, gboolean *stale, GError **error)
{
    GError *failed = NULL;

    *stale = spl_book_number(book, 0, &failed,
                             "SELECT NOT EXISTS (SELECT 1 FROM judged_basis)"
                             " OR EXISTS (SELECT 1 FROM judged_place)"
                             " OR EXISTS (SELECT 1 FROM judged_harvest WHERE known = 0)",
                             SPL_NONE) != 0;
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

gboolean spl_judged_spreads(struct spl_book *book, gboolean *spreads, GError **error)
{
    GError *failed = NULL;

    *spreads = spl_book_number(book, 0, &failed,
                               "SELECT EXISTS (SELECT 1 FROM judged_place p JOIN spray_note n"
                               " ON n.site_id = p.site_id WHERE n.kind = 'sprayed')",
                               SPL_NONE) != 0;
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

#define OF_PLACES                                                                                  \
    " UNION SELECT h.id FROM judged_place p CROSS JOIN harvest h ON h.site_id = p.site_id"

gboolean spl_judged_list(struct spl_book *book, gboolean again, GArray *ids, GError **error)
{
    g_autoptr(spl_statement) rows =
        again
            ? spl_statement_open(book, error,
                                 "SELECT harvest_id FROM judged_harvest WHERE known = 0" OF_PLACES,
                                 SPL_NONE)
            : spl_statement_open(book, error, "SELECT harvest_id FROM judged_harvest" OF_PLACES,
                                 SPL_NONE);

    return spl_statement_ids(rows, ids, error);
}

gboolean spl_judged_held(struct spl_book *book, GArray *by_hand, GArray *settled, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT h.id, (h.held LIKE 'ask: %' OR h.verdict = 'closed') AND NOT EXISTS (SELECT 1"
        " FROM live s WHERE s.subject = t.uuid) FROM harvest h JOIN thing t USING (id)"
        " WHERE h.held IS NOT NULL",
        SPL_NONE);
    GError *failed = NULL;
    gint64 id;
    int of_ground;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&id, &of_ground)))
        g_array_append_val(of_ground ? settled : by_hand, id);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

static gboolean put_each(struct spl_book *book, const char *sql, const GArray *ids, GError **error)
{
    for (guint i = 0; i < ids->len; i++)
        if (!spl_book_execute(book, error, sql, SPL_WITH(g_array_index(ids, gint64, i))))
            return FALSE;
    return TRUE;
}

gboolean spl_judged_put(struct spl_book *book, const char *rules, const GArray *judged,
                        const GArray *against, GError **error)
{
    gboolean ok =
        judged != NULL
            ? put_each(book, "DELETE FROM judged_harvest WHERE harvest_id = ?", judged, error)
            : spl_book_execute(book, error, "DELETE FROM judged_harvest", SPL_NONE);

    return ok &&
           put_each(book, "INSERT INTO judged_harvest (harvest_id, known) VALUES (?, 1)", against,
                    error) &&
           spl_book_execute(book, error, "DELETE FROM judged_place", SPL_NONE) &&
           spl_book_execute(book, error,
                            "INSERT INTO judged_basis (id, rules) VALUES (1, ?1)"
                            " ON CONFLICT (id) DO UPDATE SET rules = ?1",
                            SPL_WITH(rules));
}

gboolean spl_judged_forget(struct spl_book *book, GError **error)
{
    return spl_book_execute(book, error, "DELETE FROM judged_basis", SPL_NONE);
}
