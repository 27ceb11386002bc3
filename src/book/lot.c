/* SPDX-License-Identifier: MIT
 *
 * Lots as rows. See book/lot.h.
 */
#include "book/lot.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "book/code.h"
#include "book/draw.h"
#include "book/statement.h"
#include "core/alcohol.h"

static const struct spl_field event_fields[] = {
    SPL_FIELD(spl_lot_event, date, SPL_DAY, "date", "date"),
    SPL_FIELD(spl_lot_event, kind, SPL_TEXT, "kind", "what"),
    SPL_FIELD(spl_lot_event, why, SPL_TEXT, "why", "why"),
    SPL_FIELD_NUM(spl_lot_event, counted, 1, "counted", "counted"),
    SPL_FIELD_NUM(spl_lot_event, difference, 1, "difference", "difference"),
    SPL_FIELD(spl_lot_event, by, SPL_TEXT, "by", "by"),
};
const struct spl_shape spl_lot_event_shape = SPL_SHAPE("lot_event", spl_lot_event, event_fields);

static const struct spl_field use_fields[] = {
    SPL_FIELD(spl_lot_use, code, SPL_TEXT, "code", "lot"),
    SPL_FIELD(spl_lot_use, date, SPL_DAY, "date", "date"),
    SPL_FIELD_NUM(spl_lot_use, ml, 1, "ml", "mL"),
    SPL_FIELD_NUM(spl_lot_use, g, 1, "g", "g"),
    SPL_FIELD(spl_lot_use, ref, SPL_TEXT, "ref", "for"),
    SPL_FIELD(spl_lot_use, by, SPL_TEXT, "by", "by"),
};
const struct spl_shape spl_lot_use_shape = SPL_SHAPE("lot_use", spl_lot_use, use_fields);

static const struct spl_field lot_fields[] = {
    SPL_FIELD(spl_lot, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_lot, materials, SPL_TEXT, "materials", "materials"),
    SPL_FIELD(spl_lot, preparation, SPL_TEXT, "preparation", "preparation"),
    SPL_FIELD(spl_lot, made, SPL_DAY, "made", "made"),
    SPL_FIELD(spl_lot, use_by, SPL_DAY, "use_by", "use by"),
    SPL_FIELD_NUM(spl_lot, left_ml, 1, "left_ml", "left mL"),
    SPL_FIELD_NUM(spl_lot, left_g, 1, "left_g", "left g"),
    SPL_FIELD(spl_lot, state, SPL_TEXT, "state", "state"),
    SPL_FIELD_SHOW(spl_lot, why, SPL_TEXT, "why", "why"),
    SPL_FIELD_NUM(spl_lot, made_ml, 1, "made_ml", NULL),
    SPL_FIELD_NUM(spl_lot, made_g, 1, "made_g", NULL),
    SPL_FIELD_NUM(spl_lot, ratio, 2, "ratio", NULL),
    SPL_FIELD_NUM(spl_lot, abv, 1, "abv", "% vol"),
    SPL_FIELD_NUM(spl_lot, acid, 2, "acid", NULL),
    SPL_FIELD_NUM(spl_lot, glycerol, 1, "glycerol", NULL),
    SPL_FIELD_NUM(spl_lot, sugar, 1, "sugar", NULL),
    SPL_FIELD_SHOW(spl_lot, menstruum, SPL_TEXT, "menstruum", "liquid"),
    SPL_FIELD_SHOW(spl_lot, storage, SPL_TEXT, "storage", "keep"),
    SPL_FIELD(spl_lot, outside, SPL_BOOL, "outside", NULL),
    SPL_FIELD_SHOW(spl_lot, from, SPL_TEXTS, "from", "from"),
    SPL_FIELD(spl_lot, taken, SPL_TEXTS, "taken", NULL),
    SPL_FIELD_LIST(spl_lot, events, &spl_lot_event_shape, "events", NULL),
    SPL_FIELD_LIST(spl_lot, used, &spl_lot_use_shape, "used", NULL),
    SPL_FIELD_SHOW(spl_lot, by, SPL_TEXT, "by", "by"),
    SPL_FIELD_SHOW(spl_lot, remark, SPL_TEXT, "remark", "remark"),
    SPL_FIELD_SHOW(spl_lot, struck, SPL_TEXT, "struck", "struck"),
    SPL_FIELD(spl_lot, uuid, SPL_TEXT, "uuid", NULL),
};
const struct spl_shape spl_lot_shape = SPL_SHAPE("lot", spl_lot, lot_fields);

