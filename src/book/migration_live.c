/* SPDX-License-Identifier: MIT
 *
 * Which strikes stand, and to what a field was put right, kept. Each view of present values asks
 * both of every row, and SQLite, which reads a view anew for each question, took longer to read the
 * rules than to answer by them. Derived: each book's own, never merged; triggers keep it, whoever
 * writes a strike, a correction or whose corrections count; `book check` holds it against the rows,
 * `book repair` makes it anew (book/derive.c).
 *
 * A trigger has no functions: a view with a trigger in its place stands for one, and a row that is
 * put into it for a call.
 */
#include "book/migration_views.h"
#include "book/migrations.h"

/* Columns are laid out by hand. */
/* clang-format off */

#define TRIGGER(name, on, body)                                                                    \
    "CREATE TRIGGER judged_" name " AFTER " on " BEGIN " body " END;"
#define FUNCTION(name, columns, body)                                                              \
    "CREATE VIEW " name " AS SELECT " columns ";"                                                  \
    "CREATE TRIGGER " name "_call INSTEAD OF INSERT ON " name " BEGIN " body " END;"

/* What a strike of that subject has a say in: the subject, and what it struck in turn. */
#define UNDER "(SELECT NEW.subject UNION SELECT subject FROM strike_under WHERE uuid = NEW.subject)"

#define STRUCK_AGAIN(subject) "INSERT INTO struck_again VALUES (" subject ");"
#define AMENDED_AGAIN(row) "INSERT INTO amended_again VALUES (" row ".subject, " row ".field);"
#define REVISION_AGAIN(id)                                                                         \
    "INSERT INTO struck_again SELECT subject FROM strike WHERE uuid = " id ";"                     \
    "INSERT INTO amended_again SELECT subject, field FROM amendment WHERE uuid = " id ";"

