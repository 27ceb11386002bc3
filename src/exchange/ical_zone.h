/* SPDX-License-Identifier: MIT
 *
 * A VTIMEZONE cut to the years that are needed: one STANDARD or DAYLIGHT for each change of the
 * clock in them, without rules that would have to be guessed. libical's own goes back to 1893.
 */
#ifndef SPL_EXCHANGE_ICAL_ZONE_H
#define SPL_EXCHANGE_ICAL_ZONE_H

#include <glib.h>

/* TRUE for an IANA name that this machine's zone data knows ("Europe/London", "UTC"). */
gboolean spl_zone_is_known(const char *zone);

/* The IANA name that differs from this text by its capitals alone, or NULL. Free with g_free. */
char *spl_zone_spelling(const char *text);

/*
 * The component with CRLF lines, from the last change before year_first to the end of year_last
 * (RFC 5545 3.6.5). SPL_ERROR_INVALID: zone unknown or more than 200 years. Free with g_free.
 */
char *spl_zone_component(const char *zone, int year_first, int year_last, GError **error);

/* The clock time of `zone_from` on a day as that of `zone_to`; either NULL means no change. FALSE:
 * unknown zone. `day_n` counts days since 1970, `minutes` after midnight; both are changed. */
gboolean spl_zone_convert(const char *zone_from, const char *zone_to, gint32 *day_n, int *minutes);

#endif
