/* SPDX-License-Identifier: MIT
 *
 * Almanacs: those that come with the program, and the person's own.
 */
#ifndef SIMPLING_ALMANAC_H
#define SIMPLING_ALMANAC_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/record/almanac.h"
#include "simpling/row.h"

/* What adding a calendar brought. */
struct spl_almanac_added {
    char *almanac;          /* its name */
    int events;             /* in the file */
    int rows;               /* understood */
    int fresh;              /* of them new to the book */
    int changed;            /* of them different from before */
    gboolean truncated;     /* the file ends in the middle of an entry */
    GArray *not_understood; /* of struct spl_ical_left */
};
extern const struct spl_shape spl_almanac_added_shape;

/* Reads a calendar into the book; entries of the same calendar and UID are replaced.
 * SPL_ERROR_INVALID when not one event is understood. */
gboolean spl_almanac_add(struct spl_house *house, const char *path, struct spl_almanac_added *added,
                         GError **error);

/* All rows, the person's own almanacs first: a list of spl_almanac_row_shape
 * (simpling/record/almanac.h). `almanac` NULL: all. */
GArray *spl_almanac_list(struct spl_house *house, const char *almanac, GError **error);

#endif
