/* SPDX-License-Identifier: MIT
 *
 * Batches as rows. See book/batch.h.
 */
#include "book/batch.h"

#include <math.h>

#include "base/text.h"
#include "book/code.h"
#include "book/draw.h"
#include "book/statement.h"

static const char *const kind_names[] = {"herb", "liquid", "lot", "marc"};

const char *spl_charge_kind_name(enum spl_charge_kind kind)
{
    return kind_names[kind];
}

void spl_charge_row_clear(struct spl_charge_row *row)
{
    g_free(row->code);
    g_free(row->material);
    g_free(row->state);
    g_free(row->words);
    g_free(row->supplier);
    g_free(row->number);
    *row = (struct spl_charge_row){0};
}

void spl_batch_row_clear(struct spl_batch_row *row)
{
    g_free(row->uuid);
    g_free(row->code);
    g_free(row->preparation);
    g_free(row->keeping);
    g_free(row->hold);
    g_free(row->by);
    g_free(row->remark);
    g_free(row->struck);
    *row = (struct spl_batch_row){0};
}

gboolean spl_batch_add(struct spl_book *book, struct spl_batch_row *row, GError **error)
{
    struct spl_thing thing;

    if (!spl_thing_add(book, 'B', row->day, &thing, error))
        return FALSE;
    row->id = thing.id;
    row->uuid = thing.uuid;
    row->code = thing.code;
    return spl_book_execute(book, error,
                            "INSERT INTO batch (id, preparation, day, jars, jar_ml, brimful_ml,"
                            " outside, hold, keeping, by, remark)"
                            " VALUES (?, ?, ?, nullif(?, 0), ?, ?, ?, ?, ?, ?, ?)",
                            "ltdirritttt", row->id, row->preparation, row->day, row->jars,
                            row->jar_ml, row->brimful_ml, row->outside != FALSE, row->hold,
                            row->keeping, row->by, row->remark);
}

gboolean spl_charge_add(struct spl_book *book, gint64 batch_id, const struct spl_charge_row *row,
                        GError **error)
{
    g_autofree char *uuid = spl_uuid_new();
    gboolean liquid = row->kind != SPL_CHARGE_HERB;
    gint64 at, draw_id = 0;

    if (row->source_id != 0) {
        if (!spl_draw_add(book, batch_id, row->source_id, row->day, row->grams,
                          row->kind == SPL_CHARGE_LOT ? row->blend.ml : (double)NAN, error))
            return FALSE;
        draw_id = spl_book_last_id(book);
    }
    at = spl_book_stamp(book, error);
    return at > 0 &&
           spl_book_execute(
               book, error,
               "INSERT INTO charge (uuid, batch_id, draw_id, kind, day, material, state, grams,"
               " moisture_frac, volume_ml_per_g, kept, kept_low, kept_high, ml, strength_frac,"
               " mass_g, ethanol_g, acid_g, glycerol_ml, sugar_g, words, supplier, number, at)"
               " VALUES (?, ?, nullif(?, 0), ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?,"
               " ?, ?, ?)",
               "tlltdttrrrrrrrrrrrrrtttl", uuid, batch_id, draw_id, kind_names[row->kind], row->day,
               row->material, row->state, row->grams, row->moisture_frac, row->volume_ml_per_g,
               row->kept_ml_per_g.value, row->kept_ml_per_g.low, row->kept_ml_per_g.high,
               liquid ? row->blend.ml : (double)NAN, row->strength_frac,
               liquid ? row->blend.mass_g : (double)NAN,
               liquid ? row->blend.ethanol_g : (double)NAN,
               liquid ? row->blend.acid_g : (double)NAN,
               liquid ? row->blend.glycerol_ml : (double)NAN,
               liquid ? row->blend.sugar_g : (double)NAN, row->words, row->supplier, row->number,
               at);
}

static double real_or_zero(struct spl_statement *row, int column)
{
    return spl_column_is_null(row, column) ? 0.0 : spl_column_real(row, column);
}

