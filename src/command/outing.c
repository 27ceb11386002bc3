/* SPDX-License-Identifier: MIT
 *
 * simpling outing …: one kept outing moved, kept as it is, given other amounts, dropped.
 */
#include "simpling/outing.h"

#include "command/outings.h"
#include "command/rows.h"

/* Prints the outing, and what to do so that the rest follows. */
static int tell(struct spl_call *call, struct spl_plan_outing *outing, GPtrArray *cautions)
{
    if (call->json)
        spl_call_print(call, outing);
    else
        spl_call_print_outing(call, outing);
    spl_call_caution(call, cautions);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_plan_outing_shape, outing);
    if (!call->json)
        fprintf(call->out, "The rest of the plan stands as it was; 'plan outings --keep' plans it "
                           "anew around what is kept.\n");
    return 0;
}

static int run_move(struct spl_call *call, GError **error)
{
    struct spl_plan_outing outing;
    GPtrArray *cautions;

    if (!spl_outing_move(call->house, call->said, &outing, &cautions, error))
        return -1;
    return tell(call, &outing, cautions);
}

static int run_pin(struct spl_call *call, GError **error)
{
    struct spl_plan_outing outing;
    GPtrArray *cautions;

    if (!spl_outing_pin(call->house, call->said, &outing, &cautions, error))
        return -1;
    return tell(call, &outing, cautions);
}

static int run_take(struct spl_call *call, GError **error)
{
    struct spl_plan_outing outing;
    GPtrArray *cautions;

    if (!spl_outing_take(call->house, call->said, &outing, &cautions, error))
        return -1;
    return tell(call, &outing, cautions);
}

static int run_drop(struct spl_call *call, GError **error)
{
    struct spl_plan_outing outing;
    GPtrArray *cautions;

    if (!spl_outing_drop(call->house, call->said, &outing, &cautions, error))
        return -1;
    return tell(call, &outing, cautions);
}

const struct spl_command spl_command_outing_move = {
    .words = "outing move",
    .summary = "Move a kept outing to its reserve day or another",
    .inputs = &spl_outing_move_inputs,
    .at = "day",
    .about = "It then stays on that day, with what it takes, when the rest is planned anew.",
    .examples =
        (const char *const[]){"simpling outing move 2027-07-03 --to 2027-07-06",
                              "simpling outing move 2027-07-06 --to 2027-07-07 --why 'rained off'",
                              NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_plan_outing_shape,
    .run = run_move,
};

const struct spl_command spl_command_outing_pin = {
    .words = "outing pin",
    .summary = "Keep an outing as it is when the rest is planned anew",
    .inputs = &spl_outing_pin_inputs,
    .at = "day",
    .examples = (const char *const[]){"simpling outing pin 2027-07-03",
                                      "simpling outing pin 2027-07-03 --loose", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_plan_outing_shape,
    .run = run_pin,
};

const struct spl_command spl_command_outing_take = {
    .words = "outing take",
    .summary = "Set how much a kept outing takes at one of its places",
    .inputs = &spl_outing_take_inputs,
    .at = "day site material",
    .examples = (const char *const[]){"simpling outing take 2027-07-03 'Scarth Wood' lime/flower "
                                      "--weight 400g",
                                      NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_plan_outing_shape,
    .run = run_take,
};

const struct spl_command spl_command_outing_drop = {
    .words = "outing drop",
    .summary = "Take a kept outing out of the plan",
    .inputs = &spl_outing_drop_inputs,
    .at = "day",
    .about =
        "Planned anew, the season may go on that day again; 'plan outings --off DAY' keeps the "
        "day\nfree.",
    .examples =
        (const char *const[]){"simpling outing drop 2027-07-03 --why 'the car is away'", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_plan_outing_shape,
    .run = run_drop,
};
