/* SPDX-License-Identifier: MIT
 *
 * The search: greedy plan, coverage, then cost. A better plan comes from planning a stretch of the
 * season anew while the rest stays; the bound from core/outing_bound.h. Both take turns.
 */
#include "core/outing_search.h"

#include <math.h>

#include "core/outing_bound.h"
#include "core/outing_check.h"
#include "core/outing_greedy.h"
#include "core/outing_model.h"
#include "simpling/error.h"

#define GREEDY_ROUNDS 3
#define STRETCH_FIRST 1200 /* patterns of a stretch that is planned anew */
#define STRETCH_MOST 4800
#define STRETCH_NODES 150
#define STRETCH_SECONDS 4.0
#define BOUND_NODES 300
#define BOUND_SECONDS 6.0
#define FIRST_BOUND_FRAC 0.6 /* of the time is left for better plans */
#define COVER_NODES 2000
#define SETTLE_MOST 3000 /* patterns of a season that is solved as it is */
#define SETTLE_NODES 20000
#define SETTLE_AT_ONCE 600 /* patterns of a season that is tried as it is before anything else */
#define SETTLE_AT_ONCE_NODES 2000
#define RESERVE_HOURS 0.3     /* what a reserve day for one outing may cost */
#define RESERVE_REACH_DAYS 14 /* how far an outing moves for it */
#define HARDLY 1e-6

struct search {
    const struct spl_outing_problem *problem;
    const struct spl_mip_solver *solver;
    const struct spl_outing_wish *wish;
    struct spl_outing_answer *answer;
    GArray *short_g;
    int most_sites; /* of new patterns in a stretch */
};

static gboolean believe(const struct spl_outing_problem *problem,
                        const struct spl_outing_plan *plan, GError **error)
{
    g_autoptr(GPtrArray) wrong = spl_outing_check(problem, plan);

    if (wrong->len == 0)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INTERNAL,
                "a plan broke a rule and was thrown away: %s; please report this",
                (const char *)g_ptr_array_index(wrong, 0));
    return FALSE;
}

static double gap_of(double cost, double bound)
{
    return cost <= HARDLY ? 0 : MAX(cost - bound, 0) / cost;
}

static void tell(const struct search *s)
{
    if (s->wish->tell != NULL)
        s->wish->tell(s->answer->plan->cost, s->answer->cost_bound,
                      (int)s->answer->plan->outings->len, s->wish->data);
}

/* Whether to stop, and why. */
static gboolean enough(const struct search *s)
{
    struct spl_outing_answer *answer = s->answer;

    answer->gap = gap_of(answer->plan->cost, answer->cost_bound);
    if (answer->gap <= s->wish->gap + HARDLY) {
        answer->stop = SPL_OUTING_STOP_GAP;
        return TRUE;
    }
    if (s->wish->nodes > 0 && answer->nodes >= s->wish->nodes) {
        answer->stop = SPL_OUTING_STOP_NODES;
        return TRUE;
    }
    if (s->solver->seconds_left(s->solver->data) <= 0.1) {
        answer->stop = SPL_OUTING_STOP_SECONDS;
        return TRUE;
    }
    return FALSE;
}

/* Takes the plan if it keeps the rules and is better; frees it otherwise. */
static gboolean take_plan(struct search *s, struct spl_outing_plan *plan)
{
    struct spl_outing_answer *answer = s->answer;
    double shortage = spl_outing_plan_shortage(s->problem, plan);
    gboolean better =
        shortage < answer->shortage - HARDLY ||
        (shortage < answer->shortage + HARDLY && plan->cost < answer->plan->cost - HARDLY);

    if (!better || !believe(s->problem, plan, NULL)) {
        spl_outing_plan_free(plan);
        return FALSE;
    }
    spl_outing_plan_free(answer->plan);
    answer->plan = plan;
    answer->shortage = MIN(shortage, answer->shortage);
    tell(s);
    return TRUE;
}

/* ---- coverage ------------------------------------------------------------------------------ */

