/* SPDX-License-Identifier: MIT
 *
 * What is said beside a plan of outings: why an odd place, an odd day, no reserve day; what is
 * short, why, and what would cure it. A cure is named only when a plan with it has less short.
 */
#ifndef SPL_SEASON_PLAN_WHY_H
#define SPL_SEASON_PLAN_WHY_H

#include "season/plan_problem.h"

/* Fills what is said of the outings from number `first` on, which are those of `plan` in turn. */
void spl_plan_say_why(const struct spl_plan_quest *o, const struct spl_outing_plan *plan,
                      struct spl_plan_outings *out, guint first);

/* Appends to `out->missing`; what is left out as too little to miss is a caution. */
gboolean spl_plan_say_missing(const struct spl_plan_quest *o, const struct spl_outing_plan *plan,
                              struct spl_plan_outings *out, GError **error);

#endif
