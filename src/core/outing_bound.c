/* SPDX-License-Identifier: MIT
 *
 * Lower bounds of the season plan from sub-seasons with interchangeable days.
 */
#include "core/outing_bound.h"

#include <math.h>

#include "core/outing_greedy.h"
#include "core/outing_relax.h"

#define CRUMB_G 1.0         /* by so little a plan that counts as covering may fall short */
#define WIDEST 7            /* materials in one sub-season */
#define MOST_PATTERNS 60000 /* of one relaxation, before like days are joined */

struct middle {
    int material;
    double day;
};

static int compare_middles(gconstpointer a, gconstpointer b)
{
    double x = ((const struct middle *)a)->day, y = ((const struct middle *)b)->day;

    return x < y   ? -1
           : x > y ? 1
                   : ((const struct middle *)a)->material - ((const struct middle *)b)->material;
}

/* At once, without any solver: all the picking and working up must find room in outings that each
 * lose at least the shortest round. */
static void bound_by_work(struct spl_outing_bound *b)
{
    double work = 0, longest = 0, shortest = INFINITY, room;

    for (guint n = 0; n < b->problem->needs->len; n++)
        work += b->need_kg[n] * SPL_OUTING_KG *
                spl_outing_hours_per_g(b->problem, SPL_OUTING_NEED(b->problem, n)->material);
    for (guint d = 0; d < b->problem->days->len; d++)
        longest = MAX(longest, SPL_OUTING_DAY(b->problem, d)->hours);
    for (int s = 0; s < (int)b->problem->sites->len; s++)
        shortest = MIN(shortest, spl_outing_round(b->problem, &s, 1, NULL, NULL));
    room = longest - shortest;
    if (!(work > 0) || !(room > 0))
        return;
    b->count = (int)ceil(work / room - 1e-6);
    b->cost = b->count * (b->problem->outing_hours + shortest) - SPL_OUTING_SAFE;
}

struct spl_outing_bound *spl_outing_bound_new(const struct spl_outing_problem *problem,
                                              const GArray *short_g)
{
    struct spl_outing_bound *b = g_new0(struct spl_outing_bound, 1);
    g_autoptr(GArray) middles = g_array_new(FALSE, FALSE, sizeof(struct middle));

    b->problem = problem;
    b->cuts = g_array_new(FALSE, FALSE, sizeof(struct spl_outing_cut));
    b->rounds = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, g_free);
    b->need_kg = g_new0(double, problem->needs->len + 1);
    for (guint n = 0; n < problem->needs->len; n++)
        b->need_kg[n] = MAX(SPL_OUTING_NEED(problem, n)->grams -
                                (short_g == NULL ? 0 : g_array_index(short_g, double, n)) - CRUMB_G,
                            0) /
                        SPL_OUTING_KG;
    b->order = g_new0(int, problem->materials->len + 1);
    b->place = g_new0(int, problem->materials->len + 1);
    for (int m = 0; m < (int)problem->materials->len; m++) {
        struct middle middle = {m, 0};
        int n = 0;

        b->place[m] = -1;
        for (guint i = 0; i < problem->sources->len; i++) {
            const struct spl_outing_source *source = SPL_OUTING_SOURCE(problem, i);

            if (source->material == m && source->allowance_g > 0) {
                middle.day += (source->earliest.n + source->latest.n) / 2.0;
                n++;
            }
        }
        if (n == 0 || spl_outing_relax_need(b, m) <= 0)
            continue;
        middle.day /= n;
        g_array_append_val(middles, middle);
    }
    g_array_sort(middles, compare_middles);
    for (guint k = 0; k < middles->len; k++) {
        b->order[k] = g_array_index(middles, struct middle, k).material;
        b->place[b->order[k]] = (int)k;
    }
    b->n_order = (int)middles->len;
    b->width = 1;
    b->done = b->n_order == 0;
    if (!b->done)
        bound_by_work(b);
    return b;
}

void spl_outing_bound_free(struct spl_outing_bound *b)
{
    if (b == NULL)
        return;
    g_array_unref(b->cuts);
    g_hash_table_unref(b->rounds);
    g_free(b->need_kg);
    g_free(b->order);
    g_free(b->place);
    g_free(b);
}

