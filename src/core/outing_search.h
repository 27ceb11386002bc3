/* SPDX-License-Identifier: MIT
 *
 * The search for the season plan: greedy start, coverage, then cost; better plans by re-planning a
 * stretch of the season at a time; a proven bound from the whole model with cuts from sub-seasons.
 *
 * Pure: it calls the solver that it is given. The same problem, nodes and gap give the same plan
 * unless the seconds ran out first.
 */
#ifndef SPL_CORE_OUTING_SEARCH_H
#define SPL_CORE_OUTING_SEARCH_H

#include "core/mip.h"
#include "core/outing_problem.h"

enum spl_outing_stop {
    SPL_OUTING_STOP_GAP,     /* proven to be within the gap asked for */
    SPL_OUTING_STOP_NODES,   /* the work asked for was done */
    SPL_OUTING_STOP_SECONDS, /* the time was up: another run may differ */
    SPL_OUTING_STOP_SOLVER   /* the solver could not be run: the greedy plan, a weak bound */
};

struct spl_outing_wish {
    double gap; /* 0.01: stop when proven within one per cent; 0: to the end */
    int nodes;  /* of branching in all; 0: no limit */
    /* Told on each gain; may be NULL. Costs in hours. */
    void (*tell)(double cost, double bound, int outings, gpointer data);
    gpointer data;
};

struct spl_outing_answer {
    struct spl_outing_plan *plan;    /* checked */
    double cost_bound;               /* proven: no plan with this coverage costs less */
    int count_bound;                 /* nor has fewer outings */
    double gap;                      /* (cost - cost_bound) / cost; 0 for an empty plan */
    double shortage, shortage_bound; /* as spl_outing_plan_shortage */
    enum spl_outing_stop stop;
    int nodes;
};
void spl_outing_answer_clear(struct spl_outing_answer *answer);

/*
 * Answers a checked problem. Only a defect of ours fails (SPL_ERROR_INTERNAL: a plan did not pass
 * core/outing_check.h); a solver that cannot be run leaves the greedy plan.
 */
gboolean spl_outing_search(const struct spl_outing_problem *problem,
                           const struct spl_mip_solver *solver, const struct spl_outing_wish *wish,
                           struct spl_outing_answer *answer, GError **error);

#endif
