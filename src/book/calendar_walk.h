/* SPDX-License-Identifier: MIT
 *
 * The register of calendar entries read beside what is written. One writing hands its entries on in
 * the order of the last one, in which they stand in the register: what comes next is at hand, and
 * only what does not come next is looked up.
 */
#ifndef SPL_BOOK_CALENDAR_WALK_H
#define SPL_BOOK_CALENDAR_WALK_H

#include "book/calendar.h"

/* What the book keeps of an entry. Clear its row with spl_calendar_row_clear. */
struct spl_calendar_kept {
    struct spl_calendar_row row;
    gboolean had;                  /* the target had it: */
    struct spl_calendar_sent sent; /* so */
};

typedef struct spl_calendar_walk spl_calendar_walk;

/* Beside what is written to this target; ends before the book is closed. While it lasts, rows may
 * be added to the register, and those that were found be changed. */
struct spl_calendar_walk *spl_calendar_walk_new(struct spl_book *book, gint64 target_id);
void spl_calendar_walk_free(struct spl_calendar_walk *walk); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_calendar_walk, spl_calendar_walk_free)

/* By UID in lower case, wherever it stands; it is quick for what comes next. `kept` is filled when
 * `*found`. */
gboolean spl_calendar_walk_find(struct spl_calendar_walk *walk, const char *uid,
                                struct spl_calendar_kept *kept, gboolean *found, GError **error);

#endif
