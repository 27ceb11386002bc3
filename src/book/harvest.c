/* SPDX-License-Identifier: MIT
 *
 * Harvests as rows. See book/harvest.h.
 */
#include "book/harvest.h"

#include <math.h>

#include "book/discard.h"
#include "book/draw.h"
#include "book/noun.h"
#include "book/site.h"
#include "simpling/record/reason.h"

/* left_g is reckoned from what is gone: each column of harvest_now is a question of its own. */
static const struct spl_field harvest_fields[] = {
    SPL_FIELD(spl_harvest, code, SPL_TEXT, "code", "code",
              SPL_CODE("t.kind, t.mark, t.year, t.number")),
    SPL_FIELD(spl_harvest, date, SPL_DAY, "date", "date", SPL_STORED("day")),
    SPL_FIELD(spl_harvest, site, SPL_TEXT, "site", "site", SPL_READ(SPL_SITE_NAME)),
    SPL_FIELD(spl_harvest, material, SPL_TEXT, "material", "material", SPL_STORED("material"),
              .empty = TRUE),
    SPL_FIELD(spl_harvest, stage, SPL_INT, "stage", NULL, SPL_STORED("stage")),
    SPL_FIELD(spl_harvest, stage_word, SPL_TEXT, "stage_word", "stage"),
    SPL_FIELD_NUM(spl_harvest, weight_g, 1, "weight_g", "picked g", SPL_STORED("weight_g")),
    SPL_FIELD(spl_harvest, bags, SPL_INT, "bags", NULL, SPL_STORED("bags"), .none_is_0 = TRUE),
    SPL_FIELD(spl_harvest, handfuls, SPL_BOOL, "handfuls", NULL, SPL_STORED("handfuls")),
    SPL_FIELD_NUM(spl_harvest, garbled_g, 1, "garbled_g", "garbled g", SPL_STORED("garbled_g")),
    SPL_FIELD_NUM(spl_harvest, left_g, 1, "left_g", "left g"),
    SPL_FIELD_SHOW(spl_harvest, verdict, SPL_WORD, "verdict", "verdict", SPL_STORED("verdict"),
                   .names = spl_verdict_names),
    SPL_FIELD(spl_harvest, held, SPL_TEXT, "held", "held", SPL_STORED("held")),
    SPL_FIELD_LIST(spl_harvest, because, &spl_cause_shape, "because", NULL),
    SPL_FIELD_SHOW(spl_harvest, batches, SPL_TEXTS, "batches", "batches", .if_known = TRUE),
    SPL_FIELD_LIST(spl_harvest, thrown, &spl_thrown_shape, "thrown", "thrown away",
                   .if_known = TRUE),
    SPL_FIELD_LIST(spl_harvest, photos, &spl_photo_shape, "photos", "photos", .if_known = TRUE),
    SPL_FIELD_LIST(spl_harvest, answered, &spl_cause_shape, "answered", "answered",
                   .if_known = TRUE),
    SPL_FIELD_SHOW(spl_harvest, by, SPL_TEXT, "by", "picked by", SPL_STORED("by")),
    SPL_FIELD_SHOW(spl_harvest, people, SPL_INT, "people", "with people", SPL_STORED("people"),
                   .none_is_0 = TRUE),
    SPL_FIELD_SHOW(spl_harvest, named_by, SPL_TEXT, "named_by", "named by", SPL_STORED("named_by")),
    SPL_FIELD_SHOW(spl_harvest, signs, SPL_TEXT, "signs", "by the signs", SPL_STORED("signs")),
    SPL_FIELD_SHOW(spl_harvest, weather, SPL_TEXT, "weather", "weather", SPL_STORED("weather")),
    SPL_FIELD_SHOW(spl_harvest, remark, SPL_TEXT, "remark", "remark", SPL_STORED("remark")),
    SPL_FIELD_SHOW(spl_harvest, struck, SPL_TEXT, "struck", "struck", SPL_READ("struck"),
                   .empty = TRUE),
    SPL_FIELD(spl_harvest, uuid, SPL_TEXT, "uuid", NULL, SPL_READ("uuid")),
    SPL_FIELD(spl_harvest, reasons_json, SPL_TEXT, "verdict_reasons", NULL, SPL_STORED("reasons"),
              .empty = TRUE),
    SPL_FIELD_LIST(spl_harvest, reasons, &spl_reason_shape, "reasons", NULL),
    SPL_FIELD_KEPT(spl_harvest, id, SPL_LONG, SPL_ID("id")),
    SPL_FIELD_KEPT(spl_harvest, site_id, SPL_LONG, SPL_STORED("site_id")),
    SPL_FIELD_KEPT(spl_harvest, gone_g, SPL_NUM, SPL_READ("t.drawn_g + t.discarded_g")),
};
const struct spl_shape spl_harvest_shape = SPL_SHAPE("harvest", spl_harvest, harvest_fields);

