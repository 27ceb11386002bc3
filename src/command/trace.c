/* SPDX-License-Identifier: MIT
 *
 * simpling trace: from the ground to the bottles and back.
 */
#include <math.h>

#include "base/amount.h"
#include "command/rows.h"
#include "simpling/record/reason.h"
#include "simpling/trace.h"

static int run_trace(struct spl_call *call, GError **error)
{
    const char *sprayed = spl_call_get(call, "sprayed"), *within = spl_call_get(call, "within");
    gboolean withdraw = spl_call_has(call, "withdraw"), ok;
    struct spl_trace trace;
    struct spl_day day = SPL_DAY_NONE;
    double within_m = 0.0;
    char text[SPL_DAY_TEXT_SIZE];

    if (sprayed == NULL) {
        if (within != NULL || withdraw) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                        "trace: --within and --withdraw go with a site and --sprayed DATE");
            return -1;
        }
        ok = spl_trace_code(call->house, call->places[0], &trace, error);
    } else {
        if (!spl_day_parse_or_month(sprayed, "--sprayed", &day, error) ||
            (within != NULL && !spl_length_parse(within, "--within", &within_m, error)))
            return -1;
        ok = spl_trace_site(call->house, call->places[0], day, within_m, withdraw,
                            spl_call_get(call, "by"), &trace, error);
    }
    if (!ok)
        return -1;
    spl_call_print(call, &trace);
    /* A question asked is no note taken: until it is, the place's verdict does not know of it. */
    if (sprayed != NULL && !call->json) {
        struct spl_next *next =
            spl_next_new(SPL_ACTION_SPRAY_NOTE, "site", call->places[0], "kind", "sprayed", "on",
                         spl_day_format(day, text), "source", NULL, NULL);
        g_autofree char *line = spl_next_line(next);

        fprintf(call->out, "\nnext: if it is true, note it, so that the place is closed\n  %s\n",
                line);
        spl_next_free(next);
    }
    spl_record_clear(&spl_trace_shape, &trace);
    return 0;
}

static const struct spl_option trace_options[] = {
    {"sprayed", SPL_OPTION_ONE, "DATE",
     "the place was sprayed then: 2027-05-12, or a month 2027-05"},
    {"within", SPL_OPTION_ONE, "DISTANCE", "places so near to it too: 100m"},
    {"withdraw", SPL_OPTION_FLAG, NULL, "withdraw every lot that is reached"},
    {"by", SPL_OPTION_ONE, "WHO", "who withdraws (default: the setting 'who')"},
    {NULL, SPL_OPTION_FLAG, NULL, NULL},
};

const struct spl_command spl_command_trace = {
    .words = "trace",
    .summary = "Which bottles came from there, and where did this come from",
    .places = "CODE|SITE",
    .min_places = 1,
    .max_places = 1,
    .options = trace_options,
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
