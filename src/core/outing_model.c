/* SPDX-License-Identifier: MIT
 *
 * Rows and columns of the season plan. Amounts in the mip are kilograms, so that its figures are of
 * one size; hours otherwise.
 */
#include "core/outing_model.h"

#include <math.h>
#include <string.h>

#include "core/outing_build.h"

int spl_outing_take_of(const struct spl_outing_build *b, int source, int day)
{
    return b->model->take[source * b->model->n_days + day];
}

gboolean spl_outing_visits(const struct spl_outing_pattern *pattern, int site)
{
    for (int i = 0; i < pattern->n; i++) {
        if (pattern->sites[i] == site)
            return TRUE;
    }
    return FALSE;
}

double spl_outing_fixed_kg(const struct spl_outing_build *b, int source, int day)
{
    const GArray *takes = SPL_OUTING_DAY(b->problem, day)->takes;
    double kg = 0;

    for (guint t = 0; takes != NULL && t < takes->len; t++) {
        if (g_array_index(takes, struct spl_outing_take, t).source == source)
            kg += g_array_index(takes, struct spl_outing_take, t).grams / SPL_OUTING_KG;
    }
    return kg;
}

static gboolean useful(const struct spl_outing_build *b, int source, int day)
{
    int material = SPL_OUTING_SOURCE(b->problem, source)->material;

    return b->need_kg[material] > 0 && spl_outing_source_open(b->problem, source, day) &&
           SPL_OUTING_DAY(b->problem, day)->day.n <= b->last_by[material];
}

static void build_needs(struct spl_outing_build *b)
{
    guint n = b->problem->materials->len;

    b->need_kg = g_new0(double, n + 1);
    b->last_by = g_new(int, n + 1);
    for (guint m = 0; m < n; m++)
        b->last_by[m] = G_MININT;
    for (guint i = 0; i < b->problem->needs->len; i++) {
        const struct spl_outing_need *need = SPL_OUTING_NEED(b->problem, i);
        int by = spl_day_is_set(need->by) ? need->by.n : G_MAXINT;

        b->need_kg[need->material] += need->grams / SPL_OUTING_KG;
        b->last_by[need->material] = MAX(b->last_by[need->material], by);
    }
}

/* ---- patterns ------------------------------------------------------------------------------ */

/* Sites with something useful open on the day, ascending. */
static GArray *open_sites(const struct spl_outing_build *b, int day)
{
    GArray *sites = g_array_new(FALSE, FALSE, sizeof(int));

    for (int s = 0; s < (int)b->problem->sites->len; s++) {
        for (int i = 0; i < (int)b->problem->sources->len; i++) {
            if (SPL_OUTING_SOURCE(b->problem, i)->site == s && useful(b, i, day)) {
                g_array_append_val(sites, s);
                break;
            }
        }
    }
    return sites;
}

static void add_pattern(struct spl_outing_build *b, int day, const int *sites, int n)
{
    struct spl_outing_pattern pattern = {.day = day, .n = n};

    memcpy(pattern.sites, sites, (gsize)n * sizeof *sites);
    pattern.hours = spl_outing_round(b->problem, sites, n, NULL, &pattern.km);
    if (pattern.hours >= SPL_OUTING_DAY(b->problem, day)->hours &&
        !SPL_OUTING_DAY(b->problem, day)->fixed)
        return; /* no time left to pick anything */
    if (b->model->mip != NULL) {
        GString *name = g_string_new(NULL);
        double cost =
            b->goal == SPL_OUTING_GOAL_COST ? b->problem->outing_hours + pattern.hours : 1;

        g_string_printf(name, "go_%d", day);
        for (int i = 0; i < n; i++)
            g_string_append_printf(name, "_%d", sites[i]);
        pattern.column =
            spl_mip_add_column(b->model->mip, g_string_free(name, FALSE), 0, 1, cost, TRUE);
    }
    g_array_append_val(b->model->patterns, pattern);
}

