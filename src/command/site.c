/* SPDX-License-Identifier: MIT
 *
 * simpling site …: the places, and who allowed or refused gathering there.
 */
#include "simpling/site.h"

#include <math.h>

#include "command/rows.h"
#include "simpling/check.h"

/* Takes `caution` over; NULL: there is none. */
static void take_caution(struct spl_call *call, char *caution)
{
    g_autoptr(GPtrArray) cautions = g_ptr_array_new_with_free_func(g_free);

    if (caution != NULL)
        g_ptr_array_add(cautions, caution);
    spl_call_caution(call, cautions);
}

static int run_add(struct spl_call *call, GError **error)
{
    const struct spl_site_words *words = call->said;
    struct spl_check_question question = {.on = SPL_DAY_NONE, .near_m = NAN};
    struct spl_check check;
    struct spl_site site;
    char *caution;

    if (!spl_site_new(call->house, words, &site, &caution, error))
        return -1;
    take_caution(call, caution);
    spl_call_print(call, &site);
    if (!call->json) {
        question.site = site.name;
        /* The place stands whatever this finds. */
        if (spl_check_site(call->house, &question, &check, NULL)) {
            spl_call_tell_next(call, check.reasons);
            spl_record_clear(&spl_check_shape, &check);
        }
    }
    spl_record_clear(&spl_site_shape, &site);
    return 0;
}

static int run_edit(struct spl_call *call, GError **error)
{
    struct spl_site site;
    GPtrArray *touched;
    char *caution;

    if (!spl_site_change(call->house, call->said, &site, &touched, &caution, error))
        return -1;
    take_caution(call, caution);
    spl_call_touched("picked there", touched);
    g_ptr_array_unref(touched);
    return spl_call_tell(call, &site, NULL);
}

static int run_permit(struct spl_call *call, GError **error)
{
    struct spl_permission_note note;

    if (!spl_site_permit(call->house, call->said, &note, error))
        return -1;
    return spl_call_tell(call, &note, NULL);
}

static gboolean stream_line(const struct spl_site_line *line, gpointer data, GError **error)
{
    return spl_call_stream_item(data, line, error);
}

static int run_list(struct spl_call *call, GError **error)
{
    struct spl_call_stream stream;

    spl_call_stream_begin(&stream, call);
    if (!spl_site_lines(call->house, call->said, stream_line, &stream, error))
        return -1;
    return spl_call_stream_end(&stream, "no sites yet; add one with 'site add NAME --at LAT,LON'");
}

static int run_show(struct spl_call *call, GError **error)
{
    const struct spl_site_pick *pick = call->said;
    struct spl_site_sheet sheet;

    if (!spl_site_sheet(call->house, pick->site, &sheet, error))
        return -1;
    if (call->json) {
        spl_call_print(call, &sheet);
    } else {
        spl_record_write_lines(&spl_site_shape, sheet.site, call->width, call->out);
        spl_record_write_lines(&spl_site_sheet_shape, &sheet, call->width, call->out);
    }
    spl_record_clear(&spl_site_sheet_shape, &sheet);
    return 0;
}

const struct spl_command spl_command_site_add = {
    .words = "site add",
    .summary = "Add a place to gather",
    .inputs = &spl_site_inputs,
    .at = "name",
    .examples =
        (const char *const[]){
            "simpling site add 'Brant Fell' --at 54.6155,-2.6420 --elevation 210 --accuracy 10",
            NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_site_shape,
    .run = run_add,
};

const struct spl_command spl_command_site_edit = {
    .words = "site edit",
    .summary = "Change what is known of a place; the old values stay in the book",
    .inputs = &spl_site_edit_inputs,
    .at = "site",
    .examples = (const char *const[]){"simpling site edit 'Withy Gill' --elevation 220 --why "
                                      "'read off the map again'",
                                      NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_site_shape,
    .run = run_edit,
};

const struct spl_command spl_command_site_permit = {
    .words = "site permit",
    .summary = "Note who allowed or refused gathering at a place",
    .inputs = &spl_permission_inputs,
    .at = "site",
    .about =
        "Leave for teaching alone keeps the place closed for what is gathered for stock; what a "
        "group takes home there is noted with 'stand taken'.",
    .examples = (const char *const[]){"simpling site permit 'Withy Gill' --given --by 'the tenant "
                                      "of Low Croft' --parts leaf,flower --until 2027-12-31",
                                      NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_permission_note_shape,
    .run = run_permit,
};

const struct spl_command spl_command_site_list = {
    .words = "site list",
    .summary = "All places with today's verdict",
    .inputs = &spl_site_question_inputs,
    .examples = (const char *const[]){"simpling site list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_site_line_shape,
    .array = TRUE,
    .run = run_list,
};

const struct spl_command spl_command_site_show = {
    .words = "site show",
    .summary = "Everything about one place",
    .inputs = &spl_site_pick_inputs,
    .at = "site",
    .examples = (const char *const[]){"simpling site show 'Withy Gill'", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_site_sheet_shape,
    .run = run_show,
};
