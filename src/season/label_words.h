/* SPDX-License-Identifier: MIT
 *
 * What a label says, in words, without a page: the same on a drawn label and in the answer to what
 * was given out.
 */
#ifndef SPL_SEASON_LABEL_WORDS_H
#define SPL_SEASON_LABEL_WORDS_H

#include "core/tables.h"

/* Slugs are joined with ", ", as lots and batches keep them; one that the tables do not know stands
 * for itself. What is returned is yours (g_free). */

/* "Dandelion flower and leaf", "Elderflower, nettle leaf and haws". */
char *spl_label_materials(const struct spl_tables *tables, const char *slugs);
/* "Taraxacum officinale, Urtica dioica": each plant once. NULL: none known. */
char *spl_label_latin(const struct spl_tables *tables, const char *slugs);
/* With a capital letter; NULL stays NULL. */
char *spl_label_capital(const char *text);

/* Who should not take it, then its cautions: appends sentences, each once, with the plant's name
 * where there are several. */
void spl_label_add_care(const struct spl_tables *tables, const char *slugs, GPtrArray *sentences);

/* What is true of this very medicine: fruit that went in raw (NULL: none), what the preparation
 * says on every label, its sugar where it may go without (per cent by mass; NAN: not known) and its
 * alcohol (`abv` in per cent vol; NAN or outside: nothing is said) of `bottle_ml` (NAN: not known).
 */
void spl_label_add_own(const struct spl_tables *tables, const char *preparation, const char *raw,
                       gboolean outside, double sugar, double abv, double bottle_ml,
                       GPtrArray *sentences);

/* Who keeps off alcohol, short: what every small bottle that holds some bears. */
#define SPL_LABEL_ALCOHOL                                                                          \
    "Alcohol: not for children, in pregnancy or while breast-feeding, with liver disease, "        \
    "epilepsy or dependence; mind driving and other medicines."

#define SPL_LABEL_CHILDREN "Keep out of the reach of children."

#endif
