/* SPDX-License-Identifier: MIT
 *
 * Ground speaks of its neighbours: which places are to be judged again when it came, changed or
 * went, so that not all are.
 */
#ifndef SPL_SEASON_JUDGED_NEAR_H
#define SPL_SEASON_JUDGED_NEAR_H

#include "season/house_private.h"

/* Marks the places that anything reaches which was touched since (book/judged.h), rather one too
 * many than one too few. *everywhere: it is less work to judge all. Inside a transaction. */
gboolean spl_judged_mark_near(struct spl_house *house, gboolean *everywhere, GError **error);

#endif
