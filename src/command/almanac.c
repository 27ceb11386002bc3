/* SPDX-License-Identifier: MIT
 *
 * simpling almanac …: calendars of usual gathering times.
 */
#include "simpling/almanac.h"

#include <math.h>

#include "command/rows.h"

static int run_add(struct spl_call *call, GError **error)
{
    struct spl_almanac_added added;

    if (!spl_almanac_add(call->house, call->said, &added, error))
        return -1;
    spl_call_print(call, &added);
    spl_record_clear(&spl_almanac_added_shape, &added);
    return 0;
}

/* A row for people: its days come every year, so they have none. */
struct usual_line {
    char *material, *use, *days, *stages, *every;
};

static const struct spl_field line_fields[] = {
    SPL_FIELD(usual_line, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(usual_line, use, SPL_TEXT, "use", "use"),
    SPL_FIELD(usual_line, days, SPL_TEXT, "days", "usual days"),
    SPL_FIELD(usual_line, stages, SPL_TEXT, "stages", "BBCH stages"),
    SPL_FIELD(usual_line, every, SPL_TEXT, "every", "pick every"),
};
static const struct spl_shape line_shape = SPL_SHAPE("usual_line", usual_line, line_fields);

static struct usual_line line_of(const struct spl_call *call, const struct spl_almanac_row *row)
{
    struct usual_line line = {.material = g_strdup(row->material),
                              .use = g_strdup(row->use),
                              .days = spl_call_short_span(call, row->start, row->end)};

    if (!isnan(row->stage_from) && !isnan(row->stage_to))
        line.stages = g_strdup_printf("%02.0f-%02.0f", row->stage_from, row->stage_to);
    if (row->every_days > 0)
        line.every = g_strdup_printf("%d day%s", row->every_days, row->every_days == 1 ? "" : "s");
    return line;
}

/* Almanac by almanac, each with its name and its sources' place above. */
static void print_almanacs(const struct spl_call *call, const GArray *list)
{
    for (guint i = 0; i < list->len;) {
        const struct spl_almanac_row *first = &g_array_index(list, struct spl_almanac_row, i);
        GArray *lines = spl_list_new(&line_shape);

        for (; i < list->len; i++) {
            const struct spl_almanac_row *row = &g_array_index(list, struct spl_almanac_row, i);
            struct usual_line line;

            if (g_strcmp0(row->almanac, first->almanac) != 0)
                break;
            line = line_of(call, row);
            g_array_append_val(lines, line);
        }
        fprintf(call->out, "%s\n", first->almanac);
        spl_list_write_table(&line_shape, lines, call->width, call->out);
        fputs(i < list->len ? "\n" : "", call->out);
        spl_list_free(&line_shape, lines);
    }
}

static int run_list(struct spl_call *call, GError **error)
{
    GArray *list = spl_almanac_list(call->house, call->said, error);

    if (list == NULL)
        return -1;
    if (call->json || list->len == 0)
        spl_call_print_list(call, list, "no almanacs; add one with 'almanac add FILE.ics'");
    else
        print_almanacs(call, list);
    spl_list_free(&spl_almanac_row_shape, list);
    return 0;
}

const struct spl_command spl_command_almanac_add = {
    .words = "almanac add",
    .summary = "Take a calendar of gathering times into the book",
    .inputs = &spl_almanac_inputs,
    .at = "file",
    .about = "Any calendar application's file works: an event titled like a known material "
             "('Nettle leaf') is a\nwindow of every year. What is not understood is listed. "
             "Reading a calendar again replaces what it held.\nAn event titled '(food)' is "
             "for food. An own\nrow stands for the program's one that is nearest in date, which is "
             "said, and is moved to other places and learns\nas that does.",
    .examples = (const char *const[]){"simpling almanac add our-dale.ics",
                                      "simpling almanac add our-dale.ics --at 54.6012,-2.5871 "
                                      "--elevation 140",
                                      NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_almanac_added_shape,
    .run = run_add,
};

const struct spl_command spl_command_almanac_list = {
    .words = "almanac list",
    .summary = "Usual gathering times, your own almanacs first",
    .inputs = &spl_almanac_question_inputs,
    .examples = (const char *const[]){"simpling almanac list --almanac Britain", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_almanac_row_shape,
    .array = TRUE,
    .run = run_list,
};
