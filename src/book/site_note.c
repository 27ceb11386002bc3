/* SPDX-License-Identifier: MIT
 *
 * What is noted about a site: permission, words about spraying, stages seen. See book/site.h.
 */
#include "base/text.h"
#include "book/site.h"
#include "book/statement.h"

/* Permission ----------------------------------------------------------------------------------- */

static const struct spl_field permission_fields[] = {
    SPL_FIELD(spl_permission_note, site, SPL_TEXT, "site", NULL),
    SPL_FIELD(spl_permission_note, given, SPL_BOOL, "given", "given"),
    SPL_FIELD(spl_permission_note, by, SPL_TEXT, "by", "by"),
    SPL_FIELD(spl_permission_note, on, SPL_DAY, "on", "on"),
    SPL_FIELD(spl_permission_note, until, SPL_DAY, "until", "until"),
    SPL_FIELD(spl_permission_note, written, SPL_BOOL, "written", "written"),
    SPL_FIELD(spl_permission_note, parts, SPL_TEXT, "parts", "parts"),
    SPL_FIELD(spl_permission_note, amount, SPL_TEXT, "amount", "amount"),
};
const struct spl_shape spl_permission_note_shape =
    SPL_SHAPE("permission", spl_permission_note, permission_fields);

gboolean spl_permission_add(struct spl_book *book, gint64 site_id,
                            const struct spl_permission_note *permission, GError **error)
{
    g_autofree char *uuid = spl_uuid_new();
    gint64 at = spl_book_stamp(book, error);

    return spl_book_execute(book, error,
                            "INSERT INTO permission (uuid, site_id, given, by, day, until, written,"
                            " parts, amount, at) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                            "tlitdditt"
                            "l",
                            uuid, site_id, (int)permission->given, permission->by, permission->on,
                            permission->until, (int)permission->written,
                            permission->parts != NULL ? permission->parts : "", permission->amount,
                            at);
}

GArray *spl_permission_list(struct spl_book *book, gint64 site_id, GError **error)
{
    GArray *list = spl_list_new(&spl_permission_note_shape);
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT id, given, by, day, until, written, parts, amount"
                           " FROM permission WHERE site_id = ? ORDER BY day, at",
                           "l", site_id);
    GError *failed = NULL;

    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_permission_note note = {
            .id = spl_column_long(rows, 0),
            .given = spl_column_int(rows, 1) != 0,
            .by = spl_column_text(rows, 2),
            .on = spl_column_day(rows, 3),
            .until = spl_column_day(rows, 4),
            .written = spl_column_int(rows, 5) != 0,
            .parts = spl_column_text(rows, 6),
            .amount = spl_column_text(rows, 7),
        };

        g_array_append_val(list, note);
    }
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        spl_list_free(&spl_permission_note_shape, list);
        return NULL;
    }
    return list;
}

/* Spraying ------------------------------------------------------------------------------------- */

static const struct spl_field spray_fields[] = {
    SPL_FIELD(spl_spray_record, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_spray_record, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_spray_record, kind, SPL_TEXT, "kind", "kind"),
    SPL_FIELD(spl_spray_record, on, SPL_DAY, "on", "on"),
    SPL_FIELD(spl_spray_record, since, SPL_DAY, "since", "since"),
    SPL_FIELD(spl_spray_record, until, SPL_DAY, "until", "until"),
    SPL_FIELD(spl_spray_record, source, SPL_TEXT, "source", "source"),
    SPL_FIELD(spl_spray_record, method, SPL_TEXT, "method", "method"),
    SPL_FIELD(spl_spray_record, product, SPL_TEXT, "product", "product"),
    SPL_FIELD(spl_spray_record, struck, SPL_TEXT, "struck", NULL),
};
const struct spl_shape spl_spray_record_shape =
    SPL_SHAPE("spray_note", spl_spray_record, spray_fields);

gboolean spl_spray_add(struct spl_book *book, gint64 site_id, struct spl_day day,
                       const struct spl_spray_record *record, struct spl_thing *thing,
                       GError **error)
{
    return spl_thing_add(book, 'N', day, thing, error) &&
           spl_book_execute(book, error,
                            "INSERT INTO spray_note (id, site_id, kind, day, since, until, source,"
                            " method, product) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
                            "lltdddttt", thing->id, site_id, record->kind, record->on,
                            record->since, record->until, record->source, record->method,
                            record->product);
}

