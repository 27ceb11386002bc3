/* SPDX-License-Identifier: MIT
 *
 * What stands beside the tables in an exported folder. Inside of carry*.c.
 */
#ifndef SPL_SEASON_CARRY_PRIVATE_H
#define SPL_SEASON_CARRY_PRIVATE_H

#include "season/house_private.h"

/* The files beside the tables. */
#define SPL_CARRY_README "README.txt"
#define SPL_CARRY_COLUMNS "columns.csv"
#define SPL_CARRY_SITES "sites.geojson"
#define SPL_CARRY_HAZARDS "hazards.geojson"

/* Writes sites.geojson and hazards.geojson. */
gboolean spl_carry_maps(struct spl_house *house, const char *folder, GError **error);

/* Writes README.txt, what each table is and how its cells are written, and columns.csv; `tables`
 * are struct spl_table. */
gboolean spl_carry_words(const char *folder, GPtrArray *tables, GError **error);

#endif
