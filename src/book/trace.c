/* SPDX-License-Identifier: MIT
 *
 * The trace as two recursive questions. See book/trace.h.
 */
#include "book/trace.h"

#include "book/code.h"
#include "book/statement.h"

/* UNION drops what was reached before: that ends circles and counts a thing once. */
#define REACH(step)                                                                                \
    "WITH RECURSIVE reach (id) AS (SELECT value FROM json_each(?1) UNION " step ")"                \
    " SELECT t.id, t.kind, t.mark, t.year, t.number FROM reach JOIN thing t ON t.id = reach.id"    \
    " ORDER BY t.kind, t.id"

#define FORWARD "SELECT d.taker_id FROM reach JOIN draw_of d ON d.source_id = reach.id"
#define BACK "SELECT d.source_id FROM reach JOIN draw_of d ON d.taker_id = reach.id"

static void clear_reached(gpointer reached)
{
    g_free(((struct spl_reached *)reached)->code);
}

static char *seeds_json(const GArray *seeds)
{
    GString *json = g_string_new("[");

    for (guint i = 0; i < seeds->len; i++)
        g_string_append_printf(json, "%s%" G_GINT64_FORMAT, i > 0 ? "," : "",
                               g_array_index(seeds, gint64, i));
    return g_string_free(g_string_append_c(json, ']'), FALSE);
}

GArray *spl_trace_reach(struct spl_book *book, const GArray *seeds, gboolean forward,
                        GError **error)
{
    g_autofree char *json = seeds_json(seeds);
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error, forward ? REACH(FORWARD) : REACH(BACK), SPL_WITH(json));
    GArray *list = g_array_new(FALSE, FALSE, sizeof(struct spl_reached));
    struct spl_reached one = {0};
    struct spl_coded coded;
    GError *failed = NULL;

    g_array_set_clear_func(list, clear_reached);
    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&one.id, &coded))) {
        one.kind = coded.kind;
        one.code = spl_coded_format(book, &coded);
        g_array_append_val(list, one);
    }
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        g_array_unref(list);
        return NULL;
    }
    return list;
}

gboolean spl_trace_harvests(struct spl_book *book, gint64 site_id, struct spl_day from,
                            struct spl_day to, GArray *ids, GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT id FROM harvest_now WHERE site_id = ? AND day >= ? AND day <= ?"
                           " ORDER BY day, id",
                           SPL_WITH(site_id, from, to));

    return spl_statement_ids(rows, ids, error);
}
