/* SPDX-License-Identifier: MIT
 *
 * Lower bounds of the season plan from sub-seasons with interchangeable days.
 */
#include "core/outing_bound.h"

#include <math.h>
#include <string.h>

#include "core/outing_greedy.h"

#define KG 1000.0
#define SAFE 1e-6           /* a proven bound is lowered by this against rounding */
#define CRUMB_G 1.0         /* by so little a plan that counts as covering may fall short */
#define WIDEST 7            /* materials in one sub-season */
#define MOST_PATTERNS 60000 /* of one relaxation, before like days are joined */

/* A kind of day: a day of the problem, and how many days offer no more than it. */
struct kind {
    int day;
    int days;
    gboolean fixed;
};

/* Materials first .. last (places in the order by time) need at least so much. */
struct cut {
    int first, last;
    double count, cost;
};

struct choice {
    int kind;
    int n;
    gboolean counts; /* goes to a site that is of use here (a fixed day may not) */
    int sites[6];
    double hours;
    int column;
};

struct spl_outing_bound {
    const struct spl_outing_problem *problem;
    double *need_kg; /* [need], less its shortage */
    int *order;      /* materials by time */
    int *place;      /* [material]: where in the order, -1: not needed */
    int n_order;
    GArray *cuts;     /* struct cut */
    int width, first; /* of the next sub-season; width WIDEST + 1: the whole */
    gboolean done;
    double cost;
    int count;
    int nodes;
    GHashTable *rounds; /* site mask -> hours, for up to 64 sites */
};

/* One relaxation: the materials at places first .. last. */
struct relaxation {
    struct spl_outing_bound *bound;
    int first, last;
    struct spl_mip *mip;
    GArray *kinds;   /* struct kind */
    GArray *choices; /* struct choice */
    int *take;       /* [kind * n_sources + source], column or -1 */
    gboolean edges;  /* with the cost of takes at the edges of windows */
};

/* ---- times and rounds ---------------------------------------------------------------------- */

static double round_hours(struct spl_outing_bound *b, const int *sites, int n)
{
    guint64 mask = 0;
    double *known, hours;

    if (n == 0)
        return 0;
    if (b->problem->sites->len > 64)
        return spl_outing_round(b->problem, sites, n, NULL, NULL);
    for (int i = 0; i < n; i++)
        mask |= (guint64)1 << sites[i];
    known = g_hash_table_lookup(b->rounds, &mask);
    if (known != NULL)
        return *known;
    hours = spl_outing_round(b->problem, sites, n, NULL, NULL);
    known = g_new(double, 1);
    *known = hours;
    g_hash_table_insert(b->rounds, g_memdup2(&mask, sizeof mask), known);
    return hours;
}

static int place_of(const struct spl_outing_bound *b, int source)
{
    return b->place[SPL_OUTING_SOURCE(b->problem, source)->material];
}

static gboolean wanted(const struct spl_outing_bound *b, int source, int first, int last)
{
    int place = place_of(b, source);

    return place >= first && place <= last;
}

/* Whether a need may be served from a day: open is judged apart. */
static gboolean in_time(const struct spl_outing_bound *b, int need, int day)
{
    struct spl_day by = SPL_OUTING_NEED(b->problem, need)->by;

    return b->need_kg[need] > 0 &&
           (!spl_day_is_set(by) || SPL_OUTING_DAY(b->problem, day)->day.n <= by.n);
}

static gboolean useful(const struct spl_outing_bound *b, int source, int day)
{
    if (!spl_outing_source_open(b->problem, source, day))
        return FALSE;
    for (guint n = 0; n < b->problem->needs->len; n++) {
        if (SPL_OUTING_NEED(b->problem, n)->material ==
                SPL_OUTING_SOURCE(b->problem, source)->material &&
            in_time(b, (int)n, day))
            return TRUE;
    }
    return FALSE;
}

/* Whether `than` offers all that `day` does: hours, open sources, needs still in time. */
static gboolean offers_no_more(const struct relaxation *r, int day, int than)
{
    const struct spl_outing_bound *b = r->bound;

    if (SPL_OUTING_DAY(b->problem, day)->hours > SPL_OUTING_DAY(b->problem, than)->hours)
        return FALSE;
    for (int i = 0; i < (int)b->problem->sources->len; i++) {
        if (!wanted(b, i, r->first, r->last) || !useful(b, i, day))
            continue;
        if (!useful(b, i, than))
            return FALSE;
        for (guint n = 0; n < b->problem->needs->len; n++) {
            if (SPL_OUTING_NEED(b->problem, n)->material ==
                    SPL_OUTING_SOURCE(b->problem, i)->material &&
                in_time(b, (int)n, day) && !in_time(b, (int)n, than))
                return FALSE;
        }
    }
    return TRUE;
}

