/* SPDX-License-Identifier: MIT
 *
 * The plan without a solver: best outing or best further stop again and again, then outings taken
 * out one or two at a time and the hole filled anew.
 */
#include "core/outing_greedy.h"

#include <math.h>
#include <string.h>

#define LEAST_G 1.0 /* a take smaller than this is not worth a bend of the back */
#define DULL 0.4    /* how much an hour's weight of a whole need makes a gram less worth taking */
#define TIE 1e-9

/* How eager the planner is: scarce material first, long outings first. */
struct temper {
    double scarce; /* exponent of need / what is to be had */
    double thrift; /* exponent of the cost that a gain is divided by */
};

static const struct temper tempers[] = {{1, 1}, {0, 1}, {1, 0.6}, {0.5, 1.4}};

struct state {
    const struct spl_outing_problem *problem;
    struct temper temper;
    int n_days, n_sites, n_sources, n_needs, n_materials;
    gboolean *open;     /* [source * n_days + day] */
    double *per_g;      /* [material] hours */
    double *weight;     /* [material] worth of a gram */
    double *whole_need; /* [material] */
    int *need_order;    /* needs by their day */
    int *every;         /* [source] */
    double *keen; /* [source * n_days + day]: 1 in the likely days of clear ground, less else */
    /* the plan so far */
    gboolean *goes;     /* [day * n_sites + site] */
    int *n_stops;       /* [day] */
    double *travel;     /* [day] */
    double *work;       /* [day] hours of picking and working up */
    double *take;       /* [source * n_days + day] grams */
    double *need_left;  /* [need] */
    double *stand_left; /* [stand] fraction */
    /* scratch */
    int *candidate; /* sources */
    double *amount; /* [source] */
};

static gsize cells(const struct state *s)
{
    return (gsize)s->n_sources * (gsize)s->n_days;
}

static void state_begin(struct state *s, const struct spl_outing_problem *problem)
{
    *s = (struct state){.problem = problem};
    s->n_days = (int)problem->days->len;
    s->n_sites = (int)problem->sites->len;
    s->n_sources = (int)problem->sources->len;
    s->n_needs = (int)problem->needs->len;
    s->n_materials = (int)problem->materials->len;
    s->open = g_new0(gboolean, cells(s));
    s->per_g = g_new0(double, s->n_materials);
    s->weight = g_new0(double, s->n_materials);
    s->whole_need = g_new0(double, s->n_materials);
    s->need_order = g_new0(int, s->n_needs);
    s->every = g_new0(int, s->n_sources);
    s->keen = g_new0(double, cells(s));
    s->goes = g_new0(gboolean, (gsize)s->n_days * (gsize)s->n_sites);
    s->n_stops = g_new0(int, s->n_days);
    s->travel = g_new0(double, s->n_days);
    s->work = g_new0(double, s->n_days);
    s->take = g_new0(double, cells(s));
    s->need_left = g_new0(double, s->n_needs);
    s->stand_left = g_new0(double, s->n_sources);
    s->candidate = g_new0(int, s->n_sources);
    s->amount = g_new0(double, s->n_sources);
    for (int m = 0; m < s->n_materials; m++)
        s->per_g[m] = spl_outing_hours_per_g(problem, m);
    for (int i = 0; i < s->n_sources; i++) {
        s->every[i] =
            SPL_OUTING_MATERIAL(problem, SPL_OUTING_SOURCE(problem, i)->material)->every_days;
        for (int d = 0; d < s->n_days; d++) {
            s->open[i * s->n_days + d] = spl_outing_source_open(problem, i, d);
            if (s->open[i * s->n_days + d])
                s->keen[i * s->n_days + d] = 1 / (1 + DULL * spl_outing_take_hours(problem, i, d));
        }
    }
    for (int n = 0; n < s->n_needs; n++) {
        int at = n;

        s->whole_need[SPL_OUTING_NEED(problem, n)->material] += SPL_OUTING_NEED(problem, n)->grams;
        while (at > 0 && spl_day_compare(SPL_OUTING_NEED(problem, s->need_order[at - 1])->by,
                                         SPL_OUTING_NEED(problem, n)->by) > 0) {
            s->need_order[at] = s->need_order[at - 1];
            at--;
        }
        s->need_order[at] = n;
    }
}

static void state_end(struct state *s)
{
    g_free(s->open);
    g_free(s->per_g);
    g_free(s->weight);
    g_free(s->whole_need);
    g_free(s->need_order);
    g_free(s->every);
    g_free(s->keen);
    g_free(s->goes);
    g_free(s->n_stops);
    g_free(s->travel);
    g_free(s->work);
    g_free(s->take);
    g_free(s->need_left);
    g_free(s->stand_left);
    g_free(s->candidate);
    g_free(s->amount);
}

