/* SPDX-License-Identifier: MIT
 *
 * Plain records about calendar files: what was left out on reading one, what is wrong with one, its
 * busy times.
 */
#ifndef SIMPLING_RECORD_CALENDAR_H
#define SIMPLING_RECORD_CALENDAR_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/row.h"

/* Something that was not taken over, and why. */
struct spl_ical_left {
    int line;   /* physical line, from 1 */
    char *what; /* "VEVENT", "ATTACH", the title of an event ... */
    char *why;
};
extern const struct spl_shape spl_ical_left_shape;

/* A broken rule. */
struct spl_ical_finding {
    int line;      /* physical line, from 1; 0: the file as a whole */
    char *rule;    /* short name of the rule, "line-end", "end-after-start" ... */
    char *message; /* one sentence: what is wrong */
    char *section; /* where it is written: "RFC 5545 3.1", or "common practice" */
    char *grade;   /* "error"; or "remark": a habit that readers put up with, or advice */
};
extern const struct spl_shape spl_ical_finding_shape;

struct spl_ical_checked {
    char *file;
    int events, todos, alarms;
    gboolean ok; /* no error; remarks there may be */
    int errors, remarks;
    gboolean more;    /* there were more than SPL_ICAL_FINDINGS_MAX; the rest is not listed */
    GArray *findings; /* of struct spl_ical_finding, in the order of the lines */
};
extern const struct spl_shape spl_ical_checked_shape;

#define SPL_ICAL_FINDINGS_MAX 200

/* A stretch of a day that is taken up. */
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

#endif
