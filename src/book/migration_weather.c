/* SPDX-License-Identifier: MIT
 *
 * The schema of weather that comes by itself, and of what an almanac's row says of its years. See
 * book/migrations.h.
 */
#include "book/migrations.h"

const char spl_migration_weather_follow[] =
    /* Where a station's days are fetched from: this desk's own, never merged or carried out. */
    "CREATE TABLE weather_follow ("
    "  station_id INTEGER PRIMARY KEY REFERENCES station (id),"
    "  url TEXT NOT NULL,"
    "  unit TEXT,"             /* as it was said; NULL: what the answer says */
    "  columns TEXT NOT NULL," /* the headings that it was first taken with */
    "  fetched INTEGER,"       /* the day on which it was last had; NULL: never */
    "  failed TEXT,"           /* why not, the last time; NULL: it was had */
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;"
    /* Days to come as they were last foretold; likewise of this desk. */
    "CREATE TABLE weather_forecast ("
    "  station_id INTEGER NOT NULL REFERENCES station (id),"
    "  day INTEGER NOT NULL,"
    "  tmin_c REAL NOT NULL CHECK (tmin_c BETWEEN -95 AND 60),"
    "  tmax_c REAL NOT NULL CHECK (tmax_c BETWEEN tmin_c AND 60),"
    "  made INTEGER NOT NULL," /* on which day */
    "  PRIMARY KEY (station_id, day)"
    ") STRICT, WITHOUT ROWID;"
    /* The years of its days and of its normals, 0: not said; stands_frost -1: its part says. */
    "ALTER TABLE almanac_row ADD COLUMN period_from INTEGER NOT NULL DEFAULT 0;"
    "ALTER TABLE almanac_row ADD COLUMN period_to INTEGER NOT NULL DEFAULT 0"
    "  CHECK (period_to >= period_from);"
    "ALTER TABLE almanac_row ADD COLUMN normals_from INTEGER NOT NULL DEFAULT 0;"
    "ALTER TABLE almanac_row ADD COLUMN normals_to INTEGER NOT NULL DEFAULT 0"
    "  CHECK (normals_to >= normals_from);"
    "ALTER TABLE almanac_row ADD COLUMN stands_frost INTEGER NOT NULL DEFAULT -1"
    "  CHECK (stands_frost BETWEEN -1 AND 1);";
