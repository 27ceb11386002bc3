/* SPDX-License-Identifier: MIT
 *
 * What the person made of our entries. See book/calendar_theirs.h.
 */
#include "book/calendar_theirs.h"

#include "book/noun.h"
#include "book/statement.h"
#include "simpling/error.h"

void spl_calendar_theirs_clear(struct spl_calendar_theirs *theirs)
{
    g_free(theirs->title);
    g_free(theirs->note);
    g_free(theirs->category);
    g_free(theirs->alarms);
    *theirs = SPL_CALENDAR_THEIRS_NONE;
}

void spl_calendar_theirs_free(gpointer theirs)
{
    if (theirs != NULL)
        spl_calendar_theirs_clear(theirs);
    g_free(theirs);
}

GHashTable *spl_calendar_theirs_of(struct spl_book *book, gint64 target_id, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT entry_id, title, note, category, alarms, coalesce(start_min, -1),"
        " coalesce(end_min, -1), hidden FROM calendar_theirs WHERE target_id = ?",
        SPL_WITH(target_id));
    g_autoptr(GHashTable) all =
        g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, spl_calendar_theirs_free);
    struct spl_calendar_theirs read = SPL_CALENDAR_THEIRS_NONE;
    GError *failed = NULL;
    gint64 id;

    while (rows != NULL &&
           spl_statement_next(rows, &failed,
                              SPL_INTO(&id, &read.title, &read.note, &read.category, &read.alarms,
                                       &read.start_min, &read.end_min, &read.hidden))) {
        g_hash_table_insert(all, g_memdup2(&id, sizeof id), g_memdup2(&read, sizeof read));
        read = SPL_CALENDAR_THEIRS_NONE; /* its texts are the table's now */
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL ? g_steal_pointer(&all) : NULL;
}

gboolean spl_calendar_theirs_put(struct spl_book *book, gint64 target_id, gint64 entry_id,
                                 const struct spl_calendar_theirs *theirs, GError **error)
{
    if (theirs->title == NULL && theirs->note == NULL && theirs->category == NULL &&
        theirs->alarms == NULL && theirs->start_min < 0 && !theirs->hidden)
        return spl_book_execute(book, error,
                                "DELETE FROM calendar_theirs WHERE target_id = ? AND entry_id = ?",
                                SPL_WITH(target_id, entry_id));
    return spl_book_execute(
        book, error,
        "INSERT OR REPLACE INTO calendar_theirs (target_id, entry_id, title, note, category,"
        " alarms, start_min, end_min, hidden)"
        " VALUES (?, ?, ?, ?, ?, ?, nullif(?, -1), nullif(?, -1), ?)",
        SPL_WITH(target_id, entry_id, theirs->title, theirs->note, theirs->category, theirs->alarms,
                 theirs->start_min, theirs->end_min, theirs->hidden ? 1 : 0));
}

gboolean spl_calendar_theirs_show(struct spl_book *book, gint64 entry_id, GError **error)
{
    return spl_book_execute(book, error, "UPDATE calendar_theirs SET hidden = 0 WHERE entry_id = ?",
                            SPL_WITH(entry_id));
}

gboolean spl_calendar_there_each(struct spl_book *book, gint64 target_id,
                                 gboolean (*each)(gint64 entry_id, gpointer data, GError **error),
                                 gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT entry_id FROM calendar_sent WHERE target_id = ? AND there = 1 AND cancelled = 0"
        " ORDER BY entry_id",
        SPL_WITH(target_id));

    return spl_statement_each_id(rows, each, data, error);
}

gboolean spl_calendar_there_put(struct spl_book *book, gint64 target_id, gint64 entry_id,
                                gboolean there, GError **error)
{
    return spl_book_execute(
        book, error, "UPDATE calendar_sent SET there = ? WHERE target_id = ? AND entry_id = ?",
        SPL_WITH(there ? 1 : 0, target_id, entry_id));
}

gboolean spl_calendar_row_get(struct spl_book *book, gint64 id, struct spl_calendar_row *row,
                              GError **error)
{
    GError *failed = NULL;

    if (spl_noun_get(book, &spl_calendar_entry_noun, "WHERE t.id = ?", SPL_WITH(id), row, &failed))
        return TRUE;
    if (failed != NULL)
        g_propagate_error(error, failed);
    else
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                    "the register of calendar entries has no row %" G_GINT64_FORMAT, id);
    return FALSE;
}