static void find_kinds(struct relaxation *r)
{
    const struct spl_outing_problem *problem = r->bound->problem;
    int n_days = (int)problem->days->len;

    for (int d = 0; d < n_days; d++) {
        struct kind kind = {d, 1, SPL_OUTING_DAY(problem, d)->fixed};
        gboolean any = kind.fixed, merged = FALSE;

        for (int i = 0; i < (int)problem->sources->len && !any; i++)
            any = wanted(r->bound, i, r->first, r->last) && useful(r->bound, i, d);
        if (!any)
            continue;
        for (guint k = 0; k < r->kinds->len && !merged && !kind.fixed; k++) {
            struct kind *other = &g_array_index(r->kinds, struct kind, k);

            if (other->fixed)
                continue;
            if (offers_no_more(r, d, other->day)) {
                other->days++;
                merged = TRUE;
            } else if (offers_no_more(r, other->day, d)) {
                other->day = d;
                other->days++;
                merged = TRUE;
            }
        }
        if (!merged)
            g_array_append_val(r->kinds, kind);
    }
    /* A kind that grew may now offer all that another does. */
    for (guint k = 0; k < r->kinds->len; k++) {
        for (guint j = r->kinds->len; j-- > 0;) {
            struct kind *keep = &g_array_index(r->kinds, struct kind, k);
            struct kind *drop = &g_array_index(r->kinds, struct kind, j);

            if (j == k || keep->fixed || drop->fixed || !offers_no_more(r, drop->day, keep->day))
                continue;
            keep->days += drop->days;
            g_array_remove_index(r->kinds, j);
            if (j < k)
                k--;
        }
    }
}

/* ---- the relaxation ------------------------------------------------------------------------ */

static GArray *open_sites(const struct spl_outing_bound *b, int first, int last, int day)
{
    GArray *sites = g_array_new(FALSE, FALSE, sizeof(int));

    for (int s = 0; s < (int)b->problem->sites->len; s++) {
        for (int i = 0; i < (int)b->problem->sources->len; i++) {
            if (SPL_OUTING_SOURCE(b->problem, i)->site == s && wanted(b, i, first, last) &&
                useful(b, i, day)) {
                g_array_append_val(sites, s);
                break;
            }
        }
    }
    return sites;
}

/* Those of `sites` where places first .. last have something open on the day. */
static int useful_of(const struct spl_outing_bound *b, int first, int last, int day,
                     const int *sites, int n, int *useful_sites)
{
    g_autoptr(GArray) open = open_sites(b, first, last, day);
    int n_useful = 0;

    for (int i = 0; i < n; i++) {
        for (guint k = 0; k < open->len; k++) {
            if (g_array_index(open, int, k) == sites[i])
                useful_sites[n_useful++] = sites[i];
        }
    }
    return n_useful;
}

static void add_choice(struct relaxation *r, int k, const int *sites, int n)
{
    const struct kind *kind = &g_array_index(r->kinds, struct kind, k);
    struct choice choice = {.kind = k, .n = n};
    double cost;

    memcpy(choice.sites, sites, (gsize)n * sizeof *sites);
    choice.hours = round_hours(r->bound, sites, n);
    choice.counts = TRUE;
    cost = r->bound->problem->outing_hours + choice.hours;
    /* A kept outing goes to its sites for whatever reason: a sub-season answers only for those
     * that it can use, as its cut does later. */
    if (kind->fixed && !r->edges) {
        int useful_sites[6];
        int n_useful = useful_of(r->bound, r->first, r->last, kind->day, sites, n, useful_sites);

        choice.counts = n_useful > 0;
        cost = n_useful == 0 ? 0
                             : r->bound->problem->outing_hours +
                                   round_hours(r->bound, useful_sites, n_useful);
    }
    if (choice.hours >= SPL_OUTING_DAY(r->bound->problem, kind->day)->hours && !kind->fixed)
        return;
    choice.column = spl_mip_add_column(r->mip, g_strdup_printf("n%u", r->choices->len),
                                       kind->fixed ? 1 : 0, kind->days, cost, TRUE);
    g_array_append_val(r->choices, choice);
}

