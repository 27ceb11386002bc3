/* SPDX-License-Identifier: MIT
 *
 * Checks an iCalendar file octet by octet and rule by rule against RFC 5545, 7986 and what common
 * applications trip over. It does not use libical, which lets nearly all of this through.
 */
#ifndef SPL_EXCHANGE_ICAL_CHECK_H
#define SPL_EXCHANGE_ICAL_CHECK_H

#include "simpling/row.h"

struct spl_ical_finding {
    int line;      /* physical line, from 1; 0: the file as a whole */
    char *rule;    /* short name of the rule, "line-end", "end-after-start" ... */
    char *message; /* one sentence: what is wrong */
    char *section; /* where it is written: "RFC 5545 3.1", or "common practice" */
};
extern const struct spl_shape spl_ical_finding_shape;

struct spl_ical_checked {
    char *file;
    int events, todos, alarms;
    gboolean ok;      /* no finding */
    gboolean more;    /* there were more than SPL_ICAL_FINDINGS_MAX; the rest is not listed */
    GArray *findings; /* of struct spl_ical_finding, in the order of the lines */
};
extern const struct spl_shape spl_ical_checked_shape;

#define SPL_ICAL_FINDINGS_MAX 200

/* Fills `checked` (clear it with spl_record_clear). FALSE only when the file cannot be read at all:
 * SPL_ERROR_NOT_FOUND, _IO, _LIMIT (over 256 MiB), _INVALID (a folder). */
gboolean spl_ical_check_file(const char *path, struct spl_ical_checked *checked, GError **error);

/* The same for bytes in memory. */
void spl_ical_check_bytes(const char *bytes, gsize size, struct spl_ical_checked *checked);

#endif
