/* SPDX-License-Identifier: MIT
 *
 * Whether a place or layer can lie where its numbers put it: a reference system that is not its
 * own, or latitude and longitude in the other order, put it thousands of kilometres away, where
 * nothing would ever meet a site and every verdict would stay clear.
 */
#ifndef SPL_SEASON_WHEREABOUTS_H
#define SPL_SEASON_WHEREABOUTS_H

#include "core/geometry.h"
#include "season/house_private.h"

/* Further than this from home and from every site, a place is looked at twice: an engineering
 * choice, wider than a herbalist's year and narrower than what a false system makes. */
#define SPL_FAR_M 500000.0

/*
 * What is odd about where the box lies, in words ("lies 5380 km from Withy Gill …"); NULL when it
 * is near something that the book knows, or the book knows no place yet. `swapped`: read the other
 * way round it would be near. Free with g_free; *error says whether it failed.
 */
char *spl_whereabouts(struct spl_house *house, const struct spl_box *box, gboolean *swapped,
                      GError **error);

/* Refuses what is odd, with what it looks like: SPL_ERROR_INVALID beginning with `what`. */
gboolean spl_whereabouts_fit(struct spl_house *house, const struct spl_box *box, const char *what,
                             GError **error);

/* Refuses only what was swapped; else `caution` gets the words, NULL when nothing is odd. `moved`
 * is the site that is to lie there, so that it is not held against itself; 0: none. */
gboolean spl_whereabouts_point(struct spl_house *house, double lat, double lon, const char *what,
                               gint64 moved, char **caution, GError **error);

#endif
