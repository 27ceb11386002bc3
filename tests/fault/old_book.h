/* SPDX-License-Identifier: MIT
 *
 * Books of earlier schemas with a few facts, as an older program left them.
 */
#ifndef SPL_TESTS_FAULT_OLD_BOOK_H
#define SPL_TESTS_FAULT_OLD_BOOK_H

#include <glib/gstdio.h>
#include <sqlite3.h>

#include "book/migrations.h"
#include "expect.h"

/* What each schema brought, as rows that its first program may have written, and a question whose
 * answer they are. */
static const struct {
    int schema;
    const char *facts, *question;
    double answer;
} old_book_facts[] = {
    {1,
     "INSERT INTO setting VALUES ('mark', 'OLD'), ('who', 'Ann');"
     "INSERT INTO site (uuid, name, lat, lon, at)"
     " VALUES ('6f1c2b1e-0000-4000-8000-000000000001', 'Fell Side', 54.8, -2.4, 1);"
     "INSERT INTO site_key VALUES ('fell side', 1);"
     "INSERT INTO thing (uuid, kind, mark, year, number, at) VALUES"
     " ('6f1c2b1e-0000-4000-8000-000000000002', 'N', 'OLD', 2026, 1, 2),"
     " ('6f1c2b1e-0000-4000-8000-000000000003', 'H', 'OLD', 2026, 1, 3),"
     " ('6f1c2b1e-0000-4000-8000-000000000004', 'H', 'OLD', 2026, 2, 4);"
     "INSERT INTO spray_note (id, site_id, kind, day, since, source)"
     " VALUES (1, 1, 'unsprayed', 20500, 17000, 'the tenant');"
     "INSERT INTO harvest (id, site_id, material, stage, day, weight_g, verdict, reasons) VALUES"
     " (2, 1, 'nettle/leaf', 41, 20560, 120.5, 'clear', '[]'),"
     " (3, 1, 'nettle/leaf', 41, 20570, 80, 'clear', '[]');",
     "SELECT sum(weight_g) FROM harvest JOIN thing USING (id) JOIN site ON site.id = site_id WHERE"
     " thing.mark = 'OLD'",
     200.5},
    {2,
     "INSERT INTO station (uuid, name, name_key, at) VALUES ('s', 'Fell Side', 'fell side', 5);"
     "INSERT INTO weather_day VALUES (1, 20560, 4.5, 15.5), (1, 20561, 5, 16);",
     "SELECT sum(tmax_c) FROM weather_day JOIN station ON station.id = station_id", 31.5},
    {3,
     "INSERT INTO thing (uuid, kind, mark, year, number, at) VALUES"
     " ('6f1c2b1e-0000-4000-8000-000000000005', 'P', 'OLD', 2026, 1, 6),"
     " ('6f1c2b1e-0000-4000-8000-000000000006', 'D', 'OLD', 2026, 1, 7);"
     "INSERT INTO purchase (id, material, day, state, supplier, weight_g)"
     " VALUES (4, 'calendula/flower', 20565, 'dried', 'the garden', 45);"
     "INSERT INTO drying (id, material, day) VALUES (5, 'nettle/leaf', 20560);"
     "INSERT INTO draw (uuid, taker_id, source_id, day, grams, at)"
     " VALUES ('d1', 5, 2, 20560, 100, 8);"
     "INSERT INTO drying_event (uuid, drying_id, kind, day, weight_g, at)"
     " VALUES ('e1', 5, 'finish', 20566, 24.5, 9);",
     "SELECT p.weight_g + y.dry_g FROM purchase_now p, drying_now y", 69.5},
    {4,
     "INSERT INTO calendar_entry (uid, key, year, summary, first, last, state, sequence,"
     " changed_at) VALUES ('u', 'window;x', 2026, 'Nettle leaf', 20550, 20570, 'open', 3, 10);"
     "INSERT INTO calendar_target (name) VALUES ('season.ics');"
     "INSERT INTO calendar_sent (target_id, entry_id, hash, sequence, changed_at, cancelled, first,"
     " last) VALUES (1, 1, 'hash', 3, 10, 0, 20550, 20570);",
     "SELECT s.sequence + e.last FROM calendar_sent s JOIN calendar_entry e ON e.id = entry_id",
     20573},
    {5,
     "INSERT INTO stand_note (uuid, site_id, plant, kind, plants, day, at)"
     " VALUES ('n', 1, 'nettle', 'plants', 300, 20559, 11);"
     "INSERT INTO planned (uuid, season, name, preparation, yield_ml, at)"
     " VALUES ('p', 2026, 'spring tincture', 'tincture', 500, 12);"
     "INSERT INTO planned_part VALUES (1, 1, 'nettle/leaf', 1);",
     "SELECT yield_ml + (SELECT plants FROM stand_note) FROM planned JOIN planned_part ON"
     " planned_id = planned.id",
     800},
    {6,
     "INSERT INTO thing (uuid, kind, mark, year, number, at) VALUES"
     " ('6f1c2b1e-0000-4000-8000-000000000007', 'B', 'OLD', 2026, 1, 13),"
     " ('6f1c2b1e-0000-4000-8000-000000000008', 'L', 'OLD', 2026, 1, 17);"
     "INSERT INTO batch (id, preparation, day, outside, keeping)"
     " VALUES (6, 'tincture', 20570, 0, 'table');"
     "INSERT INTO draw (uuid, taker_id, source_id, day, grams, at)"
     " VALUES ('d2', 6, 3, 20570, 60, 14);"
     "INSERT INTO charge (uuid, batch_id, draw_id, kind, day, material, state, grams, at)"
     " VALUES ('c1', 6, 2, 'herb', 20570, 'nettle/leaf', 'fresh', 60, 15);"
     "INSERT INTO charge (uuid, batch_id, kind, day, ml, at)"
     " VALUES ('c2', 6, 'liquid', 20570, 300, 16);"
     "INSERT INTO lot (id, preparation, materials, day, unit, amount, outside)"
     " VALUES (7, 'tincture', 'nettle/leaf', 20600, 'mL', 280, 0);"
     "INSERT INTO draw (uuid, taker_id, source_id, day, ml, at)"
     " VALUES ('d3', 7, 6, 20600, 280, 18);"
     "INSERT INTO lot_use (uuid, lot_id, call, day, amount, at)"
     " VALUES ('u1', 7, 'call', 20610, 30, 19);",
     "SELECT left FROM balance WHERE kind = 'L'", 250},
    {9,
     "INSERT INTO thing (uuid, kind, mark, year, number, at)"
     " VALUES ('call', 'U', 'OLD', 2026, 1, 19);"
     "INSERT INTO use (id, day) VALUES (8, 20610);"
     "UPDATE lot_use SET use_id = 8;"
     "INSERT INTO answer (uuid, mark, question, kind, fact, version, grade, how, until, day, at)"
     " VALUES ('n1', 'OLD', 'q', 'word_old', '6f1c2b1e-0000-4000-8000-000000000003', 3, 'doubt',"
     " 'later', 20620, 20610, 20);"
     "INSERT INTO trust (uuid, mark, whom, trusted, day, at) VALUES ('t1', 'OLD', 'BEN', 1, 20610,"
     " 21);"
     "INSERT INTO reaction (uuid, mark, ref, kind, day, words, at) VALUES ('r1', 'OLD', '1042',"
     " 'complaint', 20611, 'cloudy', 22);",
     "SELECT a.until + t.trusted + r.day FROM answer_now a, trust_now t, reaction_now r", 41232},
    {16,
     "INSERT INTO recipe (uuid, mark, batch_id, name, name_key, day, preparation, materials, dry,"
     " ratio, days, at) VALUES ('e1', 'OLD', 6, 'as ever', 'as ever', 20612, 'tincture',"
     " 'nettle/leaf', 0, 5, 42, 23);",
     "SELECT ratio + days FROM recipe_now", 47},
};

