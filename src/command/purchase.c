/* SPDX-License-Identifier: MIT
 *
 * simpling purchase …: herb bought in, given, or grown.
 */
#include <math.h>

#include "command/rows.h"
#include "simpling/purchase.h"

static int run_add(struct spl_call *call, GError **error)
{
    struct spl_purchase_words words = {
        .material = call->places[0],
        .supplier = spl_call_get(call, "supplier"),
        .number = spl_call_get(call, "number"),
        .dried = spl_call_has(call, "dry"),
        .garden = spl_call_has(call, "garden"),
        .named_by = spl_call_get(call, "named-by"),
        .signs = spl_call_get(call, "signs"),
        .remark = spl_call_get(call, "remark"),
    };
    struct spl_purchase purchase;
    GPtrArray *cautions;

    if (spl_call_demand(call, "weight", error) == NULL ||
        !spl_call_mass(call, "weight", NAN, &words.weight_g, error) ||
        !spl_call_day(call, "on", spl_house_today(call->house), &words.on, error) ||
        !spl_purchase_log(call->house, &words, &purchase, &cautions, error))
        return -1;
    spl_call_print(call, &purchase);
    spl_call_caution(call, cautions);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_purchase_shape, &purchase);
    return 0;
}

static gboolean stream_entry(const struct spl_purchase *purchase, gpointer data, GError **error)
{
    return spl_call_stream_item(data, purchase, error);
}

static int run_list(struct spl_call *call, GError **error)
{
    struct spl_call_stream stream;

    spl_call_stream_begin(&stream, call);
    if (!spl_purchase_entries(call->house, spl_call_has(call, "all"), stream_entry, &stream, error))
        return -1;
    return spl_call_stream_end(&stream, "nothing bought or grown yet");
}

static int run_show(struct spl_call *call, GError **error)
{
    struct spl_purchase purchase;

    if (!spl_purchase_show(call->house, call->places[0], &purchase, error))
        return -1;
    spl_call_print(call, &purchase);
    spl_record_clear(&spl_purchase_shape, &purchase);
    return 0;
}

const struct spl_command spl_command_purchase_add = {
    .words = "purchase add",
    .summary = "Log herb that was bought in, given, or grown in the garden",
    .places = "MATERIAL",
    .min_places = 1,
    .max_places = 1,
    .options =
        (const struct spl_option[]){
            {"weight", SPL_OPTION_ONE, "G", "its weight: 500g (needed)"},
            {"supplier", SPL_OPTION_ONE, "NAME", "who it is from"},
            {"number", SPL_OPTION_ONE, "TEXT", "the supplier's own batch number"},
            {"garden", SPL_OPTION_FLAG, NULL, "grown in one's own garden"},
            {"dry", SPL_OPTION_FLAG, NULL, "it came dried"},
            {"on", SPL_OPTION_ONE, "DATE", "the day (default today)"},
            {"named-by", SPL_OPTION_ONE, "WHO", "who named the plant"},
            {"signs", SPL_OPTION_ONE, "TEXT", "by which signs"},
            {"remark", SPL_OPTION_ONE, "TEXT", "anything to remember"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
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
    .places = "",
    .options =
        (const struct spl_option[]){
            {"all", SPL_OPTION_FLAG, NULL, "struck ones too"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .examples = (const char *const[]){"simpling purchase list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_purchase_shape,
    .array = TRUE,
    .run = run_list,
};

const struct spl_command spl_command_purchase_show = {
    .words = "purchase show",
    .summary = "One purchase, with what was made of it",
    .places = "CODE",
    .min_places = 1,
    .max_places = 1,
    .examples =
        (const char *const[]){"simpling purchase add calendula/flower --weight 300g --garden",
                              "simpling purchase show P27-001", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_purchase_shape,
    .run = run_show,
};
