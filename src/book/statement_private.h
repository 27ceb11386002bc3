/* SPDX-License-Identifier: MIT
 *
 * Single values and columns of SQLite's statements, for statement.c and noun.c, which walk them.
 */
#ifndef SPL_BOOK_STATEMENT_PRIVATE_H
#define SPL_BOOK_STATEMENT_PRIVATE_H

#include "book/statement.h"

/* Value for the `at`-th `?`, counted from 1. SQLite's answer. */
int spl_statement_bind(sqlite3_stmt *stmt, int at, const struct spl_value *value,
                       sqlite3_destructor_type keep);

/* Columns of the present row, counted from 0. */
const char *spl_statement_text(sqlite3_stmt *stmt, int column);       /* till the next step */
double spl_statement_real(sqlite3_stmt *stmt, int column);            /* NAN for NULL */
struct spl_day spl_statement_day(sqlite3_stmt *stmt, int column);     /* none for NULL */
struct spl_coded spl_statement_coded(sqlite3_stmt *stmt, int column); /* four of them */
/* As spl_statement_read, from this column on. */
void spl_statement_read_from(struct spl_statement *statement, int column,
                             const struct spl_target *targets);

/* What a statement's rows are read by (noun.c); NULL: nothing. */
struct spl_plan;
void spl_statement_set_plan(struct spl_statement *statement, const struct spl_plan *plan);
const struct spl_plan *spl_statement_plan(const struct spl_statement *statement);

#endif
