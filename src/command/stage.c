/* SPDX-License-Identifier: MIT
 *
 * simpling stage …: growth stages seen.
 */
#include "command/rows.h"
#include "simpling/site.h"
#include "simpling/window.h"

static int run_note(struct spl_call *call, GError **error)
{
    g_autoptr(GPtrArray) cautions = g_ptr_array_new_with_free_func(g_free);
    g_autofree char *doubt = NULL;
    struct spl_stage_record note;
    struct spl_day on;

    if (!spl_call_day(call, "on", spl_house_today(call->house), &on, error) ||
        !spl_stage_note_add(call->house, call->places[0], call->places[1], call->places[2], on,
                            spl_call_get(call, "by"), spl_call_get(call, "remark"), &note, error))
        return -1;
    spl_call_print(call, &note);
    /* The note stands whatever this finds. */
    doubt = spl_stage_doubt(call->house, note.site, note.material, note.stage, note.on, NULL);
    if (doubt != NULL) {
        g_ptr_array_add(cautions, g_steal_pointer(&doubt));
        spl_call_caution(call, cautions);
    }
    spl_record_clear(&spl_stage_record_shape, &note);
    return 0;
}

static int run_list(struct spl_call *call, GError **error)
{
    GArray *list = spl_stage_notes(call->house, spl_call_get(call, "site"),
                                   spl_call_get(call, "material"), error);

    if (list == NULL)
        return -1;
    spl_call_print_list(call, list, "no stages noted yet");
    spl_list_free(&spl_stage_record_shape, list);
    return 0;
}

const struct spl_command spl_command_stage_note = {
    .words = "stage note",
    .summary = "Note the growth stage seen at a place",
    .places = "SITE MATERIAL STAGE",
    .min_places = 3,
    .max_places = 3,
    .options =
        (const struct spl_option[]){
            {"on", SPL_OPTION_ONE, "DATE", "the day it was seen (default today)"},
            {"by", SPL_OPTION_ONE, "WHO", "who saw it"},
            {"remark", SPL_OPTION_ONE, "TEXT", "anything to remember"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .about = "STAGE is a word (rosette, in bud, first flowers, full flower, going over, in seed, "
             "ripe, died\nback …) or a BBCH code from 00 to 99.",
    .examples =
        (const char *const[]){
            "simpling stage note 'Withy Gill' dandelion/flower 'first flowers' --on 2027-04-20",
            NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_stage_record_shape,
    .run = run_note,
};

const struct spl_command spl_command_stage_list = {
    .words = "stage list",
    .summary = "Growth stages seen, latest first",
    .places = "",
    .options =
        (const struct spl_option[]){
            {"site", SPL_OPTION_ONE, "SITE", "at one place"},
            {"material", SPL_OPTION_ONE, "MATERIAL", "of one material"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .examples = (const char *const[]){"simpling stage list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_stage_record_shape,
    .array = TRUE,
    .run = run_list,
};
