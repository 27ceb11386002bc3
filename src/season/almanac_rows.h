/* SPDX-License-Identifier: MIT
 *
 * The almanac rows that speak for a place: the person's own, and of the calendars that come with
 * the program the one that reaches it best.
 */
#ifndef SPL_SEASON_ALMANAC_ROWS_H
#define SPL_SEASON_ALMANAC_ROWS_H

#include "core/almanac.h"
#include "core/reach.h"
#include "season/house_private.h"

typedef struct spl_almanac_shelf spl_almanac_shelf;

/* All almanacs, the book's (if the house has one open) and the program's. Of the program's only
 * what tells their ground is read, each whole when a place has need of it: most commands ask about
 * one place. The shelf stands on the house's tables. */
struct spl_almanac_shelf *spl_almanac_shelf_load(struct spl_house *house, GError **error);
void spl_almanac_shelf_free(struct spl_almanac_shelf *shelf); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_almanac_shelf, spl_almanac_shelf_free)

/* Reads what is unread still, before spl_almanac_shelf_rows. */
gboolean spl_almanac_shelf_read_all(struct spl_almanac_shelf *shelf, GError **error);

/* The calendars: own ones first. A list of spl_almanac_row_shape each; borrowed. */
guint spl_almanac_shelf_size(const struct spl_almanac_shelf *shelf);
const GArray *spl_almanac_shelf_rows(const struct spl_almanac_shelf *shelf, guint i);

/*
 * The rows for a place: every own row, then those of the program's almanac that reaches the place
 * best (core/reach.h), without the one that an own row of its material and use stands for: the
 * nearest in date, whose flush the own row takes over. Equal answers have equal addresses. NULL
 * with an error: the almanac cannot be read.
 */
struct spl_almanac_choice {
    GPtrArray *rows;   /* const struct spl_almanac_row *, borrowed from the shelf */
    guint n_own;       /* the first so many are the person's own */
    const char *name;  /* the program's almanac; NULL: none reaches the place */
    GPtrArray *copies; /* own rows as they stand in here */
};
const struct spl_almanac_choice *spl_almanac_shelf_at(struct spl_almanac_shelf *shelf,
                                                      const struct spl_reach_place *place,
                                                      struct spl_reach *reach, GError **error);

/* The row of `choice` is one of the person's own. */
gboolean spl_almanac_choice_is_own(const struct spl_almanac_choice *choice,
                                   const struct spl_almanac_row *row);

/* Why no almanac of the program reaches a place: a sentence that names the nearest. Free with
 * g_free. */
char *spl_almanac_shelf_unfit(const struct spl_almanac_shelf *shelf,
                              const struct spl_reach_place *place);

/* What the rows of a calendar would stand for at a place: the program's row for each, NULL where
 * there is none; same order as `rows`. Free with g_ptr_array_unref. NULL with an error. */
GPtrArray *spl_almanac_shelf_replaced(struct spl_almanac_shelf *shelf,
                                      const struct spl_reach_place *place, const GArray *rows,
                                      GError **error);

#endif
