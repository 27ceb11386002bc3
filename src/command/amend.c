/* SPDX-License-Identifier: MIT
 *
 * simpling amend, strike: correct or take back a record; the old values stay.
 */
#include "simpling/amend.h"
#include "command/rows.h"

static int run_amend(struct spl_call *call, GError **error)
{
    GArray *corrections = spl_record_amend(call->house, call->said, error);

    if (corrections == NULL)
        return -1;
    spl_call_print_list(call, corrections, "nothing was changed");
    spl_list_free(&spl_correction_shape, corrections);
    return 0;
}

static int run_strike(struct spl_call *call, GError **error)
{
    struct spl_correction correction;

    if (!spl_record_strike(call->house, call->said, &correction, error))
        return -1;
    return spl_call_tell(call, &correction, NULL);
}

const struct spl_command spl_command_amend = {
    .words = "amend",
    .summary = "Correct a record; the old values stay in the book",
    .inputs = &spl_amend_inputs,
    .at = "code",
    .amends = spl_amended_inputs,
    .examples =
        (const char *const[]){
            "simpling amend H27-001 --weight 98g --why \"the scales stood on a slope\"", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_correction_shape,
    .array = TRUE,
    .run = run_amend,
};

const struct spl_command spl_command_strike = {
    .words = "strike",
    .summary = "Take a record back; it stays in the book, and nothing may draw on it",
    .inputs = &spl_strike_inputs,
    .at = "code?",
    .examples = (const char *const[]){"simpling strike H27-003 --why \"logged twice\"",
                                      "simpling strike --last", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_correction_shape,
    .run = run_strike,
};
