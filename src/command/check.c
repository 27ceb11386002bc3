/* SPDX-License-Identifier: MIT
 *
 * simpling check: may I pick here?
 */
#include "simpling/check.h"

#include <math.h>

#include "command/rows.h"
#include "simpling/hazard.h"

static gboolean stream_check(const struct spl_check *check, gpointer data, GError **error)
{
    return spl_call_stream_item(data, check, error);
}

static int run_all(struct spl_call *call, struct spl_day on, GError **error)
{
    struct spl_call_stream stream;
    int counts[3];

    spl_call_stream_begin(&stream, call);
    if (!spl_check_all(call->house, on, stream_check, &stream, counts, error))
        return -1;
    spl_call_stream_end(&stream, "no sites yet; add one with 'site add NAME --at LAT,LON'");
    if (!call->json)
        fprintf(call->out, "%d clear, %d to ask about, %d closed\n", counts[0], counts[1],
                counts[2]);
    return 0;
}

/* All that lies within so many metres, whatever it does to the verdict. */
static gboolean print_near(struct spl_call *call, struct spl_check *check, GError **error)
{
    double within_m;

    if (!spl_call_has(call, "near"))
        return TRUE;
    if (!spl_call_number(call, "near", 1, 100000, NAN, &within_m, error))
        return FALSE;
    check->near = spl_hazard_lines(call->house, check->site, within_m, error);
    return check->near != NULL;
}

static int run(struct spl_call *call, GError **error)
{
    struct spl_check check;
    struct spl_day on;
    int status;

    if (!spl_call_day(call, "on", spl_house_today(call->house), &on, error))
        return -1;
    if (spl_call_has(call, "all") == (call->n_places > 0)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "check: name a SITE, and a MATERIAL if you wish, or say --all");
        return -1;
    }
    if (call->n_places == 0 && spl_call_has(call, "near")) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "--near: goes with one SITE, not with --all");
        return -1;
    }
    if (call->n_places == 0)
        return run_all(call, on, error);
    if (!spl_check_site(call->house, call->places[0], call->n_places > 1 ? call->places[1] : NULL,
                        on, &check, error))
        return -1;
    if (!print_near(call, &check, error)) {
        spl_record_clear(&spl_check_shape, &check);
        return -1;
    }
    if (call->json) {
        spl_record_write_json(&spl_check_shape, &check, call->out);
    } else {
        spl_record_write_lines(&spl_check_shape, &check, call->width, call->out);
        for (guint i = 0; i < check.cautions->len; i++)
            fprintf(call->out, "caution: %s\n", (char *)g_ptr_array_index(check.cautions, i));
    }
    status = spl_check_exit_status(&check);
    spl_record_clear(&spl_check_shape, &check);
    return status;
}

const struct spl_command spl_command_check = {
    .words = "check",
    .summary = "May I pick here? The verdict, with its reasons",
    .places = "[SITE [MATERIAL]]",
    .max_places = 2,
    .options =
        (const struct spl_option[]){
            {"on", SPL_OPTION_ONE, "DATE", "the day asked about (default today)"},
            {"all", SPL_OPTION_FLAG, NULL, "every site, with a summary"},
            {"near", SPL_OPTION_ONE, "M", "list every hazard within so many metres too"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .about = "The exit status is 0 for 'clear' (nothing known against it), 3 for 'ask', 4 for "
             "'closed'; --all\nends 0. With a material also its window, the stage last seen, what "
             "the stand can spare, and the\ncautions. No verdict makes a place safe: look again "
             "before you pick.",
    .examples = (const char *const[]){"simpling check --all",
                                      "simpling check 'Withy Gill' --near 500", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_check_shape,
    .run = run,
};
