/* SPDX-License-Identifier: MIT
 *
 * What makes a calendar entry the same one for ever: its natural key, whose UUIDv5 in the book's
 * own UUID is the UID. Parts are separated by ';', which no slug, UUID or use holds; the almanac's
 * own UID, which may, stands last.
 *
 *     window;SITE;MATERIAL;USE;FLUSH;YEAR;ALMANAC-UID
 *     step;BATCH;STEP          lot;LOT          outing;OUTING          check;SITE;YEAR;N
 *
 * A task beside or instead of an event has the same key after "task;".
 */
#ifndef SPL_SEASON_CALENDAR_KEY_H
#define SPL_SEASON_CALENDAR_KEY_H

#include <glib.h>

struct spl_calendar_key {
    gboolean task;
    char *kind;     /* "window", "step", "lot", "outing", "check" */
    char *subject;  /* UUID of the site, batch, lot or outing */
    char *material; /* windows */
    char *use;      /* windows */
    char *step;     /* steps */
    int flush;      /* windows */
    int year;       /* windows, checks */
};

/* FALSE when the text is no such key. Clear with spl_calendar_key_clear. */
gboolean spl_calendar_key_parse(const char *text, struct spl_calendar_key *key);
void spl_calendar_key_clear(struct spl_calendar_key *key);

#endif