#define LOT_COLUMNS                                                                                \
    "SELECT id, uuid, mark, year, number, preparation, materials, day, unit, amount, use_by,"      \
    " ratio, mass_g, ethanol_g, acid_g, glycerol_ml, sugar_g, menstruum, storage, outside, hold,"  \
    " by, remark, struck, drawn + used + discarded - counted, decided, decided_why FROM lot_now"

#define CRUMB 0.05 /* mL or g: nothing */

static char *text_or_null(struct spl_statement *row, int column)
{
    const char *text = spl_column_peek(row, column);

    return text != NULL && *text != '\0' ? g_strdup(text) : NULL;
}

/* Which state holds: taken back, destroyed, withdrawn, used up, held, out of date, released. */
static void settle_state(struct spl_lot *lot, const char *hold, const char *decided,
                         const char *why, double left, struct spl_day today)
{
    const char *state = "released";

    if (lot->struck != NULL) {
        state = "struck";
        why = lot->struck;
    } else if (decided != NULL &&
               (g_str_equal(decided, "destroy") || g_str_equal(decided, "withdraw"))) {
        state = g_str_equal(decided, "destroy") ? "destroyed" : "withdrawn";
    } else if (left < CRUMB) {
        state = "used up";
        why = NULL;
    } else if (decided != NULL ? g_str_equal(decided, "hold") : hold != NULL) {
        state = "held";
        why = decided != NULL ? why : hold;
    } else if (spl_day_is_set(lot->use_by) && spl_day_compare(lot->use_by, today) < 0) {
        state = "out of date";
        why = NULL;
    }
    lot->state = g_strdup(state);
    lot->why = g_strdup(why);
}

static void read_lot(struct spl_book *book, struct spl_statement *row, struct spl_day today,
                     struct spl_lot *lot, struct spl_blend *blend)
{
    gboolean weighed = g_str_equal(spl_column_peek(row, 8), "g");
    double made = spl_column_real(row, 9), left = made - spl_column_real(row, 24);
    double mass_g = spl_column_real(row, 12);
    struct spl_blend one = {.ml = 1.0,
                            .mass_g = mass_g,
                            .ethanol_g = spl_column_real(row, 13),
                            .acid_g = spl_column_real(row, 14),
                            .glycerol_ml = spl_column_real(row, 15),
                            .sugar_g = spl_column_real(row, 16)};
    g_autofree char *hold = text_or_null(row, 20);

    *lot = (struct spl_lot){
        .id = spl_column_long(row, 0),
        .uuid = spl_column_text(row, 1),
        .code = spl_code_format(book, 'L', spl_column_peek(row, 2), spl_column_int(row, 3),
                                spl_column_int(row, 4)),
        .preparation = spl_column_text(row, 5),
        .materials = spl_column_text(row, 6),
        .made = spl_column_day(row, 7),
        .made_ml = weighed ? (double)NAN : made,
        .made_g = weighed ? made : (double)NAN,
        .left_ml = weighed ? (double)NAN : MAX(0.0, left),
        .left_g = weighed ? MAX(0.0, left) : (double)NAN,
        .use_by = spl_column_day(row, 10),
        .ratio = spl_column_real(row, 11),
        .abv = NAN,
        .acid = NAN,
        .glycerol = NAN,
        .sugar = NAN,
        .menstruum = text_or_null(row, 17),
        .storage = text_or_null(row, 18),
        .outside = spl_column_int(row, 19) != 0,
        .by = text_or_null(row, 21),
        .remark = text_or_null(row, 22),
        .struck = spl_column_text(row, 23),
    };
    if (!isnan(mass_g)) {
        if (one.ethanol_g > 0.0)
            lot->abv = spl_blend_abv(&one) * 100.0;
        if (one.acid_g > 0.0)
            lot->acid = spl_blend_acid(&one) * 100.0;
        if (one.glycerol_ml > 0.0)
            lot->glycerol = one.glycerol_ml * 100.0;
        if (one.sugar_g > 0.0)
            lot->sugar = spl_blend_sugar(&one) * 100.0;
        if (blend != NULL)
            *blend = one;
    }
    settle_state(lot, hold, spl_column_peek(row, 25), spl_column_peek(row, 26), left, today);
}

