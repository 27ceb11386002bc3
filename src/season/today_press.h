/* SPDX-License-Identifier: MIT
 *
 * Which jar is to be pressed because its medicine runs out.
 */
#ifndef SPL_SEASON_TODAY_PRESS_H
#define SPL_SEASON_TODAY_PRESS_H

#include "season/house_private.h"
#include "simpling/today.h"

/* What is used up within thirty days at its rate of the last ninety, and for which a jar stands
 * ready (of a mixture one of each herb): a list of spl_today_press_shape by day; NULL with an
 * error. Nothing is said of what lasts longer, or of a jar that is pressed already. */
GArray *spl_today_to_press(struct spl_house *house, GError **error);

#endif