/* Minimises, and returns what is proven of the least; `cutoff`: more need not be proven. */
static gboolean prove(struct spl_outing_bound *b, const struct spl_mip_solver *solver,
                      const struct spl_mip *mip, double cutoff, int nodes, double seconds,
                      double *least, GError **error)
{
    struct spl_mip_limits limits = {.seconds = seconds, .cutoff = INFINITY, .relax = TRUE};
    struct spl_mip_answer answer;

    *least = 0;
    if (!solver->solve(mip, &limits, &answer, solver->data, error))
        return FALSE;
    if (answer.state == SPL_MIP_OPTIMAL)
        *least = MAX(*least, answer.bound - SPL_OUTING_SAFE);
    else if (answer.state == SPL_MIP_INFEASIBLE)
        *least = cutoff;
    spl_mip_answer_clear(&answer);
    if (nodes <= 0 || *least >= cutoff - SPL_OUTING_SAFE)
        return TRUE;
    limits.relax = FALSE;
    limits.cutoff = cutoff;
    limits.nodes = nodes;
    if (!solver->solve(mip, &limits, &answer, solver->data, error))
        return FALSE;
    b->nodes += answer.nodes;
    if (answer.state == SPL_MIP_INFEASIBLE)
        *least = MAX(*least, cutoff);
    else if (isfinite(answer.bound))
        *least = MAX(*least, MIN(answer.bound, cutoff) - SPL_OUTING_SAFE);
    spl_mip_answer_clear(&answer);
    return TRUE;
}

/* The greedy plan for the sub-season alone: how few outings and how little cost are known to do. */
static void known(const struct spl_outing_bound *b, int first, int last, int *count, double *cost)
{
    struct spl_outing_problem part = *b->problem;
    struct spl_outing_plan *plan;

    part.needs = g_array_new(FALSE, TRUE, sizeof(struct spl_outing_need));
    part.edge_hours = 0;
    for (guint n = 0; n < b->problem->needs->len; n++) {
        struct spl_outing_need need = *SPL_OUTING_NEED(b->problem, n);

        if (b->place[need.material] < first || b->place[need.material] > last || b->need_kg[n] <= 0)
            continue;
        need.grams = b->need_kg[n] * SPL_OUTING_KG;
        g_array_append_val(part.needs, need);
    }
    plan = spl_outing_greedy(&part, 3);
    *count = (int)plan->outings->len;
    *cost = plan->cost;
    if (spl_outing_plan_shortage(&part, plan) > 1e-6) {
        *count = G_MAXINT / 2;
        *cost = INFINITY;
    }
    spl_outing_plan_free(plan);
    g_array_unref(part.needs);
}

/* Too many patterns, before dominated days are merged, to be worth building. */
static gboolean too_large(const struct spl_outing_bound *b, int first, int last)
{
    double total = 0;

    for (int d = 0; d < (int)b->problem->days->len; d++) {
        g_autoptr(GArray) sites = spl_outing_relax_sites(b, first, last, d);
        double choose = 1;

        for (int k = 1; k <= b->problem->most_sites && k <= (int)sites->len; k++) {
            choose *= (double)((int)sites->len - k + 1) / k;
            total += choose;
        }
    }
    return total > MOST_PATTERNS;
}

/* On which days each cut's sub-season has anything open: [cut * n_days + day]. */
static gboolean *days_of_cuts(const struct spl_outing_bound *b)
{
    guint n_days = b->problem->days->len;
    gboolean *days = g_new0(gboolean, (gsize)b->cuts->len * n_days + 1);

    for (guint d = 0; d < n_days; d++) {
        for (int i = 0; i < (int)b->problem->sources->len; i++) {
            int place = b->place[SPL_OUTING_SOURCE(b->problem, i)->material];

            if (place < 0 || !spl_outing_relax_useful(b, i, (int)d))
                continue;
            for (guint c = 0; c < b->cuts->len; c++) {
                const struct spl_outing_cut *cut =
                    &g_array_index(b->cuts, struct spl_outing_cut, c);

                days[c * n_days + d] |= place >= cut->first && place <= cut->last;
            }
        }
    }
    return days;
}

/* Whether the days of a cut meet those already taken. */
static gboolean apart(const gboolean *days, const gboolean *taken, guint n_days)
{
    for (guint d = 0; d < n_days; d++) {
        if (days[d] && taken[d])
            return FALSE;
    }
    return TRUE;
}

/* A season too large for one relaxation: sub-seasons without a common day add up. Takes the dearest
 * first, then whatever is apart from all taken. */
static gboolean add_up(struct spl_outing_bound *b)
{
    guint n_days = b->problem->days->len;
    g_autofree gboolean *days = days_of_cuts(b);

    for (guint start = 0; start < b->cuts->len; start++) {
        g_autofree gboolean *taken = g_new0(gboolean, n_days + 1);
        double cost = 0, count = 0;
        int next = (int)start;

        while (next >= 0) {
            const struct spl_outing_cut *cut = &g_array_index(b->cuts, struct spl_outing_cut, next);
            double dearest = 0;

            cost += cut->cost;
            count += cut->count;
            for (guint d = 0; d < n_days; d++)
                taken[d] |= days[(guint)next * n_days + d];
            next = -1;
            for (guint c = 0; c < b->cuts->len; c++) {
                double other = g_array_index(b->cuts, struct spl_outing_cut, c).cost;

                if (other > dearest && apart(&days[c * n_days], taken, n_days)) {
                    dearest = other;
                    next = (int)c;
                }
            }
        }
        b->cost = MAX(b->cost, cost);
        b->count = MAX(b->count, (int)count);
    }
    return TRUE;
}

