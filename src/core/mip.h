/* SPDX-License-Identifier: MIT
 *
 * A mixed-integer linear problem as sparse columns and rows: minimise cost · x with row_lower <=
 * A x <= row_upper, col_lower <= x <= col_upper, some x whole. And the door to whoever solves it.
 *
 * Built by core/outing_model.c; solved by a solver that the caller passes in (exchange/solver.h
 * runs one in a child process), so that this room stays pure.
 */
#ifndef SPL_CORE_MIP_H
#define SPL_CORE_MIP_H

#include <glib.h>

struct spl_mip_column {
    double lower, upper; /* INFINITY: none */
    double cost;
    gboolean whole;
};

struct spl_mip_entry {
    int column;
    double value;
};

struct spl_mip_row {
    double lower, upper; /* -INFINITY, INFINITY: none */
    int first, n;        /* its entries */
};

struct spl_mip {
    GArray *columns;      /* struct spl_mip_column */
    GArray *rows;         /* struct spl_mip_row */
    GArray *entries;      /* struct spl_mip_entry, row after row */
    GPtrArray *col_names; /* char *, letters, digits and '_' only; unique */
    GPtrArray *row_names;
};
typedef struct spl_mip spl_mip; /* the name that g_autoptr needs */

struct spl_mip *spl_mip_new(void);
void spl_mip_free(struct spl_mip *mip);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_mip, spl_mip_free)

/* Appends a column and gives its index. Takes `name`. */
int spl_mip_add_column(struct spl_mip *mip, char *name, double lower, double upper, double cost,
                       gboolean whole);

/* Begins a row; spl_mip_put then adds its entries (each column once). Takes `name`. */
int spl_mip_add_row(struct spl_mip *mip, char *name, double lower, double upper);
void spl_mip_put(struct spl_mip *mip, int column, double value);

/* Cost of a point, and how far it breaks a bound, row or wholeness at the worst place. */
double spl_mip_cost(const struct spl_mip *mip, const double *x);
double spl_mip_violation(const struct spl_mip *mip, const double *x);

/* The problem in the LP file format that cbc, glpsol and others read. Free with g_string_free. */
GString *spl_mip_lp(const struct spl_mip *mip, const char *title);

/* ---- solving ------------------------------------------------------------------------------- */

struct spl_mip_limits {
    double seconds;      /* of the clock; 0: as much as is left */
    int nodes;           /* 0: any number */
    double gap;          /* stop when (cost - bound) / cost is this or less; 0: to the end */
    double cutoff;       /* only solutions that cost less are wanted; INFINITY: any */
    gboolean relax;      /* forget wholeness: the linear relaxation */
    const double *start; /* a known solution, one value a column; NULL: none */
};

enum spl_mip_state {
    SPL_MIP_OPTIMAL,    /* within the gap asked for */
    SPL_MIP_FEASIBLE,   /* a solution, but a limit stopped the search */
    SPL_MIP_INFEASIBLE, /* proven: there is none (or none below the cutoff) */
    SPL_MIP_UNKNOWN     /* a limit stopped it before any solution */
};

struct spl_mip_answer {
    enum spl_mip_state state;
    double cost;  /* of x; NAN: none */
    double bound; /* proven: no solution (below the cutoff) costs less; -INFINITY: none */
    int nodes;
    double *x;     /* NULL: none; free with g_free */
    double *duals; /* of the rows, only after `relax`; NULL otherwise; g_free */
};
void spl_mip_answer_clear(struct spl_mip_answer *answer);

struct spl_mip_solver {
    /* FALSE: it could not be run (SPL_ERROR_INTERNAL, _IO); the answer is then empty. */
    gboolean (*solve)(const struct spl_mip *mip, const struct spl_mip_limits *limits,
                      struct spl_mip_answer *answer, gpointer data, GError **error);
    /* Seconds left of the person's patience. */
    double (*seconds_left)(gpointer data);
    gpointer data;
};

#endif
