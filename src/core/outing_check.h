/* SPDX-License-Identifier: MIT
 *
 * Whether a plan keeps every rule of its problem. Shares no code with the model, the greedy planner
 * or the solver: it reckons days, rounds, hours, allowances, intervals and shelves by itself, and a
 * plan is believed only after it.
 */
#ifndef SPL_CORE_OUTING_CHECK_H
#define SPL_CORE_OUTING_CHECK_H

#include "core/outing_problem.h"

/* Every broken rule as one sentence (char *, freed with the array); empty: the plan holds. */
GPtrArray *spl_outing_check(const struct spl_outing_problem *problem,
                            const struct spl_outing_plan *plan);

#endif
