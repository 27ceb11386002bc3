/* SPDX-License-Identifier: MIT
 *
 * simpling site …: the places, and who allowed or refused gathering there.
 */
#include "simpling/site.h"
#include "command/rows.h"

#define SITE_OPTIONS                                                                               \
    {"at", SPL_OPTION_ONE, "LAT,LON", "where it is, WGS 84 (54.9712,-2.4610, d°m's\", geo:)"},     \
        {"elevation", SPL_OPTION_ONE, "M", "metres above the sea"},                                \
        {"accuracy", SPL_OPTION_ONE, "M",                                                          \
         "how far the position may be off, in metres; hazards come closer by it"},                 \
        {"area", SPL_OPTION_ONE, "FILE", "the ground's outline as WKT, POLYGON ((lon lat, …))"},   \
        {"remark", SPL_OPTION_ONE, "TEXT", "anything to remember"},                                \
        {"own", SPL_OPTION_FLAG, NULL, "ground of your own"},                                      \
    {                                                                                              \
        "contaminated", SPL_OPTION_ONE, "WHY", "closed for good, and why"                          \
    }

static struct spl_site_words words_of(const struct spl_call *call)
{
    return (struct spl_site_words){
        .at = spl_call_get(call, "at"),
        .elevation = spl_call_get(call, "elevation"),
        .accuracy = spl_call_get(call, "accuracy"),
        .area = spl_call_get(call, "area"),
        .remark = spl_call_get(call, "remark"),
        .contaminated = spl_call_get(call, "contaminated"),
        .own = spl_call_has(call, "own") ? 1 : -1,
    };
}

static int print_site(struct spl_call *call, struct spl_site *site)
{
    spl_call_print(call, site);
    spl_record_clear(&spl_site_shape, site);
    return 0;
}

static int run_add(struct spl_call *call, GError **error)
{
    struct spl_site_words words = words_of(call);
    struct spl_site site;

    words.name = call->places[0];
    if (!spl_site_new(call->house, &words, &site, error))
        return -1;
    if (call->json)
        return print_site(call, &site);
    spl_call_print(call, &site);
    fprintf(call->out,
            "\nnext: note who allows gathering, and what is known of spraying\n"
            "  simpling site permit '%s' --given --by WHO\n"
            "  simpling spray note '%s' --kind unsprayed --since DATE --source WHO\n",
            site.name, site.name);
    if (words.accuracy == NULL && words.area == NULL)
        fprintf(call->out,
                "and how exact the position is\n"
                "  simpling site edit '%s' --accuracy METRES\n",
                site.name);
    spl_record_clear(&spl_site_shape, &site);
    return 0;
}

static int run_edit(struct spl_call *call, GError **error)
{
    struct spl_site_words words = words_of(call);
    struct spl_site site;
    GPtrArray *touched;

    words.name = spl_call_get(call, "name");
    if (spl_call_has(call, "not-own"))
        words.own = 0;
    if (spl_call_has(call, "not-contaminated"))
        words.contaminated = "";
    if (!spl_site_change(call->house, call->places[0], &words, spl_call_get(call, "why"), &site,
                         &touched, error))
        return -1;
    spl_call_touched("picked there", touched);
    g_ptr_array_unref(touched);
    return print_site(call, &site);
}

static int run_permit(struct spl_call *call, GError **error)
{
    struct spl_permission_words words = {
        .given = spl_call_has(call, "given"),
        .by = spl_call_demand(call, "by", error),
        .written = spl_call_has(call, "written"),
        .parts = spl_call_get(call, "parts"),
        .amount = spl_call_get(call, "amount"),
    };
    struct spl_permission_note note;

    if (words.by == NULL)
        return -1;
    if (spl_call_has(call, "given") == spl_call_has(call, "refused")) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "site permit: say one of --given and --refused");
        return -1;
    }
    if (!spl_call_day(call, "on", spl_house_today(call->house), &words.on, error) ||
        !spl_call_day(call, "until", SPL_DAY_NONE, &words.until, error) ||
        !spl_site_permit(call->house, call->places[0], &words, &note, error))
        return -1;
    spl_call_print(call, &note);
    spl_record_clear(&spl_permission_note_shape, &note);
    return 0;
}

static gboolean stream_line(const struct spl_site_line *line, gpointer data, GError **error)
{
    return spl_call_stream_item(data, line, error);
}

static int run_list(struct spl_call *call, GError **error)
{
    struct spl_call_stream stream;
    struct spl_day on;

    if (!spl_call_day(call, "on", spl_house_today(call->house), &on, error))
        return -1;
    spl_call_stream_begin(&stream, call);
    if (!spl_site_lines(call->house, on, stream_line, &stream, error))
        return -1;
    return spl_call_stream_end(&stream, "no sites yet; add one with 'site add NAME --at LAT,LON'");
}

static int run_show(struct spl_call *call, GError **error)
{
    struct spl_site_sheet sheet;

    if (!spl_site_sheet(call->house, call->places[0], &sheet, error))
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
    .places = "NAME",
    .min_places = 1,
    .max_places = 1,
    .options = (const struct spl_option[]){SITE_OPTIONS, {NULL, SPL_OPTION_FLAG, NULL, NULL}},
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
    .places = "NAME",
    .min_places = 1,
    .max_places = 1,
    .options =
        (const struct spl_option[]){
            {"name", SPL_OPTION_ONE, "NEW", "another name"},
            SITE_OPTIONS,
            {"not-own", SPL_OPTION_FLAG, NULL, "no longer ground of your own"},
            {"not-contaminated", SPL_OPTION_FLAG, NULL, "the mark was wrong, or a test cleared it"},
            {"why", SPL_OPTION_ONE, "TEXT", "the reason for the change"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
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
    .places = "NAME",
    .min_places = 1,
    .max_places = 1,
    .options =
        (const struct spl_option[]){
            {"given", SPL_OPTION_FLAG, NULL, "it was allowed"},
            {"refused", SPL_OPTION_FLAG, NULL, "it was refused: the place is closed"},
            {"by", SPL_OPTION_ONE, "WHO", "who said so (needed)"},
            {"written", SPL_OPTION_FLAG, NULL, "in writing"},
            {"parts", SPL_OPTION_ONE, "PARTS",
             "which parts: leaf,flower; 'root' allows digging, 'any' everything (default: all "
             "that needs no digging)"},
            {"amount", SPL_OPTION_ONE, "TEXT", "how much, in words"},
            {"on", SPL_OPTION_ONE, "DATE", "the day it was said (default today)"},
            {"until", SPL_OPTION_ONE, "DATE", "its last day"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
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
    .places = "",
    .options =
        (const struct spl_option[]){
            {"on", SPL_OPTION_ONE, "DATE", "the verdict of another day"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .examples = (const char *const[]){"simpling site list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_site_line_shape,
    .array = TRUE,
    .run = run_list,
};

const struct spl_command spl_command_site_show = {
    .words = "site show",
    .summary = "Everything about one place",
    .places = "NAME",
    .min_places = 1,
    .max_places = 1,
    .examples = (const char *const[]){"simpling site show 'Withy Gill'", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_site_sheet_shape,
    .run = run_show,
};
