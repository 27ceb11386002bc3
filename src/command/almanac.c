/* SPDX-License-Identifier: MIT
 *
 * simpling almanac …: calendars of usual gathering times.
 */
#include "simpling/almanac.h"
#include "command/rows.h"

static int run_add(struct spl_call *call, GError **error)
{
    struct spl_almanac_added added;

    if (!spl_almanac_add(call->house, call->places[0], &added, error))
        return -1;
    spl_call_print(call, &added);
    spl_record_clear(&spl_almanac_added_shape, &added);
    return 0;
}

static int run_list(struct spl_call *call, GError **error)
{
    GArray *list = spl_almanac_list(call->house, spl_call_get(call, "almanac"), error);

    if (list == NULL)
        return -1;
    spl_call_print_list(call, list, "no almanacs; add one with 'almanac add FILE.ics'");
    spl_list_free(&spl_almanac_row_shape, list);
    return 0;
}

const struct spl_command spl_command_almanac_add = {
    .words = "almanac add",
    .summary = "Take a calendar of gathering times into the book",
    .places = "FILE.ics",
    .min_places = 1,
    .max_places = 1,
    .about = "Any calendar application's file works: an event titled like a known material "
             "('Nettle leaf') is a\nwindow of every year. What is not understood is listed. "
             "Reading a calendar again replaces what it held.\nYour own rows win over those that "
             "come with the program.",
    .examples = (const char *const[]){"simpling almanac add our-dale.ics", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_almanac_added_shape,
    .run = run_add,
};

const struct spl_command spl_command_almanac_list = {
    .words = "almanac list",
    .summary = "Usual gathering times, your own almanacs first",
    .places = "",
    .options =
        (const struct spl_option[]){
            {"almanac", SPL_OPTION_ONE, "NAME", "of one almanac"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .examples = (const char *const[]){"simpling almanac list --almanac Britain", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_almanac_row_shape,
    .array = TRUE,
    .run = run_list,
};