const char spl_migration_live[] =
    "DROP TRIGGER judged_amendment_new; DROP TRIGGER judged_amendment_set;"
    "DROP TRIGGER judged_amendment_gone; DROP TRIGGER judged_strike_new;"
    "DROP TRIGGER judged_strike_set; DROP TRIGGER judged_strike_gone;"
    "DROP TRIGGER judged_revision_new; DROP TRIGGER judged_revision_gone;"
    "DROP VIEW live; DROP VIEW site_now; DROP VIEW harvest_now; DROP VIEW spray_note_now;"
    "DROP VIEW stage_note_now; DROP VIEW purchase_now; DROP VIEW use_now; DROP VIEW drying_now;"
    "DROP VIEW batch_now; DROP VIEW lot_now;"

    /* The strikes that stand and count here: what live_by_rows says. */
    "CREATE TABLE live ("
    "  subject TEXT NOT NULL,"
    "  at INTEGER NOT NULL,"
    "  uuid TEXT NOT NULL,"
    "  mark TEXT NOT NULL,"
    "  by TEXT,"
    "  why TEXT NOT NULL,"
    "  PRIMARY KEY (subject, at, uuid)"
    ") STRICT, WITHOUT ROWID;"
    /* Of each field that was corrected the value of the last correction that stands and counts:
     * what amended_by_rows says. */
    "CREATE TABLE amended ("
    "  subject TEXT NOT NULL,"
    "  field TEXT NOT NULL,"
    "  value ANY,"
    "  PRIMARY KEY (subject, field)"
    ") STRICT, WITHOUT ROWID;"

    /* Strikes of strikes are followed four deep, as ever. */
    "CREATE VIEW live_by_rows AS SELECT s.subject, s.at, s.uuid, s.mark, s.by, s.why FROM strike s"
    " WHERE " COUNTS_HERE("s.uuid")
    " AND NOT EXISTS (SELECT 1 FROM strike a WHERE a.subject = s.uuid AND " COUNTS_HERE("a.uuid")
    " AND NOT EXISTS (SELECT 1 FROM strike b WHERE b.subject = a.uuid AND " COUNTS_HERE("b.uuid")
    " AND NOT EXISTS (SELECT 1 FROM strike c WHERE c.subject = b.uuid AND " COUNTS_HERE("c.uuid")
    " AND NOT EXISTS (SELECT 1 FROM strike d WHERE d.subject = c.uuid AND " COUNTS_HERE("d.uuid")
    "))));"
    "CREATE VIEW amended_by_rows AS SELECT subject, field, value FROM (SELECT *, row_number() OVER"
    "   (PARTITION BY subject, field ORDER BY at DESC, uuid DESC) AS rank FROM amendment_now)"
    " WHERE rank = 1;"
    "INSERT INTO live SELECT * FROM live_by_rows;"
    "INSERT INTO amended SELECT * FROM amended_by_rows;"

    "CREATE VIEW strike_under AS SELECT uuid, subject FROM strike"
    " UNION ALL SELECT a.uuid, b.subject FROM strike a JOIN strike b ON b.uuid = a.subject"
    " UNION ALL SELECT a.uuid, c.subject FROM strike a JOIN strike b ON b.uuid = a.subject"
    "   JOIN strike c ON c.uuid = b.subject"
    " UNION ALL SELECT a.uuid, d.subject FROM strike a JOIN strike b ON b.uuid = a.subject"
    "   JOIN strike c ON c.uuid = b.subject JOIN strike d ON d.uuid = c.subject;"

    /* What is said of ground by the row of that UUID (migration_judged.c). */
    FUNCTION("ground_again", "'' AS subject",
        "DELETE FROM judged_harvest WHERE harvest_id ="
        "   (SELECT id FROM thing WHERE uuid = NEW.subject AND kind = 'H');"
        "INSERT INTO judged_harvest (harvest_id, known)"
        "   SELECT id, 0 FROM thing WHERE uuid = NEW.subject AND kind = 'H';"
        "INSERT OR IGNORE INTO judged_place (site_id) SELECT n.site_id FROM thing t"
        "   JOIN spray_note n ON n.id = t.id WHERE t.uuid = NEW.subject;"
        "INSERT OR IGNORE INTO judged_place (site_id)"
        "   SELECT site_id FROM permission WHERE uuid = NEW.subject;"
        "INSERT OR IGNORE INTO judged_place (site_id)"
        "   SELECT id FROM site WHERE uuid = NEW.subject;"
        "DELETE FROM judged_basis WHERE EXISTS"
        "   (SELECT 1 FROM hazard_layer WHERE uuid = NEW.subject)"
        "   OR EXISTS (SELECT 1 FROM method_figure WHERE uuid = NEW.subject);")
    FUNCTION("amended_again", "'' AS subject, '' AS field",
        "DELETE FROM amended WHERE subject = NEW.subject AND field = NEW.field;"
        "INSERT INTO amended (subject, field, value) SELECT subject, field, value"
        "   FROM amendment_now WHERE subject = NEW.subject AND field = NEW.field"
        "   ORDER BY at DESC, uuid DESC LIMIT 1;"
        "INSERT INTO ground_again VALUES (NEW.subject);")
    /* A strike of a correction brings the value before it back; of a strike, whatever that took. */
    FUNCTION("struck_again", "'' AS subject",
        "DELETE FROM live WHERE subject IN " UNDER ";"
        "INSERT INTO live (subject, at, uuid, mark, by, why)"
        "   SELECT subject, at, uuid, mark, by, why FROM live_by_rows WHERE subject IN " UNDER ";"
        "INSERT INTO amended_again SELECT subject, field FROM amendment WHERE uuid IN " UNDER ";"
        "INSERT INTO ground_again VALUES (NEW.subject);"
        "DELETE FROM judged_basis WHERE EXISTS"
        "   (SELECT 1 FROM strike WHERE uuid = NEW.subject);")

    TRIGGER("amendment_new", "INSERT ON amendment", AMENDED_AGAIN("NEW"))
    TRIGGER("amendment_set", "UPDATE ON amendment", AMENDED_AGAIN("OLD") AMENDED_AGAIN("NEW"))
    TRIGGER("amendment_gone", "DELETE ON amendment", AMENDED_AGAIN("OLD"))
    TRIGGER("strike_new", "INSERT ON strike", STRUCK_AGAIN("NEW.subject"))
    TRIGGER("strike_set", "UPDATE ON strike",
            STRUCK_AGAIN("OLD.subject") STRUCK_AGAIN("NEW.subject"))
    TRIGGER("strike_gone", "DELETE ON strike", STRUCK_AGAIN("OLD.subject"))
    TRIGGER("revision_new", "INSERT ON judged_revision", REVISION_AGAIN("NEW.uuid"))
    TRIGGER("revision_set", "UPDATE ON judged_revision",
            REVISION_AGAIN("OLD.uuid") REVISION_AGAIN("NEW.uuid"))
    TRIGGER("revision_gone", "DELETE ON judged_revision", REVISION_AGAIN("OLD.uuid"))

    VIEW_SITE_NOW(NOW_HERE) VIEW_HARVEST_NOW(NOW_HERE) VIEW_SPRAY_NOTE_NOW(NOW_HERE)
    VIEW_STAGE_NOTE_NOW(NOW_HERE) VIEW_PURCHASE_NOW(NOW_HERE) VIEW_USE_NOW(NOW_HERE)
    VIEW_DRYING_NOW(NOW_HERE) VIEW_BATCH_NOW(NOW_HERE) VIEW_LOT_NOW(NOW_HERE);

/* clang-format on */
