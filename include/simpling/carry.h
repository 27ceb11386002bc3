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
    GArray *tables; /* struct spl_carried_table */
};
extern const struct spl_shape spl_carried_shape;

extern const struct spl_inputs spl_carry_out_inputs; /* struct spl_book_place */
/*
 * Writes every table as TABLE.csv into a folder that must be empty or absent; schema.csv, the
 * schema's number; README.txt and columns.csv, what it all means; the sites as they are now and the
 * hazards as sites.geojson and hazards.geojson. SPL_ERROR_EXISTS when something is there.
 */
gboolean spl_carry_out(struct spl_house *house, const char *folder, struct spl_carried *carried,
                       GError **error);

extern const struct spl_inputs spl_carry_in_inputs; /* struct spl_book_place */
/* Makes a new book at options->book of such a folder, equal to the one that it came from; whole or
 * not at all. SPL_ERROR_EXISTS, _NOT_FOUND, _INVALID (file, line and column named), _TOO_NEW. */
gboolean spl_carry_in(const struct spl_house_options *options, const char *folder,
                      struct spl_carried *carried, GError **error);

struct spl_merge_conflict {
    char *code; /* the harvest, lot … or the site's name */
    char *what; /* what both books did with it, and what to do */
};
extern const struct spl_shape spl_merge_conflict_shape;

struct spl_merged {
    char *other;     /* the other book's path */
    char *mark;      /* and its mark */
    gint64 added;    /* rows that came */
    gint64 had;      /* rows that were here already */
    gint64 left_out; /* rows that no program of ours wrote so: the first are among the conflicts */
    GArray *conflicts; /* struct spl_merge_conflict: kept, and left to the person */
};
extern const struct spl_shape spl_merged_shape;

extern const struct spl_inputs spl_merge_inputs; /* struct spl_book_place */
/*
 * Brings in every row of `other` that is not here yet, by UUID: all or nothing. Settings, calendar
 * records and other things of one person's desk stay their own. Merging again adds nothing.
 * The other book is a stranger's until it was looked at: damaged, or with tables that are not a
 * book's, it is SPL_ERROR_CORRUPT and nothing is taken; a row that breaks the rules of the door, or
 * that is stamped after tomorrow, is left out and named. SPL_ERROR_LIMIT when looking takes a
 * minute. SPL_ERROR_CONFLICT when both books gave the same code to different things (one mark in
 * two hands): nothing is brought in then.
 */
gboolean spl_merge(struct spl_house *house, const char *other, struct spl_merged *merged,
                   GError **error);

#endif
