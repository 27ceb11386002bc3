/* SPDX-License-Identifier: MIT
 *
 * What the helper simpling-draw brings: the insides of the drawing commands.
 */
#ifndef SPL_COMMAND_DRAW_RUN_H
#define SPL_COMMAND_DRAW_RUN_H

#include "command/command.h"

extern const struct spl_helper_run spl_draw_runs[];

#endif
