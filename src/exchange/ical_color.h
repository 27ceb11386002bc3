/* SPDX-License-Identifier: MIT
 *
 * The names of colours that COLOR may have (RFC 7986 5.9): those of CSS Color Module Level 3, 4.3.
 */
#ifndef SPL_EXCHANGE_ICAL_COLOR_H
#define SPL_EXCHANGE_ICAL_COLOR_H

#include <glib.h>

/* In any case. */
gboolean spl_ical_color_is_valid(const char *name);

#endif
