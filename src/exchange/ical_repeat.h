/* SPDX-License-Identifier: MIT
 *
 * The days that a repetition rule (RFC 5545 3.3.10) names within a span: DAILY, WEEKLY, MONTHLY and
 * YEARLY, by looking at each day of the span and its neighbourhood. libical's own iterator looks
 * for the next day until it finds one, which for some rules takes for ever.
 */
#ifndef SPL_EXCHANGE_ICAL_REPEAT_H
#define SPL_EXCHANGE_ICAL_REPEAT_H

#include <glib.h>

#include "simpling/day.h"

/*
 * The days of `rule` for an entry that begins on `start` (at `start_min` on the clock of `zone`;
 * -1, NULL: all-day) that lie from `from` to `to`. `budget` counts days that may still be looked at
 * and is lowered. Returns a GArray of struct spl_day in order, without `start` itself unless the
 * rule names it, or NULL with SPL_ERROR_INVALID (no rule, below DAILY, within the day) or
 * SPL_ERROR_LIMIT (budget spent).
 */
GArray *spl_repeat_days(const char *rule, struct spl_day start, int start_min, const char *zone,
                        struct spl_day from, struct spl_day to, gint64 *budget, GError **error);

#endif
