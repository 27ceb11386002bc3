/* SPDX-License-Identifier: MIT
 *
 * Dryings as rows. See book/drying.h.
 */
#include "book/drying.h"

#include "book/code.h"
#include "book/discard.h"
#include "book/draw.h"
#include "book/noun.h"
#include "simpling/record/reason.h"

static const struct spl_field event_fields[] = {
    SPL_FIELD(spl_drying_event, date, SPL_DAY, "date", "date", SPL_STORED("day")),
    SPL_FIELD(spl_drying_event, kind, SPL_WORD, "kind", "what", SPL_STORED("kind"),
              .names = spl_drying_act_names),
    SPL_FIELD_NUM(spl_drying_event, weight_g, 1, "weight_g", "weight g", SPL_STORED("weight_g")),
    SPL_FIELD_NUM(spl_drying_event, garbled_g, 1, "garbled_g", "garbled g",
                  SPL_STORED("garbled_g")),
    SPL_FIELD(spl_drying_event, how, SPL_TEXT, "how", "how", SPL_STORED("how")),
};
const struct spl_shape spl_drying_event_shape =
    SPL_SHAPE("drying_event", spl_drying_event, event_fields);

const struct spl_noun spl_drying_event_noun = {
    .shape = &spl_drying_event_shape,
    .table = "drying_event",
    .from = "drying_event_now t",
    .fact = TRUE,
};

static const struct spl_field drying_fields[] = {
    SPL_FIELD(spl_drying, code, SPL_TEXT, "code", "code",
              SPL_CODE("'D', t.mark, t.year, t.number")),
    SPL_FIELD(spl_drying, started, SPL_DAY, "date", "put up", SPL_STORED("day")),
    SPL_FIELD(spl_drying, material, SPL_TEXT, "material", "material", SPL_STORED("material"),
              .empty = TRUE),
    SPL_FIELD(spl_drying, kind, SPL_WORD, "kind", "kept", SPL_STORED("kind"),
              .names = spl_drying_kind_names),
    SPL_FIELD_NUM(spl_drying, minutes, 0, "minutes", "minutes", SPL_STORED("minutes")),
    SPL_FIELD_SHOW(spl_drying, from, SPL_TEXTS, "from", "from", .if_known = TRUE),
    SPL_FIELD_NUM(spl_drying, fresh_g, 1, "fresh_g", "fresh g", SPL_READ("fresh_g")),
    SPL_FIELD_NUM(spl_drying, rack_m2, 2, "rack_m2", "rack m2", SPL_STORED("rack_m2")),
    SPL_FIELD_NUM(spl_drying, wilted_g, 1, "wilted_g", "wilted g", SPL_READ("wilted_g")),
    SPL_FIELD(spl_drying, finished, SPL_DAY, "finished", "taken down", SPL_READ("finished")),
    SPL_FIELD_NUM(spl_drying, dry_g, 1, "dry_g", "dry g", SPL_READ("dry_g")),
    SPL_FIELD_NUM(spl_drying, garbled_g, 1, "garbled_g", "garbled g", SPL_READ("garbled_g")),
    SPL_FIELD_NUM(spl_drying, fresh_per_dry, 2, "fresh_per_dry", "fresh:dry",
                  SPL_READ("CASE t.taken_before WHEN 0"
                           " THEN t.fresh_g / coalesce(t.garbled_g, t.dry_g) END")),
    SPL_FIELD_NUM(spl_drying, left_g, 1, "left_g", "left g",
                  SPL_READ("coalesce(t.base_g, t.fresh_g) - (t.drawn_g + t.discarded_g)")),
    SPL_FIELD(spl_drying, held, SPL_TEXT, "held", "held"),
    SPL_FIELD_LIST(spl_drying, because, &spl_cause_shape, "because", NULL),
    SPL_FIELD_LIST(spl_drying, events, &spl_drying_event_shape, "events", NULL, .if_known = TRUE),
    SPL_FIELD_LIST(spl_drying, thrown, &spl_thrown_shape, "thrown", "thrown away",
                   .if_known = TRUE),
    SPL_FIELD_SHOW(spl_drying, batches, SPL_TEXTS, "batches", "batches", .if_known = TRUE),
    SPL_FIELD_SHOW(spl_drying, by, SPL_TEXT, "by", "by", SPL_STORED("by")),
    SPL_FIELD_SHOW(spl_drying, remark, SPL_TEXT, "remark", "remark", SPL_STORED("remark")),
    SPL_FIELD_SHOW(spl_drying, struck, SPL_TEXT, "struck", "struck", SPL_READ("struck"),
                   .empty = TRUE),
    SPL_FIELD(spl_drying, uuid, SPL_TEXT, "uuid", NULL, SPL_READ("uuid")),
    SPL_FIELD_KEPT(spl_drying, id, SPL_LONG, SPL_ID("id")),
};
const struct spl_shape spl_drying_shape = SPL_SHAPE("drying", spl_drying, drying_fields);