/* A book of the first `schema` migrations with what each of them brought. */
static inline void old_book_make(int schema, const char *path)
{
    g_autofree char *version =
        g_strdup_printf("PRAGMA application_id = 0x53504c42; PRAGMA user_version = %d", schema);
    sqlite3 *db = NULL;

    g_remove(path);
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    for (int i = 0; i < schema; i++)
        assert_int_equal(sqlite3_exec(db, spl_migrations[i].sql, NULL, NULL, NULL), SQLITE_OK);
    for (gsize i = 0; i < G_N_ELEMENTS(old_book_facts); i++)
        if (old_book_facts[i].schema <= schema &&
            sqlite3_exec(db, old_book_facts[i].facts, NULL, NULL, NULL) != SQLITE_OK)
            fail_msg("schema %d: %s", schema, sqlite3_errmsg(db));
    assert_int_equal(sqlite3_exec(db, version, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
}

/* All that a book of `schema` was made with is there. */
static inline void old_book_expect(int schema, const char *path)
{
    sqlite3 *db = NULL;

    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    for (gsize i = 0; i < G_N_ELEMENTS(old_book_facts); i++) {
        sqlite3_stmt *row = NULL;

        if (old_book_facts[i].schema > schema)
            continue;
        if (sqlite3_prepare_v2(db, old_book_facts[i].question, -1, &row, NULL) != SQLITE_OK)
            fail_msg("what schema %d brought: %s", old_book_facts[i].schema, sqlite3_errmsg(db));
        if (sqlite3_step(row) != SQLITE_ROW)
            fail_msg("what schema %d brought: %s", old_book_facts[i].schema, sqlite3_errmsg(db));
        if (sqlite3_column_double(row, 0) != old_book_facts[i].answer)
            fail_msg("what schema %d brought: %g, not %g", old_book_facts[i].schema,
                     sqlite3_column_double(row, 0), old_book_facts[i].answer);
        sqlite3_finalize(row);
    }
    sqlite3_close(db);
}

#endif
