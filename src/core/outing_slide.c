/* SPDX-License-Identifier: MIT
 *
 * Single moves on a finished plan. Each trial is reckoned anew and must pass core/outing_check.h.
 */
#include "core/outing_slide.h"

#include <math.h>

#include "core/outing_check.h"

#define HARDLY 1e-6
#define SLIDE_TRIES 4         /* days that are tried for one outing, best first */
#define RESERVE_HOURS 0.3     /* what a reserve day for one outing may cost */
#define RESERVE_REACH_DAYS 14 /* how far an outing moves for it */

static struct spl_outing *outing_at(const struct spl_outing_plan *plan, guint o)
{
    return &g_array_index(plan->outings, struct spl_outing, o);
}

static gboolean holds(const struct spl_outing_problem *problem, const struct spl_outing_plan *plan)
{
    g_autoptr(GPtrArray) wrong = spl_outing_check(problem, plan);

    return wrong->len == 0;
}

static gboolean is_fixed(const struct spl_outing_problem *problem,
                         const struct spl_outing_plan *plan, guint o)
{
    return SPL_OUTING_DAY(problem, outing_at(plan, o)->day)->fixed;
}

static gboolean has_outing(const struct spl_outing_plan *plan, int day)
{
    for (guint o = 0; o < plan->outings->len; o++) {
        if (outing_at(plan, o)->day == day)
            return TRUE;
    }
    return FALSE;
}

/* Keeps the reckoned trial if it costs less and holds; frees the other. */
static gboolean keep_better(const struct spl_outing_problem *problem, struct spl_outing_plan **plan,
                            struct spl_outing_plan *trial)
{
    if (trial->cost >= (*plan)->cost - HARDLY || !holds(problem, trial)) {
        spl_outing_plan_free(trial);
        return FALSE;
    }
    spl_outing_plan_free(*plan);
    *plan = trial;
    return TRUE;
}

/* ---- another day --------------------------------------------------------------------------- */

/* The source itself, or the same stand's other window, open on `day`; -1: none. */
static int source_on(const struct spl_outing_problem *problem, int source, int day)
{
    const struct spl_outing_source *s = SPL_OUTING_SOURCE(problem, source);

    if (spl_outing_source_open(problem, source, day))
        return source;
    for (int i = 0; i < (int)problem->sources->len; i++) {
        const struct spl_outing_source *other = SPL_OUTING_SOURCE(problem, i);

        if (other->site == s->site && other->material == s->material && other->stand == s->stand &&
            spl_outing_source_open(problem, i, day))
            return i;
    }
    return -1;
}

/* What the takes of an outing would weigh on another day; INFINITY: it cannot go then. */
static double hours_on(const struct spl_outing_problem *problem, const struct spl_outing *outing,
                       int day)
{
    double hours = 0;

    if (SPL_OUTING_DAY(problem, day)->fixed ||
        SPL_OUTING_DAY(problem, day)->hours < outing->hours - HARDLY)
        return INFINITY;
    for (guint t = 0; t < outing->takes->len; t++) {
        const struct spl_outing_take *take =
            &g_array_index(outing->takes, struct spl_outing_take, t);
        int source = source_on(problem, take->source, day);

        if (source < 0)
            return INFINITY;
        hours += spl_outing_take_hours(problem, source, day) * take->grams /
                 spl_outing_whole_need(problem, SPL_OUTING_SOURCE(problem, source)->material);
    }
    return hours;
}

static void move_to(const struct spl_outing_problem *problem, struct spl_outing *outing, int day)
{
    for (guint t = 0; t < outing->takes->len; t++) {
        struct spl_outing_take *take = &g_array_index(outing->takes, struct spl_outing_take, t);

        take->source = source_on(problem, take->source, day);
    }
    outing->day = day;
}

/* Moves one outing to the free day on which it weighs least; the next best where that breaks a
 * rule. */
static gboolean slide_one(const struct spl_outing_problem *problem, struct spl_outing_plan **plan,
                          guint which)
{
    const struct spl_outing *outing = outing_at(*plan, which);
    g_autofree gboolean *tried = g_new0(gboolean, problem->days->len + 1);
    double now = hours_on(problem, outing, outing->day);

    for (int tries = 0; tries < SLIDE_TRIES; tries++) {
        struct spl_outing_plan *trial;
        double best = now - HARDLY;
        int best_day = -1;

        for (int d = 0; d < (int)problem->days->len; d++) {
            double hours =
                tried[d] || has_outing(*plan, d) ? INFINITY : hours_on(problem, outing, d);

            if (hours < best) {
                best = hours;
                best_day = d;
            }
        }
        if (best_day < 0)
            return FALSE;
        tried[best_day] = TRUE;
        trial = spl_outing_plan_copy(*plan);
        move_to(problem, outing_at(trial, which), best_day);
        spl_outing_plan_reckon(problem, trial);
        if (keep_better(problem, plan, trial))
            return TRUE;
    }
    return FALSE;
}

