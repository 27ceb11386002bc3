/* SPDX-License-Identifier: MIT
 *
 * What a spraying that comes to light late touches: harvests picked there since, and what they went
 * into.
 */
#ifndef SPL_SEASON_TOUCHED_H
#define SPL_SEASON_TOUCHED_H

#include "season/house_private.h"
#include "simpling/record/harvest.h"

/* "H27-003 nettle/leaf of 2027-05-20 at Withy Gill, in B27-002, L27-004". Free with g_free. */
char *spl_touched_line(struct spl_house *house, const struct spl_harvest *harvest, GError **error);

/* The same of a word that a site was sprayed, by its code: there and in its neighbourhood. */
gboolean spl_touched_by_word(struct spl_house *house, const struct spl_site *site, const char *note,
                             struct spl_day from, GPtrArray *lines, GArray *records,
                             GError **error);

/* Appends such lines for what was picked at a site from that day on (none: ever), and to `records`
 * (of spl_touched_shape; NULL: not wanted) one for each harvest and each thing that came of it. */
gboolean spl_touched_by_site(struct spl_house *house, gint64 site_id, struct spl_day from,
                             GPtrArray *lines, GArray *records, GError **error);

/* The same for harvests on or beside the ground of one layer, from the day of its spraying until
 * its hold is over. */
gboolean spl_touched_by_layer(struct spl_house *house, const char *layer, GPtrArray *lines,
                              GArray *records, GError **error);

#endif
