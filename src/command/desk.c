/* SPDX-License-Identifier: MIT
 *
 * simpling desk: the row. It runs in the helper simpling-desk, so that the everyday program links
 * no server.
 */
#include "command/rows.h"

static const struct spl_option options[] = {
    {"port", SPL_OPTION_ONE, "N", "the port (default 0: the last one again, or a free one)"},
    {"no-browser", SPL_OPTION_FLAG, NULL, "open no browser; the address is printed anyway"},
    {NULL, SPL_OPTION_FLAG, NULL, NULL},
};

static const char *const examples[] = {
    "simpling desk",
    "simpling desk --no-browser --port 8033",
    NULL,
};

const struct spl_command spl_command_desk = {
    .words = "desk",
    .summary = "The book in a browser on this machine, at the kitchen table",
    .places = "",
    .options = options,
    .about = "Prints the address with its key as the first line, opens the browser where there is "
             "a display, and\n"
             "serves until Ctrl-C, which lets what is being written be finished. It answers to "
             "this machine alone,\n"
             "and to browsers that came with the key; a key is good once, and running it again "
             "opens the same desk\n"
             "with a fresh one. From another machine: ssh -L 9000:127.0.0.1:PORT HOST, then the "
             "second address with\n"
             "the port 9000.",
    .examples = examples,
    .needs = SPL_NEEDS_NOTHING,
    .helper = "simpling-desk",
};