/* ---- another place ------------------------------------------------------------------------- */

/* Puts `take` into the outing: to what it takes of the same, at one stop more if need be. FALSE:
 * it goes to as many places as it may. */
static gboolean put_take(const struct spl_outing_problem *problem, struct spl_outing *outing,
                         struct spl_outing_take take)
{
    int site = SPL_OUTING_SOURCE(problem, take.source)->site;
    gboolean there = FALSE;

    for (guint k = 0; k < outing->sites->len; k++)
        there |= g_array_index(outing->sites, int, k) == site;
    if (!there && (int)outing->sites->len >= problem->most_sites)
        return FALSE;
    if (!there)
        g_array_append_val(outing->sites, site);
    for (guint t = 0; t < outing->takes->len; t++) {
        struct spl_outing_take *same = &g_array_index(outing->takes, struct spl_outing_take, t);

        if (same->source != take.source)
            continue;
        same->grams += take.grams;
        return TRUE;
    }
    g_array_append_val(outing->takes, take);
    return TRUE;
}

/* The take number `t` of an outing from another place, or on another outing, if that is cheaper. */
static gboolean transfer_one(const struct spl_outing_problem *problem,
                             struct spl_outing_plan **plan, guint o, guint t)
{
    struct spl_outing_take take =
        g_array_index(outing_at(*plan, o)->takes, struct spl_outing_take, t);
    int material = SPL_OUTING_SOURCE(problem, take.source)->material;

    for (guint q = 0; q < (*plan)->outings->len; q++) {
        int day = outing_at(*plan, q)->day;

        for (int s = 0; s < (int)problem->sources->len && !is_fixed(problem, *plan, q); s++) {
            struct spl_outing_take moved_take = {s, take.grams};
            struct spl_outing_plan *trial;

            if ((q == o && s == take.source) ||
                SPL_OUTING_SOURCE(problem, s)->material != material ||
                SPL_OUTING_SOURCE(problem, s)->allowance_g < take.grams ||
                !spl_outing_source_open(problem, s, day))
                continue;
            trial = spl_outing_plan_copy(*plan);
            g_array_remove_index(outing_at(trial, o)->takes, t);
            if (!put_take(problem, outing_at(trial, q), moved_take)) {
                spl_outing_plan_free(trial);
                continue;
            }
            spl_outing_plan_reckon(problem, trial);
            if (keep_better(problem, plan, trial))
                return TRUE;
        }
    }
    return FALSE;
}

static gboolean transfer(const struct spl_outing_problem *problem, struct spl_outing_plan **plan)
{
    for (guint o = 0; o < (*plan)->outings->len; o++) {
        for (guint t = 0; !is_fixed(problem, *plan, o) && t < outing_at(*plan, o)->takes->len;
             t++) {
            if (transfer_one(problem, plan, o, t))
                return TRUE;
        }
    }
    return FALSE;
}

/* ---- less ---------------------------------------------------------------------------------- */

static void drop_at(const struct spl_outing_problem *problem, struct spl_outing *outing, int site)
{
    for (guint t = outing->takes->len; t-- > 0;) {
        int source = g_array_index(outing->takes, struct spl_outing_take, t).source;

        if (SPL_OUTING_SOURCE(problem, source)->site == site)
            g_array_remove_index(outing->takes, t);
    }
}

/* Leaves out each stop, then the whole outing, where that is cheaper. */
static gboolean drop_stops(const struct spl_outing_problem *problem, struct spl_outing_plan **plan,
                           guint which)
{
    for (guint k = 0; k <= outing_at(*plan, which)->sites->len; k++) {
        struct spl_outing_plan *trial = spl_outing_plan_copy(*plan);
        struct spl_outing *outing = outing_at(trial, which);

        if (k < outing->sites->len)
            drop_at(problem, outing, g_array_index(outing->sites, int, k));
        else
            g_array_set_size(outing->takes, 0);
        spl_outing_plan_reckon(problem, trial);
        if (keep_better(problem, plan, trial))
            return TRUE;
    }
    return FALSE;
}

