/* SPDX-License-Identifier: MIT
 *
 * Withdrawing what came of ground that was sprayed.
 */
#ifndef SPL_SEASON_TRACE_WITHDRAW_H
#define SPL_SEASON_TRACE_WITHDRAW_H

#include "season/house_private.h"
#include "simpling/trace.h"

/*
 * Withdraws each lot of the trace that can still go out and holds each harvest, and with it all
 * that comes of it later; their codes go into trace->withdrawn and trace->held. What a note of that
 * spraying, on or after the day `sprayed`, or an earlier recall in the same words holds is left as
 * it is. `by`: NULL takes the setting. Inside a transaction.
 */
gboolean spl_trace_withdraw(struct spl_house *house, struct spl_trace *trace,
                            struct spl_day sprayed, const char *by, GError **error);

#endif
