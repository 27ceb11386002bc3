/* SPDX-License-Identifier: MIT
 *
 * How SQLite means to answer each question: loaded with LD_PRELOAD into the program, it appends to
 * the file SIMPLING_PLANS, for every statement that is prepared, its text and the lines of EXPLAIN
 * QUERY PLAN.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef int prepare_v3(sqlite3 *, const char *, int, unsigned, sqlite3_stmt **, const char **);

static prepare_v3 *real(void)
{
    static prepare_v3 *function;
    if (function == NULL) {
        void *symbol = dlsym(RTLD_NEXT, "sqlite3_prepare_v3");
        memcpy(&function, &symbol, sizeof function);
    }
    return function;
}

static void explain(sqlite3 *db, const char *sql)
{
    const char *path = getenv("SIMPLING_PLANS");
    sqlite3_stmt *rows = NULL;
    if (path == NULL || strncmp(sql, "EXPLAIN", 7) == 0 || strncmp(sql, "PRAGMA", 6) == 0)
        return;
    char *question = sqlite3_mprintf("EXPLAIN QUERY PLAN %s", sql);
    if (question != NULL && real()(db, question, -1, 0, &rows, NULL) == SQLITE_OK) {
        FILE *out = fopen(path, "a");
        if (out == NULL)
            abort();
        fprintf(out, "Q %s\n", sql);
        while (sqlite3_step(rows) == SQLITE_ROW)
            fprintf(out, "P %s\n", (const char *)sqlite3_column_text(rows, 3));
        fclose(out);
    }
    sqlite3_finalize(rows);
    sqlite3_free(question);
}

int sqlite3_prepare_v3(sqlite3 *db, const char *sql, int n, unsigned flags, sqlite3_stmt **stmt,
                       const char **rest)
{
    explain(db, sql);
    return real()(db, sql, n, flags, stmt, rest);
}

int sqlite3_prepare_v2(sqlite3 *db, const char *sql, int n, sqlite3_stmt **stmt, const char **rest)
{
    explain(db, sql);
    return real()(db, sql, n, 0, stmt, rest);
}