/* How many needs are not covered. */
static int count_open(const struct spl_outing_problem *problem, const struct spl_outing_plan *plan)
{
    int n = 0;

    for (guint k = 0; k < plan->short_g->len; k++)
        n += !spl_outing_is_enough(problem, (int)k, g_array_index(plan->short_g, double, k));
    return n;
}

/* The plan with a small take put to another of the same material; NULL: no other can grow so. */
static struct spl_outing_plan *put_elsewhere(const struct spl_outing_problem *problem,
                                             const struct spl_outing_plan *plan, guint o, guint t)
{
    struct spl_outing_take small =
        g_array_index(outing_at(plan, o)->takes, struct spl_outing_take, t);
    int material = SPL_OUTING_SOURCE(problem, small.source)->material;

    for (guint q = 0; q < plan->outings->len; q++) {
        for (guint u = 0; u < outing_at(plan, q)->takes->len; u++) {
            int source = g_array_index(outing_at(plan, q)->takes, struct spl_outing_take, u).source;
            struct spl_outing_plan *trial;

            if ((q == o && u == t) || SPL_OUTING_SOURCE(problem, source)->material != material ||
                SPL_OUTING_DAY(problem, outing_at(plan, q)->day)->takes != NULL)
                continue;
            trial = spl_outing_plan_copy(plan);
            g_array_index(outing_at(trial, q)->takes, struct spl_outing_take, u).grams +=
                small.grams;
            g_array_remove_index(outing_at(trial, o)->takes, t);
            spl_outing_plan_reckon(problem, trial);
            if (count_open(problem, trial) <= count_open(problem, plan) && holds(problem, trial))
                return trial;
            spl_outing_plan_free(trial);
        }
    }
    return NULL;
}

/* Puts or leaves away the first amount under the floor that makes nothing whole. */
static gboolean drop_speck(const struct spl_outing_problem *problem, struct spl_outing_plan **plan)
{
    for (guint o = 0; o < (*plan)->outings->len; o++) {
        struct spl_outing *outing = outing_at(*plan, o);

        for (guint t = 0; t < outing->takes->len; t++) {
            struct spl_outing_plan *trial;

            if (g_array_index(outing->takes, struct spl_outing_take, t).grams >=
                    problem->floor_g - HARDLY ||
                SPL_OUTING_DAY(problem, outing->day)->takes != NULL)
                continue;
            trial = put_elsewhere(problem, *plan, o, t);
            if (trial == NULL) {
                trial = spl_outing_plan_copy(*plan);
                g_array_remove_index(outing_at(trial, o)->takes, t);
                spl_outing_plan_reckon(problem, trial);
                if (count_open(problem, trial) > count_open(problem, *plan) ||
                    !holds(problem, trial)) {
                    spl_outing_plan_free(trial);
                    continue;
                }
            }
            spl_outing_plan_free(*plan);
            *plan = trial;
            return TRUE;
        }
    }
    return FALSE;
}

struct spl_outing_plan *spl_outing_slide(const struct spl_outing_problem *problem,
                                         struct spl_outing_plan *plan)
{
    gboolean again = TRUE;

    spl_outing_plan_reckon(problem, plan);
    while (again) {
        again = FALSE;
        for (guint o = 0; o < plan->outings->len; o++) {
            if (!is_fixed(problem, plan, o))
                again |= slide_one(problem, &plan, o) || drop_stops(problem, &plan, o);
        }
        again |= transfer(problem, &plan);
    }
    while (drop_speck(problem, &plan))
        ;
    return plan;
}

/* ---- a second dry day ---------------------------------------------------------------------- */

static int without_reserve(const struct spl_outing_plan *plan)
{
    int n = 0;

    for (guint o = 0; o < plan->outings->len; o++)
        n += outing_at(plan, o)->lack != SPL_OUTING_LACK_NONE;
    return n;
}

/* The plan with one outing on another day, if that keeps the rules and leaves fewer without a
 * reserve for little more cost; or (not `fewer`) no more without one, and costs less. NULL
 * otherwise. */
