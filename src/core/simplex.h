/* SPDX-License-Identifier: MIT
 *
 * A small linear program, solved exactly: for questions of a few hundred columns that must be
 * answered without the solver child.
 */
#ifndef SPL_CORE_SIMPLEX_H
#define SPL_CORE_SIMPLEX_H

#include <glib.h>

/*
 * Maximises cost · x for x >= 0, A x <= b with b >= 0 (so that x = 0 holds). `a` is n_rows x
 * n_columns, row by row. Fills `x` (n_columns) and returns the optimum; INFINITY if it is unbounded
 * (x is then meaningless). Dense tableau, Bland's rule after a while, so that it ends (Bland 1977).
 */
double spl_simplex(int n_rows, int n_columns, const double *a, const double *b, const double *cost,
                   double *x);

#endif