static gboolean cover(struct search *s, GError **error)
{
    g_autoptr(spl_outing_model) model = NULL;
    struct spl_mip_limits limits = {.cutoff = INFINITY, .relax = TRUE};
    struct spl_mip_answer answer;

    if (s->answer->shortage <= HARDLY) {
        s->answer->shortage = s->answer->shortage_bound = 0;
        return TRUE;
    }
    if (spl_outing_model_size(s->problem) > 100000)
        return TRUE;
    model = spl_outing_model_new(s->problem, SPL_OUTING_GOAL_COVER, NULL);
    if (!s->solver->solve(model->mip, &limits, &answer, s->solver->data, error))
        return FALSE;
    if (answer.state == SPL_MIP_OPTIMAL)
        s->answer->shortage_bound = MAX(answer.bound - HARDLY, 0);
    spl_mip_answer_clear(&answer);
    if (s->answer->shortage <= s->answer->shortage_bound + 1e-3)
        return TRUE;
    limits =
        (struct spl_mip_limits){.seconds = MAX(s->solver->seconds_left(s->solver->data) / 4, 0.1),
                                .nodes = COVER_NODES,
                                .cutoff = s->answer->shortage};
    if (!s->solver->solve(model->mip, &limits, &answer, s->solver->data, error))
        return FALSE;
    s->answer->nodes += answer.nodes;
    if (isfinite(answer.bound))
        s->answer->shortage_bound =
            MAX(s->answer->shortage_bound, MIN(answer.bound, s->answer->shortage));
    if (answer.x != NULL)
        take_plan(s, spl_outing_model_plan(s->problem, model, answer.x));
    spl_mip_answer_clear(&answer);
    return TRUE;
}

/* ---- a stretch of the season anew ---------------------------------------------------------- */

/* Frees days from `from` on until the patterns become too many; gives the last day. */
static int stretch_from(const struct search *s, int from, int room, enum spl_outing_freedom *days)
{
    int n_days = (int)s->problem->days->len, last = from;

    for (int d = 0; d < n_days; d++)
        days[d] = SPL_OUTING_KEPT;
    for (int d = from; d < n_days; d++) {
        g_autofree gboolean *open = g_new0(gboolean, s->problem->sites->len + 1);
        int sites = 0;
        double choose = 1, patterns = 0;

        for (int i = 0; i < (int)s->problem->sources->len; i++) {
            int site = SPL_OUTING_SOURCE(s->problem, i)->site;

            if (!open[site] && spl_outing_source_open(s->problem, i, d)) {
                open[site] = TRUE;
                sites++;
            }
        }
        for (int k = 1; k <= MIN(s->most_sites, sites); k++) {
            choose = choose * (sites - k + 1) / k;
            patterns += choose;
        }
        room -= (int)MIN(patterns, 1e6);
        if (room < 0 && d > from)
            break;
        days[d] = SPL_OUTING_FREE;
        last = d;
    }
    return last;
}

static gboolean plan_stretch(struct search *s, const enum spl_outing_freedom *days,
                             gboolean *gained, GError **error)
{
    struct spl_outing_scope scope = {days, s->answer->plan, s->most_sites};
    g_autoptr(spl_outing_model) model =
        spl_outing_model_part(s->problem, SPL_OUTING_GOAL_COST, s->short_g, &scope);
    struct spl_mip_limits limits = {.seconds = STRETCH_SECONDS,
                                    .nodes = STRETCH_NODES,
                                    .gap = 0.005,
                                    .cutoff = s->answer->plan->cost - 1e-3};
    struct spl_mip_answer answer;

    if (s->wish->nodes > 0)
        limits.seconds = 0; /* the same work on every machine */
    if (!s->solver->solve(model->mip, &limits, &answer, s->solver->data, error))
        return FALSE;
    s->answer->nodes += answer.nodes;
    if (answer.x != NULL)
        *gained |= take_plan(s, spl_outing_model_plan(s->problem, model, answer.x));
    spl_mip_answer_clear(&answer);
    return TRUE;
}

/* Where the walk through the season stands. */
struct walk {
    int from;
    int room;        /* patterns of a stretch */
    gboolean gained; /* in this pass */
    gboolean done;   /* a pass with the widest stretches gained nothing */
    enum spl_outing_freedom *days;
};

