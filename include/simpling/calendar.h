/* SPDX-License-Identifier: MIT
 *
 * Calendars both ways: every date of the book into any calendar application, and back what the
 * person changed there.
 */
#ifndef SIMPLING_CALENDAR_H
#define SIMPLING_CALENDAR_H

#include <glib.h>
#include <stdio.h>

#include "simpling/day.h"
#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/calendar.h"
#include "simpling/row.h"

/* ---- writing ---- */

struct spl_calendar_words {
    const char *out;         /* file; NULL: calendar.ics beside the book; "-": a stream */
    const char *split;       /* folder: one file an entry, in place of `out` */
    const char *kinds;       /* folder: a named calendar of each kind, in place of `out` */
    const char *what;        /* of "windows,outings,steps,checks"; NULL: all */
    gboolean tasks;          /* a task beside each reminder */
    gboolean tasks_only;     /* tasks instead */
    const char *at;          /* "HH:MM", of reminders; NULL: all-day */
    const char *zone;        /* IANA name; NULL: the book's setting; needed with `at` */
    gboolean with_places;    /* GEO of the sites: private, so only when asked */
    gboolean new_only;       /* what this target has not had yet */
    struct spl_day from, to; /* only entries that touch these days; none: no bound */
    const char *name;        /* the calendar's name as applications show it; NULL: a usual one */
    const char *as;          /* name of the target; NULL: the path */
    gboolean force;          /* replace a file that is not ours or was changed since */
};
extern const struct spl_inputs spl_calendar_inputs;

struct spl_calendar_written {
    char *file; /* or folder; NULL: nothing new, so nothing was written */
    char *target;
    int events, todos; /* written, cancelled ones included */
    int fresh;         /* of them new to this target */
    int changed;       /* changed since this target had them */
    int cancelled;     /* withdrawn since then */
};
extern const struct spl_shape spl_calendar_written_shape;

/*
 * Writes the book's dates. An unchanged book gives identical bytes. SPL_ERROR_CONFLICT: the file is
 * not ours or was changed since we wrote it; SPL_ERROR_NOT_FOUND: no entry at all. `stream` takes
 * what is written to "-"; NULL: nothing may be.
 */
gboolean spl_calendar_write(struct spl_house *house, const struct spl_calendar_words *words,
                            FILE *stream, struct spl_calendar_written *written, GError **error);

/* ---- checking ---- */

struct spl_calendar_file {
    const char *path;
};
extern const struct spl_inputs spl_calendar_file_inputs;
/* Every rule that a calendar file must keep; needs no book. TRUE also when there are findings. */
gboolean spl_calendar_check(const struct spl_calendar_file *file, struct spl_ical_checked *checked,
                            GError **error);
/* TRUE: no finding. */
gboolean spl_calendar_checked_ok(const struct spl_ical_checked *checked);

/* ---- reading ---- */

/* Something of ours that the person changed. */
struct spl_calendar_change {
    char *kind; /* "window", "step", "outing", "check", "lot" */
    char *what; /* title */
    char *code; /* of the batch; NULL */
    char *site; /* NULL */
    struct spl_day was_first, was_last;
    struct spl_day first, last; /* as the calendar has it now */
    char *change;               /* "moved", "done", "dropped", "again", "deleted"; of what was kept
                                   "title", "note", "category", "alarm", "time" */
    char *text;                 /* what the person set it to; NULL: it is no such change */
    gboolean applied;
    char *why; /* conflicts and ignored ones: what is the matter; else NULL */
    /* What settles it: "press" the batch, with what it yielded; "end" the batch, by pressing or
     * discarding it; "use" the lot up, or discard it; "note" what is known of the place; give the
     * step a day, "due"; "prefer" one of both sides; NULL: nothing does. */
    char *next;
    struct spl_day done_on; /* of a ticked task */
};
extern const struct spl_shape spl_calendar_change_shape;

struct spl_calendar_reading {
    const char *path; /* a file, or a folder of files */
    gboolean apply;
    /* Both moved it: "calendar", what the person set holds; "book", what the book has, and the next
     * writing puts it back; NULL: it is named and left. */
    const char *prefer;
    /* Of what the person deleted there, once for all of it: "drop", as if it were cancelled;
     * "again", it is written again; NULL: it is named and left. */
    const char *deleted;
    const char *as_almanac; /* new entries titled like a known material become rows of this almanac;
                               NULL: they are foreign */
    const char *as;         /* the target that the file is; NULL: its path */
    const char *by;         /* who; NULL: the setting */
};
extern const struct spl_inputs spl_calendar_reading_inputs;

struct spl_calendar_read {
    char *file;
    gboolean applied;
    int ours;           /* entries that are the book's */
    int unchanged;      /* of them */
    int foreign;        /* entries that are not */
    GArray *moved;      /* of struct spl_calendar_change */
    GArray *done;       /* likewise: ticked tasks */
    GArray *dropped;    /* likewise: cancelled there */
    GArray *again;      /* likewise: were dropped, and are wanted again */
    GArray *kept;       /* likewise: titles, notes, categories, alarms, times that the person set */
    GArray *deleted;    /* likewise: no longer in the calendar */
    GArray *conflicts;  /* likewise: changed here and there */
    GArray *ignored;    /* likewise: changes that have no meaning for the book */
    char *almanac;      /* that rows were added to; NULL */
    int almanac_rows;   /* understood as such */
    gboolean truncated; /* the file ends in the middle of an entry */
    GArray *left_out;   /* of struct spl_ical_left */
};
extern const struct spl_shape spl_calendar_read_shape;

/*
 * Compares a calendar with what was written into it and with the book. Only with `apply` is
 * anything changed; then all of it or nothing. Reading the same file again changes nothing more.
 */
gboolean spl_calendar_read(struct spl_house *house, const struct spl_calendar_reading *reading,
                           struct spl_calendar_read *read, GError **error);

/* ---- what was dropped there ---- */

/* A window, a use-by day or a day of checking that the person dropped in a calendar. */
struct spl_calendar_dropped {
    char *kind, *what;
    struct spl_day first, last;
    gboolean again; /* it is taken up again now */
};
extern const struct spl_shape spl_calendar_dropped_shape;

struct spl_calendar_again_words {
    const char *title; /* or a part of it; NULL: nothing is taken up, all is listed */
};
extern const struct spl_inputs spl_calendar_again_inputs;

/* A list of spl_calendar_dropped_shape: what was dropped, or with a title that one, which stands in
 * every calendar again from its next writing on. Steps and outings are dropped in the book, which
 * takes them up. NULL with an error. */
GArray *spl_calendar_again(struct spl_house *house, const struct spl_calendar_again_words *words,
                           GError **error);

/* ---- busy times ---- */

struct spl_busy_question {
    const char *path;
    struct spl_day from, to; /* none: from today, for a year */
    const char *zone;        /* IANA name; NULL: the book's setting, else as the times stand */
    gboolean others;         /* without what a book wrote into it */
};
extern const struct spl_inputs spl_busy_inputs;
/* The busy times of a person's own calendar (exchange/busy.h); needs no book. */
gboolean spl_calendar_busy(struct spl_house *house, const struct spl_busy_question *question,
                           struct spl_busy_read *busy, GError **error);

#endif
