/* SPDX-License-Identifier: MIT
 *
 * simpling-draw: the helper that draws. It has the same table of commands as simpling, and the
 * insides of those that need cairo and pango.
 */
#include "command/draw_run.h"

int main(int argc, char **argv)
{
    return spl_run(argc, argv, spl_draw_runs);
}
