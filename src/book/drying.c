/* SPDX-License-Identifier: MIT
 *
 * Dryings as rows. See book/drying.h.
 */
#include "book/drying.h"

#include <math.h>

#include "base/text.h"
#include "book/code.h"
#include "book/draw.h"
#include "book/statement.h"

static const struct spl_field event_fields[] = {
    SPL_FIELD(spl_drying_event, date, SPL_DAY, "date", "date"),
    SPL_FIELD(spl_drying_event, kind, SPL_TEXT, "kind", "what"),
    SPL_FIELD_NUM(spl_drying_event, weight_g, 1, "weight_g", "weight g"),
    SPL_FIELD_NUM(spl_drying_event, garbled_g, 1, "garbled_g", "garbled g"),
};
const struct spl_shape spl_drying_event_shape =
    SPL_SHAPE("drying_event", spl_drying_event, event_fields);

static const struct spl_field drying_fields[] = {
    SPL_FIELD(spl_drying, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_drying, started, SPL_DAY, "date", "put up"),
    SPL_FIELD(spl_drying, material, SPL_TEXT, "material", "material"),
    SPL_FIELD_SHOW(spl_drying, from, SPL_TEXTS, "from", "from"),
    SPL_FIELD_NUM(spl_drying, fresh_g, 1, "fresh_g", "fresh g"),
    SPL_FIELD_NUM(spl_drying, rack_m2, 2, "rack_m2", "rack m2"),
    SPL_FIELD_NUM(spl_drying, wilted_g, 1, "wilted_g", "wilted g"),
    SPL_FIELD(spl_drying, finished, SPL_DAY, "finished", "taken down"),
    SPL_FIELD_NUM(spl_drying, dry_g, 1, "dry_g", "dry g"),
    SPL_FIELD_NUM(spl_drying, garbled_g, 1, "garbled_g", "garbled g"),
    SPL_FIELD_NUM(spl_drying, fresh_per_dry, 2, "fresh_per_dry", "fresh:dry"),
    SPL_FIELD_NUM(spl_drying, left_g, 1, "left_g", "left g"),
    SPL_FIELD_LIST(spl_drying, events, &spl_drying_event_shape, "events", NULL),
    SPL_FIELD_SHOW(spl_drying, batches, SPL_TEXTS, "batches", "batches"),
    SPL_FIELD_SHOW(spl_drying, by, SPL_TEXT, "by", "by"),
    SPL_FIELD_SHOW(spl_drying, remark, SPL_TEXT, "remark", "remark"),
    SPL_FIELD_SHOW(spl_drying, struck, SPL_TEXT, "struck", "struck"),
    SPL_FIELD(spl_drying, uuid, SPL_TEXT, "uuid", NULL),
};
const struct spl_shape spl_drying_shape = SPL_SHAPE("drying", spl_drying, drying_fields);

#define DRYING_COLUMNS                                                                             \
    "SELECT id, uuid, mark, year, number, material, day, rack_m2, by, remark, struck, fresh_g,"    \
    " wilted_g, finished, dry_g, garbled_g, taken_before, base_g, drawn_g + discarded_g"           \
    " FROM drying_now"

static char *text_or_null(struct spl_statement *row, int column)
{
    const char *text = spl_column_peek(row, column);

    return text != NULL && *text != '\0' ? g_strdup(text) : NULL;
}

static void read_drying(struct spl_book *book, struct spl_statement *row, struct spl_drying *drying)
{
    double dry_g, base_g = spl_column_real(row, 17);

    *drying = (struct spl_drying){
        .id = spl_column_long(row, 0),
        .uuid = spl_column_text(row, 1),
        .code = spl_code_format(book, 'D', spl_column_peek(row, 2), spl_column_int(row, 3),
                                spl_column_int(row, 4)),
        .material = spl_column_text(row, 5),
        .started = spl_column_day(row, 6),
        .rack_m2 = spl_column_real(row, 7),
        .by = text_or_null(row, 8),
        .remark = text_or_null(row, 9),
        .struck = spl_column_text(row, 10),
        .fresh_g = spl_column_real(row, 11),
        .wilted_g = spl_column_real(row, 12),
        .finished = spl_column_day(row, 13),
        .dry_g = spl_column_real(row, 14),
        .garbled_g = spl_column_real(row, 15),
        .fresh_per_dry = NAN,
    };
    dry_g = isnan(drying->garbled_g) ? drying->dry_g : drying->garbled_g;
    if (!isnan(dry_g) && spl_column_int(row, 16) == 0)
        drying->fresh_per_dry = drying->fresh_g / dry_g;
    drying->left_g = (isnan(base_g) ? drying->fresh_g : base_g) - spl_column_real(row, 18);
}

