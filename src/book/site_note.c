/* SPDX-License-Identifier: MIT
 *
 * What is noted about a site: permission, words about spraying, stages seen. See book/site.h.
 */
#include "book/noun.h"
#include "book/site.h"

/* Permission ----------------------------------------------------------------------------------- */

static const struct spl_field permission_fields[] = {
    SPL_FIELD(spl_permission_note, site, SPL_TEXT, "site", NULL),
    SPL_FIELD(spl_permission_note, given, SPL_BOOL, "given", "given", SPL_STORED("given")),
    SPL_FIELD(spl_permission_note, by, SPL_TEXT, "by", "by", SPL_STORED("by"), .empty = TRUE),
    SPL_FIELD(spl_permission_note, on, SPL_DAY, "on", "on", SPL_STORED("day")),
    SPL_FIELD(spl_permission_note, until, SPL_DAY, "until", "until", SPL_STORED("until")),
    SPL_FIELD(spl_permission_note, written, SPL_BOOL, "written", "written", SPL_STORED("written")),
    SPL_FIELD(spl_permission_note, parts, SPL_TEXT, "parts", "parts", SPL_STORED("parts"),
              .empty = TRUE),
    SPL_FIELD(spl_permission_note, amount, SPL_TEXT, "amount", "amount", SPL_STORED("amount")),
    SPL_FIELD_LIST(spl_permission_note, photos, &spl_photo_shape, "photos", "photos",
                   .if_known = TRUE),
    SPL_FIELD_KEPT(spl_permission_note, id, SPL_LONG, SPL_ID("id")),
    SPL_FIELD_KEPT(spl_permission_note, uuid, SPL_TEXT, SPL_READ("t.uuid"), .empty = TRUE),
};
const struct spl_shape spl_permission_note_shape =
    SPL_SHAPE("permission", spl_permission_note, permission_fields);

const struct spl_noun spl_permission_noun = {
    .shape = &spl_permission_note_shape,
    .table = "permission",
    .from = "permission_now t",
    .fact = TRUE,
};

gboolean spl_permission_add(struct spl_book *book, gint64 site_id,
                            const struct spl_permission_note *permission, GError **error)
{
    struct spl_permission_note written = *permission;

    if (written.parts == NULL)
        written.parts = (char *)"";
    return spl_noun_add(book, &spl_permission_noun, &written, written.on, SPL_NAMED(site_id),
                        error);
}

GArray *spl_permission_list(struct spl_book *book, gint64 site_id, GError **error)
{
    return spl_noun_list(book, &spl_permission_noun, "WHERE t.site_id = ? ORDER BY t.day, t.at",
                         SPL_WITH(site_id), error);
}

/* Notes with a code: their thing, then the row. */
static gboolean note_add(struct spl_book *book, const struct spl_noun *noun, void *record,
                         gint64 site_id, struct spl_day day, struct spl_thing *thing,
                         GError **error)
{
    struct spl_thing own;
    gint64 id;

    if (!spl_thing_add(book, 'N', day, &own, error))
        return FALSE;
    id = own.id;
    if (!spl_noun_add(book, noun, record, day, SPL_NAMED(id, site_id), error)) {
        spl_thing_clear(&own);
        return FALSE;
    }
    *thing = own;
    return TRUE;
}

/* Spraying ------------------------------------------------------------------------------------- */

static const struct spl_field touched_fields[] = {
    SPL_FIELD(spl_touched, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_touched, kind, SPL_WORD, "kind", "kind", .names = spl_thing_kind_names),
    SPL_FIELD(spl_touched, harvest, SPL_TEXT, "harvest", "of"),
    SPL_FIELD_NUM(spl_touched, left_g, 1, "left_g", "left g"),
    SPL_FIELD_NUM(spl_touched, left_ml, 1, "left_ml", "left mL"),
};
const struct spl_shape spl_touched_shape = SPL_SHAPE("touched", spl_touched, touched_fields);

