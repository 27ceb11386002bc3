/* SPDX-License-Identifier: MIT
 *
 * The working week: herb counted in handfuls, picked by many, what others took of a stand, why an
 * outing was moved. See book/migrations.h.
 */
#include "book/migration_views.h"
#include "book/migrations.h"

/* Columns are laid out by hand. */
/* clang-format off */

const char spl_migration_week[] =
    "ALTER TABLE harvest ADD COLUMN handfuls INTEGER NOT NULL DEFAULT 0"
    "  CHECK (handfuls IN (0, 1));" /* 1: what `bags` counts are handfuls */
    "ALTER TABLE harvest ADD COLUMN people INTEGER CHECK (people BETWEEN 1 AND 10000);"
    "DROP VIEW harvest_now;"
    VIEW_HARVEST_NOW_WITH(NOW_HERE, " t.handfuls, t.people,")

    "ALTER TABLE outing_version ADD COLUMN why TEXT;" /* it is this one and no longer the last */
    "DROP VIEW outing_version_now;"
    STANDING("outing_version")

    "DROP VIEW stand_note_now;"
    "CREATE TABLE stand_note_24 ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  site_id INTEGER NOT NULL REFERENCES site (id),"
    "  plant TEXT NOT NULL," /* slug */
    "  kind TEXT NOT NULL CHECK (kind IN ('plants', 'area', 'grams', 'share', 'mark', 'rest',"
    "    'taken')),"
    "  part TEXT,"
    "  plants INTEGER CHECK (plants BETWEEN 0 AND 100000000),"
    "  area_m2 REAL CHECK (area_m2 > 0 AND area_m2 <= 1e10),"
    "  cover_frac REAL CHECK (cover_frac BETWEEN 0 AND 1),"
    "  grams REAL CHECK (grams >= 0 AND grams <= 1e9),"
    "  share_frac REAL CHECK (share_frac BETWEEN 0 AND 1),"
    "  until INTEGER CHECK (until BETWEEN 1 AND 9999),"
    "  seen TEXT,"
    "  growth_year INTEGER CHECK (growth_year BETWEEN 1 AND 99),"
    "  day INTEGER NOT NULL,"
    "  by TEXT,"
    "  remark TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  mark TEXT NOT NULL DEFAULT '',"
    "  CHECK (kind <> 'taken' OR (grams IS NULL) <> (share_frac IS NULL))"
    ") STRICT;"
    "INSERT INTO stand_note_24 SELECT id, uuid, site_id, plant, kind, part, plants, area_m2,"
    "   cover_frac, grams, share_frac, until, seen, growth_year, day, by, remark, at, mark"
    " FROM stand_note;"
    "DROP TABLE stand_note;"
    "ALTER TABLE stand_note_24 RENAME TO stand_note;"
    "CREATE INDEX stand_note_site ON stand_note (site_id, plant, day, at);"
    STANDING("stand_note");

/* clang-format on */
