/* SPDX-License-Identifier: MIT
 *
 * The season plan's model while it is built: what core/outing_model.c, which makes columns and the
 * rows that a plan must keep, and core/outing_cover.c, which makes the model tight, both look at.
 */
#ifndef SPL_CORE_OUTING_BUILD_H
#define SPL_CORE_OUTING_BUILD_H

#include "core/outing_model.h"

#define SPL_OUTING_KG 1000.0 /* grams; amounts in the mip are kilograms */

struct spl_outing_build {
    const struct spl_outing_problem *problem;
    struct spl_outing_model *model;
    enum spl_outing_goal goal;
    const GArray *short_g;
    const struct spl_outing_scope *scope; /* NULL: everything */
    double *need_kg;                      /* [material]: the whole need */
    int *last_by;       /* [material]: no picking after this day number serves anything */
    int *first_pattern; /* [day + 1] */
    int *open;          /* [batch]: column of "cannot be made whole", -1: none */
};

/* The column of a source's kilograms on a day, -1: not open. */
int spl_outing_take_of(const struct spl_outing_build *b, int source, int day);

/* What a fixed day takes of a source. */
double spl_outing_fixed_kg(const struct spl_outing_build *b, int source, int day);

/* What is needed of a material on a day or later: no more is picked then. */
double spl_outing_wanted_kg(const struct spl_outing_build *b, int material, int day);

/* The most that one outing on a day could bring of a material in `hours` of work. */
double spl_outing_day_kg(const struct spl_outing_build *b, int material, int day, double hours);

gboolean spl_outing_visits(const struct spl_outing_pattern *pattern, int site);

/*
 * Rows that no plan breaks, but that half-visits would: a day's stops together bring no more of a
 * material than is needed; a need is met by so many visits or its batch stays open. With them the
 * model without wholeness comes close to the best plan. After all other rows.
 */
void spl_outing_cover_rows(struct spl_outing_build *b);

#endif
