/* SPDX-License-Identifier: MIT
 *
 * Which harvests have anything against their ground, kept so that a look costs what is touched and
 * not the log. Derived: each book's own, never merged; `book check` compares it with what season
 * judges, `book repair` makes it anew. See book/judged.h and book/migrations.h.
 *
 * What writes a fact that ground is judged by need not know of it: triggers mark what is to be
 * judged again. Whoever makes one of these tables anew makes its triggers anew, and whoever lets
 * another table speak of ground gives it triggers.
 */
#include "book/migration_views.h"
#include "book/migrations.h"

/* Columns are laid out by hand. */
/* clang-format off */

#define HARVEST_AGAIN(id)                                                                          \
    "DELETE FROM judged_harvest WHERE harvest_id = " id ";"                                        \
    "INSERT INTO judged_harvest (harvest_id, known) VALUES (" id ", 0);"
#define PLACE_AGAIN(id) "INSERT OR IGNORE INTO judged_place (site_id) VALUES (" id ");"
#define ALL_AGAIN "DELETE FROM judged_basis;"

#define TRIGGER(name, on, body)                                                                    \
    "CREATE TRIGGER judged_" name " AFTER " on " BEGIN " body " END;"

/* Rows that say something of one place. */
#define OF_A_PLACE(table)                                                                          \
    TRIGGER(table "_new", "INSERT ON " table, PLACE_AGAIN("NEW.site_id"))                          \
    TRIGGER(table "_set", "UPDATE ON " table,                                                      \
            PLACE_AGAIN("OLD.site_id") PLACE_AGAIN("NEW.site_id"))                                 \
    TRIGGER(table "_gone", "DELETE ON " table, PLACE_AGAIN("OLD.site_id"))

/* Rows that may say something of any. */
#define OF_ALL(table)                                                                              \
    TRIGGER(table "_new", "INSERT ON " table, ALL_AGAIN)                                           \
    TRIGGER(table "_set", "UPDATE ON " table, ALL_AGAIN)                                           \
    TRIGGER(table "_gone", "DELETE ON " table, ALL_AGAIN)

/* What a correction or a strike is about, by its UUID. */
#define SUBJECT_AGAIN(subject)                                                                     \
    "DELETE FROM judged_harvest WHERE harvest_id ="                                                \
    "   (SELECT id FROM thing WHERE uuid = " subject " AND kind = 'H');"                           \
    "INSERT INTO judged_harvest (harvest_id, known)"                                               \
    "   SELECT id, 0 FROM thing WHERE uuid = " subject " AND kind = 'H';"                          \
    "INSERT OR IGNORE INTO judged_place (site_id) SELECT n.site_id FROM thing t"                   \
    "   JOIN spray_note n ON n.id = t.id WHERE t.uuid = " subject ";"                              \
    "INSERT OR IGNORE INTO judged_place (site_id)"                                                 \
    "   SELECT site_id FROM permission WHERE uuid = " subject ";"                                  \
    "INSERT OR IGNORE INTO judged_place (site_id) SELECT id FROM site WHERE uuid = " subject ";"   \
    "DELETE FROM judged_basis WHERE EXISTS (SELECT 1 FROM hazard_layer WHERE uuid = " subject ")"  \
    "   OR EXISTS (SELECT 1 FROM method_figure WHERE uuid = " subject ");"

/* A strike of a correction brings the value before it back; of a strike, whatever that took. */
#define STRUCK_AGAIN(subject)                                                                      \
    SUBJECT_AGAIN(subject)                                                                         \
    "DELETE FROM judged_basis WHERE EXISTS (SELECT 1 FROM strike WHERE uuid = " subject ");"       \
    SUBJECT_AGAIN("(SELECT subject FROM amendment WHERE uuid = " subject ")")

