/* SPDX-License-Identifier: MIT
 *
 * The search. See core/outing_search.h.
 */
#include "core/outing_search.h"

#include <math.h>

#include "core/outing_check.h"
#include "core/outing_greedy.h"
#include "core/outing_model.h"
#include "core/outing_slide.h"
#include "core/outing_thin.h"
#include "simpling/error.h"

#define GREEDY_ROUNDS 3
#define GREEDY_LARGE 200   /* sources, above which the greedy plan is not taken apart again */
#define WHOLE_MOST 3000    /* patterns of a season that is solved as it is */
#define WHOLE_LATER 12000  /* and of one that is, with what is left, after its stretches */
#define ROOT_MOST 40000    /* patterns of a season whose root is looked at */
#define THIN_MOST 6000     /* patterns of a season that is thinned */
#define STRETCH_FIRST 1200 /* patterns of a stretch that is planned anew */
#define STRETCH_MOST 4800
#define STRETCH_NODES 150
#define STRETCH_GAP 0.0005 /* of the whole plan, of which a stretch is a small part */
#define STRETCH_SECONDS 4.0
#define STRETCH_FRAC 0.1 /* of the seconds left, if that is more */
#define WORK 600000.0    /* nodes times patterns of a search by default: some ten seconds */
#define FEWEST_NODES 400
#define MOST_NODES 3000
#define HARDLY 1e-6
#define SAFE 1e-6 /* a proven bound is lowered by this against rounding */

struct search {
    const struct spl_outing_problem *problem;
    const struct spl_mip_solver *solver;
    const struct spl_outing_wish *wish;
    struct spl_outing_answer *answer;
    double first_cost;            /* of the first plan, slid */
    int most_sites;               /* of new patterns in a stretch */
    struct spl_outing_plan *best; /* while another start is planned anew; NULL otherwise */
    GArray *counted;              /* double a need: what may stay open where count_bound holds */
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

static struct spl_outing_step step_of(const struct search *s, enum spl_outing_stage stage)
{
    const struct spl_outing_plan *plan = s->answer->plan;