static void read_charge(struct spl_book *book, struct spl_statement *row,
                        struct spl_charge_row *charge)
{
    const char *kind = spl_column_peek(row, 0);

    *charge = (struct spl_charge_row){
        .source_id = spl_column_long(row, 1),
        .day = spl_column_day(row, 2),
        .material = spl_column_text(row, 3),
        .state = spl_column_text(row, 4),
        .grams = spl_column_real(row, 5),
        .moisture_frac = spl_column_real(row, 6),
        .volume_ml_per_g = spl_column_real(row, 7),
        .kept_ml_per_g = {spl_column_real(row, 8), spl_column_real(row, 9),
                          spl_column_real(row, 10), "as then reckoned"},
        .blend = {.ml = real_or_zero(row, 11),
                  .mass_g = real_or_zero(row, 12),
                  .ethanol_g = real_or_zero(row, 13),
                  .acid_g = real_or_zero(row, 14),
                  .glycerol_ml = real_or_zero(row, 15),
                  .sugar_g = real_or_zero(row, 16)},
        .strength_frac = spl_column_real(row, 17),
        .words = spl_column_text(row, 18),
        .supplier = spl_column_text(row, 19),
        .number = spl_column_text(row, 20),
    };
    for (guint i = 0; i < G_N_ELEMENTS(kind_names); i++) {
        if (g_str_equal(kind, kind_names[i]))
            charge->kind = (enum spl_charge_kind)i;
    }
    if (charge->source_id != 0)
        charge->code = spl_code_format(book, *spl_column_peek(row, 21), spl_column_peek(row, 22),
                                       spl_column_int(row, 23), spl_column_int(row, 24));
}

static void clear_charge(gpointer row)
{
    spl_charge_row_clear(row);
}

GArray *spl_charge_list(struct spl_book *book, gint64 batch_id, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT c.kind, d.source_id, c.day, c.material, c.state, c.grams, c.moisture_frac,"
        " c.volume_ml_per_g, c.kept, c.kept_low, c.kept_high, c.ml, c.mass_g, c.ethanol_g,"
        " c.acid_g, c.glycerol_ml, c.sugar_g, c.strength_frac, c.words, c.supplier, c.number,"
        " t.kind, t.mark, t.year, t.number FROM charge c LEFT JOIN draw d ON d.id = c.draw_id"
        " LEFT JOIN thing t ON t.id = d.source_id WHERE c.batch_id = ? ORDER BY c.id",
        "l", batch_id);
    GArray *list = g_array_new(FALSE, FALSE, sizeof(struct spl_charge_row));
    GError *failed = NULL;

    g_array_set_clear_func(list, clear_charge);
    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_charge_row charge;

        read_charge(book, rows, &charge);
        g_array_append_val(list, charge);
    }
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        g_array_unref(list);
        return NULL;
    }
    return list;
}

gboolean spl_batch_step_add(struct spl_book *book, gint64 batch_id, enum spl_step step,
                            struct spl_day day, const char *by, GError **error)
{
    g_autofree char *uuid = spl_uuid_new();
    gint64 at = spl_book_stamp(book, error);

    return at > 0 && spl_book_execute(book, error,
                                      "INSERT INTO batch_step (uuid, batch_id, step, day, by, at)"
                                      " VALUES (?, ?, ?, ?, ?, ?)",
                                      "tltdtl", uuid, batch_id, spl_step_name(step), day, by, at);
}

GArray *spl_batch_step_list(struct spl_book *book, gint64 batch_id, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT step, day FROM batch_step WHERE batch_id = ? ORDER BY day, at", "l",
        batch_id);
    GArray *list = g_array_new(FALSE, FALSE, sizeof(struct spl_step_done));
    GError *failed = NULL;

    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_step_done done = {0, spl_column_day(rows, 1)};
        enum spl_step step;

        /* A step that a later program knows and this one does not is no reason to fail. */
        if (spl_step_parse(spl_column_peek(rows, 0), "step", &step, NULL)) {
            done.step = (int)step;
            g_array_append_val(list, done);
        }
    }
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        g_array_unref(list);
        return NULL;
    }
    return list;
}