const char spl_migration_judged[] =
    /* There: the rest is right by these rules. Not there: all is to be judged again. */
    "CREATE TABLE judged_basis ("
    "  id INTEGER PRIMARY KEY CHECK (id = 1),"
    "  rules TEXT NOT NULL" /* UUID of the figures that were judged by */
    ") STRICT;"
    /* Places whose harvests are to be judged again. */
    "CREATE TABLE judged_place (site_id INTEGER PRIMARY KEY) STRICT;"
    /* Harvests with something against their ground, and those to be judged again. */
    "CREATE TABLE judged_harvest ("
    "  harvest_id INTEGER PRIMARY KEY,"
    "  known INTEGER NOT NULL CHECK (known IN (0, 1))" /* 0: to be judged again */
    ") STRICT;"
    "CREATE INDEX judged_again ON judged_harvest (harvest_id) WHERE known = 0;"
    "CREATE INDEX harvest_unweighed ON harvest (id) WHERE weight_g IS NULL;"
    "CREATE INDEX harvest_held ON harvest (id) WHERE held IS NOT NULL;"

    TRIGGER("harvest_new", "INSERT ON harvest", HARVEST_AGAIN("NEW.id"))
    TRIGGER("harvest_set", "UPDATE ON harvest", HARVEST_AGAIN("NEW.id"))
    TRIGGER("harvest_gone", "DELETE ON harvest",
            "DELETE FROM judged_harvest WHERE harvest_id = OLD.id;")
    OF_A_PLACE("spray_note")
    OF_A_PLACE("permission")
    TRIGGER("site_set", "UPDATE ON site", PLACE_AGAIN("NEW.id"))
    OF_ALL("hazard_layer")
    OF_ALL("hazard")
    OF_ALL("method_figure")
    TRIGGER("amendment_new", "INSERT ON amendment", SUBJECT_AGAIN("NEW.subject"))
    TRIGGER("amendment_set", "UPDATE ON amendment",
            SUBJECT_AGAIN("OLD.subject") SUBJECT_AGAIN("NEW.subject"))
    TRIGGER("amendment_gone", "DELETE ON amendment", SUBJECT_AGAIN("OLD.subject"))
    TRIGGER("strike_new", "INSERT ON strike", STRUCK_AGAIN("NEW.subject"))
    TRIGGER("strike_set", "UPDATE ON strike",
            STRUCK_AGAIN("OLD.subject") STRUCK_AGAIN("NEW.subject"))
    TRIGGER("strike_gone", "DELETE ON strike", STRUCK_AGAIN("OLD.subject"));

/* What a strike or a correction is about, by its own UUID. */
#define REVISION_AGAIN(uuid)                                                                       \
    SUBJECT_AGAIN("(SELECT subject FROM amendment WHERE uuid = " uuid ")")                         \
    STRUCK_AGAIN("(SELECT subject FROM strike WHERE uuid = " uuid ")")

const char spl_migration_trust[] =
    /* Strikes and corrections by another mark of what they do not own, as far as they do not simply
     * count: they wait for somebody's word (off, asked), make it worse at once (asked), or never
     * count (off). Derived from the rows and from whom this book trusts (book/revision.h). */
    "CREATE TABLE judged_revision ("
    "  uuid TEXT PRIMARY KEY,"
    "  off INTEGER NOT NULL CHECK (off IN (0, 1)),"
    "  asked INTEGER NOT NULL CHECK (asked IN (0, 1))"
    ") STRICT, WITHOUT ROWID;"
    TRIGGER("revision_new", "INSERT ON judged_revision", REVISION_AGAIN("NEW.uuid"))
    TRIGGER("revision_gone", "DELETE ON judged_revision", REVISION_AGAIN("OLD.uuid"))
    "CREATE INDEX answer_revision ON answer (fact) WHERE kind = 'revision';"
    /* What other marks had corrected here before whom to trust was kept counts as it did. */
    "INSERT INTO setting (key, value) SELECT 'revised', max(at) FROM (SELECT mark, at FROM strike"
    "   UNION ALL SELECT mark, at FROM amendment) WHERE mark NOT IN ('', coalesce((SELECT value"
    "   FROM setting WHERE key = 'mark'), '')) HAVING count(*) > 0;"

    "DROP VIEW live; DROP VIEW amendment_now;"
    "DROP VIEW site_now; DROP VIEW harvest_now; DROP VIEW spray_note_now; DROP VIEW stage_note_now;"
    "DROP VIEW purchase_now; DROP VIEW use_now; DROP VIEW drying_now; DROP VIEW batch_now;"
    "DROP VIEW lot_now;"
    /* Strikes of strikes are followed four deep, as ever. */
    "CREATE VIEW live AS SELECT s.subject, s.why, s.by, s.at, s.uuid, s.mark FROM strike s"
    " WHERE " COUNTS_HERE("s.uuid")
    " AND NOT EXISTS (SELECT 1 FROM strike a WHERE a.subject = s.uuid AND " COUNTS_HERE("a.uuid")
    " AND NOT EXISTS (SELECT 1 FROM strike b WHERE b.subject = a.uuid AND " COUNTS_HERE("b.uuid")
    " AND NOT EXISTS (SELECT 1 FROM strike c WHERE c.subject = b.uuid AND " COUNTS_HERE("c.uuid")
    " AND NOT EXISTS (SELECT 1 FROM strike d WHERE d.subject = c.uuid AND " COUNTS_HERE("d.uuid")
    "))));"
    "CREATE VIEW amendment_now AS SELECT t.* FROM amendment t WHERE " STANDS("t.uuid")
    " AND " COUNTS_HERE("t.uuid") ";"
    VIEW_SITE_NOW(NOW_BY_ROWS) VIEW_HARVEST_NOW(NOW_BY_ROWS) VIEW_SPRAY_NOTE_NOW(NOW_BY_ROWS)
    VIEW_STAGE_NOTE_NOW(NOW_BY_ROWS) VIEW_PURCHASE_NOW(NOW_BY_ROWS) VIEW_USE_NOW(NOW_BY_ROWS)
    VIEW_DRYING_NOW(NOW_BY_ROWS) VIEW_BATCH_NOW(NOW_BY_ROWS) VIEW_LOT_NOW(NOW_BY_ROWS);

