/* SPDX-License-Identifier: MIT
 *
 * Growth stages that were seen, from stage notes and from the log together.
 */
#ifndef SPL_BOOK_SIGHTING_H
#define SPL_BOOK_SIGHTING_H

#include <glib.h>

#include "book/book.h"
#include "simpling/day.h"

struct spl_seen {
    gint64 site_id;
    int stage; /* BBCH */
    struct spl_day on;
    gboolean harvest; /* from the log; else a stage note */
};

/*
 * What was seen of a material (slug) up to and including `until`, the latest `most` of each source,
 * struck records left out. `site_id` 0: everywhere. A GArray of struct spl_seen, latest first
 * within a source.
 */
GArray *spl_seen_list(struct spl_book *book, const char *material, gint64 site_id,
                      struct spl_day until, int most, GError **error);

/* The same between two days, both included, as the days stand now. In no order. */
GArray *spl_seen_between(struct spl_book *book, const char *material, gint64 site_id,
                         struct spl_day first, struct spl_day last, GError **error);

/* Appends the latest `most` stage notes of a material at a site up to and including `until`. */
gboolean spl_seen_notes_at(struct spl_book *book, const char *material, gint64 site_id,
                           struct spl_day until, int most, GArray *list, GError **error);

/* Appends the latest `most` stage notes of a material between two days, both included, as above. */
gboolean spl_seen_notes(struct spl_book *book, const char *material, struct spl_day first,
                        struct spl_day last, int most, GArray *list, GError **error);

/* The materials of which there are stage notes, as slugs. Free with g_ptr_array_unref. */
GPtrArray *spl_seen_noted(struct spl_book *book, GError **error);

/* The materials of which something was seen, as slugs. Free with g_ptr_array_unref. */
GPtrArray *spl_seen_materials(struct spl_book *book, GError **error);

#endif
