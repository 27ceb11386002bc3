/* SPDX-License-Identifier: MIT
 *
 * simpling stage …: growth stages seen.
 */
#include "command/rows.h"
#include "simpling/known.h"
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

static int run_notes(struct spl_call *call, GError **error)
{
    GArray *list = spl_stage_notes(call->house, call->said, error);

    if (list == NULL)
        return -1;
    spl_call_print_list(call, list, "no stages noted yet");
    spl_list_free(&spl_stage_record_shape, list);
    return 0;
}

/* What may be said for a stage. */
static int run_words(struct spl_call *call)
{
    GArray *list = spl_known_stages();

    if (call->json)
        spl_list_write_json(&spl_known_stage_shape, list, call->out);
    else
        spl_list_write_table(&spl_known_stage_shape, list, call->width, call->out);
    spl_list_free(&spl_known_stage_shape, list);
    return 0;
}

static int run_list(struct spl_call *call, GError **error)
{
    if (spl_call_has(call, "words"))
        return run_words(call);
    return run_notes(call, error);
}

const struct spl_command spl_command_stage_note = {
    .words = "stage note",
    .summary = "Note the growth stage seen at a place",
    .inputs = &spl_stage_inputs,
    .at = "site material stage",
    .about = "STAGE is a word (rosette, in bud, first flowers, full flower, going over, in seed, "
             "ripe, died back …; 'stage list --words' has all) or a BBCH code from 00 to 99.",
    .examples =
        (const char *const[]){
            "simpling stage note 'Withy Gill' dandelion/flower 'first flowers' --on 2027-04-20",
            NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_stage_record_shape,
    .run = run_note,
};

static const struct spl_option stage_list_options[] = {
    {"words", SPL_OPTION_FLAG, NULL, "instead: the words that may be said for a stage"},
    {NULL, SPL_OPTION_FLAG, NULL, NULL},
};

const struct spl_command spl_command_stage_list = {
    .words = "stage list",
    .summary = "Growth stages seen, latest first",
    .inputs = &spl_stage_question_inputs,
    .options = stage_list_options,
    .examples = (const char *const[]){"simpling stage list", "simpling stage list --words", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_stage_record_shape,
    .array = TRUE,
    .other = &spl_known_stage_shape,
    .run = run_list,
};