static struct spl_outing_plan *moved(const struct spl_outing_problem *problem,
                                     const struct spl_outing_plan *plan, guint which, int day,
                                     gboolean fewer)
{
    struct spl_outing_plan *trial = spl_outing_plan_copy(plan);

    move_to(problem, outing_at(trial, which), day);
    spl_outing_plan_finish(problem, trial);
    if ((fewer ? without_reserve(trial) < without_reserve(plan) &&
                     trial->cost <= plan->cost + RESERVE_HOURS
               : without_reserve(trial) <= without_reserve(plan) &&
                     trial->cost < plan->cost - HARDLY) &&
        trial->parts.open <= plan->parts.open + HARDLY && holds(problem, trial))
        return trial;
    spl_outing_plan_free(trial);
    return NULL;
}

/* Of all days in reach the one that leaves fewest without a reserve, and of those the cheapest; of
 * equals the nearest, the day before ahead of the day after. */
static struct spl_outing_plan *move_for_reserve(const struct spl_outing_problem *problem,
                                                const struct spl_outing_plan *plan, guint which,
                                                gboolean fewer)
{
    int from = outing_at(plan, which)->day, n_days = (int)problem->days->len;
    struct spl_outing_plan *best = NULL;

    for (int step = 1; step < n_days; step++) {
        for (int side = -1; side <= 1; side += 2) {
            int day = from + side * step;
            struct spl_outing_plan *trial = NULL;

            if (day >= 0 && day < n_days && !has_outing(plan, day) &&
                ABS(SPL_OUTING_DAY(problem, day)->day.n - SPL_OUTING_DAY(problem, from)->day.n) <=
                    RESERVE_REACH_DAYS &&
                isfinite(hours_on(problem, outing_at(plan, which), day)))
                trial = moved(problem, plan, which, day, fewer);
            if (trial != NULL && best != NULL &&
                (without_reserve(trial) > without_reserve(best) ||
                 (without_reserve(trial) == without_reserve(best) &&
                  trial->cost >= best->cost - HARDLY)))
                g_clear_pointer(&trial, spl_outing_plan_free);
            if (trial == NULL)
                continue;
            spl_outing_plan_free(best);
            best = trial;
        }
    }
    return best;
}

/* One outing on a liked day at no cost; FALSE: none. */
static gboolean like_one(const struct spl_outing_problem *problem, struct spl_outing_plan **plan,
                         guint which)
{
    for (int d = 0; d < (int)problem->days->len; d++) {
        struct spl_outing_plan *trial;

        if (!SPL_OUTING_DAY(problem, d)->liked || has_outing(*plan, d) ||
            !isfinite(hours_on(problem, outing_at(*plan, which), d)))
            continue;
        trial = spl_outing_plan_copy(*plan);
        move_to(problem, outing_at(trial, which), d);
        spl_outing_plan_finish(problem, trial);
        if (trial->cost <= (*plan)->cost + HARDLY &&
            without_reserve(trial) <= without_reserve(*plan) && holds(problem, trial)) {
            spl_outing_plan_free(*plan);
            *plan = trial;
            return TRUE;
        }
        spl_outing_plan_free(trial);
    }
    return FALSE;
}

/* First those that lack a reserve; then (not `fewer`) any that a day left free does better, but for
 * one that is where it was. */
static void move_all(const struct spl_outing_problem *problem, struct spl_outing_plan **plan,
                     gboolean fewer)
{
    for (guint o = 0; o < (*plan)->outings->len; o++) {
        const struct spl_outing *outing = outing_at(*plan, o);
        struct spl_outing_plan *better = NULL;

        if (!is_fixed(problem, *plan, o) && (fewer ? outing->lack != SPL_OUTING_LACK_NONE
                                                   : !SPL_OUTING_DAY(problem, outing->day)->liked))
            better = move_for_reserve(problem, *plan, o, fewer);
        if (better == NULL)
            continue;
        spl_outing_plan_free(*plan);
        *plan = better;
    }
}

struct spl_outing_plan *spl_outing_dry_days(const struct spl_outing_problem *problem,
                                            struct spl_outing_plan *plan, double *hours)
{
    double before;

    spl_outing_plan_finish(problem, plan);
    for (guint o = 0; o < plan->outings->len; o++) {
        if (!is_fixed(problem, plan, o) && !SPL_OUTING_DAY(problem, outing_at(plan, o)->day)->liked)
            like_one(problem, &plan, o);
    }
    before = plan->cost;
    move_all(problem, &plan, TRUE);
    move_all(problem, &plan, FALSE);
    *hours = MAX(plan->cost - before, 0);
    return plan;
}
