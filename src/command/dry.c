/* SPDX-License-Identifier: MIT
 *
 * simpling dry …: from the basket onto the rack and down again.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "command/rows.h"
#include "simpling/drying.h"

/* "H27-001" or "H27-001:400g" (a mark may stand before it: "ANN:H27-001:400g"). `code` is to be
 * freed. */
gboolean spl_call_pick(const char *text, const char *what, char **code, double *grams,
                       GError **error)
{
    const char *colon = strrchr(text, ':');

    *grams = NAN;
    /* What follows the last colon is an amount when it begins with a digit; else it is a code. */
    if (colon == NULL || !g_ascii_isdigit(colon[1])) {
        *code = g_strdup(text);
        return TRUE;
    }
    if (!spl_mass_parse(colon + 1, what, grams, error))
        return FALSE;
    *code = g_strndup(text, (gsize)(colon - text));
    return TRUE;
}

static gboolean take_picks(struct spl_call *call, GArray *picks, GPtrArray *codes, GError **error)
{
    const GPtrArray *texts = spl_call_all(call, "from");

    for (guint i = 0; i < texts->len; i++) {
        struct spl_pick_words pick;
        char *code;

        if (!spl_call_pick(g_ptr_array_index(texts, i), "--from", &code, &pick.grams, error))
            return FALSE;
        pick.code = code;
        g_ptr_array_add(codes, code);
        g_array_append_val(picks, pick);
    }
    return TRUE;
}

static int print_drying(struct spl_call *call, struct spl_drying *drying, GPtrArray *cautions)
{
    spl_call_print(call, drying);
    if (cautions != NULL) {
        spl_call_caution(call, cautions);
        g_ptr_array_unref(cautions);
    }
    spl_record_clear(&spl_drying_shape, drying);
    return 0;
}

static int run_start(struct spl_call *call, GError **error)
{
    g_autoptr(GArray) picks = g_array_new(FALSE, FALSE, sizeof(struct spl_pick_words));
    g_autoptr(GPtrArray) codes = g_ptr_array_new_with_free_func(g_free);
    struct spl_drying_words words = {
        .by = spl_call_get(call, "by"), .remark = spl_call_get(call, "remark"), .rack_m2 = NAN};
    const char *rack = spl_call_get(call, "rack");
    struct spl_drying drying;
    GPtrArray *cautions;

    if (!take_picks(call, picks, codes, error) ||
        (rack != NULL && !spl_area_parse(rack, "--rack", &words.rack_m2, error)) ||
        !spl_call_day(call, "on", spl_house_today(call->house), &words.on, error))
        return -1;
    words.picks = (const struct spl_pick_words *)(const void *)picks->data;
    words.n_picks = picks->len;
    if (!spl_drying_begin(call->house, &words, &drying, &cautions, error))
        return -1;
    return print_drying(call, &drying, cautions);
}

static int run_turn(struct spl_call *call, GError **error)
{
    struct spl_drying drying;
    struct spl_day on;

    if (!spl_call_day(call, "on", spl_house_today(call->house), &on, error) ||
        !spl_drying_turn(call->house, call->places[0], on, spl_call_get(call, "by"), &drying,
                         error))
        return -1;
    return print_drying(call, &drying, NULL);
}

static int run_weigh(struct spl_call *call, GError **error)
{
    struct spl_drying drying;
    struct spl_day on;
    double weight_g;

    if (!spl_mass_parse(call->places[1], "WEIGHT", &weight_g, error) ||
        !spl_call_day(call, "on", spl_house_today(call->house), &on, error) ||
        !spl_drying_weigh(call->house, call->places[0], weight_g, on, spl_call_get(call, "by"),
                          &drying, error))
        return -1;
    return print_drying(call, &drying, NULL);
}

static int run_finish(struct spl_call *call, GError **error)
{
    struct spl_drying drying;
    struct spl_day on;
    double weight_g, garbled_g;
    GPtrArray *cautions;

    if (spl_call_demand(call, "weight", error) == NULL ||
        !spl_call_mass(call, "weight", NAN, &weight_g, error) ||
        !spl_call_mass(call, "garbled", NAN, &garbled_g, error) ||
        !spl_call_day(call, "on", spl_house_today(call->house), &on, error) ||
        !spl_drying_end(call->house, call->places[0], weight_g, garbled_g, on,
                        spl_call_get(call, "by"), &drying, &cautions, error))
        return -1;
    return print_drying(call, &drying, cautions);
}

