/* SPDX-License-Identifier: MIT
 *
 * Entries that a calendar held when we wrote it last, and no longer holds: the person deleted them.
 * That is asked about once, "drop" or "again"; nothing is dropped or written again before.
 */
#ifndef SPL_SEASON_CALENDAR_GONE_H
#define SPL_SEASON_CALENDAR_GONE_H

#include "season/calendar_read.h"

/* TRUE when it is worth a question that this entry is gone: it is neither over, done nor off. */
gboolean spl_calendar_is_missed(const struct spl_calendar_row *row, struct spl_day today);

/* Adds what is gone to the candidates of a reading, after all its files were read. */
gboolean spl_calendar_find_gone(struct spl_calendar_reading_run *run, GError **error);

/* Takes out again what the book says is over. */
void spl_calendar_judge_gone(struct spl_calendar_reading_run *run);

/* Of the event of a step and the task beside it one was deleted and the other not: it is only not
 * wanted twice. */
gboolean spl_calendar_twin_stays(const struct spl_calendar_reading_run *run,
                                 const struct spl_calendar_candidate *candidate);

/* Keeps that the person wants no entry of it in this calendar. Inside a transaction. */
gboolean spl_calendar_hide(struct spl_calendar_reading_run *run, gint64 id, GError **error);

#endif
