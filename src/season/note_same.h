/* SPDX-License-Identifier: MIT
 *
 * What makes a line of notes the same as another: in this book, so that it is taken once, and in
 * another's that read the same notes, so that after a merge its entry is one.
 */
#ifndef SPL_SEASON_NOTE_SAME_H
#define SPL_SEASON_NOTE_SAME_H

#include "book/note_line.h"
#include "season/note_frame.h"

/* Kind, day, place, material or code and verb. Free with g_free. */
char *spl_note_about(const struct spl_note_entry *entry);
/* And the amount. */
char *spl_note_key(const struct spl_note_entry *entry, const char *about);
/* A slip's line is another when anything of it is. */
char *spl_note_content(const struct spl_note_entry *entry, const char *key);

/* "(second)", "(3rd)": it is another one; 1: nothing is said. */
int spl_note_said_again(const struct spl_note_entry *entry);

/* What stands at home has no place in the field. */
gboolean spl_note_is_of_home(const struct spl_note_entry *entry);

/* All that was typed in a file, whatever way its bytes came. Free with g_free. */
char *spl_note_sum(const struct spl_note_lines *lines);

/*
 * The UUID of what a line makes. A slip's line has its identity; so has a typed one about a place:
 * the notes in which it stands, what it says, the which of its like, the place's own UUID. Two
 * books of one dispensary that read the same notes make one entry of it; two people who picked as
 * much make two, since each typed notes of their own. A jar's code is another's in another book.
 * Free with g_free.
 */
char *spl_note_uuid(struct spl_house *house, const char *sum, const struct spl_note_entry *entry,
                    const struct spl_note_taken *taken);

#endif