static gboolean stream_entry(const struct spl_drying *drying, gpointer data, GError **error)
{
    return spl_call_stream_item(data, drying, error);
}

static int run_list(struct spl_call *call, GError **error)
{
    struct spl_call_stream stream;

    spl_call_stream_begin(&stream, call);
    if (!spl_drying_entries(call->house, spl_call_has(call, "open"), spl_call_has(call, "all"),
                            stream_entry, &stream, error))
        return -1;
    return spl_call_stream_end(&stream, "nothing on the racks");
}

static int run_show(struct spl_call *call, GError **error)
{
    struct spl_drying drying;

    if (!spl_drying_show(call->house, call->places[0], &drying, error))
        return -1;
    return print_drying(call, &drying, NULL);
}

const struct spl_command spl_command_dry_start = {
    .words = "dry start",
    .summary = "Put herb on the rack",
    .places = "",
    .options =
        (const struct spl_option[]){
            {"from", SPL_OPTION_MANY, "CODE[:G]", "harvest or purchase, all of it or so much"},
            {"rack", SPL_OPTION_ONE, "AREA", "rack that it takes: 0.5m2"},
            {"on", SPL_OPTION_ONE, "DATE", "the day (default today)"},
            {"by", SPL_OPTION_ONE, "WHO", "who put it up (default: the setting 'who')"},
            {"remark", SPL_OPTION_ONE, "TEXT", "anything to remember"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .about = "One material to a drying. The setting 'racks' says how much rack there is; what does "
             "not fit is refused.",
    .examples = (const char *const[]){"simpling dry start --from H27-003 --rack 0.5m2",
                                      "simpling dry start --from H27-001:40g", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_drying_shape,
    .run = run_start,
};

static const struct spl_option day_options[] = {
    {"on", SPL_OPTION_ONE, "DATE", "the day (default today)"},
    {"by", SPL_OPTION_ONE, "WHO", "who did it (default: the setting 'who')"},
    {NULL, SPL_OPTION_FLAG, NULL, NULL},
};

const struct spl_command spl_command_dry_turn = {
    .words = "dry turn",
    .summary = "Note that herb on the rack was turned",
    .places = "CODE",
    .min_places = 1,
    .max_places = 1,
    .options = day_options,
    .examples = (const char *const[]){"simpling dry start --from H27-003",
                                      "simpling dry turn D27-001", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_drying_shape,
    .run = run_turn,
};

const struct spl_command spl_command_dry_weigh = {
    .words = "dry weigh",
    .summary = "Weigh herb on the rack: wilted herb goes into a batch by this weight",
    .places = "CODE WEIGHT",
    .min_places = 2,
    .max_places = 2,
    .options = day_options,
    .examples = (const char *const[]){"simpling dry start --from H27-003",
                                      "simpling dry weigh D27-001 150g", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_drying_shape,
    .run = run_weigh,
};

const struct spl_command spl_command_dry_finish = {
    .words = "dry finish",
    .summary = "Take dried herb down, with its weight and what sorting left",
    .places = "CODE",
    .min_places = 1,
    .max_places = 1,
    .options =
        (const struct spl_option[]){
            {"weight", SPL_OPTION_ONE, "G", "as it came off the rack (needed)"},
            {"garbled", SPL_OPTION_ONE, "G", "after sorting"},
            {"on", SPL_OPTION_ONE, "DATE", "the day (default today)"},
            {"by", SPL_OPTION_ONE, "WHO", "who did it (default: the setting 'who')"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
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
    .places = "",
    .options =
        (const struct spl_option[]){
            {"open", SPL_OPTION_FLAG, NULL, "only what is still on the rack"},
            {"all", SPL_OPTION_FLAG, NULL, "struck ones too"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .examples = (const char *const[]){"simpling dry list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_drying_shape,
    .array = TRUE,
    .run = run_list,
};

const struct spl_command spl_command_dry_show = {
    .words = "dry show",
    .summary = "One drying, with its weighings and what was made of it",
    .places = "CODE",
    .min_places = 1,
    .max_places = 1,
    .examples = (const char *const[]){"simpling dry start --from H27-003",
                                      "simpling dry show D27-001", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_drying_shape,
    .run = run_show,
};
