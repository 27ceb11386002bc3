/* SPDX-License-Identifier: MIT
 *
 * simpling harvest …: the log.
 */
#include "simpling/harvest.h"
#include "command/rows.h"

static int run_add(struct spl_call *call, GError **error)
{
    struct spl_harvest harvest;
    GPtrArray *cautions;

    if (!spl_harvest_log(call->house, call->said, &harvest, &cautions, error))
        return -1;
    return spl_call_tell(call, &harvest, cautions);
}

static gboolean stream_entry(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    return spl_call_stream_item(data, harvest, error);
}

static int run_list(struct spl_call *call, GError **error)
{
    struct spl_call_stream stream;

    spl_call_stream_begin(&stream, call);
    if (!spl_harvest_entries(call->house, call->said, stream_entry, &stream, error))
        return -1;
    return spl_call_stream_end(&stream, "no harvests yet");
}

static int run_show(struct spl_call *call, GError **error)
{
    const struct spl_harvest_pick *pick = call->said;
    struct spl_harvest harvest;

    if (!spl_harvest_show(call->house, pick->code, &harvest, error))
        return -1;
    return spl_call_tell_held(call, &harvest, harvest.because);
}

static int run_release(struct spl_call *call, GError **error)
{
    struct spl_harvest harvest;

    if (!spl_harvest_let_out(call->house, call->said, &harvest, error))
        return -1;
    return spl_call_tell(call, &harvest, NULL);
}

static int run_weigh(struct spl_call *call, GError **error)
{
    struct spl_harvest harvest;

    if (!spl_harvest_weigh(call->house, call->said, &harvest, error))
        return -1;
    return spl_call_tell(call, &harvest, NULL);
}

const struct spl_command spl_command_harvest_add = {
    .words = "harvest add",
    .summary = "Log what was taken, with the verdict of that day",
    .inputs = &spl_harvest_inputs,
    .said_as = (const struct spl_input_word[]){{"hold", "despite"}, {NULL, NULL}},
    .at = "site material",
    .about = "Closed ground is refused (exit status 4) unless --despite says why it is kept. From "
             "ground to ask about\nthe harvest is held until 'harvest release' answers the "
             "question. Where a plant has a deadly\nlook-alike, note who named it and by which "
             "signs.",
    .examples =
        (const char *const[]){
            "simpling harvest add 'Withy Gill' nettle/leaf --weight 420g --garbled 380g --stage 35 "
            "--by Edda --weather 'dry, after two days without rain'",
            "simpling harvest add 'Kell Moss' nettle/leaf --weight 200g --stage 35 --despite 'the "
            "grazier is away until Monday'",
            "simpling harvest add 'Withy Gill' nettle/leaf --bags 2 --stage 35", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_harvest_shape,
    .run = run_add,
};

const struct spl_command spl_command_harvest_list = {
    .words = "harvest list",
    .summary = "The log",
    .inputs = &spl_harvest_question_inputs,
    .examples = (const char *const[]){"simpling harvest list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_harvest_shape,
    .array = TRUE,
    .run = run_list,
};

const struct spl_command spl_command_harvest_show = {
    .words = "harvest show",
    .summary = "One entry of the log, with what was made of it",
    .inputs = &spl_harvest_pick_inputs,
    .at = "code",
    .examples = (const char *const[]){"simpling harvest show H27-001", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_harvest_shape,
    .run = run_show,
};

const struct spl_command spl_command_harvest_weigh = {
    .words = "harvest weigh",
    .summary = "Give a harvest that was logged in bags its weight",
    .inputs = &spl_harvest_weigh_inputs,
    .at = "code weight",
    .examples = (const char *const[]){"simpling harvest weigh H27-006 640g --garbled 600g", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_harvest_shape,
    .run = run_weigh,
};

const struct spl_command spl_command_harvest_release = {
    .words = "harvest release",
    .summary = "Let a held harvest out, with the evidence that answers the question",
    .inputs = &spl_harvest_release_inputs,
    .at = "code",
    .examples = (const char *const[]){"simpling harvest release H27-002 --evidence \"the grazier "
                                      "said on 1 June: never sprayed\" --by Edda",
                                      NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_harvest_shape,
    .run = run_release,
};