/* Every subset of `sites` that extends `chosen`, from position `from` on. */
static void extend_pattern(struct spl_outing_build *b, int day, const GArray *sites, int from,
                           int *chosen, int n, int most)
{
    for (int i = from; n < most && i < (int)sites->len; i++) {
        chosen[n] = g_array_index(sites, int, i);
        add_pattern(b, day, chosen, n + 1);
        extend_pattern(b, day, sites, i + 1, chosen, n + 1, most);
    }
}

static const struct spl_outing *outing_on(const struct spl_outing_plan *plan, int day)
{
    for (guint o = 0; o < plan->outings->len; o++) {
        if (g_array_index(plan->outings, struct spl_outing, o).day == day)
            return &g_array_index(plan->outings, struct spl_outing, o);
    }
    return NULL;
}

/* Adds the pattern if it is a set, not too large and not there yet (small ones are). */
static void add_near(struct spl_outing_build *b, int day, const int *sites, int n)
{
    int sorted[7];

    if (n > b->problem->most_sites || n <= b->scope->most_sites)
        return;
    for (int i = 0; i < n; i++) {
        int at = i;

        while (at > 0 && sorted[at - 1] > sites[i]) {
            sorted[at] = sorted[at - 1];
            at--;
        }
        sorted[at] = sites[i];
    }
    for (int i = 1; i < n; i++) {
        if (sorted[i] == sorted[i - 1])
            return;
    }
    for (guint p = (guint)b->first_pattern[day]; p < b->model->patterns->len; p++) {
        const struct spl_outing_pattern *pattern =
            &g_array_index(b->model->patterns, struct spl_outing_pattern, p);

        if (pattern->n == n && memcmp(pattern->sites, sorted, (gsize)n * sizeof *sorted) == 0)
            return;
    }
    add_pattern(b, day, sorted, n);
}

/* What the plan does on the day, and that with one stop fewer, more or exchanged. */
static void add_neighbours(struct spl_outing_build *b, int day, const GArray *open)
{
    const struct spl_outing *outing = outing_on(b->scope->plan, day);
    int sites[7], n;

    if (outing == NULL || (int)outing->sites->len > b->problem->most_sites)
        return;
    n = (int)outing->sites->len;
    memcpy(sites, outing->sites->data, (gsize)n * sizeof *sites);
    add_near(b, day, sites, n);
    for (int i = -1; i < n; i++) {
        int changed[7];

        memcpy(changed, sites, sizeof changed);
        if (i >= 0) {
            changed[i] = changed[n - 1];
            add_near(b, day, changed, n - 1);
        }
        for (guint k = 0; k < open->len; k++) {
            changed[i < 0 ? n : n - 1] = g_array_index(open, int, k);
            add_near(b, day, changed, i < 0 ? n + 1 : n);
        }
    }
}

static void scoped_patterns(struct spl_outing_build *b, int d)
{
    const struct spl_outing *outing = outing_on(b->scope->plan, d);

    if (b->scope->days[d] == SPL_OUTING_FREE) {
        g_autoptr(GArray) sites = open_sites(b, d);
        int chosen[6];

        extend_pattern(b, d, sites, 0, chosen, 0, b->scope->most_sites);
        add_neighbours(b, d, sites);
    } else if (b->scope->days[d] == SPL_OUTING_KEPT && outing != NULL) {
        add_pattern(b, d, (const int *)(void *)outing->sites->data, (int)outing->sites->len);
    }
}

