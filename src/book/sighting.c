/* SPDX-License-Identifier: MIT
 *
 * Stages seen. See book/sighting.h.
 */
#include "book/sighting.h"

#include "book/statement.h"

static gboolean append(struct spl_book *book, const char *sql, const char *material, gint64 site_id,
                       struct spl_day until, int most, gboolean harvest, GArray *list,
                       GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error, sql, SPL_WITH(material, site_id, until, most));
    struct spl_seen seen = {.harvest = harvest};
    GError *failed = NULL;

    while (rows != NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&seen.site_id, &seen.stage, &seen.on)))
        g_array_append_val(list, seen);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

GArray *spl_seen_list(struct spl_book *book, const char *material, gint64 site_id,
                      struct spl_day until, int most, GError **error)
{
    /* The candidates come from the rows as written, by index; their present values from the view.
     */
    static const char notes[] = "SELECT n.site_id, n.stage, n.day FROM (SELECT id FROM stage_note"
                                " WHERE material = ?1 AND ?2 = 0 ORDER BY day DESC LIMIT ?4) c"
                                " JOIN stage_note_now n ON n.id = c.id"
                                " WHERE n.struck IS NULL AND n.day <= ?3";
    static const char notes_at[] =
        "SELECT n.site_id, n.stage, n.day FROM (SELECT id FROM stage_note"
        " WHERE site_id = ?2 AND material = ?1 ORDER BY day DESC LIMIT ?4) c"
        " JOIN stage_note_now n ON n.id = c.id"
        " WHERE n.struck IS NULL AND n.day <= ?3";
    static const char log[] = "SELECT n.site_id, n.stage, n.day FROM (SELECT id FROM harvest"
                              " WHERE material = ?1 AND ?2 = 0 ORDER BY day DESC LIMIT ?4) c"
                              " JOIN harvest_now n ON n.id = c.id"
                              " WHERE n.struck IS NULL AND n.day <= ?3";
    static const char log_at[] = "SELECT n.site_id, n.stage, n.day FROM (SELECT id FROM harvest"
                                 " WHERE site_id = ?2 AND material = ?1 ORDER BY day DESC"
                                 " LIMIT ?4) c JOIN harvest_now n ON n.id = c.id"
                                 " WHERE n.struck IS NULL AND n.day <= ?3";
    GArray *list = g_array_new(FALSE, FALSE, sizeof(struct spl_seen));

    if (append(book, site_id == 0 ? notes : notes_at, material, site_id, until, most, FALSE, list,
               error) &&
        append(book, site_id == 0 ? log : log_at, material, site_id, until, most, TRUE, list,
               error))
        return list;
    g_array_unref(list);
    return NULL;
}

gboolean spl_seen_notes(struct spl_book *book, const char *material, struct spl_day first,
                        struct spl_day last, int most, GArray *list, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT n.site_id, n.stage, n.day FROM (SELECT id FROM stage_note WHERE material = ?1"
        " AND day BETWEEN ?2 AND ?3 ORDER BY day DESC LIMIT ?4) c"
        " JOIN stage_note_now n ON n.id = c.id WHERE n.struck IS NULL",
        SPL_WITH(material, first, last, most));
    struct spl_seen seen = {.harvest = FALSE};
    GError *failed = NULL;

    while (rows != NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&seen.site_id, &seen.stage, &seen.on)))
        g_array_append_val(list, seen);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

GPtrArray *spl_seen_materials(struct spl_book *book, GError **error)
{
    g_autoptr(GPtrArray) list = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT DISTINCT material FROM stage_note UNION SELECT DISTINCT material FROM harvest"
        " ORDER BY 1",
        SPL_NONE);
    GError *failed = NULL;
    char *material;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&material)))
        g_ptr_array_add(list, material);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows == NULL || failed != NULL ? NULL : g_steal_pointer(&list);
}
