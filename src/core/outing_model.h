/* SPDX-License-Identifier: MIT
 *
 * The season plan as a mixed-integer problem.
 *
 * A column of choice is a day with a set of sites (a "pattern", at most most_sites of those that
 * have something open that day) whose round is known exactly; beside it how much is taken of each
 * source on each day, how much of each need stays open, and which batches cannot be made whole.
 * Rows: one pattern a day, the hours of a day and of each site in it, no take without a visit, the
 * stand's allowance, needs by their days, racks and jars, picking intervals.
 *
 * The cost is that of struct spl_outing_cost, in hours: one measure for travel, lateness, asking
 * and what stays open. A floor for small amounts is left out (it makes no plan cheaper): what is
 * proven of the model holds with it.
 */
#ifndef SPL_CORE_OUTING_MODEL_H
#define SPL_CORE_OUTING_MODEL_H

#include "core/mip.h"
#include "core/outing_problem.h"

struct spl_outing_pattern {
    int day;
    int n;
    int sites[6];
    double hours;
    double km;
    int column; /* in the mip */
};

struct spl_outing_model {
    struct spl_mip *mip;
    GArray *patterns; /* struct spl_outing_pattern, by day */
    int *take;        /* [source * n_days + day]: column of the grams, -1: not open */
    int *visit;       /* likewise: the whole column of "picked that day" (intervals), or -1 */
    int *shortage;    /* [need]: column of the kg that stay open */
    int n_days, n_sources, n_needs;
};
typedef struct spl_outing_model spl_outing_model; /* the name that g_autoptr needs */

enum spl_outing_goal {
    SPL_OUTING_GOAL_COST, /* the fewest hours, with what stays open weighed in hours too */
    SPL_OUTING_GOAL_COUNT /* the fewest outings that leave no more open than `short_g` */
};

/* What the model may choose on a day. */
enum spl_outing_freedom {
    SPL_OUTING_FREE, /* any pattern */
    SPL_OUTING_KEPT, /* just what the plan does on that day; amounts stay free */
    SPL_OUTING_SHUT  /* no outing (a fixed day is kept all the same) */
};

/* A part of the model, for planning a stretch of the season anew. */
struct spl_outing_scope {
    const enum spl_outing_freedom *days; /* [day] */
    const struct spl_outing_plan *plan;
    int most_sites; /* of new patterns on free days; those of the plan with one stop more, fewer or
                       exchanged are in anyway */
};

/* How many patterns the whole model would have. */
gint64 spl_outing_model_size(const struct spl_outing_problem *problem);

/* Builds it for a checked problem. `short_g` (one for each need) is wanted by the goal COUNT. */
struct spl_outing_model *spl_outing_model_new(const struct spl_outing_problem *problem,
                                              enum spl_outing_goal goal, const GArray *short_g);

/* Only `scope` of it. */
struct spl_outing_model *spl_outing_model_part(const struct spl_outing_problem *problem,
                                               enum spl_outing_goal goal, const GArray *short_g,
                                               const struct spl_outing_scope *scope);
void spl_outing_model_free(struct spl_outing_model *model);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_outing_model, spl_outing_model_free)

/* The plan that values of the columns mean; free with spl_outing_plan_free. */
struct spl_outing_plan *spl_outing_model_plan(const struct spl_outing_problem *problem,
                                              const struct spl_outing_model *model,
                                              const double *x);

#endif