static void extend_choice(struct relaxation *r, int k, const GArray *sites, int from, int *chosen,
                          int n)
{
    for (int i = from; n < r->bound->problem->most_sites && i < (int)sites->len; i++) {
        chosen[n] = g_array_index(sites, int, i);
        add_choice(r, k, chosen, n + 1);
        extend_choice(r, k, sites, i + 1, chosen, n + 1);
    }
}

static gboolean stops_at(const struct choice *choice, int site)
{
    for (int i = 0; i < choice->n; i++) {
        if (choice->sites[i] == site)
            return TRUE;
    }
    return FALSE;
}

static double least_edge(const struct relaxation *r, int k, int source)
{
    const struct spl_outing_problem *problem = r->bound->problem;
    double least = 1;

    /* Over all days that might be counted with this kind: those that offer no more. */
    for (int d = 0; d < (int)problem->days->len; d++) {
        if (useful(r->bound, source, d) &&
            (d == g_array_index(r->kinds, struct kind, k).day ||
             offers_no_more(r, d, g_array_index(r->kinds, struct kind, k).day)))
            least = MIN(least, spl_outing_edge(SPL_OUTING_SOURCE(problem, source),
                                               SPL_OUTING_DAY(problem, d)->day));
    }
    return least;
}

static double need_of(const struct spl_outing_bound *b, int material)
{
    double kg = 0;

    for (guint n = 0; n < b->problem->needs->len; n++) {
        if (SPL_OUTING_NEED(b->problem, n)->material == material)
            kg += b->need_kg[n];
    }
    return kg;
}

static void add_takes(struct relaxation *r)
{
    const struct spl_outing_problem *problem = r->bound->problem;
    int n_sources = (int)problem->sources->len;

    r->take = g_new(int, (gsize)r->kinds->len *(gsize)n_sources + 1);
    for (int k = 0; k < (int)r->kinds->len; k++) {
        for (int i = 0; i < n_sources; i++) {
            const struct spl_outing_source *source = SPL_OUTING_SOURCE(problem, i);
            double cost = 0, whole = 0;

            r->take[k * n_sources + i] = -1;
            if (!wanted(r->bound, i, r->first, r->last) ||
                !useful(r->bound, i, g_array_index(r->kinds, struct kind, k).day))
                continue;
            for (guint n = 0; n < problem->needs->len; n++) {
                if (SPL_OUTING_NEED(problem, n)->material == source->material)
                    whole += SPL_OUTING_NEED(problem, n)->grams / KG;
            }
            if (r->edges)
                cost = problem->edge_hours * least_edge(r, k, i) / whole;
            r->take[k * n_sources + i] = spl_mip_add_column(
                r->mip, g_strdup_printf("x%d_%d", k, i), 0,
                MIN(source->allowance_g / KG, need_of(r->bound, source->material)), cost, FALSE);
        }
    }
}

static void kind_rows(struct relaxation *r, int k)
{
    const struct spl_outing_problem *problem = r->bound->problem;
    const struct kind *kind = &g_array_index(r->kinds, struct kind, k);
    int n_sources = (int)problem->sources->len;
    double day_hours = SPL_OUTING_DAY(problem, kind->day)->hours;

    spl_mip_add_row(r->mip, g_strdup_printf("d%d", k), -INFINITY, kind->days);
    for (guint c = 0; c < r->choices->len; c++) {
        if (g_array_index(r->choices, struct choice, c).kind == k)
            spl_mip_put(r->mip, g_array_index(r->choices, struct choice, c).column, 1);
    }
    for (int site = -1; site < (int)problem->sites->len; site++) {
        int n = 0;

        for (int i = 0; i < n_sources; i++)
            n += r->take[k * n_sources + i] >= 0 &&
                 (site < 0 || SPL_OUTING_SOURCE(problem, i)->site == site);
        if (n == 0 || (site >= 0 && n == 1))
            continue;
        spl_mip_add_row(r->mip, g_strdup_printf("h%d_%d", k, site + 1), -INFINITY, 0);
        for (int i = 0; i < n_sources; i++) {
            const struct spl_outing_source *source = SPL_OUTING_SOURCE(problem, i);

            if (r->take[k * n_sources + i] >= 0 && (site < 0 || source->site == site))
                spl_mip_put(r->mip, r->take[k * n_sources + i],
                            KG * spl_outing_hours_per_g(problem, source->material));
        }
        for (guint c = 0; c < r->choices->len; c++) {
            const struct choice *choice = &g_array_index(r->choices, struct choice, c);

            if (choice->kind == k && (site < 0 || stops_at(choice, site)))
                spl_mip_put(r->mip, choice->column, -MAX(day_hours - choice->hours, 0));
        }
    }
    for (int i = 0; i < n_sources; i++) {
        const struct spl_outing_source *source = SPL_OUTING_SOURCE(problem, i);
        double per_kg = KG * spl_outing_hours_per_g(problem, source->material);
        double most = MIN(source->allowance_g / KG, need_of(r->bound, source->material));

        if (r->take[k * n_sources + i] < 0)
            continue;
        spl_mip_add_row(r->mip, g_strdup_printf("l%d_%d", k, i), -INFINITY, 0);
        spl_mip_put(r->mip, r->take[k * n_sources + i], 1);
        for (guint c = 0; c < r->choices->len; c++) {
            const struct choice *choice = &g_array_index(r->choices, struct choice, c);

            if (choice->kind == k && stops_at(choice, source->site))
                spl_mip_put(r->mip, choice->column,
                            -MIN(most, MAX(day_hours - choice->hours, 0) / per_kg));
        }
    }
}

