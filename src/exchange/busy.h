/* SPDX-License-Identifier: MIT
 *
 * The busy days and times of a person's own calendar, for planning outings around them: VEVENTs
 * that take their time up (TRANSP:OPAQUE, which is the default), not cancelled, repeated by their
 * rules. Rules below DAILY are never expanded, and each expansion is bounded.
 */
#ifndef SPL_EXCHANGE_BUSY_H
#define SPL_EXCHANGE_BUSY_H

#include "exchange/ical_scan.h"
#include "simpling/day.h"
#include "simpling/row.h"

struct spl_busy {
    struct spl_day day;
    int from_min; /* minutes after midnight on the person's clock, 0 for the whole day */
    int to_min;   /* 1440 for the whole day */
    char *what;   /* SUMMARY, NULL when private or none */
};
extern const struct spl_shape spl_busy_shape;

struct spl_busy_read {
    char *file;
    GArray *busy; /* of struct spl_busy, by day and time; one element for each day touched */
    int events;   /* that take time up in the span */
    gboolean truncated;
    GArray *left_out; /* of struct spl_ical_left */
};
extern const struct spl_shape spl_busy_read_shape;

/*
 * Reads what falls on the days `first` to `last` (at most 1100 days apart). Times are turned to the
 * clock of `zone` (IANA name; NULL: as they stand). `out` is cleared with spl_record_clear.
 */
gboolean spl_busy_read(const char *path, struct spl_day first, struct spl_day last,
                       const char *zone, struct spl_busy_read *out, GError **error);

/* Minutes taken up on `day` between two times of day, overlaps counted once. */
int spl_busy_minutes(const GArray *busy, struct spl_day day, int from_min, int to_min);

#endif
