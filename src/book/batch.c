/* SPDX-License-Identifier: MIT
 *
 * Batches as rows. See book/batch.h.
 */
#include "book/batch.h"

#include <math.h>

#include "book/code.h"
#include "book/draw.h"
#include "book/noun.h"
#include "book/over.h"

static const struct spl_field charge_fields[] = {
    SPL_FIELD_KEPT(spl_charge_row, kind, SPL_WORD, SPL_STORED("kind"),
                   .names = spl_charge_kind_names),
    SPL_FIELD_KEPT(spl_charge_row, source_id, SPL_LONG, SPL_READ("d.source_id")),
    SPL_FIELD_KEPT(spl_charge_row, code, SPL_TEXT, SPL_CODE("s.kind, s.mark, s.year, s.number")),
    SPL_FIELD_KEPT(spl_charge_row, day, SPL_DAY, SPL_STORED("day")),
    SPL_FIELD_KEPT(spl_charge_row, material, SPL_TEXT, SPL_STORED("material")),
    SPL_FIELD_KEPT(spl_charge_row, state, SPL_WORD, SPL_STORED("state"),
                   .names = spl_herb_state_names),
    SPL_FIELD_KEPT(spl_charge_row, grams, SPL_NUM, SPL_STORED("grams")),
    SPL_FIELD_KEPT(spl_charge_row, moisture_frac, SPL_NUM, SPL_STORED("moisture_frac")),
    SPL_FIELD_KEPT(spl_charge_row, volume_ml_per_g, SPL_NUM, SPL_STORED("volume_ml_per_g")),
    SPL_FIELD_KEPT(spl_charge_row, kept_ml_per_g.value, SPL_NUM, SPL_STORED("kept")),
    SPL_FIELD_KEPT(spl_charge_row, kept_ml_per_g.low, SPL_NUM, SPL_STORED("kept_low")),
    SPL_FIELD_KEPT(spl_charge_row, kept_ml_per_g.high, SPL_NUM, SPL_STORED("kept_high")),
    SPL_FIELD_KEPT(spl_charge_row, blend.ml, SPL_NUM, SPL_STORED("ml")),
    SPL_FIELD_KEPT(spl_charge_row, blend.mass_g, SPL_NUM, SPL_STORED("mass_g")),
    SPL_FIELD_KEPT(spl_charge_row, blend.ethanol_g, SPL_NUM, SPL_STORED("ethanol_g")),
    SPL_FIELD_KEPT(spl_charge_row, blend.acid_g, SPL_NUM, SPL_STORED("acid_g")),
    SPL_FIELD_KEPT(spl_charge_row, blend.glycerol_ml, SPL_NUM, SPL_STORED("glycerol_ml")),
    SPL_FIELD_KEPT(spl_charge_row, blend.sugar_g, SPL_NUM, SPL_STORED("sugar_g")),
    SPL_FIELD_KEPT(spl_charge_row, strength_frac, SPL_NUM, SPL_STORED("strength_frac")),
    SPL_FIELD_KEPT(spl_charge_row, words, SPL_TEXT, SPL_STORED("words"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_charge_row, supplier, SPL_TEXT, SPL_STORED("supplier")),
    SPL_FIELD_KEPT(spl_charge_row, number, SPL_TEXT, SPL_STORED("number")),
    SPL_FIELD_KEPT(spl_charge_row, titrated, SPL_TEXT, SPL_STORED("titrated")),
    SPL_FIELD_KEPT(spl_charge_row, titrated_on, SPL_DAY, SPL_STORED("titrated_on")),
    SPL_FIELD_KEPT(spl_charge_row, titrated_by, SPL_TEXT, SPL_STORED("titrated_by")),
};
static const struct spl_shape charge_shape = SPL_SHAPE("charge", spl_charge_row, charge_fields);

const struct spl_noun spl_charge_noun = {
    .shape = &charge_shape,
    .table = "charge",
    .from =
        "charge_now t LEFT JOIN draw d ON d.id = t.draw_id LEFT JOIN thing s ON s.id = d.source_id",
    .fact = TRUE,
};

static const struct spl_field batch_fields[] = {
    SPL_FIELD_KEPT(spl_batch_row, id, SPL_LONG, SPL_ID("id")),
    SPL_FIELD_KEPT(spl_batch_row, uuid, SPL_TEXT, SPL_READ("uuid")),
    SPL_FIELD_KEPT(spl_batch_row, code, SPL_TEXT, SPL_CODE("'B', t.mark, t.year, t.number")),
    SPL_FIELD_KEPT(spl_batch_row, preparation, SPL_TEXT, SPL_STORED("preparation"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_batch_row, day, SPL_DAY, SPL_STORED("day")),
    SPL_FIELD_KEPT(spl_batch_row, jars, SPL_INT, SPL_STORED("jars"), .none_is_0 = TRUE),
    SPL_FIELD_KEPT(spl_batch_row, jar_ml, SPL_NUM, SPL_STORED("jar_ml")),
    SPL_FIELD_KEPT(spl_batch_row, brimful_ml, SPL_NUM, SPL_STORED("brimful_ml")),
    SPL_FIELD_KEPT(spl_batch_row, outside, SPL_BOOL, SPL_STORED("outside")),
    SPL_FIELD_KEPT(spl_batch_row, raw_by, SPL_TEXT, SPL_STORED("raw_by")),
    SPL_FIELD_KEPT(spl_batch_row, hold, SPL_TEXT, SPL_STORED("hold")),
    SPL_FIELD_KEPT(spl_batch_row, keeping, SPL_TEXT, SPL_STORED("keeping"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_batch_row, by, SPL_TEXT, SPL_STORED("by")),
    SPL_FIELD_KEPT(spl_batch_row, remark, SPL_TEXT, SPL_STORED("remark")),
    SPL_FIELD_KEPT(spl_batch_row, struck, SPL_TEXT, SPL_READ("struck"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_batch_row, pressed, SPL_DAY, SPL_READ("pressed")),
    SPL_FIELD_KEPT(spl_batch_row, pressed_ml, SPL_NUM, SPL_READ("pressed_ml")),
    SPL_FIELD_KEPT(spl_batch_row, pressed_g, SPL_NUM, SPL_READ("pressed_g")),
    SPL_FIELD_KEPT(spl_batch_row, herb_g, SPL_NUM, SPL_READ("herb_g")),
    SPL_FIELD_KEPT(spl_batch_row, marc_drawn_g, SPL_NUM, SPL_READ("marc_drawn_g")),
    SPL_FIELD_KEPT(spl_batch_row, discarded_g, SPL_NUM, SPL_READ("discarded_g")),
    SPL_FIELD_KEPT(spl_batch_row, discarded_ml, SPL_NUM, SPL_READ("discarded_ml")),
};
static const struct spl_shape batch_shape = SPL_SHAPE("batch", spl_batch_row, batch_fields);

const struct spl_noun spl_batch_noun = {
    .shape = &batch_shape,
    .table = "batch",
    .from = "batch_now t",
    .thing = 'B',
};

void spl_charge_row_clear(struct spl_charge_row *row)
{
    spl_record_clear(&charge_shape, row);
}

void spl_batch_row_clear(struct spl_batch_row *row)
{
    spl_record_clear(&batch_shape, row);
}

gboolean spl_batch_add(struct spl_book *book, struct spl_batch_row *row, GError **error)
{
    return spl_noun_add(book, &spl_batch_noun, row, row->day, SPL_NONE, error);
}

gboolean spl_charge_add(struct spl_book *book, gint64 batch_id, const struct spl_charge_row *row,
                        GError **error)
{
    struct spl_charge_row written = *row;
    struct spl_value draw_id = spl_value_text(NULL);

    if (row->source_id != 0) {
        if (!spl_draw_add(book, batch_id, row->source_id, row->day, row->grams,
                          row->kind == SPL_CHARGE_LOT ? row->blend.ml : (double)NAN, error))
            return FALSE;
        draw_id = spl_value_long(spl_book_last_id(book));
    }
    if (row->kind == SPL_CHARGE_HERB)
        written.blend = (struct spl_blend){.ml = NAN,
                                           .mass_g = NAN,
                                           .ethanol_g = NAN,
                                           .acid_g = NAN,
                                           .glycerol_ml = NAN,
                                           .sugar_g = NAN};
    return spl_noun_add(book, &spl_charge_noun, &written, row->day, SPL_NAMED(batch_id, draw_id),
                        error);
}

static void zero_if_absent(double *figure)
{
    if (isnan(*figure))
        *figure = 0.0;
}

static void clear_charge(gpointer row)
{
    spl_charge_row_clear(row);
}

GArray *spl_charge_list(struct spl_book *book, gint64 batch_id, GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_noun_open(book, &spl_charge_noun, NULL, "WHERE t.batch_id = ? ORDER BY t.id",
                      SPL_WITH(batch_id), error);
    GArray *list = g_array_new(FALSE, FALSE, sizeof(struct spl_charge_row));
    struct spl_charge_row charge;
    GError *failed = NULL;

    g_array_set_clear_func(list, clear_charge);
    while (rows != NULL && spl_noun_next(rows, &charge, &failed)) {
        charge.kept_ml_per_g.source = "as then reckoned";
        zero_if_absent(&charge.blend.ml);
        zero_if_absent(&charge.blend.mass_g);
        zero_if_absent(&charge.blend.ethanol_g);
        zero_if_absent(&charge.blend.acid_g);
        zero_if_absent(&charge.blend.glycerol_ml);
        zero_if_absent(&charge.blend.sugar_g);
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

gboolean spl_batch_step_add(struct spl_book *book, gint64 batch_id, enum spl_step which,
                            struct spl_day day, const char *by, GError **error)
{
    const char *step = spl_step_name(which);

    return spl_fact_add(book, "batch_step", SPL_NAMED(batch_id, step, day, by), error);
}

GArray *spl_batch_step_list(struct spl_book *book, gint64 batch_id, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT step, day FROM batch_step_now WHERE batch_id = ? ORDER BY day, at",
        SPL_WITH(batch_id));
    GArray *list = g_array_new(FALSE, FALSE, sizeof(struct spl_step_done));
    struct spl_step_done done = {0};
    GError *failed = NULL;
    const char *name;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&name, &done.on))) {
        enum spl_step step;

        /* A step that a later program knows and this one does not is no reason to fail. */
        if (spl_step_parse(name, "step", &step, NULL)) {
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

gboolean spl_batch_step_each(struct spl_book *book, gint64 batch_id, spl_batch_step_visit each,
                             gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT step, day, by FROM batch_step_now WHERE batch_id = ? ORDER BY day, at",
        SPL_WITH(batch_id));
    GError *failed = NULL;
    const char *step, *by;
    struct spl_day day;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&step, &day, &by)))
        each(step, day, by, data);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

gboolean spl_batch_find(struct spl_book *book, const char *code, struct spl_batch_row *row,
                        GError **error)
{
    struct spl_thing thing;
    gboolean there;

    if (!spl_code_find(book, code, "B", "a batch", &thing, error))
        return FALSE;
    there = spl_noun_get(book, &spl_batch_noun, "WHERE t.id = ?", SPL_WITH(thing.id), row, error);
    spl_thing_clear(&thing);
    return there;
}

#define OF_NO_OTHER_HERB                                                                           \
    " AND t.struck IS NULL AND t.id <> ?3"                                                         \
    " AND EXISTS (SELECT 1 FROM charge_now c WHERE c.batch_id = t.id AND c.material = ?2)"         \
    " AND NOT EXISTS (SELECT 1 FROM charge_now c WHERE c.batch_id = t.id AND c.material <> ?2)"    \
    " ORDER BY t.day DESC, t.id DESC LIMIT 1"

gboolean spl_batch_last(struct spl_book *book, const char *preparation, const char *material,
                        gint64 but, struct spl_batch_row *row, GError **error)
{
    return spl_noun_get(book, &spl_batch_noun,
                        preparation != NULL ? "WHERE t.preparation = ?1" OF_NO_OTHER_HERB
                                            : "WHERE ?1 IS NULL" OF_NO_OTHER_HERB,
                        SPL_WITH(preparation, material, but), row, error);
}

/* Of `opened`, which it ends. */
static gboolean batch_each(spl_statement *opened,
                           gboolean (*each)(struct spl_batch_row *row, gpointer data,
                                            GError **error),
                           gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows = opened;
    struct spl_batch_row row;
    GError *failed = NULL;
    gboolean more = TRUE;

    while (rows != NULL && more && failed == NULL && spl_noun_next(rows, &row, &failed)) {
        more = each(&row, data, &failed);
        spl_batch_row_clear(&row);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

gboolean spl_batch_each(struct spl_book *book, gboolean standing, gboolean all,
                        const char *preparation,
                        gboolean (*each)(struct spl_batch_row *row, gpointer data, GError **error),
                        gpointer data, GError **error)
{
    spl_statement *rows =
        standing
            ? spl_noun_open(book, &spl_batch_noun, NULL,
                            "WHERE t.id IN (" SPL_NOT_OVER ") AND t.struck IS NULL AND t.pressed"
                            " IS NULL AND (?1 IS NULL OR t.preparation = ?1) ORDER BY t.day, t.id",
                            SPL_WITH(preparation), error)
            : spl_noun_open(book, &spl_batch_noun, NULL,
                            "WHERE t.id IN (SELECT id FROM batch) AND (?1 OR t.struck IS NULL)"
                            " AND (?2 IS NULL OR t.preparation = ?2) ORDER BY t.day, t.id",
                            SPL_WITH(all != FALSE, preparation), error);

    return batch_each(rows, each, data, error);
}

gboolean spl_batch_each_between(struct spl_book *book, struct spl_day first, struct spl_day last,
                                gboolean (*each)(struct spl_batch_row *row, gpointer data,
                                                 GError **error),
                                gpointer data, GError **error)
{
    return batch_each(
        spl_noun_open(book, &spl_batch_noun, NULL,
                      "WHERE t.id IN (SELECT id FROM batch WHERE day BETWEEN ?1 AND ?2"
                      "   UNION SELECT source_id FROM draw WHERE day BETWEEN ?1 AND ?2"
                      "   UNION SELECT h.id FROM amendment a JOIN thing h ON h.uuid = a.subject"
                      "     WHERE a.field = 'day') AND t.struck IS NULL ORDER BY t.day, t.id",
                      SPL_WITH(first, last), error),
        each, data, error);
}

gboolean spl_thing_comes_from(struct spl_book *book, gint64 id, gint64 of, gboolean *comes,
                              GError **error)
{
    /* UNION drops what was seen, so a circle (which must not be) would end too. */
    GError *failed = NULL;
    gboolean found = spl_book_number(book, 0, &failed,
                                     "WITH RECURSIVE up (id) AS (SELECT ?1 UNION"
                                     " SELECT d.source_id FROM up"
                                     " JOIN draw_now d ON d.taker_id = up.id)"
                                     " SELECT 1 FROM up WHERE id = ?2",
                                     SPL_WITH(id, of)) != 0;

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    *comes = found;
    return TRUE;
}