gboolean spl_lot_add(struct spl_book *book, struct spl_lot *lot, const struct spl_blend *blend,
                     const char *hold, GError **error)
{
    gboolean weighed = !isnan(lot->made_g), liquid = blend != NULL && blend->ml > 0.0;
    double per = liquid ? 1.0 / blend->ml : (double)NAN;
    struct spl_thing thing;

    if (!spl_thing_add(book, 'L', lot->made, &thing, error))
        return FALSE;
    lot->id = thing.id;
    lot->uuid = thing.uuid;
    lot->code = thing.code;
    return spl_book_execute(
        book, error,
        "INSERT INTO lot (id, preparation, materials, day, unit, amount, use_by, ratio, mass_g,"
        " ethanol_g, acid_g, glycerol_ml, sugar_g, menstruum, storage, outside, hold, by, remark)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        "lttdtrdrrrrrrttittt", lot->id, lot->preparation, lot->materials, lot->made,
        weighed ? "g" : "mL", weighed ? lot->made_g : lot->made_ml, lot->use_by, lot->ratio,
        liquid ? blend->mass_g * per : (double)NAN, liquid ? blend->ethanol_g * per : (double)NAN,
        liquid ? blend->acid_g * per : (double)NAN, liquid ? blend->glycerol_ml * per : (double)NAN,
        liquid ? blend->sugar_g * per : (double)NAN, lot->menstruum, lot->storage,
        lot->outside != FALSE, hold, lot->by, lot->remark);
}

gboolean spl_lot_event_add(struct spl_book *book, gint64 lot_id, const char *kind,
                           struct spl_day day, const char *why, double counted, double difference,
                           const char *by, GError **error)
{
    g_autofree char *uuid = spl_uuid_new();
    gint64 at = spl_book_stamp(book, error);

    return at > 0 &&
           spl_book_execute(book, error,
                            "INSERT INTO lot_event (uuid, lot_id, kind, day, why,"
                            " counted, difference, by, at)"
                            " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
                            "tltdtrrtl", uuid, lot_id, kind, day, why, counted, difference, by, at);
}

gboolean spl_lot_use_add(struct spl_book *book, gint64 lot_id, const char *call, struct spl_day day,
                         double amount, const char *ref, const char *by, GError **error)
{
    g_autofree char *uuid = spl_uuid_new();
    gint64 at = spl_book_stamp(book, error);

    return at > 0 && spl_book_execute(book, error,
                                      "INSERT INTO lot_use (uuid, lot_id, call, day, amount, ref,"
                                      " by, at) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                                      "tltdrttl", uuid, lot_id, call, day, amount, ref, by, at);
}

GArray *spl_lot_uses(struct spl_book *book, gint64 lot_id, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT t.mark, t.year, t.number, u.day, l.unit, u.amount, u.ref, u.by FROM lot_use u"
        " JOIN lot l ON l.id = u.lot_id JOIN thing t ON t.id = u.lot_id"
        " WHERE u.lot_id = ? ORDER BY u.day, u.at",
        "l", lot_id);
    GArray *uses = spl_list_new(&spl_lot_use_shape);
    GError *failed = NULL;

    while (rows != NULL && spl_statement_row(rows, &failed)) {
        gboolean weighed = g_str_equal(spl_column_peek(rows, 4), "g");
        double amount = spl_column_real(rows, 5);
        struct spl_lot_use use = {
            .code = spl_code_format(book, 'L', spl_column_peek(rows, 0), spl_column_int(rows, 1),
                                    spl_column_int(rows, 2)),
            .date = spl_column_day(rows, 3),
            .ml = weighed ? (double)NAN : amount,
            .g = weighed ? amount : (double)NAN,
            .ref = text_or_null(rows, 6),
            .by = text_or_null(rows, 7),
        };

        g_array_append_val(uses, use);
    }
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        spl_list_free(&spl_lot_use_shape, uses);
        return NULL;
    }
    return uses;
}

