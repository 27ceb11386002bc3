/* SPDX-License-Identifier: MIT
 *
 * Runs the everyday program as a person's shell would, from a test: with a book, with a fault under
 * its SQLite, or killed after a while.
 */
#ifndef SPL_TESTS_FAULT_PROGRAM_H
#define SPL_TESTS_FAULT_PROGRAM_H

#include <glib.h>

#define FAULT_TODAY "2027-06-20" /* the demo's own */

/* Where programs run; NULL: here. */
extern const char *fault_program_folder;

/* Exit status, under fault_preload.so, of a program that was done before the power went out. */
#define FAULT_DONE_AND_OUT 100

struct fault_run {
    char *out;  /* what it printed */
    char *err;  /* what it said on stderr */
    int status; /* exit status, or 128 + the signal that ended it */
};
void fault_run_clear(struct fault_run *run);

/*
 * Runs `words`, a command line in shell quoting without the program's name, with `book` as
 * SIMPLING_BOOK and an environment that is otherwise always the same. kill_us: it gets SIGKILL that
 * many microseconds after its start, -1 never. plan: SIMPLING_FAULT_PLAN under fault_preload.so, or
 * NULL; fd: kept open for it, -1 none.
 */
void fault_program_run(const char *words, const char *book, int kill_us, const char *plan, int fd,
                       struct fault_run *run);

/* The same as a fault_action's act, with the command line as data. */
gboolean fault_program_act(const char *book, gpointer words, GError **error);

/* A fault_action's check: `simpling book check`. */
gboolean fault_program_check(const char *book, GError **error);

#endif
