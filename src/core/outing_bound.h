/* SPDX-License-Identifier: MIT
 *
 * What no plan can beat: a proven lower bound on the cost and on the number of outings.
 *
 * Works on a relaxation in which days are interchangeable: a day on which nothing more is open than
 * on another is counted with that other, so that the choice is how many outings of a kind are made
 * and not on which of many like days. Racks and picking intervals are left out. Sub-seasons (one
 * material, two neighbours in time, three …) are solved one after another; what each needs at least
 * is a cut for all larger ones and for the whole season.
 */
#ifndef SPL_CORE_OUTING_BOUND_H
#define SPL_CORE_OUTING_BOUND_H

#include "core/mip.h"
#include "core/outing_problem.h"

struct spl_outing_bound;
typedef struct spl_outing_bound spl_outing_bound; /* the name that g_autoptr needs */

/* For a checked problem with the shortage of each need fixed. Borrows `problem`. */
struct spl_outing_bound *spl_outing_bound_new(const struct spl_outing_problem *problem,
                                              const GArray *short_g);
void spl_outing_bound_free(struct spl_outing_bound *bound);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_outing_bound, spl_outing_bound_free)

/*
 * Does the next piece of work, of at most `nodes` branchings and `seconds`: a sub-season, or the
 * whole. `cost` is that of the best known plan. FALSE when nothing is left to do, or with `error`
 * when the solver failed. What is proven so far: cost_bound and count_bound.
 */
gboolean spl_outing_bound_step(struct spl_outing_bound *bound, const struct spl_mip_solver *solver,
                               double cost, int nodes, double seconds, GError **error);

/* TRUE until every material by itself was looked at. */
gboolean spl_outing_bound_begins(const struct spl_outing_bound *bound);

double spl_outing_bound_cost(const struct spl_outing_bound *bound);
int spl_outing_bound_count(const struct spl_outing_bound *bound);
int spl_outing_bound_nodes(const struct spl_outing_bound *bound);

#endif