const struct spl_noun spl_drying_noun = {
    .shape = &spl_drying_shape,
    .table = "drying",
    .from = "drying_now t",
    .thing = 'D',
};

gboolean spl_drying_add(struct spl_book *book, struct spl_drying *drying, GError **error)
{
    return spl_noun_add(book, &spl_drying_noun, drying, drying->started, SPL_NONE, error);
}

gboolean spl_drying_event_add(struct spl_book *book, gint64 drying_id, enum spl_drying_act act,
                              struct spl_day day, double weight_g, double garbled_g,
                              const char *how, const char *by, GError **error)
{
    const char *kind = spl_drying_act_names[act];

    return spl_fact_add(book, "drying_event",
                        SPL_NAMED(drying_id, kind, day, weight_g, garbled_g, how, by), error);
}

gboolean spl_drying_find(struct spl_book *book, const char *code, struct spl_drying *drying,
                         GError **error)
{
    struct spl_drying found;
    struct spl_thing thing;
    gboolean there;

    if (!spl_code_find(book, code, "D", "a drying", &thing, error))
        return FALSE;
    there =
        spl_noun_get(book, &spl_drying_noun, "WHERE t.id = ?", SPL_WITH(thing.id), &found, error);
    spl_thing_clear(&thing);
    if (!there)
        return FALSE;
    if ((found.from = spl_draw_sources(book, found.id, error)) == NULL ||
        (found.batches = spl_draw_takers(book, found.id, error)) == NULL ||
        (found.thrown = spl_thrown_list(book, found.id, error)) == NULL ||
        (found.events =
             spl_noun_list(book, &spl_drying_event_noun, "WHERE t.drying_id = ? ORDER BY t.at",
                           SPL_WITH(found.id), error)) == NULL) {
        spl_record_clear(&spl_drying_shape, &found);
        return FALSE;
    }
    *drying = found;
    return TRUE;
}

gboolean spl_drying_each(struct spl_book *book, gboolean open, gboolean all,
                         gboolean (*each)(const struct spl_drying *drying, gpointer data,
                                          GError **error),
                         gpointer data, GError **error)
{
    /* By their own table: the view would go through every thing of the book. */
    g_autoptr(spl_statement) rows =
        spl_noun_open(book, &spl_drying_noun, NULL,
                      "WHERE t.id IN (SELECT id FROM drying) AND (?1 OR t.struck IS NULL)"
                      " AND (NOT ?2 OR (t.finished IS NULL AND t.kind = 'dried'))"
                      " ORDER BY t.day, t.id",
                      SPL_WITH(all != FALSE, open != FALSE), error);
    struct spl_drying drying;
    GError *failed = NULL;
    gboolean more = TRUE;

    while (rows != NULL && more && failed == NULL && spl_noun_next(rows, &drying, &failed)) {
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
                           " AND struck IS NULL AND kind = 'dried'",
                           SPL_NONE);
    double taken_m2;

    return row != NULL && spl_statement_next(row, error, SPL_INTO(&taken_m2)) ? taken_m2 : 0.0;
}

gboolean spl_drying_learnt(struct spl_book *book, const char *material, double *fresh_g,
                           double *dry_g, int *count, GError **error)
{
    g_autoptr(spl_statement) row = spl_statement_open(
        book, error,
        "SELECT total(fresh_g), total(coalesce(garbled_g, dry_g)), count(*) FROM drying_now"
        " WHERE material = ? AND finished IS NOT NULL AND struck IS NULL AND taken_before = 0",
        SPL_WITH(material));

    return row != NULL && spl_statement_next(row, error, SPL_INTO(fresh_g, dry_g, count));
}
