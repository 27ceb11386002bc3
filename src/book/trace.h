/* SPDX-License-Identifier: MIT
 *
 * Following draws to any depth, through circles too: each thing is reached once.
 */
#ifndef SPL_BOOK_TRACE_H
#define SPL_BOOK_TRACE_H

#include <glib.h>

#include "book/book.h"

struct spl_reached {
    gint64 id;
    char kind; /* 'H' 'P' 'D' 'B' 'L' */
    char *code;
};

/*
 * All that came of `seeds` (gint64 row ids of things; the seeds too) when `forward`, else all that
 * they came from; by kind, then by age. Struck records are followed too. A GArray of
 * struct spl_reached that clears its elements; NULL with an error. Two indexed look-ups a draw.
 */
GArray *spl_trace_reach(struct spl_book *book, const GArray *seeds, gboolean forward,
                        GError **error);

/* Harvests of a site in from..to, struck ones too: GArray of gint64. */
gboolean spl_trace_harvests(struct spl_book *book, gint64 site_id, struct spl_day from,
                            struct spl_day to, GArray *ids, GError **error);

#endif
