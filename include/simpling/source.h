/* SPDX-License-Identifier: MIT
 *
 * What is drawn on, as one says it: a code, and how much of it.
 */
#ifndef SIMPLING_SOURCE_H
#define SIMPLING_SOURCE_H

#include "simpling/input.h"

/* Herb from H, P, D, marc from B (grams), liquid from L (mL). */
struct spl_source_words {
    const char *code;
    struct spl_amount amount; /* not said: all that is left */
};
extern const struct spl_inputs spl_source_inputs; /* of an element: "H27-001:87g", "L27-001" */

#endif
