/* SPDX-License-Identifier: MIT
 *
 * What the taker of a medicine must know of its plant, and what its picker must: words of the
 * tables, always in one order, the most serious first. What a table leaves empty is said as not
 * known: silence is no leave. That sentence is, in substance, the one of the European Union's list
 * of herbal substances (Decision 2008/911/EC: "in the absence of sufficient data ... not
 * recommended").
 */
#ifndef SPL_CORE_CARE_H
#define SPL_CORE_CARE_H

#include "core/tables.h"

/* Sentences without the plant's name and the full stop: pregnancy and breast-feeding, children,
 * illness, other medicines, then what else is known of the part and the plant. Of the first two and
 * the fourth, what is not known is one sentence, where the first of it would stand. Free with
 * g_ptr_array_unref. */
GPtrArray *spl_care_of_taker(const struct spl_material *material);

/* The same of whoever picks it: the part's words, the plant's, how common it is. Look-alikes stand
 * apart (spl_plant's own). */
GPtrArray *spl_care_of_picker(const struct spl_material *material);

#endif
