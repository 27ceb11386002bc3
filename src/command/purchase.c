/* SPDX-License-Identifier: MIT
 *
 * simpling purchase …: herb bought in, given, or grown.
 */
#include "simpling/purchase.h"
#include "command/rows.h"

static int run_add(struct spl_call *call, GError **error)
{
    struct spl_purchase purchase;
    GPtrArray *cautions;

    if (!spl_purchase_log(call->house, call->said, &purchase, &cautions, error))
        return -1;
    return spl_call_tell(call, &purchase, cautions);
}

static gboolean stream_entry(const struct spl_purchase *purchase, gpointer data, GError **error)
{
    return spl_call_stream_item(data, purchase, error);
}

static int run_list(struct spl_call *call, GError **error)
{
    struct spl_call_stream stream;

    spl_call_stream_begin(&stream, call);
    if (!spl_purchase_entries(call->house, call->said, stream_entry, &stream, error))
        return -1;
    return spl_call_stream_end(&stream, "nothing bought or grown yet");
}

static int run_show(struct spl_call *call, GError **error)
{
    const struct spl_purchase_pick *pick = call->said;
    struct spl_purchase purchase;

    if (!spl_purchase_show(call->house, pick->code, &purchase, error))
        return -1;
    return spl_call_tell_held(call, &purchase, purchase.because);
}

const struct spl_command spl_command_purchase_add = {
    .words = "purchase add",
    .summary = "Log herb that was bought in, given, or grown in the garden",
    .inputs = &spl_purchase_inputs,
    .at = "material",
    .about = "The supplier's number is what a recall is followed by: note it.",
    .examples =
        (const char *const[]){"simpling purchase add calendula/flower --weight 500g --dry "
                              "--supplier \"Sallow Bank Herbs\" --number SB-114",
                              "simpling purchase add calendula/flower --weight 300g --garden",
                              NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_purchase_shape,
    .run = run_add,
};

const struct spl_command spl_command_purchase_list = {
    .words = "purchase list",
    .summary = "What was bought in or grown",
    .inputs = &spl_purchase_question_inputs,
    .examples = (const char *const[]){"simpling purchase list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_purchase_shape,
    .array = TRUE,
    .run = run_list,
};

const struct spl_command spl_command_purchase_show = {
    .words = "purchase show",
    .summary = "One purchase, with what was made of it",
    .inputs = &spl_purchase_pick_inputs,
    .at = "code",
    .examples =
        (const char *const[]){"simpling purchase add calendula/flower --weight 300g --garden",
                              "simpling purchase show P27-001", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_purchase_shape,
    .run = run_show,
};
