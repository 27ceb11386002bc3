/* SPDX-License-Identifier: MIT
 *
 * Windows that the person set in their calendar: they win over every prediction.
 */
#ifndef SPL_BOOK_WINDOW_H
#define SPL_BOOK_WINDOW_H

#include <glib.h>

#include "book/book.h"
#include "simpling/day.h"

/* Which window: one material, use and flush at a site in a growing year. */
struct spl_window_fix {
    gint64 site_id;
    char *material, *use;
    int flush, year;
    struct spl_day start, end; /* the last day included; none: let go again */
};

/* Notes the days (the last note holds). Inside a transaction. */
gboolean spl_window_fix_add(struct spl_book *book, const struct spl_window_fix *fix,
                            GError **error);

typedef struct spl_window_fixes spl_window_fixes;

/* The windows fixed in a growing year as they stood at the end of day `until`, for look-up; free
 * with spl_window_fixes_free. */
struct spl_window_fixes *spl_window_fixes_load(struct spl_book *book, int year,
                                               struct spl_day until, GError **error);
void spl_window_fixes_free(struct spl_window_fixes *fixes); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_window_fixes, spl_window_fixes_free)

/* FALSE: not fixed. */
gboolean spl_window_fixes_find(const struct spl_window_fixes *fixes, gint64 site_id,
                               const char *material, const char *use, int flush,
                               struct spl_day *start, struct spl_day *end);

#endif
