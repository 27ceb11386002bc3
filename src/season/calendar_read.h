/* SPDX-License-Identifier: MIT
 *
 * One reading of a calendar, between comparing (calendar_read.c) and applying (calendar_apply.c).
 */
#ifndef SPL_SEASON_CALENDAR_READ_H
#define SPL_SEASON_CALENDAR_READ_H

#include "season/calendar_gather.h"
#include "season/calendar_key.h"

/* An entry of ours that the person may have changed. */
struct spl_calendar_candidate {
    struct spl_calendar_row row; /* what we wrote last */
    struct spl_calendar_key key;
    struct spl_day first, last;    /* what the file says; the row's days when it says nothing new */
    enum spl_calendar_state state; /* likewise */
    gboolean moved;
    struct spl_day completed;             /* on the person's own clock; unset: not said */
    struct spl_day base_first, base_last; /* as this calendar had it from us */
    struct spl_day have_first, have_last; /* what the book has now; unset: no longer there */
    gboolean have_done;
    struct spl_day since; /* of the batch */
    char *code, *site;
    gboolean gone;    /* no longer in the calendar: the person deleted it */
    gboolean again;   /* was dropped, and is taken up again */
    gboolean ignored; /* has no meaning for the book */
    gboolean both;    /* moved here and there */
    gboolean applied;
    char *why;
    const char *next; /* as of struct spl_calendar_change */
};
void spl_calendar_candidate_free(gpointer candidate);

struct spl_calendar_reading_run {
    struct spl_house *house;
    const struct spl_calendar_reading *reading;
    struct spl_calendar_read *out;
    gint64 target_id;                  /* 0: not a calendar that we wrote */
    char *zone;                        /* the person's; NULL: times as they stand */
    GPtrArray *candidates;             /* struct spl_calendar_candidate, in the order of the file */
    GHashTable *by_uid;                /* UID -> borrowed candidate */
    GHashTable *versions;              /* UID -> struct version: the newest copy met so far */
    gboolean folder;                   /* a folder was asked for */
    gboolean one_of_folder;            /* a file of a folder that we wrote */
    GPtrArray *ours;                   /* files that hold nothing but entries of the book */
    GHashTable *theirs;                /* register id -> struct spl_calendar_theirs of this
                                          calendar; empty if it is not one that we wrote */
    spl_calendar_walk *walk;           /* the register beside the files; NULL: not begun */
    GHashTable *met;                   /* register ids that stand in the files */
    GHashTable *met_uids;              /* their UIDs, borrowed of `versions` */
    GPtrArray *sets;                   /* struct spl_calendar_set: what the person set */
    GHashTable *sets_by_uid;           /* borrowed */
    int n_again;                       /* candidates that are taken up again */
    GHashTable *sequences;             /* register id -> greater SEQUENCE that the file has */
    GHashTable *changed;               /* steps that were, as "BATCH;STEP" */
    GArray *rows;                      /* struct spl_almanac_row, for as_almanac */
    struct spl_calendar_gather gather; /* of what the book has now */
};

/* Takes one entry of a file: what differs from everything that we ever wrote becomes a candidate.
 */
gboolean spl_calendar_take_entry(struct spl_calendar_reading_run *run,
                                 const struct spl_entry *entry, GError **error);

/* calendar_folder.c: takes the entries of the file or folder that was asked for. */
gboolean spl_calendar_read_files(struct spl_calendar_reading_run *run, GError **error);

/* calendar_judge.c: sets `why`, `next`, `ignored` and `both` of the candidates that cannot be taken
 * over, when the book has said what it has now. */
void spl_calendar_judge(struct spl_calendar_reading_run *run);

/* The day on which a ticked task was done. */
struct spl_day spl_calendar_done_on(const struct spl_calendar_reading_run *run,
                                    const struct spl_calendar_candidate *candidate);

/* Takes over what can be; sets `applied` of the candidates. Inside a transaction. */
gboolean spl_calendar_apply(struct spl_calendar_reading_run *run, GError **error);

#endif
