/* SPDX-License-Identifier: MIT
 *
 * The plain record of a dilution: spirit and water for a wanted strength.
 */
#ifndef SIMPLING_RECORD_DILUTION_H
#define SIMPLING_RECORD_DILUTION_H

#include "simpling/row.h"

/* What `dilute` answers. Strengths in per cent by volume. */
struct spl_dilution {
    double from_abv_pct, to_abv_pct;
    double make_ml;        /* what is wanted */
    double spirit_ml;      /* of the strong one */
    double water_ml;       /* to pour to it */
    double contraction_ml; /* by how much less than the sum it becomes */
    double spirit_g, water_g;
};
extern const struct spl_shape spl_dilution_shape;

#endif
