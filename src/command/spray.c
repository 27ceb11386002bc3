/* SPDX-License-Identifier: MIT
 *
 * simpling spray note: what somebody said or saw about a place's spraying.
 */
#include "command/rows.h"
#include "simpling/site.h"

static int run(struct spl_call *call, GError **error)
{
    struct spl_spray_record note;
    GPtrArray *touched;

    if (!spl_spray_note_add(call->house, call->said, &note, &touched, error))
        return -1;
    spl_call_tell(call, &note, NULL);
    spl_call_touched("picked there since", touched);
    g_ptr_array_unref(touched);
    return 0;
}

const struct spl_command spl_command_spray_note = {
    .words = "spray note",
    .summary = "Note what was said or seen about spraying at a place",
    .inputs = &spl_spray_inputs,
    .at = "site",
    .about =
        "An 'unsprayed' statement grows old: 60 days from March to October, 180 otherwise, 365 on "
        "ground of\nyour own. It must reach back three years to clear a place. A planned spraying "
        "counts "
        "as done from its\nday on, until it is 'not-done' or an 'unsprayed' statement of a later "
        "day "
        "covers it.",
    .examples = (const char *const[]){"simpling spray note 'Withy Gill' --kind unsprayed --source "
                                      "'the tenant, at the gate' --since 2020-01-01",
                                      "simpling spray note 'Withy Gill' --kind planned --on "
                                      "2027-06-24 --source 'the tenant'",
                                      "simpling spray note 'Withy Gill' --kind not-done --source "
                                      "'the tenant rang'",
                                      NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_spray_record_shape,
    .run = run,
};
