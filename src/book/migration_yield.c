/* SPDX-License-Identifier: MIT
 *
 * What came out of a jar can be corrected: the lot's amount is amended, and what its batches gave
 * follows in the same proportion. See book/migrations.h.
 */
#include "book/migration_views.h"
#include "book/migrations.h"

/* Columns are laid out by hand. */
/* clang-format off */

const char spl_migration_yield[] =
    /* From here on what was written together has stamps without a gap (book/last.h). */
    "INSERT INTO setting (key, value) SELECT 'whole_since', max(at) FROM thing"
    " HAVING count(*) > 0;"

    "DROP VIEW balance; DROP VIEW lot_now; DROP VIEW batch_now;"

    "CREATE VIEW batch_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number, t.at, t.preparation,"
    NOW(day) ", t.jars, t.jar_ml, t.brimful_ml, t.outside, t.hold, t.keeping," NOW(by) ","
    NOW(remark) ", " STRUCK("t.uuid") " AS struck,"
    " (SELECT max(d.day) FROM draw_now d WHERE d.source_id = t.id AND d.taker_kind = 'L')"
    "   AS pressed,"
    PRESSED(NOW, "ml") " AS pressed_ml," PRESSED(NOW, "grams") " AS pressed_g,"
    " (SELECT total(c.grams) FROM charge_now c WHERE c.batch_id = t.id) AS herb_g,"
    " (SELECT total(d.grams) FROM draw_now d WHERE d.source_id = t.id AND d.taker_kind = 'B')"
    "   AS marc_drawn_g,"
    " (SELECT total(d.grams) FROM discard_now d WHERE d.thing_id = t.id) AS discarded_g,"
    " (SELECT total(d.ml) FROM discard_now d WHERE d.thing_id = t.id) AS discarded_ml"
    " FROM (SELECT b.*, h.uuid, h.mark, h.year, h.number, h.at FROM batch b JOIN thing h USING (id))"
    " t;"

    "CREATE VIEW lot_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number, t.at, t.preparation,"
    " t.materials," NOW(day) ", t.unit," NOW(amount) "," NOW(use_by) ", t.ratio, t.mass_g, t.ethanol_g,"
    " t.acid_g, t.glycerol_ml, t.sugar_g, t.menstruum, t.storage, t.outside, t.hold," NOW(by) ","
    NOW(remark) "," NOW(bottles) "," NOW(place) ", " STRUCK("t.uuid") " AS struck,"
    " (SELECT total(CASE t.unit WHEN 'g' THEN d.grams ELSE d.ml END) FROM draw_now d"
    "   WHERE d.source_id = t.id) AS drawn,"
    " (SELECT total(u.amount) FROM lot_use_now u WHERE u.lot_id = t.id) AS used,"
    " (SELECT total(CASE t.unit WHEN 'g' THEN d.grams ELSE d.ml END) FROM discard_now d"
    "   WHERE d.thing_id = t.id) AS discarded,"
    " (SELECT total(e.difference) FROM lot_event_now e WHERE e.lot_id = t.id AND e.kind = 'count')"
    "   AS counted,"
    " e.kind AS decided, e.why AS decided_why"
    " FROM (SELECT l.*, h.uuid, h.mark, h.year, h.number, h.at FROM lot l JOIN thing h USING (id)) t"
    " LEFT JOIN lot_event e ON e.id = (SELECT x.id FROM lot_event_now x WHERE x.lot_id = t.id"
    "   AND x.kind <> 'count' ORDER BY x.at DESC LIMIT 1);"

    /* What is left of everything that stands and is weighed: one row a thing. */
    "CREATE VIEW balance AS"
    " SELECT id, 'H' AS kind, 'g' AS unit, coalesce(garbled_g, weight_g) AS made, drawn_g AS drawn,"
    "   discarded_g AS discarded, coalesce(garbled_g, weight_g) - drawn_g - discarded_g AS left"
    "   FROM harvest_now WHERE struck IS NULL"
    " UNION ALL SELECT id, 'P', 'g', weight_g, drawn_g, discarded_g,"
    "   weight_g - drawn_g - discarded_g FROM purchase_now WHERE struck IS NULL"
    " UNION ALL SELECT id, 'D', 'g', coalesce(base_g, fresh_g), drawn_g, discarded_g,"
    "   coalesce(base_g, fresh_g) - drawn_g - discarded_g FROM drying_now WHERE struck IS NULL"
    " UNION ALL SELECT id, 'B', 'g', herb_g, marc_drawn_g + pressed_g, discarded_g,"
    "   herb_g - marc_drawn_g - pressed_g - discarded_g FROM batch_now WHERE struck IS NULL"
    " UNION ALL SELECT id, 'L', unit, amount + counted, drawn + used, discarded,"
    "   amount + counted - drawn - used - discarded FROM lot_now WHERE struck IS NULL;";

/* clang-format on */
