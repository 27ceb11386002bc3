/* SPDX-License-Identifier: MIT
 *
 * Herb that was not gathered: bought in, given, or grown in one's own garden.
 */
#ifndef SIMPLING_PURCHASE_H
#define SIMPLING_PURCHASE_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/record/purchase.h"

struct spl_purchase_words {
    const char *material;
    const char *supplier; /* NULL with `garden` */
    const char *number;   /* the supplier's own; NULL */
    double weight_g;
    gboolean dried, garden;
    struct spl_day on;
    const char *named_by, *signs, *remark; /* NULL */
};

/* Writes the entry. `cautions` (to be freed with g_ptr_array_unref) gets the plant's cautions and
 * what a label will miss. */
gboolean spl_purchase_log(struct spl_house *house, const struct spl_purchase_words *words,
                          struct spl_purchase *purchase, GPtrArray **cautions, GError **error);

gboolean spl_purchase_show(struct spl_house *house, const char *code, struct spl_purchase *purchase,
                           GError **error);

/* In order of day; `all`: struck ones too. Stops when `each` returns FALSE. */
gboolean spl_purchase_entries(struct spl_house *house, gboolean all,
                              gboolean (*each)(const struct spl_purchase *purchase, gpointer data,
                                               GError **error),
                              gpointer data, GError **error);

#endif
