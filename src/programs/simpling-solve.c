/* SPDX-License-Identifier: MIT
 *
 * simpling-solve: the solver child. Reads problems from the socket on stdin, solves them with COIN
 * CBC (linear relaxations with CLP), answers on the same socket; see exchange/solver.h.
 *
 * One thread and no time in the algorithm, so that a problem that ends by gap or nodes gives the
 * same answer every time.
 */
#include <Cbc_C_Interface.h>
#include <Clp_C_Interface.h>
#include <fcntl.h>
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#ifdef __linux__
#include <sys/prctl.h>
#endif
#include <unistd.h>

#include "exchange/solver.h"

#define CLOCK_FRAC 0.8 /* of the seconds: what ended before was not ended by the clock */

/* The rows turned into columns, as the libraries want them. */
struct columns {
    int n, m;
    CoinBigIndex *start;
    int *row;
    double *value, *lower, *upper, *cost, *row_lower, *row_upper;
};

static double huge(double number)
{
    return isfinite(number) ? number : number > 0 ? 1e50 : -1e50;
}

static struct columns columns_of(const struct spl_mip *mip)
{
    struct columns c = {.n = (int)mip->columns->len, .m = (int)mip->rows->len};
    gsize n = (gsize)c.n + 1, m = (gsize)c.m + 1, k = mip->entries->len + 1u;
    g_autofree CoinBigIndex *next = NULL;

    c.start = g_new0(CoinBigIndex, n + 1);
    c.row = g_new(int, k);
    c.value = g_new(double, k);
    c.lower = g_new(double, n);
    c.upper = g_new(double, n);
    c.cost = g_new(double, n);
    c.row_lower = g_new(double, m);
    c.row_upper = g_new(double, m);
    for (int i = 0; i < c.n; i++) {
        const struct spl_mip_column *column =
            &g_array_index(mip->columns, struct spl_mip_column, i);

        c.lower[i] = huge(column->lower);
        c.upper[i] = huge(column->upper);
        c.cost[i] = column->cost;
    }
    for (guint e = 0; e < mip->entries->len; e++)
        c.start[g_array_index(mip->entries, struct spl_mip_entry, e).column + 1]++;
    for (int i = 0; i < c.n; i++)
        c.start[i + 1] += c.start[i];
    next = g_memdup2(c.start, n * sizeof *next);
    for (int r = 0; r < c.m; r++) {
        const struct spl_mip_row *row = &g_array_index(mip->rows, struct spl_mip_row, r);

        c.row_lower[r] = huge(row->lower);
        c.row_upper[r] = huge(row->upper);
        for (int e = row->first; e < row->first + row->n; e++) {
            const struct spl_mip_entry *entry =
                &g_array_index(mip->entries, struct spl_mip_entry, e);
            CoinBigIndex at = next[entry->column]++;

            c.row[at] = r;
            c.value[at] = entry->value;
        }
    }
    return c;
}

static void columns_free(struct columns *c)
{
    g_free(c->start);
    g_free(c->row);
    g_free(c->value);
    g_free(c->lower);
    g_free(c->upper);
    g_free(c->cost);
    g_free(c->row_lower);
    g_free(c->row_upper);
}

/* A copy of the solver's n values, never NULL. */
static double *values_of(const double *values, int n)
{
    double *copy = g_new0(double, n + 1);

    for (int i = 0; i < n; i++)
        copy[i] = values[i];
    return copy;
}

static void relax(const struct columns *c, const struct spl_mip_limits *limits,
                  struct spl_mip_answer *answer)
{
    Clp_Simplex *model = Clp_newModel();
    int state;

    Clp_setLogLevel(model, 0);
    Clp_loadProblem(model, c->n, c->m, c->start, c->row, c->value, c->lower, c->upper, c->cost,
                    c->row_lower, c->row_upper);
    if (limits->seconds > 0)
        Clp_setMaximumSeconds(model, limits->seconds);
    Clp_initialSolve(model);
    state = Clp_status(model);
    answer->state = state == 0   ? SPL_MIP_OPTIMAL
                    : state == 1 ? SPL_MIP_INFEASIBLE
                                 : SPL_MIP_UNKNOWN;
    if (state == 0) {
        answer->cost = answer->bound = Clp_objectiveValue(model);
        answer->x = values_of(Clp_primalColumnSolution(model), c->n);
        answer->duals = values_of(Clp_dualRowSolution(model), c->m);
    }
    Clp_deleteModel(model);
}

static void set(Cbc_Model *model, const char *name, double value)
{
    char text[G_ASCII_DTOSTR_BUF_SIZE];

    Cbc_setParameter(model, name, g_ascii_formatd(text, sizeof text, "%.12g", value));
}

/* A start is handed over by column names (with numbers instead, 2.10 reads past its columns). */
static void give_start(Cbc_Model *model, int n, const double *start)
{
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);

    for (int i = 0; i < n; i++) {
        g_ptr_array_add(names, g_strdup_printf("c%d", i));
        Cbc_setColName(model, i, g_ptr_array_index(names, i));
    }
    Cbc_setMIPStart(model, n, (const char **)(void *)names->pdata, start);
}

