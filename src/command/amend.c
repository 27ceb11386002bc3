/* SPDX-License-Identifier: MIT
 *
 * simpling amend, strike: correct or take back a record; the old values stay.
 */
#include "command/rows.h"
#include "simpling/harvest.h"

static int run_amend(struct spl_call *call, GError **error)
{
    g_autoptr(GPtrArray) values = g_ptr_array_new();
    const char *why = spl_call_demand(call, "why", error);
    GArray *corrections;

    if (why == NULL)
        return -1;
    /* Every option of this command but why and who names a field of some record. */
    for (const struct spl_option *option = call->command->options; option->name != NULL; option++) {
        if (g_str_equal(option->name, "why") || g_str_equal(option->name, "amended-by") ||
            !spl_call_has(call, option->name))
            continue;
        g_ptr_array_add(values, (gpointer)option->name);
        g_ptr_array_add(values, (gpointer)spl_call_get(call, option->name));
    }
    g_ptr_array_add(values, NULL);
    corrections = spl_record_amend(call->house, call->places[0], (const char *const *)values->pdata,
                                   why, spl_call_get(call, "amended-by"), error);
    if (corrections == NULL)
        return -1;
    spl_call_print_list(call, corrections, "nothing was changed");
    spl_list_free(&spl_correction_shape, corrections);
    return 0;
}

static int run_strike(struct spl_call *call, GError **error)
{
    const char *why = spl_call_demand(call, "why", error);
    struct spl_correction correction;

    if (why == NULL || !spl_record_strike(call->house, call->places[0], why,
                                          spl_call_get(call, "by"), &correction, error))
        return -1;
    spl_call_print(call, &correction);
    spl_record_clear(&spl_correction_shape, &correction);
    return 0;
}

const struct spl_command spl_command_amend = {
    .words = "amend",
    .summary = "Correct a record; the old values stay in the book",
    .places = "CODE",
    .min_places = 1,
    .max_places = 1,
    .options =
        (const struct spl_option[]){
            {"why", SPL_OPTION_ONE, "TEXT", "the reason (needed)"},
            {"amended-by", SPL_OPTION_ONE, "WHO", "who corrects (default: the setting 'who')"},
            {"weight", SPL_OPTION_ONE, "G", "harvest: the weight"},
            {"garbled", SPL_OPTION_ONE, "G", "harvest: the weight after cleaning"},
            {"stage", SPL_OPTION_ONE, "STAGE", "harvest, stage note: the growth stage"},
            {"on", SPL_OPTION_ONE, "DATE", "the day; the code stays"},
            {"by", SPL_OPTION_ONE, "WHO", "who picked or saw it"},
            {"named-by", SPL_OPTION_ONE, "WHO", "harvest: who named the plant"},
            {"signs", SPL_OPTION_ONE, "TEXT", "harvest: by which signs"},
            {"weather", SPL_OPTION_ONE, "TEXT", "harvest: the weather"},
            {"remark", SPL_OPTION_ONE, "TEXT", "the remark"},
            {"since", SPL_OPTION_ONE, "DATE", "spray note: since when it holds"},
            {"until", SPL_OPTION_ONE, "DATE", "spray note: until when it holds"},
            {"source", SPL_OPTION_ONE, "TEXT", "spray note: who said it"},
            {"method", SPL_OPTION_ONE, "METHOD", "spray note: how"},
            {"product", SPL_OPTION_ONE, "NAME", "spray note: what was sprayed"},
            {"supplier", SPL_OPTION_ONE, "NAME", "purchase: who it is from"},
            {"number", SPL_OPTION_ONE, "TEXT", "purchase: their batch number"},
            {"use-by", SPL_OPTION_ONE, "DATE", "lot: use by"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
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
    .places = "CODE",
    .min_places = 1,
    .max_places = 1,
    .options =
        (const struct spl_option[]){
            {"why", SPL_OPTION_ONE, "TEXT", "the reason (needed)"},
            {"by", SPL_OPTION_ONE, "WHO", "who (default: the setting 'who')"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .examples = (const char *const[]){"simpling strike H27-003 --why \"logged twice\"", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_correction_shape,
    .run = run_strike,
};
