/* SPDX-License-Identifier: MIT
 *
 * A season plan as a record: copying, and filling what follows from its days, sites and takes.
 */
#include <math.h>
#include <string.h>

#include "core/outing_problem.h"

#define CRUMB_G 0.05 /* less is arithmetic dust, not a take */
#define HARDLY_G 0.5 /* less is not short */

static void clear_outing(gpointer data)
{
    struct spl_outing *outing = data;

    g_array_unref(outing->sites);
    g_array_unref(outing->takes);
}

struct spl_outing_plan *spl_outing_plan_new(void)
{
    struct spl_outing_plan *plan = g_new0(struct spl_outing_plan, 1);

    plan->outings = g_array_new(FALSE, TRUE, sizeof(struct spl_outing));
    g_array_set_clear_func(plan->outings, clear_outing);
    plan->short_g = g_array_new(FALSE, TRUE, sizeof(double));
    return plan;
}

struct spl_outing_plan *spl_outing_plan_copy(const struct spl_outing_plan *plan)
{
    struct spl_outing_plan *copy = spl_outing_plan_new();

    for (guint i = 0; i < plan->outings->len; i++) {
        const struct spl_outing *from = &g_array_index(plan->outings, struct spl_outing, i);
        struct spl_outing to = *from;

        to.sites = g_array_copy(from->sites);
        to.takes = g_array_copy(from->takes);
        g_array_append_val(copy->outings, to);
    }
    g_array_append_vals(copy->short_g, plan->short_g->data, plan->short_g->len);
    copy->parts = plan->parts;
    copy->cost = plan->cost;
    return copy;
}

void spl_outing_plan_free(struct spl_outing_plan *plan)
{
    if (plan == NULL)
        return;
    g_array_unref(plan->outings);
    g_array_unref(plan->short_g);
    g_free(plan);
}

struct spl_outing *spl_outing_plan_add(struct spl_outing_plan *plan, int day)
{
    struct spl_outing outing = {.day = day, .reserve = -1};

    outing.sites = g_array_new(FALSE, FALSE, sizeof(int));
    outing.takes = g_array_new(FALSE, FALSE, sizeof(struct spl_outing_take));
    g_array_append_val(plan->outings, outing);
    return &g_array_index(plan->outings, struct spl_outing, plan->outings->len - 1);
}

/* ---- finishing ----------------------------------------------------------------------------- */

static int compare_outings(gconstpointer a, gconstpointer b)
{
    return ((const struct spl_outing *)a)->day - ((const struct spl_outing *)b)->day;
}

static gboolean takes_at(const struct spl_outing_problem *problem, const struct spl_outing *outing,
                         int site)
{
    for (guint t = 0; t < outing->takes->len; t++) {
        int source = g_array_index(outing->takes, struct spl_outing_take, t).source;

        if (SPL_OUTING_SOURCE(problem, source)->site == site)
            return TRUE;
    }
    return FALSE;
}

static void drop_crumbs(const struct spl_outing_problem *problem, struct spl_outing *outing)
{
    for (guint t = outing->takes->len; t-- > 0;) {
        if (g_array_index(outing->takes, struct spl_outing_take, t).grams < CRUMB_G)
            g_array_remove_index(outing->takes, t);
    }
    if (SPL_OUTING_DAY(problem, outing->day)->fixed)
        return;
    for (guint s = outing->sites->len; s-- > 0;) {
        if (!takes_at(problem, outing, g_array_index(outing->sites, int, s)))
            g_array_remove_index(outing->sites, s);
    }
}

static void order_round(const struct spl_outing_problem *problem, struct spl_outing *outing)
{
    g_autoptr(GArray) takes = g_array_new(FALSE, FALSE, sizeof(struct spl_outing_take));
    int order[6];

    outing->hours = spl_outing_round(problem, (const int *)(void *)outing->sites->data,
                                     (int)outing->sites->len, order, &outing->km);
    for (guint s = 0; s < outing->sites->len; s++) {
        g_array_index(outing->sites, int, s) = order[s];
        for (int source = 0; source < (int)problem->sources->len; source++) {
            if (SPL_OUTING_SOURCE(problem, source)->site != order[s])
                continue;
            for (guint t = 0; t < outing->takes->len; t++) {
                struct spl_outing_take *take =
                    &g_array_index(outing->takes, struct spl_outing_take, t);

                if (take->source == source) {
                    g_array_append_val(takes, *take);
                    outing->hours +=
                        take->grams * spl_outing_hours_per_g(
                                          problem, SPL_OUTING_SOURCE(problem, source)->material);
                }
            }
        }
    }
    g_array_set_size(outing->takes, 0);
    g_array_append_vals(outing->takes, takes->data, takes->len);
}

/* ---- what is covered ----------------------------------------------------------------------- */

