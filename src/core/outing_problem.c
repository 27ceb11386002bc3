/* SPDX-License-Identifier: MIT
 *
 * The arrays of the season plan's question and answer: building, checking, the arithmetic of a
 * round and of a day.
 */
#include "core/outing_problem.h"

#include <math.h>
#include <string.h>

#include "simpling/error.h"

#define EARTH_KM 6371.0088 /* mean radius, IUGG */
#define MOST_SITES 6

/* ---- building ------------------------------------------------------------------------------ */

static void clear_day(gpointer day)
{
    g_clear_pointer(&((struct spl_outing_day *)day)->sites, g_array_unref);
}

static void clear_site(gpointer data)
{
    struct spl_outing_site *site = data;

    g_free(site->name);
    g_free(site->who);
}

static void clear_store(gpointer store)
{
    g_free(((struct spl_outing_store *)store)->name);
}

static void clear_material(gpointer material)
{
    g_free(((struct spl_outing_material *)material)->name);
}

static void clear_need(gpointer need)
{
    g_free(((struct spl_outing_need *)need)->what_for);
}

static GArray *array_new(guint size, GDestroyNotify clear)
{
    GArray *array = g_array_new(FALSE, TRUE, size);

    if (clear != NULL)
        g_array_set_clear_func(array, clear);
    return array;
}

struct spl_outing_problem *spl_outing_problem_new(void)
{
    struct spl_outing_problem *problem = g_new0(struct spl_outing_problem, 1);

    problem->days = array_new(sizeof(struct spl_outing_day), clear_day);
    problem->sites = array_new(sizeof(struct spl_outing_site), clear_site);
    problem->stores = array_new(sizeof(struct spl_outing_store), clear_store);
    problem->materials = array_new(sizeof(struct spl_outing_material), clear_material);
    problem->sources = array_new(sizeof(struct spl_outing_source), NULL);
    problem->needs = array_new(sizeof(struct spl_outing_need), clear_need);
    problem->pickers = 1;
    problem->most_sites = 4;
    problem->outing_hours = 2;
    problem->edge_hours = 1;
    return problem;
}

void spl_outing_problem_free(struct spl_outing_problem *problem)
{
    if (problem == NULL)
        return;
    g_array_unref(problem->days);
    g_array_unref(problem->sites);
    g_array_unref(problem->stores);
    g_array_unref(problem->materials);
    g_array_unref(problem->sources);
    g_array_unref(problem->needs);
    g_free(problem->hours);
    g_free(problem->km);
    g_free(problem);
}

int spl_outing_add_day(struct spl_outing_problem *problem, struct spl_day day, double hours)
{
    struct spl_outing_day record = {.day = day, .hours = hours};

    g_array_append_val(problem->days, record);
    return (int)problem->days->len - 1;
}

int spl_outing_add_site(struct spl_outing_problem *problem, const char *name, double setup_hours)
{
    struct spl_outing_site record = {.name = g_strdup(name), .setup_hours = setup_hours};

    g_array_append_val(problem->sites, record);
    return (int)problem->sites->len - 1;
}

int spl_outing_add_store(struct spl_outing_problem *problem, const char *name, double capacity_g,
                         int hold_days)
{
    struct spl_outing_store record = {g_strdup(name), capacity_g, hold_days};

    g_array_append_val(problem->stores, record);
    return (int)problem->stores->len - 1;
}

int spl_outing_add_material(struct spl_outing_problem *problem, const char *name,
                            double pick_g_per_h, double process_g_per_h)
{
    struct spl_outing_material record = {.name = g_strdup(name),
                                         .pick_g_per_h = pick_g_per_h,
                                         .process_g_per_h = process_g_per_h,
                                         .store = -1};

    g_array_append_val(problem->materials, record);
    return (int)problem->materials->len - 1;
}

int spl_outing_add_source(struct spl_outing_problem *problem, int site, int material,
                          double allowance_g, struct spl_day earliest, struct spl_day likely_start,
                          struct spl_day likely_end, struct spl_day latest)
{
    struct spl_outing_source record = {.site = site,
                                       .material = material,
                                       .stand = (int)problem->sources->len,
                                       .allowance_g = allowance_g,
                                       .earliest = earliest,
                                       .likely_start = likely_start,
                                       .likely_end = likely_end,
                                       .latest = latest,
                                       .barred_until = SPL_DAY_NONE};

    g_array_append_val(problem->sources, record);
    return (int)problem->sources->len - 1;
}

int spl_outing_add_need(struct spl_outing_problem *problem, int material, double grams,
                        struct spl_day by, const char *what_for)
{
    struct spl_outing_need record = {material, grams, by, g_strdup(what_for)};

