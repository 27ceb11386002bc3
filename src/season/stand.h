/* SPDX-License-Identifier: MIT
 *
 * What a stand can spare, for the other use cases: check, the log, the plan.
 */
#ifndef SPL_SEASON_STAND_H
#define SPL_SEASON_STAND_H

#include "book/site.h"
#include "core/stand.h"
#include "season/house_private.h"

/*
 * The allowance of `material` at `site` in the season of `on`, the log taken off. `known` tells
 * whether anything was ever noted of the plant there. Clear with spl_stand_allowance_clear.
 */
gboolean spl_stand_judge(struct spl_house *house, const struct spl_site *site,
                         const struct spl_material *material, struct spl_day on,
                         struct spl_stand_allowance *allowance, gboolean *known, GError **error);

/* The day on which the plant was last found in leaf or flower at the site by `on`; none: never. */
gboolean spl_stand_marked(struct spl_house *house, gint64 site_id, const char *plant,
                          struct spl_day on, struct spl_day *marked, GError **error);

/* Which stands there are, without what they can spare: a set of keys as spl_stand_key makes them,
 * to be unreffed; NULL with an error. */
GHashTable *spl_stand_known(struct spl_house *house, GError **error);
char *spl_stand_key(const char *site, const char *material); /* free with g_free */

#endif
