/* SPDX-License-Identifier: MIT
 *
 * The season's needs against what the stands can spare and what still stands on the shelf: what
 * runs short, why, and what would cure it.
 *
 * Days of outings and hours are not looked at here (that is core/outing_model.h): this is the
 * answer to "could it be had at all". Where two materials draw on the same stands, the split that
 * leaves the least relative shortage is found exactly (a linear program, core/simplex.h).
 */
#ifndef SPL_CORE_SHORTFALL_H
#define SPL_CORE_SHORTFALL_H

#include <glib.h>

#include "simpling/day.h"

/* Short of less than this part of a need counts as covered: jars are not filled to the gram
 * (common practice, no source). */
#define SPL_SHORTFALL_ENOUGH_FRAC 0.03

/* Why a source gives nothing, or that it gives. */
enum spl_supply_state {
    SPL_SUPPLY_OPEN,
    SPL_SUPPLY_ASK,       /* gives, once somebody is asked */
    SPL_SUPPLY_UNASKED,   /* would, but only what is clear was wanted */
    SPL_SUPPLY_CLOSED,    /* the ground is closed in its window */
    SPL_SUPPLY_REFUSED,   /* permission refused, or the plant is protected */
    SPL_SUPPLY_RESTS,     /* year of rest */
    SPL_SUPPLY_FEW,       /* under 20 plants */
    SPL_SUPPLY_UNSIZED,   /* nobody has said what the stand bears */
    SPL_SUPPLY_NO_WINDOW, /* no window this year */
    SPL_SUPPLY_OVER       /* its window is past */
};

/* One material at one site. */
struct spl_shortfall_source {
    int material;       /* index of the material */
    const char *site;   /* borrowed */
    int stand;          /* sources with the same number share one allowance; -1: alone */
    double allowance_g; /* left to take, were no other part taken */
    gboolean caution;   /* under 100 plants */
    enum spl_supply_state state;
    struct spl_day earliest, latest; /* that can be used of its window; several windows of a stand
                                        are several sources with its number */
};

/* One want of a planned batch. */
struct spl_shortfall_need {
    int material;
    double fresh_g;       /* as picked, trimming added */
    struct spl_day by;    /* picked at the latest; unset: any day of the season */
    const char *what_for; /* borrowed: the planned batch's name */
};

struct spl_shortfall_material {
    const char *name;     /* borrowed */
    double stock_g;       /* fresh grams' worth of what is on the shelf and good by then */
    double fresh_per_dry; /* for the cure "or so much dried"; NAN: unknown */
};

struct spl_shortfall {
    int material;
    double need_g;      /* after trimming, before the shelf */
    double stock_g;     /* from the shelf, at most the need */
    double allowance_g; /* what the stands can spare for it, beside the others' needs */
    double short_g;
    struct spl_day earliest, latest; /* over its sources; unset: none */
    GPtrArray *sites;                /* char *, those that give */
    char *cause;                     /* NULL when nothing is short */
    char *cure;                      /* NULL when nothing is short */
};

/*
 * One record for each material that is needed, in the order of `materials`; clear the array with
 * g_array_unref. Arrays hold the structs above. SPL_ERROR_INVALID names a figure that cannot be
 * (negative, not a number, an index out of range).
 */
GArray *spl_shortfall_reckon(const GArray *materials, const GArray *sources, const GArray *needs,
                             GError **error);

#endif