/* Plans the next stretch anew; each overlaps the last by half. */
static gboolean improve(struct search *s, struct walk *walk, GError **error)
{
    int n_days = (int)s->problem->days->len;
    int last = stretch_from(s, walk->from, walk->room, walk->days);

    if (!plan_stretch(s, walk->days, &walk->gained, error))
        return FALSE;
    if (last < n_days - 1) {
        walk->from = MAX(walk->from + 1, (walk->from + last + 1) / 2);
        return TRUE;
    }
    walk->from = 0;
    if (!walk->gained) {
        walk->done = walk->room >= STRETCH_MOST;
        walk->room *= 2;
    }
    walk->gained = FALSE;
    return TRUE;
}

/* ---- all together -------------------------------------------------------------------------- */

static gboolean raise_bound(struct search *s, struct spl_outing_bound *bound, gboolean *more,
                            GError **error)
{
    GError *why = NULL;
    int before = spl_outing_bound_nodes(bound);

    *more = spl_outing_bound_step(bound, s->solver, s->answer->plan->cost, BOUND_NODES,
                                  s->wish->nodes > 0 ? 0 : BOUND_SECONDS, &why);
    s->answer->nodes += spl_outing_bound_nodes(bound) - before;
    if (why != NULL) {
        g_propagate_error(error, why);
        return FALSE;
    }
    if (spl_outing_bound_cost(bound) > s->answer->cost_bound + HARDLY) {
        s->answer->cost_bound = spl_outing_bound_cost(bound);
        tell(s);
    }
    s->answer->count_bound = MAX(s->answer->count_bound, spl_outing_bound_count(bound));
    return TRUE;
}

/* A season small enough is solved as it is, racks, intervals, edges and all, to the gap asked for.
 */
static gboolean settle(struct search *s, int most_patterns, int nodes, double seconds,
                       GError **error)
{
    g_autoptr(spl_outing_model) model = NULL;
    struct spl_mip_limits limits = {.seconds = seconds,
                                    .nodes = nodes,
                                    .gap = s->wish->gap,
                                    .cutoff = s->answer->plan->cost - HARDLY};
    struct spl_mip_answer answer;

    if (spl_outing_model_size(s->problem) > most_patterns)
        return TRUE;
    model = spl_outing_model_new(s->problem, SPL_OUTING_GOAL_COST, s->short_g);
    if (!s->solver->solve(model->mip, &limits, &answer, s->solver->data, error))
        return FALSE;
    s->answer->nodes += answer.nodes;
    if (isfinite(answer.bound))
        s->answer->cost_bound =
            MAX(s->answer->cost_bound, MIN(answer.bound, s->answer->plan->cost) - HARDLY);
    if (answer.x != NULL)
        take_plan(s, spl_outing_model_plan(s->problem, model, answer.x));
    tell(s);
    spl_mip_answer_clear(&answer);
    return TRUE;
}

/* Better plans and better bounds take turns. */
static gboolean search(struct search *s, GError **error)
{
    g_autoptr(spl_outing_bound) bound = NULL;
    g_autofree enum spl_outing_freedom *days =
        g_new(enum spl_outing_freedom, s->problem->days->len);
    struct walk walk = {.room = STRETCH_FIRST, .days = days};
    gboolean more = TRUE;
    double patience;

    if (!cover(s, error))
        return FALSE;
    g_array_set_size(s->short_g, 0);
    g_array_append_vals(s->short_g, s->answer->plan->short_g->data, s->answer->plan->short_g->len);
    bound = spl_outing_bound_new(s->problem, s->short_g);
    s->answer->cost_bound = spl_outing_bound_cost(bound);
    s->answer->count_bound = spl_outing_bound_count(bound);
    /* A first bound before anything else, so that every answer carries one. */
    patience = s->solver->seconds_left(s->solver->data);
    while (more && spl_outing_bound_begins(bound) && !enough(s) &&
           s->solver->seconds_left(s->solver->data) > FIRST_BOUND_FRAC * patience) {
        if (!raise_bound(s, bound, &more, error))
            return FALSE;
    }
    if (!enough(s) && !settle(s, SETTLE_AT_ONCE, SETTLE_AT_ONCE_NODES,
                              s->wish->nodes > 0 ? 0 : patience / 4, error))
        return FALSE;
    while (!enough(s) && (more || !walk.done)) {
        if (more && !raise_bound(s, bound, &more, error))
            return FALSE;
        if (!walk.done && !enough(s) && !improve(s, &walk, error))
            return FALSE;
    }
    return enough(s) || settle(s, SETTLE_MOST, SETTLE_NODES, 0, error);
}

