/* SPDX-License-Identifier: MIT
 *
 * The first day: which of the first steps a book has taken already.
 */
#ifndef SIMPLING_TOUR_H
#define SIMPLING_TOUR_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/row.h"

struct spl_tour_step {
    char *key; /* "home", "place", "leave", "spraying", "hazard", "stand", "harvest", "jar", "lot",
                  "given", "plan" */
    gboolean done;
    char *words; /* what the book has of it: "3 places"; NULL: nothing */
};
extern const struct spl_shape spl_tour_step_shape;

/* In the order in which one takes them: a list of spl_tour_step_shape; NULL with an error. */
GArray *spl_tour(struct spl_house *house, GError **error);

#endif
