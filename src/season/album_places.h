/* SPDX-License-Identifier: MIT
 *
 * What the book knows to grow where, from stands, stages seen and harvests: for the pictures that
 * show places.
 */
#ifndef SPL_SEASON_ALBUM_PLACES_H
#define SPL_SEASON_ALBUM_PLACES_H

#include "season/house_private.h"

typedef struct spl_places_known spl_places_known;

struct spl_places_known *spl_places_known_new(struct spl_house *house, GError **error);
void spl_places_known_free(struct spl_places_known *known); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_places_known, spl_places_known_free)

/* TRUE if anything is known anywhere. */
gboolean spl_places_known_any(const struct spl_places_known *known);

/* TRUE if the plant of this material is known at the site. */
gboolean spl_places_known_has(const struct spl_places_known *known, const char *site,
                              const char *material);

/* Slugs known at a site; NULL: none. Borrowed. */
const GPtrArray *spl_places_known_materials(const struct spl_places_known *known, const char *site);

#endif
