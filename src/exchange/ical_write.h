/* SPDX-License-Identifier: MIT
 *
 * Writes one iCalendar file (RFC 5545, 7986), one component at a time, so that memory does not grow
 * with the file. One VCALENDAR, no METHOD, NAME and X-WR-CALNAME, VTIMEZONE only when a zone is
 * used and cut to the years that are needed.
 *
 * Everything is taken as text from people: control characters and invalid UTF-8 become spaces,
 * empty properties are left out, a comma in a category or own value becomes a space, a URL that is
 * no absolute URI is refused. Equal entries give identical bytes on every day and machine: nothing
 * is taken from the clock.
 *
 *     g_autoptr(spl_ical_writer) writer = spl_ical_writer_open(path, &options, error);
 *     spl_ical_writer_add(writer, &entry, error); ...
 *     spl_ical_writer_commit(writer, error);
 */
#ifndef SPL_EXCHANGE_ICAL_WRITE_H
#define SPL_EXCHANGE_ICAL_WRITE_H

#include <stdio.h>

#include "exchange/entry.h"

struct spl_ical_options {
    gboolean with_places; /* where things grow: a new file is its owner's alone */
    const char *name;     /* the calendar's name; NULL: none written */
    const char *zone;     /* IANA name of the zone of timed entries; NULL or "UTC": no VTIMEZONE */
    int year_first, year_last; /* years that the VTIMEZONE must cover */
    int refresh_days; /* how often one who subscribes should look again (RFC 7986 5.7); 0: not said
                       */
    GArray *x;        /* of struct spl_entry_x: own properties of the whole calendar, such as
                         X-SIMPLING-NORMALS; NULL: none. Borrowed. */
};

typedef struct spl_ical_writer spl_ical_writer;

/* Writes to a file through base/file.h: whole or not at all. SPL_ERROR_INVALID for an unknown zone,
 * and what spl_file_writer_open gives. */
struct spl_ical_writer *
spl_ical_writer_open(const char *path, const struct spl_ical_options *options, GError **error);

/* Writes to a stream (`--out -`), which stays the caller's. */
struct spl_ical_writer *
spl_ical_writer_open_stream(FILE *stream, const struct spl_ical_options *options, GError **error);

/* Appends one entry. SPL_ERROR_INVALID: no start, an end before the start, a UID that is none, a
 * URL that is no URI, a zone other than the options' (or UTC). */
gboolean spl_ical_writer_add(struct spl_ical_writer *writer, const struct spl_entry *entry,
                             GError **error);

/* Entries added so far. */
int spl_ical_writer_count(const struct spl_ical_writer *writer);

/* Ends the calendar; whether the file holds anything else, or is not there: putting this one in its
 * place would change it. Not for a stream. */
gboolean spl_ical_writer_changes(struct spl_ical_writer *writer, gboolean *changes, GError **error);

/* Ends the calendar and puts the file in its place. Without any entry it is SPL_ERROR_NOT_FOUND
 * and nothing is written: RFC 5545 3.6 knows no empty calendar. */
gboolean spl_ical_writer_commit(struct spl_ical_writer *writer, GError **error);

/* SHA-256 in hex of the whole file, after the commit; free with g_free. NULL for a stream. */
char *spl_ical_writer_checksum(const struct spl_ical_writer *writer);

void spl_ical_writer_free(struct spl_ical_writer *writer);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_ical_writer, spl_ical_writer_free)

/* One entry as a file of its own (for CalDAV folders: one UID a file, RFC 4791 4.1). Untouched when
 * it already holds just these bytes. */
gboolean spl_ical_write_one(const char *path, const struct spl_ical_options *options,
                            const struct spl_entry *entry, GError **error);

#endif