/* The takes of a plan while the needs draw on them. */
struct shares {
    const struct spl_outing_problem *problem;
    int n;
    int *material, *day; /* of each take, ascending by day; the day's number */
    double *left;
    double *drawn; /* [need] */
};

static void shares_begin(struct shares *s, const struct spl_outing_problem *problem,
                         const struct spl_outing_plan *plan)
{
    int n = 0;

    *s = (struct shares){.problem = problem};
    for (guint o = 0; o < plan->outings->len; o++)
        s->n += (int)g_array_index(plan->outings, struct spl_outing, o).takes->len;
    s->material = g_new(int, s->n + 1);
    s->day = g_new(int, s->n + 1);
    s->left = g_new(double, s->n + 1);
    s->drawn = g_new0(double, problem->needs->len + 1);
    for (guint o = 0; o < plan->outings->len; o++) {
        const struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, o);

        for (guint t = 0; t < outing->takes->len; t++, n++) {
            const struct spl_outing_take *take =
                &g_array_index(outing->takes, struct spl_outing_take, t);

            s->material[n] = SPL_OUTING_SOURCE(problem, take->source)->material;
            s->day[n] = SPL_OUTING_DAY(problem, outing->day)->day.n;
            s->left[n] = take->grams;
        }
    }
}

static void shares_end(struct shares *s)
{
    g_free(s->material);
    g_free(s->day);
    g_free(s->left);
    g_free(s->drawn);
}

/* Draws for a need until it has `grams` in all, from the latest picking in time: what was picked
 * earlier is left to those that are due earlier. */
static void draw(struct shares *s, int n, double grams)
{
    const struct spl_outing_need *need = SPL_OUTING_NEED(s->problem, n);

    for (int t = s->n - 1; t >= 0 && s->drawn[n] < grams; t--) {
        double part = MIN(s->left[t], grams - s->drawn[n]);

        if (s->material[t] != need->material || part <= 0 ||
            (spl_day_is_set(need->by) && s->day[t] > need->by.n))
            continue;
        s->left[t] -= part;
        s->drawn[n] += part;
    }
}

/* Draws what makes the batch whole, or nothing. */
static void draw_batch(struct shares *s, int batch)
{
    g_autofree double *left = g_memdup2(s->left, ((gsize)s->n + 1) * sizeof *left);
    double share = 1 - s->problem->enough_frac;
    gboolean whole = TRUE;

    for (int n = 0; n < (int)s->problem->needs->len; n++) {
        const struct spl_outing_need *need = SPL_OUTING_NEED(s->problem, n);

        if (need->batch != batch)
            continue;
        draw(s, n, share * need->grams);
        whole = whole && s->drawn[n] >= share * need->grams - HARDLY_G;
    }
    if (whole)
        return;
    memcpy(s->left, left, (gsize)s->n * sizeof *left);
    for (int n = 0; n < (int)s->problem->needs->len; n++) {
        if (SPL_OUTING_NEED(s->problem, n)->batch == batch)
            s->drawn[n] = 0;
    }
}

/* Batches in the order in which they may draw: the first due, or the smallest, first. */
struct turn {
    int batch;
    struct spl_day by;
    double grams;
};

static int compare_due(gconstpointer a, gconstpointer b)
{
    const struct turn *one = a, *other = b;
    int order = spl_day_compare(one->by, other->by);

    return order != 0 ? order : one->batch - other->batch;
}

static int compare_small(gconstpointer a, gconstpointer b)
{
    const struct turn *one = a, *other = b;

    return one->grams < other->grams   ? -1
           : one->grams > other->grams ? 1
                                       : one->batch - other->batch;
}

static GArray *turns(const struct spl_outing_problem *problem, gboolean small)
{
    GArray *list = g_array_new(FALSE, FALSE, sizeof(struct turn));

    for (guint n = 0; n < problem->needs->len; n++) {
        const struct spl_outing_need *need = SPL_OUTING_NEED(problem, n);
        struct turn *turn = NULL;

        for (guint k = 0; k < list->len && turn == NULL; k++) {
            if (g_array_index(list, struct turn, k).batch == need->batch)
                turn = &g_array_index(list, struct turn, k);
        }
        if (turn == NULL) {
            struct turn fresh = {need->batch, need->by, 0};

            g_array_append_val(list, fresh);
            turn = &g_array_index(list, struct turn, list->len - 1);
        }
        turn->grams += need->grams;
        if (spl_day_compare(need->by, turn->by) < 0)
            turn->by = need->by;
    }
    g_array_sort(list, small ? compare_small : compare_due);
    return list;
}

