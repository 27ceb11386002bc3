/* SPDX-License-Identifier: MIT
 *
 * One entry of a calendar as a plain struct: what ical_write.h writes and ical_read.h reads.
 *
 * Days here are inclusive, as people say them ("4 to 12 May"); the exclusive ends of RFC 5545 exist
 * only in files.
 */
#ifndef SPL_EXCHANGE_ENTRY_H
#define SPL_EXCHANGE_ENTRY_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/row.h"

enum spl_entry_kind {
    SPL_ENTRY_EVENT, /* VEVENT */
    SPL_ENTRY_TASK   /* VTODO */
};

enum spl_entry_status {
    SPL_ENTRY_NO_STATUS,
    SPL_ENTRY_TENTATIVE,    /* events */
    SPL_ENTRY_CONFIRMED,    /* events */
    SPL_ENTRY_NEEDS_ACTION, /* tasks */
    SPL_ENTRY_IN_PROCESS,   /* tasks */
    SPL_ENTRY_COMPLETED,    /* tasks */
    SPL_ENTRY_CANCELLED     /* both */
};

/* An own property: the name begins with "X-"; the value is one line of text. */
struct spl_entry_x {
    char *name;
    char *value;
};

/* One more instance of a repeating entry (RDATE), on the clock of its start. */
struct spl_entry_extra {
    struct spl_day first;
    int start_min;       /* -1: at the entry's own time */
    struct spl_day last; /* unset: as long as the entry */
    int end_min;
};

/* An alarm: minutes before the start, below 0 after it; or a moment, in minutes since 1970 UTC. */
struct spl_entry_alarm {
    gboolean moment;
    gint64 minutes;
};
#define SPL_ENTRY_ALARMS_MAX 6

struct spl_entry {
    enum spl_entry_kind kind;
    enum spl_entry_status status;
    char *uid;         /* letters, digits and hyphens, below 255 octets (RFC 7986 5.3) */
    char *summary;     /* one line; cut at 180 characters on writing */
    char *description; /* may hold line breaks; NULL or "" is left out */
    char *location;    /* a place in words */
    char *note;        /* on writing: what the person added to the description; NULL: nothing */
    char *category;    /* one, without a comma (on writing a comma becomes a space) */
    char *categories;  /* all of them, a comma between; on writing instead of `category`; or NULL */
    char *url;         /* absolute URI, checked on writing; NULL: none */
    char *related_uid; /* UID of the entry that this one belongs to, NULL: none */
    const char *color; /* a colour's name of CSS3 (RFC 7986 5.9), not owned; NULL: none */

    struct spl_day first; /* first day, always set on writing */
    struct spl_day last;  /* last day, inclusive; unset: the same as first */
    int start_min;        /* minutes after midnight of `first`; -1: all-day */
    int end_min;          /* minutes after midnight of `last`; -1 with a start_min: 30 min long */
    char *zone;           /* IANA name, needed with start_min; "UTC" is written with Z */
    struct spl_day due;   /* tasks: last day to do it, which is what DUE says without a time;
                             unset on writing: `last` */
    int due_min;          /* tasks: time of day on `due`; -1: by the end of that day */
    int alarm_min; /* > 0: one alarm so many minutes before the start (a day's start is 00:00; of
                      an all-day task, of the day it is due); not written when that moment was
                      over when the entry last changed; 0: none */
    struct spl_entry_alarm alarms[SPL_ENTRY_ALARMS_MAX]; /* as read; on writing instead of
                                                            alarm_min, moments left out */
    int n_alarms;                                        /* -1: alarm_min holds */
    gboolean opaque;   /* events: takes the time up (TRANSP:OPAQUE); default TRANSPARENT */
    double lat, lon;   /* WGS 84; NAN: no GEO is written */
    GArray *x;         /* of struct spl_entry_x; NULL: none */
    int sequence;      /* >= 0 */
    gint64 changed_at; /* seconds since 1970 UTC: DTSTAMP and LAST-MODIFIED; on reading */
                       /* LAST-MODIFIED, else DTSTAMP, else 0 */

    /* Only on reading; ignored on writing. */
    int line;          /* of its BEGIN in the file */
    int percent;       /* PERCENT-COMPLETE, -1: none */
    gboolean done;     /* a task with STATUS:COMPLETED or a COMPLETED time or 100 per cent */
    gboolean floating; /* a start with a time but neither zone nor Z */
    char *tzid;    /* a TZID that is no IANA name: the clock time is kept as it stands; else NULL */
    int exact_min; /* of a DURATION in hours, which is exact over a change of the clock; -1: none */
    gboolean override;           /* has RECURRENCE-ID: one instance of a repeating entry */
    struct spl_day override_day; /* the day in RECURRENCE-ID, unset: none */
    gboolean override_future;    /* RANGE=THISANDFUTURE: and every later one */
    gboolean confidential;       /* CLASS other than PUBLIC */
    GArray *except; /* of struct spl_day: days of EXDATE on the start's clock, NULL: none */
    GArray *extra;  /* of struct spl_entry_extra: RDATE, NULL: none */
    char *rule;     /* RRULE as it stands, readable or not; NULL: none */
    struct spl_day completed; /* day of COMPLETED, in UTC with completed_min; unset: none */
    int completed_min;        /* minutes after midnight UTC; -1: a day alone. Written as well. */
};

/* An entry with nothing in it but the right "absent" values. Clear with spl_entry_clear. */
void spl_entry_init(struct spl_entry *entry);

/* Frees what it owns and makes it as after spl_entry_init. */
void spl_entry_clear(struct spl_entry *entry);

/* Adds an own property; copies both. */
void spl_entry_add_x(struct spl_entry *entry, const char *name, const char *value);

/* The value of the own property `name` (any case); NULL when there is none. Borrowed. */
const char *spl_entry_get_x(const struct spl_entry *entry, const char *name);

/* Its alarms as minutes before the start in ascending order, a comma between, "" for none; moments
 * counted on the clock of `zone` where the entry has none (NULL: UTC). Free with g_free. */
char *spl_entry_alarms_text(const struct spl_entry *entry, const char *zone);
/* The other way; what cannot be read is left out. */
void spl_entry_set_alarms(struct spl_entry *entry, const char *text);

/*
 * SHA-256 in hex of everything that a person sees of it, which is all but uid, sequence and
 * changed_at: equal hashes need no new SEQUENCE. Free with g_free.
 */
char *spl_entry_hash(const struct spl_entry *entry);

#endif
