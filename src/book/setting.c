/* SPDX-License-Identifier: MIT
 *
 * Settings as rows. See book/setting.h.
 */
#include "book/setting.h"

#include "book/book_private.h"
#include "book/statement.h"

gboolean spl_setting_load(struct spl_book *book, GError **error)
{
    g_autoptr(GHashTable) settings = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    g_autoptr(spl_statement) row =
        spl_statement_open(book, error, "SELECT key, value FROM setting", SPL_NONE);
    GError *failed = NULL;
    char *key, *value;

    if (row == NULL)
        return FALSE;
    while (spl_statement_next(row, &failed, SPL_INTO(&key, &value)))
        g_hash_table_insert(settings, key, value);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    g_clear_pointer(&book->settings, g_hash_table_unref);
    book->settings = g_steal_pointer(&settings);
    return TRUE;
}

char *spl_setting_get(struct spl_book *book, const char *key, GError **error)
{
    if (book->settings == NULL && !spl_setting_load(book, error))
        return NULL;
    return g_strdup(g_hash_table_lookup(book->settings, key));
}

gboolean spl_setting_set(struct spl_book *book, const char *key, const char *value, GError **error)
{
    if (!spl_book_execute(book, error,
                          "INSERT INTO setting (key, value) VALUES (?, ?)"
                          " ON CONFLICT (key) DO UPDATE SET value = excluded.value",
                          SPL_WITH(key, value)))
        return FALSE;
    if (book->settings != NULL)
        g_hash_table_insert(book->settings, g_strdup(key), g_strdup(value));
    return TRUE;
}

const char *spl_setting_mark(struct spl_book *book)
{
    const char *mark = NULL;

    if (book->settings != NULL || spl_setting_load(book, NULL))
        mark = g_hash_table_lookup(book->settings, "mark");
    return mark != NULL ? mark : "";
}

char *spl_setting_uuid(struct spl_book *book, GError **error)
{
    return spl_setting_get(book, "uuid", error);
}
