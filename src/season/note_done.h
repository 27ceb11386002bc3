/* SPDX-License-Identifier: MIT
 *
 * Notes of what was done: with jars, racks, lots and stands, or asked of a person. Inside of
 * season/note_frame.h.
 */
#ifndef SPL_SEASON_NOTE_DONE_H
#define SPL_SEASON_NOTE_DONE_H

#include "season/note_frame.h"

/* The first token of a kind; NULL: none. */
const struct spl_note_token *spl_note_first(const struct spl_note_lexed *lexed,
                                            enum spl_note_word word);

/* Refuses what is not known, with what is near to it. */
void spl_note_unknown(const struct spl_note_context *context, const struct spl_note_lexed *lexed,
                      const struct spl_note_token *token, struct spl_note_entry *entry);

/* Refuses when no place or day was said; TRUE: nothing was refused so far. */
gboolean spl_note_needs(struct spl_note_entry *entry, gboolean place, gboolean day);

/* Whether words that mean nothing may stand in such a line: who said it, a remark. */
gboolean spl_note_takes_words(const struct spl_note_lexed *lexed);

/* TRUE of a step whose box is not ticked: it is no entry, and says so. */
gboolean spl_note_is_open(const struct spl_note_lexed *lexed, struct spl_note_entry *entry);

/* FALSE: nothing was done in it. */
gboolean spl_note_frame_done(const struct spl_note_context *context,
                             const struct spl_note_lexed *lexed, struct spl_note_entry *entry);

#endif
