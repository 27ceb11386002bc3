/* SPDX-License-Identifier: MIT
 *
 * Names of zones as one family of calendar programs writes them ("W. Europe Standard Time"), from
 * data/zones.csv (Unicode CLDR). Read only when a file holds a name that is none of IANA's.
 */
#ifndef SPL_EXCHANGE_ZONE_NAMES_H
#define SPL_EXCHANGE_ZONE_NAMES_H

#include <glib.h>

/* Name, in lower case -> IANA name. Unref it. Errors as spl_csv_open and spl_csv_next. */
GHashTable *spl_zone_names_read(const char *path, GError **error);

/* The IANA name, or NULL. Borrowed. */
const char *spl_zone_names_find(GHashTable *names, const char *name);

#endif
