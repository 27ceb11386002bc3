/* SPDX-License-Identifier: MIT
 *
 * What the person made of our entries in one of their calendars: a title, a note, a category,
 * alarms, a time of day of their own, or that they do not want it there; and what a calendar held
 * when we had written it last. Everything that writes stands inside a transaction.
 */
#ifndef SPL_BOOK_CALENDAR_THEIRS_H
#define SPL_BOOK_CALENDAR_THEIRS_H

#include "book/calendar.h"

/* What is NULL or -1 is as the book has it. */
struct spl_calendar_theirs {
    char *title, *note, *category;
    char *alarms;           /* minutes before it begins, a comma between; "": none */
    int start_min, end_min; /* on the clock of the calendar */
    gboolean hidden;        /* not wanted in this calendar */
};
#define SPL_CALENDAR_THEIRS_NONE ((struct spl_calendar_theirs){.start_min = -1, .end_min = -1})
void spl_calendar_theirs_clear(struct spl_calendar_theirs *theirs);
void spl_calendar_theirs_free(gpointer theirs);

/* All of a target: register id (gint64 *) -> struct spl_calendar_theirs. NULL with an error. Free
 * with g_hash_table_unref. */
GHashTable *spl_calendar_theirs_of(struct spl_book *book, gint64 target_id, GError **error);

/* Written over what there was; nothing in it: no row. */
gboolean spl_calendar_theirs_put(struct spl_book *book, gint64 target_id, gint64 entry_id,
                                 const struct spl_calendar_theirs *theirs, GError **error);

/* The entry is wanted in every calendar again. */
gboolean spl_calendar_theirs_show(struct spl_book *book, gint64 entry_id, GError **error);

/* ---- what a calendar held ---- */

/* Calls `each` with the id of every entry that the target held, as far as not called off. */
gboolean spl_calendar_there_each(struct spl_book *book, gint64 target_id,
                                 gboolean (*each)(gint64 entry_id, gpointer data, GError **error),
                                 gpointer data, GError **error);
gboolean spl_calendar_there_put(struct spl_book *book, gint64 target_id, gint64 entry_id,
                                gboolean there, GError **error);

/* By id. FALSE with an error when there is none. */
gboolean spl_calendar_row_get(struct spl_book *book, gint64 id, struct spl_calendar_row *row,
                              GError **error);

#endif
