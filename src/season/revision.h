/* SPDX-License-Identifier: MIT
 *
 * What colleagues struck or corrected of other people's records and nobody who may has agreed to:
 * as questions beside those of the state (season/state.h).
 */
#ifndef SPL_SEASON_REVISION_H
#define SPL_SEASON_REVISION_H

#include <glib.h>

#include "season/house_private.h"

/* Appends them to `asked` (struct spl_asked) where it has not the question already; `asleep`: those
 * that were put off too. */
gboolean spl_revisions_ask(struct spl_house *house, gboolean asleep, GArray *asked, GError **error);

/* One in words, and what it is about. Free all with g_free. */
struct spl_revision_told {
    char *uuid, *about, *what;
    char *id;           /* of its question */
    gint64 at;          /* its stamp */
    gboolean counts;    /* already: it makes it worse */
    gboolean of_danger; /* it takes away, or alters, what warns */
};
/* All that are open. A GArray of struct spl_revision_told that clears its elements; NULL with an
 * error. */
GArray *spl_revisions_tell(struct spl_house *house, GError **error);

#endif
