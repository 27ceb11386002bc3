/* SPDX-License-Identifier: MIT
 *
 * The plain record of a drying: herb on a rack, turned, weighed, tried, taken down. Herb that is
 * kept in other ways, frozen or heated, is one too; it is not taken down, it is used.
 */
#ifndef SIMPLING_RECORD_DRYING_H
#define SIMPLING_RECORD_DRYING_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/record/state.h"
#include "simpling/row.h"

/* What was done with it on a day. */
struct spl_drying_event {
    struct spl_day date;
    enum spl_drying_act kind;
    double weight_g;  /* NAN: not weighed */
    double garbled_g; /* finish: after sorting; NAN */
    char *how;        /* test: "crumbles", "snaps", "breaks"; else NULL */
};
extern const struct spl_shape spl_drying_event_shape;

struct spl_drying {
    gint64 id;
    char *uuid;
    char *code;
    char *material; /* slug */
    enum spl_drying_kind kind;
    double minutes; /* that it was heated; else NAN */
    struct spl_day started;
    struct spl_day finished; /* unset: still on the rack */
    GPtrArray *from;         /* codes of harvests and purchases */
    double fresh_g;          /* put up */
    double rack_m2;          /* NAN: not said */
    double wilted_g;         /* weighed last before the end; NAN */
    double dry_g, garbled_g; /* NAN until finished */
    double fresh_per_dry;    /* own ratio; NAN until finished, or when some was taken off before */
    double left_g;           /* of what was weighed last; derived */
    char *held;              /* why nothing of it may go out today; NULL: free */
    GArray *because; /* struct spl_cause: all that hold it today, or ask; both filled by season */
    GArray *events;  /* struct spl_drying_event, filled by show */
    char *by, *remark;
    char *struck;
    GPtrArray *batches; /* codes of what drew on it; NULL in lists, as `from` and `events` */
    GArray *thrown;     /* struct spl_thrown, what was thrown away; likewise */
};
extern const struct spl_shape spl_drying_shape;

#endif
