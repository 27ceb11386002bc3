/* SPDX-License-Identifier: MIT
 *
 * What the ground of harvests is known today to have been on the day they were picked, as reasons
 * for the state (core/state.h).
 *
 * What was closed is a stop, what was to be asked a doubt. Each is raised at the stamp of the fact
 * that it rests on: what was known when the harvest was logged, with the harvest; what came later,
 * or was corrected, with that. Where nothing was said since and the kept verdict is milder, the
 * rules changed: that is asked about, all of it in one question, and holds nothing.
 */
#ifndef SPL_SEASON_JUDGED_H
#define SPL_SEASON_JUDGED_H

#include <glib.h>

#include "book/state.h"
#include "season/house_private.h"

/* Kinds of reasons of the ground: these and enum spl_reason_kind. */
enum { SPL_JUDGED_RULES = SPL_HELD_KINDS, SPL_JUDGED_GROUND };

/*
 * Appends the reasons (struct spl_state_reason) of the harvests among `ids` (gint64; NULL: all).
 * `judged` (ids as keys) gets all that were judged: what the book kept of their verdict no longer
 * counts. `evidence` numbers what reasons rest on (UUID to number from 1 on), for both to be
 * compared with others of the same table.
 */
gboolean spl_judged_reasons(struct spl_house *house, const GArray *ids, GArray *reasons,
                            GHashTable *judged, GHashTable *evidence, GError **error);

#endif
