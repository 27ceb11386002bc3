/* SPDX-License-Identifier: MIT
 *
 * simpling trace: from the ground to the bottles and back.
 */
#include "simpling/trace.h"
#include "command/rows.h"
#include "simpling/record/reason.h"

static int run_trace(struct spl_call *call, GError **error)
{
    const struct spl_trace_words *said = call->said;
    struct spl_trace trace;
    char text[SPL_DAY_TEXT_SIZE];

    if (!spl_trace_follow(call->house, said, &trace, error))
        return -1;
    spl_call_print(call, &trace);
    /* A question asked is no note taken: until it is, the place's verdict does not know of it. */
    if (spl_day_is_set(said->sprayed) && !call->json) {
        struct spl_next *next =
            spl_next_new(SPL_ACTION_SPRAY_NOTE, "site", said->of, "kind", "sprayed", "on",
                         spl_day_format(said->sprayed, text), "source", NULL, NULL);
        g_autofree char *line = spl_next_line(next);

        fprintf(call->out, "\nnext: if it is true, note it, so that the place is closed\n  %s\n",
                line);
        spl_next_free(next);
    }
    spl_record_clear(&spl_trace_shape, &trace);
    return 0;
}

const struct spl_command spl_command_trace = {
    .words = "trace",
    .summary = "Which bottles came from there, and where did this come from",
    .inputs = &spl_trace_inputs,
    .at = "of",
    .about =
        "A code is followed both ways: back to sites, verdicts and permissions, on to batches, "
        "lots and what went\nout. A site with --sprayed gives all that was picked from that "
        "day on until the hold is over, and what came of it;\na month counts from its first "
        "day.",
    .examples =
        (const char *const[]){"simpling trace H26-001",
                              "simpling trace \"Withy Gill\" --sprayed 2026-05 --within 200m",
                              NULL},
    .needs = SPL_NEEDS_BOOK,
    .writes_with = "withdraw",
    .shape = &spl_trace_shape,
    .run = run_trace,
};
