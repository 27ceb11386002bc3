/* SPDX-License-Identifier: MIT
 *
 * The relaxation behind core/outing_bound.h: a sub-season, or the whole, with like days joined and
 * the cuts that smaller sub-seasons have proven. Private to the two.
 */
#ifndef SPL_CORE_OUTING_RELAX_H
#define SPL_CORE_OUTING_RELAX_H

#include "core/outing_bound.h"

#define SPL_OUTING_KG 1000.0
#define SPL_OUTING_SAFE 1e-6 /* a proven bound is lowered by this against rounding */

/* A kind of day: a day of the problem, and how many days offer no more than it. */
struct spl_outing_kind {
    int day;
    int days;
    gboolean fixed;
};

/* Materials first .. last (places in the order by time) need at least so much. */
struct spl_outing_cut {
    int first, last;
    double count, cost;
};

struct spl_outing_choice {
    int kind;
    int n;
    gboolean counts; /* goes to a site that is of use here (a fixed day may not) */
    int sites[6];
    double hours;
    int column;
};

struct spl_outing_bound {
    const struct spl_outing_problem *problem;
    double *need_kg; /* [need], less its shortage */
    int *order;      /* materials by time */
    int *place;      /* [material]: where in the order, -1: not needed */
    int n_order;
    GArray *cuts;     /* struct spl_outing_cut */
    int width, first; /* of the next sub-season; width WIDEST + 1: the whole */
    gboolean done;
    double cost;
    int count;
    int nodes;
    GHashTable *rounds; /* site mask -> hours, for up to 64 sites */
};

/* One relaxation: the materials at places first .. last. */
struct spl_outing_relax {
    struct spl_outing_bound *bound;
    int first, last;
    struct spl_mip *mip;
    GArray *kinds;   /* struct spl_outing_kind */
    GArray *choices; /* struct spl_outing_choice */
    int *take;       /* [kind * n_sources + source], column or -1 */
    gboolean edges;  /* with the cost of takes at the edges of windows */
};

/* The relaxation of the materials at places first .. last; `edges`: with the cost of takes at the
 * edges of windows, and kept outings whole. */
struct spl_outing_relax *spl_outing_relax_new(struct spl_outing_bound *bound, int first, int last,
                                              gboolean edges);
void spl_outing_relax_free(struct spl_outing_relax *r);

/* Whether a source may serve anything on a day; whether it is of the places first .. last. */
gboolean spl_outing_relax_useful(const struct spl_outing_bound *b, int source, int day);
gboolean spl_outing_relax_wanted(const struct spl_outing_bound *b, int source, int first, int last);

/* Sites where places first .. last have something open on the day, ascending: GArray of int. */
GArray *spl_outing_relax_sites(const struct spl_outing_bound *b, int first, int last, int day);

/* kg still needed of a material. */
double spl_outing_relax_need(const struct spl_outing_bound *b, int material);

#endif
