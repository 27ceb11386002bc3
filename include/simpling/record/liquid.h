/* SPDX-License-Identifier: MIT
 *
 * The plain record of what is poured: spirit, vinegar and the like as they come in or go.
 */
#ifndef SIMPLING_RECORD_LIQUID_H
#define SIMPLING_RECORD_LIQUID_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/row.h"

enum spl_liquid_kind {
    SPL_STOCK_SPIRIT,
    SPL_STOCK_VINEGAR,
    SPL_STOCK_HONEY,
    SPL_STOCK_OIL,
    SPL_STOCK_GLYCEROL,
    SPL_STOCK_SUGAR,
    SPL_STOCK_WAX
};
extern const char *const spl_liquid_kind_names[]; /* ended by NULL */

/* Something that came in, or (with `why`) went otherwise than into a jar. */
struct spl_liquid_row {
    gint64 id;
    char *uuid;
    enum spl_liquid_kind kind;
    struct spl_day day;
    double ml, g;         /* one of them; the other NAN */
    double strength_frac; /* spirit and glycerol by volume, vinegar g acid in 1 mL; NAN */
    char *supplier;
    char *number; /* theirs; NULL: none */
    char *why;    /* what it went for; NULL: it came in */
    char *by;
};
extern const struct spl_shape spl_liquid_row_shape;

#endif
