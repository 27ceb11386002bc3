/* SPDX-License-Identifier: MIT
 *
 * One kept outing changed by hand: moved, kept as it is, given other amounts, dropped. Nothing else
 * of the plan is touched; planned anew, the rest goes around it (simpling/plan.h). Each gives the
 * outing as it now stands and what speaks against it on its day; `cautions` is yours on TRUE.
 * SPL_ERROR_NOT_FOUND: no outing is kept on that day, or it is past.
 */
#ifndef SIMPLING_OUTING_H
#define SIMPLING_OUTING_H

#include "simpling/input.h"
#include "simpling/plan.h"

struct spl_outing_move_words {
    struct spl_day day;
    const char *to;  /* "reserve", or a day */
    const char *why; /* "rained off"; NULL */
};
extern const struct spl_inputs spl_outing_move_inputs;
gboolean spl_outing_move(struct spl_house *house, const struct spl_outing_move_words *words,
                         struct spl_plan_outing *outing, GPtrArray **cautions, GError **error);

struct spl_outing_pin_words {
    struct spl_day day;
    gboolean loose; /* let it go again: it is planned anew with the rest */
};
extern const struct spl_inputs spl_outing_pin_inputs;
gboolean spl_outing_pin(struct spl_house *house, const struct spl_outing_pin_words *words,
                        struct spl_plan_outing *outing, GPtrArray **cautions, GError **error);

/* At a place that it goes to. Its hours follow. */
struct spl_outing_take_words {
    struct spl_day day;
    const char *site, *material;
    double grams;
    gboolean none; /* nothing of it any more */
};
extern const struct spl_inputs spl_outing_take_inputs;
gboolean spl_outing_take(struct spl_house *house, const struct spl_outing_take_words *words,
                         struct spl_plan_outing *outing, GPtrArray **cautions, GError **error);

struct spl_outing_drop_words {
    struct spl_day day;
    const char *why, *by;
};
extern const struct spl_inputs spl_outing_drop_inputs;
/* `outing` is it as it was. */
gboolean spl_outing_drop(struct spl_house *house, const struct spl_outing_drop_words *words,
                         struct spl_plan_outing *outing, GPtrArray **cautions, GError **error);

#endif
