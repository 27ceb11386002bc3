/* SPDX-License-Identifier: MIT
 *
 * The mixed-integer solver as a child process (libexec/simpling/simpling-solve), because it prints
 * on stdout, may run away or fall over, and would weigh on every start of the everyday program.
 *
 * Parent and child speak over one socket: "problem BYTES" and a text, "answer BYTES" and a text;
 * the child solves one problem after another until the parent hangs up. Whatever the library prints
 * goes nowhere. An answer is believed only as far as core/mip.h can check it: a "solution" that
 * breaks a row is thrown away here.
 */
#ifndef SPL_EXCHANGE_SOLVER_H
#define SPL_EXCHANGE_SOLVER_H

#include "core/mip.h"

struct spl_solver;
typedef struct spl_solver spl_solver; /* the name that g_autoptr needs */

/* Starts `program`; all its work together may last `seconds`, waiting for it too. One that falls
 * over is started again, once for each problem. SPL_ERROR_NOT_FOUND: it cannot be run. */
struct spl_solver *spl_solver_open(const char *program, double seconds, GError **error);

/* Asked while the solver works: TRUE ends the problem at hand without an answer. */
void spl_solver_set_stop(struct spl_solver *solver, gboolean (*stopped)(gpointer data),
                         gpointer data);

/* Ends the child. NULL is fine. */
void spl_solver_close(struct spl_solver *solver);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_solver, spl_solver_close)

/* The door that core/outing_search.h wants; borrows `solver`. */
struct spl_mip_solver spl_solver_door(struct spl_solver *solver);

/* ---- the texts, for both ends -------------------------------------------------------------- */

GString *spl_solver_problem_text(const struct spl_mip *mip, const struct spl_mip_limits *limits);

/* SPL_ERROR_CORRUPT names the line. `start` gets limits->start, to be freed by the caller. */
struct spl_mip *spl_solver_problem_read(const char *text, struct spl_mip_limits *limits,
                                        double **start, GError **error);

GString *spl_solver_answer_text(const struct spl_mip_answer *answer, int columns, int rows);
gboolean spl_solver_answer_read(const char *text, int columns, int rows,
                                struct spl_mip_answer *answer, GError **error);

/* Until when, and whether at all, somebody waits for a message. */
struct spl_solver_patience {
    gint64 deadline;                    /* monotonic microseconds; 0: none */
    gboolean (*stopped)(gpointer data); /* NULL: nobody stops it */
    gpointer data;
};

/* One framed message over `fd`. Reading gives NULL without an error at the end of the stream, and
 * SPL_ERROR_BUSY when the patience (NULL: endless) is at its end. */
gboolean spl_solver_send(int fd, const char *kind, const GString *text, GError **error);
char *spl_solver_receive(int fd, const char *kind, const struct spl_solver_patience *patience,
                         GError **error);

#endif
