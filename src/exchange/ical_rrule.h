/* SPDX-License-Identifier: MIT
 *
 * The checker's rules for a repetition rule (RRULE, RFC 5545 3.3.10). ical_rules.c asks here for
 * each one that stands in an event or task; what a rule that is in order repeats, ical_repeat.c
 * knows.
 */
#ifndef SPL_EXCHANGE_ICAL_RRULE_H
#define SPL_EXCHANGE_ICAL_RRULE_H

#include "exchange/ical_rules.h"
#include "exchange/ical_value.h"

/* Tells `sink` what is wrong with the rule of `line`. `start`: the DTSTART beside it; NULL: none
 * that can be read. */
void spl_ical_check_rrule(const struct spl_ical_line *line, const struct spl_ical_time *start,
                          const struct spl_ical_sink *sink);

#endif
