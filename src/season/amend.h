/* SPDX-License-Identifier: MIT
 *
 * What may be corrected of each kind of record.
 */
#ifndef SPL_SEASON_AMEND_H
#define SPL_SEASON_AMEND_H

#include <glib.h>

enum spl_amend_value {
    SPL_AMEND_MASS,
    SPL_AMEND_VOLUME,
    SPL_AMEND_STAGE,
    SPL_AMEND_PAST_DAY, /* not after today */
    SPL_AMEND_DAY,
    SPL_AMEND_METHOD,
    SPL_AMEND_TEXT
};

struct spl_amend_row {
    char kind;          /* of the code */
    const char *key;    /* the option, without its hyphens */
    const char *column; /* of the view, and name of the amended field */
    enum spl_amend_value value;
    const char *view; /* where the present value is read */
};

/* A day as it stands in a column ("20574") as an ISO date; NULL stays NULL. */
char *spl_amend_day_text(const char *number);

#endif
