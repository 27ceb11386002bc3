/* SPDX-License-Identifier: MIT
 *
 * Checks an iCalendar file octet by octet and rule by rule against RFC 5545, 7986 and what common
 * applications trip over. It does not use libical, which lets nearly all of this through.
 */
#ifndef SPL_EXCHANGE_ICAL_CHECK_H
#define SPL_EXCHANGE_ICAL_CHECK_H

#include "simpling/record/calendar.h"

/* Fills `checked` (clear it with spl_record_clear). FALSE only when the file cannot be read at all:
 * SPL_ERROR_NOT_FOUND, _IO, _LIMIT (over 256 MiB), _INVALID (a folder). */
gboolean spl_ical_check_file(const char *path, struct spl_ical_checked *checked, GError **error);

/* The same for bytes in memory. */
void spl_ical_check_bytes(const char *bytes, gsize size, struct spl_ical_checked *checked);

#endif
