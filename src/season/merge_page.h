/* SPDX-License-Identifier: MIT
 *
 * The page of a merge: what came, what stands otherwise, what waits for a word, what is asked.
 */
#ifndef SPL_SEASON_MERGE_PAGE_H
#define SPL_SEASON_MERGE_PAGE_H

#include "season/house_private.h"
#include "simpling/carry.h"

/* What came, by kinds: a list of spl_merge_came_shape; NULL with an error. `before` is the book as
 * it was, read beside the transaction in which the rows came. */
GArray *spl_merge_came_list(struct spl_house *house, struct spl_book *before, GError **error);

/* Revisions that wait here and that `other` has too, as they are accepted or left. The list of
 * spl_merge_revision_shape; NULL with an error. Inside the transaction. */
GArray *spl_merge_revisions(struct spl_house *house, struct spl_book *other,
                            const struct spl_merge_words *words, GError **error);

/* Fills `changes` and `questions`. */
gboolean spl_merge_page(struct spl_house *house, struct spl_book *before, struct spl_merged *merged,
                        GError **error);

#endif
