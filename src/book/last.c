/* SPDX-License-Identifier: MIT
 *
 * The last entry, by the stamps of its rows. See book/last.h.
 */
#include "book/last.h"

#include "book/code.h"
#include "book/setting.h"
#include "book/statement.h"

/* Every table of facts: what a row is about by the id of a thing (0: none), and its place. */
#define OF(table, thing, site)                                                                     \
    " UNION ALL SELECT '" table "', uuid, at, " thing ", " site " FROM " table                     \
    " WHERE mark = ?1 AND at >= ?2"
#define BY_UUID(uuid) "coalesce((SELECT h.id FROM thing h WHERE h.uuid = " uuid "), 0)"
/* Of a strike's strike, the thing that the first one struck. */
#define BY_STRIKE                                                                                  \
    "coalesce((SELECT h.id FROM thing h WHERE h.uuid = subject), (SELECT h.id FROM strike x"       \
    " JOIN thing h ON h.uuid = x.subject WHERE x.uuid = strike.subject), (SELECT h.id FROM"        \
    " strike x JOIN strike y ON y.uuid = x.subject JOIN thing h ON h.uuid = y.subject"             \
    " WHERE x.uuid = strike.subject), 0)"
#define SITE_BY_UUID "(SELECT s.id FROM site s WHERE s.uuid = subject)"

#define FACTS                                                                                      \
    "SELECT 'thing' AS name, uuid, at, id AS thing_id, NULL AS site_id FROM thing"                 \
    " WHERE mark = ?1 AND at >= ?2" OF("amendment", BY_UUID("subject"), SITE_BY_UUID) OF(          \
        "strike", BY_STRIKE, SITE_BY_UUID) OF("site", "0", "id") OF("permission", "0", "site_id")  \
        OF("stand_note", "0", "site_id") OF("release", "thing_id", "NULL")                         \
            OF("hold", "thing_id", "NULL") OF("discard", "thing_id", "NULL")                       \
                OF("draw", "taker_id", "NULL") OF("charge", "batch_id", "NULL")                    \
                    OF("batch_step", "batch_id", "NULL") OF("drying_event", "drying_id", "NULL")   \
                        OF("lot_event", "lot_id", "NULL") OF("lot_use", "use_id", "NULL")          \
                            OF("reaction", "coalesce(lot_id, 0)",                                  \
                               "NULL") OF("recipe", "batch_id", "NULL") OF("planned", "0", "NULL") \
                                OF("liquid", "0", "NULL") OF("answer", "0", "NULL")                \
                                    OF("trust", "0", "NULL") OF("station", "0", "NULL")            \
                                        OF("almanac", "0", "NULL") OF("window_fix", "0", "NULL")   \
                                            OF("outing", "0", "NULL")                              \
                                                OF("outing_version", "0", "NULL")                  \
                                                    OF("day_off", "0", "NULL")                     \
                                                        OF("hazard_layer", "0", "NULL")            \
                                                            OF("method_figure", "0", "NULL")

#define SPAN G_GINT64_CONSTANT(20000000) /* more rows than any one entry has */

void spl_last_row_clear(struct spl_last_row *row)
{
    g_free(row->table);
    g_free(row->uuid);
    g_free(row->code);
    g_free(row->subject);
    g_free(row->name);
}

/* Since when entries can be told apart; what is older has stamps as they came. */
static gint64 whole_since(struct spl_book *book, GError **error)
{
    return spl_book_number(book, 0, error,
                           "SELECT CAST(value AS INTEGER) + 1 FROM setting WHERE key ="
                           " 'whole_since'",
                           SPL_NONE);
}

GArray *spl_last_entry(struct spl_book *book, gint64 later_than, GError **error)
{
    g_autofree char *mark = g_strdup(spl_setting_mark(book));
    GError *failed = NULL;
    gint64 since = whole_since(book, &failed), last = 0, before = 0, at;
    g_autoptr(spl_statement) found = NULL;
    struct spl_last_row row;
    struct spl_coded coded;
    GArray *rows;

    if (failed == NULL && later_than > 0)
        since = MAX(since, later_than + 1);
    else if (failed == NULL)
        last = spl_book_number(book, 0, &failed, "SELECT max(at) FROM (" FACTS ")",
                               SPL_WITH(mark, since));
    if (failed == NULL)
        found = spl_statement_open(
            book, &failed,
            "SELECT f.name, f.uuid, f.at, coalesce(f.thing_id, 0), t.kind, t.mark, t.year,"
            " t.number, t.uuid, s.name FROM (" FACTS ") f LEFT JOIN thing t ON t.id = f.thing_id"
            " LEFT JOIN site_now s ON s.id = f.site_id ORDER BY f.at DESC",
            SPL_WITH(mark, MAX(since, last - SPAN)));
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return NULL;
    }
    rows = g_array_new(FALSE, FALSE, sizeof row);
    g_array_set_clear_func(rows, (GDestroyNotify)spl_last_row_clear);
    while (spl_statement_next(
        found, &failed,
        SPL_INTO(&row.table, &row.uuid, &at, &row.thing_id, &coded, &row.subject, &row.name))) {
        row.code = spl_coded_format(book, &coded);
        if (before != 0 && at < before - 1) {
            spl_last_row_clear(&row);
            break;
        }
        before = at;
        g_array_prepend_val(rows, row);
    }
    if (failed == NULL)
        return rows;
    g_propagate_error(error, failed);
    g_array_unref(rows);
    return NULL;
}

gboolean spl_entry_is_known(struct spl_book *book, const char *uuid, gboolean *known,
                            GError **error)
{
    g_autofree char *mark = g_strdup(spl_setting_mark(book));
    GError *failed = NULL;
    gint64 n;

    n = spl_book_number(book, 0, &failed, "SELECT count(*) FROM (" FACTS ") WHERE uuid = ?3",
                        SPL_WITH(mark, G_GINT64_CONSTANT(0), uuid));
    *known = n > 0;
    if (failed == NULL)
        return TRUE;
    g_propagate_error(error, failed);
    return FALSE;
}
