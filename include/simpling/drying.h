/* SPDX-License-Identifier: MIT
 *
 * Drying: from harvests or purchases onto a rack, wilted and dry weights, and the ratio of fresh to
 * dry that one's own racks give.
 */
#ifndef SIMPLING_DRYING_H
#define SIMPLING_DRYING_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/record/drying.h"

/* Herb taken from a source. */
struct spl_pick_words {
    const char *code;
    double grams; /* NAN: all that is left */
};

struct spl_drying_words {
    const struct spl_pick_words *picks;
    guint n_picks;
    double rack_m2; /* NAN: not said */
    struct spl_day on;
    const char *by, *remark;
};

/*
 * Puts herb of one material on the rack. SPL_ERROR_REFUSED: held or struck sources, more than is
 * left, several materials, no room on the racks (setting `racks`).
 */
gboolean spl_drying_begin(struct spl_house *house, const struct spl_drying_words *words,
                          struct spl_drying *drying, GPtrArray **cautions, GError **error);

/* Turned; weighed (wilted herb may go into a batch by that weight); taken down. A weight above what
 * was there is SPL_ERROR_REFUSED, as is anything after the end. */
gboolean spl_drying_turn(struct spl_house *house, const char *code, struct spl_day on,
                         const char *by, struct spl_drying *drying, GError **error);
gboolean spl_drying_weigh(struct spl_house *house, const char *code, double weight_g,
                          struct spl_day on, const char *by, struct spl_drying *drying,
                          GError **error);
gboolean spl_drying_end(struct spl_house *house, const char *code, double weight_g,
                        double garbled_g, struct spl_day on, const char *by,
                        struct spl_drying *drying, GPtrArray **cautions, GError **error);

gboolean spl_drying_show(struct spl_house *house, const char *code, struct spl_drying *drying,
                         GError **error);

/* In order of day. `open`: only what is still on the rack; `all`: struck ones too. */
gboolean spl_drying_entries(struct spl_house *house, gboolean open, gboolean all,
                            gboolean (*each)(const struct spl_drying *drying, gpointer data,
                                             GError **error),
                            gpointer data, GError **error);

#endif
