/* SPDX-License-Identifier: MIT
 *
 * The plain record of a purchase: herb bought in, given, or grown in one's own garden.
 */
#ifndef SIMPLING_RECORD_PURCHASE_H
#define SIMPLING_RECORD_PURCHASE_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/record/state.h"
#include "simpling/row.h"

#define SPL_OWN_GARDEN "own garden" /* the supplier of what one grew */

struct spl_purchase {
    gint64 id;
    char *uuid;
    char *code;
    char *material; /* slug */
    struct spl_day date;
    enum spl_herb_state state; /* fresh or dried */
    char *supplier;            /* "own garden" for what one grew */
    char *number;              /* theirs; NULL: none given */
    double weight_g;
    double left_g;   /* derived */
    char *held;      /* why nothing of it may go out today; NULL: free */
    GArray *because; /* struct spl_cause: all that hold it today, or ask; both filled by season */
    char *named_by, *signs, *remark;
    char *struck;       /* why; NULL: stands */
    GPtrArray *batches; /* codes of what drew on it; NULL in lists: not looked up */
    GArray *thrown;     /* struct spl_thrown, what was thrown away; likewise */
};
extern const struct spl_shape spl_purchase_shape;

#endif
