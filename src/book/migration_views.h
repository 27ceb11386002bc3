/* SPDX-License-Identifier: MIT
 *
 * What the views of the book are made of since every row can be struck: pieces of SQL for the
 * migrations that make such a view.
 */
#ifndef SPL_BOOK_MIGRATION_VIEWS_H
#define SPL_BOOK_MIGRATION_VIEWS_H

/* Columns are laid out by hand. */
/* clang-format off */

/* A row that no standing strike takes back; why it was struck. */
#define STANDS(uuid) "NOT EXISTS (SELECT 1 FROM live x WHERE x.subject = " uuid ")"
#define STRUCK(uuid)                                                                               \
    "(SELECT x.why FROM live x WHERE x.subject = " uuid " ORDER BY x.at, x.uuid LIMIT 1)"

/* A strike or a correction that does not wait to be agreed to (book/revision.h). */
#define COUNTS_HERE(uuid)                                                                          \
    "NOT EXISTS (SELECT 1 FROM judged_revision r WHERE r.uuid = " uuid " AND r.off = 1)"

/* The last amendment of a column of table alias t that stands, else the row's own value: before
 * it was known whose corrections count, since it is, and since the value is kept
 * (migration_live.c). */
#define LAST_VALUE(field, counts)                                                                  \
    " coalesce((SELECT a.value FROM amendment a WHERE a.subject = t.uuid AND a.field = '" #field   \
    "' AND " STANDS("a.uuid") counts " ORDER BY a.at DESC, a.uuid DESC LIMIT 1), t." #field        \
    ") AS " #field
#define NOW(field) LAST_VALUE(field, "")
#define NOW_BY_ROWS(field) LAST_VALUE(field, " AND " COUNTS_HERE("a.uuid"))
#define NOW_HERE(field)                                                                            \
    " coalesce((SELECT a.value FROM amended a WHERE a.subject = t.uuid AND a.field = '" #field     \
    "'), t." #field ") AS " #field

/* The rows of a table that stand. */
#define STANDING(table)                                                                            \
    "CREATE VIEW " table "_now AS SELECT t.* FROM " table " t WHERE " STANDS("t.uuid") ";"

/* What was pressed out of batch t into lots that stand, by what they were corrected to. */
#define PRESSED(NOW, unit)                                                                         \
    " (SELECT total(d." unit " * coalesce((SELECT a.value FROM " PRESSED_##NOW                     \
    "   / (SELECT l.amount FROM lot l WHERE l.id = d.taker_id), 1.0))"                             \
    "   FROM draw_now d WHERE d.source_id = t.id AND d.taker_kind = 'L')"
#define PRESSED_LAST(counts)                                                                       \
    "amendment a JOIN thing k"                                                                     \
    "   ON k.uuid = a.subject WHERE k.id = d.taker_id AND a.field = 'amount' AND "                 \
    STANDS("a.uuid") counts " ORDER BY a.at DESC, a.uuid DESC LIMIT 1)"
#define PRESSED_NOW PRESSED_LAST("")
#define PRESSED_NOW_BY_ROWS PRESSED_LAST(" AND " COUNTS_HERE("a.uuid"))
#define PRESSED_NOW_HERE                                                                           \
    "thing k JOIN amended a ON a.subject = k.uuid AND a.field = 'amount'"                          \
    "   WHERE k.id = d.taker_id)"

/* The views of things with their present values, as schema 14 has them; NOW is what gives a value:
 * NOW, NOW_BY_ROWS or NOW_HERE. */

#define VIEW_SITE_NOW(NOW)                                                                         \
    "CREATE VIEW site_now AS SELECT t.id, t.uuid, t.mark," NOW(name) "," NOW(lat) "," NOW(lon) "," \
    NOW(elevation_m) "," NOW(accuracy_m) "," NOW(outline) "," NOW(own) "," NOW(contaminated) ","   \
    NOW(contaminated_on) "," NOW(remark) ", t.at FROM site t WHERE " STANDS("t.uuid") ";"

