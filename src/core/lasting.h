/* SPDX-License-Identifier: MIT
 *
 * How long what stands on the shelf lasts at the rate at which it goes out, and how much of it will
 * be out of date before it is wanted.
 */
#ifndef SPL_CORE_LASTING_H
#define SPL_CORE_LASTING_H

#include <glib.h>

#include "simpling/day.h"

/* One lot, or a jar that will be one. */
struct spl_lasting_lot {
    double amount;         /* mL or g, all in one unit */
    struct spl_day from;   /* it can be given out from then on; unset: now */
    struct spl_day use_by; /* the last day; unset: none is known */
    double late;           /* told: what is left of it on that day */
};

struct spl_lasting {
    double given;               /* of it between the two days */
    double missing;             /* what will have been wanted and not there */
    double late;                /* out of date before it is wanted */
    struct spl_day lasts_until; /* the last day on which there is enough; unset: beyond `until` */
};

/*
 * From `today` to the day before `until`, at `per_day`: each day takes of what is good the lot that
 * is out of date first. `lots` are told how much of each will be late. With nothing wanted all that
 * has a last day before `until` is late.
 */
struct spl_lasting spl_lasting_reckon(struct spl_lasting_lot *lots, gsize n, double per_day,
                                      struct spl_day today, struct spl_day until);

#endif
