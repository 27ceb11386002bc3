/* SPDX-License-Identifier: MIT
 *
 * The search for the season plan. First a plan without a solver: greedy, then each outing slid to
 * its best day. Then what no plan can beat: the whole model without its wholeness. Then the season
 * without the days that are as good as others, which is small enough to be solved. Where that does
 * not prove the plan, a season of usual size goes to the solver as it is, with that plan as the
 * cost to beat; of a larger one stretches are planned anew, one after another.
 *
 * Pure: it calls the solver that it is given. The same problem, nodes and gap give the same plan on
 * every machine unless the seconds ran out first or somebody stopped it.
 */
#ifndef SPL_CORE_OUTING_SEARCH_H
#define SPL_CORE_OUTING_SEARCH_H

#include "core/mip.h"
#include "core/outing_problem.h"

enum spl_outing_stop {
    SPL_OUTING_STOP_GAP,     /* proven to be within the gap asked for */
    SPL_OUTING_STOP_NODES,   /* the work asked for was done */
    SPL_OUTING_STOP_SECONDS, /* the time was up: another run may differ */
    SPL_OUTING_STOP_HAND,    /* somebody stopped it: the best plan so far */
    SPL_OUTING_STOP_SOLVER,  /* no solver: the first plan */
    SPL_OUTING_STOP_FELL     /* the solver fell over: what was known until then */
};

/* The stages, in their order. */
enum spl_outing_stage {
    SPL_OUTING_STAGE_GREEDY,
    SPL_OUTING_STAGE_SLIDE,
    SPL_OUTING_STAGE_ROOT,      /* the bound of the model without wholeness */
    SPL_OUTING_STAGE_THINNED,   /* solved without days that are as good as others */
    SPL_OUTING_STAGE_STRETCHES, /* of a large season, planned anew in turn */
    SPL_OUTING_STAGE_WHOLE,     /* the model as it is */
    SPL_OUTING_STAGE_RESERVES   /* days moved so that a reserve is left */
};

/* Where the search stood after a stage. */
struct spl_outing_step {
    enum spl_outing_stage stage;
    double cost, bound; /* h */
    int outings, nodes; /* nodes of branching so far */
};

struct spl_outing_wish {
    double gap; /* 0.01: stop when proven within one per cent; 0: to the end */
    int nodes;  /* of branching in all; 0: no limit */
    /* Told on each gain and after each stage; may be NULL. */
    void (*tell)(const struct spl_outing_step *step, gpointer data);
    gboolean (*stopped)(gpointer data); /* somebody wants to see the plan now; may be NULL */
    gpointer data;
};

struct spl_outing_answer {
    struct spl_outing_plan *plan; /* checked, with reserve days */
    double cost_bound;            /* proven: no plan weighs less */
    int count_bound;              /* proven: none that leaves no more open has fewer outings */
    double gap;                   /* of the plan as it is: (cost - cost_bound) / cost */
    double reserve_hours;         /* of the cost, for the sake of reserve days */
    enum spl_outing_stop stop;
    int nodes;
    GArray *steps; /* struct spl_outing_step, one for each stage that was gone through */
};
void spl_outing_answer_clear(struct spl_outing_answer *answer);

/* The nodes that a checked problem gets where nobody says how many: fewer the larger it is, so that
 * it takes about as long, and the same on every machine. */
int spl_outing_default_nodes(const struct spl_outing_problem *problem);

/*
 * Answers a checked problem. Only a defect of ours fails (SPL_ERROR_INTERNAL: a plan did not pass
 * core/outing_check.h). Without `solver` (NULL) it ends with the slid plan; one that fails leaves
 * the best plan and what was proven until then.
 */
gboolean spl_outing_search(const struct spl_outing_problem *problem,
                           const struct spl_mip_solver *solver, const struct spl_outing_wish *wish,
                           struct spl_outing_answer *answer, GError **error);

#endif
