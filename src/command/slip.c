/* SPDX-License-Identifier: MIT
 *
 * simpling slip …: the row. It runs in the helper simpling-slip, as what makes pages is no part of
 * this face.
 */
#include "simpling/slip.h"
#include "command/rows.h"

const struct spl_command spl_command_slip_write = {
    .words = "slip write",
    .summary = "One file to carry to the hedge: may I pick here, how much, what looks like it",
    .inputs = &spl_slip_inputs,
    .about = "A page for any phone, or with FILE.txt the same as plain text, which passes mail "
             "filters. Each "
             "verdict\nstands with its days; past the last of them nothing on it is clear. It "
             "needs no signal, "
             "and nothing\nleaves it: entries stay on the phone until they are handed out as lines "
             "of notes. It "
             "tells where the\nplaces are, unless --without-places is said; --group leaves out "
             "people, leave and "
             "log.",
    .examples =
        (const char *const[]){
            "simpling slip write --out slip.html", "simpling slip write --out slip.txt --days 5",
            "simpling slip write --out walk.html --site \"Withy Gill\" --group", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_slip_written_shape,
    .helper = "simpling-slip",
};
