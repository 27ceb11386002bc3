/* SPDX-License-Identifier: MIT
 *
 * Values of RFC 5545 3.3 read strictly, for the checker: no more is taken than the grammar allows.
 */
#ifndef SPL_EXCHANGE_ICAL_VALUE_H
#define SPL_EXCHANGE_ICAL_VALUE_H

#include <glib.h>

#include "simpling/day.h"

/* DATE (3.3.4) or DATE-TIME (3.3.5). */
struct spl_ical_time {
    struct spl_day day; /* unset when the text has the form but there is no such day */
    int second;         /* of the day, -1: a DATE; -2: no such time of day */
    gboolean utc;
};

/* FALSE when the text has neither form ("…-0800" has not). */
gboolean spl_ical_time_parse(const char *text, struct spl_ical_time *time);

/* <0, 0, >0; both set and of the same type. */
int spl_ical_time_compare(struct spl_ical_time a, struct spl_ical_time b);

/* DURATION (3.3.6): "P7D", "-PT15M", "P1W". */
struct spl_ical_span {
    gint64 seconds; /* negative for "-P…" */
    gboolean whole_days;
};
gboolean spl_ical_span_parse(const char *text, struct spl_ical_span *span);

/* A whole number in [min, max], a sign only where min < 0. */
gboolean spl_ical_integer_parse(const char *text, int min, int max);

/* "lat;lon" with decimal points, in range (3.8.1.6). */
gboolean spl_ical_geo_is_valid(const char *text);

/* "+0100", "-053000" (3.3.14); "-0000" is not allowed. */
gboolean spl_ical_offset_is_valid(const char *text);

/* TEXT (3.3.11): commas and semicolons only escaped, a backslash only before \ ; , n N. With `list`
 * plain commas are separators. */
gboolean spl_ical_text_is_valid(const char *text, gboolean list);

/* An absolute URI of printable ASCII. */
gboolean spl_ical_uri_is_valid(const char *text);

/* A UID by RFC 7986 5.3: letters, digits, hyphens, fewer than 255. */
gboolean spl_ical_uid_is_valid(const char *text);

/* TEXT without its escapes (RFC 5545 3.3.11), scrubbed and stripped. Free with g_free. */
char *spl_ical_unescape(const char *value, gsize size);

#endif
