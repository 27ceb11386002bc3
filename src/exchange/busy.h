/* SPDX-License-Identifier: MIT
 *
 * The busy days and times of a person's own calendar, for planning outings around them: VEVENTs
 * that take their time up (TRANSP:OPAQUE, which is the default), not cancelled, repeated by their
 * rules. What cannot be understood is busy, and listed: a rule that cannot be read or repeats
 * within the day counts for every day from its first, a time in an unknown zone for its whole day.
 * Of two versions of an entry the newer counts; each expansion is bounded.
 */
#ifndef SPL_EXCHANGE_BUSY_H
#define SPL_EXCHANGE_BUSY_H

#include "simpling/day.h"
#include "simpling/record/calendar.h"

/*
 * Reads what falls on the days `first` to `last` (at most 1100 days apart). Times are turned to the
 * clock of `zone` (IANA name; NULL: as they stand): by the file's own VTIMEZONE where it names no
 * IANA zone, else by the table of names in the file `names` (data/zones.csv; NULL: none). `others`:
 * without what a book wrote into it, such as outings that are about to be planned anew. `out` is
 * yours on TRUE (spl_record_clear).
 */
gboolean spl_busy_read(const char *path, struct spl_day first, struct spl_day last,
                       const char *zone, const char *names, gboolean others,
                       struct spl_busy_read *out, GError **error);

/* Minutes taken up on `day` between two times of day, overlaps counted once. */
int spl_busy_minutes(const GArray *busy, struct spl_day day, int from_min, int to_min);

#endif
