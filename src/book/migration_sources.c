/* SPDX-License-Identifier: MIT
 *
 * The schema of other sources than the log: purchases and dryings. See book/migrations.h.
 */
#include "book/migrations.h"

/* Columns are laid out by hand. */
/* clang-format off */

/* The last amendment of a column of table alias t, else the row's own value. */
#define NOW(field)                                                                                 \
    " coalesce((SELECT a.value FROM amendment a WHERE a.subject = t.uuid AND a.field = '" #field   \
    "' ORDER BY a.at DESC, a.uuid DESC LIMIT 1), t." #field ") AS " #field

/* Not for a taker that was struck: what it drew is there again. */
#define STANDING                                                                                   \
    " AND NOT EXISTS (SELECT 1 FROM thing k JOIN strike s ON s.subject = k.uuid"                   \
    " WHERE k.id = d.taker_id)"

const char spl_migration_sources[] =
    /* Herb that was not gathered. */
    "CREATE TABLE purchase ("
    "  id INTEGER PRIMARY KEY REFERENCES thing (id),"
    "  material TEXT NOT NULL,"
    "  day INTEGER NOT NULL,"
    "  state TEXT NOT NULL CHECK (state IN ('fresh', 'dried')),"
    "  supplier TEXT NOT NULL,"
    "  number TEXT," /* the supplier's own */
    "  weight_g REAL NOT NULL CHECK (weight_g > 0 AND weight_g <= 1000000),"
    "  named_by TEXT,"
    "  signs TEXT,"
    "  remark TEXT"
    ") STRICT;"
    "CREATE VIEW purchase_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number_of, t.at, t.material,"
    " t.state," NOW(day) "," NOW(supplier) "," NOW(number) "," NOW(weight_g) "," NOW(named_by) ","
    NOW(signs) "," NOW(remark) ","
    " (SELECT s.why FROM strike s WHERE s.subject = t.uuid) AS struck,"
    " (SELECT total(d.grams) FROM draw d WHERE d.source_id = t.id" STANDING ") AS drawn_g,"
    " (SELECT total(d.grams) FROM discard d WHERE d.thing_id = t.id) AS discarded_g"
    " FROM (SELECT p.*, h.uuid, h.mark, h.year, h.number AS number_of, h.at"
    "   FROM purchase p JOIN thing h USING (id)) t;"

    /* Herb on a rack; what it was put up from are draws. */
    "CREATE TABLE drying ("
    "  id INTEGER PRIMARY KEY REFERENCES thing (id),"
    "  material TEXT NOT NULL,"
    "  day INTEGER NOT NULL,"
    "  rack_m2 REAL CHECK (rack_m2 > 0 AND rack_m2 <= 10000),"
    "  by TEXT,"
    "  remark TEXT"
    ") STRICT;"
    "CREATE TABLE drying_event ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  drying_id INTEGER NOT NULL REFERENCES drying (id),"
    "  kind TEXT NOT NULL CHECK (kind IN ('turn', 'weigh', 'finish')),"
    "  day INTEGER NOT NULL,"
    "  weight_g REAL CHECK (weight_g > 0 AND weight_g <= 1000000),"
    "  garbled_g REAL CHECK (garbled_g > 0 AND garbled_g <= weight_g),"
    "  by TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  CHECK (kind = 'turn' OR weight_g IS NOT NULL)"
    ") STRICT;"
    "CREATE INDEX drying_event_drying ON drying_event (drying_id, at);"
    /* What is left counts from the last weighing: herb taken off before it was not weighed then. */
    "CREATE VIEW drying_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number, t.at, t.material,"
    NOW(day) "," NOW(rack_m2) "," NOW(by) "," NOW(remark) ","
    " (SELECT s.why FROM strike s WHERE s.subject = t.uuid) AS struck,"
    " (SELECT total(d.grams) FROM draw d WHERE d.taker_id = t.id) AS fresh_g,"
    " (SELECT e.weight_g FROM drying_event e WHERE e.drying_id = t.id AND e.kind = 'weigh'"
    "   ORDER BY e.at DESC LIMIT 1) AS wilted_g,"
    " f.day AS finished, f.weight_g AS dry_g, f.garbled_g,"
    " (SELECT count(*) FROM draw d WHERE d.source_id = t.id AND d.at < f.at" STANDING ") AS taken_before,"
    " w.base_g, (SELECT total(d.grams) FROM draw d WHERE d.source_id = t.id"
    "   AND d.at > coalesce(w.at, 0)" STANDING ") AS drawn_g,"
    " (SELECT total(d.grams) FROM discard d WHERE d.thing_id = t.id"
    "   AND d.at > coalesce(w.at, 0)) AS discarded_g"
    " FROM (SELECT y.*, h.uuid, h.mark, h.year, h.number, h.at FROM drying y JOIN thing h USING"
    "   (id)) t"
    " LEFT JOIN drying_event f ON f.id = (SELECT e.id FROM drying_event e WHERE e.drying_id = t.id"
    "   AND e.kind = 'finish' LIMIT 1)"
    " LEFT JOIN (SELECT id, drying_id, at, coalesce(garbled_g, weight_g) AS base_g"
    "   FROM drying_event) w ON w.id = (SELECT e.id FROM drying_event e WHERE e.drying_id = t.id"
    "   AND e.kind <> 'turn' ORDER BY e.at DESC LIMIT 1);";

/* clang-format on */