    g_array_append_val(problem->needs, record);
    return (int)problem->needs->len - 1;
}

static double great_circle_km(double lat1, double lon1, double lat2, double lon2)
{
    double rad = G_PI / 180;
    double a = sin((lat2 - lat1) * rad / 2), b = sin((lon2 - lon1) * rad / 2);
    double h = a * a + cos(lat1 * rad) * cos(lat2 * rad) * b * b;

    return 2 * EARTH_KM * asin(sqrt(CLAMP(h, 0, 1)));
}

void spl_outing_set_travel(struct spl_outing_problem *problem, const double *lat, const double *lon,
                           double detour, double km_per_h)
{
    guint n = problem->sites->len + 1;

    g_free(problem->km);
    g_free(problem->hours);
    problem->km = g_new0(double, n *n);
    problem->hours = g_new0(double, n *n);
    for (guint i = 0; i < n; i++) {
        for (guint j = 0; j < n; j++) {
            problem->km[i * n + j] =
                i == j ? 0 : detour * great_circle_km(lat[i], lon[i], lat[j], lon[j]);
            problem->hours[i * n + j] = problem->km[i * n + j] / km_per_h;
        }
    }
}

void spl_outing_fix_day(struct spl_outing_problem *problem, int day, const int *sites, int n)
{
    struct spl_outing_day *record = SPL_OUTING_DAY(problem, day);

    record->fixed = TRUE;
    g_clear_pointer(&record->sites, g_array_unref);
    record->sites = g_array_new(FALSE, FALSE, sizeof(int));
    g_array_append_vals(record->sites, sites, (guint)n);
}

/* ---- arithmetic ---------------------------------------------------------------------------- */

struct round_search {
    const struct spl_outing_problem *problem;
    const int *sites;
    int n;
    int order[MOST_SITES], best_order[MOST_SITES];
    double best;
};

/* All orders with the first leg fixed so far, left when already longer than the best. */
static void round_extend(struct round_search *search, int placed, unsigned used, int at,
                         double hours)
{
    const struct spl_outing_problem *problem = search->problem;
    guint width = problem->sites->len + 1;

    if (hours >= search->best)
        return;
    if (placed == search->n) {
        hours += problem->hours[(guint)at * width + width - 1];
        if (hours < search->best) {
            search->best = hours;
            memcpy(search->best_order, search->order, sizeof search->order);
        }
        return;
    }
    for (int i = 0; i < search->n; i++) {
        if ((used >> i) & 1)
            continue;
        search->order[placed] = search->sites[i];
        round_extend(search, placed + 1, used | 1u << i, search->sites[i],
                     hours + problem->hours[(guint)at * width + (guint)search->sites[i]]);
    }
}

double spl_outing_round(const struct spl_outing_problem *problem, const int *sites, int n,
                        int *order, double *km)
{
    struct round_search search = {.problem = problem, .sites = sites, .n = n, .best = INFINITY};
    guint width = problem->sites->len + 1, at = width - 1;
    double hours, length = 0;

    if (km != NULL)
        *km = 0;
    if (n == 0)
        return 0;
    g_assert(n <= MOST_SITES);
    round_extend(&search, 0, 0, (int)width - 1, 0);
    hours = search.best;
    for (int i = 0; i < n; i++) {
        guint to = (guint)search.best_order[i];

        length += problem->km[at * width + to];
        at = to;
        hours += SPL_OUTING_SITE(problem, sites[i])->setup_hours;
    }
    length += problem->km[at * width + width - 1];
    if (order != NULL)
        memcpy(order, search.best_order, (gsize)n * sizeof *order);
    if (km != NULL)
        *km = length;
    return hours;
}

gboolean spl_outing_source_open(const struct spl_outing_problem *problem, int source, int day)
{
    const struct spl_outing_source *s = SPL_OUTING_SOURCE(problem, source);
    struct spl_day d = SPL_OUTING_DAY(problem, day)->day;

    return s->allowance_g > 0 && d.n >= s->earliest.n && d.n <= s->latest.n &&
           (!spl_day_is_set(s->barred_until) || d.n >= s->barred_until.n);
}

double spl_outing_edge(const struct spl_outing_source *source, struct spl_day day)
{
    if (day.n < source->likely_start.n)
        return (double)(source->likely_start.n - day.n) /
               (double)(source->likely_start.n - source->earliest.n);
    if (day.n > source->likely_end.n)
        return (double)(day.n - source->likely_end.n) /
               (double)(source->latest.n - source->likely_end.n);
    return 0;
}

