/* SPDX-License-Identifier: MIT
 *
 * Runs one writing action on a book with every fault in turn, the first, second, third … operation
 * of each kind, until it passes: it must be done, or fail with one clean sentence and leave the
 * book as it was; what it reported as done must still be there after the power goes out.
 */
#ifndef SPL_TESTS_FAULT_LOOP_H
#define SPL_TESTS_FAULT_LOOP_H

#include <glib.h>

#include "fault_vfs.h"

struct fault_action {
    const char *name;

    /* Opens the book, writes, closes it. FALSE and `error` if it could not be done. */
    gboolean (*act)(const char *book, gpointer data, GError **error);

    /* The book's own check of itself; NULL: only SQLite's. */
    gboolean (*check)(const char *book, GError **error);

    /* The book that the action begins with, copied for each try; NULL: there is none. */
    const char *start;

    gpointer data;

    /* Set when each act is a process of its own that leaves nothing but in the book's folder and in
     * this one. Where after a failure both are as they were, byte by byte and file by file, a
     * second try begins with what the first act of all began with, and is made once only. */
    const char *beside;

    /* TRUE: a read fault and the like may lead to done or not, but the book need not change. */
    gboolean reads_only;
};

/*
 * With `kinds` the faults to try, ended by FAULT_NONE, or NULL for all. Fails the cmocka test with
 * action, fault and number. Of more than a hundred operations, and of allocations, a sample is
 * tried. Returns how many faulty runs were made.
 */
int fault_loop(const struct fault_action *action, const enum fault_kind *kinds);

/* TRUE if the environment asks for every action, with SIMPLING_FAULT=wide, or all. */
gboolean fault_wide(void);

/* TRUE if the environment asks for everything with SIMPLING_FAULT=all, in small steps, where else
 * each is longer than the one before. Faults that last, as against those that pass, are tried only
 * then. */
gboolean fault_all(void);

/*
 * The tables of a book with their rows counted, a line each, and after an empty line a checksum of
 * all rows and the schema; "absent" for no file or an empty one. Free with g_free. Opens it without
 * faults, which rolls back what a dead process left.
 */
char *fault_fingerprint(const char *book);

/* A folder for scratch files, in memory where the machine has such; removed at exit. */
const char *fault_scratch(void);

#endif