#define BATCH_COLUMNS                                                                              \
    "SELECT id, uuid, mark, year, number, preparation, day, jars, jar_ml, brimful_ml, outside,"    \
    " hold, keeping, by, remark, struck, pressed, pressed_ml, pressed_g, herb_g, marc_drawn_g,"    \
    " discarded_g, discarded_ml FROM batch_now"

static char *text_or_null(struct spl_statement *row, int column)
{
    const char *text = spl_column_peek(row, column);

    return text != NULL && *text != '\0' ? g_strdup(text) : NULL;
}

static void read_batch(struct spl_book *book, struct spl_statement *row,
                       struct spl_batch_row *batch)
{
    *batch = (struct spl_batch_row){
        .id = spl_column_long(row, 0),
        .uuid = spl_column_text(row, 1),
        .code = spl_code_format(book, 'B', spl_column_peek(row, 2), spl_column_int(row, 3),
                                spl_column_int(row, 4)),
        .preparation = spl_column_text(row, 5),
        .day = spl_column_day(row, 6),
        .jars = spl_column_int(row, 7),
        .jar_ml = spl_column_real(row, 8),
        .brimful_ml = spl_column_real(row, 9),
        .outside = spl_column_int(row, 10) != 0,
        .hold = text_or_null(row, 11),
        .keeping = spl_column_text(row, 12),
        .by = text_or_null(row, 13),
        .remark = text_or_null(row, 14),
        .struck = spl_column_text(row, 15),
        .pressed = spl_column_day(row, 16),
        .pressed_ml = spl_column_real(row, 17),
        .pressed_g = spl_column_real(row, 18),
        .herb_g = spl_column_real(row, 19),
        .marc_drawn_g = spl_column_real(row, 20),
        .discarded_g = spl_column_real(row, 21),
        .discarded_ml = spl_column_real(row, 22),
    };
}

gboolean spl_batch_find(struct spl_book *book, const char *code, struct spl_batch_row *row,
                        GError **error)
{
    struct spl_thing thing;
    g_autoptr(spl_statement) found = NULL;

    if (!spl_code_find(book, code, "B", "a batch", &thing, error))
        return FALSE;
    found = spl_statement_open(book, error, BATCH_COLUMNS " WHERE id = ?", "l", thing.id);
    spl_thing_clear(&thing);
    if (found == NULL || !spl_statement_row(found, error))
        return FALSE;
    read_batch(book, found, row);
    return TRUE;
}

gboolean spl_batch_each(struct spl_book *book, gboolean standing, gboolean all,
                        const char *preparation,
                        gboolean (*each)(struct spl_batch_row *row, gpointer data, GError **error),
                        gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        BATCH_COLUMNS " WHERE (?1 OR struck IS NULL) AND (NOT ?2 OR pressed IS NULL)"
                      " AND (?3 IS NULL OR preparation = ?3) ORDER BY day, id",
        "iit", all != FALSE, standing != FALSE, preparation);
    GError *failed = NULL;
    gboolean more = TRUE;

    while (rows != NULL && more && failed == NULL && spl_statement_row(rows, &failed)) {
        struct spl_batch_row row;

        read_batch(book, rows, &row);
        more = each(&row, data, &failed);
        spl_batch_row_clear(&row);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

gboolean spl_thing_comes_from(struct spl_book *book, gint64 id, gint64 of, gboolean *comes,
                              GError **error)
{
    GError *failed = NULL;

    /* UNION drops what was seen, so a circle (which must not be) would end too. */
    *comes = spl_book_number(book, 0, &failed,
                             "WITH RECURSIVE up (id) AS (SELECT ?1 UNION"
                             " SELECT d.source_id FROM up JOIN draw_now d ON d.taker_id = up.id)"
                             " SELECT 1 FROM up WHERE id = ?2",
                             "ll", id, of) != 0;
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    return TRUE;
}
