/* SPDX-License-Identifier: MIT
 *
 * How far SQLite goes with a file that may be anyone's.
 */
#include "book/book_private.h"

/*
 * A book may come from a stranger: no code of theirs runs, limits hold, a name that is no column is
 * an error and not a text, pages are looked at before they are believed, and no file is mapped into
 * memory. SQLite's advice for such files (sqlite.org/security.html), the limits as far as our own
 * questions and a large outline allow.
 */
void spl_book_guard(sqlite3 *db)
{
    static const struct {
        int which, most;
    } limits[] = {
        {SQLITE_LIMIT_LENGTH, 64 * 1024 * 1024}, /* octets of a text, an outline or a row */
        {SQLITE_LIMIT_SQL_LENGTH, 1024 * 1024},
        {SQLITE_LIMIT_COLUMN, 100},
        {SQLITE_LIMIT_EXPR_DEPTH, 200},
        {SQLITE_LIMIT_COMPOUND_SELECT, 50},
        {SQLITE_LIMIT_VDBE_OP, 250000},
        {SQLITE_LIMIT_FUNCTION_ARG, 32},
        {SQLITE_LIMIT_ATTACHED, 1}, /* VACUUM INTO attaches its target */
        {SQLITE_LIMIT_LIKE_PATTERN_LENGTH, 1000},
        {SQLITE_LIMIT_VARIABLE_NUMBER, 1000},
        {SQLITE_LIMIT_TRIGGER_DEPTH, 10},
        {SQLITE_LIMIT_WORKER_THREADS, 0},
    };

    sqlite3_db_config(db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    sqlite3_db_config(db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, NULL);
    sqlite3_db_config(db, SQLITE_DBCONFIG_DQS_DML, 0, NULL);
    sqlite3_db_config(db, SQLITE_DBCONFIG_DQS_DDL, 0, NULL);
    for (gsize i = 0; i < G_N_ELEMENTS(limits); i++)
        sqlite3_limit(db, limits[i].which, limits[i].most);
    (void)sqlite3_exec(db, "PRAGMA cell_size_check = ON; PRAGMA mmap_size = 0", NULL, NULL, NULL);
}
