/* SPDX-License-Identifier: MIT
 *
 * simpling alone: today on one screen.
 */
#include "simpling/today.h"
#include "command/rows.h"

/* What would settle the stops, each step once. */
static void tell_next(const struct spl_call *call, const struct spl_today *today)
{
    g_autoptr(GArray) all = g_array_new(FALSE, FALSE, sizeof(struct spl_cause)); /* borrowed */

    for (guint i = 0; i < today->stops->len; i++) {
        const GArray *because = g_array_index(today->stops, struct spl_today_stop, i).because;

        if (because != NULL)
            g_array_append_vals(all, because->data, because->len);
    }
    spl_call_tell_causes(call, all);
}

static int run(struct spl_call *call, GError **error)
{
    struct spl_today today;
    gboolean quiet;

    if (!spl_today(call->house, &today, error))
        return -1;
    spl_call_print(call, &today);
    quiet = today.stops->len + today.outing->len + today.calls->len + today.missing_weights->len +
                today.due->len + today.to_press->len + today.gather->len + today.opening->len +
                today.questions->len + today.shortage->len + today.expiring->len ==
            0;
    if (quiet && !call->json)
        fputs("nothing is due; 'simpling help' lists what can be done\n", call->out);
    tell_next(call, &today);
    if (today.to_answer != NULL && !call->json)
        fputs("\n'simpling questions' lists what is to be answered, and by whom\n", call->out);
    spl_record_clear(&spl_today_shape, &today);
    return 0;
}

const struct spl_command spl_command_today = {
    .words = "",
    .summary =
        "Today on one screen: stops, calls, steps due, what can be gathered, what runs short",
    .places = "",
    .examples = (const char *const[]){"simpling", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_today_shape,
    .run = run,
};
