/* SPDX-License-Identifier: MIT
 *
 * Private to core: one gram of herb in its liquid, from which spl_need scales.
 */
#ifndef SPL_CORE_NEED_MODEL_H
#define SPL_CORE_NEED_MODEL_H

#include "core/need.h"

/* Everything about a gram of herb in this batch. */
struct spl_need_model {
    enum spl_liquid liquid;
    double ratio;    /* mL poured on */
    double moisture; /* g water */
    double volume;   /* mL under liquid */
    double kept;     /* mL */
    double strength; /* 0..1 poured on */
    double honey;    /* 0..1 by volume */
    double headspace;
};

/* SPL_ERROR_INVALID unless the ask has one amount, and every figure that its liquid needs, in
 * range. */
gboolean spl_need_ask_check(const struct spl_need_ask *ask, GError **error);

/* The pool over the gram, and what is pressed from it. */
struct spl_pool spl_need_model_pool(const struct spl_need_model *m);
double spl_need_model_yield(const struct spl_need_model *m);

/* The strength to pour at the model's ratio: the one given, or the one that the wanted end needs.
 * The strongest thing stands for what cannot be reached. */
double spl_need_model_strength(const struct spl_need_ask *ask, const struct spl_need_model *m);

/* The model's ratio as the three meanings count it. */
double spl_need_model_ratio_as(const struct spl_need_model *m, enum spl_ratio_meaning meaning);

/* Sets ratio and strength to what was asked. */
void spl_need_model_settle(const struct spl_need_ask *ask, struct spl_need_model *m);

/* What the extremes of the given ranges do to one gram. */
struct spl_need_extremes {
    double yield_low, yield_high;
    double final_low, final_high; /* of alcohol, or of acid for vinegar and oxymel */
};

struct spl_need_extremes spl_need_model_extremes(const struct spl_need_ask *ask,
                                                 const struct spl_need_model *m);

/* A range's ends; the value itself where there is no range or it was overridden beyond it. */
void spl_figure_ends(const struct spl_figure *figure, double value, double two[2]);

#endif
