/* SPDX-License-Identifier: MIT
 *
 * simpling stand …: what the sites bear.
 */
#include "simpling/stand.h"
#include "command/rows.h"

static int print_record(struct spl_call *call, struct spl_stand_record *record)
{
    spl_call_print(call, record);
    spl_record_clear(&spl_stand_record_shape, record);
    return 0;
}

static gboolean words_of(struct spl_call *call, struct spl_stand_words *words, GError **error)
{
    *words = (struct spl_stand_words){
        .site = call->places[0],
        .plant = call->places[1],
        .by = spl_call_get(call, "by"),
        .remark = spl_call_get(call, "remark"),
    };
    return spl_call_day(call, "on", spl_house_today(call->house), &words->on, error);
}

static int run_set(struct spl_call *call, GError **error)
{
    struct spl_stand_words words;
    struct spl_stand_record record;

    if (!words_of(call, &words, error))
        return -1;
    words.plants = spl_call_get(call, "plants");
    words.area = spl_call_get(call, "area");
    words.cover = spl_call_get(call, "cover");
    words.grams = spl_call_get(call, "grams");
    words.part = spl_call_get(call, "part");
    words.share = spl_call_get(call, "share");
    if (!spl_stand_set(call->house, &words, &record, error))
        return -1;
    return print_record(call, &record);
}

static int run_mark(struct spl_call *call, GError **error)
{
    struct spl_stand_words words;
    struct spl_stand_record record;

    if (!words_of(call, &words, error))
        return -1;
    words.seen = spl_call_demand(call, "seen", error);
    words.growth_year = spl_call_get(call, "growth-year");
    if (words.seen == NULL || !spl_stand_mark(call->house, &words, &record, error))
        return -1;
    return print_record(call, &record);
}

static int run_rest(struct spl_call *call, GError **error)
{
    struct spl_stand_words words;
    struct spl_stand_record record;

    if (!words_of(call, &words, error))
        return -1;
    if (spl_call_has(call, "until") == spl_call_has(call, "end")) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "stand rest: say one of --until YEAR and --end");
        return -1;
    }
    words.until = spl_call_has(call, "end") ? "" : spl_call_get(call, "until");
    if (!spl_stand_rest(call->house, &words, &record, error))
        return -1;
    return print_record(call, &record);
}

static int run_list(struct spl_call *call, GError **error)
{
    GArray *list;
    int season;

    if (!spl_call_count(call, "year", 1900, 9999, 0, &season, error))
        return -1;
    list = spl_stand_lines(call->house, spl_call_get(call, "site"), season, error);
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

#define NOTE_OPTIONS                                                                               \
    {"on", SPL_OPTION_ONE, "DATE", "the day it was seen (default today)"},                         \
        {"by", SPL_OPTION_ONE, "WHO", "who saw it"},                                               \
    {                                                                                              \
        "remark", SPL_OPTION_ONE, "TEXT", "anything to remember"                                   \
    }

const struct spl_command spl_command_stand_set = {
    .words = "stand set",
    .summary = "Say what a place bears of a plant",
    .places = "SITE PLANT",
    .min_places = 2,
    .max_places = 2,
    .options =
        (const struct spl_option[]){
            {"plants", SPL_OPTION_ONE, "N", "counted plants"},
            {"area", SPL_OPTION_ONE, "40m2", "paced area, with --cover"},
            {"cover", SPL_OPTION_ONE, "30%", "how much of it the plant covers"},
            {"grams", SPL_OPTION_ONE, "G", "fresh grams that it bears, with --part"},
            {"part", SPL_OPTION_ONE, "PART", "of which part the grams are"},
            {"share", SPL_OPTION_ONE, "5%", "your own share that may be taken here"},
            NOTE_OPTIONS,
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .about =
        "The parts of one plant share one allowance: flowers taken are berries lost, and a dug "
        "root ends\nthe plant. Nothing is taken from fewer than 20 plants; under 100 the stand "
        "is cautioned.",
    .examples =
        (const char *const[]){"simpling stand set 'Withy Gill' dandelion --plants 400", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_stand_record_shape,
    .run = run_set,
};

const struct spl_command spl_command_stand_mark = {
    .words = "stand mark",
    .summary = "Note that a plant was found in leaf or flower, for its root later",
    .places = "SITE PLANT",
    .min_places = 2,
    .max_places = 2,
    .options =
        (const struct spl_option[]){
            {"seen", SPL_OPTION_ONE, "leaf|flower", "by what it was known (needed)"},
            {"growth-year", SPL_OPTION_ONE, "1|2", "of a biennial: rosette (1) or stalk (2)"},
            NOTE_OPTIONS,
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .examples =
        (const char *const[]){"simpling stand mark 'Withy Gill' dandelion --seen flower", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_stand_record_shape,
    .run = run_mark,
};

const struct spl_command spl_command_stand_rest = {
    .words = "stand rest",
    .summary = "Let a stand rest until a season",
    .places = "SITE PLANT",
    .min_places = 2,
    .max_places = 2,
    .options =
        (const struct spl_option[]){
            {"until", SPL_OPTION_ONE, "YEAR", "the first season in which it may be picked again"},
            {"end", SPL_OPTION_FLAG, NULL, "the rest is over"},
            NOTE_OPTIONS,
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .examples = (const char *const[]){"simpling stand rest 'Withy Gill' dandelion --until 2029",
                                      "simpling stand rest 'Withy Gill' dandelion --end", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_stand_record_shape,
    .run = run_rest,
};

const struct spl_command spl_command_stand_list = {
    .words = "stand list",
    .summary = "What the stands bear, what may be taken, what was taken",
    .places = "",
    .options =
        (const struct spl_option[]){
            {"site", SPL_OPTION_ONE, "SITE", "of one place"},
            {"year", SPL_OPTION_ONE, "Y", "another season"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .examples = (const char *const[]){"simpling stand list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_stand_line_shape,
    .array = TRUE,
    .run = run_list,
};