static void build_patterns(struct spl_outing_build *b)
{
    b->first_pattern = g_new0(int, b->problem->days->len + 1);
    for (int d = 0; d < (int)b->problem->days->len; d++) {
        const struct spl_outing_day *day = SPL_OUTING_DAY(b->problem, d);
        int chosen[6];

        b->first_pattern[d] = (int)b->model->patterns->len;
        if (day->fixed) {
            add_pattern(b, d, (const int *)(void *)day->sites->data, (int)day->sites->len);
        } else if (b->scope != NULL) {
            scoped_patterns(b, d);
        } else {
            g_autoptr(GArray) sites = open_sites(b, d);

            extend_pattern(b, d, sites, 0, chosen, 0, b->problem->most_sites);
        }
    }
    b->first_pattern[b->problem->days->len] = (int)b->model->patterns->len;
}

gint64 spl_outing_model_size(const struct spl_outing_problem *problem)
{
    struct spl_outing_model model = {0};
    struct spl_outing_build b = {.problem = problem, .model = &model};
    gint64 total = 0;

    build_needs(&b);
    for (int d = 0; d < (int)problem->days->len; d++) {
        g_autoptr(GArray) sites = open_sites(&b, d);
        gint64 choose = 1;

        for (int k = 1; k <= problem->most_sites && k <= (int)sites->len; k++) {
            choose = choose * ((int)sites->len - k + 1) / k;
            total += choose;
        }
    }
    g_free(b.need_kg);
    g_free(b.last_by);
    return total;
}

/* ---- rows ---------------------------------------------------------------------------------- */

static void build_takes(struct spl_outing_build *b)
{
    struct spl_outing_model *model = b->model;

    for (int d = 0; d < model->n_days; d++) {
        for (int i = 0; i < model->n_sources; i++) {
            const struct spl_outing_source *source = SPL_OUTING_SOURCE(b->problem, i);
            double most = MIN(source->allowance_g / SPL_OUTING_KG, b->need_kg[source->material]);
            double cost = 0, least = 0;

            model->take[i * model->n_days + d] = -1;
            model->visit[i * model->n_days + d] = -1;
            if (b->first_pattern[d] == b->first_pattern[d + 1] ||
                (!useful(b, i, d) && spl_outing_fixed_kg(b, i, d) <= 0))
                continue;
            if (b->goal == SPL_OUTING_GOAL_COST && b->need_kg[source->material] > 0)
                cost = spl_outing_take_hours(b->problem, i, d) / b->need_kg[source->material];
            if (SPL_OUTING_DAY(b->problem, d)->takes != NULL)
                least = most = spl_outing_fixed_kg(b, i, d);
            model->take[i * model->n_days + d] = spl_mip_add_column(
                model->mip, g_strdup_printf("kg_%d_%d", d, i), least, most, cost, FALSE);
            if (SPL_OUTING_MATERIAL(b->problem, source->material)->every_days > 1)
                model->visit[i * model->n_days + d] = spl_mip_add_column(
                    model->mip, g_strdup_printf("pick_%d_%d", d, i), 0, 1, 0, TRUE);
        }
    }
}

/* Whether the stands could spare enough for a need, were it the only one. */
static gboolean within_reach(const struct spl_outing_build *b, int n)
{
    const struct spl_outing_need *need = SPL_OUTING_NEED(b->problem, n);
    g_autofree double *stand_kg = g_new0(double, b->model->n_sources + 1);
    double kg = 0;

    for (int i = 0; i < b->model->n_sources; i++) {
        const struct spl_outing_source *source = SPL_OUTING_SOURCE(b->problem, i);

        for (int d = 0; source->material == need->material && d < b->model->n_days; d++) {
            if (spl_outing_take_of(b, i, d) < 0 ||
                (spl_day_is_set(need->by) && SPL_OUTING_DAY(b->problem, d)->day.n > need->by.n))
                continue;
            stand_kg[source->stand] =
                MAX(stand_kg[source->stand], source->allowance_g / SPL_OUTING_KG);
            kg += spl_outing_fixed_kg(b, i, d);
        }
    }
    for (int i = 0; i < b->model->n_sources; i++)
        kg += stand_kg[i];
    return kg >= (1 - b->problem->enough_frac) * need->grams / SPL_OUTING_KG - 1e-6;
}