/* ---- a second dry day ---------------------------------------------------------------------- */

static int without_reserve(const struct spl_outing_plan *plan)
{
    int n = 0;

    for (guint i = 0; i < plan->outings->len; i++)
        n += g_array_index(plan->outings, struct spl_outing, i).reserve < 0;
    return n;
}

static gboolean has_outing(const struct spl_outing_plan *plan, int day)
{
    for (guint i = 0; i < plan->outings->len; i++) {
        if (g_array_index(plan->outings, struct spl_outing, i).day == day)
            return TRUE;
    }
    return FALSE;
}

/* The plan with one outing on another day, if that leaves fewer without a reserve for little more
 * cost and keeps the rules; NULL otherwise. */
static struct spl_outing_plan *moved(const struct search *s, guint which, int day)
{
    const struct spl_outing_plan *plan = s->answer->plan;
    struct spl_outing_plan *trial = spl_outing_plan_copy(plan);
    g_autoptr(GPtrArray) wrong = NULL;

    g_array_index(trial->outings, struct spl_outing, which).day = day;
    spl_outing_plan_finish(s->problem, trial);
    wrong = spl_outing_check(s->problem, trial);
    if (wrong->len == 0 && without_reserve(trial) < without_reserve(plan) &&
        trial->cost <= plan->cost + RESERVE_HOURS &&
        spl_outing_plan_shortage(s->problem, trial) <= s->answer->shortage + HARDLY)
        return trial;
    spl_outing_plan_free(trial);
    return NULL;
}

/* None should hang on one dry day: outings without a reserve move to a day that has one after it,
 * where the windows let them. */
static void find_dry_days(struct search *s)
{
    int n_days = (int)s->problem->days->len;

    for (guint i = 0; i < s->answer->plan->outings->len; i++) {
        const struct spl_outing *outing =
            &g_array_index(s->answer->plan->outings, struct spl_outing, i);
        int from = outing->day;

        if (outing->reserve >= 0 || SPL_OUTING_DAY(s->problem, from)->fixed)
            continue;
        for (int step = 1; step < n_days; step++) {
            struct spl_outing_plan *better = NULL;

            /* Nearest first, the day before ahead of the day after. */
            for (int side = -1; side <= 1 && better == NULL; side += 2) {
                int day = from + side * step;

                if (day >= 0 && day < n_days && !SPL_OUTING_DAY(s->problem, day)->fixed &&
                    ABS(SPL_OUTING_DAY(s->problem, day)->day.n -
                        SPL_OUTING_DAY(s->problem, from)->day.n) <= RESERVE_REACH_DAYS &&
                    !has_outing(s->answer->plan, day))
                    better = moved(s, i, day);
            }
            if (better == NULL)
                continue;
            spl_outing_plan_free(s->answer->plan);
            s->answer->plan = better;
            break;
        }
    }
}

void spl_outing_answer_clear(struct spl_outing_answer *answer)
{
    spl_outing_plan_free(answer->plan);
    *answer = (struct spl_outing_answer){0};
}

gboolean spl_outing_search(const struct spl_outing_problem *problem,
                           const struct spl_mip_solver *solver, const struct spl_outing_wish *wish,
                           struct spl_outing_answer *answer, GError **error)
{
    struct search s = {.problem = problem, .solver = solver, .wish = wish, .answer = answer};
    g_autoptr(GError) why = NULL;

    *answer = (struct spl_outing_answer){.stop = SPL_OUTING_STOP_NODES};
    answer->plan = spl_outing_greedy(problem, problem->sources->len > 200 ? 0 : GREEDY_ROUNDS);
    answer->shortage = spl_outing_plan_shortage(problem, answer->plan);
    if (!believe(problem, answer->plan, error)) {
        spl_outing_answer_clear(answer);
        return FALSE;
    }
    s.most_sites = MIN(problem->most_sites, problem->sources->len > 200 ? 2 : 6);
    s.short_g = g_array_new(FALSE, FALSE, sizeof(double));
    tell(&s);
    if (solver == NULL || !search(&s, &why))
        answer->stop = SPL_OUTING_STOP_SOLVER;
    find_dry_days(&s);
    answer->gap = gap_of(answer->plan->cost, answer->cost_bound);
    g_array_unref(s.short_g);
    return TRUE;
}
