/* SPDX-License-Identifier: MIT
 *
 * Stages seen. See book/sighting.h.
 */
#include "book/sighting.h"

#include "book/statement.h"

/*
 * The candidates come from the rows as they were written, by index; what each says now from the
 * view, row by row. So a view, which is dear to prepare, is prepared once for every question about
 * it, and not at all where nothing was seen.
 */
static gboolean append_now(struct spl_book *book, const GArray *ids, gboolean harvest,
                           struct spl_day until, GArray *list, GError **error)
{
    static const char note[] = "SELECT site_id, stage, day FROM stage_note_now WHERE id = ?"
                               " AND struck IS NULL AND day <= ?";
    static const char entry[] = "SELECT site_id, stage, day FROM harvest_now WHERE id = ?"
                                " AND struck IS NULL AND day <= ?";
    struct spl_seen seen = {.harvest = harvest};

    for (guint i = 0; i < ids->len; i++) {
        g_autoptr(spl_statement) row = spl_statement_open(
            book, error, harvest ? entry : note, SPL_WITH(g_array_index(ids, gint64, i), until));
        GError *failed = NULL;

        if (row == NULL)
            return FALSE;
        if (spl_statement_next(row, &failed, SPL_INTO(&seen.site_id, &seen.stage, &seen.on)))
            g_array_append_val(list, seen);
        if (failed != NULL) {
            g_propagate_error(error, failed);
            return FALSE;
        }
    }
    return TRUE;
}

static gboolean append(struct spl_book *book, const char *sql, const struct spl_value *values,
                       gboolean harvest, struct spl_day until, GArray *list, GError **error)
{
    g_autoptr(GArray) ids = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(spl_statement) rows = spl_statement_open(book, error, sql, values);

    return spl_statement_ids(rows, ids, error) &&
           append_now(book, ids, harvest, until, list, error);
}

gboolean spl_seen_notes_at(struct spl_book *book, const char *material, gint64 site_id,
                           struct spl_day until, int most, GArray *list, GError **error)
{
    return append(book,
                  "SELECT id FROM stage_note WHERE site_id = ? AND material = ?"
                  " ORDER BY day DESC, id DESC LIMIT ?",
                  SPL_WITH(site_id, material, most), FALSE, until, list, error);
}

GArray *spl_seen_list(struct spl_book *book, const char *material, gint64 site_id,
                      struct spl_day until, int most, GError **error)
{
    static const char notes[] =
        "SELECT id FROM stage_note WHERE material = ? ORDER BY day DESC LIMIT ?";
    static const char log[] = "SELECT id FROM harvest WHERE material = ? ORDER BY day DESC LIMIT ?";
    static const char log_at[] = "SELECT id FROM harvest WHERE site_id = ? AND material = ?"
                                 " ORDER BY day DESC LIMIT ?";
    const struct spl_value *everywhere = SPL_WITH(material, most);
    GArray *list = g_array_new(FALSE, FALSE, sizeof(struct spl_seen));

    if (site_id == 0
            ? append(book, notes, everywhere, FALSE, until, list, error) &&
                  append(book, log, everywhere, TRUE, until, list, error)
            : spl_seen_notes_at(book, material, site_id, until, most, list, error) &&
                  append(book, log_at, SPL_WITH(site_id, material, most), TRUE, until, list, error))
        return list;
    g_array_unref(list);
    return NULL;
}

gboolean spl_seen_notes(struct spl_book *book, const char *material, struct spl_day first,
                        struct spl_day last, int most, GArray *list, GError **error)
{
    return append(book,
                  "SELECT id FROM stage_note WHERE material = ? AND day BETWEEN ? AND ?"
                  " ORDER BY day DESC LIMIT ?",
                  SPL_WITH(material, first, last, most), FALSE, last, list, error);
}

GArray *spl_seen_between(struct spl_book *book, const char *material, gint64 site_id,
                         struct spl_day first, struct spl_day last, GError **error)
{
    /* A day that was put right stands elsewhere than the row says. */
#define WHOSE_DAY(table)                                                                           \
    "SELECT h.id FROM " table " h WHERE h.material = ?1 AND (?2 = 0 OR h.site_id = ?2)"            \
    " AND h.day BETWEEN ?3 AND ?4 UNION SELECT h.id FROM amended a"                                \
    " JOIN thing t ON t.uuid = a.subject JOIN " table " h ON h.id = t.id"                          \
    " WHERE a.field = 'day' AND h.material = ?1 AND (?2 = 0 OR h.site_id = ?2)"
    const struct spl_value *values = SPL_WITH(material, site_id, first, last);
    GArray *list = g_array_new(FALSE, FALSE, sizeof(struct spl_seen));
    guint kept = 0;

    if (!append(book, WHOSE_DAY("stage_note"), values, FALSE, last, list, error) ||
        !append(book, WHOSE_DAY("harvest"), values, TRUE, last, list, error)) {
        g_array_unref(list);
        return NULL;
    }
#undef WHOSE_DAY
    for (guint i = 0; i < list->len; i++) {
        const struct spl_seen one = g_array_index(list, struct spl_seen, i);

        if (spl_day_compare(one.on, first) >= 0)
            g_array_index(list, struct spl_seen, kept++) = one;
    }
    g_array_set_size(list, kept);
    return list;
}

static GPtrArray *materials_of(struct spl_book *book, const char *sql, GError **error)
{
    g_autoptr(GPtrArray) list = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(spl_statement) rows = spl_statement_open(book, error, sql, SPL_NONE);
    GError *failed = NULL;
    char *material;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&material)))
        g_ptr_array_add(list, material);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows == NULL || failed != NULL ? NULL : g_steal_pointer(&list);
}

GPtrArray *spl_seen_noted(struct spl_book *book, GError **error)
{
    /* From one to the next by the index: there are few, and of each there may be many notes. */
    return materials_of(
        book,
        "WITH RECURSIVE m (material) AS (SELECT min(material) FROM stage_note UNION ALL"
        " SELECT (SELECT min(n.material) FROM stage_note n WHERE n.material > m.material)"
        " FROM m WHERE m.material IS NOT NULL)"
        " SELECT material FROM m WHERE material IS NOT NULL",
        error);
}

GPtrArray *spl_seen_materials(struct spl_book *book, GError **error)
{
    return materials_of(book,
                        "SELECT DISTINCT material FROM stage_note UNION SELECT DISTINCT material"
                        " FROM harvest ORDER BY 1",
                        error);
}
