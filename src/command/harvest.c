/* SPDX-License-Identifier: MIT
 *
 * simpling harvest …: the log.
 */
#include <math.h>

#include "command/rows.h"
#include "simpling/harvest.h"

/* Several names as the log keeps them. */
static char *joined(const GPtrArray *names)
{
    GString *text = NULL;

    for (guint i = 0; i < names->len; i++) {
        if (text == NULL)
            text = g_string_new(NULL);
        g_string_append_printf(text, "%s%s", i > 0 ? ", " : "",
                               (char *)g_ptr_array_index(names, i));
    }
    return text != NULL ? g_string_free(text, FALSE) : NULL;
}

static int run_add(struct spl_call *call, GError **error)
{
    g_autofree char *by = joined(spl_call_all(call, "by"));
    struct spl_harvest_words words = {
        .site = call->places[0],
        .material = call->places[1],
        .by = by,
        .named_by = spl_call_get(call, "named-by"),
        .signs = spl_call_get(call, "signs"),
        .weather = spl_call_get(call, "weather"),
        .remark = spl_call_get(call, "remark"),
        .hold = spl_call_get(call, "hold"),
    };
    struct spl_harvest harvest;
    GPtrArray *cautions;

    if (spl_call_demand(call, "weight", error) == NULL ||
        (words.stage = spl_call_demand(call, "stage", error)) == NULL ||
        !spl_call_mass(call, "weight", NAN, &words.weight_g, error) ||
        !spl_call_mass(call, "garbled", NAN, &words.garbled_g, error) ||
        !spl_call_day(call, "on", spl_house_today(call->house), &words.on, error) ||
        !spl_harvest_log(call->house, &words, &harvest, &cautions, error))
        return -1;
    spl_call_print(call, &harvest);
    spl_call_caution(call, cautions);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_harvest_shape, &harvest);
    return 0;
}

static gboolean stream_entry(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    return spl_call_stream_item(data, harvest, error);
}

static int run_list(struct spl_call *call, GError **error)
{
    struct spl_harvest_question question = {
        .site = spl_call_get(call, "site"),
        .material = spl_call_get(call, "material"),
        .all = spl_call_has(call, "all"),
    };
    struct spl_call_stream stream;

    if (!spl_call_day(call, "from", SPL_DAY_NONE, &question.from, error) ||
        !spl_call_day(call, "to", SPL_DAY_NONE, &question.to, error))
        return -1;
    spl_call_stream_begin(&stream, call);
    if (!spl_harvest_entries(call->house, &question, stream_entry, &stream, error))
        return -1;
    return spl_call_stream_end(&stream, "no harvests yet");
}

static int run_show(struct spl_call *call, GError **error)
{
    struct spl_harvest harvest;

    if (!spl_harvest_show(call->house, call->places[0], &harvest, error))
        return -1;
    spl_call_print(call, &harvest);
    spl_record_clear(&spl_harvest_shape, &harvest);
    return 0;
}

static int run_release(struct spl_call *call, GError **error)
{
    const char *evidence = spl_call_demand(call, "evidence", error);
    struct spl_harvest harvest;
    struct spl_day on;

    if (evidence == NULL || !spl_call_day(call, "on", spl_house_today(call->house), &on, error) ||
        !spl_harvest_let_out(call->house, call->places[0], evidence, spl_call_get(call, "by"), on,
                             &harvest, error))
        return -1;
    spl_call_print(call, &harvest);
    spl_record_clear(&spl_harvest_shape, &harvest);
    return 0;
}

const struct spl_command spl_command_harvest_add = {
    .words = "harvest add",
    .summary = "Log what was taken, with the verdict of that day",
    .places = "SITE MATERIAL",
    .min_places = 2,
    .max_places = 2,
    .options =
        (const struct spl_option[]){
            {"weight", SPL_OPTION_ONE, "G", "as it came home: 420g (needed)"},
            {"garbled", SPL_OPTION_ONE, "G", "after cleaning: 380g"},
            {"stage", SPL_OPTION_ONE, "STAGE", "growth stage, in words or as a BBCH code (needed)"},
            {"on", SPL_OPTION_ONE, "DATE", "the day (default today)"},
            {"by", SPL_OPTION_MANY, "WHO", "who picked (default: the setting 'who')"},
            {"named-by", SPL_OPTION_ONE, "WHO", "who named the plant"},
            {"signs", SPL_OPTION_ONE, "TEXT", "by which signs"},
            {"weather", SPL_OPTION_ONE, "TEXT", "dry, after two days without rain …"},
            {"remark", SPL_OPTION_ONE, "TEXT", "anything to remember"},
            {"hold", SPL_OPTION_ONE, "WHY",
             "keep it although the ground is closed; no batch may draw on it until released"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .about = "Closed ground is refused (exit status 4) unless --hold says why it is kept. From "
             "ground to ask about\nthe harvest is held until 'harvest release' answers the "
             "question. Where a plant has a deadly\nlook-alike, note who named it and by which "
             "signs.",
    .examples =
        (const char *const[]){
            "simpling harvest add 'Withy Gill' nettle/leaf --weight 420g --garbled 380g --stage 35 "
            "--by Edda --weather 'dry, after two days without rain'",
            "simpling harvest add 'Kell Moss' nettle/leaf --weight 200g --stage 35 --hold 'the "
            "grazier is away until Monday'",
            NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_harvest_shape,
    .run = run_add,
};

const struct spl_command spl_command_harvest_list = {
    .words = "harvest list",
    .summary = "The log",
    .places = "",
    .options =
        (const struct spl_option[]){
            {"site", SPL_OPTION_ONE, "SITE", "from one place"},
            {"material", SPL_OPTION_ONE, "MATERIAL", "of one material"},
            {"from", SPL_OPTION_ONE, "DATE", "first day"},
            {"to", SPL_OPTION_ONE, "DATE", "last day"},
            {"all", SPL_OPTION_FLAG, NULL, "struck ones too"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .examples = (const char *const[]){"simpling harvest list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_harvest_shape,
    .array = TRUE,
    .run = run_list,
};

const struct spl_command spl_command_harvest_show = {
    .words = "harvest show",
    .summary = "One entry of the log, with what was made of it",
    .places = "CODE",
    .min_places = 1,
    .max_places = 1,
    .examples = (const char *const[]){"simpling harvest show H27-001", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_harvest_shape,
    .run = run_show,
};

const struct spl_command spl_command_harvest_release = {
    .words = "harvest release",
    .summary = "Let a held harvest out, with the evidence that answers the question",
    .places = "CODE",
    .min_places = 1,
    .max_places = 1,
    .options =
        (const struct spl_option[]){
            {"evidence", SPL_OPTION_ONE, "TEXT", "who said what, or which test showed it (needed)"},
            {"by", SPL_OPTION_ONE, "WHO", "who decided (default: the setting 'who')"},
            {"on", SPL_OPTION_ONE, "DATE", "the day (default today)"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .examples = (const char *const[]){"simpling harvest release H27-002 --evidence \"the grazier "
                                      "said on 1 June: never sprayed\" --by Edda",
                                      NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_harvest_shape,
    .run = run_release,
};
