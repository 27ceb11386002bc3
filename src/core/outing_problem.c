/* SPDX-License-Identifier: MIT
 *
 * The arrays of the season plan's question and answer: building, checking, the arithmetic of a
 * round and of a day.
 */
#include "core/outing_problem.h"

#include <math.h>
#include <string.h>

#include "core/shortfall.h"
#include "simpling/error.h"

#define EARTH_KM 6371.0088 /* mean radius, IUGG */
#define MOST_SITES 6

/* ---- building ------------------------------------------------------------------------------ */

static void clear_day(gpointer data)
{
    struct spl_outing_day *day = data;

    g_clear_pointer(&day->sites, g_array_unref);
    g_clear_pointer(&day->takes, g_array_unref);
}

static void clear_site(gpointer site)
{
    g_free(((struct spl_outing_site *)site)->name);
}

static void clear_source(gpointer source)
{
    g_clear_pointer(&((struct spl_outing_source *)source)->asks, g_array_unref);
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
    problem->sources = array_new(sizeof(struct spl_outing_source), clear_source);
    problem->needs = array_new(sizeof(struct spl_outing_need), clear_need);
    problem->pickers = 1;
    problem->most_sites = 4;
    problem->outing_hours = 2;
    problem->edge_hours = 1;
    problem->spoil_hours = 4;
    problem->ask_hours = 0.5;
    problem->caution_hours = 0.5;
    problem->open_hours = 6;
    problem->batch_hours = 12;
    problem->enough_frac = SPL_SHORTFALL_ENOUGH_FRAC;
    problem->floor_g = 15;
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

static GArray *array_copy(const GArray *from, GDestroyNotify clear)
{
    GArray *copy = array_new(g_array_get_element_size((GArray *)from), clear);

    g_array_append_vals(copy, from->data, from->len);
    return copy;
}

struct spl_outing_problem *spl_outing_problem_copy(const struct spl_outing_problem *problem)
{
    struct spl_outing_problem *copy = g_memdup2(problem, sizeof *problem);
    gsize cells = ((gsize)problem->sites->len + 1) * (problem->sites->len + 1) * sizeof(double);

    copy->days = array_copy(problem->days, clear_day);
    copy->sites = array_copy(problem->sites, clear_site);
    copy->stores = array_copy(problem->stores, clear_store);
    copy->materials = array_copy(problem->materials, clear_material);
    copy->sources = array_copy(problem->sources, clear_source);
    copy->needs = array_copy(problem->needs, clear_need);
    copy->hours = problem->hours != NULL ? g_memdup2(problem->hours, cells) : NULL;
    copy->km = problem->km != NULL ? g_memdup2(problem->km, cells) : NULL;
    for (guint d = 0; d < copy->days->len; d++) {
        struct spl_outing_day *day = SPL_OUTING_DAY(copy, d);

        day->sites = day->sites != NULL ? g_array_copy(day->sites) : NULL;
        day->takes = day->takes != NULL ? g_array_copy(day->takes) : NULL;
    }
    for (guint i = 0; i < copy->sites->len; i++)
        SPL_OUTING_SITE(copy, i)->name = g_strdup(SPL_OUTING_SITE(copy, i)->name);
    for (guint i = 0; i < copy->stores->len; i++)
        SPL_OUTING_STORE(copy, i)->name = g_strdup(SPL_OUTING_STORE(copy, i)->name);
    for (guint i = 0; i < copy->materials->len; i++)
        SPL_OUTING_MATERIAL(copy, i)->name = g_strdup(SPL_OUTING_MATERIAL(copy, i)->name);
    for (guint i = 0; i < copy->sources->len; i++) {
        struct spl_outing_source *source = SPL_OUTING_SOURCE(copy, i);

        source->asks = source->asks != NULL ? g_array_ref(source->asks) : NULL;
    }
    for (guint i = 0; i < copy->needs->len; i++)
        SPL_OUTING_NEED(copy, i)->what_for = g_strdup(SPL_OUTING_NEED(copy, i)->what_for);
    return copy;
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
    struct spl_outing_need record = {material, grams, by, g_strdup(what_for),
                                     (int)problem->needs->len};

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

void spl_outing_fix_take(struct spl_outing_problem *problem, int day, int source, double grams)
{
    struct spl_outing_day *record = SPL_OUTING_DAY(problem, day);
    struct spl_outing_take take = {source, grams};

    if (record->takes == NULL)
        record->takes = g_array_new(FALSE, FALSE, sizeof take);
    g_array_append_val(record->takes, take);
}

void spl_outing_set_asks(struct spl_outing_problem *problem, int source, struct spl_day day,
                         guint asks)
{
    struct spl_outing_source *record = SPL_OUTING_SOURCE(problem, source);
    int at = day.n - record->earliest.n;

    g_assert(at >= 0 && day.n <= record->latest.n);
    if (record->asks == NULL) {
        record->asks = g_array_new(FALSE, TRUE, sizeof(guint8));
        g_array_set_size(record->asks, (guint)(record->latest.n - record->earliest.n + 1));
    }
    g_array_index(record->asks, guint8, at) = (guint8)MIN(asks, SPL_OUTING_CLOSED);
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

    return s->allowance_g > 0 && spl_outing_source_asks(s, d) != SPL_OUTING_CLOSED &&
           (!spl_day_is_set(s->barred_until) || d.n >= s->barred_until.n);
}

guint spl_outing_source_asks(const struct spl_outing_source *source, struct spl_day day)
{
    if (day.n < source->earliest.n || day.n > source->latest.n)
        return SPL_OUTING_CLOSED;
    return source->asks == NULL ? 0
                                : g_array_index(source->asks, guint8, day.n - source->earliest.n);
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

struct spl_outing_weight spl_outing_weigh(const struct spl_outing_problem *problem, int source,
                                          struct spl_day day)
{
    const struct spl_outing_source *s = SPL_OUTING_SOURCE(problem, source);
    gboolean late = s->spoils && day.n > s->likely_end.n;

    return (struct spl_outing_weight){.edge = (late ? problem->spoil_hours : problem->edge_hours) *
                                              spl_outing_edge(s, day),
                                      .ask = problem->ask_hours * spl_outing_source_asks(s, day),
                                      .caution = s->caution ? problem->caution_hours : 0};
}

double spl_outing_take_hours(const struct spl_outing_problem *problem, int source, int day)
{
    struct spl_outing_weight weight =
        spl_outing_weigh(problem, source, SPL_OUTING_DAY(problem, day)->day);

    return weight.edge + weight.ask + weight.caution;
}

double spl_outing_whole_need(const struct spl_outing_problem *problem, int material)
{
    double grams = 0;

    for (guint n = 0; n < problem->needs->len; n++) {
        if (SPL_OUTING_NEED(problem, n)->material == material)
            grams += SPL_OUTING_NEED(problem, n)->grams;
    }
    return grams;
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
                             "bear, or end a rest");
    return TRUE;
}

static gboolean check_needs(const struct spl_outing_problem *problem, GError **error)
{
    if (problem->needs->len == 0)
        return refuse(error, "nothing is planned that still needs gathering: plan a batch "
                             "first");
    for (guint i = 0; i < problem->needs->len; i++) {
        const struct spl_outing_need *need = SPL_OUTING_NEED(problem, i);

        if (need->material < 0 || need->material >= (int)problem->materials->len)
            return refuse(error, "need %u is for no known material", i + 1);
        if (!isfinite(need->grams) || need->grams <= 0)
            return refuse(error, "%s is needed by %g g: a need is more than 0 g",
                          SPL_OUTING_MATERIAL(problem, need->material)->name, need->grams);
        if (need->batch < 0 || need->batch >= (int)problem->needs->len)
            return refuse(error, "need %u is of no known batch", i + 1);
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
        return refuse(error, "the plan has no travel times: say where home is");
    for (guint i = 0; i < n * n; i++) {
        if (!isfinite(problem->hours[i]) || problem->hours[i] < 0 || !isfinite(problem->km[i]) ||
            problem->km[i] < 0)
            return refuse(error, "a travel time or distance is negative or not a number");
    }
    make_metric(problem->hours, n);
    make_metric(problem->km, n);
    return TRUE;
}

/* What a fixed day takes can be had there then; its hours are added. */
static gboolean check_fixed_takes(const struct spl_outing_problem *problem, int d, const char *date,
                                  double *hours, GError **error)
{
    const struct spl_outing_day *day = SPL_OUTING_DAY(problem, d);

    for (guint t = 0; day->takes != NULL && t < day->takes->len; t++) {
        const struct spl_outing_take *take = &g_array_index(day->takes, struct spl_outing_take, t);
        gboolean there = FALSE;

        if (take->source < 0 || take->source >= (int)problem->sources->len ||
            !isfinite(take->grams) || take->grams < 0)
            return refuse(error, "the kept outing on %s takes what no stand bears", date);
        for (guint i = 0; i < day->sites->len; i++)
            there |=
                g_array_index(day->sites, int, i) == SPL_OUTING_SOURCE(problem, take->source)->site;
        if (!there || !spl_outing_source_open(problem, take->source, d))
            return refuse(
                error, "the kept outing on %s cannot take %s at %s then", date,
                SPL_OUTING_MATERIAL(problem, SPL_OUTING_SOURCE(problem, take->source)->material)
                    ->name,
                SPL_OUTING_SITE(problem, SPL_OUTING_SOURCE(problem, take->source)->site)->name);
        *hours += take->grams * spl_outing_hours_per_g(
                                    problem, SPL_OUTING_SOURCE(problem, take->source)->material);
    }
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
        if (!check_fixed_takes(problem, (int)d, text, &hours, error))
            return FALSE;
        if (hours > day->hours)
            return refuse(error,
                          "the kept outing on %s cannot be: %s %.1f h and the day has %.1f h; take "
                          "less, drop a site, free the day or give it more hours",
                          text,
                          day->takes != NULL ? "with what is to be taken it lasts"
                                             : "its round alone takes",
                          hours, day->hours);
    }
    return TRUE;
}

static gboolean check_weights(const struct spl_outing_problem *problem)
{
    const double weights[] = {problem->outing_hours, problem->edge_hours,    problem->spoil_hours,
                              problem->ask_hours,    problem->caution_hours, problem->open_hours,
                              problem->batch_hours,  problem->enough_frac,   problem->floor_g};

    for (gsize i = 0; i < G_N_ELEMENTS(weights); i++) {
        if (!isfinite(weights[i]) || weights[i] < 0)
            return FALSE;
    }
    return problem->enough_frac < 1;
}

gboolean spl_outing_problem_check(struct spl_outing_problem *problem, GError **error)
{
    if (problem->pickers < 1)
        return refuse(error, "%d pickers cannot pick: say 1 or more", problem->pickers);
    if (problem->most_sites < 1 || problem->most_sites > MOST_SITES)
        return refuse(error, "an outing visits 1 to %d sites, not %d", MOST_SITES,
                      problem->most_sites);
    if (!check_weights(problem))
        return refuse(error, "what the plan is weighed by is negative or not a number");
    if (problem->sites->len == 0)
        return refuse(error, "there is no site to go to: add one first");
    if (problem->sources->len == 0)
        return refuse(error, "no stand bears anything that is planned: note what your sites "
                             "bear");
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
