/* SPDX-License-Identifier: MIT
 *
 * Almanacs: those that come with the program, and the person's own.
 */
#ifndef SIMPLING_ALMANAC_H
#define SIMPLING_ALMANAC_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/almanac.h"
#include "simpling/row.h"

/* What adding a calendar brought. */
struct spl_almanac_added {
    char *almanac;       /* its name */
    int events;          /* in the file */
    int rows;            /* understood */
    int fresh;           /* of them new to the book */
    int changed;         /* of them different from before */
    gboolean truncated;  /* the file ends in the middle of an entry */
    char *place;         /* whose days those are that say no place of their own; NULL: nobody's */
    GPtrArray *replaces; /* of texts: which windows of the program's almanac they stand for */
    GPtrArray *cautions;
    GArray *not_understood; /* of struct spl_ical_left */
    gboolean dry_run;       /* nothing was written */
};
extern const struct spl_shape spl_almanac_added_shape;

/* A calendar, and where its days are from when its events do not say: not said, the person's home.
 */
struct spl_almanac_words {
    const char *path;
    struct spl_coordinates at;
    double elevation_m;
    gboolean dry_run; /* look, and write nothing */
};
extern const struct spl_inputs spl_almanac_inputs;

/* Reads a calendar into the book; entries of the same calendar and UID are replaced. With a
 * reference place its rows are moved, warmed and learn like any other. SPL_ERROR_INVALID when not
 * one event is understood. */
gboolean spl_almanac_add(struct spl_house *house, const struct spl_almanac_words *words,
                         struct spl_almanac_added *added, GError **error);

struct spl_almanac_question {
    const char *almanac; /* a part of its name; NULL: all */
};
extern const struct spl_inputs spl_almanac_question_inputs;
/* All rows, the person's own almanacs first: a list of spl_almanac_row_shape
 * (simpling/record/almanac.h). */
GArray *spl_almanac_list(struct spl_house *house, const struct spl_almanac_question *question,
                         GError **error);

#endif
