/* SPDX-License-Identifier: MIT
 *
 * A first plan without any solver: the outing that covers most for its cost, again and again, then
 * improved by leaving out, moving and joining outings as long as that helps. Coverage before cost.
 *
 * Always gives a plan that keeps every rule (an empty one if nothing can be had). Deterministic.
 */
#ifndef SPL_CORE_OUTING_GREEDY_H
#define SPL_CORE_OUTING_GREEDY_H

#include "core/outing_problem.h"

/* For a checked problem; `rounds` of improvement (0: none). Free with spl_outing_plan_free. */
struct spl_outing_plan *spl_outing_greedy(const struct spl_outing_problem *problem, int rounds);

#endif