/* Worth of a gram: its part of the material's whole need, more when there is little to be had. */
static void weigh(struct state *s)
{
    for (int m = 0; m < s->n_materials; m++) {
        double had = 0;

        for (int i = 0; i < s->n_sources; i++) {
            if (SPL_OUTING_SOURCE(s->problem, i)->material == m)
                had += SPL_OUTING_SOURCE(s->problem, i)->allowance_g;
        }
        s->weight[m] =
            s->whole_need[m] <= 0 || had <= 0
                ? 0
                : pow(MIN(s->whole_need[m] / had, 4), s->temper.scarce) / s->whole_need[m];
    }
}

/* ---- what a day may still take ------------------------------------------------------------- */

static double need_left(const struct state *s, int material, int day)
{
    int date = SPL_OUTING_DAY(s->problem, day)->day.n;
    double grams = 0;

    for (int n = 0; n < s->n_needs; n++) {
        const struct spl_outing_need *need = SPL_OUTING_NEED(s->problem, n);

        if (need->material == material && (!spl_day_is_set(need->by) || date <= need->by.n))
            grams += s->need_left[n];
    }
    return grams;
}

/* Room on the shelf for something that comes in on `day`. */
static double store_left(const struct state *s, int store, int day)
{
    const struct spl_outing_store *shelf = SPL_OUTING_STORE(s->problem, store);
    int date = SPL_OUTING_DAY(s->problem, day)->day.n;
    double left = shelf->capacity_g;

    for (int e = day; e < s->n_days; e++) {
        int then = SPL_OUTING_DAY(s->problem, e)->day.n;
        double held = 0;

        if (then >= date + shelf->hold_days)
            break;
        for (int d = e; d >= 0; d--) {
            if (SPL_OUTING_DAY(s->problem, d)->day.n <= then - shelf->hold_days)
                break;
            for (int i = 0; i < s->n_sources; i++) {
                int m = SPL_OUTING_SOURCE(s->problem, i)->material;

                if (SPL_OUTING_MATERIAL(s->problem, m)->store == store)
                    held += s->take[i * s->n_days + d];
            }
        }
        left = MIN(left, shelf->capacity_g - held);
    }
    return MAX(left, 0);
}

static gboolean interval_holds(const struct state *s, int source, int day)
{
    int date = SPL_OUTING_DAY(s->problem, day)->day.n;

    for (int d = 0; s->every[source] > 1 && d < s->n_days; d++) {
        if (d != day && s->take[source * s->n_days + d] > 0 &&
            ABS(SPL_OUTING_DAY(s->problem, d)->day.n - date) < s->every[source])
            return FALSE;
    }
    return TRUE;
}

/*
 * What could be taken on `day` in `hours` more at the sites that it goes to and, if >= 0, at
 * `extra`: amounts into s->amount, by worth an hour. Returns their worth.
 */
static double fill(struct state *s, int day, int extra, double hours)
{
    const struct spl_outing_problem *problem = s->problem;
    int n = 0;
    double worth = 0;

    for (int i = 0; i < s->n_sources; i++) {
        const struct spl_outing_source *source = SPL_OUTING_SOURCE(problem, i);
        int at = n;
        double value;

        s->amount[i] = 0;
        if (!s->open[i * s->n_days + day] || s->weight[source->material] <= 0 ||
            (source->site != extra && !s->goes[day * s->n_sites + source->site]) ||
            s->stand_left[source->stand] * source->allowance_g < LEAST_G ||
            !interval_holds(s, i, day))
            continue;
        /* The edges of a window count a little less, so that its middle fills first. */
        value =
            s->weight[source->material] * s->keen[i * s->n_days + day] / s->per_g[source->material];
        while (at > 0) {
            const struct spl_outing_source *other =
                SPL_OUTING_SOURCE(problem, s->candidate[at - 1]);

            if (s->weight[other->material] * s->keen[s->candidate[at - 1] * s->n_days + day] /
                    s->per_g[other->material] >=
                value)
                break;
            s->candidate[at] = s->candidate[at - 1];
            at--;
        }
        s->candidate[at] = i;
        n++;
    }
    for (int c = 0; c < n; c++) {
        const struct spl_outing_source *source = SPL_OUTING_SOURCE(problem, s->candidate[c]);
        const struct spl_outing_material *material = SPL_OUTING_MATERIAL(problem, source->material);
        double grams = hours / s->per_g[source->material];
        double wanted = need_left(s, source->material, day), room = INFINITY;
        double stand = s->stand_left[source->stand];

        for (int k = 0; k < c; k++) {
            const struct spl_outing_source *other = SPL_OUTING_SOURCE(problem, s->candidate[k]);

            if (other->material == source->material)
                wanted -= s->amount[s->candidate[k]];
            if (other->stand == source->stand)
                stand -= s->amount[s->candidate[k]] / other->allowance_g;
        }
        if (material->store >= 0) {
            room = store_left(s, material->store, day);
            for (int k = 0; k < c; k++) {
                int m = SPL_OUTING_SOURCE(problem, s->candidate[k])->material;

                if (SPL_OUTING_MATERIAL(problem, m)->store == material->store)
                    room -= s->amount[s->candidate[k]];
            }
        }
        grams = MIN(MIN(grams, wanted), MIN(room, stand * source->allowance_g));
        if (grams < LEAST_G && grams < wanted)
            continue;
        if (grams <= 0)
            continue;
        s->amount[s->candidate[c]] = grams;
        hours -= grams * s->per_g[source->material];
        worth += grams * s->weight[source->material] * s->keen[s->candidate[c] * s->n_days + day];
    }
    return worth;
}

