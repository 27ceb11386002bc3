/* SPDX-License-Identifier: MIT
 *
 * A row of an almanac: in which days of the year a material is right for a use, at the almanac's
 * own reference place.
 */
#ifndef SIMPLING_RECORD_ALMANAC_H
#define SIMPLING_RECORD_ALMANAC_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/row.h"

/* The uses that the program knows; an almanac may name others. */
#define SPL_USE_MEDICINE "medicine"
#define SPL_USE_FOOD "food"

struct spl_almanac_row {
    char *almanac;  /* the calendar's name */
    char *uid;      /* the VEVENT's own UID */
    char *material; /* slug, "nettle/leaf" */
    char *use;      /* SPL_USE_MEDICINE, SPL_USE_FOOD, or whatever an almanac of one's own says */
    int flush;      /* 1: the first of the year */
    /* First and last good day (both included) in whichever year the almanac writes them; they come
     * again every year. A window may run over New Year; it is shorter than a year. */
    struct spl_day start, end;
    double stage_from, stage_to;  /* BBCH 0-99, NAN: not said */
    int every_days;               /* days between pickings, 0: once */
    char *source;                 /* where the dates are from; may be NULL */
    double lat, lon;              /* the reference place, degrees, east positive; NAN: not said */
    double elevation_m;           /* NAN: not said */
    double normals_c[12];         /* its mean temperatures, January first; all NAN: not said */
    int period_from, period_to;   /* the years that the dates are means of; 0: not said */
    int normals_from, normals_to; /* the same of the normals */
    int stands_frost; /* 1: a killing frost does not end it, 0: it does, -1: its part says */
};

/* JSON and table of `almanac list`; frees the row's texts. */
extern const struct spl_shape spl_almanac_row_shape;

#endif
