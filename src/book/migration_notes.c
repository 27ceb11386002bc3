/* SPDX-License-Identifier: MIT
 *
 * Lines of notes that were taken, so that none is taken twice, in this book or in one that is
 * merged with it. See book/note_line.h and book/migrations.h.
 */
#include "book/migrations.h"

/* Columns are laid out by hand. */
/* clang-format off */

const char spl_migration_notes[] =
    "CREATE TABLE note_line ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  mark TEXT NOT NULL DEFAULT '',"
    "  line_about TEXT NOT NULL," /* kind, day, place, material or code and verb */
    "  line_key TEXT NOT NULL," /* and the amount */
    "  occurrence INTEGER NOT NULL CHECK (occurrence >= 1),"
    "  slip TEXT," /* of a slip's line: its identity */
    "  phone TEXT,"
    "  number INTEGER CHECK (number >= 0),"
    "  revision INTEGER NOT NULL CHECK (revision >= 0),"
    "  struck INTEGER NOT NULL CHECK (struck IN (0, 1)),"
    "  line TEXT NOT NULL," /* as it was typed */
    "  file TEXT NOT NULL," /* SHA-256 of the file in which it stood */
    "  made TEXT," /* UUID of the first record that was made of it */
    "  code TEXT," /* what it was called here */
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  CHECK ((slip IS NULL) = (number IS NULL))"
    ") STRICT;"
    "CREATE INDEX note_line_key ON note_line (line_key, occurrence);"
    "CREATE INDEX note_line_about ON note_line (line_about);"
    "CREATE INDEX note_line_slip ON note_line (slip, number, phone) WHERE slip IS NOT NULL;"
    "CREATE TABLE note_file ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  mark TEXT NOT NULL DEFAULT '',"
    "  hash TEXT NOT NULL,"
    "  name TEXT NOT NULL,"
    "  day INTEGER NOT NULL," /* on which it was read */
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;"
    "CREATE INDEX note_file_hash ON note_file (hash);";

/* clang-format on */
