/* SPDX-License-Identifier: MIT
 *
 * Fetching an https address through the child program simpling-fetch, which alone is linked with
 * libcurl and alone speaks to the net. What it refuses stands in its head.
 */
#ifndef SPL_EXCHANGE_FETCH_H
#define SPL_EXCHANGE_FETCH_H

#include <glib.h>

#include "simpling/day.h"

/* Whether a name of a file is an address. */
gboolean spl_fetch_is_address(const char *name);

/*
 * An address that may be fetched: https://, at most 2000 bytes, printable ASCII, with a host and
 * without a name or password before it. SPL_ERROR_INVALID.
 */
gboolean spl_fetch_check(const char *address, GError **error);

/* The host of a checked address. Free with g_free. */
char *spl_fetch_host(const char *address);

/* `{from}`, `{to}` and `{today}` in an address filled with days; `{to}` is today. Free with g_free.
 */
char *spl_fetch_fill(const char *address, struct spl_day from, struct spl_day today);

/*
 * Fetches into a new file in a folder of its own, whose path is returned; remove both with
 * spl_fetch_drop. `program`: path of simpling-fetch. SPL_ERROR_IO with one sentence when it cannot
 * be had, SPL_ERROR_NOT_FOUND when the program is not there.
 */
char *spl_fetch(const char *program, const char *address, GError **error);
void spl_fetch_drop(char *path); /* NULL is fine */

#endif
