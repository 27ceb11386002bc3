/* SPDX-License-Identifier: MIT
 *
 * Carrying a book out into plain tables and in again, so that nobody is locked in; and bringing a
 * colleague's book in.
 */
#ifndef SIMPLING_CARRY_H
#define SIMPLING_CARRY_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/row.h"

struct spl_carried_table {
    char *table;
    gint64 rows;
};
extern const struct spl_shape spl_carried_table_shape;

struct spl_carried {
    char *folder;
    int schema;
    gint64 rows;    /* in all */
    gint64 photos;  /* files of photos that went along */
    GArray *tables; /* struct spl_carried_table */
};
extern const struct spl_shape spl_carried_shape;

struct spl_carry_words {
    const char *path; /* a new folder */
    gboolean photos;  /* photos too: the files, and the small pictures in their table */
};
extern const struct spl_inputs spl_carry_out_inputs;
/*
 * Writes every table as TABLE.csv into a folder that must be empty or absent; schema.csv, the
 * schema's number; README.txt and columns.csv, what it all means; the sites as they are now and the
 * hazards as sites.geojson and hazards.geojson; photos only when it is said, as book.photos.
 * SPL_ERROR_EXISTS when something is there.
 */
gboolean spl_carry_out(struct spl_house *house, const struct spl_carry_words *words,
                       struct spl_carried *carried, GError **error);

extern const struct spl_inputs spl_carry_in_inputs; /* struct spl_book_place */
/* Makes a new book at options->book of such a folder, equal to the one that it came from; whole or
 * not at all. SPL_ERROR_EXISTS, _NOT_FOUND, _INVALID (file, line and column named), _TOO_NEW.
 * Photos that are with it come along. */
gboolean spl_carry_in(const struct spl_house_options *options, const char *folder,
                      struct spl_carried *carried, GError **error);

struct spl_merge_conflict {
    char *code; /* the harvest, lot … or the site's name */
    char *what; /* what both books did with it, and what to do */
};
extern const struct spl_shape spl_merge_conflict_shape;

struct spl_merge_came {
    char *what; /* "harvests" */
    gint64 rows;
};
extern const struct spl_shape spl_merge_came_shape;

/* Which way something turned, the milder first: what was guarded against and is so no more wants a
 * look. */
enum spl_merge_turn {
    SPL_MERGE_MILDER,
    SPL_MERGE_STRICTER,
    SPL_MERGE_OTHERWISE /* neither: a weight, a name */
};
extern const char *const spl_merge_turn_names[]; /* "milder" … NULL at the end */

/* A place or record that was here before and stands otherwise now. */
struct spl_merge_change {
    enum spl_merge_turn turn;
    char *about;          /* the place, or a code */
    char *what;           /* what of it: "verdict", "state", "record", or the name of a field */
    char *before, *after; /* NULL: as it was noted */
    char *why;            /* by whom, and what is said for it; NULL */
};
extern const struct spl_shape spl_merge_change_shape;

/* What somebody struck or corrected of another's record, in the other book too, and nobody who may
 * had agreed to. */
struct spl_merge_revision {
    int number;               /* by which `but` names it: from 1, the same until one is answered */
    char *id;                 /* of its question */
    enum spl_merge_turn turn; /* what becomes of it when it is accepted */
    char *about, *what;
    gboolean accepted; /* now */
};
extern const struct spl_shape spl_merge_revision_shape;

/* The questions that were not there before, joined by whom to ask. */
struct spl_merge_asked {
    char *ask;
    int questions;
    char *settles; /* "4 harvests, 3 jars" */
};
extern const struct spl_shape spl_merge_asked_shape;

struct spl_merged {
    char *other;      /* the other book's path */
    char *mark;       /* and its mark */
    gboolean dry_run; /* nothing was written */
    gint64 added;     /* rows that came */
    gint64 had;       /* rows that were here already */
    gint64 left_out;  /* rows that no program of ours wrote so: the first are among the conflicts */
    GArray *came;     /* struct spl_merge_came */
    GArray *changes;  /* struct spl_merge_change, milder first */
    GArray *revisions; /* struct spl_merge_revision, what would make it milder first */
    GArray *questions; /* struct spl_merge_asked */
    GArray *conflicts; /* struct spl_merge_conflict: kept, and left to the person */
};
extern const struct spl_shape spl_merged_shape;

struct spl_merge_words {
    const char *path;
    gboolean accept;   /* agrees to every revision that the merge lists … */
    const char *but;   /* … but to these: numbers, or how the names of questions begin */
    gboolean dry_run;  /* tells what would come of it, and writes nothing */
    const char *by;    /* NULL: the setting `who` */
    struct spl_day on; /* none: today */
};
extern const struct spl_inputs spl_merge_inputs;
/*
 * Brings in every row of the other book that is not here yet, by UUID: all or nothing. Settings,
 * calendar records and other things of one person's desk stay their own. Merging again adds
 * nothing; what it accepts then is what was left as questions. An acceptance is an answer, and is
 * taken back as one (simpling/question.h).
 * The other book is a stranger's until it was looked at: damaged, or with tables that are not a
 * book's, it is SPL_ERROR_CORRUPT and nothing is taken; a row that breaks the rules of the door, or
 * that is stamped after tomorrow, is left out and named. SPL_ERROR_LIMIT when looking takes a
 * minute. SPL_ERROR_CONFLICT when both books gave the same code to different things (one mark in
 * two hands): nothing is brought in then. SPL_ERROR_NOT_FOUND: `but` names what is not listed.
 */
gboolean spl_merge(struct spl_house *house, const struct spl_merge_words *words,
                   struct spl_merged *merged, GError **error);

#endif
