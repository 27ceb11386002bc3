/* SPDX-License-Identifier: MIT
 *
 * What a merge brought, by the book as it was before and as it is now: both are read side by side.
 */
#ifndef SPL_BOOK_MERGE_NEWS_H
#define SPL_BOOK_MERGE_NEWS_H

#include <glib.h>

#include "book/book.h"

struct spl_news_rows {
    const char *what; /* "harvests" */
    gint64 rows;      /* that came */
};
/* A GArray of struct spl_news_rows, of what came at all; NULL with an error. */
GArray *spl_news_came(struct spl_book *before, struct spl_book *now, GError **error);

/* A record that was here before and is struck, stands again, or reads otherwise now. */
struct spl_news_revised {
    gint64 thing;         /* 0: it is a place */
    char *about;          /* its code, or the place's name */
    char *note;           /* of a spray note its kind; NULL */
    char *field;          /* of a correction; NULL: a strike */
    char *before, *after; /* of a correction; of a strike one of them is NULL */
    char *mark, *why;     /* of the strike or correction, as far as it stands */
};
/* A GArray of struct spl_news_revised that clears its elements; NULL with an error. */
GArray *spl_news_revised(struct spl_book *before, struct spl_book *now, GError **error);

/* Whether a book has this strike or correction. */
gboolean spl_news_has_revision(struct spl_book *book, const char *uuid, gboolean *has,
                               GError **error);

/* The last thing and place of a book, by id. */
gboolean spl_news_last(struct spl_book *book, gint64 *thing, gint64 *site, GError **error);

#endif
