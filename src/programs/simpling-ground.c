/* SPDX-License-Identifier: MIT
 *
 * simpling-ground, the helper that reads and writes map files with shapelib and PROJ. It is started
 * by simpling and understands the same command lines.
 */
#include "command/ground.h"

static const struct spl_helper_run runs[] = {
    {"hazard import", spl_hazard_import_run},
    {"site import", spl_site_import_run},
    {"site export", spl_site_export_run},
    {NULL, NULL},
};

int main(int argc, char **argv)
{
    return spl_run(argc, argv, runs);
}
