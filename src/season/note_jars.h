/* SPDX-License-Identifier: MIT
 *
 * Notes about what stands at home: jars, racks, lots, weights, remarks. Inside of note_enter.c.
 */
#ifndef SPL_SEASON_NOTE_JARS_H
#define SPL_SEASON_NOTE_JARS_H

#include "season/note_frame.h"

gboolean spl_note_enter_jars(struct spl_house *house, const struct spl_note_entry *entry,
                             const char *by, struct spl_note_row *row, GError **error);

/* Puts `lead` and the entry's words behind what is remembered of its place. */
gboolean spl_note_place_remark(struct spl_house *house, const struct spl_note_entry *entry,
                               const char *lead, GError **error);

#endif
