/* SPDX-License-Identifier: MIT
 *
 * The insides of the commands that read and write map files: for the helper program
 * simpling-ground, which is linked with shapelib and PROJ.
 */
#ifndef SPL_COMMAND_GROUND_H
#define SPL_COMMAND_GROUND_H

#include "command/command.h"

int spl_hazard_import_run(struct spl_call *call, GError **error);
int spl_site_import_run(struct spl_call *call, GError **error);
int spl_site_export_run(struct spl_call *call, GError **error);

#endif