/* ---- changing the plan --------------------------------------------------------------------- */

static void book_take(struct state *s, int source, int day, double grams)
{
    const struct spl_outing_source *record = SPL_OUTING_SOURCE(s->problem, source);
    int date = SPL_OUTING_DAY(s->problem, day)->day.n;

    s->take[source * s->n_days + day] += grams;
    s->stand_left[record->stand] -= grams / record->allowance_g;
    s->work[day] += grams * s->per_g[record->material];
    for (int k = 0; k < s->n_needs && grams > 0; k++) {
        int n = s->need_order[k];
        const struct spl_outing_need *need = SPL_OUTING_NEED(s->problem, n);
        double part;

        if (need->material != record->material || (spl_day_is_set(need->by) && date > need->by.n))
            continue;
        part = MIN(grams, s->need_left[n]);
        s->need_left[n] -= part;
        grams -= part;
    }
}

static double round_with(const struct state *s, int day, int extra)
{
    int sites[8], n = 0;

    for (int site = 0; site < s->n_sites; site++) {
        if (s->goes[day * s->n_sites + site] || site == extra)
            sites[n++] = site;
    }
    return spl_outing_round(s->problem, sites, n, NULL, NULL);
}

static void book_stop(struct state *s, int day, int site)
{
    s->goes[day * s->n_sites + site] = TRUE;
    s->n_stops[day]++;
    s->travel[day] = round_with(s, day, -1);
}

static void book_fill(struct state *s, int day)
{
    for (int i = 0; i < s->n_sources; i++) {
        if (s->amount[i] > 0)
            book_take(s, i, day, s->amount[i]);
    }
}

static double hours_left(const struct state *s, int day, double travel)
{
    return MAX(SPL_OUTING_DAY(s->problem, day)->hours - travel - s->work[day], 0);
}

/* An empty plan with the fixed days in it, and what is fixed to be taken on them. */
static void state_clear(struct state *s)
{
    memset(s->goes, 0, (gsize)s->n_days * (gsize)s->n_sites * sizeof *s->goes);
    memset(s->n_stops, 0, (gsize)s->n_days * sizeof *s->n_stops);
    memset(s->travel, 0, (gsize)s->n_days * sizeof *s->travel);
    memset(s->work, 0, (gsize)s->n_days * sizeof *s->work);
    memset(s->take, 0, cells(s) * sizeof *s->take);
    for (int n = 0; n < s->n_needs; n++)
        s->need_left[n] = SPL_OUTING_NEED(s->problem, n)->grams;
    for (int i = 0; i < s->n_sources; i++)
        s->stand_left[i] = 1;
    for (int d = 0; d < s->n_days; d++) {
        const struct spl_outing_day *day = SPL_OUTING_DAY(s->problem, d);

        for (guint k = 0; day->fixed && k < day->sites->len; k++)
            book_stop(s, d, g_array_index(day->sites, int, k));
        for (guint t = 0; day->takes != NULL && t < day->takes->len; t++) {
            const struct spl_outing_take *take =
                &g_array_index(day->takes, struct spl_outing_take, t);

            book_take(s, take->source, d, take->grams);
        }
    }
}