/* What stays open of each need, and whether its batch can then be made whole. */
static void build_shortages(struct spl_outing_build *b)
{
    const struct spl_outing_problem *problem = b->problem;
    g_autofree double *never = g_new0(double, problem->needs->len + 1); /* [batch]: 1 */

    b->open = g_new(int, problem->needs->len + 1);
    for (int n = 0; n < b->model->n_needs; n++) {
        b->open[n] = -1;
        if (!within_reach(b, n))
            never[SPL_OUTING_NEED(problem, n)->batch] = 1;
    }
    for (int n = 0; n < b->model->n_needs; n++) {
        const struct spl_outing_need *need = SPL_OUTING_NEED(problem, n);
        double kg = need->grams / SPL_OUTING_KG, most = kg;

        if (b->goal == SPL_OUTING_GOAL_COUNT)
            most = MIN(kg, g_array_index(b->short_g, double, n) / SPL_OUTING_KG);
        b->model->shortage[n] = spl_mip_add_column(
            b->model->mip, g_strdup_printf("short_%d", n), 0, most,
            b->goal == SPL_OUTING_GOAL_COST ? problem->open_hours / kg : 0, FALSE);
        if (b->goal == SPL_OUTING_GOAL_COST && b->open[need->batch] < 0)
            b->open[need->batch] =
                spl_mip_add_column(b->model->mip, g_strdup_printf("open_%d", need->batch),
                                   never[need->batch], 1, problem->batch_hours, TRUE);
    }
    for (int n = 0; n < b->model->n_needs && b->goal == SPL_OUTING_GOAL_COST; n++) {
        const struct spl_outing_need *need = SPL_OUTING_NEED(problem, n);
        double kg = need->grams / SPL_OUTING_KG;

        spl_mip_add_row(b->model->mip, g_strdup_printf("whole_%d", n), -INFINITY,
                        problem->enough_frac * kg);
        spl_mip_put(b->model->mip, b->model->shortage[n], 1);
        spl_mip_put(b->model->mip, b->open[need->batch], -(1 - problem->enough_frac) * kg);
    }
}

/* One outing a day, and its hours: travel and work at each site, and in all. */
static void day_rows(struct spl_outing_build *b, int d)
{
    struct spl_outing_model *model = b->model;
    const struct spl_outing_day *day = SPL_OUTING_DAY(b->problem, d);
    int first = b->first_pattern[d], last = b->first_pattern[d + 1];

    if (first == last)
        return;
    spl_mip_add_row(model->mip, g_strdup_printf("day_%d", d), day->fixed ? 1 : -INFINITY, 1);
    for (int p = first; p < last; p++)
        spl_mip_put(model->mip, g_array_index(model->patterns, struct spl_outing_pattern, p).column,
                    1);
    for (int site = -1; site < (int)b->problem->sites->len; site++) {
        int n = 0;

        for (int i = 0; i < model->n_sources; i++) {
            if (spl_outing_take_of(b, i, d) >= 0 &&
                (site < 0 || SPL_OUTING_SOURCE(b->problem, i)->site == site))
                n++;
        }
        /* A site with one source: its link row says the same. */
        if (n == 0 || (site >= 0 && n == 1))
            continue;
        spl_mip_add_row(model->mip,
                        site < 0 ? g_strdup_printf("hours_%d", d)
                                 : g_strdup_printf("hours_%d_%d", d, site),
                        -INFINITY, 0);
        for (int i = 0; i < model->n_sources; i++) {
            const struct spl_outing_source *source = SPL_OUTING_SOURCE(b->problem, i);

            if (spl_outing_take_of(b, i, d) >= 0 && (site < 0 || source->site == site))
                spl_mip_put(model->mip, spl_outing_take_of(b, i, d),
                            SPL_OUTING_KG * spl_outing_hours_per_g(b->problem, source->material));
        }
        for (int p = first; p < last; p++) {
            const struct spl_outing_pattern *pattern =
                &g_array_index(model->patterns, struct spl_outing_pattern, p);

            if (site < 0 || spl_outing_visits(pattern, site))
                spl_mip_put(model->mip, pattern->column, -MAX(day->hours - pattern->hours, 0));
        }
    }
}