const struct spl_noun spl_harvest_noun = {
    .shape = &spl_harvest_shape,
    .table = "harvest",
    .from = "harvest_now t LEFT JOIN site_now s ON s.id = t.site_id",
    .thing = 'H',
};

static double left_of(const struct spl_harvest *harvest)
{
    return (isnan(harvest->garbled_g) ? harvest->weight_g : harvest->garbled_g) - harvest->gone_g;
}

gboolean spl_harvest_add(struct spl_book *book, struct spl_harvest *harvest, GError **error)
{
    if (!spl_noun_add(book, &spl_harvest_noun, harvest, harvest->date, SPL_NONE, error))
        return FALSE;
    harvest->gone_g = 0;
    harvest->left_g = left_of(harvest);
    harvest->batches = g_ptr_array_new_with_free_func(g_free);
    harvest->thrown = spl_list_new(&spl_thrown_shape);
    return TRUE;
}

gboolean spl_harvest_find(struct spl_book *book, const char *code, struct spl_harvest *harvest,
                          GError **error)
{
    struct spl_harvest found;
    struct spl_thing thing;
    gboolean there;

    if (!spl_code_find(book, code, "H", "a harvest", &thing, error))
        return FALSE;
    there =
        spl_noun_get(book, &spl_harvest_noun, "WHERE t.id = ?", SPL_WITH(thing.id), &found, error);
    spl_thing_clear(&thing);
    if (!there)
        return FALSE;
    found.left_g = left_of(&found);
    if ((found.batches = spl_draw_takers(book, found.id, error)) == NULL ||
        (found.thrown = spl_thrown_list(book, found.id, error)) == NULL) {
        spl_record_clear(&spl_harvest_shape, &found);
        return FALSE;
    }
    *harvest = found;
    return TRUE;
}

