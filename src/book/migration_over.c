/* SPDX-License-Identifier: MIT
 *
 * Which lots and jars are over. Derived, as what is in migration_judged.c: each book's own, never
 * merged, compared by `book check`. Whoever lets another table speak of what is left gives it
 * triggers. See book/over.h.
 */
#include "book/migrations.h"

/* Columns are laid out by hand. */
/* clang-format off */

#define TRIGGER(name, on, body)                                                                    \
    "CREATE TRIGGER over_" name " AFTER " on " BEGIN " body " END;"
#define AGAIN(ids) "UPDATE judged_over SET over = NULL, ended = NULL WHERE thing_id IN (" ids ");"

/* Things with an entry of their own. */
#define OF_A_THING(table)                                                                          \
    TRIGGER(table "_new", "INSERT ON " table,                                                      \
            "INSERT OR REPLACE INTO judged_over (thing_id) VALUES (NEW.id);")                      \
    TRIGGER(table "_set", "UPDATE ON " table, AGAIN("NEW.id"))                                     \
    TRIGGER(table "_gone", "DELETE ON " table, "DELETE FROM judged_over WHERE thing_id = OLD.id;")

/* Rows that say something of one. */
#define OF_ANOTHER(table, column)                                                                  \
    TRIGGER(table "_new", "INSERT ON " table, AGAIN("NEW." column))                                \
    TRIGGER(table "_set", "UPDATE ON " table, AGAIN("OLD." column ", NEW." column))                \
    TRIGGER(table "_gone", "DELETE ON " table, AGAIN("OLD." column))

/* What a strike that stands or a correction that counts (migration_live.c) is about, by its UUID:
 * the thing, what it took from, the lots of a use; or a row that said something of one. */
#define SUBJECT_AGAIN(subject)                                                                     \
    AGAIN("SELECT id FROM thing WHERE uuid = " subject                                             \
          " UNION ALL SELECT d.source_id FROM thing h JOIN draw d ON d.taker_id = h.id"            \
          "   WHERE h.uuid = " subject                                                             \
          " UNION ALL SELECT u.lot_id FROM thing h JOIN lot_use u ON u.use_id = h.id"              \
          "   WHERE h.uuid = " subject                                                             \
          " UNION ALL SELECT lot_id FROM lot_use WHERE uuid = " subject                            \
          " UNION ALL SELECT lot_id FROM lot_event WHERE uuid = " subject                          \
          " UNION ALL SELECT thing_id FROM discard WHERE uuid = " subject                          \
          " UNION ALL SELECT source_id FROM draw WHERE uuid = " subject)

const char spl_migration_over[] =
    "CREATE TABLE judged_over ("
    "  thing_id INTEGER PRIMARY KEY," /* a lot or a batch */
    "  over INTEGER CHECK (over IN (0, 1))," /* NULL: to be looked at again */
    "  ended INTEGER" /* of a lot of which nothing is left: the last day that anything moved */
    ") STRICT;"
    "CREATE INDEX judged_not_over ON judged_over (thing_id) WHERE over IS NOT 1;"
    "CREATE INDEX judged_over_again ON judged_over (thing_id) WHERE over IS NULL;"
    "CREATE INDEX judged_over_ended ON judged_over (ended);"
    "CREATE INDEX lot_day ON lot (day);"
    "CREATE INDEX draw_day ON draw (day);"
    "CREATE INDEX lot_held ON lot (id) WHERE hold IS NOT NULL;"
    "INSERT INTO judged_over (thing_id) SELECT id FROM lot UNION ALL SELECT id FROM batch;"

    OF_A_THING("lot") OF_A_THING("batch")
    OF_ANOTHER("lot_use", "lot_id") OF_ANOTHER("lot_event", "lot_id")
    OF_ANOTHER("discard", "thing_id") OF_ANOTHER("draw", "source_id")
    TRIGGER("amended_new", "INSERT ON amended", SUBJECT_AGAIN("NEW.subject"))
    TRIGGER("amended_gone", "DELETE ON amended", SUBJECT_AGAIN("OLD.subject"))
    TRIGGER("live_new", "INSERT ON live", SUBJECT_AGAIN("NEW.subject"))
    TRIGGER("live_gone", "DELETE ON live", SUBJECT_AGAIN("OLD.subject"));

/* clang-format on */
