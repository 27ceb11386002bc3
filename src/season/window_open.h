/* SPDX-License-Identifier: MIT
 *
 * What can be gathered on one day: of the windows those that are open, on ground that is not
 * closed, no farther from home than one wants to go.
 */
#ifndef SPL_SEASON_WINDOW_OPEN_H
#define SPL_SEASON_WINDOW_OPEN_H

#include "book/site.h"
#include "season/house_private.h"
#include "simpling/window.h"

typedef struct spl_window_open spl_window_open;

/* `words` is borrowed. NULL with an error of `within`: it is no time, or nobody said where home is.
 */
struct spl_window_open *spl_window_open_new(struct spl_house *house,
                                            const struct spl_window_words *words, GError **error);
void spl_window_open_free(struct spl_window_open *open); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_window_open, spl_window_open_free)

/* Whether the place is near enough. */
gboolean spl_window_open_within(const struct spl_window_open *open, const struct spl_site *site);

/* Takes out of a place's windows (struct spl_window_told) those that are not open, that ground or
 * law close, or whose stand can spare nothing, and gives the others verdict, spare and way. */
gboolean spl_window_open_keep(struct spl_window_open *open, const struct spl_site *site,
                              GArray *windows, GError **error);

/* Adds sentences on what is open and was left out all the same. */
void spl_window_open_left_out(const struct spl_window_open *open, GPtrArray *sentences);

#endif