static void supply_rows(struct relaxation *r)
{
    const struct spl_outing_problem *problem = r->bound->problem;
    int n_sources = (int)problem->sources->len;

    for (int stand = 0; stand < n_sources; stand++) {
        gboolean any = FALSE;

        for (int k = 0; k < (int)r->kinds->len; k++) {
            for (int i = 0; i < n_sources; i++) {
                if (SPL_OUTING_SOURCE(problem, i)->stand != stand || r->take[k * n_sources + i] < 0)
                    continue;
                if (!any)
                    spl_mip_add_row(r->mip, g_strdup_printf("s%d", stand), -INFINITY, 1);
                any = TRUE;
                spl_mip_put(r->mip, r->take[k * n_sources + i],
                            KG / SPL_OUTING_SOURCE(problem, i)->allowance_g);
            }
        }
    }
    for (guint n = 0; n < problem->needs->len; n++) {
        const struct spl_outing_need *need = SPL_OUTING_NEED(problem, n);
        int place = r->bound->place[need->material];
        double due = 0;

        if (place < r->first || place > r->last || r->bound->need_kg[n] <= 0)
            continue;
        for (guint j = 0; j < problem->needs->len; j++) {
            if (SPL_OUTING_NEED(problem, j)->material == need->material &&
                spl_day_compare(SPL_OUTING_NEED(problem, j)->by, need->by) <= 0)
                due += r->bound->need_kg[j];
        }
        spl_mip_add_row(r->mip, g_strdup_printf("m%u", n), due - SAFE, INFINITY);
        for (int k = 0; k < (int)r->kinds->len; k++) {
            for (int i = 0; i < n_sources; i++) {
                if (SPL_OUTING_SOURCE(problem, i)->material == need->material &&
                    r->take[k * n_sources + i] >= 0 &&
                    in_time(r->bound, (int)n, g_array_index(r->kinds, struct kind, k).day))
                    spl_mip_put(r->mip, r->take[k * n_sources + i], 1);
            }
        }
    }
}

/* What a sub-season needs at least, in the choices of this larger one: an outing counts with the
 * stops that are of use to the sub-season. */
