/* SPDX-License-Identifier: MIT
 *
 * Every row of fact says which book wrote it, and any of them can be struck, a strike too. What
 * goes out has a code, a release names what it answers, and what people answered, whom a book
 * trusts and what was complained of are rows. See book/migrations.h.
 *
 * `live` holds the strikes that stand, and every view looks there alone.
 */
#include "book/migration_views.h"
#include "book/migrations.h"

/* Columns are laid out by hand. */
/* clang-format off */

/* '' is what was written before this schema: the book's own, or of a book that it merged. */
#define MARKED(table) "ALTER TABLE " table " ADD COLUMN mark TEXT NOT NULL DEFAULT '';"

const char spl_migration_facts[] =
    "DROP VIEW balance; DROP VIEW lot_now; DROP VIEW batch_now; DROP VIEW draw_now;"
    "DROP VIEW drying_now; DROP VIEW purchase_now; DROP VIEW harvest_now; DROP VIEW stage_note_now;"
    "DROP VIEW spray_note_now; DROP VIEW site_now;"

    /* Tables whose rules changed are made anew, since SQLite changes no rule of a table. */
    "CREATE TABLE thing_9 ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  kind TEXT NOT NULL CHECK (kind IN ('H', 'P', 'D', 'B', 'L', 'N', 'U')),"
    "  mark TEXT NOT NULL," /* of the book that made it */
    "  year INTEGER NOT NULL CHECK (year BETWEEN 1 AND 9999),"
    "  number INTEGER NOT NULL CHECK (number >= 1),"
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  UNIQUE (kind, mark, year, number)"
    ") STRICT;"
    "INSERT INTO thing_9 SELECT id, uuid, kind, mark, year, number, at FROM thing;"
    "DROP TABLE thing;"
    "ALTER TABLE thing_9 RENAME TO thing;"

    /* A strike is a row like others: two books may strike one record, and one strike be struck. */
    "CREATE TABLE strike_9 ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  mark TEXT NOT NULL DEFAULT '',"
    "  subject TEXT NOT NULL," /* uuid of any row */
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  by TEXT,"
    "  why TEXT NOT NULL"
    ") STRICT;"
    "INSERT INTO strike_9 (uuid, subject, at, by, why) SELECT uuid, subject, at, by, why"
    "  FROM strike ORDER BY at, uuid;"
    "DROP TABLE strike;"
    "ALTER TABLE strike_9 RENAME TO strike;"
    "CREATE INDEX strike_subject ON strike (subject, at, uuid);"
    /* Strikes of strikes are followed four deep; the program writes none that is deeper. */
    "CREATE VIEW live AS SELECT s.subject, s.why, s.by, s.at, s.uuid, s.mark FROM strike s"
    " WHERE NOT EXISTS (SELECT 1 FROM strike a WHERE a.subject = s.uuid"
    "   AND NOT EXISTS (SELECT 1 FROM strike b WHERE b.subject = a.uuid"
    "     AND NOT EXISTS (SELECT 1 FROM strike c WHERE c.subject = b.uuid"
    "       AND NOT EXISTS (SELECT 1 FROM strike d WHERE d.subject = c.uuid))));"

    "CREATE TABLE spray_note_9 ("
    "  id INTEGER PRIMARY KEY REFERENCES thing (id),"
    "  site_id INTEGER NOT NULL REFERENCES site (id),"
    "  kind TEXT NOT NULL CHECK (kind IN ('unsprayed', 'sprayed', 'planned', 'not-done')),"
    "  day INTEGER," /* of the word; of the spraying, NULL: at an unknown time */
    "  since INTEGER,"
    "  until INTEGER,"
    "  source TEXT NOT NULL,"
    "  method TEXT,"
    "  product TEXT"
    ") STRICT;"
    "INSERT INTO spray_note_9 SELECT id, site_id, kind, day, since, until, source, method, product"
    "  FROM spray_note;"
    "DROP TABLE spray_note;"
    "ALTER TABLE spray_note_9 RENAME TO spray_note;"
    "CREATE INDEX spray_note_site ON spray_note (site_id, day);"

    /* What is not weighed yet is counted in bags. */
    "CREATE TABLE harvest_9 ("
    "  id INTEGER PRIMARY KEY REFERENCES thing (id),"
    "  site_id INTEGER NOT NULL REFERENCES site (id),"
    "  material TEXT NOT NULL," /* slug */
    "  stage INTEGER NOT NULL CHECK (stage BETWEEN 0 AND 99),"
    "  day INTEGER NOT NULL,"
    "  weight_g REAL CHECK (weight_g > 0 AND weight_g <= 1000000),"
    "  bags INTEGER CHECK (bags BETWEEN 1 AND 1000),"
    "  garbled_g REAL CHECK (garbled_g > 0 AND garbled_g <= weight_g),"
    "  by TEXT,"
    "  named_by TEXT,"
    "  signs TEXT,"
    "  weather TEXT,"
    "  remark TEXT,"
    "  verdict TEXT NOT NULL CHECK (verdict IN ('clear', 'ask', 'closed'))," /* of that day */
    "  reasons TEXT NOT NULL," /* of that verdict, as JSON */
    "  held TEXT,"             /* why no batch may draw on it; NULL: free */
    "  CHECK (weight_g IS NOT NULL OR bags IS NOT NULL)"
    ") STRICT;"
    "INSERT INTO harvest_9 (id, site_id, material, stage, day, weight_g, garbled_g, by, named_by,"
    "  signs, weather, remark, verdict, reasons, held) SELECT id, site_id, material, stage, day,"
    "  weight_g, garbled_g, by, named_by, signs, weather, remark, verdict, reasons, held"
    "  FROM harvest;"
    "DROP TABLE harvest;"
    "ALTER TABLE harvest_9 RENAME TO harvest;"
    "CREATE INDEX harvest_site ON harvest (site_id, day);"
    "CREATE INDEX harvest_material ON harvest (material, day);"

    /* What stands in a row of its own; a thing's row has its mark already, and what is a part of
     * another row (an outing's stops, a layer's records) has that one's. */
    MARKED("amendment") MARKED("site") MARKED("permission") MARKED("release") MARKED("draw")
    MARKED("discard") MARKED("drying_event") MARKED("charge") MARKED("batch_step")
    MARKED("lot_event") MARKED("lot_use") MARKED("hold") MARKED("stand_note") MARKED("planned")
    MARKED("outing") MARKED("outing_version") MARKED("day_off") MARKED("station")
    MARKED("almanac") MARKED("hazard_layer") MARKED("method_figure") MARKED("window_fix")

    /* Where it stands on the shelf, and in what. */
    "ALTER TABLE lot ADD COLUMN bottles TEXT;" /* '4x100 1x250', nominal mL or g */
    "ALTER TABLE lot ADD COLUMN place TEXT;"   /* in words */

    /* One going-out: U27-014. Its lots are rows of lot_use. */
    "CREATE TABLE use ("
    "  id INTEGER PRIMARY KEY REFERENCES thing (id),"
    "  day INTEGER NOT NULL,"
    "  ref TEXT," /* a number, never a name */
    "  directions TEXT,"
    "  by TEXT"
    ") STRICT;"
    "CREATE INDEX use_ref ON use (ref);"
    "ALTER TABLE lot_use ADD COLUMN use_id INTEGER REFERENCES use (id);"
    /* What went out before gets its code now, in the order in which it went, under this book's
     * mark; its UUID is that of the call, the same in every book. */
    "INSERT INTO thing (uuid, kind, mark, year, number, at)"
    " SELECT call, 'U', coalesce((SELECT value FROM setting WHERE key = 'mark'), ''), year,"
    "   row_number() OVER (PARTITION BY year ORDER BY day, at, call), at"
    " FROM (SELECT call, min(day) AS day, min(at) AS at,"
    "   CAST(strftime('%Y', min(day) * 86400, 'unixepoch') AS INTEGER) AS year"
    "   FROM lot_use GROUP BY call) ORDER BY day, at, call;"
    "INSERT INTO use (id, day, ref, by) SELECT t.id, min(u.day), min(u.ref), min(u.by)"
    "  FROM lot_use u JOIN thing t ON t.uuid = u.call AND t.kind = 'U' GROUP BY t.id;"
    "UPDATE lot_use SET use_id = (SELECT t.id FROM thing t WHERE t.uuid = lot_use.call);"
    "CREATE INDEX lot_use_use ON lot_use (use_id);"

    /* What a release answers: a kind of reason, the row that it rests on, in the version of its
     * stamp, and the worst grade. Without a kind: of old, all that was raised before it. */
    "ALTER TABLE release ADD COLUMN kind TEXT;"
    "ALTER TABLE release ADD COLUMN fact TEXT;"
    "ALTER TABLE release ADD COLUMN version INTEGER;"
    "ALTER TABLE release ADD COLUMN grade TEXT CHECK (grade IN ('paper', 'doubt', 'stop'));"

    /* What somebody said to a question, which is known by its ID (UUIDv5 of kind, fact and
     * version). */
    "CREATE TABLE answer ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  mark TEXT NOT NULL DEFAULT '',"
    "  question TEXT NOT NULL,"
    "  kind TEXT NOT NULL,"
    "  fact TEXT NOT NULL,"        /* uuid of any row */
    "  version INTEGER NOT NULL,"  /* of the fact: its stamp */
    "  grade TEXT NOT NULL CHECK (grade IN ('paper', 'doubt', 'stop'))," /* the worst of it */
    "  how TEXT NOT NULL CHECK (how IN ('evidence', 'later', 'destroy', 'outside', 'mine')),"
    "  until INTEGER," /* later: asked again on that day */
    "  words TEXT,"    /* the evidence; why it is taken on */
    "  by TEXT,"
    "  day INTEGER NOT NULL,"
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  CHECK ((how = 'later') = (until IS NOT NULL)),"
    "  CHECK (how = 'later' OR how = 'destroy' OR words IS NOT NULL),"
    "  CHECK (how <> 'mine' OR (grade = 'doubt' AND by IS NOT NULL))"
    ") STRICT;"
    "CREATE INDEX answer_question ON answer (question, at, uuid);"
    "CREATE INDEX answer_fact ON answer (fact);"

    /* Whose corrections count in the book that wrote the row; the last by (at, uuid) holds. */
    "CREATE TABLE trust ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  mark TEXT NOT NULL DEFAULT '',"
    "  whom TEXT NOT NULL," /* another book's mark */
    "  trusted INTEGER NOT NULL CHECK (trusted IN (0, 1)),"
    "  day INTEGER NOT NULL,"
    "  by TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;"
    "CREATE INDEX trust_whom ON trust (mark, whom, at, uuid);"

    /* What somebody said of a lot, or of what went to a reference. */
    "CREATE TABLE reaction ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  mark TEXT NOT NULL DEFAULT '',"
    "  lot_id INTEGER REFERENCES lot (id),"
    "  ref TEXT,"
    "  kind TEXT NOT NULL CHECK (kind IN ('complaint', 'reaction')),"
    "  day INTEGER NOT NULL,"
    "  words TEXT NOT NULL,"
    "  by TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  CHECK (lot_id IS NOT NULL OR ref IS NOT NULL)"
    ") STRICT;"
    "CREATE INDEX reaction_lot ON reaction (lot_id);"
    "CREATE INDEX reaction_ref ON reaction (ref);"

    /* When the rules that judge changed: what stood before that stamp was judged by the old ones.
     * Each book's own. */
    "CREATE TABLE baseline ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  mark TEXT NOT NULL DEFAULT '',"
    "  schema INTEGER NOT NULL CHECK (schema >= 9),"
    "  day INTEGER NOT NULL,"
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;"
    "INSERT INTO baseline (uuid, mark, schema, day, at) SELECT lower(printf('%s-%s-4%s-8%s-%s',"
    "   hex(randomblob(4)), hex(randomblob(2)), substr(hex(randomblob(2)), 2),"
    "   substr(hex(randomblob(2)), 2), hex(randomblob(6)))),"
    "   coalesce((SELECT value FROM setting WHERE key = 'mark'), ''), 9,"
    "   CAST(julianday('now') - 2440587.5 AS INTEGER),"
    "   max(max(at) + 1, CAST((julianday('now') - 2440587.5) * 86400000000 AS INTEGER))"
    " FROM thing HAVING count(*) > 0;"

    /* ---- what stands ---- */

    VIEW_SITE_NOW(NOW)

    VIEW_HARVEST_NOW(NOW)

    VIEW_SPRAY_NOTE_NOW(NOW)

    VIEW_STAGE_NOTE_NOW(NOW)

    VIEW_PURCHASE_NOW(NOW)

    /* What is left counts from the last weighing: herb taken off before it was not weighed then. */
    "CREATE VIEW drying_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number, t.at, t.material,"
    NOW(day) "," NOW(rack_m2) "," NOW(by) "," NOW(remark) ", " STRUCK("t.uuid") " AS struck,"
    " (SELECT total(d.grams) FROM draw_of d WHERE d.taker_id = t.id) AS fresh_g,"
    " (SELECT e.weight_g FROM drying_event_now e WHERE e.drying_id = t.id AND e.kind = 'weigh'"
    "   ORDER BY e.at DESC LIMIT 1) AS wilted_g,"
    " f.day AS finished, f.weight_g AS dry_g, f.garbled_g,"
    " (SELECT count(*) FROM draw_now d WHERE d.source_id = t.id AND d.at < f.at) AS taken_before,"
    " w.base_g, (SELECT total(d.grams) FROM draw_now d WHERE d.source_id = t.id"
    "   AND d.at > coalesce(w.at, 0)) AS drawn_g,"
    " (SELECT total(d.grams) FROM discard_now d WHERE d.thing_id = t.id"
    "   AND d.at > coalesce(w.at, 0)) AS discarded_g"
    " FROM (SELECT y.*, h.uuid, h.mark, h.year, h.number, h.at FROM drying y JOIN thing h USING"
    "   (id)) t"
    " LEFT JOIN drying_event f ON f.id = (SELECT e.id FROM drying_event_now e"
    "   WHERE e.drying_id = t.id AND e.kind = 'finish' LIMIT 1)"
    " LEFT JOIN (SELECT id, drying_id, at, coalesce(garbled_g, weight_g) AS base_g"
    "   FROM drying_event) w ON w.id = (SELECT e.id FROM drying_event_now e WHERE e.drying_id ="
    "   t.id AND e.kind <> 'turn' ORDER BY e.at DESC LIMIT 1);"

    /* Draws that stand, whatever became of the taker; and those whose taker stands too: what was
       drawn for a struck batch is there again. */
    "CREATE VIEW draw_of AS SELECT d.* FROM draw d WHERE " STANDS("d.uuid") ";"
    "CREATE VIEW draw_now AS SELECT d.*, k.kind AS taker_kind FROM draw d"
    " JOIN thing k ON k.id = d.taker_id WHERE " STANDS("d.uuid") " AND " STANDS("k.uuid") ";"
    STANDING("discard") STANDING("hold") STANDING("release") STANDING("lot_event")
    STANDING("drying_event") STANDING("batch_step") STANDING("charge") STANDING("permission")
    STANDING("stand_note") STANDING("planned") STANDING("outing") STANDING("outing_version")
    STANDING("day_off") STANDING("method_figure") STANDING("window_fix") STANDING("hazard_layer")
    STANDING("answer") STANDING("reaction") STANDING("amendment")

    VIEW_USE_NOW(NOW)
    "CREATE VIEW lot_use_now AS SELECT t.* FROM lot_use t WHERE " STANDS("t.uuid")
    " AND NOT EXISTS (SELECT 1 FROM thing h JOIN live x ON x.subject = h.uuid"
    "   WHERE h.id = t.use_id);"

    "CREATE VIEW trust_now AS SELECT t.mark, t.whom, t.trusted, t.day, t.by, t.at FROM trust t"
    " WHERE " STANDS("t.uuid") " AND NOT EXISTS (SELECT 1 FROM trust u WHERE u.mark = t.mark"
    "   AND u.whom = t.whom AND (u.at, u.uuid) > (t.at, t.uuid) AND " STANDS("u.uuid") ");"

    "CREATE VIEW batch_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number, t.at, t.preparation,"
    NOW(day) ", t.jars, t.jar_ml, t.brimful_ml, t.outside, t.hold, t.keeping," NOW(by) ","
    NOW(remark) ", " STRUCK("t.uuid") " AS struck,"
    " (SELECT max(d.day) FROM draw_now d WHERE d.source_id = t.id AND d.taker_kind = 'L')"
    "   AS pressed,"
    " (SELECT total(d.ml) FROM draw_now d WHERE d.source_id = t.id AND d.taker_kind = 'L')"
    "   AS pressed_ml,"
    " (SELECT total(d.grams) FROM draw_now d WHERE d.source_id = t.id AND d.taker_kind = 'L')"
    "   AS pressed_g,"
    " (SELECT total(c.grams) FROM charge_now c WHERE c.batch_id = t.id) AS herb_g,"
    " (SELECT total(d.grams) FROM draw_now d WHERE d.source_id = t.id AND d.taker_kind = 'B')"
    "   AS marc_drawn_g,"
    " (SELECT total(d.grams) FROM discard_now d WHERE d.thing_id = t.id) AS discarded_g,"
    " (SELECT total(d.ml) FROM discard_now d WHERE d.thing_id = t.id) AS discarded_ml"
    " FROM (SELECT b.*, h.uuid, h.mark, h.year, h.number, h.at FROM batch b JOIN thing h USING (id))"
    " t;"

    "CREATE VIEW lot_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number, t.at, t.preparation,"
    " t.materials," NOW(day) ", t.unit, t.amount," NOW(use_by) ", t.ratio, t.mass_g, t.ethanol_g,"
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
