/* SPDX-License-Identifier: MIT
 *
 * Reads the events and tasks of any iCalendar file as plain structs, one at a time, and says what
 * it left out. No repetition rule is expanded here, and the file is never rewritten.
 */
#ifndef SPL_EXCHANGE_ICAL_READ_H
#define SPL_EXCHANGE_ICAL_READ_H

#include "exchange/entry.h"
#include "exchange/ical_scan.h"

typedef struct spl_ical_reader spl_ical_reader;

/* `limits` NULL: the usual ones. Errors as spl_ical_scan_open. */
struct spl_ical_reader *spl_ical_reader_open(const char *path, const struct spl_ical_limits *limits,
                                             GError **error);
struct spl_ical_reader *spl_ical_reader_open_bytes(const char *bytes, gsize size,
                                                   const struct spl_ical_limits *limits,
                                                   GError **error);

/*
 * The next event or task into `entry` (an initialised one, which is cleared first). FALSE at the
 * end without an error, or with one. An entry without a usable start and due, or with a day that
 * does not exist, is left out and listed; an entry without UID is handed out with uid NULL; an end
 * before the start is read as one day and listed.
 */
gboolean spl_ical_reader_next(struct spl_ical_reader *reader, struct spl_entry *entry,
                              GError **error);

/* The guard below: name of the calendar, truncated, what was left out. Borrowed. */
struct spl_ical_scan *spl_ical_reader_scan(struct spl_ical_reader *reader);

void spl_ical_reader_free(struct spl_ical_reader *reader);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_ical_reader, spl_ical_reader_free)

#endif