static void cut_rows(struct relaxation *r, const struct cut *cut)
{
    g_autoptr(GArray) count = g_array_new(FALSE, FALSE, sizeof(int));
    g_autoptr(GArray) cost = g_array_new(FALSE, FALSE, sizeof(struct spl_mip_entry));
    int kind = -1;
    GArray *open = NULL;

    for (guint c = 0; c < r->choices->len; c++) {
        const struct choice *choice = &g_array_index(r->choices, struct choice, c);
        int useful_sites[6], n = 0;
        struct spl_mip_entry entry = {.column = choice->column};

        if (choice->kind != kind) {
            g_clear_pointer(&open, g_array_unref);
            kind = choice->kind;
            open = open_sites(r->bound, cut->first, cut->last,
                              g_array_index(r->kinds, struct kind, kind).day);
        }
        for (int i = 0; i < choice->n; i++) {
            for (guint k = 0; k < open->len; k++) {
                if (g_array_index(open, int, k) == choice->sites[i])
                    useful_sites[n++] = choice->sites[i];
            }
        }
        if (n == 0)
            continue;
        entry.value = r->bound->problem->outing_hours + round_hours(r->bound, useful_sites, n);
        g_array_append_val(count, entry.column);
        g_array_append_val(cost, entry);
    }
    g_clear_pointer(&open, g_array_unref);
    if (count->len > 1) {
        /* As a whole column of its own the number of outings can be branched on, which decides more
         * than any single choice. */
        int column = spl_mip_add_column(r->mip, g_strdup_printf("y%u", r->mip->columns->len),
                                        cut->count, INFINITY, 0, TRUE);

        spl_mip_add_row(r->mip, g_strdup_printf("c%u", r->mip->rows->len), 0, 0);
        for (guint k = 0; k < count->len; k++)
            spl_mip_put(r->mip, g_array_index(count, int, k), 1);
        spl_mip_put(r->mip, column, -1);
    }
    if (cut->cost > SAFE) {
        spl_mip_add_row(r->mip, g_strdup_printf("c%u", r->mip->rows->len), cut->cost, INFINITY);
        for (guint k = 0; k < cost->len; k++) {
            struct spl_mip_entry entry = g_array_index(cost, struct spl_mip_entry, k);

            spl_mip_put(r->mip, entry.column, entry.value);
        }
    }
}

static struct relaxation *relaxation_new(struct spl_outing_bound *bound, int first, int last,
                                         gboolean edges)
{
    struct relaxation *r = g_new0(struct relaxation, 1);
    int chosen[6];

    r->bound = bound;
    r->first = first;
    r->last = last;
    r->edges = edges;
    r->mip = spl_mip_new();
    r->kinds = g_array_new(FALSE, FALSE, sizeof(struct kind));
    r->choices = g_array_new(FALSE, FALSE, sizeof(struct choice));
    find_kinds(r);
    for (int k = 0; k < (int)r->kinds->len; k++) {
        const struct kind *kind = &g_array_index(r->kinds, struct kind, k);
        const struct spl_outing_day *day = SPL_OUTING_DAY(bound->problem, kind->day);
        g_autoptr(GArray) sites = NULL;

        if (kind->fixed) {
            add_choice(r, k, (const int *)(void *)day->sites->data, (int)day->sites->len);
            continue;
        }
        sites = open_sites(bound, first, last, kind->day);
        extend_choice(r, k, sites, 0, chosen, 0);
    }
    add_takes(r);
    for (int k = 0; k < (int)r->kinds->len; k++)
        kind_rows(r, k);
    supply_rows(r);
    for (guint c = 0; c < bound->cuts->len; c++) {
        const struct cut *cut = &g_array_index(bound->cuts, struct cut, c);

        if (cut->first >= first && cut->last <= last)
            cut_rows(r, cut);
    }
    return r;
}

static void relaxation_free(struct relaxation *r)
{
    spl_mip_free(r->mip);
    g_array_unref(r->kinds);
    g_array_unref(r->choices);
    g_free(r->take);
    g_free(r);
}

/* ---- the work ------------------------------------------------------------------------------ */

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

struct spl_outing_bound *spl_outing_bound_new(const struct spl_outing_problem *problem,
                                              const GArray *short_g)
{
    struct spl_outing_bound *b = g_new0(struct spl_outing_bound, 1);
    g_autoptr(GArray) middles = g_array_new(FALSE, FALSE, sizeof(struct middle));

    b->problem = problem;
    b->cuts = g_array_new(FALSE, FALSE, sizeof(struct cut));
    b->rounds = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, g_free);
    b->need_kg = g_new0(double, problem->needs->len + 1);
    for (guint n = 0; n < problem->needs->len; n++)
        b->need_kg[n] = MAX(SPL_OUTING_NEED(problem, n)->grams -
                                (short_g == NULL ? 0 : g_array_index(short_g, double, n)) - CRUMB_G,
                            0) /
                        KG;
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
        if (n == 0 || need_of(b, m) <= 0)
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
        *least = MAX(*least, answer.bound - SAFE);
    else if (answer.state == SPL_MIP_INFEASIBLE)
        *least = cutoff;
    spl_mip_answer_clear(&answer);
    if (nodes <= 0 || *least >= cutoff - SAFE)
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
        *least = MAX(*least, MIN(answer.bound, cutoff) - SAFE);
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
        need.grams = b->need_kg[n] * KG;
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
        g_autoptr(GArray) sites = open_sites(b, first, last, d);
        double choose = 1;

        for (int k = 1; k <= b->problem->most_sites && k <= (int)sites->len; k++) {
            choose *= (double)((int)sites->len - k + 1) / k;
            total += choose;
        }
    }
    return total > MOST_PATTERNS;
}

