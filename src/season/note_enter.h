/* SPDX-License-Identifier: MIT
 *
 * What a note says, through the same doors as any entry of a person.
 */
#ifndef SPL_SEASON_NOTE_ENTER_H
#define SPL_SEASON_NOTE_ENTER_H

#include "season/note_frame.h"

/* What the entry says in words, without place and day. Free with g_free. */
char *spl_note_describe(const struct spl_note_entry *entry);

/*
 * Writes it, inside the transaction of the caller: all of its records or an error. Fills record,
 * code and cautions of the row. `by` NULL: the setting `who`.
 */
gboolean spl_note_enter(struct spl_house *house, const struct spl_note_entry *entry, const char *by,
                        struct spl_note_row *row, GError **error);

/* What a newer revision of a slip's line changes in the record `code` that an older one made. */
gboolean spl_note_amend(struct spl_house *house, const struct spl_note_entry *entry,
                        const char *code, const char *by, struct spl_note_row *row, GError **error);

#endif
