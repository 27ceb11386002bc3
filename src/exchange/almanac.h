/* SPDX-License-Identifier: MIT
 *
 * Almanacs as iCalendar files: ours with X-SIMPLING-* properties, and calendars made by hand in any
 * application whose events are titled like a known material ("Nettle leaf").
 *
 * Of an event: SUMMARY, DTSTART/DTEND (a day or time; the days count), GEO, and
 *   X-SIMPLING-MATERIAL  slug "nettle/leaf" (else the title is looked up)
 *   X-SIMPLING-USE       "medicine", "food" (else CATEGORIES if it is one of them, else medicine)
 *   X-SIMPLING-STAGES    "60-63"
 *   X-SIMPLING-FLUSH     1, 2 ... (else by order of the days within the year)
 *   X-SIMPLING-EVERY     days between pickings
 *   X-SIMPLING-ELEVATION metres
 *   X-SIMPLING-SOURCE    where the dates are from
 *   X-SIMPLING-PERIOD    of which years they are: "1991-2020"
 *   X-SIMPLING-FROST     "stands": a killing frost does not end it; "ends" (else its part says)
 * Of the calendar: NAME or X-WR-CALNAME, X-SIMPLING-NORMALS (twelve mean temperatures in degrees
 * Celsius, January first, separated by blanks, then words that say where they are from),
 * X-SIMPLING-PERIOD (the years of those means). A title of ours is understood too: "(food)" in it
 * is that use, "second time" that flush. Rules are not expanded: every row comes again every year.
 * What is not understood is reported.
 */
#ifndef SPL_EXCHANGE_ALMANAC_H
#define SPL_EXCHANGE_ALMANAC_H

#include "core/almanac.h"
#include "core/tables.h"
#include "exchange/ical_read.h"

struct spl_almanac_read {
    char *file;
    char *name;             /* of the calendar, else the file's name without ".ics" */
    char *normals_source;   /* NULL: none */
    int events;             /* in the file */
    gboolean truncated;     /* the file ends in the middle of a component */
    GArray *rows;           /* of struct spl_almanac_row, in the order of the file */
    GArray *not_understood; /* of struct spl_ical_left: events without a row, and parts of events
                               that were understood that could not be used */
};
extern const struct spl_shape spl_almanac_read_shape;

/* Reads an almanac; clear `out` with spl_record_clear. Errors as spl_ical_scan_open. A file without
 * a single usable row is no error here: see `rows` and `not_understood`. */
gboolean spl_almanac_read_file(const char *path, const struct spl_tables *tables,
                               struct spl_almanac_read *out, GError **error);

/* The same up to the first row that has a place, which with the calendar's name and normals tells
 * what ground the almanac speaks of; the whole file where that does not stand at its head. */
gboolean spl_almanac_read_head(const char *path, const struct spl_tables *tables,
                               struct spl_almanac_read *out, GError **error);

/*
 * One entry of any calendar as an almanac row, if it is titled like a known material or has our own
 * properties. FALSE without an error: it is neither; with SPL_ERROR_INVALID: it is, but unusable.
 * `row` is initialised here; its `almanac` and normals stay unset. Flush stays 0 when not said.
 */
gboolean spl_almanac_row_from_entry(const struct spl_entry *entry, const struct spl_tables *tables,
                                    struct spl_almanac_row *row, GError **error);

#endif
