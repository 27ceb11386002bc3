/* SPDX-License-Identifier: MIT
 *
 * GPX 1.1 in and out: places as waypoints, for phones and hand-held receivers.
 */
#ifndef SPL_EXCHANGE_GPX_H
#define SPL_EXCHANGE_GPX_H

#include <glib.h>

#include "exchange/place.h"

/*
 * Reads the waypoints (also of GPX 1.0). Nameless ones, tracks and routes are passed over with a
 * remark. NULL with SPL_ERROR_NOT_FOUND, _INVALID (no XML, no GPX), _LIMIT.
 */
GArray *spl_gpx_read(const char *path, GPtrArray *remarks, GError **error);

/* Writes all places whole or not at all: one waypoint each, with verdict and reason in its text. */
gboolean spl_gpx_write(const char *path, const GArray *places, GError **error);

#endif
