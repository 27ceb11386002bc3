/* SPDX-License-Identifier: MIT
 *
 * The schema of hazards: layers of sprayed or otherwise fouled ground, their boxes in an R*Tree,
 * and the figures that this book uses instead of the tables'. See book/migrations.h.
 */
#include "book/migrations.h"

const char spl_migration_hazards[] =
    /* A map layer, replaced whole by its name; ground added by hand is a layer of one. */
    "CREATE TABLE hazard_layer ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  name TEXT NOT NULL,"
    "  name_key TEXT NOT NULL UNIQUE,"
    "  source TEXT NOT NULL," /* who or which file says so */
    "  checksum TEXT,"        /* SHA-256 of the file */
    "  crs TEXT,"
    "  methods TEXT NOT NULL," /* slugs in it, with commas */
    "  records INTEGER NOT NULL CHECK (records >= 0),"
    "  unread INTEGER NOT NULL CHECK (unread >= 0)," /* more than 0: the layer has gaps */
    "  accuracy_m REAL CHECK (accuracy_m >= 0),"     /* NULL: positions are doubtful */
    "  min_lon REAL NOT NULL CHECK (min_lon BETWEEN -180 AND 180),"
    "  min_lat REAL NOT NULL CHECK (min_lat BETWEEN -90 AND 90),"
    "  max_lon REAL NOT NULL CHECK (max_lon BETWEEN min_lon AND 180),"
    "  max_lat REAL NOT NULL CHECK (max_lat BETWEEN min_lat AND 90),"
    "  day INTEGER NOT NULL," /* of import */
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;"

    "CREATE TABLE hazard ("
    "  id INTEGER PRIMARY KEY,"
    "  layer_id INTEGER NOT NULL REFERENCES hazard_layer (id),"
    "  record INTEGER NOT NULL," /* in its file, from 1 */
    "  name TEXT,"
    "  method TEXT NOT NULL," /* slug */
    "  product TEXT,"
    "  day INTEGER," /* of the spraying; NULL: not known, or lasting */
    "  shape BLOB NOT NULL CHECK (length(shape) >= 28)" /* exact, core/geometry.h */
    ") STRICT;"
    "CREATE INDEX hazard_of_layer ON hazard (layer_id);"

    /* Its boxes: id = 2 * hazard.id, and + 1 for the second one beyond the 180th meridian. Only a
     * sieve: SQLite keeps single precision, rounded outward. */
    "CREATE VIRTUAL TABLE hazard_box USING rtree (id, min_lon, max_lon, min_lat, max_lat);"

    /* The figures of a method in this book; the last by (at, uuid) holds. */
    "CREATE TABLE method_figure ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  method TEXT NOT NULL,"
    "  closed_m REAL NOT NULL CHECK (closed_m BETWEEN 0 AND 10000),"
    "  ask_m REAL NOT NULL CHECK (ask_m BETWEEN closed_m AND 10000),"
    "  hold_on_days INTEGER NOT NULL CHECK (hold_on_days BETWEEN 0 AND 36500),"
    "  hold_near_days INTEGER NOT NULL CHECK (hold_near_days BETWEEN 0 AND 36500),"
    "  day INTEGER NOT NULL,"
    "  why TEXT NOT NULL,"
    "  by TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;";
