/* SPDX-License-Identifier: MIT
 *
 * simpling dry …: from the basket onto the rack and down again.
 */
#include "command/rows.h"
#include "simpling/drying.h"

static int run_start(struct spl_call *call, GError **error)
{
    struct spl_drying drying;
    GPtrArray *cautions;

    if (!spl_drying_begin(call->house, call->said, &drying, &cautions, error))
        return -1;
    return spl_call_tell(call, &drying, cautions);
}

static int run_turn(struct spl_call *call, GError **error)
{
    struct spl_drying drying;

    if (!spl_drying_turn(call->house, call->said, &drying, error))
        return -1;
    return spl_call_tell(call, &drying, NULL);
}

static int run_weigh(struct spl_call *call, GError **error)
{
    struct spl_drying drying;

    if (!spl_drying_weigh(call->house, call->said, &drying, error))
        return -1;
    return spl_call_tell(call, &drying, NULL);
}

static int run_test(struct spl_call *call, GError **error)
{
    struct spl_drying drying;
    GPtrArray *cautions;

    if (!spl_drying_try(call->house, call->said, &drying, &cautions, error))
        return -1;
    return spl_call_tell(call, &drying, cautions);
}

static int run_finish(struct spl_call *call, GError **error)
{
    struct spl_drying drying;
    GPtrArray *cautions;

    if (!spl_drying_end(call->house, call->said, &drying, &cautions, error))
        return -1;
    return spl_call_tell(call, &drying, cautions);
}

static gboolean stream_entry(const struct spl_drying *drying, gpointer data, GError **error)
{
    return spl_call_stream_item(data, drying, error);
}

static int run_list(struct spl_call *call, GError **error)
{
    struct spl_call_stream stream;

    spl_call_stream_begin(&stream, call);
    if (!spl_drying_entries(call->house, call->said, stream_entry, &stream, error))
        return -1;
    return spl_call_stream_end(&stream, "nothing on the racks");
}

static int run_show(struct spl_call *call, GError **error)
{
    const struct spl_drying_pick *pick = call->said;
    struct spl_drying drying;

    if (!spl_drying_show(call->house, pick->code, &drying, error))
        return -1;
    return spl_call_tell_held(call, &drying, drying.because);
}

const struct spl_command spl_command_dry_start = {
    .words = "dry start",
    .summary = "Put herb on the rack",
    .inputs = &spl_drying_inputs,
    .about =
        "One herb on a rack at a time. The setting 'racks' says how much rack there is; what does "
        "not fit is refused. Herb that is frozen or heated instead is drawn on by the same "
        "kind of code; fruit that must be cooked counts as heated after 20 minutes.",
    .examples =
        (const char *const[]){"simpling dry start --from H27-003:100g --rack 0.5m2",
                              "simpling dry start --from H27-001:40g",
                              "simpling dry start --from H27-003 --kind frozen --on 2027-05-21",
                              NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_drying_shape,
    .run = run_start,
};

const struct spl_command spl_command_dry_turn = {
    .words = "dry turn",
    .summary = "Note that herb on the rack was turned",
    .inputs = &spl_drying_turn_inputs,
    .at = "code",
    .examples = (const char *const[]){"simpling dry start --from H27-003",
                                      "simpling dry turn D27-001", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_drying_shape,
    .run = run_turn,
};

const struct spl_command spl_command_dry_weigh = {
    .words = "dry weigh",
    .summary = "Weigh herb on the rack: wilted herb goes into a batch by this weight",
    .inputs = &spl_drying_weigh_inputs,
    .at = "code weight",
    .examples = (const char *const[]){"simpling dry start --from H27-003",
                                      "simpling dry weigh D27-001 150g", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_drying_shape,
    .run = run_weigh,
};

const struct spl_command spl_command_dry_test = {
    .words = "dry test",
    .summary = "Note what the hand finds of herb that may be dry",
    .inputs = &spl_drying_test_inputs,
    .at = "code",
    .about = "A leaf or flower that is dry crumbles, the stem of a herb snaps, the core of a root, "
             "bark, fruit or seed breaks. This, or two weighings a day apart that no longer "
             "differ, shows herb to be dry; nothing else goes under oil as dried.",
    .examples = (const char *const[]){"simpling dry start --from H27-003 --on 2027-05-21",
                                      "simpling dry test D27-001 --how crumbles", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_drying_shape,
    .run = run_test,
};

const struct spl_command spl_command_dry_finish = {
    .words = "dry finish",
    .summary = "Take dried herb down, with its weight and what sorting left",
    .inputs = &spl_drying_finish_inputs,
    .at = "code",
    .about =
        "The ratio of fresh to dry that your racks give is kept, offered at the next drying and "
        "used by 'need'.",
    .examples =
        (const char *const[]){"simpling dry start --from H27-003 --on 2027-05-21",
                              "simpling dry finish D27-001 --weight 62g --garbled 58g", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_drying_shape,
    .run = run_finish,
};

const struct spl_command spl_command_dry_list = {
    .words = "dry list",
    .summary = "What is on the racks and what came off them",
    .inputs = &spl_drying_question_inputs,
    .examples = (const char *const[]){"simpling dry list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_drying_shape,
    .array = TRUE,
    .run = run_list,
};

const struct spl_command spl_command_dry_show = {
    .words = "dry show",
    .summary = "One drying, with its weighings and what was made of it",
    .inputs = &spl_drying_pick_inputs,
    .at = "code",
    .examples = (const char *const[]){"simpling dry start --from H27-003",
                                      "simpling dry show D27-001", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_drying_shape,
    .run = run_show,
};
