/* SPDX-License-Identifier: MIT
 *
 * The parent's end of the solver child.
 */
#include "exchange/solver.h"

#include <math.h>
#include <signal.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include "simpling/error.h"

#define GRACE_SECONDS 1.5 /* beyond a problem's own limit before the child is ended */
#define SPARE_FRAC 0.05   /* of what is left, kept for the way there and back */
#define SPARE_SECONDS 0.3 /* at most */
#define TOLERANCE 1e-5    /* kilograms, hours, wholeness */
#define ENDING_MS 200     /* for a child that nobody asks any more to end by itself */

struct spl_solver {
    char *program;
    GPid pid;
    int fd;
    gint64 deadline; /* monotonic microseconds */
    gboolean dead;
    gboolean (*stopped)(gpointer data); /* NULL: nobody stops it */
    gpointer stopped_data;
};

static gboolean begin_child(struct spl_solver *solver, GError **error)
{
    const char *const argv[] = {solver->program, NULL};
    g_autoptr(GError) why = NULL;
    int pair[2];

    if (socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, pair) != 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "no way to talk to the solver: %s",
                    g_strerror(errno));
        return FALSE;
    }
    if (!g_spawn_async_with_fds(NULL, (char **)(void *)argv, NULL, G_SPAWN_DO_NOT_REAP_CHILD, NULL,
                                NULL, &solver->pid, pair[1], pair[1], -1, &why)) {
        close(pair[0]);
        close(pair[1]);
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                    "the solver cannot be run (%s); install simpling whole",
                    g_error_matches(why, G_SPAWN_ERROR, G_SPAWN_ERROR_NOENT) ? "it is not there"
                                                                             : "it does not start");
        return FALSE;
    }
    close(pair[1]);
    solver->fd = pair[0];
    solver->dead = FALSE;
    return TRUE;
}

/* A child that nobody asks any more ends by itself, in a millisecond or two; one that is in the
 * middle of a problem is not waited for. */
static void end_child(struct spl_solver *solver, int patience_ms)
{
    gboolean gone = FALSE;

    if (solver->dead)
        return;
    solver->dead = TRUE;
    close(solver->fd);
    for (int ms = 0; ms < patience_ms && !gone; ms++) {
        gone = waitpid(solver->pid, NULL, WNOHANG) != 0;
        if (!gone)
            g_usleep(1000);
    }
    if (!gone) {
        kill(solver->pid, SIGKILL);
        while (waitpid(solver->pid, NULL, 0) < 0 && errno == EINTR)
            ;
    }
    g_spawn_close_pid(solver->pid);
}

struct spl_solver *spl_solver_open(const char *program, double seconds, GError **error)
{
    struct spl_solver *solver = g_new0(struct spl_solver, 1);

    solver->program = g_strdup(program);
    solver->dead = TRUE;
    solver->deadline = g_get_monotonic_time() + (gint64)(seconds * G_USEC_PER_SEC);
    if (!begin_child(solver, error)) {
        spl_solver_close(solver);
        return NULL;
    }
    return solver;
}

void spl_solver_close(struct spl_solver *solver)
{
    if (solver == NULL)
        return;
    end_child(solver, ENDING_MS);
    g_free(solver->program);
    g_free(solver);
}

void spl_solver_set_stop(struct spl_solver *solver, gboolean (*stopped)(gpointer data),
                         gpointer data)
{
    solver->stopped = stopped;
    solver->stopped_data = data;
}

static double seconds_left(gpointer data)
{
    const struct spl_solver *solver = data;

    return (double)(solver->deadline - g_get_monotonic_time()) / G_USEC_PER_SEC;
}

/* Keeps of the answer what can be checked. */
static void distrust(const struct spl_mip *mip, const struct spl_mip_limits *limits,
                     struct spl_mip_answer *answer)
{
    if (answer->x == NULL || limits->relax)
        return;
    for (guint c = 0; c < mip->columns->len; c++) {
        const struct spl_mip_column *column =
            &g_array_index(mip->columns, struct spl_mip_column, c);

        if (column->whole && fabs(answer->x[c] - round(answer->x[c])) <= TOLERANCE)
            answer->x[c] = round(answer->x[c]);
        answer->x[c] = CLAMP(answer->x[c], column->lower, column->upper);
    }
    if (spl_mip_violation(mip, answer->x) > 10 * TOLERANCE) {
        g_clear_pointer(&answer->x, g_free);
        answer->cost = NAN;
        answer->state = SPL_MIP_UNKNOWN;
        return;
    }
    answer->cost = spl_mip_cost(mip, answer->x);
}

/* One question, one answer; NULL without an error: the child fell over. */
static char *ask(struct spl_solver *solver, const GString *question, double seconds, GError **error)
{
    struct spl_solver_patience patience = {
        MIN(g_get_monotonic_time() + (gint64)((seconds + GRACE_SECONDS) * G_USEC_PER_SEC),
            solver->deadline),
        solver->stopped, solver->stopped_data};
    g_autoptr(GError) why = NULL;
    char *text = NULL;

    if (solver->dead && !begin_child(solver, error))
        return NULL;
    if (spl_solver_send(solver->fd, "problem", question, &why))
        text = spl_solver_receive(solver->fd, "answer", &patience, &why);
    if (text != NULL)
        return text;
    end_child(solver, 0);
    if (why != NULL && !g_error_matches(why, SPL_ERROR, SPL_ERROR_IO))
        g_propagate_error(error, g_steal_pointer(&why));
    return NULL;
}

static gboolean solve(const struct spl_mip *mip, const struct spl_mip_limits *limits,
                      struct spl_mip_answer *answer, gpointer data, GError **error)
{
    struct spl_solver *solver = data;
    struct spl_mip_limits own = *limits;
    g_autoptr(GString) question = NULL;
    g_autofree char *text = NULL;
    double left = seconds_left(solver);
    GError *why = NULL;

    *answer = (struct spl_mip_answer){.state = SPL_MIP_UNKNOWN, .cost = NAN, .bound = -INFINITY};
    if (left <= 0.05)
        return TRUE;
    left -= MIN(SPARE_FRAC * left, SPARE_SECONDS);
    own.seconds = limits->seconds > 0 ? MIN(limits->seconds, left) : left;
    question = spl_solver_problem_text(mip, &own);
    /* A child that falls over gets a second one: the fault may have been the machine's. */
    for (int turn = 0; turn < 2 && text == NULL && why == NULL; turn++)
        text = ask(solver, question, own.seconds, &why);
    if (g_error_matches(why, SPL_ERROR, SPL_ERROR_BUSY)) {
        /* It does not look at the clock everywhere: nothing is known, another child goes on. */
        g_clear_error(&why);
        return TRUE;
    }
    if (text == NULL && why == NULL)
        g_set_error(&why, SPL_ERROR, SPL_ERROR_IO, "the solver fell over twice");
    if (why != NULL) {
        g_propagate_error(error, why);
        return FALSE;
    }
    if (!spl_solver_answer_read(text, (int)mip->columns->len, (int)mip->rows->len, answer, error)) {
        end_child(solver, 0);
        return FALSE;
    }
    distrust(mip, limits, answer);
    return TRUE;
}

struct spl_mip_solver spl_solver_door(struct spl_solver *solver)
{
    return (struct spl_mip_solver){.solve = solve, .seconds_left = seconds_left, .data = solver};
}
