/* SPDX-License-Identifier: MIT
 *
 * A row of an almanac: in which days of the year a material is right for a use, at the almanac's
 * own reference place. exchange reads and writes them as iCalendar; core/window.h moves them.
 */
#ifndef SPL_CORE_ALMANAC_H
#define SPL_CORE_ALMANAC_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/record/almanac.h"
#include "simpling/row.h"

/* Unset texts, NAN numbers, flush 1. */
void spl_almanac_row_init(struct spl_almanac_row *row);

/*
 * SPL_ERROR_INVALID, naming the UID, for a row without material or days, with an end before its
 * start, a year or longer, with stages outside 0-99, a place off the globe or half given normals.
 */
gboolean spl_almanac_row_check(const struct spl_almanac_row *row, GError **error);

gboolean spl_almanac_row_has_place(const struct spl_almanac_row *row);
gboolean spl_almanac_row_has_normals(const struct spl_almanac_row *row);

/* Whether the first killing frost leaves it good: what the row says, else flowers, leaves, herbs
 * and soft fruit are ended by it, and all other parts are not. */
gboolean spl_almanac_row_stands_frost(const struct spl_almanac_row *row);

/*
 * The row's first and last day in the growing year `season` (see spl_day_season) of its own
 * hemisphere; when `site_lat` lies in the other one, half a year (182 days) away, which again lands
 * in `season` there. A row that does not say its place is taken to lie in the site's hemisphere.
 * 29 February becomes 28 February in other years.
 */
void spl_almanac_row_days(const struct spl_almanac_row *row, int season, double site_lat,
                          struct spl_day *start, struct spl_day *end);

#endif
