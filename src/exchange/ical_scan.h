/* SPDX-License-Identifier: MIT
 *
 * The guard before libical: reads a foreign iCalendar file line by line, refuses or leaves out what
 * would cost libical seconds or gigabytes, and hands out one whole component at a time. Memory is
 * bounded by the largest component that the limits allow.
 *
 * Forgiven: bare LF or CR, a byte order mark, several VCALENDARs, a bare VEVENT, leading junk
 * lines, lower-case names, folds inside a UTF-8 character, a file that ends in the middle (its
 * whole components are handed out and `truncated` is set). Refused whole: SPL_ERROR_NOT_FOUND, _IO;
 * _CORRUPT: empty, NUL octets, UTF-16, not a calendar; _LIMIT: a limit of the file as a whole.
 */
#ifndef SPL_EXCHANGE_ICAL_SCAN_H
#define SPL_EXCHANGE_ICAL_SCAN_H

#include <glib.h>

#include "exchange/ical_clock.h"
#include "simpling/record/calendar.h"

struct spl_ical_limits {
    gsize file_bytes; /* default 256 MiB */
    gsize line_bytes; /* of an unfolded line, default 64 KiB; longer attachments, images and own
                         properties are left out, anything else refuses the file */
    int nesting;      /* default 4 (VCALENDAR, VEVENT, VALARM and one more) */
    int parameters;   /* in one line, default 50 */
    int components;   /* below VCALENDAR, default 500,000 */
    gsize component_bytes; /* default 1 MiB; a larger component is left out */
    int component_lines;   /* default 10,000; as above */
};
extern const struct spl_ical_limits spl_ical_limits;

/*
 * A component directly below VCALENDAR (or bare), whole but reduced to what the readers use: of its
 * lines the known properties, of their parameters TZID, VALUE, RANGE and RELTYPE, and of its alarms
 * their TRIGGERs, apart, as are the properties of our own.
 * Borrowed until the next call.
 */
struct spl_ical_slice {
    const char *kind; /* upper case: "VEVENT", "VTODO", "VTIMEZONE" ... */
    const char *text; /* unfolded lines from BEGIN to END, each ended by CRLF, NUL after it */
    gsize size;
    int line;        /* physical line of its BEGIN */
    const char *own; /* its X-SIMPLING- lines, each "NAME:value" without parameters and ended by LF:
                        libical would look each up in all the names that it knows */
    const char *alarms; /* the TRIGGER line of each, ended by LF; none of what Apple writes to have
                           none, nor of what was put off for a while (RFC 9074 7.1) */
};

typedef struct spl_ical_scan spl_ical_scan;

struct spl_ical_scan *spl_ical_scan_open(const char *path, const struct spl_ical_limits *limits,
                                         GError **error);
/* The same for bytes in memory, which must outlive it. */
struct spl_ical_scan *spl_ical_scan_open_bytes(const char *bytes, gsize size,
                                               const struct spl_ical_limits *limits,
                                               GError **error);

/* Of the entries from here on only these properties (upper case, NULL at the end, static) and our
 * own are handed out: a reader that needs few is several times as fast. */
void spl_ical_scan_only(struct spl_ical_scan *scan, const char *const *names);

/* The next whole component; FALSE at the end without an error, or with one. */
gboolean spl_ical_scan_next(struct spl_ical_scan *scan, struct spl_ical_slice *slice,
                            GError **error);

/* The value of a property of the VCALENDAR itself seen so far (first of that name, unescaped), such
 * as "X-WR-CALNAME"; NULL: none. Borrowed. */
const char *spl_ical_scan_property(const struct spl_ical_scan *scan, const char *name);

/* The IANA name that the file itself gives for one of its TZIDs (X-LIC-LOCATION), or that stands at
 * the end of the TZID ("/example.org/Europe/Vienna"), or the TZID if it is one; NULL: unknown. */
const char *spl_ical_scan_zone(struct spl_ical_scan *scan, const char *tzid);

/* What the file itself says of this TZID's clock, as far as it was read; NULL: nothing. Borrowed.
 */
const spl_ical_clock *spl_ical_scan_clock(const struct spl_ical_scan *scan, const char *tzid);

gboolean spl_ical_scan_truncated(const struct spl_ical_scan *scan);

/* Of struct spl_ical_left: at most 100 are listed. Borrowed, lives as long as the scan. */
GArray *spl_ical_scan_left_out(struct spl_ical_scan *scan);
/* How many there were in all. */
int spl_ical_scan_n_left_out(const struct spl_ical_scan *scan);
/* Adds one (for the readers on top). */
void spl_ical_scan_leave_out(struct spl_ical_scan *scan, int line, const char *what,
                             const char *why);

void spl_ical_scan_free(struct spl_ical_scan *scan);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_ical_scan, spl_ical_scan_free)

#endif
