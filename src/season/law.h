/* SPDX-License-Identifier: MIT
 *
 * What the law of the book's country says of taking a plant. It closes a material wherever it
 * grows, not a place; what is bought or grown is another matter and goes in as a purchase.
 */
#ifndef SPL_SEASON_LAW_H
#define SPL_SEASON_LAW_H

#include "core/tables.h"
#include "season/house_private.h"
#include "simpling/record/reason.h"

/* Borrowed const struct spl_protected *, the strictest first; none without a country. The tables
 * are loaded already. g_ptr_array_unref it. */
GPtrArray *spl_law_rules(struct spl_house *house, const struct spl_material *material);

/* Of those, the ones that forbid it. */
GPtrArray *spl_law_forbids(struct spl_house *house, const struct spl_material *material);

/* What forbids it as reasons before all others in `reasons` (of spl_reason_shape), and closes it:
 * TRUE, when anything does. */
gboolean spl_law_close(struct spl_house *house, const struct spl_material *material,
                       enum spl_verdict *verdict, GArray *reasons);

/* TRUE with SPL_ERROR_REFUSED when one does. */
gboolean spl_law_refuses(struct spl_house *house, const struct spl_material *material,
                         GError **error);

/* What is not known of it: no country is set, none of its rules are known, or only those of the
 * whole country and not of its states or regions. Silence would be read as leave. */
void spl_law_caution(struct spl_house *house, GPtrArray *cautions);

#endif
