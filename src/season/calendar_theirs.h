/* SPDX-License-Identifier: MIT
 *
 * What the person made of an entry in their calendar and keeps: its title, a note, its category,
 * its alarms, its time of day. It is put on whatever the book has to say, which is said all the
 * same: that a place is closed, that a thing is done or off, and the whole of the book's own text.
 */
#ifndef SPL_SEASON_CALENDAR_THEIRS_H
#define SPL_SEASON_CALENDAR_THEIRS_H

#include "book/calendar_theirs.h"
#include "season/calendar_read.h"

/* Puts them on an entry that is about to be written; the first `lead` octets of its title stay. */
void spl_calendar_put_theirs(struct spl_entry *entry, gsize lead,
                             const struct spl_calendar_theirs *theirs);

/* What a reading found that the person set for an entry. */
struct spl_calendar_set {
    gint64 id;
    char *uid, *kind, *summary;
    struct spl_day first, last;
    struct spl_calendar_theirs theirs;            /* as it is to be kept */
    gboolean title, note, category, alarms, time; /* which of them are news */
    char *text;        /* the whole description, where our own words were changed; else NULL */
    gboolean reworded; /* they were: they are written again */
    gboolean applied;
};
void spl_calendar_set_free(gpointer set);

/* Compares an entry of ours with what it says of itself; what the person changed is added to
 * run->sets. */
void spl_calendar_see_theirs(struct spl_calendar_reading_run *run, const struct spl_entry *entry,
                             const struct spl_calendar_row *row,
                             const struct spl_calendar_key *key);

/* What the book has now of an entry in run->sets: what equals it is nobody's. */
void spl_calendar_weigh_theirs(struct spl_calendar_reading_run *run,
                               const struct spl_calendar_item *item);

/* Adds the changes to run->out->kept, or to the conflicts where nobody knows which calendar it is.
 */
void spl_calendar_tell_theirs(struct spl_calendar_reading_run *run);

/* Keeps them. Inside a transaction. */
gboolean spl_calendar_keep_theirs(struct spl_calendar_reading_run *run, GError **error);

/* The next writing counts the entry as changed. */
gboolean spl_calendar_forget_sent(struct spl_calendar_reading_run *run, gint64 id, GError **error);

#endif
