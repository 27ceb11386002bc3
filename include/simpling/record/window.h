/* SPDX-License-Identifier: MIT
 *
 * The days in which a material is right for a use at a site, as `window list` gives them.
 */
#ifndef SIMPLING_RECORD_WINDOW_H
#define SIMPLING_RECORD_WINDOW_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/record/state.h"
#include "simpling/row.h"

struct spl_almanac_row;

/* One line of `window list`. The JSON keys are the members up to `spare_g`, in this order. */
struct spl_window {
    char *site;     /* NULL: no site, the reference place */
    char *material; /* slug */
    char *use;
    int flush;
    int year;                    /* the growing year, see spl_day_season */
    struct spl_day earliest;     /* P10 of the start: "may begin" */
    struct spl_day likely_start; /* P50 of the start */
    struct spl_day likely_end;   /* P50 of the end; the last good day, included */
    struct spl_day latest;       /* P90 of the end: "mostly over" after it */
    double stage_from, stage_to; /* BBCH, NAN: not said */
    enum spl_basis basis;
    char *note;               /* what the reader must know about these days; never NULL */
    char *almanac;            /* whose dates; may be NULL */
    double almanac_km;        /* how far its own place is; NAN: not known */
    char *verdict;            /* on gathering there on the day asked for; NULL: not asked */
    double way_min;           /* minutes from home, one way; NAN: not asked, or not known */
    double spare_g;           /* fresh, that the stand can still spare then; NAN: the same */
    struct spl_day start_p90; /* not in JSON: P90 of the start */
    int every_days;           /* not in JSON: days between pickings, 0: once */
    const struct spl_almanac_row *row; /* not in JSON: borrowed from the caller's almanac */
};

extern const struct spl_shape spl_window_shape;

#endif
