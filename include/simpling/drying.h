/* SPDX-License-Identifier: MIT
 *
 * Drying: from harvests or purchases onto a rack, wilted and dry weights, what showed that it is
 * dry, and the ratio of fresh to dry that one's own racks give. Freezing and heating beside it.
 */
#ifndef SIMPLING_DRYING_H
#define SIMPLING_DRYING_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/drying.h"
#include "simpling/source.h"

struct spl_drying_words {
    GArray *sources;  /* struct spl_source_words: harvests and fresh purchases */
    double rack_m2;   /* NAN: not said */
    const char *kind; /* "dried", "frozen", "heated"; NULL: dried */
    double minutes;   /* heated: how long it simmered; else NAN */
    struct spl_day on;
    const char *by, *remark;
};
extern const struct spl_inputs spl_drying_inputs;

/*
 * Puts herb of one material on the rack, into the cold or over the fire. SPL_ERROR_REFUSED: held or
 * struck sources, more than is left, several materials, no room on the racks (setting `racks`).
 * `cautions`: what to know, to be freed with g_ptr_array_unref.
 */
gboolean spl_drying_begin(struct spl_house *house, const struct spl_drying_words *words,
                          struct spl_drying *drying, GPtrArray **cautions, GError **error);

/* What is done with a drying on a day; each of the three tables below has some of it. */
struct spl_drying_step_words {
    const char *code;
    double weight_g;   /* as it is on the rack, or as it came off it */
    double garbled_g;  /* after sorting; NAN: not weighed */
    const char *how;   /* what the hand found: crumbles, snaps, breaks */
    gboolean sure;     /* it weighs so, although so much of it must be water still */
    struct spl_day on; /* none: today */
    const char *by;    /* NULL: the setting `who` */
};
extern const struct spl_inputs spl_drying_turn_inputs, spl_drying_weigh_inputs,
    spl_drying_test_inputs, spl_drying_finish_inputs;

/* Turned; weighed (wilted herb may go into a batch by that weight); taken down. A weight above what
 * was there is SPL_ERROR_REFUSED, as is anything after the end, and the end at a weight that is no
 * dried herb's unless `sure`. The hand may try it at any time: on the rack and off it. */
gboolean spl_drying_turn(struct spl_house *house, const struct spl_drying_step_words *words,
                         struct spl_drying *drying, GError **error);
gboolean spl_drying_weigh(struct spl_house *house, const struct spl_drying_step_words *words,
                          struct spl_drying *drying, GError **error);
gboolean spl_drying_try(struct spl_house *house, const struct spl_drying_step_words *words,
                        struct spl_drying *drying, GPtrArray **cautions, GError **error);
gboolean spl_drying_end(struct spl_house *house, const struct spl_drying_step_words *words,
                        struct spl_drying *drying, GPtrArray **cautions, GError **error);

/* The one record that is asked for. */
struct spl_drying_pick {
    const char *code;
};
extern const struct spl_inputs spl_drying_pick_inputs;
gboolean spl_drying_show(struct spl_house *house, const char *code, struct spl_drying *drying,
                         GError **error);

struct spl_drying_question {
    gboolean open; /* only what is still on the rack */
    gboolean all;  /* struck ones too */
};
extern const struct spl_inputs spl_drying_question_inputs;
/* In order of day. */
gboolean spl_drying_entries(struct spl_house *house, const struct spl_drying_question *question,
                            gboolean (*each)(const struct spl_drying *drying, gpointer data,
                                             GError **error),
                            gpointer data, GError **error);

#endif