gboolean spl_drying_add(struct spl_book *book, struct spl_drying *drying, GError **error)
{
    struct spl_thing thing;

    if (!spl_thing_add(book, 'D', drying->started, &thing, error))
        return FALSE;
    drying->id = thing.id;
    drying->uuid = thing.uuid;
    drying->code = thing.code;
    return spl_book_execute(book, error,
                            "INSERT INTO drying (id, material, day, rack_m2, by, remark)"
                            " VALUES (?, ?, ?, ?, ?, ?)",
                            "ltdrtt", drying->id, drying->material, drying->started,
                            drying->rack_m2, drying->by, drying->remark);
}

gboolean spl_drying_event_add(struct spl_book *book, gint64 drying_id, const char *kind,
                              struct spl_day day, double weight_g, double garbled_g, const char *by,
                              GError **error)
{
    g_autofree char *uuid = spl_uuid_new();
    gint64 at = spl_book_stamp(book, error);

    return at > 0 &&
           spl_book_execute(book, error,
                            "INSERT INTO drying_event (uuid, drying_id, kind, day, weight_g,"
                            " garbled_g, by, at) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                            "tltdrrtl", uuid, drying_id, kind, day, weight_g, garbled_g, by, at);
}

static GArray *events_of(struct spl_book *book, gint64 id, GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT day, kind, weight_g, garbled_g FROM drying_event"
                           " WHERE drying_id = ? ORDER BY at",
                           "l", id);
    GArray *events = spl_list_new(&spl_drying_event_shape);
    GError *failed = NULL;

    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_drying_event event = {.date = spl_column_day(rows, 0),
                                         .kind = spl_column_text(rows, 1),
                                         .weight_g = spl_column_real(rows, 2),
                                         .garbled_g = spl_column_real(rows, 3)};

        g_array_append_val(events, event);
    }
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        spl_list_free(&spl_drying_event_shape, events);
        return NULL;
    }
    return events;
}

gboolean spl_drying_find(struct spl_book *book, const char *code, struct spl_drying *drying,
                         GError **error)
{
    struct spl_thing thing;
    g_autoptr(spl_statement) row = NULL;

    if (!spl_code_find(book, code, "D", "a drying", &thing, error))
        return FALSE;
    row = spl_statement_open(book, error, DRYING_COLUMNS " WHERE id = ?", "l", thing.id);
    spl_thing_clear(&thing);
    if (row == NULL || !spl_statement_row(row, error))
        return FALSE;
    read_drying(book, row, drying);
    if ((drying->from = spl_draw_sources(book, drying->id, error)) == NULL ||
        (drying->batches = spl_draw_takers(book, drying->id, error)) == NULL ||
        (drying->events = events_of(book, drying->id, error)) == NULL) {
        spl_record_clear(&spl_drying_shape, drying);
        return FALSE;
    }
    return TRUE;
}

gboolean spl_drying_each(struct spl_book *book, gboolean open, gboolean all,
                         gboolean (*each)(const struct spl_drying *drying, gpointer data,
                                          GError **error),
                         gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        DRYING_COLUMNS " WHERE (?1 OR struck IS NULL) AND (NOT ?2 OR finished IS NULL)"
                       " ORDER BY day, id",
        "ii", all != FALSE, open != FALSE);
    GError *failed = NULL;
    gboolean more = TRUE;

    while (rows != NULL && more && failed == NULL && spl_statement_row(rows, &failed)) {
        struct spl_drying drying;

        read_drying(book, rows, &drying);
        more = each(&drying, data, &failed);
        spl_record_clear(&spl_drying_shape, &drying);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

double spl_drying_rack_taken_m2(struct spl_book *book, GError **error)
{
    g_autoptr(spl_statement) row =
        spl_statement_open(book, error,
                           "SELECT total(rack_m2) FROM drying_now WHERE finished IS NULL"
                           " AND struck IS NULL",
                           "");

    return row != NULL && spl_statement_row(row, error) ? spl_column_real(row, 0) : 0.0;
}

gboolean spl_drying_learnt(struct spl_book *book, const char *material, double *fresh_g,
                           double *dry_g, int *count, GError **error)
{
    g_autoptr(spl_statement) row = spl_statement_open(
        book, error,
        "SELECT total(fresh_g), total(coalesce(garbled_g, dry_g)), count(*) FROM drying_now"
        " WHERE material = ? AND finished IS NOT NULL AND struck IS NULL AND taken_before = 0",
        "t", material);

    if (row == NULL || !spl_statement_row(row, error))
        return FALSE;
    *fresh_g = spl_column_real(row, 0);
    *dry_g = spl_column_real(row, 1);
    *count = spl_column_int(row, 2);
    return TRUE;
}
