/* SPDX-License-Identifier: MIT
 *
 * For faces that show a record and write about it later: what stood of it when it was shown, and by
 * what an entry made a moment ago can be taken back and no other.
 */
#ifndef SIMPLING_STAMP_H
#define SIMPLING_STAMP_H

#include <glib.h>

#include "simpling/house.h"

/* In short what stands of a record by its code (H, P, D, B, L) today; it differs when anything that
 * is shown of it does. NULL with an error. Free with g_free. */
char *spl_stamp(struct spl_house *house, const char *code, GError **error);

typedef gboolean (*spl_stamp_write)(gpointer data, GError **error);

/*
 * Calls `write` within one transaction, all that it writes or nothing. `stamp` (NULL: not looked
 * at): what was shown of `code`; SPL_ERROR_CONFLICT when it stands otherwise by now. `entry` gets
 * what spl_strike_words takes as the entry that was made; NULL: nothing was written. Free it with
 * g_free.
 */
gboolean spl_stamp_hold(struct spl_house *house, const char *code, const char *stamp,
                        spl_stamp_write write, gpointer data, char **entry, GError **error);

#endif