GArray *spl_spray_list(struct spl_book *book, gint64 site_id, gboolean struck, GError **error)
{
    GArray *list = spl_list_new(&spl_spray_record_shape);
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT n.mark, n.year, n.number, s.name, n.kind, n.day, n.since, n.until, n.source,"
        " n.method, n.product, n.struck FROM spray_note_now n JOIN site s ON s.id = n.site_id"
        " WHERE n.site_id = ? AND (n.struck IS NULL OR ?) ORDER BY n.at, n.id",
        "li", site_id, (int)struck);
    GError *failed = NULL;

    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_spray_record record = {
            .code = spl_code_format(book, 'N', spl_column_peek(rows, 0), spl_column_int(rows, 1),
                                    spl_column_int(rows, 2)),
            .site = spl_column_text(rows, 3),
            .kind = spl_column_text(rows, 4),
            .on = spl_column_day(rows, 5),
            .since = spl_column_day(rows, 6),
            .until = spl_column_day(rows, 7),
            .source = spl_column_text(rows, 8),
            .method = spl_column_text(rows, 9),
            .product = spl_column_text(rows, 10),
            .struck = spl_column_text(rows, 11),
        };

        g_array_append_val(list, record);
    }
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        spl_list_free(&spl_spray_record_shape, list);
        return NULL;
    }
    return list;
}

/* Stages --------------------------------------------------------------------------------------- */

static const struct spl_field stage_fields[] = {
    SPL_FIELD(spl_stage_record, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_stage_record, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_stage_record, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_stage_record, stage, SPL_INT, "stage", "BBCH"),
    SPL_FIELD(spl_stage_record, stage_word, SPL_TEXT, "stage_word", "stage"),
    SPL_FIELD(spl_stage_record, on, SPL_DAY, "on", "on"),
    SPL_FIELD(spl_stage_record, by, SPL_TEXT, "by", "by"),
    SPL_FIELD(spl_stage_record, remark, SPL_TEXT, "remark", "remark"),
    SPL_FIELD(spl_stage_record, struck, SPL_TEXT, "struck", NULL),
};
const struct spl_shape spl_stage_record_shape =
    SPL_SHAPE("stage_note", spl_stage_record, stage_fields);

gboolean spl_stage_add(struct spl_book *book, gint64 site_id, const struct spl_stage_record *record,
                       struct spl_thing *thing, GError **error)
{
    return spl_thing_add(book, 'N', record->on, thing, error) &&
           spl_book_execute(book, error,
                            "INSERT INTO stage_note (id, site_id, material, stage, day, by, remark)"
                            " VALUES (?, ?, ?, ?, ?, ?, ?)",
                            "lltidtt", thing->id, site_id, record->material, record->stage,
                            record->on, record->by, record->remark);
}

GArray *spl_stage_list(struct spl_book *book, gint64 site_id, const char *material, GError **error)
{
    static const char columns[] =
        "SELECT n.mark, n.year, n.number, s.name, n.material, n.stage, n.day, n.by, n.remark,"
        " n.site_id FROM stage_note_now n JOIN site_now s ON s.id = n.site_id"
        " WHERE n.struck IS NULL";
    g_autofree char *sql =
        g_strconcat(columns, site_id != 0 ? " AND n.site_id = ?1" : " AND ?1 = 0",
                    material != NULL ? " AND n.material = ?2" : " AND ?2 IS NULL",
                    " ORDER BY n.day DESC, n.id DESC", NULL);
    GArray *list = spl_list_new(&spl_stage_record_shape);
    g_autoptr(spl_statement) rows = spl_statement_open(book, error, sql, "lt", site_id, material);
    GError *failed = NULL;

    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_stage_record record = {
            .code = spl_code_format(book, 'N', spl_column_peek(rows, 0), spl_column_int(rows, 1),
                                    spl_column_int(rows, 2)),
            .site = spl_column_text(rows, 3),
            .material = spl_column_text(rows, 4),
            .stage = spl_column_int(rows, 5),
            .on = spl_column_day(rows, 6),
            .by = spl_column_text(rows, 7),
            .remark = spl_column_text(rows, 8),
            .site_id = spl_column_long(rows, 9),
        };

        g_array_append_val(list, record);
    }
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        spl_list_free(&spl_stage_record_shape, list);
        return NULL;
    }
    return list;
}
