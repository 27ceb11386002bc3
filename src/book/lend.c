/* SPDX-License-Identifier: MIT
 *
 * A copy under a mark of its own. See book/lend.h.
 */
#include "book/lend.h"

#include <string.h>

#include "book/revision.h"
#include "book/setting.h"
#include "book/statement.h"
#include "book/table.h"
#include "book/trust.h"

gboolean spl_lend_is_taken(struct spl_book *book, const char *mark, gboolean *taken, GError **error)
{
    g_autoptr(GPtrArray) tables = spl_table_list(book, error);
    gint64 found = strcmp(mark, spl_setting_mark(book)) == 0;
    GError *failed = NULL;

    if (tables == NULL)
        return FALSE;
    for (guint i = 0; failed == NULL && found == 0 && i < tables->len; i++) {
        const struct spl_table *table = g_ptr_array_index(tables, i);
        g_autofree char *sql =
            g_strdup_printf("SELECT EXISTS (SELECT 1 FROM \"%s\" WHERE mark = ?1%s)", table->name,
                            strcmp(table->name, "trust") == 0 ? " OR whom = ?1" : "");

        if (spl_table_column(table, "mark") >= 0)
            found = spl_book_number(book, 0, &failed, sql, SPL_WITH(mark));
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    *taken = found != 0;
    return failed == NULL;
}

/* Rows without a mark are the reader's own, whoever that is: these are to stay whose they were. */
static gboolean keep_marks(struct spl_book *copy, const char *home, GError **error)
{
    g_autoptr(GPtrArray) tables = spl_table_list(copy, error);

    for (guint i = 0; tables != NULL && *home != '\0' && i < tables->len; i++) {
        const struct spl_table *table = g_ptr_array_index(tables, i);
        g_autofree char *sql =
            g_strdup_printf("UPDATE \"%s\" SET mark = ? WHERE mark = ''", table->name);

        if (spl_table_column(table, "mark") >= 0 &&
            !spl_book_execute(copy, error, sql, SPL_WITH(home)))
            return FALSE;
    }
    return tables != NULL;
}

static gboolean take_over(struct spl_book *copy, const char *mark, struct spl_day day,
                          const char *by, GError **error)
{
    g_autofree char *home = g_strdup(spl_setting_mark(copy));
    GArray *trusts = spl_trust_list(copy, error);
    gboolean ok = trusts != NULL && keep_marks(copy, home, error) &&
                  spl_setting_set(copy, "mark", mark, error) &&
                  (*home == '\0' || spl_trust_add(copy, home, TRUE, day, by, error));

    for (guint i = 0; ok && i < trusts->len; i++) {
        const struct spl_trust *one = &g_array_index(trusts, struct spl_trust, i);

        if (one->trusted && strcmp(one->whom, mark) != 0)
            ok = spl_trust_add(copy, one->whom, TRUE, day, by, error);
    }
    spl_list_free(&spl_trust_shape, trusts);
    return ok && spl_revision_settle(copy, error);
}

gboolean spl_lend_begin(struct spl_book *copy, const char *mark, struct spl_day day, const char *by,
                        GError **error)
{
    return spl_book_begin(copy, error) &&
           spl_book_finish(copy, take_over(copy, mark, day, by, error), error);
}
