/* SPDX-License-Identifier: MIT
 *
 * The primal simplex method on a dense tableau.
 */
#include "core/simplex.h"

#include <math.h>

#define TINY 1e-10

struct tableau {
    int rows, columns; /* columns with the slacks */
    double *cell;      /* (rows + 1) x (columns + 1); the last row is the cost, the last column b */
    int *basis;
};

static double *at(const struct tableau *t, int row, int column)
{
    return &t->cell[(gsize)row * (gsize)(t->columns + 1) + (gsize)column];
}

/* The column that enters: most promising at first, lowest number once pivots pile up. */
static int entering(const struct tableau *t, gboolean careful)
{
    int best = -1;
    double least = -TINY;

    for (int c = 0; c < t->columns; c++) {
        double reduced = *at(t, t->rows, c);

        if (reduced < least) {
            best = c;
            if (careful)
                return c;
            least = reduced;
        }
    }
    return best;
}

static int leaving(const struct tableau *t, int column)
{
    int best = -1;
    double least = INFINITY;

    for (int r = 0; r < t->rows; r++) {
        double pivot = *at(t, r, column), ratio;

        if (pivot <= TINY)
            continue;
        ratio = *at(t, r, t->columns) / pivot;
        if (ratio < least - TINY ||
            (ratio <= least + TINY && best >= 0 && t->basis[r] < t->basis[best])) {
            least = MIN(ratio, least);
            best = r;
        }
    }
    return best;
}

static void pivot(struct tableau *t, int row, int column)
{
    double by = *at(t, row, column);

    for (int c = 0; c <= t->columns; c++)
        *at(t, row, c) /= by;
    for (int r = 0; r <= t->rows; r++) {
        double times = *at(t, r, column);

        if (r == row || times == 0)
            continue;
        for (int c = 0; c <= t->columns; c++)
            *at(t, r, c) -= times * *at(t, row, c);
    }
    t->basis[row] = column;
}

double spl_simplex(int n_rows, int n_columns, const double *a, const double *b, const double *cost,
                   double *x)
{
    struct tableau t = {.rows = n_rows, .columns = n_columns + n_rows};
    double best;
    gboolean bounded = TRUE;

    t.cell = g_new0(double, (gsize)(n_rows + 1) * (gsize)(t.columns + 1));
    t.basis = g_new(int, (gsize)n_rows + 1);
    for (int r = 0; r < n_rows; r++) {
        for (int c = 0; c < n_columns; c++)
            *at(&t, r, c) = a[(gsize)r * (gsize)n_columns + (gsize)c];
        *at(&t, r, n_columns + r) = 1;
        *at(&t, r, t.columns) = b[r];
        t.basis[r] = n_columns + r;
    }
    for (int c = 0; c < n_columns; c++)
        *at(&t, n_rows, c) = -cost[c];
    for (int turn = 0;; turn++) {
        int column = entering(&t, turn > 5 * (n_rows + n_columns)), row;

        if (column < 0)
            break;
        row = leaving(&t, column);
        if (row < 0) {
            bounded = FALSE;
            break;
        }
        pivot(&t, row, column);
    }
    for (int c = 0; c < n_columns; c++)
        x[c] = 0;
    for (int r = 0; r < n_rows; r++) {
        if (t.basis[r] < n_columns)
            x[t.basis[r]] = MAX(*at(&t, r, t.columns), 0);
    }
    best = bounded ? *at(&t, n_rows, t.columns) : INFINITY;
    g_free(t.cell);
    g_free(t.basis);
    return best;
}
