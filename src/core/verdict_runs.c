/* SPDX-License-Identifier: MIT
 *
 * Days judged alike as one run. See core/verdict_runs.h.
 */
#include "core/verdict_runs.h"

#include <string.h>

/* The place of the text among the reasons, which take it over. */
static int number_of(GPtrArray *reasons, char *text)
{
    for (guint i = 0; i < reasons->len; i++)
        if (strcmp(g_ptr_array_index(reasons, i), text) == 0) {
            g_free(text);
            return (int)i;
        }
    g_ptr_array_add(reasons, text);
    return (int)reasons->len - 1;
}

static gboolean has(const GArray *why, int reason)
{
    for (guint i = 0; i < why->len; i++)
        if (g_array_index(why, struct spl_slip_why, i).reason == reason)
            return TRUE;
    return FALSE;
}

static gboolean same(const struct spl_slip_run *a, const struct spl_slip_run *b)
{
    if (a->verdict != b->verdict || a->why->len != b->why->len)
        return FALSE;
    for (guint i = 0; i < a->why->len; i++)
        if (g_array_index(a->why, struct spl_slip_why, i).reason !=
            g_array_index(b->why, struct spl_slip_why, i).reason)
            return FALSE;
    return TRUE;
}

GArray *spl_verdict_runs(struct spl_day first, int days, spl_verdict_of_day judge, gpointer data,
                         char *(*text)(const struct spl_reason *reason), GPtrArray *reasons)
{
    GArray *runs = spl_list_new(&spl_slip_run_shape);

    for (int i = 0; i < days; i++) {
        struct spl_day day = spl_day_add(first, i);
        struct spl_slip_run run = {.first = day, .last = day};
        struct spl_slip_run *before =
            runs->len > 0 ? &g_array_index(runs, struct spl_slip_run, runs->len - 1) : NULL;
        struct spl_verdict_result result;

        judge(day, data, &result);
        run.verdict = result.verdict;
        run.why = spl_list_new(&spl_slip_why_shape);
        for (guint k = 0; k < result.reasons->len; k++) {
            char *words = text(&g_array_index(result.reasons, struct spl_reason, k));
            struct spl_slip_why why;

            if (words == NULL)
                continue;
            why.reason = number_of(reasons, words);
            if (!has(run.why, why.reason))
                g_array_append_val(run.why, why);
        }
        spl_verdict_result_clear(&result);
        if (before != NULL && same(before, &run)) {
            before->last = day;
            spl_record_clear(&spl_slip_run_shape, &run);
        } else {
            g_array_append_val(runs, run);
        }
    }
    return runs;
}

gboolean spl_verdict_runs_equal(const GArray *a, const GArray *b)
{
    if (a->len != b->len)
        return FALSE;
    for (guint i = 0; i < a->len; i++) {
        const struct spl_slip_run *x = &g_array_index(a, struct spl_slip_run, i);
        const struct spl_slip_run *y = &g_array_index(b, struct spl_slip_run, i);

        if (x->first.n != y->first.n || x->last.n != y->last.n || !same(x, y))
            return FALSE;
    }
    return TRUE;
}
