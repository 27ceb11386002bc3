/* SPDX-License-Identifier: MIT
 *
 * The plain record of a harvest, one entry of the log.
 */
#ifndef SIMPLING_RECORD_HARVEST_H
#define SIMPLING_RECORD_HARVEST_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/record/photo.h"
#include "simpling/record/reason.h"
#include "simpling/row.h"

struct spl_harvest {
    gint64 id, site_id;
    char *uuid;
    char *code;
    char *site;
    char *material;   /* slug */
    int stage;        /* BBCH 0-99 */
    char *stage_word; /* filled by season for output */
    struct spl_day date;
    double weight_g;   /* as brought home; NAN: not weighed yet */
    int bags;          /* while it is not weighed; 0: not counted */
    gboolean handfuls; /* they are handfuls */
    int people;        /* how many picked, led by `by`; 0: not said */
    double garbled_g;  /* after cleaning; NAN: not weighed */
    double left_g;     /* of garbled, else of weight; derived */
    double gone_g;     /* drawn and discarded; derived, not shown */
    char *by, *named_by, *signs, *weather, *remark;
    enum spl_verdict verdict; /* of that day */
    char *reasons_json;       /* of that verdict, as they are kept */
    GArray *reasons;          /* the same, struct spl_reason; filled by season */
    char *held;               /* why no batch may draw on it; NULL: free */
    GArray *because;    /* struct spl_cause: all that hold it today, or ask; filled by season */
    char *struck;       /* why; NULL: stands */
    GPtrArray *batches; /* codes of what drew on it; NULL in lists: not looked up */
    GArray *thrown;     /* struct spl_thrown, what was thrown away; likewise */
    GArray *photos;     /* struct spl_photo; NULL: not looked up */
    GArray *answered;   /* struct spl_cause: what its release answered; else NULL */
};
extern const struct spl_shape spl_harvest_shape;

#endif
