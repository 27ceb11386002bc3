/* SPDX-License-Identifier: MIT
 *
 * Room, for the entries that take it.
 */
#ifndef SPL_SEASON_ROOM_H
#define SPL_SEASON_ROOM_H

#include "season/house_private.h"
#include "simpling/room.h"

/* Inside the transaction that put something into the freezer: FALSE with an error at `from` when it
 * holds more than there is room for. */
gboolean spl_room_check_freezer(struct spl_house *house, double grams, GError **error);

/* Inside the transaction that filled jars of that size: says when none of them is free any more. */
gboolean spl_room_caution_jars(struct spl_house *house, double ml, GPtrArray *cautions,
                               GError **error);

/* "8x1L" as "8x1000mL", "1L" as "1000mL"; several parted by commas. NULL with an error. Free with
 * g_free. */
char *spl_room_jars_clean(const char *value, const char *key, GError **error);

#endif
