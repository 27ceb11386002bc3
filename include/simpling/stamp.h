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

/* What a face remembers of what it showed; NULL: not looked at. */
struct spl_stamped {
    const char *form;  /* a UUID of the form: it becomes that of what is written, once */
    const char *code;  /* the record that it is about … */
    const char *stamp; /* … and what was shown of it */
};

#define SPL_STAMP_SENT_BEFORE "sent-before"

/*
 * Calls `write` within one transaction, all that it writes or nothing. SPL_ERROR_EXISTS of
 * the kind SPL_STAMP_SENT_BEFORE: the same form was written before; SPL_ERROR_CONFLICT: the record
 * stands otherwise than it was shown. `entry` gets what spl_strike_words takes as the entry that
 * was made; NULL: nothing was written. Free it with g_free.
 */
gboolean spl_stamp_hold(struct spl_house *house, const struct spl_stamped *stamped,
                        spl_stamp_write write, gpointer data, char **entry, GError **error);

#endif