static void branch(const struct spl_mip *mip, const struct columns *c,
                   const struct spl_mip_limits *limits, struct spl_mip_answer *answer)
{
    Cbc_Model *model = Cbc_newModel();
    gint64 began = g_get_monotonic_time();
    gboolean whole;

    Cbc_loadProblem(model, c->n, c->m, c->start, c->row, c->value, c->lower, c->upper, c->cost,
                    c->row_lower, c->row_upper);
    for (int i = 0; i < c->n; i++) {
        if (g_array_index(mip->columns, struct spl_mip_column, i).whole)
            Cbc_setInteger(model, i);
    }
    Cbc_setLogLevel(model, 0);
    Cbc_setParameter(model, "timeMode", "elapsed");
    if (limits->seconds > 0)
        set(model, "sec", limits->seconds);
    if (limits->nodes > 0)
        set(model, "maxN", limits->nodes);
    set(model, "ratio", limits->gap);
    if (isfinite(limits->cutoff))
        set(model, "cutoff", limits->cutoff);
    if (limits->start != NULL) {
        /* Not the default "sos": it adds columns, and 2.10 then looks for their names in vain. */
        Cbc_setParameter(model, "preprocess", "on");
        give_start(model, c->n, limits->start);
    }
    Cbc_solve(model);
    answer->nodes = Cbc_getNodeCount(model);
    answer->bound = Cbc_getBestPossibleObjValue(model);
    /* Stopped by the clock or by nodes it sometimes claims to have proven infeasibility: believed
     * only when neither can have been near. */
    whole = Cbc_status(model) == 0 && !Cbc_isSecondsLimitReached(model) &&
            !Cbc_isNodeLimitReached(model) &&
            (limits->nodes <= 0 || answer->nodes < limits->nodes) &&
            (limits->seconds <= 0 || (double)(g_get_monotonic_time() - began) / G_USEC_PER_SEC <
                                         CLOCK_FRAC * limits->seconds);
    if (Cbc_isProvenInfeasible(model) && !whole) {
        answer->state = SPL_MIP_UNKNOWN;
        answer->bound = -INFINITY;
    } else if (Cbc_isProvenInfeasible(model)) {
        answer->state = SPL_MIP_INFEASIBLE;
        answer->bound = limits->cutoff - limits->gap * fabs(limits->cutoff);
    } else if (Cbc_numberSavedSolutions(model) > 0 && Cbc_bestSolution(model) != NULL) {
        answer->state = Cbc_isProvenOptimal(model) && whole ? SPL_MIP_OPTIMAL : SPL_MIP_FEASIBLE;
        answer->cost = Cbc_getObjValue(model);
        answer->x = values_of(Cbc_bestSolution(model), c->n);
        /* Stopped within the gap, it claims what it found for the bound as well. */
        if (answer->state == SPL_MIP_OPTIMAL)
            answer->bound = answer->cost - limits->gap * fabs(answer->cost);
        answer->bound = MIN(answer->bound, answer->cost);
    } else {
        answer->state = SPL_MIP_UNKNOWN;
    }
    if (!isfinite(answer->bound) || fabs(answer->bound) > 1e30)
        answer->bound = answer->state == SPL_MIP_INFEASIBLE ? INFINITY : -INFINITY;
    Cbc_deleteModel(model);
}

static gboolean any_whole(const struct spl_mip *mip)
{
    for (guint c = 0; c < mip->columns->len; c++) {
        if (g_array_index(mip->columns, struct spl_mip_column, c).whole)
            return TRUE;
    }
    return FALSE;
}

static gboolean serve(int in, int out, GError **error)
{
    g_autofree char *text = spl_solver_receive(in, "problem", NULL, error);
    g_autoptr(spl_mip) mip = NULL;
    g_autofree double *start = NULL;
    g_autoptr(GString) reply = NULL;
    struct spl_mip_limits limits;
    struct spl_mip_answer answer = {.state = SPL_MIP_UNKNOWN, .cost = NAN, .bound = -INFINITY};
    struct columns columns;

    if (text == NULL)
        return FALSE;
    mip = spl_solver_problem_read(text, &limits, &start, error);
    if (mip == NULL)
        return FALSE;
    columns = columns_of(mip);
    if (limits.relax || !any_whole(mip))
        relax(&columns, &limits, &answer);
    else
        branch(mip, &columns, &limits, &answer);
    reply = spl_solver_answer_text(&answer, columns.n, columns.m);
    columns_free(&columns);
    spl_mip_answer_clear(&answer);
    return spl_solver_send(out, "answer", reply, error);
}

int main(void)
{
    g_autoptr(GError) error = NULL;
    int out = dup(STDOUT_FILENO), nowhere = open("/dev/null", O_WRONLY);

    if (out < 0 || nowhere < 0 || dup2(nowhere, STDOUT_FILENO) < 0) {
        perror("simpling-solve");
        return EXIT_FAILURE;
    }
    /* Ctrl-C reaches the whole group of processes; whether it ends the search is for the parent to
     * say, who then ends this one. */
    signal(SIGINT, SIG_IGN);
#ifdef __linux__
    prctl(PR_SET_PDEATHSIG, SIGKILL); /* nor does it outlive the parent */
#endif
    while (serve(STDIN_FILENO, out, &error))
        ;
    if (error != NULL) {
        fprintf(stderr, "simpling-solve: %s\n", error->message);
        return EXIT_FAILURE;
    }
    return EXIT_SUCCESS;
}
