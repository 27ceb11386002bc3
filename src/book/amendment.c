/* SPDX-License-Identifier: MIT
 *
 * Corrections and strikes as rows. See book/amendment.h.
 */
#include "book/amendment.h"

#include "base/text.h"
#include "book/statement.h"
#include "simpling/error.h"

#define INSERT                                                                                     \
    "INSERT INTO amendment (uuid, subject, field, value, at, by, why) VALUES (?, ?, ?, ?, ?, ?, "  \
    "?)"

gboolean spl_amendment_add_text(struct spl_book *book, const char *uuid, const char *field,
                                const char *value, const char *by, const char *why, GError **error)
{
    g_autofree char *own = spl_uuid_new();

    return spl_book_execute(book, error, INSERT, "ttttltt", own, uuid, field,
                            value != NULL ? value : "", spl_book_stamp(book, error), by, why);
}

gboolean spl_amendment_add_real(struct spl_book *book, const char *uuid, const char *field,
                                double value, const char *by, const char *why, GError **error)
{
    g_autofree char *own = spl_uuid_new();

    return spl_book_execute(book, error, INSERT, "tttrltt", own, uuid, field, value,
                            spl_book_stamp(book, error), by, why);
}

gboolean spl_amendment_add_int(struct spl_book *book, const char *uuid, const char *field,
                               gint64 value, const char *by, const char *why, GError **error)
{
    g_autofree char *own = spl_uuid_new();

    return spl_book_execute(book, error, INSERT, "tttlltt", own, uuid, field, value,
                            spl_book_stamp(book, error), by, why);
}

gboolean spl_amendment_add_day(struct spl_book *book, const char *uuid, const char *field,
                               struct spl_day value, const char *by, const char *why,
                               GError **error)
{
    g_autofree char *own = spl_uuid_new();

    return spl_book_execute(book, error, INSERT, "tttdltt", own, uuid, field, value,
                            spl_book_stamp(book, error), by, why);
}

gboolean spl_amendment_add_bytes(struct spl_book *book, const char *uuid, const char *field,
                                 GBytes *value, const char *by, const char *why, GError **error)
{
    g_autofree char *own = spl_uuid_new();

    return spl_book_execute(book, error, INSERT, "tttbltt", own, uuid, field, value,
                            spl_book_stamp(book, error), by, why);
}

static const struct spl_field amendment_fields[] = {
    SPL_FIELD(spl_amendment, field, SPL_TEXT, "field", "what"),
    SPL_FIELD(spl_amendment, value, SPL_TEXT, "value", "became"),
    SPL_FIELD(spl_amendment, by, SPL_TEXT, "by", "by"),
    SPL_FIELD(spl_amendment, why, SPL_TEXT, "why", "why"),
    SPL_FIELD(spl_amendment, at, SPL_LONG, "at", NULL),
};
const struct spl_shape spl_amendment_shape =
    SPL_SHAPE("amendment", spl_amendment, amendment_fields);

GArray *spl_amendment_list(struct spl_book *book, const char *uuid, GError **error)
{
    GArray *list = spl_list_new(&spl_amendment_shape);
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT field, value, by, why, at FROM amendment WHERE subject = ?"
                           " ORDER BY at, uuid",
                           "t", uuid);
    GError *failed = NULL;

    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_amendment amendment = {
            .field = spl_column_text(rows, 0),
            .value = spl_column_text(rows, 1),
            .by = spl_column_text(rows, 2),
            .why = spl_column_text(rows, 3),
            .at = spl_column_long(rows, 4),
        };

        g_array_append_val(list, amendment);
    }
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        spl_list_free(&spl_amendment_shape, list);
        return NULL;
    }
    return list;
}

char *spl_amendment_value(struct spl_book *book, const char *view, const char *column, gint64 id,
                          gboolean *there, GError **error)
{
    g_autofree char *sql = g_strdup_printf("SELECT %s FROM %s WHERE id = ?", column, view);
    g_autoptr(spl_statement) row = spl_statement_open(book, error, sql, "l", id);

    *there = row != NULL && spl_statement_row(row, error);
    return *there ? spl_column_text(row, 0) : NULL;
}

gboolean spl_strike_add(struct spl_book *book, const struct spl_thing *thing, const char *by,
                        const char *why, GError **error)
{
    GError *failed = NULL;
    g_autofree char *struck = NULL, *own = spl_uuid_new();
    gint64 takers = 0;

    if (spl_thing_struck(book, thing, &struck, &failed))
        takers = spl_thing_takers(book, thing->id, &failed);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (struck != NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS, "%s: is struck already (%s)", thing->code,
                    struck);
        return FALSE;
    }
    if (takers > 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: %" G_GINT64_FORMAT
                    " other record%s drawn on it; strike those first, or amend it instead",
                    thing->code, takers, takers == 1 ? " has" : "s have");
        return FALSE;
    }
    return spl_book_execute(book, error,
                            "INSERT INTO strike (subject, uuid, at, by, why)"
                            " VALUES (?, ?, ?, ?, ?)",
                            "ttltt", thing->uuid, own, spl_book_stamp(book, error), by, why);
}
