/* SPDX-License-Identifier: MIT
 *
 * Room: racks, freezer and jars, what of them is taken and what is free. How much there is stands
 * in the settings `racks`, `freezer` and `jars`.
 */
#ifndef SIMPLING_ROOM_H
#define SIMPLING_ROOM_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/row.h"

struct spl_room {
    char *what;              /* "racks", "freezer", "jars of 1 L" */
    double all, taken, left; /* in unit; all and left NAN: nobody has said how much there is */
    char *unit;              /* "m2", "g", "jars" */
    char *note;              /* in words */
};
extern const struct spl_shape spl_room_shape;
/* Racks and freezer where there are any, jars by size; a list of spl_room_shape. NULL with an
 * error. */
GArray *spl_rooms(struct spl_house *house, GError **error);

#endif
