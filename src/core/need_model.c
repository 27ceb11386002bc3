/* SPDX-License-Identifier: MIT
 *
 * One gram of herb in its liquid: the sums behind spl_need.
 */
#include "core/need_model.h"

#include <math.h>

#define RATIO_MAX 1000.0

struct spl_pool spl_need_model_pool(const struct spl_need_model *m)
{
    return spl_pool_of(m->liquid, m->ratio, m->strength, m->honey, m->moisture);
}

double spl_need_model_yield(const struct spl_need_model *m)
{
    struct spl_pool pool = spl_need_model_pool(m);

    return spl_pool_yield(&pool, 1.0, m->moisture, m->kept);
}

double spl_spirit_to_pour(double end_frac, double ratio, double moisture_frac,
                          const double *spirits_frac, guint n_spirits)
{
    double strongest = n_spirits > 0 ? spirits_frac[n_spirits - 1] : SPL_SPIRIT_STRONGEST_FRAC;
    double needed = spl_strength_needed(SPL_LIQUID_SPIRIT, ratio, 0.0, moisture_frac, end_frac);

    return isnan(needed) ? strongest : MIN(needed, strongest);
}

/* The strength to pour at the model's ratio: the one given, or the one that the wanted end needs.
 * The strongest thing stands for what cannot be reached. */
double spl_need_model_strength(const struct spl_need_ask *ask, const struct spl_need_model *m)
{
    double needed;

    if (isnan(ask->wanted_frac) && ask->aim && !isnan(ask->published_frac.value))
        return spl_spirit_to_pour(ask->published_frac.value, m->ratio, m->moisture,
                                  ask->spirits_frac, ask->n_spirits);
    if (isnan(ask->wanted_frac))
        return ask->strength_frac.value;
    needed = spl_strength_needed(m->liquid, m->ratio, m->honey, m->moisture, ask->wanted_frac);
    if (!isnan(needed))
        return needed;
    if (m->liquid == SPL_LIQUID_HONEY)
        return SPL_HONEY_DRIEST_FRAC;
    return m->liquid == SPL_LIQUID_VINEGAR || m->liquid == SPL_LIQUID_OXYMEL
               ? SPL_VINEGAR_STRONGEST_FRAC
               : 1.0;
}

/* The model's ratio as the three meanings count it. */
double spl_need_model_ratio_as(const struct spl_need_model *m, enum spl_ratio_meaning meaning)
{
    switch (meaning) {
    case SPL_RATIO_MASS:
        return m->ratio * spl_liquid_density(m->liquid, m->strength, m->honey);
    case SPL_RATIO_FINISHED:
        return spl_need_model_yield(m);
    case SPL_RATIO_PUT_IN:
        break;
    }
    return m->ratio;
}

/* Finds the mL to pour on a gram for the ratio that was asked: what it counts rises with the mL. */
void spl_need_model_settle(const struct spl_need_ask *ask, struct spl_need_model *m)
{
    double low = 0.0, high = 2.0 * RATIO_MAX;

    if (ask->ratio_meaning == SPL_RATIO_PUT_IN) {
        m->ratio = ask->ratio.value;
        m->strength = spl_need_model_strength(ask, m);
        return;
    }
    for (int i = 0; i < 80; i++) {
        m->ratio = (low + high) / 2.0;
        m->strength = spl_need_model_strength(ask, m);
        if (spl_need_model_ratio_as(m, ask->ratio_meaning) < ask->ratio.value)
            low = m->ratio;
        else
            high = m->ratio;
    }
}

static double end_of(const struct spl_pool *pool)
{
    return pool->liquid == SPL_LIQUID_OXYMEL ? pool->acid_frac : pool->final_frac;
}

/* A range's ends; the figure itself where there is no range or it was overridden beyond it. */
void spl_figure_ends(const struct spl_figure *figure, double value, double two[2])
{
    two[0] = figure->low < value ? figure->low : value;
    two[1] = figure->high > value ? figure->high : value;
}

struct spl_need_extremes spl_need_model_extremes(const struct spl_need_ask *ask,
                                                 const struct spl_need_model *m)
{
    struct spl_need_extremes x = {INFINITY, -INFINITY, INFINITY, -INFINITY};
    double moistures[2], kepts[2];

    spl_figure_ends(&ask->moisture_frac, m->moisture, moistures);
    spl_figure_ends(&ask->kept_ml_per_g, m->kept, kepts);
    for (int i = 0; i < 4; i++) {
        struct spl_need_model corner = *m;
        struct spl_pool pool;
        double yield;

        corner.moisture = m->moisture > 0.0 ? moistures[i & 1] : 0.0;
        corner.kept = kepts[i >> 1];
        pool = spl_need_model_pool(&corner);
        yield = spl_need_model_yield(&corner);
        x.yield_low = MIN(x.yield_low, yield);
        x.yield_high = MAX(x.yield_high, yield);
        x.final_low = MIN(x.final_low, end_of(&pool));
        x.final_high = MAX(x.final_high, end_of(&pool));
    }
    return x;
}
