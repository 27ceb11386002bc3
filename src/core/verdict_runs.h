/* SPDX-License-Identifier: MIT
 *
 * The verdicts of several days in a row as runs of days that are judged alike, each reason told
 * once: what a slip carries to the hedge. A run says neither more nor less than the verdicts of its
 * days.
 */
#ifndef SPL_CORE_VERDICT_RUNS_H
#define SPL_CORE_VERDICT_RUNS_H

#include <glib.h>

#include "core/verdict.h"
#include "simpling/record/slip.h"

/* Judges one day; the result is cleared by who asked. */
typedef void (*spl_verdict_of_day)(struct spl_day day, gpointer data,
                                   struct spl_verdict_result *result);

/*
 * The runs of the `days` days (1 or more) from `first`, in order and without a gap: a list of
 * spl_slip_run_shape. `reasons` (owned texts) grows by each text that is not in it yet; `text`
 * gives that of a reason (free with g_free), NULL to leave it out.
 */
GArray *spl_verdict_runs(struct spl_day first, int days, spl_verdict_of_day judge, gpointer data,
                         char *(*text)(const struct spl_reason *reason), GPtrArray *reasons);

/* TRUE if both say the same of the same days, for the same reasons. */
gboolean spl_verdict_runs_equal(const GArray *a, const GArray *b);

#endif
