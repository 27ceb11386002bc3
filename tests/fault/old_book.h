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

/* A book of the first `schema` migrations with a site, a word about it and two harvests. */
static inline void old_book_make(int schema, const char *path)
{
    static const char facts[] =
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
        " (3, 1, 'nettle/leaf', 41, 20570, 80, 'clear', '[]');";
    g_autofree char *version =
        g_strdup_printf("PRAGMA application_id = 0x53504c42; PRAGMA user_version = %d", schema);
    sqlite3 *db = NULL;

    g_remove(path);
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    for (int i = 0; i < schema; i++)
        assert_int_equal(sqlite3_exec(db, spl_migrations[i].sql, NULL, NULL, NULL), SQLITE_OK);
    if (sqlite3_exec(db, facts, NULL, NULL, NULL) != SQLITE_OK ||
        sqlite3_exec(db, version, NULL, NULL, NULL) != SQLITE_OK)
        fail_msg("schema %d: %s", schema, sqlite3_errmsg(db));
    sqlite3_close(db);
}

/* Its harvests are there, weight by weight. */
static inline void old_book_expect(const char *path)
{
    sqlite3 *db = NULL;
    sqlite3_stmt *sum = NULL;

    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(
        sqlite3_prepare_v2(db,
                           "SELECT count(*), sum(weight_g) FROM harvest JOIN thing"
                           " USING (id) JOIN site ON site.id = site_id WHERE mark = 'OLD'",
                           -1, &sum, NULL),
        SQLITE_OK);
    assert_int_equal(sqlite3_step(sum), SQLITE_ROW);
    if (sqlite3_column_int(sum, 0) != 2)
        fail_msg("%d of 2 harvests are there", sqlite3_column_int(sum, 0));
    expect_near(sqlite3_column_double(sum, 1), 200.5, 0, "g");
    sqlite3_finalize(sum);
    sqlite3_close(db);
}

#endif
