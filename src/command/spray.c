/* SPDX-License-Identifier: MIT
 *
 * simpling spray note: what somebody said or saw about a place's spraying.
 */
#include <string.h>

#include "command/rows.h"
#include "simpling/site.h"

static int run(struct spl_call *call, GError **error)
{
    struct spl_spray_words words = {
        .kind = spl_call_demand(call, "kind", error),
        .method = spl_call_get(call, "method"),
        .product = spl_call_get(call, "product"),
    };
    struct spl_spray_record note;
    GPtrArray *touched;
    struct spl_day otherwise = spl_house_today(call->house);

    if (words.kind == NULL || (words.source = spl_call_demand(call, "source", error)) == NULL)
        return -1;
    /* A spraying without a day is one at an unknown time; a word is of the day it was given. */
    if (strcmp(words.kind, "unsprayed") != 0)
        otherwise = SPL_DAY_NONE;
    if (strcmp(words.kind, "planned") == 0 && spl_call_demand(call, "on", error) == NULL)
        return -1;
    if (!spl_call_day(call, "on", otherwise, &words.on, error) ||
        !spl_call_day(call, "since", SPL_DAY_NONE, &words.since, error) ||
        !spl_call_day(call, "until", SPL_DAY_NONE, &words.until, error) ||
        !spl_spray_note_add(call->house, call->places[0], &words, &note, &touched, error))
        return -1;
    spl_call_print(call, &note);
    spl_call_touched("picked there since", touched);
    g_ptr_array_unref(touched);
    spl_record_clear(&spl_spray_record_shape, &note);
    return 0;
}

const struct spl_command spl_command_spray_note = {
    .words = "spray note",
    .summary = "Note what was said or seen about spraying at a place",
    .places = "SITE",
    .min_places = 1,
    .max_places = 1,
    .options =
        (const struct spl_option[]){
            {"kind", SPL_OPTION_ONE, "KIND", "unsprayed, sprayed or planned (needed)"},
            {"source", SPL_OPTION_ONE, "TEXT", "who said it, or what was seen (needed)"},
            {"on", SPL_OPTION_ONE, "DATE",
             "the day of the word (default today) or of the spraying (default: not known)"},
            {"since", SPL_OPTION_ONE, "DATE", "unsprayed: since when it holds"},
            {"until", SPL_OPTION_ONE, "DATE",
             "unsprayed: the last day on which it may be relied on"},
            {"method", SPL_OPTION_ONE, "METHOD", "how: a row of data/hazards.csv"},
            {"product", SPL_OPTION_ONE, "NAME", "what was sprayed"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .about = "An 'unsprayed' word grows old: 60 days from March to October, 180 otherwise, 365 on "
             "ground of\nyour own. It must reach back three years to clear a place.",
    .examples = (const char *const[]){"simpling spray note 'Withy Gill' --kind unsprayed --source "
                                      "'the tenant, at the gate' --since 2020-01-01",
                                      NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_spray_record_shape,
    .run = run,
};
