/* SPDX-License-Identifier: MIT
 *
 * What a jar was really charged with: herb from several sources on several days, liquid poured on
 * and topped up, marc and lots used again; and what follows for ratio, strength, room and yield.
 */
#ifndef SPL_CORE_CHARGE_H
#define SPL_CORE_CHARGE_H

#include <glib.h>

#include "core/blend.h"
#include "simpling/day.h"

/* Some herb that went in. */
struct spl_charge_herb {
    double grams;           /* fresh or dry as it went in; marc: the herb it once was */
    double moisture_frac;   /* its own water; marc: 0, what it holds is `soaked` */
    double volume_ml_per_g; /* room under liquid; NAN: from the moisture (marc: solids only) */
    struct spl_figure kept_ml_per_g; /* when pressed */
    struct spl_blend soaked;         /* what marc still holds; else nothing */
    gboolean fresh;
    struct spl_day on;
};

/* Some liquid that went in. */
struct spl_charge_liquid {
    struct spl_blend blend;
    struct spl_day on;
};

struct spl_charge {
    double herb_g;         /* all of it, as it went in */
    double fresh_g;        /* of it, fresh */
    double poured_ml;      /* all liquid poured on */
    double ratio;          /* mL poured on a gram; NAN without herb or liquid */
    double poured_frac;    /* strength of all that was poured on */
    struct spl_blend pool; /* liquid in the jar once the herb has given up its water */
    double final_frac;     /* strength of the pool, as the preparation's liquid counts */
    double acid_frac;      /* g acid per mL of the pool; NAN if none was poured */
    double sugar_frac;     /* by mass; NAN if none was poured */
    double room_ml;        /* that herb and liquid take together */
    double yield_ml, yield_low_ml, yield_high_ml; /* expected when pressed */
    struct spl_day first_on, last_herb_on;        /* unset without herb */
};

/* Sums up; `liquid` is the preparation's. Oil does not take up the herb's water,
 * and honey not that of dried herb, which is no wetter than itself. */
void spl_charge_sum(enum spl_liquid liquid, const struct spl_charge_herb *herbs, guint n_herbs,
                    const struct spl_charge_liquid *liquids, guint n_liquids,
                    struct spl_charge *charge);

/*
 * Two or more pressed liquids put together in `parts` (one number each) by volume: takes as much of
 * each as the scarcest allows, `taken_ml` (one number each) of each. FALSE with SPL_ERROR_INVALID
 * when a part or an amount is not above 0 or their numbers differ.
 */
gboolean spl_parts_share(const double *have_ml, const double *parts, guint n, double *taken_ml,
                         GError **error);

#endif
