/* SPDX-License-Identifier: MIT
 *
 * Fixed windows. See book/window.h.
 */
#include "book/window.h"

#include "base/text.h"
#include "book/statement.h"

gboolean spl_window_fix_add(struct spl_book *book, const struct spl_window_fix *fix, GError **error)
{
    g_autofree char *uuid = spl_uuid_new();
    gint64 at = spl_book_stamp(book, error);

    return at != 0 &&
           spl_book_execute(book, error,
                            "INSERT INTO window_fix (uuid, site_id, material, use, flush, year,"
                            " start, end, at) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
                            "tlttiiddl", uuid, fix->site_id, fix->material, fix->use, fix->flush,
                            fix->year, fix->start, fix->end, at);
}

struct spl_window_fixes {
    GHashTable *by_key; /* text -> struct span */
};

struct span {
    struct spl_day start, end;
};

static char *key_of(gint64 site_id, const char *material, const char *use, int flush)
{
    return g_strdup_printf("%" G_GINT64_FORMAT "|%s|%s|%d", site_id, material, use, flush);
}

struct spl_window_fixes *spl_window_fixes_load(struct spl_book *book, int year,
                                               struct spl_day until, GError **error)
{
    g_autoptr(spl_window_fixes) fixes = g_new0(struct spl_window_fixes, 1);
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT site_id, material, use, flush, start, end FROM window_fix WHERE year = ?"
        " AND at < ? ORDER BY at, uuid",
        "il", year, ((gint64)until.n + 1) * G_USEC_PER_SEC * 86400);
    GError *failed = NULL;

    fixes->by_key = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct span span = {spl_column_day(rows, 4), spl_column_day(rows, 5)};
        char *key = key_of(spl_column_long(rows, 0), spl_column_peek(rows, 1),
                           spl_column_peek(rows, 2), spl_column_int(rows, 3));

        /* Later notes come later and replace; one without days lets go. */
        if (spl_day_is_set(span.start)) {
            g_hash_table_replace(fixes->by_key, key, g_memdup2(&span, sizeof span));
        } else {
            g_hash_table_remove(fixes->by_key, key);
            g_free(key);
        }
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows == NULL || failed != NULL ? NULL : g_steal_pointer(&fixes);
}

void spl_window_fixes_free(struct spl_window_fixes *fixes)
{
    if (fixes == NULL)
        return;
    g_hash_table_unref(fixes->by_key);
    g_free(fixes);
}

gboolean spl_window_fixes_find(const struct spl_window_fixes *fixes, gint64 site_id,
                               const char *material, const char *use, int flush,
                               struct spl_day *start, struct spl_day *end)
{
    g_autofree char *key = NULL;
    const struct span *span;

    if (g_hash_table_size(fixes->by_key) == 0) /* the usual case, many times over */
        return FALSE;
    key = key_of(site_id, material, use, flush);
    span = g_hash_table_lookup(fixes->by_key, key);
    if (span == NULL)
        return FALSE;
    *start = span->start;
    *end = span->end;
    return TRUE;
}
