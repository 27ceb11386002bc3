/* SPDX-License-Identifier: MIT
 *
 * The plain record of a complaint or a reaction: what somebody said of a lot, or of what went to a
 * reference.
 */
#ifndef SIMPLING_RECORD_REACTION_H
#define SIMPLING_RECORD_REACTION_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/row.h"

enum spl_reaction_kind { SPL_REACTION_COMPLAINT, SPL_REACTION_REACTION };

struct spl_reaction {
    gint64 id, lot_id; /* lot_id 0: of a reference alone */
    char *uuid;
    char *code; /* of the lot; filled on reading */
    char *ref;  /* a number, never a name; NULL: of a lot alone */
    enum spl_reaction_kind kind;
    struct spl_day day;
    char *words, *by;
};
/* JSON: date code ref kind words by. */
extern const struct spl_shape spl_reaction_shape;

#endif