static GArray *events_of(struct spl_book *book, gint64 lot_id, GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT day, kind, why, counted, difference, by FROM lot_event"
                           " WHERE lot_id = ? ORDER BY at",
                           "l", lot_id);
    GArray *events = spl_list_new(&spl_lot_event_shape);
    GError *failed = NULL;

    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_lot_event event = {.date = spl_column_day(rows, 0),
                                      .kind = spl_column_text(rows, 1),
                                      .why = text_or_null(rows, 2),
                                      .counted = spl_column_real(rows, 3),
                                      .difference = spl_column_real(rows, 4),
                                      .by = text_or_null(rows, 5)};

        g_array_append_val(events, event);
    }
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        spl_list_free(&spl_lot_event_shape, events);
        return NULL;
    }
    return events;
}

static gboolean get_lot(struct spl_book *book, gint64 id, struct spl_day today, struct spl_lot *lot,
                        struct spl_blend *blend, GError **error)
{
    g_autoptr(spl_statement) row =
        spl_statement_open(book, error, LOT_COLUMNS " WHERE id = ?", "l", id);

    if (row == NULL || !spl_statement_row(row, error))
        return FALSE;
    read_lot(book, row, today, lot, blend);
    return TRUE;
}

gboolean spl_lot_get(struct spl_book *book, gint64 id, struct spl_day today, struct spl_lot *lot,
                     GError **error)
{
    return get_lot(book, id, today, lot, NULL, error);
}

gboolean spl_lot_find(struct spl_book *book, const char *code, struct spl_day today,
                      struct spl_lot *lot, struct spl_blend *blend, GError **error)
{
    struct spl_thing thing;
    gboolean ok;

    if (blend != NULL)
        memset(blend, 0, sizeof *blend);
    if (!spl_code_find(book, code, "L", "a lot", &thing, error))
        return FALSE;
    ok = get_lot(book, thing.id, today, lot, blend, error);
    spl_thing_clear(&thing);
    if (!ok)
        return FALSE;
    if ((lot->from = spl_draw_sources(book, lot->id, error)) == NULL ||
        (lot->taken = spl_draw_takers(book, lot->id, error)) == NULL ||
        (lot->events = events_of(book, lot->id, error)) == NULL ||
        (lot->used = spl_lot_uses(book, lot->id, error)) == NULL) {
        spl_record_clear(&spl_lot_shape, lot);
        return FALSE;
    }
    return TRUE;
}

gboolean spl_lot_each(struct spl_book *book, struct spl_day today, gboolean all,
                      gboolean (*each)(const struct spl_lot *lot, gpointer data, GError **error),
                      gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error, LOT_COLUMNS " ORDER BY day, id", "");
    GError *failed = NULL;
    gboolean more = TRUE;

    while (rows != NULL && more && failed == NULL && spl_statement_row(rows, &failed)) {
        struct spl_lot lot;

        read_lot(book, rows, today, &lot, NULL);
        if (all || !(g_str_equal(lot.state, "struck") || g_str_equal(lot.state, "used up") ||
                     g_str_equal(lot.state, "destroyed")))
            more = each(&lot, data, &failed);
        spl_record_clear(&spl_lot_shape, &lot);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}