gboolean spl_harvest_each(struct spl_book *book, const struct spl_harvest_filter *filter,
                          gboolean (*each)(const struct spl_harvest *harvest, gpointer data,
                                           GError **error),
                          gpointer data, GError **error)
{
    /* Each filter that is set adds its own clause, so that SQLite can use the index for it. */
    g_autofree char *where =
        g_strconcat("WHERE 1", filter->site_id != 0 ? " AND t.site_id = ?1" : " AND ?1 = 0",
                    filter->material != NULL ? " AND t.material = ?2" : " AND ?2 IS NULL",
                    spl_day_is_set(filter->from) ? " AND t.day >= ?3" : " AND ?3 IS NULL",
                    spl_day_is_set(filter->to) ? " AND t.day <= ?4" : " AND ?4 IS NULL",
                    filter->unweighed ? " AND t.weight_g IS NULL" : "",
                    filter->all ? "" : " AND t.struck IS NULL", " ORDER BY t.day, t.id", NULL);
    g_autoptr(spl_statement) rows =
        spl_noun_open(book, &spl_harvest_noun, NULL, where,
                      SPL_WITH(filter->site_id, filter->material, filter->from, filter->to), error);
    struct spl_harvest harvest;
    GError *failed = NULL;
    gboolean more = TRUE;

    while (rows != NULL && more && failed == NULL && spl_noun_next(rows, &harvest, &failed)) {
        harvest.left_g = left_of(&harvest);
        more = each(&harvest, data, &failed);
        spl_record_clear(&spl_harvest_shape, &harvest);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

void spl_harvest_signs_clear(struct spl_harvest_signs *signs)
{
    g_free(signs->code);
    g_free(signs->named_by);
    g_free(signs->signs);
    *signs = (struct spl_harvest_signs){0};
}

gboolean spl_harvest_signs_of(struct spl_book *book, gint64 site_id, const char *plant,
                              struct spl_day from, struct spl_day to,
                              struct spl_harvest_signs *signs, GError **error)
{
    g_autoptr(spl_statement) row = spl_statement_open(
        book, error,
        "SELECT t.kind, t.mark, t.year, t.number, t.named_by, t.signs FROM harvest_now t"
        " WHERE t.site_id = ? AND substr(t.material, 1, length(?2) + 1) = ?2 || '/'"
        " AND t.day BETWEEN ? AND ? AND t.struck IS NULL AND coalesce(t.named_by, '') <> ''"
        " AND coalesce(t.signs, '') <> '' ORDER BY t.day DESC, t.at DESC LIMIT 1",
        SPL_WITH(site_id, plant, from, to));
    struct spl_coded coded;
    GError *failed = NULL;

    *signs = (struct spl_harvest_signs){0};
    if (row != NULL &&
        spl_statement_next(row, &failed, SPL_INTO(&coded, &signs->named_by, &signs->signs)))
        signs->code = spl_coded_format(book, &coded);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return row != NULL && failed == NULL;
}

gboolean spl_harvest_each_unweighed(struct spl_book *book,
                                    gboolean (*each)(const struct spl_harvest *harvest,
                                                     gpointer data, GError **error),
                                    gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows = spl_noun_open(
        book, &spl_harvest_noun, NULL,
        "WHERE t.id IN (SELECT id FROM harvest WHERE weight_g IS NULL) AND t.weight_g IS NULL"
        " AND t.struck IS NULL ORDER BY t.day, t.id",
        SPL_NONE, error);
    struct spl_harvest harvest;
    GError *failed = NULL;
    gboolean more = TRUE;

    while (rows != NULL && more && failed == NULL && spl_noun_next(rows, &harvest, &failed)) {
        more = each(&harvest, data, &failed);
        spl_record_clear(&spl_harvest_shape, &harvest);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

double spl_harvest_taken_g(struct spl_book *book, gint64 site_id, const char *material,
                           struct spl_day from, struct spl_day to, GError **error)
{
    g_autoptr(spl_statement) row =
        spl_statement_open(book, error,
                           "SELECT total(weight_g) FROM harvest_now WHERE site_id = ?"
                           " AND material = ? AND day BETWEEN ? AND ? AND struck IS NULL",
                           SPL_WITH(site_id, material, from, to));
    double taken_g;

    return row != NULL && spl_statement_next(row, error, SPL_INTO(&taken_g)) ? taken_g : 0.0;
}

gboolean spl_release_add(struct spl_book *book, gint64 thing_id, struct spl_day day, const char *by,
                         const char *evidence, const struct spl_release_of *of, GError **error)
{
    const char *kind = of != NULL ? of->kind : NULL, *fact = of != NULL ? of->fact : NULL;
    const char *grade = of != NULL ? of->grade : NULL;
    struct spl_value version = of != NULL ? spl_value_long(of->version) : spl_value_text(NULL);

    return spl_fact_add(book, "release",
                        SPL_NAMED(thing_id, day, by, evidence, kind, fact, version, grade), error);
}
