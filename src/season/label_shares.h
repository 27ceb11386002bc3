/* SPDX-License-Identifier: MIT
 *
 * What a mixture is made of, for its label: "1:1 of Dandelion flower and Dandelion leaf".
 */
#ifndef SPL_SEASON_LABEL_SHARES_H
#define SPL_SEASON_LABEL_SHARES_H

#include "core/tables.h"
#include "simpling/batch.h"

/* One part of a mixture. */
struct spl_label_share {
    char *what;    /* "Dandelion flower" */
    double amount; /* of all in one unit, > 0 */
};

/* "2:1 of A and B" where whole parts up to 20 come near (within 3 % of each), else "A 62 %, B 38
 * %". NULL: fewer than two. g_free. */
char *spl_label_share_words(const GArray *shares, gboolean by_weight);

/* Of a lot that was put together of jars, of lots, or of herbs in one jar. `*words` is NULL where
 * it is no mixture; g_free. */
gboolean spl_label_shares(struct spl_house *house, const struct spl_tables *tables,
                          const struct spl_lot *lot, char **words, GError **error);

#endif
