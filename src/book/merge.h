/* SPDX-License-Identifier: MIT
 *
 * Two books of one season into one: the union of their rows by UUID.
 *
 * Works by the schema's own description (book/table.h): a row's identity is its `uuid`, or that of
 * the `thing` whose id it has, or its whole key; what points to another row by id is turned to that
 * row's id here. Codes keep their mark, so they never meet.
 */
#ifndef SPL_BOOK_MERGE_H
#define SPL_BOOK_MERGE_H

#include <glib.h>

#include "book/book.h"
#include "book/look.h"

struct spl_merge_note {
    char *code; /* or a site's name */
    char *what;
};

struct spl_merge {
    gint64 added, had;
    gint64 left_out;  /* rows of the other's that are none of ours: book/look.h */
    GPtrArray *notes; /* struct spl_merge_note *, for the person to settle */
};
void spl_merge_clear(struct spl_merge *merge);

/*
 * Brings `other`'s rows into `book`, inside a transaction of the caller's, but those that `look`
 * calls strays: `other` is read in the same reading transaction in which it was looked at.
 * SPL_ERROR_CONFLICT when one code names different things in both: nothing may be kept then.
 */
gboolean spl_book_merge(struct spl_book *book, struct spl_book *other, const struct spl_look *look,
                        struct spl_merge *merge, GError **error);

/* One more note; the texts are taken over. */
void spl_merge_add_note(struct spl_merge *merge, char *code, char *what);

#endif