    if (s->best != NULL && s->best->cost < plan->cost)
        plan = s->best;
    return (struct spl_outing_step){.stage = stage,
                                    .cost = plan->cost,
                                    .bound = s->answer->cost_bound,
                                    .outings = (int)plan->outings->len,
                                    .nodes = s->answer->nodes};
}

static void tell(const struct search *s, enum spl_outing_stage stage)
{
    struct spl_outing_step step = step_of(s, stage);

    if (s->wish->tell != NULL)
        s->wish->tell(&step, s->wish->data);
}

static void end_stage(struct search *s, enum spl_outing_stage stage)
{
    struct spl_outing_step step = step_of(s, stage);

    g_array_append_val(s->answer->steps, step);
    tell(s, stage);
}

/* Whether to stop, and why. */
static gboolean enough(const struct search *s)
{
    struct spl_outing_answer *answer = s->answer;

    if (s->wish->stopped != NULL && s->wish->stopped(s->wish->data)) {
        answer->stop = SPL_OUTING_STOP_HAND;
        return TRUE;
    }
    if (gap_of(answer->plan->cost, answer->cost_bound) <= s->wish->gap + HARDLY) {
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

/* Slides the plan and takes it if it keeps the rules and is better; frees it otherwise. */
static gboolean take_plan(struct search *s, struct spl_outing_plan *plan)
{
    struct spl_outing_answer *answer = s->answer;

    if (!believe(s->problem, plan, NULL)) {
        spl_outing_plan_free(plan);
        return FALSE;
    }
    plan = spl_outing_slide(s->problem, plan);
    if (plan->cost >= answer->plan->cost - HARDLY || !believe(s->problem, plan, NULL)) {
        spl_outing_plan_free(plan);
        return FALSE;
    }
    spl_outing_plan_free(answer->plan);
    answer->plan = plan;
    return TRUE;
}

/* ---- what no plan can beat ----------------------------------------------------------------- */

/* Without a solver: what is fixed, and for the dearest need the cheapest outing that serves it, or
 * leaving it. */
static double plain_bound(const struct spl_outing_problem *problem)
{
    double fixed = 0, most = 0;

    for (guint d = 0; d < problem->days->len; d++) {
        const struct spl_outing_day *day = SPL_OUTING_DAY(problem, d);

        if (day->fixed)
            fixed += problem->outing_hours + spl_outing_round(problem,
                                                              (const int *)(void *)day->sites->data,
                                                              (int)day->sites->len, NULL, NULL);
    }
    for (guint n = 0; n < problem->needs->len && fixed <= 0; n++) {
        double least = problem->open_hours + problem->batch_hours;

        for (int i = 0; i < (int)problem->sources->len; i++) {
            int site = SPL_OUTING_SOURCE(problem, i)->site;

            if (SPL_OUTING_SOURCE(problem, i)->material == SPL_OUTING_NEED(problem, n)->material)
                least = MIN(least, problem->outing_hours +
                                       spl_outing_round(problem, &site, 1, NULL, NULL));
        }
        most = MAX(most, least);
    }
    return MAX(fixed + most - SAFE, 0);
}

static void raise_bound(struct search *s, double bound)
{
    if (isfinite(bound))
        s->answer->cost_bound =
            MAX(s->answer->cost_bound, MIN(bound, s->answer->plan->cost) - SAFE);
}

static gboolean root(struct search *s, GError **error)
{
    g_autoptr(spl_outing_model) model = NULL;
    struct spl_mip_limits limits = {.cutoff = INFINITY, .relax = TRUE};
    struct spl_mip_answer answer;

    if (spl_outing_model_size(s->problem) > ROOT_MOST)
        return TRUE;
    model = spl_outing_model_new(s->problem, SPL_OUTING_GOAL_COST, NULL);
    if (!s->solver->solve(model->mip, &limits, &answer, s->solver->data, error))
        return FALSE;
    if (answer.state == SPL_MIP_OPTIMAL)
        raise_bound(s, answer.bound);
    spl_mip_answer_clear(&answer);
    end_stage(s, SPL_OUTING_STAGE_ROOT);
    return TRUE;
}

/* Whether the plan leaves no more open of any need than was counted with. */
static gboolean still_counts(const struct search *s)
{
    const GArray *now = s->answer->plan->short_g;

    for (guint n = 0; n < now->len && n < s->counted->len; n++) {
        if (g_array_index(now, double, n) > g_array_index(s->counted, double, n) + HARDLY)
            return FALSE;
    }
    return now->len == s->counted->len;
}

/* How few outings could leave as little open as the plan. Where there is no time left, what was
 * counted for an earlier plan holds for one that leaves no more open. */
static gboolean count(struct search *s, GError **error)
{
    g_autoptr(spl_outing_model) model = NULL;
    struct spl_mip_limits limits = {.cutoff = INFINITY, .relax = TRUE};
    struct spl_mip_answer answer;

    if (spl_outing_model_size(s->problem) > ROOT_MOST)
        return TRUE;
    model = spl_outing_model_new(s->problem, SPL_OUTING_GOAL_COUNT, s->answer->plan->short_g);
    if (!s->solver->solve(model->mip, &limits, &answer, s->solver->data, error))
        return FALSE;
    if (answer.state == SPL_MIP_OPTIMAL) {
        s->answer->count_bound =
            MIN((int)ceil(answer.bound - 1e-4), (int)s->answer->plan->outings->len);
        g_array_set_size(s->counted, 0);
        g_array_append_vals(s->counted, s->answer->plan->short_g->data,
                            s->answer->plan->short_g->len);
    }
    spl_mip_answer_clear(&answer);
    return TRUE;
}

/* ---- the whole ----------------------------------------------------------------------------- */

static gboolean whole(struct search *s, GError **error)
{
    g_autoptr(spl_outing_model) model =
        spl_outing_model_new(s->problem, SPL_OUTING_GOAL_COST, NULL);
    struct spl_mip_limits limits = {
        .nodes = s->wish->nodes > 0 ? MAX(s->wish->nodes - s->answer->nodes, 1) : 0,
        .gap = s->wish->gap,
        .cutoff = s->answer->plan->cost - HARDLY};
    struct spl_mip_answer answer;

    if (!s->solver->solve(model->mip, &limits, &answer, s->solver->data, error))
        return FALSE;
    s->answer->nodes += answer.nodes;
    raise_bound(s, answer.bound);
    if (answer.x != NULL)
        take_plan(s, spl_outing_model_plan(s->problem, model, answer.x));
    /* It claims a bound for its own plans; a slid one may lie below. */
    s->answer->cost_bound = MIN(s->answer->cost_bound, s->answer->plan->cost);
    spl_mip_answer_clear(&answer);
    end_stage(s, SPL_OUTING_STAGE_WHOLE);
    return TRUE;
}

/* ---- a stretch of the season anew ---------------------------------------------------------- */

/* How many patterns a day has, of most_sites at most. */
static double patterns_on(const struct search *s, int day)
{
    g_autofree gboolean *open = g_new0(gboolean, s->problem->sites->len + 1);
    int sites = 0;
    double choose = 1, patterns = 0;

    for (int i = 0; i < (int)s->problem->sources->len; i++) {
        int site = SPL_OUTING_SOURCE(s->problem, i)->site;

        if (!open[site] && spl_outing_source_open(s->problem, i, day)) {
            open[site] = TRUE;
            sites++;
        }
    }
    for (int k = 1; k <= MIN(s->most_sites, sites); k++) {
        choose = choose * (sites - k + 1) / k;
        patterns += choose;
    }
    return patterns;
}

/* Frees days from `from` on, forth (step 1) or back (-1), until the patterns become too many; gives
 * the last day. */
static int free_stretch(const struct search *s, int from, int step, double room,
                        enum spl_outing_freedom *days)
{
    int n_days = (int)s->problem->days->len, last = from;

    for (int d = 0; d < n_days; d++)
        days[d] = SPL_OUTING_KEPT;
    for (int d = from; d >= 0 && d < n_days; d += step) {
        room -= patterns_on(s, d);
        if (room < 0 && d != from)
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
        spl_outing_model_part(s->problem, SPL_OUTING_GOAL_COST, NULL, &scope);
    struct spl_mip_limits limits = {
        .seconds = MAX(STRETCH_SECONDS, STRETCH_FRAC * s->solver->seconds_left(s->solver->data)),
        .nodes = STRETCH_NODES,
        .gap = STRETCH_GAP,
        .cutoff = s->answer->plan->cost - 1e-3};
    struct spl_mip_answer answer;

    if (s->wish->nodes > 0)
        limits.seconds = 0; /* the same work on every machine */
    if (!s->solver->solve(model->mip, &limits, &answer, s->solver->data, error))
        return FALSE;
    s->answer->nodes += answer.nodes;
    if (answer.x != NULL && take_plan(s, spl_outing_model_plan(s->problem, model, answer.x))) {
        *gained = TRUE;
        tell(s, SPL_OUTING_STAGE_STRETCHES);
    }
    spl_mip_answer_clear(&answer);
    return TRUE;
}

/* Plans stretch after stretch anew through the whole season, forth or back, so that none ends where
 * one did on the way there; each overlaps the last by half. */
static gboolean walk(struct search *s, gboolean back, double room, gboolean *gained, GError **error)
{
    int n_days = (int)s->problem->days->len, step = back ? -1 : 1;
    int from = back ? n_days - 1 : 0, end = n_days - 1 - from;
    g_autofree enum spl_outing_freedom *days = g_new(enum spl_outing_freedom, n_days);

    *gained = FALSE;
    while (!enough(s)) {
        int last = free_stretch(s, from, step, room, days);

        if (!plan_stretch(s, days, gained, error))
            return FALSE;
        if (last == end)
            break;
        from += step * MAX((ABS(last - from) + 1) / 2, 1);
    }
    return TRUE;
}

/* Another first plan: the greedy one that was taken apart less often, the nearest that differs;
 * NULL: none does. */
static struct spl_outing_plan *begin_otherwise(const struct search *s)
{
    for (int rounds = GREEDY_ROUNDS - 1; rounds >= 0; rounds--) {
        struct spl_outing_plan *other =
            spl_outing_slide(s->problem, spl_outing_greedy(s->problem, rounds));

        if (fabs(other->cost - s->first_cost) > HARDLY && believe(s->problem, other, NULL))
            return other;
        spl_outing_plan_free(other);
    }
    return NULL;
}

/* Walks once from another first plan; the better goes on. Stretches lead no further where each is
 * the best of its kind, and two plans are seldom stuck in one place. */
static gboolean other_start(struct search *s, double room, GError **error)
{
    struct spl_outing_plan *other = enough(s) ? NULL : begin_otherwise(s);
    gboolean gained, done;

    if (other == NULL)
        return TRUE;
    s->best = s->answer->plan;
    s->answer->plan = other;
    done = walk(s, FALSE, room, &gained, error);
    if (s->best->cost <= s->answer->plan->cost) {
        spl_outing_plan_free(s->answer->plan);
        s->answer->plan = g_steal_pointer(&s->best);
    }
    g_clear_pointer(&s->best, spl_outing_plan_free);
    return done;
}

/* `most` patterns of the widest stretches. */
static gboolean stretches(struct search *s, double room, double most, GError **error)
{
    gboolean back = FALSE, gained;

    if (!walk(s, back, room, &gained, error))
        return FALSE;
    if (s->problem->sources->len <= GREEDY_LARGE && !other_start(s, room, error))
        return FALSE;
    while (room <= most && !enough(s)) {
        /* Both ways without a gain: wider ones. */
        for (int idle = 0; idle < 2 && !enough(s); idle = gained ? 0 : idle + 1) {
            back = !back;
            if (!walk(s, back, room, &gained, error))
                return FALSE;
        }
        room *= 2;
    }
    end_stage(s, SPL_OUTING_STAGE_STRETCHES);
    return TRUE;
}

/* ---- days that are as good as others left out --------------------------------------------------
 */

/* `*solved`: no plan of the thinned season is better by more than the gap. */
static gboolean thinned(struct search *s, gboolean *solved, GError **error)
{
    g_autofree enum spl_outing_freedom *days =
        g_new(enum spl_outing_freedom, s->problem->days->len);
    struct spl_outing_scope scope = {days, s->answer->plan, s->problem->most_sites};
    g_autoptr(spl_outing_model) model = NULL;
    struct spl_mip_limits limits = {.nodes = s->wish->nodes > 0 ? (s->wish->nodes + 1) / 2 : 0,
                                    .gap = s->wish->gap,
                                    .cutoff = s->answer->plan->cost - HARDLY};
    struct spl_mip_answer answer;

    *solved = FALSE;
    spl_outing_thin(s->problem, days);
    model = spl_outing_model_part(s->problem, SPL_OUTING_GOAL_COST, NULL, &scope);
    if (model->patterns->len > THIN_MOST)
        return TRUE;
    if (!s->solver->solve(model->mip, &limits, &answer, s->solver->data, error))
        return FALSE;
    s->answer->nodes += answer.nodes;
    *solved = answer.state == SPL_MIP_OPTIMAL || answer.state == SPL_MIP_INFEASIBLE;
    if (answer.x != NULL)
        take_plan(s, spl_outing_model_plan(s->problem, model, answer.x));
    spl_mip_answer_clear(&answer);
    end_stage(s, SPL_OUTING_STAGE_THINNED);
    return TRUE;
}

/* ---- all together -------------------------------------------------------------------------- */

static gboolean search(struct search *s, GError **error)
{
    gint64 size = spl_outing_model_size(s->problem);
    gboolean solved = FALSE;

    if (!root(s, error) || !count(s, error))
        return FALSE;
    if (!enough(s) && !thinned(s, &solved, error))
        return FALSE;
    if (!enough(s) && size > WHOLE_MOST && !solved &&
        !stretches(s, STRETCH_FIRST, s->wish->nodes > 0 ? STRETCH_FIRST : STRETCH_MOST, error))
        return FALSE;
    /* Nodes do not tell how long the root of a large one takes: only the clock ends that. */
    if (!enough(s) && size <= (s->wish->nodes > 0 ? WHOLE_MOST : WHOLE_LATER) && !whole(s, error))
        return FALSE;
    enough(s);
    return s->answer->stop == SPL_OUTING_STOP_HAND || count(s, error);
}

int spl_outing_default_nodes(const struct spl_outing_problem *problem)
{
    double size = (double)MAX(spl_outing_model_size(problem), 1);

    return (int)CLAMP(WORK / size, FEWEST_NODES, MOST_NODES);
}

/* A first plan, without a solver. */
static gboolean begin(struct search *s, GError **error)
{
    struct spl_outing_answer *answer = s->answer;
    const struct spl_outing_problem *problem = s->problem;

    answer->plan =
        spl_outing_greedy(problem, problem->sources->len > GREEDY_LARGE ? 0 : GREEDY_ROUNDS);
    if (!believe(problem, answer->plan, error))
        return FALSE;
    answer->cost_bound = MIN(plain_bound(problem), answer->plan->cost);
    end_stage(s, SPL_OUTING_STAGE_GREEDY);
    answer->plan = spl_outing_slide(problem, answer->plan);
    if (!believe(problem, answer->plan, error))
        return FALSE;
    s->first_cost = answer->plan->cost;
    answer->cost_bound = MIN(answer->cost_bound, answer->plan->cost);
    end_stage(s, SPL_OUTING_STAGE_SLIDE);
    return TRUE;
}

void spl_outing_answer_clear(struct spl_outing_answer *answer)
{
    spl_outing_plan_free(answer->plan);
    g_clear_pointer(&answer->steps, g_array_unref);
    *answer = (struct spl_outing_answer){0};
}

gboolean spl_outing_search(const struct spl_outing_problem *problem,
                           const struct spl_mip_solver *solver, const struct spl_outing_wish *wish,
                           struct spl_outing_answer *answer, GError **error)
{
    struct search s = {.problem = problem, .solver = solver, .wish = wish, .answer = answer};
    g_autoptr(GError) why = NULL;

    *answer = (struct spl_outing_answer){.stop = SPL_OUTING_STOP_NODES};
    answer->steps = g_array_new(FALSE, FALSE, sizeof(struct spl_outing_step));
    s.most_sites = MIN(problem->most_sites, problem->sources->len > GREEDY_LARGE ? 2 : 6);
    if (!begin(&s, error)) {
        spl_outing_answer_clear(answer);
        return FALSE;
    }
    s.counted = g_array_new(FALSE, FALSE, sizeof(double));
    if (solver == NULL)
        answer->stop = SPL_OUTING_STOP_SOLVER;
    else if (!search(&s, &why))
        answer->stop = SPL_OUTING_STOP_FELL;
    if (!still_counts(&s))
        answer->count_bound = 0;
    g_array_unref(s.counted);
    answer->plan = spl_outing_dry_days(problem, answer->plan, &answer->reserve_hours);
    if (!believe(problem, answer->plan, error)) {
        spl_outing_answer_clear(answer);
        return FALSE;
    }
    end_stage(&s, SPL_OUTING_STAGE_RESERVES);
    answer->gap = gap_of(answer->plan->cost, answer->cost_bound);
    if (answer->stop == SPL_OUTING_STOP_GAP && answer->gap > wish->gap + HARDLY)
        answer->stop = SPL_OUTING_STOP_NODES;
    return TRUE;
}
