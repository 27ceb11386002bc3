/* SPDX-License-Identifier: MIT
 *
 * The stock of what is poured. See book/migrations.h.
 */
#include "book/migration_views.h"
#include "book/migrations.h"

/* Columns are laid out by hand. */
/* clang-format off */

const char spl_migration_liquids[] =
    "CREATE TABLE liquid ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  mark TEXT NOT NULL DEFAULT '',"
    "  kind TEXT NOT NULL CHECK (kind IN ('spirit', 'vinegar', 'honey', 'oil', 'glycerol', 'sugar',"
    "    'wax')),"
    "  day INTEGER NOT NULL,"
    "  ml REAL CHECK (ml > 0 AND ml <= 1000000),"
    "  g REAL CHECK (g > 0 AND g <= 1000000),"
    "  strength_frac REAL CHECK (strength_frac BETWEEN 0 AND 1),"
    "  supplier TEXT NOT NULL,"
    "  number TEXT,"
    "  why TEXT," /* what it went for; NULL: it came in */
    "  by TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  CHECK ((ml IS NULL) <> (g IS NULL))"
    ") STRICT;"
    STANDING("liquid")
    /* What went out in a span of days is asked each morning. */
    "CREATE INDEX lot_use_day ON lot_use (day);";

/* clang-format on */
