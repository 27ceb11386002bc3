/* SPDX-License-Identifier: MIT
 *
 * An outing as people read it, for the commands that show one.
 */
#ifndef SPL_COMMAND_OUTINGS_H
#define SPL_COMMAND_OUTINGS_H

#include "command/command.h"
#include "simpling/plan.h"

void spl_call_print_outing(struct spl_call *call, const struct spl_plan_outing *outing);

#endif
