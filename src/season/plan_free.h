/* SPDX-License-Identifier: MIT
 *
 * When somebody could go on a day: the longest stretch between the dew and dusk that no busy time
 * breaks. Scraps before work and after it are two stretches, not one long one.
 */
#ifndef SPL_SEASON_PLAN_FREE_H
#define SPL_SEASON_PLAN_FREE_H

#include "season/house_private.h"

/* Minutes after midnight on the person's clock; to_min <= from_min: no time at all. */
struct spl_plan_free {
    int from_min, to_min;
};

/*
 * The stretch of `day` at a place, around `busy` (struct spl_busy by day and time; NULL: none). In
 * the book's zone; by the sun where the book has none.
 */
struct spl_plan_free spl_plan_free_on(struct spl_house *house, const GArray *busy,
                                      struct spl_day day, double lat, double lon);

/* "08:04-12:30"; free with g_free. */
char *spl_plan_free_words(struct spl_plan_free time);

#endif