#define VIEW_HARVEST_NOW(NOW) VIEW_HARVEST_NOW_WITH(NOW, "")
#define VIEW_HARVEST_NOW_WITH(NOW, more)                                                           \
    "CREATE VIEW harvest_now AS SELECT t.id, t.uuid, t.kind, t.mark, t.year, t.number, t.at,"      \
    " t.site_id, t.material," NOW(stage) "," NOW(day) "," NOW(weight_g) ", t.bags,"                \
    more                                                                                           \
    NOW(garbled_g) "," NOW(by) "," NOW(named_by) "," NOW(signs) "," NOW(weather) "," NOW(remark)   \
    ", t.verdict, t.reasons,"                                                                      \
    " CASE WHEN EXISTS (SELECT 1 FROM hold_now h WHERE h.thing_id = t.id AND h.at > coalesce("     \
    "     (SELECT max(r.at) FROM release_now r WHERE r.thing_id = t.id), 0))"                      \
    "   THEN (SELECT h.why FROM hold_now h WHERE h.thing_id = t.id ORDER BY h.at DESC LIMIT 1)"    \
    "   WHEN EXISTS (SELECT 1 FROM release_now r WHERE r.thing_id = t.id) THEN NULL"               \
    "   ELSE t.held END AS held,"                                                                  \
    " " STRUCK("t.uuid") " AS struck,"                                                             \
    " (SELECT total(d.grams) FROM draw_now d WHERE d.source_id = t.id) AS drawn_g,"                \
    " (SELECT total(d.grams) FROM discard_now d WHERE d.thing_id = t.id) AS discarded_g"           \
    " FROM (SELECT * FROM harvest JOIN thing USING (id)) t;"

#define VIEW_SPRAY_NOTE_NOW(NOW)                                                                   \
    "CREATE VIEW spray_note_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number, t.at,"           \
    " t.site_id,"                                                                                  \
    " t.kind_of AS kind," NOW(day) "," NOW(since) "," NOW(until) "," NOW(source) "," NOW(method)   \
    "," NOW(product) ", " STRUCK("t.uuid") " AS struck"                                            \
    " FROM (SELECT n.id, h.uuid, h.mark, h.year, h.number, h.at, n.site_id, n.kind AS kind_of,"    \
    "   n.day, n.since, n.until, n.source, n.method, n.product"                                    \
    "   FROM spray_note n JOIN thing h USING (id)) t;"

#define VIEW_STAGE_NOTE_NOW(NOW)                                                                   \
    "CREATE VIEW stage_note_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number, t.at,"           \
    " t.site_id,"                                                                                  \
    " t.material," NOW(stage) "," NOW(day) "," NOW(by) "," NOW(remark) ", "                        \
    STRUCK("t.uuid") " AS struck FROM (SELECT * FROM stage_note JOIN thing USING (id)) t;"

#define VIEW_PURCHASE_NOW(NOW)                                                                     \
    "CREATE VIEW purchase_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number_of, t.at,"          \
    " t.material, t.state," NOW(day) "," NOW(supplier) "," NOW(number) "," NOW(weight_g) ","       \
    NOW(named_by) "," NOW(signs) "," NOW(remark) ", " STRUCK("t.uuid") " AS struck,"               \
    " (SELECT total(d.grams) FROM draw_now d WHERE d.source_id = t.id) AS drawn_g,"                \
    " (SELECT total(d.grams) FROM discard_now d WHERE d.thing_id = t.id) AS discarded_g"           \
    " FROM (SELECT p.*, h.uuid, h.mark, h.year, h.number AS number_of, h.at"                       \
    "   FROM purchase p JOIN thing h USING (id)) t;"

#define VIEW_USE_NOW(NOW)                                                                          \
    "CREATE VIEW use_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number, t.at," NOW(day) ","     \
    NOW(ref) "," NOW(directions) "," NOW(by) ", " STRUCK("t.uuid") " AS struck"                    \
    " FROM (SELECT u.*, h.uuid, h.mark, h.year, h.number, h.at FROM use u JOIN thing h"            \
    " USING (id))"                                                                                 \
    " t;"