/* Ground of a layer is judged again there and as far as it reaches, not everywhere. A layer whose
 * hazards still come in has no methods yet; it says what it covers once they are all there. */
#define AREA_AGAIN(row)                                                                            \
    "INSERT INTO judged_area SELECT " row ".id," row ".min_lon," row ".min_lat," row ".max_lon,"   \
    row ".max_lat," row ".methods," row ".accuracy_m WHERE " row ".methods <> '';"
#define HAZARD_TRIGGERS                                                                            \
    "DROP TRIGGER judged_hazard_layer_new; DROP TRIGGER judged_hazard_layer_set;"                  \
    "DROP TRIGGER judged_hazard_layer_gone; DROP TRIGGER judged_hazard_new;"                       \
    "DROP TRIGGER judged_hazard_gone;"
#define OF_A_WHOLE_LAYER(id)                                                                       \
    "WHEN (SELECT methods FROM hazard_layer WHERE id = " id ") <> '' "

const char spl_migration_judged_area[] =
    /* Boxes of layers that came, changed or went: the places near them are to be judged again. */
    "CREATE TABLE judged_area ("
    "  layer_id INTEGER NOT NULL,"
    "  min_lon REAL NOT NULL,"
    "  min_lat REAL NOT NULL,"
    "  max_lon REAL NOT NULL,"
    "  max_lat REAL NOT NULL,"
    "  methods TEXT NOT NULL," /* slugs, with commas: how far it reaches */
    "  accuracy_m REAL"        /* NULL: positions are doubtful */
    ") STRICT;"
    HAZARD_TRIGGERS
    TRIGGER("hazard_layer_new", "INSERT ON hazard_layer", AREA_AGAIN("NEW"))
    TRIGGER("hazard_layer_set", "UPDATE ON hazard_layer", AREA_AGAIN("OLD") AREA_AGAIN("NEW"))
    TRIGGER("hazard_layer_gone", "DELETE ON hazard_layer", AREA_AGAIN("OLD"))
    /* A hazard that is put into a layer by itself, or taken out, may lie anywhere. */
    TRIGGER("hazard_new", "INSERT ON hazard " OF_A_WHOLE_LAYER("NEW.layer_id"), ALL_AGAIN)
    TRIGGER("hazard_gone", "DELETE ON hazard " OF_A_WHOLE_LAYER("OLD.layer_id"),
            "INSERT INTO judged_area SELECT id, min_lon, min_lat, max_lon, max_lat, methods,"
            "   accuracy_m FROM hazard_layer WHERE id = OLD.layer_id AND NOT EXISTS"
            "   (SELECT 1 FROM judged_area a WHERE a.layer_id = OLD.layer_id);");

/* clang-format on */
