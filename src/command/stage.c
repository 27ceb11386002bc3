/* SPDX-License-Identifier: MIT
 *
 * simpling stage …: growth stages seen.
 */
#include "command/rows.h"
#include "simpling/site.h"
#include "simpling/window.h"

static int run_note(struct spl_call *call, GError **error)
{
    GPtrArray *cautions;
    struct spl_stage_record note;
    char *doubt;

    if (!spl_stage_note_add(call->house, call->said, &note, error))
        return -1;
    /* The note stands whatever this finds. */
    cautions = g_ptr_array_new_with_free_func(g_free);
    doubt = spl_stage_doubt(call->house, note.site, note.material, note.stage, note.on, NULL);
    if (doubt != NULL)
        g_ptr_array_add(cautions, doubt);
    return spl_call_tell(call, &note, cautions);
}

static int run_list(struct spl_call *call, GError **error)
{
    GArray *list = spl_stage_notes(call->house, call->said, error);

    if (list == NULL)
        return -1;
    spl_call_print_list(call, list, "no stages noted yet");
    spl_list_free(&spl_stage_record_shape, list);
    return 0;
}

const struct spl_command spl_command_stage_note = {
    .words = "stage note",
    .summary = "Note the growth stage seen at a place",
    .inputs = &spl_stage_inputs,
    .at = "site material stage",
    .about = "STAGE is a word (rosette, in bud, first flowers, full flower, going over, in seed, "
             "ripe, died\nback …) or a BBCH code from 00 to 99.",
    .examples =
        (const char *const[]){
            "simpling stage note 'Withy Gill' dandelion/flower 'first flowers' --on 2027-04-20",
            NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_stage_record_shape,
    .run = run_note,
};

const struct spl_command spl_command_stage_list = {
    .words = "stage list",
    .summary = "Growth stages seen, latest first",
    .inputs = &spl_stage_question_inputs,
    .examples = (const char *const[]){"simpling stage list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_stage_record_shape,
    .array = TRUE,
    .run = run_list,
};
