/* SPDX-License-Identifier: MIT
 *
 * What keeps people from harm: herb that is frozen or heated, or was shown to be dry; acid that was
 * titrated; raw fruit that somebody answers for; what was made for inside and was narrowed to
 * outside. See book/migrations.h.
 */
#include "book/migration_views.h"
#include "book/migrations.h"

/* Columns are laid out by hand. */
/* clang-format off */

const char spl_migration_care[] =
    "DROP VIEW balance; DROP VIEW lot_now; DROP VIEW batch_now; DROP VIEW drying_now;"
    "DROP VIEW drying_event_now; DROP VIEW charge_now;"

    /* Herb that is kept otherwise than on a rack. */
    "ALTER TABLE drying ADD COLUMN kind TEXT NOT NULL DEFAULT 'dried'"
    "  CHECK (kind IN ('dried', 'frozen', 'heated'));"
    "ALTER TABLE drying ADD COLUMN minutes REAL CHECK (minutes > 0 AND minutes <= 1440);"

    /* What a hand found: 'crumbles', 'snaps', 'breaks'. */
    "CREATE TABLE drying_event_14 ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  drying_id INTEGER NOT NULL REFERENCES drying (id),"
    "  kind TEXT NOT NULL CHECK (kind IN ('turn', 'weigh', 'test', 'finish')),"
    "  day INTEGER NOT NULL,"
    "  weight_g REAL CHECK (weight_g > 0 AND weight_g <= 1000000),"
    "  garbled_g REAL CHECK (garbled_g > 0 AND garbled_g <= weight_g),"
    "  how TEXT,"
    "  by TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  mark TEXT NOT NULL DEFAULT '',"
    "  CHECK (kind IN ('turn', 'test') OR weight_g IS NOT NULL),"
    "  CHECK ((kind = 'test') = (how IS NOT NULL))"
    ") STRICT;"
    "INSERT INTO drying_event_14 (id, uuid, drying_id, kind, day, weight_g, garbled_g, by, at, mark)"
    "  SELECT id, uuid, drying_id, kind, day, weight_g, garbled_g, by, at, mark FROM drying_event;"
    "DROP TABLE drying_event;"
    "ALTER TABLE drying_event_14 RENAME TO drying_event;"
    "CREATE INDEX drying_event_drying ON drying_event (drying_id, at);"

    "CREATE TABLE charge_14 ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  batch_id INTEGER NOT NULL REFERENCES batch (id),"
    "  draw_id INTEGER REFERENCES draw (id)," /* NULL: liquid from a bottle of somebody's */
    "  kind TEXT NOT NULL CHECK (kind IN ('herb', 'liquid', 'lot', 'marc')),"
    "  day INTEGER NOT NULL,"
    "  material TEXT,"
    "  state TEXT CHECK (state IN ('fresh', 'wilted', 'dried', 'frozen', 'heated')),"
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
    "  titrated TEXT," /* vinegar of one's own: how its acid was measured, on which day, by whom */
    "  titrated_on INTEGER,"
    "  titrated_by TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  mark TEXT NOT NULL DEFAULT '',"
    "  CHECK ((kind IN ('herb', 'marc')) = (grams IS NOT NULL)),"
    "  CHECK ((kind = 'herb') = (ml IS NULL)),"
    "  CHECK ((kind = 'liquid') = (draw_id IS NULL)),"
    "  CHECK ((titrated IS NULL) = (titrated_on IS NULL)),"
    "  CHECK ((titrated IS NULL) = (titrated_by IS NULL))"
    ") STRICT;"
    "INSERT INTO charge_14 (id, uuid, batch_id, draw_id, kind, day, material, state, grams,"
    "  moisture_frac, volume_ml_per_g, kept, kept_low, kept_high, ml, strength_frac, mass_g,"
    "  ethanol_g, acid_g, glycerol_ml, sugar_g, words, supplier, number, at, mark)"
    "  SELECT id, uuid, batch_id, draw_id, kind, day, material, state, grams, moisture_frac,"
    "  volume_ml_per_g, kept, kept_low, kept_high, ml, strength_frac, mass_g, ethanol_g, acid_g,"
    "  glycerol_ml, sugar_g, words, supplier, number, at, mark FROM charge;"
    "DROP TABLE charge;"
    "ALTER TABLE charge_14 RENAME TO charge;"
    "CREATE INDEX charge_batch ON charge (batch_id);"

    "ALTER TABLE batch ADD COLUMN raw_by TEXT;" /* who answers for fruit that went in raw */
    "ALTER TABLE lot ADD COLUMN raw TEXT;"      /* of which raw fruit it is, as spoken */

    "CREATE VIEW charge_now AS SELECT t.* FROM charge t WHERE " STANDS("t.uuid") ";"
    "CREATE VIEW drying_event_now AS SELECT t.* FROM drying_event t WHERE " STANDS("t.uuid") ";"

    /* What is left counts from the last weighing: herb taken off before it was not weighed then. */
    VIEW_DRYING_NOW(NOW)

    VIEW_BATCH_NOW(NOW)

    VIEW_LOT_NOW(NOW)

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