#define VIEW_DRYING_NOW(NOW)                                                                       \
    "CREATE VIEW drying_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number, t.at, t.material,"   \
    " t.kind, t.minutes,"                                                                          \
    NOW(day) "," NOW(rack_m2) "," NOW(by) "," NOW(remark) ", " STRUCK("t.uuid") " AS struck,"      \
    " (SELECT total(d.grams) FROM draw_of d WHERE d.taker_id = t.id) AS fresh_g,"                  \
    " (SELECT e.weight_g FROM drying_event_now e WHERE e.drying_id = t.id AND e.kind = 'weigh'"    \
    "   ORDER BY e.at DESC LIMIT 1) AS wilted_g,"                                                  \
    " f.day AS finished, f.weight_g AS dry_g, f.garbled_g,"                                        \
    " (SELECT count(*) FROM draw_now d WHERE d.source_id = t.id AND d.at < f.at) AS taken_before," \
    " w.base_g, (SELECT total(d.grams) FROM draw_now d WHERE d.source_id = t.id"                   \
    "   AND d.at > coalesce(w.at, 0)) AS drawn_g,"                                                 \
    " (SELECT total(d.grams) FROM discard_now d WHERE d.thing_id = t.id"                           \
    "   AND d.at > coalesce(w.at, 0)) AS discarded_g"                                              \
    " FROM (SELECT y.*, h.uuid, h.mark, h.year, h.number, h.at FROM drying y JOIN thing h USING"   \
    "   (id)) t"                                                                                   \
    " LEFT JOIN drying_event f ON f.id = (SELECT e.id FROM drying_event_now e"                     \
    "   WHERE e.drying_id = t.id AND e.kind = 'finish' LIMIT 1)"                                   \
    " LEFT JOIN (SELECT id, drying_id, at, coalesce(garbled_g, weight_g) AS base_g"                \
    "   FROM drying_event) w ON w.id = (SELECT e.id FROM drying_event_now e WHERE e.drying_id ="   \
    "   t.id AND e.kind IN ('weigh', 'finish') ORDER BY e.at DESC LIMIT 1);"

#define VIEW_BATCH_NOW(NOW)                                                                        \
    "CREATE VIEW batch_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number, t.at, t.preparation," \
    NOW(day) ", t.jars, t.jar_ml, t.brimful_ml, " NOW(outside)                                     \
    "," NOW(raw_by) ", t.hold, t.keeping," NOW(by) ","                                             \
    NOW(remark) ", " STRUCK("t.uuid") " AS struck,"                                                \
    " (SELECT max(d.day) FROM draw_now d WHERE d.source_id = t.id AND d.taker_kind = 'L')"         \
    "   AS pressed,"                                                                               \
    PRESSED(NOW, "ml") " AS pressed_ml," PRESSED(NOW, "grams") " AS pressed_g,"                    \
    " (SELECT total(c.grams) FROM charge_now c WHERE c.batch_id = t.id) AS herb_g,"                \
    " (SELECT total(d.grams) FROM draw_now d WHERE d.source_id = t.id AND d.taker_kind = 'B')"     \
    "   AS marc_drawn_g,"                                                                          \
    " (SELECT total(d.grams) FROM discard_now d WHERE d.thing_id = t.id) AS discarded_g,"          \
    " (SELECT total(d.ml) FROM discard_now d WHERE d.thing_id = t.id) AS discarded_ml"             \
    " FROM (SELECT b.*, h.uuid, h.mark, h.year, h.number, h.at FROM batch b JOIN thing h"          \
    " USING (id))"                                                                                 \
    " t;"

#define VIEW_LOT_NOW(NOW)                                                                          \
    "CREATE VIEW lot_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number, t.at, t.preparation,"   \
    " t.materials," NOW(day) ", t.unit," NOW(amount) "," NOW(use_by) ", t.ratio, t.mass_g,"        \
    " t.ethanol_g,"                                                                                \
    " t.acid_g, t.glycerol_ml, t.sugar_g, t.menstruum, t.storage, " NOW(outside)                   \
    ", t.raw, t.hold," NOW(by) ","                                                                 \
    NOW(remark) "," NOW(bottles) "," NOW(place) ", " STRUCK("t.uuid") " AS struck,"                \
    " (SELECT total(CASE t.unit WHEN 'g' THEN d.grams ELSE d.ml END) FROM draw_now d"              \
    "   WHERE d.source_id = t.id) AS drawn,"                                                       \
    " (SELECT total(u.amount) FROM lot_use_now u WHERE u.lot_id = t.id) AS used,"                  \
    " (SELECT total(CASE t.unit WHEN 'g' THEN d.grams ELSE d.ml END) FROM discard_now d"           \
    "   WHERE d.thing_id = t.id) AS discarded,"                                                    \
    " (SELECT total(e.difference) FROM lot_event_now e WHERE e.lot_id = t.id AND e.kind ="         \
    " 'count')"                                                                                    \
    "   AS counted,"                                                                               \
    " e.kind AS decided, e.why AS decided_why"                                                     \
    " FROM (SELECT l.*, h.uuid, h.mark, h.year, h.number, h.at FROM lot l JOIN thing h"            \
    " USING (id)) t"                                                                               \
    " LEFT JOIN lot_event e ON e.id = (SELECT x.id FROM lot_event_now x WHERE x.lot_id = t.id"     \
    "   AND x.kind <> 'count' ORDER BY x.at DESC LIMIT 1);"

/* clang-format on */

#endif
