/* SPDX-License-Identifier: MIT
 *
 * Sub-seasons with interchangeable days as mixed-integer problems. See core/outing_relax.h.
 */
#include "core/outing_relax.h"

#include <math.h>
#include <string.h>

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

gboolean spl_outing_relax_wanted(const struct spl_outing_bound *b, int source, int first, int last)
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

gboolean spl_outing_relax_useful(const struct spl_outing_bound *b, int source, int day)
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
static gboolean offers_no_more(const struct spl_outing_relax *r, int day, int than)
{
    const struct spl_outing_bound *b = r->bound;

    if (SPL_OUTING_DAY(b->problem, day)->hours > SPL_OUTING_DAY(b->problem, than)->hours)
        return FALSE;
    for (int i = 0; i < (int)b->problem->sources->len; i++) {
        if (!spl_outing_relax_wanted(b, i, r->first, r->last) ||
            !spl_outing_relax_useful(b, i, day))
            continue;
        if (!spl_outing_relax_useful(b, i, than))
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

static void find_kinds(struct spl_outing_relax *r)
{
    const struct spl_outing_problem *problem = r->bound->problem;
    int n_days = (int)problem->days->len;

    for (int d = 0; d < n_days; d++) {
        struct spl_outing_kind kind = {d, 1, SPL_OUTING_DAY(problem, d)->fixed};
        gboolean any = kind.fixed, merged = FALSE;

        for (int i = 0; i < (int)problem->sources->len && !any; i++)
            any = spl_outing_relax_wanted(r->bound, i, r->first, r->last) &&
                  spl_outing_relax_useful(r->bound, i, d);
        if (!any)
            continue;
        for (guint k = 0; k < r->kinds->len && !merged && !kind.fixed; k++) {
            struct spl_outing_kind *other = &g_array_index(r->kinds, struct spl_outing_kind, k);

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
            struct spl_outing_kind *keep = &g_array_index(r->kinds, struct spl_outing_kind, k);
            struct spl_outing_kind *drop = &g_array_index(r->kinds, struct spl_outing_kind, j);

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

GArray *spl_outing_relax_sites(const struct spl_outing_bound *b, int first, int last, int day)
{
    GArray *sites = g_array_new(FALSE, FALSE, sizeof(int));

    for (int s = 0; s < (int)b->problem->sites->len; s++) {
        for (int i = 0; i < (int)b->problem->sources->len; i++) {
            if (SPL_OUTING_SOURCE(b->problem, i)->site == s &&
                spl_outing_relax_wanted(b, i, first, last) && spl_outing_relax_useful(b, i, day)) {
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
    g_autoptr(GArray) open = spl_outing_relax_sites(b, first, last, day);
    int n_useful = 0;

    for (int i = 0; i < n; i++) {
        for (guint k = 0; k < open->len; k++) {
            if (g_array_index(open, int, k) == sites[i])
                useful_sites[n_useful++] = sites[i];
        }
    }
    return n_useful;
}

static void add_choice(struct spl_outing_relax *r, int k, const int *sites, int n)
{
    const struct spl_outing_kind *kind = &g_array_index(r->kinds, struct spl_outing_kind, k);
    struct spl_outing_choice choice = {.kind = k, .n = n};
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

static void extend_choice(struct spl_outing_relax *r, int k, const GArray *sites, int from,
                          int *chosen, int n)
{
    for (int i = from; n < r->bound->problem->most_sites && i < (int)sites->len; i++) {
        chosen[n] = g_array_index(sites, int, i);
        add_choice(r, k, chosen, n + 1);
        extend_choice(r, k, sites, i + 1, chosen, n + 1);
    }
}

static gboolean stops_at(const struct spl_outing_choice *choice, int site)
{
    for (int i = 0; i < choice->n; i++) {
        if (choice->sites[i] == site)
            return TRUE;
    }
    return FALSE;
}

static double least_edge(const struct spl_outing_relax *r, int k, int source)
{
    const struct spl_outing_problem *problem = r->bound->problem;
    double least = 1;

    /* Over all days that might be counted with this kind: those that offer no more. */
    for (int d = 0; d < (int)problem->days->len; d++) {
        if (spl_outing_relax_useful(r->bound, source, d) &&
            (d == g_array_index(r->kinds, struct spl_outing_kind, k).day ||
             offers_no_more(r, d, g_array_index(r->kinds, struct spl_outing_kind, k).day)))
            least = MIN(least, spl_outing_edge(SPL_OUTING_SOURCE(problem, source),
                                               SPL_OUTING_DAY(problem, d)->day));
    }
    return least;
}

double spl_outing_relax_need(const struct spl_outing_bound *b, int material)
{
    double kg = 0;

    for (guint n = 0; n < b->problem->needs->len; n++) {
        if (SPL_OUTING_NEED(b->problem, n)->material == material)
            kg += b->need_kg[n];
    }
    return kg;
}

static void add_takes(struct spl_outing_relax *r)
{
    const struct spl_outing_problem *problem = r->bound->problem;
    int n_sources = (int)problem->sources->len;

    r->take = g_new(int, (gsize)r->kinds->len *(gsize)n_sources + 1);
    for (int k = 0; k < (int)r->kinds->len; k++) {
        for (int i = 0; i < n_sources; i++) {
            const struct spl_outing_source *source = SPL_OUTING_SOURCE(problem, i);
            double cost = 0, whole = 0;

            r->take[k * n_sources + i] = -1;
            if (!spl_outing_relax_wanted(r->bound, i, r->first, r->last) ||
                !spl_outing_relax_useful(r->bound, i,
                                         g_array_index(r->kinds, struct spl_outing_kind, k).day))
                continue;
            for (guint n = 0; n < problem->needs->len; n++) {
                if (SPL_OUTING_NEED(problem, n)->material == source->material)
                    whole += SPL_OUTING_NEED(problem, n)->grams / SPL_OUTING_KG;
            }
            if (r->edges)
                cost = problem->edge_hours * least_edge(r, k, i) / whole;
            r->take[k * n_sources + i] =
                spl_mip_add_column(r->mip, g_strdup_printf("x%d_%d", k, i), 0,
                                   MIN(source->allowance_g / SPL_OUTING_KG,
                                       spl_outing_relax_need(r->bound, source->material)),
                                   cost, FALSE);
        }
    }
}

static void kind_rows(struct spl_outing_relax *r, int k)
{
    const struct spl_outing_problem *problem = r->bound->problem;
    const struct spl_outing_kind *kind = &g_array_index(r->kinds, struct spl_outing_kind, k);
    int n_sources = (int)problem->sources->len;
    double day_hours = SPL_OUTING_DAY(problem, kind->day)->hours;

    spl_mip_add_row(r->mip, g_strdup_printf("d%d", k), -INFINITY, kind->days);
    for (guint c = 0; c < r->choices->len; c++) {
        if (g_array_index(r->choices, struct spl_outing_choice, c).kind == k)
            spl_mip_put(r->mip, g_array_index(r->choices, struct spl_outing_choice, c).column, 1);
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
                            SPL_OUTING_KG * spl_outing_hours_per_g(problem, source->material));
        }
        for (guint c = 0; c < r->choices->len; c++) {
            const struct spl_outing_choice *choice =
                &g_array_index(r->choices, struct spl_outing_choice, c);

            if (choice->kind == k && (site < 0 || stops_at(choice, site)))
                spl_mip_put(r->mip, choice->column, -MAX(day_hours - choice->hours, 0));
        }
    }
    for (int i = 0; i < n_sources; i++) {
        const struct spl_outing_source *source = SPL_OUTING_SOURCE(problem, i);
        double per_kg = SPL_OUTING_KG * spl_outing_hours_per_g(problem, source->material);
        double most = MIN(source->allowance_g / SPL_OUTING_KG,
                          spl_outing_relax_need(r->bound, source->material));

        if (r->take[k * n_sources + i] < 0)
            continue;
        spl_mip_add_row(r->mip, g_strdup_printf("l%d_%d", k, i), -INFINITY, 0);
        spl_mip_put(r->mip, r->take[k * n_sources + i], 1);
        for (guint c = 0; c < r->choices->len; c++) {
            const struct spl_outing_choice *choice =
                &g_array_index(r->choices, struct spl_outing_choice, c);

            if (choice->kind == k && stops_at(choice, source->site))
                spl_mip_put(r->mip, choice->column,
                            -MIN(most, MAX(day_hours - choice->hours, 0) / per_kg));
        }
    }
}

static void supply_rows(struct spl_outing_relax *r)
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
                            SPL_OUTING_KG / SPL_OUTING_SOURCE(problem, i)->allowance_g);
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
        spl_mip_add_row(r->mip, g_strdup_printf("m%u", n), due - SPL_OUTING_SAFE, INFINITY);
        for (int k = 0; k < (int)r->kinds->len; k++) {
            for (int i = 0; i < n_sources; i++) {
                if (SPL_OUTING_SOURCE(problem, i)->material == need->material &&
                    r->take[k * n_sources + i] >= 0 &&
                    in_time(r->bound, (int)n,
                            g_array_index(r->kinds, struct spl_outing_kind, k).day))
                    spl_mip_put(r->mip, r->take[k * n_sources + i], 1);
            }
        }
    }
}

/* What a sub-season needs at least, in the choices of this larger one: an outing counts with the
 * stops that are of use to the sub-season. */
static void cut_rows(struct spl_outing_relax *r, const struct spl_outing_cut *cut)
{
    g_autoptr(GArray) count = g_array_new(FALSE, FALSE, sizeof(int));
    g_autoptr(GArray) cost = g_array_new(FALSE, FALSE, sizeof(struct spl_mip_entry));
    int kind = -1;
    GArray *open = NULL;

    for (guint c = 0; c < r->choices->len; c++) {
        const struct spl_outing_choice *choice =
            &g_array_index(r->choices, struct spl_outing_choice, c);
        int useful_sites[6], n = 0;
        struct spl_mip_entry entry = {.column = choice->column};

        if (choice->kind != kind) {
            g_clear_pointer(&open, g_array_unref);
            kind = choice->kind;
            open =
                spl_outing_relax_sites(r->bound, cut->first, cut->last,
                                       g_array_index(r->kinds, struct spl_outing_kind, kind).day);
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
    if (cut->cost > SPL_OUTING_SAFE) {
        spl_mip_add_row(r->mip, g_strdup_printf("c%u", r->mip->rows->len), cut->cost, INFINITY);
        for (guint k = 0; k < cost->len; k++) {
            struct spl_mip_entry entry = g_array_index(cost, struct spl_mip_entry, k);

            spl_mip_put(r->mip, entry.column, entry.value);
        }
    }
}

struct spl_outing_relax *spl_outing_relax_new(struct spl_outing_bound *bound, int first, int last,
                                              gboolean edges)
{
    struct spl_outing_relax *r = g_new0(struct spl_outing_relax, 1);
    int chosen[6];

    r->bound = bound;
    r->first = first;
    r->last = last;
    r->edges = edges;
    r->mip = spl_mip_new();
    r->kinds = g_array_new(FALSE, FALSE, sizeof(struct spl_outing_kind));
    r->choices = g_array_new(FALSE, FALSE, sizeof(struct spl_outing_choice));
    find_kinds(r);
    for (int k = 0; k < (int)r->kinds->len; k++) {
        const struct spl_outing_kind *kind = &g_array_index(r->kinds, struct spl_outing_kind, k);
        const struct spl_outing_day *day = SPL_OUTING_DAY(bound->problem, kind->day);
        g_autoptr(GArray) sites = NULL;

        if (kind->fixed) {
            add_choice(r, k, (const int *)(void *)day->sites->data, (int)day->sites->len);
            continue;
        }
        sites = spl_outing_relax_sites(bound, first, last, kind->day);
        extend_choice(r, k, sites, 0, chosen, 0);
    }
    add_takes(r);
    for (int k = 0; k < (int)r->kinds->len; k++)
        kind_rows(r, k);
    supply_rows(r);
    for (guint c = 0; c < bound->cuts->len; c++) {
        const struct spl_outing_cut *cut = &g_array_index(bound->cuts, struct spl_outing_cut, c);

        if (cut->first >= first && cut->last <= last)
            cut_rows(r, cut);
    }
    return r;
}

void spl_outing_relax_free(struct spl_outing_relax *r)
{
    spl_mip_free(r->mip);
    g_array_unref(r->kinds);
    g_array_unref(r->choices);
    g_free(r->take);
    g_free(r);
}
