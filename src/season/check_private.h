/* SPDX-License-Identifier: MIT
 *
 * What check shares with the other use cases that guard picking.
 */
#ifndef SPL_SEASON_CHECK_PRIVATE_H
#define SPL_SEASON_CHECK_PRIVATE_H

#include "core/tables.h"
#include "season/house_private.h"

/* Appends a caution, printf-like, to an array of owned texts. */
void spl_caution_add(GPtrArray *cautions, const char *format, ...) G_GNUC_PRINTF(2, 3);

/* Look-alikes, the law, what its picker must know. The tables are loaded already. */
void spl_picker_cautions(struct spl_house *house, const struct spl_material *material,
                         GPtrArray *cautions);

/* The same, and what its taker must know. */
void spl_material_cautions(struct spl_house *house, const struct spl_material *material,
                           GPtrArray *cautions);

#endif
