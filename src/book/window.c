/* SPDX-License-Identifier: MIT
 *
 * Fixed windows. See book/window.h.
 */
#include "book/window.h"

#include "book/noun.h"

static const struct spl_field fix_fields[] = {
    SPL_FIELD_KEPT(spl_window_fix, site_id, SPL_LONG, SPL_STORED("site_id")),
    SPL_FIELD_KEPT(spl_window_fix, material, SPL_TEXT, SPL_STORED("material")),
    SPL_FIELD_KEPT(spl_window_fix, use, SPL_TEXT, SPL_STORED("use")),
    SPL_FIELD_KEPT(spl_window_fix, flush, SPL_INT, SPL_STORED("flush")),
    SPL_FIELD_KEPT(spl_window_fix, year, SPL_INT, SPL_STORED("year")),
    SPL_FIELD_KEPT(spl_window_fix, start, SPL_DAY, SPL_STORED("start")),
    SPL_FIELD_KEPT(spl_window_fix, end, SPL_DAY, SPL_STORED("end")),
};
static const struct spl_shape fix_shape = SPL_SHAPE("window_fix", spl_window_fix, fix_fields);

const struct spl_noun spl_window_fix_noun = {
    .shape = &fix_shape,
    .table = "window_fix",
    .from = "window_fix_now t",
    .fact = TRUE,
};

gboolean spl_window_fix_add(struct spl_book *book, const struct spl_window_fix *fix, GError **error)
{
    struct spl_window_fix written = *fix;

    return spl_noun_add(book, &spl_window_fix_noun, &written, fix->start, SPL_NONE, error);
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
    g_autoptr(spl_statement) rows = spl_noun_open(
        book, &spl_window_fix_noun, NULL, "WHERE t.year = ? AND t.at < ? ORDER BY t.at, t.uuid",
        SPL_WITH(year, ((gint64)until.n + 1) * G_USEC_PER_SEC * 86400), error);
    struct spl_window_fix fix;
    GError *failed = NULL;

    fixes->by_key = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    while (rows != NULL && spl_noun_next(rows, &fix, &failed)) {
        struct span span = {fix.start, fix.end};
        char *key = key_of(fix.site_id, fix.material, fix.use, fix.flush);

        /* Later notes come later and replace; one without days lets go. */
        if (spl_day_is_set(span.start)) {
            g_hash_table_replace(fixes->by_key, key, g_memdup2(&span, sizeof span));
        } else {
            g_hash_table_remove(fixes->by_key, key);
            g_free(key);
        }
        spl_record_clear(&fix_shape, &fix);
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
