/* SPDX-License-Identifier: MIT
 *
 * Medicines: what is made of the same herb in the same way is one, whichever lot it comes from.
 * What went out of each, what of it is good, which jars will be more of it.
 */
#ifndef SPL_SEASON_MEDICINE_H
#define SPL_SEASON_MEDICINE_H

#include "core/lasting.h"
#include "season/house_private.h"
#include "simpling/record/lot.h"

struct spl_medicine {
    char *name; /* "Nettle leaf tincture" */
    char *preparation, *materials;
    gboolean outside, weighed;
    double out;      /* since the day asked for, mL or g */
    GPtrArray *lots; /* codes of what may go out, beside … */
    GArray *stock;   /* … struct spl_lasting_lot */
    GPtrArray *held; /* what is held of it, in words: "L27-003, 200 mL", "B27-004" */
    GPtrArray *jars; /* codes of what stands and is not held, beside … */
    GArray *to_come; /* … struct spl_lasting_lot: its yield as expected, from when it is ready */
};

/* All that stands or of which anything went out behind `since` up to today; a GArray that clears
 * its elements, NULL with an error. */
GArray *spl_medicines(struct spl_house *house, struct spl_day since, GError **error);

#endif
