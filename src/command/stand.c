/* SPDX-License-Identifier: MIT
 *
 * simpling stand …: what the sites bear.
 */
#include "simpling/stand.h"
#include "command/rows.h"

static int run_set(struct spl_call *call, GError **error)
{
    struct spl_stand_record record;

    if (!spl_stand_set(call->house, call->said, &record, error))
        return -1;
    return spl_call_tell(call, &record, NULL);
}

static int run_mark(struct spl_call *call, GError **error)
{
    struct spl_stand_record record;

    if (!spl_stand_mark(call->house, call->said, &record, error))
        return -1;
    return spl_call_tell(call, &record, NULL);
}

static int run_rest(struct spl_call *call, GError **error)
{
    struct spl_stand_record record;

    if (!spl_stand_rest(call->house, call->said, &record, error))
        return -1;
    return spl_call_tell(call, &record, NULL);
}

static int run_taken(struct spl_call *call, GError **error)
{
    struct spl_stand_record record;

    if (!spl_stand_taken(call->house, call->said, &record, error))
        return -1;
    return spl_call_tell(call, &record, NULL);
}

static int run_list(struct spl_call *call, GError **error)
{
    GArray *list = spl_stand_lines(call->house, call->said, error);

    if (list == NULL)
        return -1;
    spl_call_print_list(call, list,
                        "no stands yet; count one with 'stand set SITE PLANT --plants N'");
    if (!call->json && list->len > 0)
        spl_call_say("",
                     "The parts of one plant share one allowance: what is taken of one is less "
                     "left of the others.",
                     call->width, call->out);
    spl_list_free(&spl_stand_line_shape, list);
    return 0;
}

const struct spl_command spl_command_stand_set = {
    .words = "stand set",
    .summary = "Say what a place bears of a plant",
    .inputs = &spl_stand_inputs,
    .at = "site plant",
    .about =
        "The parts of one plant share one allowance: flowers taken are berries lost, and a dug "
        "root ends\nthe plant. Nothing is taken from fewer than 20 plants, 5 trees or shrubs; "
        "under 100 "
        "plants, 20 trees or shrubs\nthe stand is cautioned. What was dug or peeled rests for the "
        "years of its table. A bed that was sown or planted\nmay give all.",
    .examples = (const char *const[]){"simpling stand set 'Withy Gill' dandelion --plants 400",
                                      "simpling stand set 'Withy Gill' lemon-balm --grown", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_stand_record_shape,
    .run = run_set,
};

const struct spl_command spl_command_stand_mark = {
    .words = "stand mark",
    .summary = "Note that a plant was found in leaf or flower, for its root later",
    .inputs = &spl_stand_mark_inputs,
    .at = "site plant",
    .examples =
        (const char *const[]){"simpling stand mark 'Withy Gill' dandelion --seen flower", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_stand_record_shape,
    .run = run_mark,
};

const struct spl_command spl_command_stand_rest = {
    .words = "stand rest",
    .summary = "Let a stand rest until a season",
    .inputs = &spl_stand_rest_inputs,
    .at = "site plant",
    .examples = (const char *const[]){"simpling stand rest 'Withy Gill' dandelion --until 2029",
                                      "simpling stand rest 'Withy Gill' dandelion --end", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_stand_record_shape,
    .run = run_rest,
};

const struct spl_command spl_command_stand_taken = {
    .words = "stand taken",
    .summary = "Others picked here: so much less is to spare in this season",
    .inputs = &spl_stand_taken_inputs,
    .at = "site plant",
    .examples =
        (const char *const[]){"simpling stand taken 'Withy Gill' dandelion --share 40%", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_stand_record_shape,
    .run = run_taken,
};

const struct spl_command spl_command_stand_list = {
    .words = "stand list",
    .summary = "What the stands bear, what may be taken, what was taken",
    .inputs = &spl_stand_question_inputs,
    .examples = (const char *const[]){"simpling stand list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_stand_line_shape,
    .array = TRUE,
    .run = run_list,
};