/* Whether the two sub-seasons have no day in common. */
static gboolean apart(const struct spl_outing_bound *b, const struct cut *one,
                      const struct cut *other)
{
    for (int d = 0; d < (int)b->problem->days->len; d++) {
        gboolean in_one = FALSE, in_other = FALSE;

        for (int i = 0; i < (int)b->problem->sources->len; i++) {
            if (!useful(b, i, d))
                continue;
            in_one |= wanted(b, i, one->first, one->last);
            in_other |= wanted(b, i, other->first, other->last);
        }
        if (in_one && in_other)
            return FALSE;
    }
    return TRUE;
}

/* A season too large for one relaxation: sub-seasons without a common day add up. Takes the dearest
 * first, then whatever is apart from all taken. */
static gboolean add_up(struct spl_outing_bound *b)
{
    double best_cost = 0;
    int best_count = 0;

    for (guint start = 0; start < b->cuts->len; start++) {
        g_autoptr(GPtrArray) taken = g_ptr_array_new();
        const struct cut *next = &g_array_index(b->cuts, struct cut, start);
        double cost = 0, count = 0;

        while (next != NULL) {
            g_ptr_array_add(taken, (gpointer)next);
            cost += next->cost;
            count += next->count;
            next = NULL;
            for (guint c = 0; c < b->cuts->len; c++) {
                const struct cut *cut = &g_array_index(b->cuts, struct cut, c);
                gboolean free = next == NULL || cut->cost > next->cost;

                for (guint t = 0; t < taken->len && free; t++)
                    free = apart(b, cut, g_ptr_array_index(taken, t));
                if (free)
                    next = cut;
            }
        }
        best_cost = MAX(best_cost, cost);
        best_count = MAX(best_count, (int)count);
    }
    b->cost = MAX(b->cost, best_cost);
    b->count = MAX(b->count, best_count);
    return TRUE;
}

/* The number of outings as the cost. */
static void count_outings(const struct relaxation *r)
{
    for (guint c = 0; c < r->choices->len; c++) {
        const struct choice *choice = &g_array_index(r->choices, struct choice, c);

        g_array_index(r->mip->columns, struct spl_mip_column, choice->column).cost =
            choice->counts ? 1 : 0;
    }
}

static gboolean sub_season(struct spl_outing_bound *b, const struct spl_mip_solver *solver,
                           int first, int last, int nodes, double seconds, GError **error)
{
    struct relaxation *r;
    struct cut cut = {first, last, 0, 0};
    g_autofree double *costs = NULL;
    int count;
    double cost;
    gboolean good = TRUE;

    if (too_large(b, first, last))
        return TRUE;
    r = relaxation_new(b, first, last, FALSE);
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
            if (g_array_index(r->choices, struct choice, c).counts)
                spl_mip_put(r->mip, g_array_index(r->choices, struct choice, c).column, 1);
        }
        spl_mip_put(r->mip, column, -1);
        good = prove(b, solver, r->mip, cost, nodes, seconds / 2, &cut.cost, error);
    }
    relaxation_free(r);
    if (!good)
        return FALSE;
    g_array_append_val(b->cuts, cut);
    return TRUE;
}

/* The whole season with all that the sub-seasons have proven. */
static gboolean whole(struct spl_outing_bound *b, const struct spl_mip_solver *solver, double cost,
                      int nodes, double seconds, GError **error)
{
    struct relaxation *r;
    double least = 0;
    gboolean good;

    if (too_large(b, 0, b->n_order - 1))
        return add_up(b);
    r = relaxation_new(b, 0, b->n_order - 1, TRUE);
    good = prove(b, solver, r->mip, cost, nodes, seconds, &least, error);

    if (good)
        b->cost = MAX(b->cost, least);
    for (guint c = 0; c < r->mip->columns->len; c++)
        g_array_index(r->mip->columns, struct spl_mip_column, c).cost = 0;
    count_outings(r);
    good = good && prove(b, solver, r->mip, INFINITY, 0, seconds, &least, error);
    if (good)
        b->count = MAX(b->count, (int)ceil(least - 1e-4));
    relaxation_free(r);
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
