/* SPDX-License-Identifier: MIT
 *
 * One writing of a calendar, between what is asked for and its files (calendar_write.c) and its
 * entries (calendar_emit.c).
 */
#ifndef SPL_SEASON_CALENDAR_EMIT_H
#define SPL_SEASON_CALENDAR_EMIT_H

#include "exchange/ical_write.h"
#include "season/calendar_gather.h"
#include "season/calendar_scope.h"
#include "season/calendar_theirs.h"

/* A set of register ids. */
struct spl_calendar_ids {
    GByteArray *bits;
    GHashTable *far; /* gint64 *: ids that only a damaged register has */
};

/* One writing. */
struct spl_calendar_run {
    struct spl_calendar_gather gather;
    struct spl_calendar_scope scope;
    const struct spl_calendar_words *words;
    FILE *stream; /* for "-" */
    struct spl_book *book;
    struct spl_ical_options options;
    spl_ical_writer *writer; /* NULL with a folder */
    const char *folder;      /* absolute; NULL with a file */
    GHashTable *there;       /* UID -> name of the folder's file that holds it under another name */
    struct spl_calendar_ids held; /* register ids of what stands in the folder */
    int n_files;                  /* in it */
    gint64 target_id;
    gint64 now;                   /* seconds since 1970 UTC */
    gboolean whole;               /* no filter: what is not gathered was withdrawn */
    struct spl_calendar_ids seen; /* register ids */
    struct spl_calendar_ids put;  /* likewise: written into the file, and not as called off */
    GHashTable *theirs;           /* register id -> struct spl_calendar_theirs of this target */
    GPtrArray *files;             /* put in place so far */
    GArray *fresh;          /* of struct spl_calendar_fresh: new to the register, not yet in it */
    GHashTable *fresh_uids; /* of these; borrowed from them */
    struct spl_calendar_written *out;
};

/* Ends with spl_calendar_ids_clear. */
void spl_calendar_ids_init(struct spl_calendar_ids *ids);

void spl_calendar_ids_clear(struct spl_calendar_ids *ids);

void spl_calendar_ids_add(struct spl_calendar_ids *ids, gint64 id);

gboolean spl_calendar_ids_have(const struct spl_calendar_ids *ids, gint64 id);

/* TRUE when a day of the entry lies between the first and last day that were asked for. */
gboolean spl_calendar_falls_into(const struct spl_calendar_scope *scope,
                                 const struct spl_entry *entry);

/* Clears one of the `fresh` of a run. */
void spl_calendar_fresh_clear(gpointer fresh);

/* Adds what is new to the register; to be called once more after the last entry. */
gboolean spl_calendar_emit_fresh(struct spl_calendar_run *run, GError **error);

/* Writes an entry that the book has now, if it is asked for; `run` is a struct spl_calendar_run. */
gboolean spl_calendar_emit_item(struct spl_calendar_item *item, gpointer run, GError **error);

/* Writes an entry of the register as called off, if this run would have gathered it and did not;
 * `run` is a struct spl_calendar_run. */
gboolean spl_calendar_emit_withdrawn(gint64 id, gpointer run, GError **error);

#endif
