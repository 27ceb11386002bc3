/* SPDX-License-Identifier: MIT
 *
 * A season plan as a record: copying, and filling what follows from its days, sites and takes.
 */
#include <math.h>

#include "core/outing_problem.h"

#define CRUMB_G 0.05    /* less is arithmetic dust, not a take */
#define RESERVE_DAYS 14 /* a reserve later than this is another outing */

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

/* Each need in the order of its day, earliest first, from what is picked of its material, oldest
 * first. What is left open is short. */
static void fill_shortages(const struct spl_outing_problem *problem, struct spl_outing_plan *plan)
{
    g_autofree double *left = NULL;
    g_autofree gboolean *done = g_new0(gboolean, problem->needs->len + 1);
    GArray *flat = g_array_new(FALSE, FALSE, sizeof(double)); /* grams of each take, in order */

    for (guint o = 0; o < plan->outings->len; o++) {
        struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, o);

        for (guint t = 0; t < outing->takes->len; t++)
            g_array_append_val(flat, g_array_index(outing->takes, struct spl_outing_take, t).grams);
    }
    left = (double *)(void *)g_array_free(flat, FALSE);
    g_array_set_size(plan->short_g, 0);
    g_array_set_size(plan->short_g, problem->needs->len);
    for (guint k = 0; k < problem->needs->len; k++) {
        const struct spl_outing_need *need = NULL;
        guint which = 0, at = 0;
        double missing;

        for (guint n = 0; n < problem->needs->len; n++) {
            const struct spl_outing_need *other = SPL_OUTING_NEED(problem, n);

            if (!done[n] && (need == NULL || spl_day_compare(other->by, need->by) < 0)) {
                need = other;
                which = n;
            }
        }
        done[which] = TRUE;
        missing = need->grams;
        for (guint o = 0; o < plan->outings->len; o++) {
            struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, o);
            struct spl_day day = SPL_OUTING_DAY(problem, outing->day)->day;

            for (guint t = 0; t < outing->takes->len; t++, at++) {
                int source = g_array_index(outing->takes, struct spl_outing_take, t).source;
                double part;

                if (SPL_OUTING_SOURCE(problem, source)->material != need->material ||
                    (spl_day_is_set(need->by) && day.n > need->by.n))
                    continue;
                part = MIN(missing, left[at]);
                left[at] -= part;
                missing -= part;
            }
        }
        g_array_index(plan->short_g, double, which) = missing < 0.5 ? 0 : missing;
    }
}

static double need_of(const struct spl_outing_problem *problem, int material)
{
    double grams = 0;

    for (guint n = 0; n < problem->needs->len; n++) {
        if (SPL_OUTING_NEED(problem, n)->material == material)
            grams += SPL_OUTING_NEED(problem, n)->grams;
    }
    return grams;
}

static double outing_cost(const struct spl_outing_problem *problem, const struct spl_outing *outing)
{
    double cost =
        problem->outing_hours + spl_outing_round(problem, (const int *)(void *)outing->sites->data,
                                                 (int)outing->sites->len, NULL, NULL);

    for (guint t = 0; t < outing->takes->len; t++) {
        const struct spl_outing_take *take =
            &g_array_index(outing->takes, struct spl_outing_take, t);
        const struct spl_outing_source *source = SPL_OUTING_SOURCE(problem, take->source);
        double need = need_of(problem, source->material);

        if (need > 0)
            cost += problem->edge_hours * take->grams / need *
                    spl_outing_edge(source, SPL_OUTING_DAY(problem, outing->day)->day);
    }
    return cost;
}

/* ---- reserve days -------------------------------------------------------------------------- */

/* Whether another outing of the plan picks the source less than its interval from `day`. */
static gboolean too_soon(const struct spl_outing_problem *problem,
                         const struct spl_outing_plan *plan, guint except, int source,
                         struct spl_day day)
{
    int every =
        SPL_OUTING_MATERIAL(problem, SPL_OUTING_SOURCE(problem, source)->material)->every_days;

    for (guint o = 0; every > 1 && o < plan->outings->len; o++) {
        const struct spl_outing *other = &g_array_index(plan->outings, struct spl_outing, o);

        for (guint t = 0; o != except && t < other->takes->len; t++) {
            if (g_array_index(other->takes, struct spl_outing_take, t).source == source &&
                ABS(SPL_OUTING_DAY(problem, other->day)->day.n - day.n) < every)
                return TRUE;
        }
    }
    return FALSE;
}

/* Whether all that the outing takes could be had in time on `day` instead. */
static gboolean may_move(const struct spl_outing_problem *problem,
                         const struct spl_outing_plan *plan, guint which, int day)
{
    const struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, which);
    struct spl_day date = SPL_OUTING_DAY(problem, day)->day;

    if (SPL_OUTING_DAY(problem, day)->hours < outing->hours - 1e-6)
        return FALSE;
    for (guint t = 0; t < outing->takes->len; t++) {
        int source = g_array_index(outing->takes, struct spl_outing_take, t).source;

        if (!spl_outing_source_open(problem, source, day) ||
            too_soon(problem, plan, which, source, date))
            return FALSE;
        for (guint n = 0; n < problem->needs->len; n++) {
            const struct spl_outing_need *need = SPL_OUTING_NEED(problem, n);

            /* Past a need's day the grams might be owed to it: do not argue, look further. */
            if (need->material == SPL_OUTING_SOURCE(problem, source)->material &&
                spl_day_is_set(need->by) && date.n > need->by.n &&
                SPL_OUTING_DAY(problem, outing->day)->day.n <= need->by.n)
                return FALSE;
        }
    }
    return TRUE;
}

static void find_reserves(const struct spl_outing_problem *problem, struct spl_outing_plan *plan)
{
    g_autofree gboolean *taken = g_new0(gboolean, problem->days->len + 1);

    for (guint o = 0; o < plan->outings->len; o++)
        taken[g_array_index(plan->outings, struct spl_outing, o).day] = TRUE;
    for (guint o = 0; o < plan->outings->len; o++) {
        struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, o);
        int today = SPL_OUTING_DAY(problem, outing->day)->day.n;

        outing->reserve = -1;
        for (int d = outing->day + 1; outing->takes->len > 0 && d < (int)problem->days->len; d++) {
            const struct spl_outing_day *day = SPL_OUTING_DAY(problem, d);

            if (day->day.n > today + RESERVE_DAYS)
                break;
            if (taken[d] || day->fixed || !may_move(problem, plan, o, d))
                continue;
            taken[d] = TRUE;
            outing->reserve = d;
            break;
        }
    }
}

void spl_outing_plan_finish(const struct spl_outing_problem *problem, struct spl_outing_plan *plan)
{
    for (guint o = plan->outings->len; o-- > 0;) {
        struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, o);

        drop_crumbs(problem, outing);
        if (outing->sites->len == 0)
            g_array_remove_index(plan->outings, o);
    }
    g_array_sort(plan->outings, compare_outings);
    plan->cost = 0;
    for (guint o = 0; o < plan->outings->len; o++) {
        struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, o);

        order_round(problem, outing);
        plan->cost += outing_cost(problem, outing);
    }
    fill_shortages(problem, plan);
    find_reserves(problem, plan);
}

double spl_outing_plan_shortage(const struct spl_outing_problem *problem,
                                const struct spl_outing_plan *plan)
{
    double shortage = 0;

    for (guint n = 0; n < problem->needs->len && n < plan->short_g->len; n++)
        shortage += g_array_index(plan->short_g, double, n) /
                    need_of(problem, SPL_OUTING_NEED(problem, n)->material);
    return shortage;
}