/* No take without a visit, and no more than the allowance, the need, the racks and the day's hours
 * let. */
static void link_rows(struct spl_outing_build *b, int d, int i)
{
    struct spl_outing_model *model = b->model;
    const struct spl_outing_source *source = SPL_OUTING_SOURCE(b->problem, i);
    double hours = SPL_OUTING_DAY(b->problem, d)->hours;
    double most = source->allowance_g / SPL_OUTING_KG;
    int visit = model->visit[i * model->n_days + d];

    spl_mip_add_row(model->mip, g_strdup_printf("link_%d_%d", d, i), -INFINITY, 0);
    spl_mip_put(model->mip, spl_outing_take_of(b, i, d), 1);
    for (int p = b->first_pattern[d]; p < b->first_pattern[d + 1]; p++) {
        const struct spl_outing_pattern *pattern =
            &g_array_index(model->patterns, struct spl_outing_pattern, p);

        if (spl_outing_visits(pattern, source->site))
            spl_mip_put(
                model->mip, pattern->column,
                -MIN(most, spl_outing_day_kg(b, source->material, d, hours - pattern->hours)));
    }
    if (visit >= 0) {
        most = MAX(MIN(most, spl_outing_day_kg(b, source->material, d, hours)),
                   spl_outing_fixed_kg(b, i, d));
        spl_mip_add_row(model->mip, g_strdup_printf("picked_%d_%d", d, i), -INFINITY, 0);
        spl_mip_put(model->mip, spl_outing_take_of(b, i, d), 1);
        spl_mip_put(model->mip, visit, -most);
    }
}

static int compare_ints(gconstpointer a, gconstpointer b)
{
    return *(const int *)a - *(const int *)b;
}

static void stand_rows(struct spl_outing_build *b)
{
    g_autoptr(GArray) stands = g_array_new(FALSE, FALSE, sizeof(int));

    for (int i = 0; i < b->model->n_sources; i++)
        g_array_append_val(stands, SPL_OUTING_SOURCE(b->problem, i)->stand);
    g_array_sort(stands, compare_ints);
    for (guint k = 0; k < stands->len; k++) {
        int stand = g_array_index(stands, int, k);
        gboolean any = FALSE;

        if (k > 0 && g_array_index(stands, int, k - 1) == stand)
            continue;
        for (int i = 0; i < b->model->n_sources; i++) {
            const struct spl_outing_source *source = SPL_OUTING_SOURCE(b->problem, i);

            for (int d = 0; source->stand == stand && d < b->model->n_days; d++) {
                if (spl_outing_take_of(b, i, d) < 0)
                    continue;
                if (!any)
                    spl_mip_add_row(b->model->mip, g_strdup_printf("stand_%d", stand), -INFINITY,
                                    1);
                any = TRUE;
                spl_mip_put(b->model->mip, spl_outing_take_of(b, i, d),
                            SPL_OUTING_KG / source->allowance_g);
            }
        }
    }
}

/* For each need: what is picked of its material by its day, and what stays open, cover it and all
 * that are due before. */