double spl_outing_hours_per_g(const struct spl_outing_problem *problem, int material)
{
    const struct spl_outing_material *m = SPL_OUTING_MATERIAL(problem, material);

    return (1 / m->pick_g_per_h + 1 / m->process_g_per_h) / problem->pickers;
}

/* ---- checking ------------------------------------------------------------------------------ */

static gboolean refuse(GError **error, const char *format, ...) G_GNUC_PRINTF(2, 3);
static gboolean refuse(GError **error, const char *format, ...)
{
    va_list list;

    va_start(list, format);
    if (error != NULL)
        *error = g_error_new_valist(SPL_ERROR, SPL_ERROR_INVALID, format, list);
    va_end(list);
    return FALSE;
}

static gboolean check_days(const struct spl_outing_problem *problem, GError **error)
{
    char text[SPL_DAY_TEXT_SIZE];

    if (problem->days->len == 0)
        return refuse(error, "no day is left to go out: allow more days of the week, fewer days "
                             "off, or free some of the busy times");
    for (guint d = 0; d < problem->days->len; d++) {
        const struct spl_outing_day *day = SPL_OUTING_DAY(problem, d);

        spl_day_format(day->day, text);
        if (!spl_day_is_set(day->day) || !isfinite(day->hours))
            return refuse(error, "day %u of the plan has no date or no hours", d + 1);
        if (day->hours < 0)
            return refuse(error, "%s has %g hours: give the hours of an outing as more than 0",
                          text, day->hours);
        if (d > 0 && day->day.n <= SPL_OUTING_DAY(problem, d - 1)->day.n)
            return refuse(error, "%s is listed twice or out of order", text);
    }
    return TRUE;
}

static gboolean check_material(const struct spl_outing_problem *problem, int m, GError **error)
{
    const struct spl_outing_material *material = SPL_OUTING_MATERIAL(problem, m);

    if (!(material->pick_g_per_h > 0) || !(material->process_g_per_h > 0))
        return refuse(error, "%s has no picking or processing rate above 0 g an hour",
                      material->name);
    if (material->store >= (int)problem->stores->len || material->every_days < 0)
        return refuse(error, "%s names a rack that is not there or a negative picking interval",
                      material->name);
    return TRUE;
}

static gboolean check_sources(const struct spl_outing_problem *problem, GError **error)
{
    double total = 0;

    for (guint i = 0; i < problem->sources->len; i++) {
        const struct spl_outing_source *s = SPL_OUTING_SOURCE(problem, i);
        const char *site, *material;

        if (s->site < 0 || s->site >= (int)problem->sites->len || s->material < 0 ||
            s->material >= (int)problem->materials->len || s->stand < 0 ||
            s->stand >= (int)problem->sources->len)
            return refuse(error, "stand %u belongs to no site or material", i + 1);
        site = SPL_OUTING_SITE(problem, s->site)->name;
        material = SPL_OUTING_MATERIAL(problem, s->material)->name;
        if (!isfinite(s->allowance_g) || s->allowance_g < 0)
            return refuse(error, "%s at %s may give %g g: give an allowance of 0 g or more",
                          material, site, s->allowance_g);
        if (!spl_day_is_set(s->earliest) || !spl_day_is_set(s->likely_start) ||
            !spl_day_is_set(s->likely_end) || !spl_day_is_set(s->latest) ||
            s->earliest.n > s->likely_start.n || s->likely_start.n > s->likely_end.n ||
            s->likely_end.n > s->latest.n)
            return refuse(error,
                          "the window of %s at %s is not in order: it needs earliest, "
                          "likely start, likely end and latest",
                          material, site);
        total += s->allowance_g;
    }
    if (total <= 0)
        return refuse(error, "no stand can spare anything in this season: note what your sites "
                             "bear with stand set, or end a rest");
    return TRUE;
}

static gboolean check_needs(const struct spl_outing_problem *problem, GError **error)
{
    if (problem->needs->len == 0)
        return refuse(error, "nothing is planned that still needs gathering: plan a batch with "
                             "plan add");
    for (guint i = 0; i < problem->needs->len; i++) {
        const struct spl_outing_need *need = SPL_OUTING_NEED(problem, i);

        if (need->material < 0 || need->material >= (int)problem->materials->len)
            return refuse(error, "need %u is for no known material", i + 1);
        if (!isfinite(need->grams) || need->grams <= 0)
            return refuse(error, "%s is needed by %g g: a need is more than 0 g",
                          SPL_OUTING_MATERIAL(problem, need->material)->name, need->grams);
    }
    return TRUE;
}

