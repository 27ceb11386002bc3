/* SPDX-License-Identifier: MIT
 *
 * Sites, who allowed gathering there, and what was said about spraying.
 */
#ifndef SPL_BOOK_SITE_H
#define SPL_BOOK_SITE_H

#include <glib.h>

#include "book/book.h"
#include "book/code.h"
#include "core/geometry.h"
#include "simpling/day.h"
#include "simpling/record/site.h"

/* Adds a site; id and uuid are filled in. SPL_ERROR_EXISTS when the name is taken. */
gboolean spl_site_add(struct spl_book *book, struct spl_site *site, GError **error);

/*
 * Finds a site by name: the key must match, or be the only one that begins with it.
 * SPL_ERROR_NOT_FOUND offers the nearest, SPL_ERROR_AMBIGUOUS names those that match.
 */
gboolean spl_site_find(struct spl_book *book, const char *name, struct spl_site *site,
                       GError **error);
/* The id of the site that has just this name (by its key); 0: none; -1 with an error. */
gint64 spl_site_known(struct spl_book *book, const char *name, GError **error);
gboolean spl_site_load(struct spl_book *book, gint64 id, struct spl_site *site, GError **error);
/* The name of a record's place, of `s` joined to it: no record is lost with its place. */
#define SPL_SITE_NAME                                                                              \
    "coalesce(s.name || coalesce((SELECT ' (' || s.mark || ')' FROM site_key k"                    \
    " WHERE k.site_id = s.id AND k.name_key LIKE '% (' || s.mark || ')'"                           \
    " AND s.name NOT LIKE '% (' || s.mark || ')'), ''), 'place number ' || t.site_id)"

/* The same of a place that a record names: one whose row is gone or struck stops nothing else and
 * comes as `gone`, with what is still known of it. */
gboolean spl_site_named(struct spl_book *book, gint64 id, struct spl_site *site, GError **error);

/* All sites by name: a list of spl_site_shape. */
GArray *spl_site_all(struct spl_book *book, GError **error);

/* Calls `each` for every site in order of id, without holding them all. Stops when it returns
 * FALSE. `site` is cleared after each call. */
gboolean spl_site_each(struct spl_book *book,
                       gboolean (*each)(const struct spl_site *site, gpointer data, GError **error),
                       gpointer data, GError **error);

/* The same of those of which a stand is known or that were entered from that stamp on; `at` is when
 * they were. */
gboolean spl_site_each_known(struct spl_book *book, gint64 since,
                             gboolean (*each)(const struct spl_site *site, gint64 at, gpointer data,
                                              GError **error),
                             gpointer data, GError **error);

/* Renames: an amendment of the name and the derived key. SPL_ERROR_EXISTS when it is taken. */
gboolean spl_site_rename(struct spl_book *book, const struct spl_site *site, const char *name,
                         const char *by, const char *why, GError **error);

/* ---- permission ---- */

gboolean spl_permission_add(struct spl_book *book, gint64 site_id,
                            const struct spl_permission_note *permission, GError **error);
/* In the order noted. A list of spl_permission_note_shape. */
GArray *spl_permission_list(struct spl_book *book, gint64 site_id, GError **error);

/* ---- where a place lies, and ever lay ---- */

struct spl_site_spot {
    gint64 site_id;
    const struct spl_geometry *ground; /* NULL: it cannot be read */
    double accuracy_m; /* the worst that was ever said; NAN: it was not said how well it is known */
};

/* Calls `each` for every spot at which the place (0: every place, struck ones too) lies by its row
 * or by any correction of it, whether that counts or not. */
gboolean spl_site_spots(struct spl_book *book, gint64 site_id,
                        void (*each)(const struct spl_site_spot *spot, gpointer data),
                        gpointer data, GError **error);

/* ---- spray notes ---- */

/* `day` gives the code its year: the day of the word. Fills `thing`. */
gboolean spl_spray_add(struct spl_book *book, gint64 site_id, struct spl_day day,
                       const struct spl_spray_record *record, struct spl_thing *thing,
                       GError **error);
/* In the order noted; struck ones only when `struck`. */
GArray *spl_spray_list(struct spl_book *book, gint64 site_id, gboolean struck, GError **error);
/* Appends the ids (gint64) of all places of which somebody ever said that they were sprayed, struck
 * words too. */
gboolean spl_spray_places(struct spl_book *book, GArray *ids, GError **error);

/* ---- stages seen ---- */

gboolean spl_stage_add(struct spl_book *book, gint64 site_id, const struct spl_stage_record *record,
                       struct spl_thing *thing, GError **error);
/* Those that stand, latest first; site_id 0: all sites; material NULL: all. */
GArray *spl_stage_list(struct spl_book *book, gint64 site_id, const char *material, GError **error);

#endif
