/* SPDX-License-Identifier: MIT
 *
 * A liquid as a person writes it: "spirit 40%, Ash Still, 114".
 */
#ifndef SPL_SEASON_MENSTRUUM_H
#define SPL_SEASON_MENSTRUUM_H

#include <glib.h>

#include "core/tables.h"

struct spl_menstruum {
    char *words;          /* "spirit 40%" */
    char *supplier;       /* NULL */
    char *number;         /* NULL */
    double strength_frac; /* NAN: none said */
};
void spl_menstruum_clear(struct spl_menstruum *menstruum);

/*
 * Reads it. `liquid` tells whether a strength must be said: SPL_ERROR_INVALID without one for
 * spirit and glycerol, SPL_ERROR_REFUSED for vinegar (home-made vinegar of unknown strength does
 * not keep herbs safely).
 */
gboolean spl_menstruum_parse(const char *text, enum spl_liquid liquid,
                             struct spl_menstruum *menstruum, GError **error);

#endif
