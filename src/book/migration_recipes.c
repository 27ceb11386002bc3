/* SPDX-License-Identifier: MIT
 *
 * Recipes of one's own: how a batch was made, kept under a name. The figures stand in the row, so
 * that a correction of the batch does not change what was kept. See book/migrations.h.
 */
#include "book/migration_views.h"
#include "book/migrations.h"

/* Columns are laid out by hand. */
/* clang-format off */

const char spl_migration_recipes[] =
    "CREATE TABLE recipe ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  mark TEXT NOT NULL DEFAULT '',"
    "  batch_id INTEGER NOT NULL REFERENCES batch (id),"
    "  name TEXT NOT NULL,"
    "  name_key TEXT NOT NULL,"
    "  day INTEGER NOT NULL,"
    "  preparation TEXT NOT NULL,"
    "  materials TEXT NOT NULL," /* slugs in order of the alphabet */
    "  dry INTEGER NOT NULL CHECK (dry IN (0, 1)),"
    "  ratio REAL CHECK (ratio > 0 AND ratio <= 100000),"
    "  strength_pct REAL CHECK (strength_pct BETWEEN 0 AND 100),"
    "  menstruum TEXT,"
    "  honey_ml_per_ml REAL CHECK (honey_ml_per_ml BETWEEN 0 AND 100000),"
    "  jar_ml REAL CHECK (jar_ml > 0),"
    "  jars INTEGER CHECK (jars > 0),"
    "  days INTEGER CHECK (days > 0),"
    "  by TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;"
    "CREATE INDEX recipe_name ON recipe (name_key, at, uuid);"
    /* The last one kept under a name holds. */
    "CREATE VIEW recipe_now AS SELECT t.* FROM recipe t WHERE " STANDS("t.uuid")
    " AND NOT EXISTS (SELECT 1 FROM recipe u WHERE u.name_key = t.name_key"
    "   AND (u.at, u.uuid) > (t.at, t.uuid) AND " STANDS("u.uuid") ");";

/* By which recipe a planned batch is to be made: a name, last or none; NULL: as is usual. */
const char spl_migration_plan_recipe[] =
    "ALTER TABLE planned ADD COLUMN recipe TEXT CHECK (recipe <> '');";

/* clang-format on */
