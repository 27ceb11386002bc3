/* SPDX-License-Identifier: MIT
 *
 * Settings as rows. See book/setting.h.
 */
#include "book/setting.h"

#include "book/book_private.h"
#include "book/statement.h"

char *spl_setting_get(struct spl_book *book, const char *key, GError **error)
{
    g_autoptr(spl_statement) row =
        spl_statement_open(book, error, "SELECT value FROM setting WHERE key = ?", "t", key);

    if (row == NULL || !spl_statement_row(row, error))
        return NULL;
    return spl_column_text(row, 0);
}

gboolean spl_setting_set(struct spl_book *book, const char *key, const char *value, GError **error)
{
    return spl_book_execute(book, error,
                            "INSERT INTO setting (key, value) VALUES (?, ?)"
                            " ON CONFLICT (key) DO UPDATE SET value = excluded.value",
                            "tt", key, value);
}

const char *spl_setting_mark(struct spl_book *book)
{
    if (book->mark == NULL)
        book->mark = spl_setting_get(book, "mark", NULL);
    return book->mark != NULL ? book->mark : "";
}

char *spl_setting_uuid(struct spl_book *book, GError **error)
{
    return spl_setting_get(book, "uuid", error);
}
