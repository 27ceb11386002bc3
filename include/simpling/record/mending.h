/* SPDX-License-Identifier: MIT
 *
 * What the book derives from its facts and stores beside them, found wrong and set right again.
 */
#ifndef SIMPLING_RECORD_MENDING_H
#define SIMPLING_RECORD_MENDING_H

#include "simpling/row.h"

struct spl_mending {
    char *thing; /* "site Withy Gill", "layer roads" */
    char *was;   /* what was wrong */
    char *done;  /* how it is mended; NULL: it cannot be derived */
    char *cure;  /* what a person does then; NULL when mended */
};
extern const struct spl_shape spl_mending_shape;

#endif
