/* SPDX-License-Identifier: MIT
 *
 * Keeping a plan of outings in the book, and showing kept and fresh ones as people see them.
 */
#ifndef SPL_SEASON_PLAN_KEEP_H
#define SPL_SEASON_PLAN_KEEP_H

#include "book/plan.h"
#include "season/house_private.h"
#include "simpling/plan.h"

/* An empty answer with all its lists. */
struct spl_plan_outings spl_plan_outings_begin(void);

/*
 * Stores `fresh` (struct spl_kept_outing; ids are filled in) in place of those of `old` that are
 * still to come: an outing on the same day, or else to the same sites, keeps its identity, what
 * has no successor is struck. Past ones stay. Days off are noted.
 */
gboolean spl_plan_store(struct spl_house *house, const GArray *old, GArray *fresh,
                        const GArray *off, GError **error);

/* Says, a line each, what `fresh` changes of those of `old` that are still to come. */
void spl_plan_say_changes(struct spl_house *house, const GArray *old, const GArray *fresh,
                          GPtrArray *changes);

/* One outing as people see it, with today's word on each place. */
gboolean spl_plan_show_outing(struct spl_house *house, const struct spl_kept_outing *kept,
                              struct spl_plan_outing *outing, GError **error);

/* Appends the past ones of `old` and all of `fresh` (NULL: of `old` too) to the answer. */
gboolean spl_plan_show_outings(struct spl_house *house, const GArray *old, const GArray *fresh,
                               struct spl_plan_outings *out, GError **error);

#endif
