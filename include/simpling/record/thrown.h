/* SPDX-License-Identifier: MIT
 *
 * The plain record of what was thrown away of a thing: mould, a broken jar, a rack gone brown.
 */
#ifndef SIMPLING_RECORD_THROWN_H
#define SIMPLING_RECORD_THROWN_H

#include "simpling/day.h"
#include "simpling/row.h"

struct spl_thrown {
    struct spl_day date;
    double g, ml; /* one of them; the other NAN */
    char *why, *by;
};
extern const struct spl_shape spl_thrown_shape;

#endif
