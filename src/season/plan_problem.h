/* SPDX-License-Identifier: MIT
 *
 * The question of `plan outings` while it is being answered: what the book says, as the problem of
 * core/outing_problem.h, and how to get back from it.
 */
#ifndef SPL_SEASON_PLAN_PROBLEM_H
#define SPL_SEASON_PLAN_PROBLEM_H

#include "core/outing_problem.h"
#include "season/plan_free.h"
#include "season/plan_private.h"

#define SPL_PLAN_KM_PER_H 40.0 /* where nobody said how fast one travels */
#define SPL_PLAN_DETOUR 1.3    /* roads against the straight line */

struct spl_plan_quest {
    struct spl_house *house;
    const struct spl_plan_wish *wish;
    unsigned weekdays;                  /* bit 0 Monday … bit 6 Sunday; 0: every day */
    gboolean (*stopped)(gpointer data); /* NULL: never */
    gpointer stopped_data;
    struct spl_plan_state state;
    GArray *sources; /* struct spl_plan_source */
    GArray *kept;    /* struct spl_kept_outing */
    struct spl_outing_problem *problem;
    GArray *site_ids;     /* gint64, by the problem's site */
    GPtrArray *materials; /* by the problem's material */
    GArray *source_of;    /* guint: the problem's source -> state source */
    GArray *free;         /* struct spl_plan_free, by the problem's day */
    GPtrArray *cautions;
};

/* What a plan is weighed by: a setting of the book, in hours. */
struct spl_plan_weight {
    const char *key, *about;
    gsize offset; /* of the double in struct spl_outing_problem */
};
extern const struct spl_plan_weight spl_plan_weights[];
extern const guint spl_plan_n_weights;

/* Hours that all pickers take to pick and work up so much, as the plan reckons them. */
double spl_plan_work_hours(struct spl_house *house, const struct spl_material *material,
                           double grams);

/* "sat,sun,wed" -> bits; NULL: none. SPL_ERROR_INVALID. */
gboolean spl_plan_weekdays(const char *text, unsigned *weekdays, GError **error);

/* Fills `problem` and what leads back from it out of state, sources and kept outings. A problem
 * without sources is left unchecked: nothing is to be had. SPL_ERROR_INVALID says what to change.
 */
gboolean spl_plan_quest_build(struct spl_plan_quest *quest, GError **error);

#endif
