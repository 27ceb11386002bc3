/* SPDX-License-Identifier: MIT
 *
 * Whose strikes and corrections of other people's records count in this book.
 */
#ifndef SIMPLING_RECORD_TRUST_H
#define SIMPLING_RECORD_TRUST_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/row.h"

struct spl_trust {
    char *whom; /* a mark */
    gboolean trusted;
    struct spl_day day; /* of the word */
    char *by;
};
extern const struct spl_shape spl_trust_shape;

#endif