/* Shorter ways round (Floyd and Warshall), so that a visit left out never makes a round longer. */
static void make_metric(double *matrix, guint n)
{
    for (guint k = 0; k < n; k++)
        for (guint i = 0; i < n; i++)
            for (guint j = 0; j < n; j++)
                matrix[i * n + j] = MIN(matrix[i * n + j], matrix[i * n + k] + matrix[k * n + j]);
}

static gboolean check_travel(struct spl_outing_problem *problem, GError **error)
{
    guint n = problem->sites->len + 1;

    if (problem->hours == NULL || problem->km == NULL)
        return refuse(error, "the plan has no travel times: give --home LAT,LON");
    for (guint i = 0; i < n * n; i++) {
        if (!isfinite(problem->hours[i]) || problem->hours[i] < 0 || !isfinite(problem->km[i]) ||
            problem->km[i] < 0)
            return refuse(error, "a travel time or distance is negative or not a number");
    }
    make_metric(problem->hours, n);
    make_metric(problem->km, n);
    return TRUE;
}

static gboolean check_fixed(const struct spl_outing_problem *problem, GError **error)
{
    char text[SPL_DAY_TEXT_SIZE];

    for (guint d = 0; d < problem->days->len; d++) {
        const struct spl_outing_day *day = SPL_OUTING_DAY(problem, d);
        double hours;

        if (!day->fixed)
            continue;
        spl_day_format(day->day, text);
        if (day->sites == NULL || day->sites->len == 0)
            return refuse(error, "the kept outing on %s names no site", text);
        if ((int)day->sites->len > problem->most_sites)
            return refuse(error,
                          "the kept outing on %s visits %u sites, more than the %d allowed in one "
                          "outing: split it or allow more",
                          text, day->sites->len, problem->most_sites);
        for (guint i = 0; i < day->sites->len; i++) {
            int site = g_array_index(day->sites, int, i);

            if (site < 0 || site >= (int)problem->sites->len)
                return refuse(error, "the kept outing on %s visits no known site", text);
            for (guint j = 0; j < i; j++) {
                if (g_array_index(day->sites, int, j) == site)
                    return refuse(error, "the kept outing on %s visits %s twice", text,
                                  SPL_OUTING_SITE(problem, site)->name);
            }
        }
        hours = spl_outing_round(problem, (const int *)(void *)day->sites->data,
                                 (int)day->sites->len, NULL, NULL);
        if (hours > day->hours)
            return refuse(error,
                          "the kept outing on %s cannot be: its round alone takes %.1f h and the "
                          "day has %.1f h; drop a site, free the day or give more --hours",
                          text, hours, day->hours);
    }
    return TRUE;
}

gboolean spl_outing_problem_check(struct spl_outing_problem *problem, GError **error)
{
    if (problem->pickers < 1)
        return refuse(error, "%d pickers cannot pick: give --pickers 1 or more", problem->pickers);
    if (problem->most_sites < 1 || problem->most_sites > MOST_SITES)
        return refuse(error, "an outing visits 1 to %d sites, not %d", MOST_SITES,
                      problem->most_sites);
    if (!isfinite(problem->outing_hours) || problem->outing_hours < 0 ||
        !isfinite(problem->edge_hours) || problem->edge_hours < 0)
        return refuse(error, "the worth of an outing in hours is negative or not a number");
    if (problem->sites->len == 0)
        return refuse(error, "there is no site to go to: add one with site add");
    if (problem->sources->len == 0)
        return refuse(error, "no stand bears anything that is planned: note what your sites bear "
                             "with stand set");
    for (guint i = 0; i < problem->sites->len; i++) {
        const struct spl_outing_site *site = SPL_OUTING_SITE(problem, i);

        if (!isfinite(site->setup_hours) || site->setup_hours < 0)
            return refuse(error, "%s takes %g hours to arrive at: 0 or more are possible",
                          site->name, site->setup_hours);
    }
    for (guint i = 0; i < problem->stores->len; i++) {
        const struct spl_outing_store *store = SPL_OUTING_STORE(problem, i);

        if (!(store->capacity_g >= 0) || store->hold_days < 1)
            return refuse(error, "%s holds %g g for %d days: give 0 g or more and 1 day or more",
                          store->name, store->capacity_g, store->hold_days);
    }
    for (guint i = 0; i < problem->materials->len; i++) {
        if (!check_material(problem, (int)i, error))
            return FALSE;
    }
    return check_needs(problem, error) && check_days(problem, error) &&
           check_sources(problem, error) && check_travel(problem, error) &&
           check_fixed(problem, error);
}
