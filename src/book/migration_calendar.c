/* SPDX-License-Identifier: MIT
 *
 * The schema's steps for calendars: what was written, with which days, what each target had, and
 * what the person made of it there.
 */
#include "book/migrations.h"

const char spl_migration_calendar[] =
    /* One entry of our calendars for ever. Unlike the facts these rows change: they say what stands
       in the person's calendars now. */
    "CREATE TABLE calendar_entry ("
    "  id INTEGER PRIMARY KEY,"
    "  uid TEXT NOT NULL UNIQUE," /* UUIDv5 of key in the book's own UUID */
    "  key TEXT NOT NULL,"        /* kind;subject;... as season/calendar_key.h makes it */
    "  year INTEGER NOT NULL CHECK (year BETWEEN 1 AND 9999),"
    "  summary TEXT NOT NULL,"
    "  first INTEGER NOT NULL,"
    "  last INTEGER NOT NULL CHECK (last >= first),"
    "  outer_first INTEGER," /* a window's earliest and latest day */
    "  outer_last INTEGER,"
    "  state TEXT NOT NULL CHECK (state IN ('open', 'done', 'withdrawn', 'dropped')),"
    "  sequence INTEGER NOT NULL CHECK (sequence >= 0),"
    "  changed_at INTEGER NOT NULL CHECK (changed_at > 0)" /* seconds since 1970 UTC */
    ") STRICT;"
    /* Every value that an entry had before, and those that the person set: none of them is a move.
     */
    "CREATE TABLE calendar_value ("
    "  entry_id INTEGER NOT NULL REFERENCES calendar_entry (id),"
    "  first INTEGER NOT NULL,"
    "  last INTEGER NOT NULL,"
    "  state TEXT NOT NULL,"
    "  PRIMARY KEY (entry_id, first, last, state)"
    ") STRICT, WITHOUT ROWID;"
    /* A calendar that we write to, and what it had. */
    "CREATE TABLE calendar_target ("
    "  id INTEGER PRIMARY KEY,"
    "  name TEXT NOT NULL UNIQUE"
    ") STRICT;"
    "CREATE TABLE calendar_sent ("
    "  target_id INTEGER NOT NULL REFERENCES calendar_target (id),"
    "  entry_id INTEGER NOT NULL REFERENCES calendar_entry (id),"
    "  hash TEXT NOT NULL," /* of all that a person sees of it */
    "  sequence INTEGER NOT NULL CHECK (sequence >= 0),"
    "  changed_at INTEGER NOT NULL CHECK (changed_at > 0),"
    "  cancelled INTEGER NOT NULL CHECK (cancelled IN (0, 1)),"
    "  first INTEGER NOT NULL," /* the days that it was sent with */
    "  last INTEGER NOT NULL CHECK (last >= first),"
    "  PRIMARY KEY (target_id, entry_id)"
    ") STRICT, WITHOUT ROWID;"
    /* Files as we left them. */
    "CREATE TABLE calendar_file ("
    "  path TEXT PRIMARY KEY,"
    "  checksum TEXT NOT NULL"
    ") STRICT, WITHOUT ROWID;";

const char spl_migration_calendar_theirs[] =
    /* What the person set for an entry in one of their calendars; NULL: as the book has it. */
    "CREATE TABLE calendar_theirs ("
    "  target_id INTEGER NOT NULL REFERENCES calendar_target (id),"
    "  entry_id INTEGER NOT NULL REFERENCES calendar_entry (id),"
    "  title TEXT,"
    "  note TEXT,"
    "  category TEXT,"
    "  alarms TEXT," /* minutes before it begins, a comma between; '': none */
    "  start_min INTEGER CHECK (start_min BETWEEN 0 AND 1439)," /* the time of day */
    "  end_min INTEGER CHECK (end_min BETWEEN 0 AND 1440),"
    "  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1))," /* not wanted in this calendar */
    "  PRIMARY KEY (target_id, entry_id)"
    ") STRICT, WITHOUT ROWID;"
    /* Whether the calendar held it when we had written it last. */
    "ALTER TABLE calendar_sent ADD COLUMN there INTEGER NOT NULL DEFAULT 1"
    "  CHECK (there IN (0, 1));";
