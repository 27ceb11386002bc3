/* SPDX-License-Identifier: MIT
 *
 * What was judged as rows. See book/judged.h; the triggers stand in migration_judged.c.
 */
#include "book/judged.h"

#include "book/site.h"
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
                             " OR EXISTS (SELECT 1 FROM judged_area)"
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
                               "SELECT EXISTS (SELECT 1 FROM judged_area) OR EXISTS"
                               " (SELECT 1 FROM judged_place p JOIN spray_note n"
                               " ON n.site_id = p.site_id WHERE n.kind = 'sprayed')",
                               SPL_NONE) != 0;
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

/* ---- what speaks of its neighbours ---- */

static void clear_danger(gpointer data)
{
    struct spl_judged_danger *danger = data;

    spl_geometry_free(danger->ground);
    g_free(danger->methods);
}

/* Wider boxes than this are no ground that one looks round. */
#define WIDEST_DEGREES 90.0

static gboolean add_areas(struct spl_book *book, GArray *dangers, gboolean *everywhere,
                          GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT min_lon, min_lat, max_lon, max_lat, methods, accuracy_m"
                           " FROM judged_area",
                           SPL_NONE);
    double min_lon, min_lat, max_lon, max_lat, accuracy_m;
    GError *failed = NULL;
    char *methods;

    while (rows != NULL && spl_statement_next(rows, &failed,
                                              SPL_INTO(&min_lon, &min_lat, &max_lon, &max_lat,
                                                       &methods, &accuracy_m))) {
        /* A line from corner to corner has the box of the layer. */
        struct spl_judged_danger danger = {.ground = spl_geometry_new(SPL_GEOMETRY_LINE),
                                           .methods = methods,
                                           .accuracy_m = accuracy_m};

        spl_geometry_begin(danger.ground, FALSE);
        spl_geometry_append(danger.ground, min_lon, min_lat);
        spl_geometry_append(danger.ground, max_lon, max_lat);
        *everywhere |= max_lon - min_lon > WIDEST_DEGREES;
        g_array_append_val(dangers, danger);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

struct wherever {
    GArray *dangers;
    char *methods;
};

static void add_spot(const struct spl_site_spot *spot, gpointer data)
{
    struct wherever *wherever = data;

    if (spot->ground == NULL)
        return; /* near nothing that could be reckoned */
    struct spl_judged_danger danger = {.ground = spl_geometry_copy(spot->ground),
                                       .methods = g_strdup(wherever->methods),
                                       .accuracy_m = spot->accuracy_m};
    g_array_append_val(wherever->dangers, danger);
}

/* By whatever it was ever said to be sprayed. */
static gboolean add_sprayed(struct spl_book *book, GArray *dangers, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT p.site_id, (SELECT group_concat(method, ',') FROM"
        "  (SELECT coalesce(n.method, 'unknown') AS method FROM spray_note n"
        "   WHERE n.site_id = p.site_id UNION SELECT a.value FROM spray_note n JOIN thing t"
        "   USING (id) JOIN amendment a ON a.subject = t.uuid AND a.field = 'method'"
        "   WHERE n.site_id = p.site_id)) FROM judged_place p WHERE EXISTS"
        " (SELECT 1 FROM spray_note n WHERE n.site_id = p.site_id AND n.kind = 'sprayed')",
        SPL_NONE);
    struct wherever wherever = {.dangers = dangers};
    GError *failed = NULL;
    gint64 id;

    while (rows != NULL && failed == NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&id, &wherever.methods))) {
        (void)spl_site_spots(book, id, add_spot, &wherever, &failed);
        g_free(wherever.methods);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

GArray *spl_judged_dangers(struct spl_book *book, gboolean *everywhere, GError **error)
{
    GArray *dangers = g_array_new(FALSE, FALSE, sizeof(struct spl_judged_danger));

    g_array_set_clear_func(dangers, clear_danger);
    *everywhere = FALSE;
    if (add_areas(book, dangers, everywhere, error) && add_sprayed(book, dangers, error))
        return dangers;
    g_array_unref(dangers);
    return NULL;
}

/* ---- the rows ---- */

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
           spl_book_execute(book, error, "DELETE FROM judged_area", SPL_NONE) &&
           spl_book_execute(book, error,
                            "INSERT INTO judged_basis (id, rules) VALUES (1, ?1)"
                            " ON CONFLICT (id) DO UPDATE SET rules = ?1",
                            SPL_WITH(rules));
}

gboolean spl_judged_mark(struct spl_book *book, const GArray *ids, GError **error)
{
    return put_each(book, "INSERT OR IGNORE INTO judged_place (site_id) VALUES (?)", ids, error);
}

gboolean spl_judged_places(struct spl_book *book, GArray *ids, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT site_id FROM judged_place ORDER BY site_id", SPL_NONE);

    return spl_statement_ids(rows, ids, error);
}

gboolean spl_judged_forget(struct spl_book *book, GError **error)
{
    return spl_book_execute(book, error, "DELETE FROM judged_basis", SPL_NONE);
}
