/* SPDX-License-Identifier: MIT
 *
 * Harvests as rows. See book/harvest.h.
 */
#include "book/harvest.h"

#include <math.h>

#include "base/text.h"
#include "book/statement.h"

static const struct spl_field harvest_fields[] = {
    SPL_FIELD(spl_harvest, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_harvest, date, SPL_DAY, "date", "date"),
    SPL_FIELD(spl_harvest, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_harvest, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_harvest, stage, SPL_INT, "stage", NULL),
    SPL_FIELD(spl_harvest, stage_word, SPL_TEXT, "stage_word", "stage"),
    SPL_FIELD_NUM(spl_harvest, weight_g, 1, "weight_g", "picked g"),
    SPL_FIELD_NUM(spl_harvest, garbled_g, 1, "garbled_g", "garbled g"),
    SPL_FIELD_NUM(spl_harvest, left_g, 1, "left_g", "left g"),
    SPL_FIELD_SHOW(spl_harvest, verdict, SPL_TEXT, "verdict", "verdict"),
    SPL_FIELD(spl_harvest, held, SPL_TEXT, "held", "held"),
    SPL_FIELD_SHOW(spl_harvest, batches, SPL_TEXTS, "batches", "batches"),
    SPL_FIELD_SHOW(spl_harvest, by, SPL_TEXT, "by", "picked by"),
    SPL_FIELD_SHOW(spl_harvest, named_by, SPL_TEXT, "named_by", "named by"),
    SPL_FIELD_SHOW(spl_harvest, signs, SPL_TEXT, "signs", "by the signs"),
    SPL_FIELD_SHOW(spl_harvest, weather, SPL_TEXT, "weather", "weather"),
    SPL_FIELD_SHOW(spl_harvest, remark, SPL_TEXT, "remark", "remark"),
    SPL_FIELD_SHOW(spl_harvest, struck, SPL_TEXT, "struck", "struck"),
    SPL_FIELD(spl_harvest, uuid, SPL_TEXT, "uuid", NULL),
    SPL_FIELD(spl_harvest, reasons_json, SPL_TEXT, "verdict_reasons", NULL),
};
const struct spl_shape spl_harvest_shape = SPL_SHAPE("harvest", spl_harvest, harvest_fields);

#define HARVEST_COLUMNS                                                                            \
    "SELECT h.id, h.uuid, h.mark, h.year, h.number, h.site_id, s.name, h.material, h.stage, "      \
    "h.day,"                                                                                       \
    " h.weight_g, h.garbled_g, h.drawn_g + h.discarded_g, h.by, h.named_by, h.signs, h.weather,"   \
    " h.remark, h.verdict, h.reasons, h.held, h.struck"                                            \
    " FROM harvest_now h JOIN site_now s ON s.id = h.site_id"

/* "" is how an amendment says that there is nothing any more. */
static char *text_or_null(struct spl_statement *row, int column)
{
    const char *text = spl_column_peek(row, column);

    return text != NULL && *text != '\0' ? g_strdup(text) : NULL;
}

static void read_harvest(struct spl_book *book, struct spl_statement *row,
                         struct spl_harvest *harvest)
{
    double garbled_g = spl_column_real(row, 11), weight_g = spl_column_real(row, 10);

    *harvest = (struct spl_harvest){
        .id = spl_column_long(row, 0),
        .uuid = spl_column_text(row, 1),
        .code = spl_code_format(book, 'H', spl_column_peek(row, 2), spl_column_int(row, 3),
                                spl_column_int(row, 4)),
        .site_id = spl_column_long(row, 5),
        .site = spl_column_text(row, 6),
        .material = spl_column_text(row, 7),
        .stage = spl_column_int(row, 8),
        .date = spl_column_day(row, 9),
        .weight_g = weight_g,
        .garbled_g = garbled_g,
        .left_g = (isnan(garbled_g) ? weight_g : garbled_g) - spl_column_real(row, 12),
        .by = text_or_null(row, 13),
        .named_by = text_or_null(row, 14),
        .signs = text_or_null(row, 15),
        .weather = text_or_null(row, 16),
        .remark = text_or_null(row, 17),
        .verdict = spl_column_text(row, 18),
        .reasons_json = spl_column_text(row, 19),
        .held = text_or_null(row, 20),
        .struck = spl_column_text(row, 21),
    };
}

