/* SPDX-License-Identifier: MIT
 *
 * The schema of batches, lots and what goes out of them. See book/migrations.h.
 *
 * A batch and a lot copy every figure that they were reckoned with, so that a table that changes
 * later changes no bottle.
 */
#include "book/migrations.h"

/* Columns are laid out by hand. */
/* clang-format off */

/* The last amendment of a column of table alias t, else the row's own value. */
#define NOW(field)                                                                                 \
    " coalesce((SELECT a.value FROM amendment a WHERE a.subject = t.uuid AND a.field = '" #field   \
    "' ORDER BY a.at DESC, a.uuid DESC LIMIT 1), t." #field ") AS " #field

const char spl_migration_batches[] =
    "CREATE TABLE batch ("
    "  id INTEGER PRIMARY KEY REFERENCES thing (id),"
    "  preparation TEXT NOT NULL," /* slug */
    "  day INTEGER NOT NULL,"
    "  jars INTEGER CHECK (jars BETWEEN 1 AND 1000),"
    "  jar_ml REAL CHECK (jar_ml > 0 AND jar_ml <= 1000000)," /* all together, nominal */
    "  brimful_ml REAL CHECK (brimful_ml > 0 AND brimful_ml <= 1100000),"
    "  outside INTEGER NOT NULL CHECK (outside IN (0, 1)),"
    "  hold TEXT,"    /* on whose judgement a keeping rule was put aside */
    "  keeping TEXT NOT NULL," /* the custom that its days follow */
    "  by TEXT,"
    "  remark TEXT"
    ") STRICT;"
    "CREATE INDEX batch_day ON batch (day);"

    /* What went into a jar, each with the figures that it was reckoned with. */
    "CREATE TABLE charge ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  batch_id INTEGER NOT NULL REFERENCES batch (id),"
    "  draw_id INTEGER REFERENCES draw (id)," /* NULL: liquid from a bottle of somebody's */
    "  kind TEXT NOT NULL CHECK (kind IN ('herb', 'liquid', 'lot', 'marc')),"
    "  day INTEGER NOT NULL,"
    "  material TEXT,"
    "  state TEXT CHECK (state IN ('fresh', 'wilted', 'dried')),"
    "  grams REAL CHECK (grams > 0 AND grams <= 1000000),"
    "  moisture_frac REAL CHECK (moisture_frac BETWEEN 0 AND 1),"
    "  volume_ml_per_g REAL CHECK (volume_ml_per_g BETWEEN 0 AND 100),"
    "  kept REAL CHECK (kept BETWEEN 0 AND 100)," /* mL that a gram keeps when pressed */
    "  kept_low REAL CHECK (kept_low <= kept),"
    "  kept_high REAL CHECK (kept_high >= kept),"
    "  ml REAL CHECK (ml >= 0 AND ml <= 1000000)," /* liquid; of marc: what it still holds */
    "  strength_frac REAL CHECK (strength_frac BETWEEN 0 AND 1),"
    "  mass_g REAL CHECK (mass_g >= 0),"
    "  ethanol_g REAL CHECK (ethanol_g >= 0),"
    "  acid_g REAL CHECK (acid_g >= 0),"
    "  glycerol_ml REAL CHECK (glycerol_ml >= 0),"
    "  sugar_g REAL CHECK (sugar_g >= 0),"
    "  words TEXT,"
    "  supplier TEXT,"
    "  number TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  CHECK ((kind IN ('herb', 'marc')) = (grams IS NOT NULL)),"
    "  CHECK ((kind = 'herb') = (ml IS NULL)),"
    "  CHECK ((kind = 'liquid') = (draw_id IS NULL))"
    ") STRICT;"
    "CREATE INDEX charge_batch ON charge (batch_id);"

    "CREATE TABLE batch_step ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  batch_id INTEGER NOT NULL REFERENCES batch (id),"
    "  step TEXT NOT NULL,"
    "  day INTEGER NOT NULL,"
    "  by TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;"
    "CREATE INDEX batch_step_batch ON batch_step (batch_id);"

    "CREATE TABLE lot ("
    "  id INTEGER PRIMARY KEY REFERENCES thing (id),"
    "  preparation TEXT NOT NULL,"
    "  materials TEXT NOT NULL," /* slugs, joined with ', ' */
    "  day INTEGER NOT NULL,"
    "  unit TEXT NOT NULL CHECK (unit IN ('mL', 'g')),"
    "  amount REAL NOT NULL CHECK (amount > 0 AND amount <= 1000000),"
    "  use_by INTEGER,"
    "  ratio REAL CHECK (ratio > 0),"
    /* of a millilitre */
    "  mass_g REAL CHECK (mass_g >= 0),"
    "  ethanol_g REAL CHECK (ethanol_g >= 0),"
    "  acid_g REAL CHECK (acid_g >= 0),"
    "  glycerol_ml REAL CHECK (glycerol_ml >= 0),"
    "  sugar_g REAL CHECK (sugar_g >= 0),"
    "  menstruum TEXT,"
    "  storage TEXT,"
    "  outside INTEGER NOT NULL CHECK (outside IN (0, 1)),"
    "  hold TEXT," /* what it waits for; NULL: released at once */
    "  by TEXT,"
    "  remark TEXT"
    ") STRICT;"
    "CREATE TABLE lot_event ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  lot_id INTEGER NOT NULL REFERENCES lot (id),"
    "  kind TEXT NOT NULL CHECK (kind IN ('release', 'withdraw', 'hold', 'destroy', 'count')),"
    "  day INTEGER NOT NULL,"
    "  why TEXT,"
    "  counted REAL CHECK (counted >= 0),"
    "  difference REAL," /* counted less what the book had */
    "  by TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  CHECK ((kind = 'count') = (counted IS NOT NULL)),"
    "  CHECK (kind = 'count' OR why IS NOT NULL)"
    ") STRICT;"
    "CREATE INDEX lot_event_lot ON lot_event (lot_id, at);"
    "CREATE TABLE lot_use ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  lot_id INTEGER NOT NULL REFERENCES lot (id),"
    "  call TEXT NOT NULL," /* one uuid for all lots that went out together */
    "  day INTEGER NOT NULL,"
    "  amount REAL NOT NULL CHECK (amount > 0 AND amount <= 1000000),"
    "  ref TEXT,"
    "  by TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;"
    "CREATE INDEX lot_use_lot ON lot_use (lot_id);"

    /* What became known later and keeps a thing back, until a release comes after it. */
    "CREATE TABLE hold ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  thing_id INTEGER NOT NULL REFERENCES thing (id),"
    "  day INTEGER NOT NULL,"
    "  why TEXT NOT NULL,"
    "  by TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;"
    "CREATE INDEX hold_thing ON hold (thing_id, at);"

    /* Draws whose taker was not struck: what was drawn for a struck batch is there again. */
    "CREATE VIEW draw_now AS SELECT d.*, k.kind AS taker_kind FROM draw d"
    " JOIN thing k ON k.id = d.taker_id"
    " WHERE NOT EXISTS (SELECT 1 FROM strike s WHERE s.subject = k.uuid);"

    "CREATE VIEW batch_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number, t.at, t.preparation,"
    NOW(day) ", t.jars, t.jar_ml, t.brimful_ml, t.outside, t.hold, t.keeping," NOW(by) ","
    NOW(remark) ","
    " (SELECT s.why FROM strike s WHERE s.subject = t.uuid) AS struck,"
    " (SELECT max(d.day) FROM draw_now d WHERE d.source_id = t.id AND d.taker_kind = 'L')"
    "   AS pressed,"
    " (SELECT total(d.ml) FROM draw_now d WHERE d.source_id = t.id AND d.taker_kind = 'L')"
    "   AS pressed_ml,"
    " (SELECT total(d.grams) FROM draw_now d WHERE d.source_id = t.id AND d.taker_kind = 'L')"
    "   AS pressed_g,"
    " (SELECT total(c.grams) FROM charge c WHERE c.batch_id = t.id) AS herb_g,"
    " (SELECT total(d.grams) FROM draw_now d WHERE d.source_id = t.id AND d.taker_kind = 'B')"
    "   AS marc_drawn_g,"
    " (SELECT total(d.grams) FROM discard d WHERE d.thing_id = t.id) AS discarded_g,"
    " (SELECT total(d.ml) FROM discard d WHERE d.thing_id = t.id) AS discarded_ml"
    " FROM (SELECT b.*, h.uuid, h.mark, h.year, h.number, h.at FROM batch b JOIN thing h USING (id))"
    " t;"

    "CREATE VIEW lot_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number, t.at, t.preparation,"
    " t.materials," NOW(day) ", t.unit, t.amount," NOW(use_by) ", t.ratio, t.mass_g, t.ethanol_g,"
    " t.acid_g, t.glycerol_ml, t.sugar_g, t.menstruum, t.storage, t.outside, t.hold," NOW(by) ","
    NOW(remark) ","
    " (SELECT s.why FROM strike s WHERE s.subject = t.uuid) AS struck,"
    " (SELECT total(CASE t.unit WHEN 'g' THEN d.grams ELSE d.ml END) FROM draw_now d"
    "   WHERE d.source_id = t.id) AS drawn,"
    " (SELECT total(u.amount) FROM lot_use u WHERE u.lot_id = t.id) AS used,"
    " (SELECT total(CASE t.unit WHEN 'g' THEN d.grams ELSE d.ml END) FROM discard d"
    "   WHERE d.thing_id = t.id) AS discarded,"
    " (SELECT total(e.difference) FROM lot_event e WHERE e.lot_id = t.id AND e.kind = 'count')"
    "   AS counted,"
    " e.kind AS decided, e.why AS decided_why"
    " FROM (SELECT l.*, h.uuid, h.mark, h.year, h.number, h.at FROM lot l JOIN thing h USING (id)) t"
    " LEFT JOIN lot_event e ON e.id = (SELECT x.id FROM lot_event x WHERE x.lot_id = t.id"
    "   AND x.kind <> 'count' ORDER BY x.at DESC LIMIT 1);"

    /* What is left of everything that stands: one row a thing. */
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
