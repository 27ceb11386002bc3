/* SPDX-License-Identifier: MIT
 *
 * One reason of a verdict, as `check` gives it.
 */
#ifndef SIMPLING_RECORD_REASON_H
#define SIMPLING_RECORD_REASON_H

#include "simpling/day.h"
#include "simpling/row.h"

enum spl_verdict { SPL_VERDICT_CLEAR, SPL_VERDICT_ASK, SPL_VERDICT_CLOSED };

struct spl_reason {
    char *verdict;          /* "closed" or "ask"; "clear": evidence for it */
    char *what;             /* in words, with what it is and how far */
    double distance_m;      /* raw; NAN: no distance in it */
    struct spl_day date;    /* of the evidence */
    char *rule;             /* which rule, with its figures */
    char *source;           /* of the evidence, and of the figure */
    enum spl_verdict grade; /* not written */
};
extern const struct spl_shape spl_reason_shape;

#endif