static void need_rows(struct spl_outing_build *b)
{
    for (int n = 0; n < b->model->n_needs; n++) {
        const struct spl_outing_need *need = SPL_OUTING_NEED(b->problem, n);
        int by = spl_day_is_set(need->by) ? need->by.n : G_MAXINT;
        gboolean last = by == b->last_by[need->material], repeated = FALSE;
        double wanted = 0, fixed = 0;

        for (int k = 0; k < b->model->n_needs; k++) {
            const struct spl_outing_need *other = SPL_OUTING_NEED(b->problem, k);
            int other_by = spl_day_is_set(other->by) ? other->by.n : G_MAXINT;

            if (other->material != need->material || other_by > by)
                continue;
            repeated |= k < n && other_by == by;
            wanted += other->grams / SPL_OUTING_KG;
        }
        if (repeated)
            continue;
        for (int i = 0; i < b->model->n_sources; i++) {
            for (int d = 0; SPL_OUTING_SOURCE(b->problem, i)->material == need->material &&
                            d < b->model->n_days;
                 d++)
                fixed += spl_outing_fixed_kg(b, i, d);
        }
        /* Picking more than is needed helps nobody: all needs together are met exactly, but for
         * what the person wants picked on a fixed day. */
        spl_mip_add_row(b->model->mip, g_strdup_printf("need_%d", n), wanted,
                        last ? wanted + fixed : INFINITY);
        for (int i = 0; i < b->model->n_sources; i++) {
            for (int d = 0; SPL_OUTING_SOURCE(b->problem, i)->material == need->material &&
                            d < b->model->n_days;
                 d++) {
                if (spl_outing_take_of(b, i, d) >= 0 && SPL_OUTING_DAY(b->problem, d)->day.n <= by)
                    spl_mip_put(b->model->mip, spl_outing_take_of(b, i, d), 1);
            }
        }
        for (int k = 0; k < b->model->n_needs; k++) {
            const struct spl_outing_need *other = SPL_OUTING_NEED(b->problem, k);

            if (other->material == need->material &&
                (spl_day_is_set(other->by) ? other->by.n : G_MAXINT) <= by)
                spl_mip_put(b->model->mip, b->model->shortage[k], 1);
        }
    }
}

/* On each day the rack holds what came in during the last hold_days. */
static void store_rows(struct spl_outing_build *b)
{
    for (int s = 0; s < (int)b->problem->stores->len; s++) {
        const struct spl_outing_store *store = SPL_OUTING_STORE(b->problem, s);

        for (int d = 0; isfinite(store->capacity_g) && d < b->model->n_days; d++) {
            int today = SPL_OUTING_DAY(b->problem, d)->day.n;
            gboolean any = FALSE;

            for (int e = 0; e <= d; e++) {
                for (int i = 0; SPL_OUTING_DAY(b->problem, e)->day.n > today - store->hold_days &&
                                i < b->model->n_sources;
                     i++) {
                    int material = SPL_OUTING_SOURCE(b->problem, i)->material;

                    if (spl_outing_take_of(b, i, e) < 0 ||
                        SPL_OUTING_MATERIAL(b->problem, material)->store != s)
                        continue;
                    if (!any)
                        spl_mip_add_row(b->model->mip, g_strdup_printf("store_%d_%d", s, d),
                                        -INFINITY, store->capacity_g / SPL_OUTING_KG);
                    any = TRUE;
                    spl_mip_put(b->model->mip, spl_outing_take_of(b, i, e), 1);
                }
            }
        }
    }
}

/* At most one picking of a stand in any stretch of its interval. */
static void interval_rows(struct spl_outing_build *b)
{
    for (int i = 0; i < b->model->n_sources; i++) {
        int every =
            SPL_OUTING_MATERIAL(b->problem, SPL_OUTING_SOURCE(b->problem, i)->material)->every_days;

        for (int d = 0; every > 1 && d < b->model->n_days; d++) {
            int from = SPL_OUTING_DAY(b->problem, d)->day.n, n = 0;

            if (b->model->visit[i * b->model->n_days + d] < 0)
                continue;
            for (int e = d; e < b->model->n_days; e++) {
                if (SPL_OUTING_DAY(b->problem, e)->day.n < from + every &&
                    b->model->visit[i * b->model->n_days + e] >= 0)
                    n++;
            }
            if (n < 2)
                continue;
            spl_mip_add_row(b->model->mip, g_strdup_printf("every_%d_%d", d, i), -INFINITY, 1);
            for (int e = d; e < b->model->n_days; e++) {
                if (SPL_OUTING_DAY(b->problem, e)->day.n < from + every &&
                    b->model->visit[i * b->model->n_days + e] >= 0)
                    spl_mip_put(b->model->mip, b->model->visit[i * b->model->n_days + e], 1);
            }
        }
    }
}