/* The number of outings as the cost. */
static void count_outings(const struct spl_outing_relax *r)
{
    for (guint c = 0; c < r->choices->len; c++) {
        const struct spl_outing_choice *choice =
            &g_array_index(r->choices, struct spl_outing_choice, c);

        g_array_index(r->mip->columns, struct spl_mip_column, choice->column).cost =
            choice->counts ? 1 : 0;
    }
}

static gboolean sub_season(struct spl_outing_bound *b, const struct spl_mip_solver *solver,
                           int first, int last, int nodes, double seconds, GError **error)
{
    struct spl_outing_relax *r;
    struct spl_outing_cut cut = {first, last, 0, 0};
    g_autofree double *costs = NULL;
    int count;
    double cost;
    gboolean good = TRUE;

    if (too_large(b, first, last))
        return TRUE;
    r = spl_outing_relax_new(b, first, last, FALSE);
    costs = g_new(double, r->mip->columns->len + 1);
    known(b, first, last, &count, &cost);
    for (guint c = 0; c < r->mip->columns->len; c++) {
        struct spl_mip_column *column = &g_array_index(r->mip->columns, struct spl_mip_column, c);

        costs[c] = column->cost;
        column->cost = 0;
    }
    count_outings(r);
    /* Fewer outings than known: as they are whole, anything proven above count - 1 is count. */
    good = prove(b, solver, r->mip, count - 1 + 0.01, nodes, seconds / 2, &cut.count, error);
    cut.count = ceil(cut.count - 1e-4);
    for (guint c = 0; c < r->mip->columns->len; c++)
        g_array_index(r->mip->columns, struct spl_mip_column, c).cost = costs[c];
    if (good) {
        int column = spl_mip_add_column(r->mip, g_strdup("y"), cut.count, INFINITY, 0, TRUE);

        spl_mip_add_row(r->mip, g_strdup("c"), 0, 0);
        for (guint c = 0; c < r->choices->len; c++) {
            if (g_array_index(r->choices, struct spl_outing_choice, c).counts)
                spl_mip_put(r->mip, g_array_index(r->choices, struct spl_outing_choice, c).column,
                            1);
        }
        spl_mip_put(r->mip, column, -1);
        good = prove(b, solver, r->mip, cost, nodes, seconds / 2, &cut.cost, error);
    }
    spl_outing_relax_free(r);
    if (!good)
        return FALSE;
    g_array_append_val(b->cuts, cut);
    /* The whole season needs no less than any part of it. */
    b->cost = MAX(b->cost, cut.cost);
    b->count = MAX(b->count, (int)cut.count);
    return TRUE;
}

/* The whole season with all that the sub-seasons have proven. */
static gboolean whole(struct spl_outing_bound *b, const struct spl_mip_solver *solver, double cost,
                      int nodes, double seconds, GError **error)
{
    struct spl_outing_relax *r;
    double least = 0;
    gboolean good;

    if (too_large(b, 0, b->n_order - 1))
        return add_up(b);
    r = spl_outing_relax_new(b, 0, b->n_order - 1, TRUE);
    good = prove(b, solver, r->mip, cost, nodes, seconds, &least, error);

    if (good)
        b->cost = MAX(b->cost, least);
    for (guint c = 0; c < r->mip->columns->len; c++)
        g_array_index(r->mip->columns, struct spl_mip_column, c).cost = 0;
    count_outings(r);
    good = good && prove(b, solver, r->mip, INFINITY, 0, seconds, &least, error);
    if (good)
        b->count = MAX(b->count, (int)ceil(least - 1e-4));
    spl_outing_relax_free(r);
    return good;
}

gboolean spl_outing_bound_step(struct spl_outing_bound *b, const struct spl_mip_solver *solver,
                               double cost, int nodes, double seconds, GError **error)
{
    if (b->done)
        return FALSE;
    if (b->width > MIN(WIDEST, b->n_order)) {
        /* Nothing left to learn from parts: branch on the whole with all the patience there is. */
        b->done = TRUE;
        return whole(b, solver, cost, 20 * nodes, solver->seconds_left(solver->data), error);
    }
    if (!sub_season(b, solver, b->first, b->first + b->width - 1, nodes, seconds, error))
        return FALSE;
    if (++b->first + b->width > b->n_order) {
        b->first = 0;
        b->width++;
        return whole(b, solver, cost, 0, seconds, error);
    }
    return TRUE;
}

gboolean spl_outing_bound_begins(const struct spl_outing_bound *b)
{
    return !b->done && b->width == 1;
}

double spl_outing_bound_cost(const struct spl_outing_bound *b)
{
    return b->cost;
}

int spl_outing_bound_count(const struct spl_outing_bound *b)
{
    return b->count;
}

int spl_outing_bound_nodes(const struct spl_outing_bound *b)
{
    return b->nodes;
}
