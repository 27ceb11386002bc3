/* SPDX-License-Identifier: MIT
 *
 * simpling liquid …: the stock of what is poured, and the ledger of spirit.
 */
#include "simpling/liquid.h"
#include "command/rows.h"

static int run_add(struct spl_call *call, GError **error)
{
    struct spl_liquid_row row;
    GPtrArray *cautions;

    if (!spl_liquid_add(call->house, call->said, &row, &cautions, error))
        return -1;
    return spl_call_tell(call, &row, cautions);
}

static int run_use(struct spl_call *call, GError **error)
{
    struct spl_liquid_row row;
    GPtrArray *cautions;

    if (!spl_liquid_use(call->house, call->said, &row, &cautions, error))
        return -1;
    return spl_call_tell(call, &row, cautions);
}

static int run_list(struct spl_call *call, GError **error)
{
    struct spl_liquid_stock stock;

    if (!spl_liquid_stock(call->house, call->said, &stock, error))
        return -1;
    return spl_call_tell(call, &stock, NULL);
}

static int run_ledger(struct spl_call *call, GError **error)
{
    struct spl_liquid_ledger ledger;

    if (!spl_liquid_ledger(call->house, call->said, &ledger, error))
        return -1;
    return spl_call_tell(call, &ledger, NULL);
}

const struct spl_command spl_command_liquid_add = {
    .words = "liquid add",
    .summary = "Log what is poured as it comes in: spirit, vinegar, honey, oil, sugar, wax",
    .inputs = &spl_liquid_add_inputs,
    .at = "kind amount",
    .about = "Jars draw on it by the supplier and number that their liquid is said with "
             "(--menstruum \"spirit 60%, SUPPLIER, NUMBER\").",
    .examples = (const char *const[]){"simpling liquid add spirit 5L --strength 96% --supplier "
                                      "'Ash Beck Still' --number 240",
                                      NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_liquid_row_shape,
    .run = run_add,
};

const struct spl_command spl_command_liquid_use = {
    .words = "liquid use",
    .summary = "Note what went otherwise than into a jar: cleaning, spilt, missing at a count",
    .inputs = &spl_liquid_use_inputs,
    .at = "kind amount",
    .examples = (const char *const[]){"simpling liquid add spirit 5L --strength 96% --supplier "
                                      "'Ash Beck Still' --number 220",
                                      "simpling liquid use spirit 100mL --supplier 'Ash Beck "
                                      "Still' --number 220 --why cleaning",
                                      NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_liquid_row_shape,
    .run = run_use,
};

const struct spl_command spl_command_liquid_list = {
    .words = "liquid list",
    .summary = "What is left of what is poured, and what the plan still wants of it",
    .inputs = &spl_liquid_question_inputs,
    .examples = (const char *const[]){"simpling liquid list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_liquid_stock_shape,
    .run = run_list,
};

const struct spl_command spl_command_liquid_ledger = {
    .words = "liquid ledger",
    .summary = "Spirit in litres of pure alcohol: at first, in, out, at last",
    .inputs = &spl_liquid_period_inputs,
    .about = "Volumes are those at 20 degrees. What is to be kept, and for how long, is as your "
             "licence asks; local law goes before.",
    .examples =
        (const char *const[]){"simpling liquid ledger --from 2027-01-01 --to 2027-06-20", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_liquid_ledger_shape,
    .run = run_ledger,
};
