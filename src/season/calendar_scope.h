/* SPDX-License-Identifier: MIT
 *
 * The words of `calendar write` as the part of the book that they ask for.
 */
#ifndef SPL_SEASON_CALENDAR_SCOPE_H
#define SPL_SEASON_CALENDAR_SCOPE_H

#include "season/calendar_gather.h"

/* What was said as a scope. SPL_ERROR_INVALID with the key of the input. */
gboolean spl_calendar_scope_of(const struct spl_calendar_words *words,
                               struct spl_calendar_scope *scope, GError **error);

#endif