/* Whole batches first, then what is left as far as it goes. */
static void share_out(struct shares *s, gboolean small)
{
    g_autoptr(GArray) order = turns(s->problem, small);

    for (guint k = 0; k < order->len; k++)
        draw_batch(s, g_array_index(order, struct turn, k).batch);
    for (guint k = 0; k < order->len; k++) {
        for (int n = 0; n < (int)s->problem->needs->len; n++) {
            if (SPL_OUTING_NEED(s->problem, n)->batch == g_array_index(order, struct turn, k).batch)
                draw(s, n, SPL_OUTING_NEED(s->problem, n)->grams);
        }
    }
}

gboolean spl_outing_is_enough(const struct spl_outing_problem *problem, int need, double short_g)
{
    return short_g <= problem->enough_frac * SPL_OUTING_NEED(problem, need)->grams + HARDLY_G;
}

/* What the shortages weigh. */
static double open_cost(const struct spl_outing_problem *problem, const double *short_g)
{
    g_autofree gboolean *counted = g_new0(gboolean, problem->needs->len + 1);
    double cost = 0;

    for (int n = 0; n < (int)problem->needs->len; n++) {
        const struct spl_outing_need *need = SPL_OUTING_NEED(problem, n);

        cost += problem->open_hours * short_g[n] / need->grams;
        if (spl_outing_is_enough(problem, n, short_g[n]) || counted[need->batch])
            continue;
        counted[need->batch] = TRUE;
        cost += problem->batch_hours;
    }
    return cost;
}

static void fill_shortages(const struct spl_outing_problem *problem, struct spl_outing_plan *plan)
{
    guint n_needs = problem->needs->len;
    g_autofree double *short_g = g_new0(double, n_needs + 1);

    for (int small = 0; small < 2; small++) {
        struct shares s;
        double cost;

        shares_begin(&s, problem, plan);
        share_out(&s, small);
        for (guint n = 0; n < n_needs; n++) {
            short_g[n] = SPL_OUTING_NEED(problem, n)->grams - s.drawn[n];
            if (short_g[n] < HARDLY_G)
                short_g[n] = 0;
        }
        shares_end(&s);
        cost = open_cost(problem, short_g);
        if (small == 0 || cost < plan->parts.open - 1e-9) {
            g_array_set_size(plan->short_g, 0);
            g_array_append_vals(plan->short_g, short_g, n_needs);
            plan->parts.open = cost;
        }
        if (cost <= 0)
            return;
    }
}

/* ---- what it weighs ------------------------------------------------------------------------ */

static void add_cost(const struct spl_outing_problem *problem, const struct spl_outing *outing,
                     struct spl_outing_cost *parts)
{
    parts->outings += problem->outing_hours;
    parts->rounds += spl_outing_round(problem, (const int *)(void *)outing->sites->data,
                                      (int)outing->sites->len, NULL, NULL);
    for (guint t = 0; t < outing->takes->len; t++) {
        const struct spl_outing_take *take =
            &g_array_index(outing->takes, struct spl_outing_take, t);
        double need =
            spl_outing_whole_need(problem, SPL_OUTING_SOURCE(problem, take->source)->material);
        struct spl_outing_weight weight =
            spl_outing_weigh(problem, take->source, SPL_OUTING_DAY(problem, outing->day)->day);

        if (need <= 0)
            continue;
        parts->edges += weight.edge * take->grams / need;
        parts->asks += weight.ask * take->grams / need;
        parts->cautions += weight.caution * take->grams / need;
    }
}

void spl_outing_plan_reckon(const struct spl_outing_problem *problem, struct spl_outing_plan *plan)
{
    struct spl_outing_cost *parts = &plan->parts;

    for (guint o = plan->outings->len; o-- > 0;) {
        struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, o);

        drop_crumbs(problem, outing);
        if (outing->sites->len == 0)
            g_array_remove_index(plan->outings, o);
    }
    g_array_sort(plan->outings, compare_outings);
    *parts = (struct spl_outing_cost){0};
    for (guint o = 0; o < plan->outings->len; o++) {
        struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, o);

        outing->reserve = -1;
        outing->lack = SPL_OUTING_LACK_NONE;
        order_round(problem, outing);
        add_cost(problem, outing, parts);
    }
    fill_shortages(problem, plan);
    plan->cost =
        parts->outings + parts->rounds + parts->edges + parts->asks + parts->cautions + parts->open;
}

void spl_outing_plan_finish(const struct spl_outing_problem *problem, struct spl_outing_plan *plan)
{
    spl_outing_plan_reckon(problem, plan);
    spl_outing_plan_reserve(problem, plan);
}

double spl_outing_plan_shortage(const struct spl_outing_problem *problem,
                                const struct spl_outing_plan *plan)
{
    double shortage = 0;

    for (guint n = 0; n < problem->needs->len && n < plan->short_g->len; n++)
        shortage += g_array_index(plan->short_g, double, n) / SPL_OUTING_NEED(problem, n)->grams;
    return shortage;
}
