/* SPDX-License-Identifier: MIT
 *
 * What of a note's line is known by its shape: dates, amounts, numbers. Inside of note_lex.c.
 *
 * Each looks at one place of a folded text and fills the token (its end, what it means, or why it
 * can mean nothing) when its shape is there.
 */
#ifndef SPL_SEASON_NOTE_SCAN_H
#define SPL_SEASON_NOTE_SCAN_H

#include "season/note_lex.h"

/* Whether the pattern stands at that place; `kept` is the pattern made. */
gboolean spl_note_scan(GRegex **kept, const char *pattern, const char *text, gsize at,
                       GMatchInfo **match);
gsize spl_note_scan_end(const GMatchInfo *match);

/* "2027-07-14", "20270714" and times; dates that look like amounts or numbers come later. */
gboolean spl_note_scan_date(const char *text, gsize at, struct spl_note_token *token);
/* "14 July", "July 14th", "14.7.2027", "14/7", "Tue", "last Saturday", "yesterday". */
gboolean spl_note_scan_day(const char *text, gsize at, struct spl_note_token *token);
/* Behind "since" and "until": "2020", "March", "October 2027". */
gboolean spl_note_scan_month(const char *text, gsize at, struct spl_note_token *token);

/* "600 g", "2 lb 8 oz", "3 x 200g", "half a pound", "2 bags", "40 plants", "50 ml". */
gboolean spl_note_scan_amount(const char *text, gsize at, struct spl_note_token *token);
/* A number without a unit. */
gboolean spl_note_scan_number(const char *text, gsize at, struct spl_note_token *token);

#endif