/* First what fits into outings that are made anyway, then stop after stop. */
static void complete(struct state *s)
{
    for (int d = 0; d < s->n_days; d++) {
        if (s->n_stops[d] > 0 && SPL_OUTING_DAY(s->problem, d)->takes == NULL &&
            fill(s, d, -1, hours_left(s, d, s->travel[d])) > 0)
            book_fill(s, d);
    }
    for (;;) {
        double best = 0;
        int best_day = -1, best_site = -1;

        for (int d = 0; d < s->n_days; d++) {
            if (SPL_OUTING_DAY(s->problem, d)->fixed || s->n_stops[d] >= s->problem->most_sites)
                continue;
            for (int site = 0; site < s->n_sites; site++) {
                double travel, cost, worth;
                gboolean any = FALSE;

                for (int i = 0; i < s->n_sources && !any; i++) {
                    const struct spl_outing_source *source = SPL_OUTING_SOURCE(s->problem, i);

                    any = source->site == site && s->open[i * s->n_days + d] &&
                          s->stand_left[source->stand] * source->allowance_g >= LEAST_G &&
                          need_left(s, source->material, d) > 0;
                }
                if (!any || s->goes[d * s->n_sites + site])
                    continue;
                travel = round_with(s, d, site);
                cost = travel - s->travel[d] + (s->n_stops[d] == 0 ? s->problem->outing_hours : 0);
                worth = fill(s, d, site, hours_left(s, d, travel));
                worth /= pow(cost + 0.01, s->temper.thrift);
                if (worth > best * (1 + TIE)) {
                    best = worth;
                    best_day = d;
                    best_site = site;
                }
            }
        }
        if (best_day < 0)
            return;
        book_stop(s, best_day, best_site);
        fill(s, best_day, -1, hours_left(s, best_day, s->travel[best_day]));
        book_fill(s, best_day);
    }
}

static struct spl_outing_plan *plan_of(const struct state *s)
{
    struct spl_outing_plan *plan = spl_outing_plan_new();

    for (int d = 0; d < s->n_days; d++) {
        struct spl_outing *outing;

        if (s->n_stops[d] == 0)
            continue;
        outing = spl_outing_plan_add(plan, d);
        for (int site = 0; site < s->n_sites; site++) {
            if (s->goes[d * s->n_sites + site])
                g_array_append_val(outing->sites, site);
        }
        for (int i = 0; i < s->n_sources; i++) {
            struct spl_outing_take take = {i, s->take[i * s->n_days + d]};

            if (take.grams > 0)
                g_array_append_val(outing->takes, take);
        }
    }
    spl_outing_plan_reckon(s->problem, plan);
    return plan;
}

/* The plan again as a state, without the outings `skip` and `skip2` (their numbers; -1: none). */
static void state_of(struct state *s, const struct spl_outing_plan *plan, int skip, int skip2)
{
    state_clear(s);
    for (int o = 0; o < (int)plan->outings->len; o++) {
        const struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, o);

        if (o == skip || o == skip2)
            continue;
        for (guint k = 0; k < outing->sites->len; k++) {
            int site = g_array_index(outing->sites, int, k);

            if (!s->goes[outing->day * s->n_sites + site])
                book_stop(s, outing->day, site);
        }
        for (guint t = 0;
             SPL_OUTING_DAY(s->problem, outing->day)->takes == NULL && t < outing->takes->len;
             t++) {
            const struct spl_outing_take *take =
                &g_array_index(outing->takes, struct spl_outing_take, t);

            book_take(s, take->source, outing->day, take->grams);
        }
    }
}

static void improve(struct state *s, struct spl_outing_plan **plan, int rounds)
{
    for (int round = 0; round < rounds; round++) {
        gboolean gained = FALSE;

        for (int o = 0; o < (int)(*plan)->outings->len; o++) {
            for (int next = o; next <= o + 2; next++) {
                struct spl_outing_plan *trial;

                if (next >= (int)(*plan)->outings->len)
                    break;
                state_of(s, *plan, o, next == o ? -1 : next);
                complete(s);
                trial = plan_of(s);
                if (trial->cost < (*plan)->cost - TIE) {
                    spl_outing_plan_free(*plan);
                    *plan = trial;
                    gained = TRUE;
                } else {
                    spl_outing_plan_free(trial);
                }
            }
        }
        if (!gained)
            return;
    }
}

struct spl_outing_plan *spl_outing_greedy(const struct spl_outing_problem *problem, int rounds)
{
    struct spl_outing_plan *best = NULL;
    struct state s;

    state_begin(&s, problem);
    for (guint t = 0; t < G_N_ELEMENTS(tempers); t++) {
        struct spl_outing_plan *plan;

        s.temper = tempers[t];
        weigh(&s);
        state_clear(&s);
        complete(&s);
        plan = plan_of(&s);
        improve(&s, &plan, rounds);
        if (best == NULL || plan->cost < best->cost - TIE) {
            spl_outing_plan_free(best);
            best = plan;
        } else {
            spl_outing_plan_free(plan);
        }
    }
    state_end(&s);
    spl_outing_plan_reserve(problem, best);
    return best;
}
