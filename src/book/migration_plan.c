/* SPDX-License-Identifier: MIT
 *
 * The schema of stands and of the season's plan. See book/migrations.h.
 */
#include "book/migrations.h"

/* Columns are laid out by hand.
 * clang-format off */

const char spl_migration_plan[] =
    /* What a site bears of a plant, as somebody counted, paced or weighed it; that it was found in
       leaf or flower; that it rests. For each kind (and part) the last by (day, at) holds; a count
       and a paced area replace each other. */
    "CREATE TABLE stand_note ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  site_id INTEGER NOT NULL REFERENCES site (id),"
    "  plant TEXT NOT NULL,"
    "  kind TEXT NOT NULL CHECK (kind IN ('plants', 'area', 'grams', 'share', 'mark', 'rest')),"
    "  part TEXT,"
    "  plants INTEGER CHECK (plants BETWEEN 0 AND 100000000),"
    "  area_m2 REAL CHECK (area_m2 > 0 AND area_m2 <= 1e10),"
    "  cover_frac REAL CHECK (cover_frac BETWEEN 0 AND 1),"
    "  grams REAL CHECK (grams >= 0 AND grams <= 1e9),"
    "  share_frac REAL CHECK (share_frac BETWEEN 0 AND 1),"
    "  until INTEGER CHECK (until BETWEEN 1 AND 9999)," /* the season from which it may be picked */
    "  seen TEXT,"
    "  growth_year INTEGER CHECK (growth_year BETWEEN 1 AND 99)," /* of a biennial */
    "  day INTEGER NOT NULL,"
    "  by TEXT,"
    "  remark TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;"
    "CREATE INDEX stand_note_site ON stand_note (site_id, plant, day, at);"

    /* What is to be made in a season. Dropped ones are struck. */
    "CREATE TABLE planned ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  season INTEGER NOT NULL CHECK (season BETWEEN 1 AND 9999),"
    "  name TEXT NOT NULL,"
    "  preparation TEXT NOT NULL," /* slug */
    "  yield_ml REAL CHECK (yield_ml > 0 AND yield_ml <= 1000000),"
    "  yield_g REAL CHECK (yield_g > 0 AND yield_g <= 1000000),"
    "  jars TEXT," /* '6x500 1x250', nominal mL */
    "  by INTEGER,"
    "  remark TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  CHECK ((yield_ml IS NOT NULL) + (yield_g IS NOT NULL) + (jars IS NOT NULL) = 1)"
    ") STRICT;"
    "CREATE INDEX planned_season ON planned (season, id);"
    "CREATE TABLE planned_part ("
    "  planned_id INTEGER NOT NULL REFERENCES planned (id),"
    "  seq INTEGER NOT NULL,"
    "  material TEXT NOT NULL," /* slug */
    "  parts REAL NOT NULL CHECK (parts > 0 AND parts <= 1000),"
    "  PRIMARY KEY (planned_id, seq)"
    ") STRICT, WITHOUT ROWID;"

    /* A kept outing keeps its identity while its day and load change; the last version holds. */
    "CREATE TABLE outing ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  season INTEGER NOT NULL CHECK (season BETWEEN 1 AND 9999),"
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;"
    "CREATE INDEX outing_season ON outing (season, id);"
    "CREATE TABLE outing_version ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  outing_id INTEGER NOT NULL REFERENCES outing (id),"
    "  day INTEGER NOT NULL,"
    "  reserve INTEGER,"
    "  hours REAL NOT NULL CHECK (hours >= 0),"
    "  km REAL NOT NULL CHECK (km >= 0),"
    "  fixed INTEGER NOT NULL CHECK (fixed IN (0, 1))," /* the person set its day */
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;"
    "CREATE INDEX outing_version_outing ON outing_version (outing_id, at, uuid);"
    "CREATE TABLE outing_stop ("
    "  version_id INTEGER NOT NULL REFERENCES outing_version (id),"
    "  seq INTEGER NOT NULL,"
    "  site_id INTEGER NOT NULL REFERENCES site (id),"
    "  verdict TEXT NOT NULL CHECK (verdict IN ('clear', 'ask', 'closed')),"
    "  PRIMARY KEY (version_id, seq)"
    ") STRICT, WITHOUT ROWID;"
    "CREATE TABLE outing_take ("
    "  version_id INTEGER NOT NULL REFERENCES outing_version (id),"
    "  seq INTEGER NOT NULL,"
    "  site_id INTEGER NOT NULL REFERENCES site (id),"
    "  material TEXT NOT NULL," /* slug */
    "  grams REAL NOT NULL CHECK (grams > 0 AND grams <= 1000000),"
    "  what_for TEXT NOT NULL," /* names of planned batches, a line each */
    "  PRIMARY KEY (version_id, seq)"
    ") STRICT, WITHOUT ROWID;"
    /* Days on which nobody goes. */
    "CREATE TABLE day_off ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  day INTEGER NOT NULL UNIQUE,"
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;";

/* How a planned batch is to be made, where the tables' way is not meant. */
const char spl_migration_plan_making[] =
    "ALTER TABLE planned ADD COLUMN dry INTEGER NOT NULL DEFAULT 0 CHECK (dry IN (0, 1));"
    "ALTER TABLE planned ADD COLUMN ratio REAL CHECK (ratio > 0 AND ratio <= 1000);"
    "ALTER TABLE planned ADD COLUMN strength_frac REAL"
    "  CHECK (strength_frac > 0 AND strength_frac <= 1);";
