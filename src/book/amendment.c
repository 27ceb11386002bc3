/* SPDX-License-Identifier: MIT
 *
 * Corrections and strikes as rows. See book/amendment.h.
 */
#include "book/amendment.h"
#include "book/draw.h"

#include "book/noun.h"
#include "book/revision.h"
#include "simpling/error.h"

#define TAKERS_NAMED 6 /* of those that draw on a record, in a refusal */

static gboolean add(struct spl_book *book, const char *subject, const char *field,
                    struct spl_value value, const char *by, const char *why, GError **error)
{
    return spl_fact_add(book, "amendment", SPL_NAMED(subject, field, value, by, why), error);
}

gboolean spl_amendment_add_text(struct spl_book *book, const char *uuid, const char *field,
                                const char *value, const char *by, const char *why, GError **error)
{
    return add(book, uuid, field, SPL_VALUE(value != NULL ? value : ""), by, why, error);
}

gboolean spl_amendment_add_real(struct spl_book *book, const char *uuid, const char *field,
                                double value, const char *by, const char *why, GError **error)
{
    return add(book, uuid, field, SPL_VALUE(value), by, why, error);
}

gboolean spl_amendment_add_int(struct spl_book *book, const char *uuid, const char *field,
                               gint64 value, const char *by, const char *why, GError **error)
{
    return add(book, uuid, field, SPL_VALUE(value), by, why, error);
}

gboolean spl_amendment_add_day(struct spl_book *book, const char *uuid, const char *field,
                               struct spl_day value, const char *by, const char *why,
                               GError **error)
{
    return add(book, uuid, field, SPL_VALUE(value), by, why, error);
}

gboolean spl_amendment_add_bytes(struct spl_book *book, const char *uuid, const char *field,
                                 GBytes *value, const char *by, const char *why, GError **error)
{
    return add(book, uuid, field, SPL_VALUE(value), by, why, error);
}

static const struct spl_field amendment_fields[] = {
    SPL_FIELD(spl_amendment, field, SPL_TEXT, "field", "what", SPL_READ("field"), .empty = TRUE),
    SPL_FIELD(spl_amendment, value, SPL_TEXT, "value", "became", SPL_READ("value"), .empty = TRUE),
    SPL_FIELD(spl_amendment, by, SPL_TEXT, "by", "by", SPL_READ("by")),
    SPL_FIELD(spl_amendment, why, SPL_TEXT, "why", "why", SPL_READ("why"), .empty = TRUE),
    SPL_FIELD(spl_amendment, at, SPL_LONG, "at", NULL, SPL_READ("at")),
};
const struct spl_shape spl_amendment_shape =
    SPL_SHAPE("amendment", spl_amendment, amendment_fields);

const struct spl_noun spl_amendment_noun = {.shape = &spl_amendment_shape,
                                            .from = "amendment_now t"};

GArray *spl_amendment_list(struct spl_book *book, const char *uuid, GError **error)
{
    return spl_noun_list(book, &spl_amendment_noun, "WHERE t.subject = ? ORDER BY t.at, t.uuid",
                         SPL_WITH(uuid), error);
}

char *spl_amendment_value(struct spl_book *book, const char *view, const char *column, gint64 id,
                          gboolean *there, GError **error)
{
    g_autofree char *sql = g_strdup_printf("SELECT %s FROM %s WHERE id = ?", column, view);
    g_autoptr(spl_statement) row = spl_statement_open(book, error, sql, SPL_WITH(id));

    char *value = NULL;

    *there = row != NULL && spl_statement_next(row, error, SPL_INTO(&value));
    return value;
}

/* Whom this book trusts and what it agreed to may just have been taken back, or stand again. */
static gboolean settle_words(struct spl_book *book, const char *struck, GError **error)
{
    GError *failed = NULL;
    gboolean word = spl_book_number(book, 0, &failed,
                                    "WITH it (uuid) AS (SELECT ?1 UNION ALL SELECT subject FROM"
                                    " strike WHERE uuid = ?1) SELECT EXISTS (SELECT 1 FROM trust"
                                    " WHERE uuid IN it) OR EXISTS (SELECT 1 FROM answer WHERE uuid"
                                    " IN it AND kind = '" SPL_REVISION_KIND "')",
                                    SPL_WITH(struck)) != 0;

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    return !word || spl_revision_settle(book, error);
}

gboolean spl_strike_row(struct spl_book *book, const char *uuid, const char *by, const char *why,
                        GError **error)
{
    const char *subject = uuid;
    GError *failed = NULL;
    gint64 depth, struck;

    struck = spl_book_number(book, 0, &failed, "SELECT count(*) FROM live WHERE subject = ?",
                             SPL_WITH(uuid));
    /* The view `live` follows strikes of strikes four deep. */
    depth = failed != NULL
                ? 0
                : spl_book_number(book, 0, &failed,
                                  "WITH RECURSIVE up (uuid, n) AS (SELECT ?1, 0 UNION ALL"
                                  " SELECT s.subject, n + 1 FROM up JOIN strike s"
                                  " ON s.uuid = up.uuid WHERE n < 9)"
                                  " SELECT max(n) FROM up",
                                  SPL_WITH(uuid));
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (struck > 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS, "%s: is struck already", uuid);
        return FALSE;
    }
    if (depth > 4) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                    "%s: was struck and taken back too often; note the record anew", uuid);
        return FALSE;
    }
    return spl_fact_add(book, "strike", SPL_NAMED(subject, by, why), error) &&
           settle_words(book, uuid, error);
}

/* Names what draws on it, the first of many. */
static gboolean refuse_drawn_on(struct spl_book *book, const struct spl_thing *thing,
                                GError **error)
{
    g_autoptr(GPtrArray) takers = spl_draw_takers(book, thing->id, error);
    g_autoptr(GString) codes = g_string_new(NULL);

    if (takers == NULL)
        return FALSE;
    for (guint i = 0; i < takers->len && i < TAKERS_NAMED; i++)
        g_string_append_printf(codes, "%s%s", i > 0 ? ", " : "",
                               (const char *)g_ptr_array_index(takers, i));
    if (takers->len > TAKERS_NAMED)
        g_string_append_printf(codes, " and %u more", takers->len - TAKERS_NAMED);
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                "%s: %s %s drawn on it; strike %s first, or amend it instead", thing->code,
                codes->str, takers->len == 1 ? "has" : "have", takers->len == 1 ? "that" : "those");
    return FALSE;
}

gboolean spl_strike_add(struct spl_book *book, const struct spl_thing *thing, const char *by,
                        const char *why, GError **error)
{
    GError *failed = NULL;
    g_autofree char *struck = NULL;
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
    if (takers > 0)
        return refuse_drawn_on(book, thing, error);
    return spl_strike_row(book, thing->uuid, by, why, error);
}