gboolean spl_harvest_add(struct spl_book *book, struct spl_harvest *harvest, GError **error)
{
    struct spl_thing thing;

    if (!spl_thing_add(book, 'H', harvest->date, &thing, error))
        return FALSE;
    harvest->id = thing.id;
    harvest->uuid = thing.uuid;
    harvest->code = thing.code;
    harvest->left_g = isnan(harvest->garbled_g) ? harvest->weight_g : harvest->garbled_g;
    return spl_book_execute(book, error,
                            "INSERT INTO harvest (id, site_id, material, stage, day, weight_g,"
                            " garbled_g, by, named_by, signs, weather, remark, verdict, reasons,"
                            " held) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                            "lltidrrtttttttt", harvest->id, harvest->site_id, harvest->material,
                            harvest->stage, harvest->date, harvest->weight_g, harvest->garbled_g,
                            harvest->by, harvest->named_by, harvest->signs, harvest->weather,
                            harvest->remark, harvest->verdict, harvest->reasons_json,
                            harvest->held);
}

static GPtrArray *taker_codes(struct spl_book *book, gint64 id, GError **error)
{
    g_autoptr(GPtrArray) codes = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT DISTINCT t.kind, t.mark, t.year, t.number FROM draw d"
                           " JOIN thing t ON t.id = d.taker_id WHERE d.source_id = ?"
                           " AND NOT EXISTS (SELECT 1 FROM strike s WHERE s.subject = t.uuid)"
                           " ORDER BY t.id",
                           "l", id);

    while (rows != NULL && spl_statement_row(rows, error))
        g_ptr_array_add(codes,
                        spl_code_format(book, *spl_column_peek(rows, 0), spl_column_peek(rows, 1),
                                        spl_column_int(rows, 2), spl_column_int(rows, 3)));
    return g_steal_pointer(&codes);
}

gboolean spl_harvest_find(struct spl_book *book, const char *code, struct spl_harvest *harvest,
                          GError **error)
{
    struct spl_thing thing;
    g_autoptr(spl_statement) row = NULL;
    GError *failed = NULL;

    if (!spl_code_find(book, code, "H", "a harvest", &thing, error))
        return FALSE;
    row = spl_statement_open(book, error, HARVEST_COLUMNS " WHERE h.id = ?", "l", thing.id);
    spl_thing_clear(&thing);
    if (row == NULL || !spl_statement_row(row, error))
        return FALSE;
    read_harvest(book, row, harvest);
    harvest->batches = taker_codes(book, harvest->id, &failed);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        spl_record_clear(&spl_harvest_shape, harvest);
        return FALSE;
    }
    return TRUE;
}

gboolean spl_harvest_each(struct spl_book *book, const struct spl_harvest_filter *filter,
                          gboolean (*each)(const struct spl_harvest *harvest, gpointer data,
                                           GError **error),
                          gpointer data, GError **error)
{
    /* Each filter that is set adds its own clause, so that SQLite can use the index for it. */
    g_autofree char *sql = g_strconcat(
        HARVEST_COLUMNS " WHERE 1", filter->site_id != 0 ? " AND h.site_id = ?1" : " AND ?1 = 0",
        filter->material != NULL ? " AND h.material = ?2" : " AND ?2 IS NULL",
        spl_day_is_set(filter->from) ? " AND h.day >= ?3" : " AND ?3 IS NULL",
        spl_day_is_set(filter->to) ? " AND h.day <= ?4" : " AND ?4 IS NULL",
        filter->all ? "" : " AND h.struck IS NULL", " ORDER BY h.day, h.id", NULL);
    g_autoptr(spl_statement) rows = spl_statement_open(book, error, sql, "ltdd", filter->site_id,
                                                       filter->material, filter->from, filter->to);
    GError *failed = NULL;
    gboolean more = TRUE;

    while (rows != NULL && more && failed == NULL && spl_statement_row(rows, &failed)) {
        struct spl_harvest harvest;

        read_harvest(book, rows, &harvest);
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
                           "ltdd", site_id, material, from, to);

    if (row == NULL || !spl_statement_row(row, error))
        return 0;
    return spl_column_real(row, 0);
}

gboolean spl_release_add(struct spl_book *book, gint64 thing_id, struct spl_day day, const char *by,
                         const char *evidence, GError **error)
{
    g_autofree char *uuid = spl_uuid_new();

    return spl_book_execute(book, error,
                            "INSERT INTO release (uuid, thing_id, day, by, evidence, at)"
                            " VALUES (?, ?, ?, ?, ?, ?)",
                            "tldttl", uuid, thing_id, day, by, evidence,
                            spl_book_stamp(book, error));
}
