/* SPDX-License-Identifier: MIT
 *
 * Sources: whatever a drying or a batch may draw herb from, with the one set of rules that guards
 * every draw: nothing struck, unnamed beside a deadly look-alike, of another day, or more than
 * there is. What is held is season/state.h's.
 */
#ifndef SPL_SEASON_SOURCE_H
#define SPL_SEASON_SOURCE_H

#include "book/code.h"
#include "core/dry.h"
#include "core/tables.h"
#include "season/house_private.h"
#include "simpling/record/drying.h"

/* The water left in a drying that weighs `now_g`; all NAN where some was taken off before, or
 * nothing is known of the plant. */
struct spl_water_left spl_drying_water(const struct spl_drying *drying,
                                       const struct spl_material *row, double now_g);
/* How dry it is by its events and its last weight; `left` (may be NULL) is told. */
enum spl_dryness spl_drying_dryness(const struct spl_drying *drying, const struct spl_material *row,
                                    struct spl_water_left *left);

/* Asks about more than one person carries home, unless it is said to be sure: SPL_ERROR_REFUSED. */
gboolean spl_load_check(double weight_g, gboolean sure, GError **error);

struct spl_source {
    struct spl_thing thing;
    char *material;                 /* slug */
    const struct spl_material *row; /* NULL when the tables no longer know it */
    struct spl_day day;             /* it can be drawn from then on */
    struct spl_day picked;          /* when it was cut; unset if not known */
    enum spl_herb_state state;
    double left_g;
    double fresh_per_g;         /* grams of fresh herb that one gram of it was */
    gboolean numbered;          /* bought: the supplier's number is known */
    double minutes;             /* that it was heated; NAN */
    enum spl_dryness dryness;   /* of what counts as dried */
    struct spl_water_left left; /* as it was reckoned; NAN */
};
void spl_source_clear(struct spl_source *source);

/*
 * The source with this code; `kinds` of "HPD". SPL_ERROR_REFUSED: struck, or of a plant with
 * a deadly look-alike whose harvest lacks "named by" and signs. Inside a transaction when it is
 * drawn from afterwards.
 */
gboolean spl_source_open(struct spl_house *house, const char *code, const char *kinds,
                         struct spl_source *source, GError **error);

/* Draws `grams` (NAN: all that is left) for `taker_id` on `on`; `*taken_g` is told.
 * SPL_ERROR_REFUSED: more than is left; SPL_ERROR_INVALID: before the source was there. Inside a
 * transaction. */
gboolean spl_source_take(struct spl_house *house, const struct spl_source *source, gint64 taker_id,
                         double grams, struct spl_day on, double *taken_g, GError **error);

/* The same checks without the draw. */
gboolean spl_source_allow(const struct spl_source *source, double grams, struct spl_day on,
                          double *taken_g, GError **error);

#endif
