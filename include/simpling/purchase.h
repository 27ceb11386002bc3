/* SPDX-License-Identifier: MIT
 *
 * Herb that was not gathered: bought in, given, or grown in one's own garden.
 */
#ifndef SIMPLING_PURCHASE_H
#define SIMPLING_PURCHASE_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/purchase.h"

struct spl_purchase_words {
    const char *material;
    double weight_g;
    const char *supplier; /* NULL with `garden` */
    const char *number;   /* the supplier's own; NULL */
    gboolean dried, garden;
    struct spl_day on;                     /* none: today */
    const char *named_by, *signs, *remark; /* NULL */
};
extern const struct spl_inputs spl_purchase_inputs;

/* Writes the entry. `cautions` (to be freed with g_ptr_array_unref) gets the plant's cautions and
 * what a label will miss. */
gboolean spl_purchase_log(struct spl_house *house, const struct spl_purchase_words *words,
                          struct spl_purchase *purchase, GPtrArray **cautions, GError **error);

/* The one record that is asked for. */
struct spl_purchase_pick {
    const char *code;
};
extern const struct spl_inputs spl_purchase_pick_inputs;
gboolean spl_purchase_show(struct spl_house *house, const char *code, struct spl_purchase *purchase,
                           GError **error);

struct spl_purchase_question {
    gboolean all; /* struck ones too */
};
extern const struct spl_inputs spl_purchase_question_inputs;
/* In order of day. Stops when `each` returns FALSE. */
gboolean spl_purchase_entries(struct spl_house *house, const struct spl_purchase_question *question,
                              gboolean (*each)(const struct spl_purchase *purchase, gpointer data,
                                               GError **error),
                              gpointer data, GError **error);

#endif
