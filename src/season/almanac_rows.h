/* SPDX-License-Identifier: MIT
 *
 * The almanac rows that speak for a place: the person's own, and of those that come with the
 * program the calendar whose reference place is nearest.
 */
#ifndef SPL_SEASON_ALMANAC_ROWS_H
#define SPL_SEASON_ALMANAC_ROWS_H

#include "core/almanac.h"
#include "season/house_private.h"

typedef struct spl_almanac_shelf spl_almanac_shelf;

/* All almanacs, the book's (if the house has one open) and the program's. */
struct spl_almanac_shelf *spl_almanac_shelf_load(struct spl_house *house, GError **error);
void spl_almanac_shelf_free(struct spl_almanac_shelf *shelf); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_almanac_shelf, spl_almanac_shelf_free)

/* The calendars: own ones first. A list of spl_almanac_row_shape each; borrowed. */
guint spl_almanac_shelf_size(const struct spl_almanac_shelf *shelf);
const GArray *spl_almanac_shelf_rows(const struct spl_almanac_shelf *shelf, guint i);

/*
 * The rows for a place (`lat` NAN: of the first program almanac): every own row, then the nearest
 * program almanac's, without those whose material, use and flush an own row has. Elements are const
 * struct spl_almanac_row *, borrowed from the shelf, as is the array; equal places give the same
 * array, so that its address may stand for it.
 */
const GPtrArray *spl_almanac_shelf_at(struct spl_almanac_shelf *shelf, double lat, double lon);

#endif