static const struct spl_field spray_fields[] = {
    SPL_FIELD(spl_spray_record, code, SPL_TEXT, "code", "code",
              SPL_CODE("'N', t.mark, t.year, t.number")),
    SPL_FIELD(spl_spray_record, site, SPL_TEXT, "site", "site", SPL_READ(SPL_SITE_NAME)),
    SPL_FIELD(spl_spray_record, kind, SPL_WORD, "kind", "kind", SPL_STORED("kind"),
              .names = spl_spray_kind_names),
    SPL_FIELD(spl_spray_record, on, SPL_DAY, "on", "on", SPL_STORED("day")),
    SPL_FIELD(spl_spray_record, since, SPL_DAY, "since", "since", SPL_STORED("since")),
    SPL_FIELD(spl_spray_record, until, SPL_DAY, "until", "until", SPL_STORED("until")),
    SPL_FIELD(spl_spray_record, source, SPL_TEXT, "source", "source", SPL_STORED("source"),
              .empty = TRUE),
    SPL_FIELD(spl_spray_record, method, SPL_TEXT, "method", "method", SPL_STORED("method")),
    SPL_FIELD(spl_spray_record, product, SPL_TEXT, "product", "product", SPL_STORED("product")),
    SPL_FIELD(spl_spray_record, struck, SPL_TEXT, "struck", NULL, SPL_READ("struck"),
              .empty = TRUE),
    SPL_FIELD_KEPT(spl_spray_record, noted, SPL_DAY,
                   SPL_READ("CAST(t.at / 86400000000 AS INTEGER)")),
    SPL_FIELD_KEPT(spl_spray_record, uuid, SPL_TEXT, SPL_READ("t.uuid")),
    SPL_FIELD_LIST(spl_spray_record, touched, &spl_touched_shape, "touched", NULL),
    SPL_FIELD_LIST(spl_spray_record, photos, &spl_photo_shape, "photos", "photos",
                   .if_known = TRUE),
};
const struct spl_shape spl_spray_record_shape =
    SPL_SHAPE("spray_note", spl_spray_record, spray_fields);

const struct spl_noun spl_spray_noun = {
    .shape = &spl_spray_record_shape,
    .table = "spray_note",
    .from = "spray_note_now t LEFT JOIN site_now s ON s.id = t.site_id",
};

gboolean spl_spray_add(struct spl_book *book, gint64 site_id, struct spl_day day,
                       const struct spl_spray_record *record, struct spl_thing *thing,
                       GError **error)
{
    struct spl_spray_record written = *record;

    return note_add(book, &spl_spray_noun, &written, site_id, day, thing, error);
}

GArray *spl_spray_list(struct spl_book *book, gint64 site_id, gboolean struck, GError **error)
{
    return spl_noun_list(book, &spl_spray_noun,
                         "WHERE t.site_id = ? AND (t.struck IS NULL OR ?) ORDER BY t.at, t.id",
                         SPL_WITH(site_id, struck), error);
}

gboolean spl_spray_places(struct spl_book *book, GArray *ids, GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT DISTINCT site_id FROM spray_note WHERE kind = 'sprayed'"
                           " ORDER BY site_id",
                           SPL_NONE);

    return spl_statement_ids(rows, ids, error);
}

/* Stages --------------------------------------------------------------------------------------- */

static const struct spl_field stage_fields[] = {
    SPL_FIELD(spl_stage_record, code, SPL_TEXT, "code", "code",
              SPL_CODE("'N', t.mark, t.year, t.number")),
    SPL_FIELD(spl_stage_record, site, SPL_TEXT, "site", "site", SPL_READ(SPL_SITE_NAME)),
    SPL_FIELD(spl_stage_record, material, SPL_TEXT, "material", "material", SPL_STORED("material"),
              .empty = TRUE),
    SPL_FIELD(spl_stage_record, stage, SPL_INT, "stage", "BBCH", SPL_STORED("stage")),
    SPL_FIELD(spl_stage_record, stage_word, SPL_TEXT, "stage_word", "stage"),
    SPL_FIELD(spl_stage_record, on, SPL_DAY, "on", "on", SPL_STORED("day")),
    SPL_FIELD(spl_stage_record, by, SPL_TEXT, "by", "by", SPL_STORED("by")),
    SPL_FIELD(spl_stage_record, remark, SPL_TEXT, "remark", "remark", SPL_STORED("remark")),
    SPL_FIELD(spl_stage_record, struck, SPL_TEXT, "struck", NULL),
    SPL_FIELD_LIST(spl_stage_record, photos, &spl_photo_shape, "photos", "photos",
                   .if_known = TRUE),
    SPL_FIELD_KEPT(spl_stage_record, site_id, SPL_LONG, SPL_READ("site_id")),
};
const struct spl_shape spl_stage_record_shape =
    SPL_SHAPE("stage_note", spl_stage_record, stage_fields);

const struct spl_noun spl_stage_noun = {
    .shape = &spl_stage_record_shape,
    .table = "stage_note",
    .from = "stage_note_now t LEFT JOIN site_now s ON s.id = t.site_id",
};

gboolean spl_stage_add(struct spl_book *book, gint64 site_id, const struct spl_stage_record *record,
                       struct spl_thing *thing, GError **error)
{
    struct spl_stage_record written = *record;

    return note_add(book, &spl_stage_noun, &written, site_id, written.on, thing, error);
}

GArray *spl_stage_list(struct spl_book *book, gint64 site_id, const char *material, GError **error)
{
    g_autofree char *where =
        g_strconcat("WHERE t.struck IS NULL", site_id != 0 ? " AND t.site_id = ?1" : " AND ?1 = 0",
                    material != NULL ? " AND t.material = ?2" : " AND ?2 IS NULL",
                    " ORDER BY t.day DESC, t.id DESC", NULL);

    return spl_noun_list(book, &spl_stage_noun, where, SPL_WITH(site_id, material), error);
}
