/* SPDX-License-Identifier: MIT
 *
 * Making windows for places: almanacs, weather, stages seen and fixed days brought together once,
 * then asked for any number of sites. The one place where a window is made; check, calendars and
 * plans ask here too.
 */
#ifndef SPL_SEASON_WINDOWS_H
#define SPL_SEASON_WINDOWS_H

#include "book/site.h"
#include "core/window.h"
#include "season/house_private.h"
#include "simpling/window.h"

typedef struct spl_window_maker spl_window_maker;

/* `site_id`: the only site that will be asked (its own sightings are all read); 0: many. */
struct spl_window_maker *spl_window_maker_new(struct spl_house *house, gint64 site_id,
                                              GError **error);

/* As seen on another day than the house's, with normals that leave out a calendar year (0: none).
 */
struct spl_window_maker *spl_window_maker_new_at(struct spl_house *house, gint64 site_id,
                                                 struct spl_day today, int without_year,
                                                 GError **error);
/* Later or earlier. */
void spl_window_maker_set_today(struct spl_window_maker *maker, struct spl_day today);

void spl_window_maker_free(struct spl_window_maker *maker); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_window_maker, spl_window_maker_free)

/*
 * The windows of `site` in the growing year `season`, by date: those that begin in it. `site` needs
 * a name and a place; without an id (0) it has no sightings and fixed days. `material` and `use`
 * NULL: all. A list of spl_window_told_shape; `explain` is filled if asked. The windows' `row`
 * stays good as long as the maker.
 */
GArray *spl_window_maker_at(struct spl_window_maker *maker, const struct spl_site *site, int season,
                            const char *material, const char *use, gboolean explain,
                            GError **error);

/*
 * The same for someone who stands on a day: the growing year that it lies in, with what of the last
 * one is still open, and what of the next may begin within a month. A window across the end of the
 * growing year is one window on both sides of it.
 */
GArray *spl_window_maker_on(struct spl_window_maker *maker, const struct spl_site *site,
                            struct spl_day day, const char *material, const char *use,
                            gboolean explain, GError **error);

/* The same of a whole growing year, with what of the one before still goes on when it begins. */
GArray *spl_window_maker_year(struct spl_window_maker *maker, const struct spl_site *site,
                              int season, const char *material, const char *use, gboolean explain,
                              GError **error);

/* Why the site that was asked last has no windows: a sentence; NULL: it has. Borrowed. */
const char *spl_window_maker_unfit(const struct spl_window_maker *maker);

/* The windows about a day as plain ones, for one question: a list of spl_window_shape whose `row`
 * is NULL. `*unfit` as above, to be freed; may be NULL. */
GArray *spl_windows_on(struct spl_house *house, const struct spl_site *site, struct spl_day day,
                       const char *material, char **unfit, GError **error);

/* As spl_window_check of one year at every place, but of the leads only the fortnight: the others
 * are NAN, not known. For the year's page. */
gboolean spl_window_check_fortnight(struct spl_house *house, int year,
                                    struct spl_window_errors *errors, GError **error);

#endif