struct spl_outing_model *spl_outing_model_new(const struct spl_outing_problem *problem,
                                              enum spl_outing_goal goal, const GArray *short_g)
{
    return spl_outing_model_part(problem, goal, short_g, NULL);
}

struct spl_outing_model *spl_outing_model_part(const struct spl_outing_problem *problem,
                                               enum spl_outing_goal goal, const GArray *short_g,
                                               const struct spl_outing_scope *scope)
{
    struct spl_outing_model *model = g_new0(struct spl_outing_model, 1);
    struct spl_outing_build b = {.problem = problem, .model = model, .goal = goal};

    b.scope = scope;
    b.short_g = short_g;
    model->n_days = (int)problem->days->len;
    model->n_sources = (int)problem->sources->len;
    model->n_needs = (int)problem->needs->len;
    model->mip = spl_mip_new();
    model->patterns = g_array_new(FALSE, FALSE, sizeof(struct spl_outing_pattern));
    model->take = g_new(int, (gsize)model->n_days *(gsize)model->n_sources);
    model->visit = g_new(int, (gsize)model->n_days *(gsize)model->n_sources);
    model->shortage = g_new(int, (gsize)model->n_needs);
    build_needs(&b);
    build_patterns(&b);
    build_takes(&b);
    build_shortages(&b);
    for (int d = 0; d < model->n_days; d++) {
        day_rows(&b, d);
        for (int i = 0; i < model->n_sources; i++) {
            if (spl_outing_take_of(&b, i, d) >= 0)
                link_rows(&b, d, i);
        }
    }
    stand_rows(&b);
    need_rows(&b);
    store_rows(&b);
    interval_rows(&b);
    spl_outing_cover_rows(&b);
    g_free(b.need_kg);
    g_free(b.last_by);
    g_free(b.first_pattern);
    g_free(b.open);
    return model;
}

void spl_outing_model_free(struct spl_outing_model *model)
{
    if (model == NULL)
        return;
    spl_mip_free(model->mip);
    g_array_unref(model->patterns);
    g_free(model->take);
    g_free(model->visit);
    g_free(model->shortage);
    g_free(model);
}

/* ---- the plan of a solution ---------------------------------------------------------------- */

struct spl_outing_plan *spl_outing_model_plan(const struct spl_outing_problem *problem,
                                              const struct spl_outing_model *model, const double *x)
{
    struct spl_outing_plan *plan = spl_outing_plan_new();

    for (guint p = 0; p < model->patterns->len; p++) {
        const struct spl_outing_pattern *pattern =
            &g_array_index(model->patterns, struct spl_outing_pattern, p);
        struct spl_outing *outing;

        if (x[pattern->column] < 0.5)
            continue;
        outing = spl_outing_plan_add(plan, pattern->day);
        g_array_append_vals(outing->sites, pattern->sites, (guint)pattern->n);
        for (int i = 0; i < model->n_sources; i++) {
            int column = model->take[i * model->n_days + pattern->day];
            struct spl_outing_take take = {.source = i};

            if (column < 0 || x[column] <= 0 ||
                !spl_outing_visits(pattern, SPL_OUTING_SOURCE(problem, i)->site))
                continue;
            take.grams = x[column] * SPL_OUTING_KG;
            g_array_append_val(outing->takes, take);
        }
    }
    spl_outing_plan_finish(problem, plan);
    return plan;
}
