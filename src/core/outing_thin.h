/* SPDX-License-Identifier: MIT
 *
 * Days that are as good as one another: in the middle of a window one Saturday serves as well as
 * the next, and a solver that is offered both tries everything twice.
 */
#ifndef SPL_CORE_OUTING_THIN_H
#define SPL_CORE_OUTING_THIN_H

#include "core/outing_model.h"

/*
 * Leaves SPL_OUTING_FREE in `days` (one a day of the problem) those that no few others do better
 * than, and liked ones; the rest SPL_OUTING_KEPT. Intervals between pickings and room on the racks
 * may make a left out day worth something: a plan of the thinned season holds, its bound does not.
 */
void spl_outing_thin(const struct spl_outing_problem *problem, enum spl_outing_freedom *days);

#endif
