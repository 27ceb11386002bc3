/* SPDX-License-Identifier: MIT
 *
 * Content lines of a calendar put into a text: escaped (RFC 5545 3.3.11), folded within 75 octets
 * and never inside a character (3.1), ended with CRLF. By hand, because a calendar may have a
 * hundred thousand entries. They are libical's lines, octet for octet, but for those that it folds
 * within its own line break (tests/exchange/test_ical_line.c).
 */
#ifndef SPL_EXCHANGE_ICAL_LINE_H
#define SPL_EXCHANGE_ICAL_LINE_H

#include <glib.h>

#include "simpling/day.h"

/* `name` with its parameters, and a value that needs no escaping: a date, a number, a word, a URI
 * that was checked. Valid UTF-8 without control characters. */
void spl_ical_line_raw(GString *out, const char *name, const char *value);

/* The same with a TEXT value, which is escaped; valid UTF-8 whose only control characters are line
 * breaks and tabs. */
void spl_ical_line_text(GString *out, const char *name, const char *value);

/* A DATE ("DTSTART;VALUE=DATE:20270504"). */
void spl_ical_line_date(GString *out, const char *name, struct spl_day day);

/* A DATE-TIME of `day` and minutes after its midnight, which may run into later days; with `zone`
 * as TZID, "UTC" as Z. */
void spl_ical_line_time(GString *out, const char *name, struct spl_day day, int minutes,
                        const char *zone);

/* A DATE-TIME in UTC of seconds since 1970, from 0 to the end of the year 9999. */
void spl_ical_line_moment(GString *out, const char *name, gint64 seconds);

#endif
