/* SPDX-License-Identifier: MIT
 *
 * What each entry of ours says of itself in the file, X-SIMPLING-WROTE: marks of the title, text,
 * category, alarms and time of day as we wrote them. Whoever changes one of them leaves it as it
 * was, and so an entry that comes back tells what is the person's, from however old a copy, and
 * nothing need be remembered. Marks are of the letters alone: blanks and line breaks do not count,
 * which programs set as they like.
 *
 *     TITLE-OWN.LENGTH-NOTE-CATEGORY-ALARMS-START.END    hexadecimal; minutes, or "day" alone
 */
#ifndef SPL_EXCHANGE_ENTRY_MARK_H
#define SPL_EXCHANGE_ENTRY_MARK_H

#include "exchange/entry.h"

#define SPL_ENTRY_MARK_NAME "X-SIMPLING-WROTE"
#define SPL_ENTRY_MARK_SIZE 96
/* Stands between the book's text and what the person added to it. */
#define SPL_ENTRY_NOTE_LINE "Your note:"

struct spl_entry_mark {
    guint32 title, own, note, category, alarms;
    guint own_length;       /* letters of the book's own text */
    int start_min, end_min; /* -1: all-day */
};

/* The mark of a text, NULL as "": FNV-1a, 32 bits, of its octets but for blanks. How many they are
 * in `*length`, if it is not NULL. */
guint32 spl_text_mark(const char *text, guint *length);

void spl_entry_mark_format(const struct spl_entry_mark *mark, char text[SPL_ENTRY_MARK_SIZE]);

/* FALSE: it is no mark of ours. */
gboolean spl_entry_mark_parse(const char *text, struct spl_entry_mark *mark);

/*
 * What the person made of a text of ours: what stands after "Your note:", else what was put before
 * or behind our own words, else the whole, when something within them was changed, which `*whole`
 * says. NULL: nothing is theirs. Free with g_free.
 */
char *spl_entry_mark_note(const struct spl_entry_mark *mark, const char *text, gboolean *whole);

#endif
