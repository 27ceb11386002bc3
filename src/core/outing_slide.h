/* SPDX-License-Identifier: MIT
 *
 * Small changes to a plan that cost no search: each outing to its best free day, what it takes from
 * another place or on another outing, stops that do not pay left out, small amounts put to larger
 * ones; and days that leave a reserve.
 */
#ifndef SPL_CORE_OUTING_SLIDE_H
#define SPL_CORE_OUTING_SLIDE_H

#include "core/outing_problem.h"

/*
 * The plan made cheaper by single moves until none helps, and without amounts under the floor that
 * make no batch whole (which may cost a little). Takes `plan`, gives one that keeps the same rules;
 * no reserve days.
 */
struct spl_outing_plan *spl_outing_slide(const struct spl_outing_problem *problem,
                                         struct spl_outing_plan *plan);

/*
 * Outings go back to the days that are liked where that costs nothing, so that a plan does not
 * change for nothing. Then the reserve days are named; outings that have none move to a day that
 * has one after it, where that costs little: `*hours` is what it cost. Takes `plan`.
 */
struct spl_outing_plan *spl_outing_dry_days(const struct spl_outing_problem *problem,
                                            struct spl_outing_plan *plan, double *hours);

#endif
