/* SPDX-License-Identifier: MIT
 *
 * The outings of a season: the book's stands, windows, wants and days become the problem of
 * core/outing_problem.h; its answer becomes a plan for people. See simpling/plan.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/file.h"
#include "base/text.h"
#include "core/outing_check.h"
#include "core/outing_model.h"
#include "core/outing_search.h"
#include "exchange/busy.h"
#include "exchange/solver.h"
#include "season/check_private.h"
#include "season/plan_keep.h"
#include "season/plan_private.h"
#include "simpling/error.h"

/* From memory, where neither the book nor the tables say more. */
#define DAY_HOURS 5.0
#define KM_PER_H 40.0
#define DETOUR 1.3      /* roads against the straight line */
#define SETUP_HOURS 0.2 /* from the car to the first cut and back */
#define PICK_G_PER_H 500.0
#define PROCESS_G_PER_H                                                                            \
    1500.0                   /* sorted, chopped and covered, or spread on the rack; one person     \
                              */
#define RACK_G_PER_M2 1500.0 /* fresh herb, one layer */
#define RACK_DAYS 7
#define DAWN_MIN (7 * 60) /* busy times count within these */
#define DUSK_MIN (20 * 60)
#define ASK_DAYS_BEFORE 7 /* by when to have asked */
#define ASK_DAYS_FROM 55  /* a word holds 60 days in season: not before */

struct outings {
    struct spl_house *house;
    const struct spl_plan_wish *wish;
    struct spl_plan_state state;
    GArray *sources; /* struct spl_plan_source */
    GArray *kept;    /* struct spl_kept_outing */
    struct spl_outing_problem *problem;
    GArray *site_ids;     /* gint64, by the problem's site */
    GPtrArray *materials; /* by the problem's material */
    GArray *source_of;    /* guint: the problem's source -> state source */
    GPtrArray *cautions;
    GPtrArray *abouts; /* by the plan's takes: why to ask before that day, NULL: it is clear */
};

static const struct spl_plan_source *source_at(const struct outings *o, guint i)
{
    return &g_array_index(o->sources, struct spl_plan_source, i);
}

/* ---- days ---------------------------------------------------------------------------------- */

gboolean spl_plan_weekdays(const char *text, unsigned *weekdays, GError **error)
{
    static const char *const names[] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
    g_auto(GStrv) words = g_strsplit(text, ",", 20);

    *weekdays = 0;
    for (guint i = 0; words[i] != NULL; i++) {
        g_autofree char *word = g_ascii_strdown(g_strstrip(words[i]), -1);
        gboolean found = FALSE;

        for (guint d = 0; d < 7 && !found; d++) {
            if (strlen(word) >= 3 && strncmp(word, names[d], 3) == 0) {
                *weekdays |= 1u << d;
                found = TRUE;
            }
        }
        if (!found) {
            g_autofree char *shown = spl_text_scrub(word, FALSE);

            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "--days: '%.20s' is no day of the week; write them as sat,sun,wed", shown);
            return FALSE;
        }
    }
    return TRUE;
}

/* Monday 0 … Sunday 6; 1970-01-01 was a Thursday. */
static unsigned weekday(struct spl_day day)
{
    return (unsigned)(((day.n + 3) % 7 + 7) % 7);
}

static gboolean is_off(const struct outings *o, const GArray *stored, struct spl_day day)
{
    for (guint i = 0; i < o->wish->n_off; i++) {
        if (o->wish->off[i].n == day.n)
            return TRUE;
    }
    for (guint i = 0; i < stored->len; i++) {
        if (g_array_index(stored, struct spl_day, i).n == day.n)
            return TRUE;
    }
    return FALSE;
}

/* The kept outing that stays on this day: fixed by the person, or of today or before. */
static const struct spl_kept_outing *kept_on(const struct outings *o, struct spl_day day)
{
    for (guint i = 0; i < o->kept->len; i++) {
        const struct spl_kept_outing *kept = &g_array_index(o->kept, struct spl_kept_outing, i);

        if (kept->fixed && kept->day.n == day.n)
            return kept;
    }
    return NULL;
}

static int site_number(const struct outings *o, gint64 id)
{
    for (guint i = 0; i < o->site_ids->len; i++) {
        if (g_array_index(o->site_ids, gint64, i) == id)
            return (int)i;
    }
    return -1;
}

static void fix_day(struct outings *o, int day, const struct spl_kept_outing *kept)
{
    g_autoptr(GArray) sites = g_array_new(FALSE, FALSE, sizeof(int));

    for (guint i = 0; i < kept->stops->len; i++) {
        int site = site_number(o, g_array_index(kept->stops, struct spl_kept_stop, i).site_id);

        if (site >= 0)
            g_array_append_val(sites, site);
    }
    if (sites->len > 0)
        spl_outing_fix_day(o->problem, day, (const int *)(void *)sites->data, (int)sites->len);
}

static gboolean add_days(struct outings *o, double hours, GError **error)
{
    g_autoptr(GArray) stored = spl_day_off_list(o->house->book, error);
    struct spl_busy_read busy = {0};
    struct spl_day from = o->state.first;
    g_autofree char *zone = spl_house_setting_text(o->house, "zone");

    if (stored == NULL)
        return FALSE;
    if (spl_day_compare(from, o->house->today) < 0)
        from = o->house->today;
    if (o->wish->busy != NULL && spl_day_compare(from, o->state.last) <= 0 &&
        !spl_busy_read(o->wish->busy, from, o->state.last, zone, &busy, error))
        return FALSE;
    for (struct spl_day day = from; day.n <= o->state.last.n; day = spl_day_add(day, 1)) {
        const struct spl_kept_outing *kept = kept_on(o, day);
        double left = hours;
        int number;

        if (is_off(o, stored, day) || (kept == NULL && o->wish->weekdays != 0 &&
                                       ((o->wish->weekdays >> weekday(day)) & 1) == 0))
            continue;
        if (busy.busy != NULL)
            left = MIN(
                left, (DUSK_MIN - DAWN_MIN - spl_busy_minutes(busy.busy, day, DAWN_MIN, DUSK_MIN)) /
                          60.0);
        if (left <= 0 && kept == NULL && hours > 0)
            continue;
        number = spl_outing_add_day(o->problem, day, left);
        if (kept != NULL)
            fix_day(o, number, kept);
    }
    if (busy.file != NULL)
        spl_record_clear(&spl_busy_read_shape, &busy);
    return TRUE;
}

/* ---- sites, materials, sources ------------------------------------------------------------- */

static gboolean gives(const struct outings *o, const struct spl_plan_source *source)
{
    return (source->state == SPL_SUPPLY_OPEN ||
            (source->state == SPL_SUPPLY_ASK && !o->wish->clear_only)) &&
           source->left_g > 0 && spl_day_is_set(source->earliest);
}

static int material_number(struct outings *o, const struct spl_material *material)
{
    guint m;

    if (g_ptr_array_find(o->materials, material, &m))
        return (int)m;
    g_ptr_array_add(o->materials, (gpointer)material);
    return spl_outing_add_material(o->problem, material->slug,
                                   spl_figure_is_set(material->picking_g_per_h)
                                       ? material->picking_g_per_h.value
                                       : PICK_G_PER_H,
                                   PROCESS_G_PER_H);
}

static void add_wants(struct outings *o)
{
    double racks_m2;
    int rack = -1;

    if (spl_house_setting_number(o->house, "racks", &racks_m2))
        rack = spl_outing_add_store(o->problem, "the drying racks", racks_m2 * RACK_G_PER_M2,
                                    RACK_DAYS);
    for (guint w = 0; w < o->state.wants->len; w++) {
        const struct spl_plan_want *want = &g_array_index(o->state.wants, struct spl_plan_want, w);
        const struct spl_planned *planned =
            &g_array_index(o->state.planned, struct spl_planned, want->planned);
        int material;

        if (want->remaining_g <= 0)
            continue;
        material = material_number(o, want->material);
        spl_outing_add_need(o->problem, material, want->remaining_g, want->gather_by,
                            planned->name);
        if (rack >= 0 && (want->dry || !isnan(planned->yield_g)))
            SPL_OUTING_MATERIAL(o->problem, material)->store = rack;
    }
}

static int add_site(struct outings *o, gint64 id, const char *name)
{
    int site = site_number(o, id);

    if (site >= 0)
        return site;
    g_array_append_val(o->site_ids, id);
    return spl_outing_add_site(o->problem, name, SETUP_HOURS);
}

static void add_sources(struct outings *o)
{
    g_autoptr(GHashTable) stands = g_hash_table_new(NULL, NULL);

    for (guint i = 0; i < o->sources->len; i++) {
        const struct spl_plan_source *from = source_at(o, i);
        struct spl_outing_source *source;
        gpointer stand;
        guint m;
        int site, number;

        if (!gives(o, from) || !g_ptr_array_find(o->materials, from->material, &m))
            continue;
        site = add_site(o, from->site_id, from->site);
        SPL_OUTING_SITE(o->problem, site)->ask |= from->state == SPL_SUPPLY_ASK;
        number = spl_outing_add_source(o->problem, site, (int)m, from->left_g, from->earliest,
                                       from->likely_start, from->likely_end, from->latest);
        source = SPL_OUTING_SOURCE(o->problem, number);
        source->caution = from->caution;
        if (g_hash_table_lookup_extended(stands, GINT_TO_POINTER(from->stand + 1), NULL, &stand))
            source->stand = GPOINTER_TO_INT(stand);
        else
            g_hash_table_insert(stands, GINT_TO_POINTER(from->stand + 1), GINT_TO_POINTER(number));
        SPL_OUTING_MATERIAL(o->problem, (int)m)->every_days =
            MAX(SPL_OUTING_MATERIAL(o->problem, (int)m)->every_days, from->every_days);
        if (spl_day_is_set(from->last_picked))
            source->barred_until = spl_day_add(from->last_picked, from->every_days);
        g_array_append_val(o->source_of, i);
    }
}

/* The sites of kept outings that stay are part of the problem, whatever they give now. */
static gboolean add_kept_sites(struct outings *o, GArray *places, GError **error)
{
    for (guint i = 0; i < o->kept->len; i++) {
        const struct spl_kept_outing *kept = &g_array_index(o->kept, struct spl_kept_outing, i);

        for (guint k = 0; kept->fixed && k < kept->stops->len; k++) {
            gint64 id = g_array_index(kept->stops, struct spl_kept_stop, k).site_id;
            struct spl_site site;

            if (site_number(o, id) >= 0)
                continue;
            if (!spl_site_load(o->house->book, id, &site, error))
                return FALSE;
            add_site(o, id, site.name);
            g_array_append_vals(places, (double[]){site.lat, site.lon}, 2);
            spl_record_clear(&spl_site_shape, &site);
        }
    }
    return TRUE;
}

static gboolean set_travel(struct outings *o, GError **error)
{
    g_autoptr(GArray) extra = g_array_new(FALSE, FALSE, sizeof(double));
    guint known = o->problem->sites->len;
    g_autofree double *lat = NULL, *lon = NULL;
    double speed = o->wish->km_per_h, home_lat, home_lon;

    if (!add_kept_sites(o, extra, error))
        return FALSE;
    if (o->wish->home != NULL) {
        if (!spl_coordinates_parse(o->wish->home, "--home", &home_lat, &home_lon, error))
            return FALSE;
    } else if (!spl_house_setting_place(o->house, &home_lat, &home_lon)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "nobody has said where outings begin: give --home LAT,LON or set it once "
                    "(book set home LAT,LON)");
        return FALSE;
    }
    if (speed <= 0 && !spl_house_setting_number(o->house, "speed", &speed))
        speed = KM_PER_H;
    lat = g_new0(double, o->problem->sites->len + 1);
    lon = g_new0(double, o->problem->sites->len + 1);
    for (guint i = 0; i < o->sources->len; i++) {
        int site = site_number(o, source_at(o, i)->site_id);

        if (site >= 0) {
            lat[site] = source_at(o, i)->lat;
            lon[site] = source_at(o, i)->lon;
        }
    }
    for (guint k = 0; known + k < o->problem->sites->len; k++) {
        lat[known + k] = g_array_index(extra, double, 2 * k);
        lon[known + k] = g_array_index(extra, double, 2 * k + 1);
    }
    lat[o->problem->sites->len] = home_lat;
    lon[o->problem->sites->len] = home_lon;
    spl_outing_set_travel(o->problem, lat, lon, DETOUR, speed);
    return TRUE;
}

static gboolean build(struct outings *o, GError **error)
{
    double hours = o->wish->hours, pickers = o->wish->pickers;

    if (hours == 0 && !spl_house_setting_number(o->house, "hours", &hours))
        hours = DAY_HOURS;
    if (pickers == 0 && !spl_house_setting_number(o->house, "pickers", &pickers))
        pickers = 1;
    o->problem = spl_outing_problem_new();
    o->problem->pickers = (int)pickers;
    if (o->wish->most_sites > 0)
        o->problem->most_sites = o->wish->most_sites;
    add_wants(o);
    if (o->state.planned->len == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "nothing is planned for %d: plan a batch with 'plan add' first",
                    o->state.season);
        return FALSE;
    }
    if (o->problem->needs->len == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "all that is planned is gathered: there is no outing left to plan");
        return FALSE;
    }
    add_sources(o);
    if (o->problem->sources->len == 0 && o->problem->needs->len > 0)
        return TRUE; /* nothing to be had: that is said for each material */
    return set_travel(o, error) && add_days(o, hours, error) &&
           spl_outing_problem_check(o->problem, error);
}

/* ---- the search ---------------------------------------------------------------------------- */

struct telling {
    const struct spl_progress *progress;
    gint64 began;
    double seconds;
};

static void tell(double cost, double bound, int outings, gpointer data)
{
    const struct telling *telling = data;
    double gap = cost > 0 ? MAX(cost - bound, 0) / cost : 0;
    g_autofree char *what =
        g_strdup_printf("planning: %d outings, %.1f h, at least %.1f h (%.0f %% open)", outings,
                        cost, bound, 100 * gap);

    spl_progress_tell(telling->progress, what,
                      (g_get_monotonic_time() - telling->began) / G_USEC_PER_SEC,
                      (gint64)ceil(telling->seconds));
}

static const char *stop_words(enum spl_outing_stop stop)
{
    switch (stop) {
    case SPL_OUTING_STOP_GAP:
        return "proven within the gap asked for";
    case SPL_OUTING_STOP_NODES:
        return "the work was done";
    case SPL_OUTING_STOP_SECONDS:
        return "the time was up";
    case SPL_OUTING_STOP_SOLVER:
        break;
    }
    return "the solver could not be run: a first plan without a bound";
}

static gboolean write_lp(const struct outings *o, const struct spl_outing_plan *plan,
                         GError **error)
{
    struct spl_outing_model *model =
        spl_outing_model_new(o->problem, SPL_OUTING_GOAL_COST, plan->short_g);
    GString *text = spl_mip_lp(model->mip, "outings of a season: hours, kilograms");
    gboolean ok = spl_file_write(o->wish->lp, text->str, text->len, error);

    g_string_free(text, TRUE);
    spl_outing_model_free(model);
    return ok;
}

static gboolean search(struct outings *o, struct spl_outing_answer *answer, double *seconds,
                       GError **error)
{
    double patience = o->wish->seconds > 0 ? o->wish->seconds : 10;
    struct telling telling = {&o->house->progress, g_get_monotonic_time(), patience};
    struct spl_outing_wish wish = {o->wish->gap, o->wish->nodes, tell, &telling};
    g_autofree char *program = g_build_filename(o->house->helpers != NULL ? o->house->helpers : "",
                                                "simpling-solve", NULL);
    g_autoptr(GError) why = NULL;
    struct spl_solver *solver = spl_solver_open(program, patience, &why);
    struct spl_mip_solver door = {0};
    gboolean ok;

    if (solver == NULL)
        spl_caution_add(o->cautions, "%s", why->message);
    else
        door = spl_solver_door(solver);
    ok = spl_outing_search(o->problem, solver != NULL ? &door : NULL, &wish, answer, error);
    spl_progress_tell(telling.progress, "planning", 1, 1);
    *seconds = (double)(g_get_monotonic_time() - telling.began) / G_USEC_PER_SEC;
    spl_solver_close(solver);
    return ok;
}

/* ---- the answer ---------------------------------------------------------------------------- */

/* Which needs each take serves: the earliest due first, from the earliest picked. Names are put
 * into `names` (a GPtrArray of char * for each take, in the plan's order). */
static GPtrArray *serve_names(const struct outings *o, const struct spl_outing_plan *plan)
{
    GPtrArray *names = g_ptr_array_new_with_free_func((GDestroyNotify)g_ptr_array_unref);
    g_autoptr(GArray) left = g_array_new(FALSE, FALSE, sizeof(double));
    guint n_needs = o->problem->needs->len;
    g_autofree gboolean *done = g_new0(gboolean, n_needs + 1);

    for (guint i = 0; i < plan->outings->len; i++) {
        const struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, i);

        for (guint t = 0; t < outing->takes->len; t++) {
            g_array_append_val(left, g_array_index(outing->takes, struct spl_outing_take, t).grams);
            g_ptr_array_add(names, g_ptr_array_new_with_free_func(g_free));
        }
    }
    for (guint k = 0; k < n_needs; k++) {
        const struct spl_outing_need *need = NULL;
        guint which = 0, at = 0;
        double missing;

        for (guint n = 0; n < n_needs; n++) {
            const struct spl_outing_need *other = SPL_OUTING_NEED(o->problem, n);

            if (!done[n] && (need == NULL || spl_day_compare(other->by, need->by) < 0)) {
                need = other;
                which = n;
            }
        }
        done[which] = TRUE;
        missing = need->grams;
        for (guint i = 0; i < plan->outings->len; i++) {
            const struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, i);
            struct spl_day day = SPL_OUTING_DAY(o->problem, outing->day)->day;

            for (guint t = 0; t < outing->takes->len; t++, at++) {
                int source = g_array_index(outing->takes, struct spl_outing_take, t).source;
                double *rest = &g_array_index(left, double, at);
                double part = MIN(*rest, missing);

                if (SPL_OUTING_SOURCE(o->problem, source)->material != need->material ||
                    (spl_day_is_set(need->by) && day.n > need->by.n) || part < 0.5)
                    continue;
                *rest -= part;
                missing -= part;
                g_ptr_array_add(g_ptr_array_index(names, at), g_strdup(need->what_for));
            }
        }
    }
    return names;
}

/* What every take's ground will be on its day, if nothing new is noted. */
static gboolean judge_days(struct outings *o, const struct spl_outing_plan *plan, GError **error)
{
    for (guint i = 0; i < plan->outings->len; i++) {
        const struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, i);
        struct spl_day day = SPL_OUTING_DAY(o->problem, outing->day)->day, reserve = SPL_DAY_NONE;

        if (outing->reserve >= 0)
            reserve = SPL_OUTING_DAY(o->problem, outing->reserve)->day;
        for (guint t = 0; t < outing->takes->len; t++) {
            int number = g_array_index(outing->takes, struct spl_outing_take, t).source;
            char *about;

            if (!spl_plan_ask_about(o->house,
                                    source_at(o, g_array_index(o->source_of, guint, number)), day,
                                    reserve, &about, error))
                return FALSE;
            g_ptr_array_add(o->abouts, about);
        }
    }
    return TRUE;
}

/* Whether a site of an outing is to be asked about; `first` is the outing's first take. */
static gboolean is_to_ask(const struct outings *o, const struct spl_outing *outing, guint first,
                          int site)
{
    for (guint t = 0; t < outing->takes->len; t++) {
        int source = g_array_index(outing->takes, struct spl_outing_take, t).source;

        if (SPL_OUTING_SOURCE(o->problem, source)->site == site &&
            g_ptr_array_index(o->abouts, first + t) != NULL)
            return TRUE;
    }
    return FALSE;
}

static struct spl_kept_outing kept_of(const struct outings *o, const struct spl_outing_plan *plan,
                                      guint which, const GPtrArray *names, guint *at)
{
    const struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, which);
    struct spl_kept_outing kept = {
        .season = o->state.season,
        .day = SPL_OUTING_DAY(o->problem, outing->day)->day,
        .reserve =
            outing->reserve < 0 ? SPL_DAY_NONE : SPL_OUTING_DAY(o->problem, outing->reserve)->day,
        .hours = outing->hours,
        .km = outing->km,
        .fixed = SPL_OUTING_DAY(o->problem, outing->day)->fixed};

    spl_kept_outing_begin(&kept);
    for (guint s = 0; s < outing->sites->len; s++) {
        int site = g_array_index(outing->sites, int, s);
        struct spl_kept_stop stop = {
            .site_id = g_array_index(o->site_ids, gint64, site),
            .verdict = g_strdup(is_to_ask(o, outing, *at, site) ? "ask" : "clear")};

        g_array_append_val(kept.stops, stop);
    }
    for (guint t = 0; t < outing->takes->len; t++, (*at)++) {
        const struct spl_outing_take *take =
            &g_array_index(outing->takes, struct spl_outing_take, t);
        const struct spl_outing_source *source = SPL_OUTING_SOURCE(o->problem, take->source);
        GPtrArray *list = g_ptr_array_index(names, *at);
        struct spl_kept_take to = {
            .site_id = g_array_index(o->site_ids, gint64, source->site),
            .material = g_strdup(SPL_OUTING_MATERIAL(o->problem, source->material)->name),
            .grams = MAX(floor(take->grams + 1e-6), 1)};

        g_ptr_array_add(list, NULL);
        to.what_for = g_strjoinv("\n", (char **)list->pdata);
        g_array_append_val(kept.takes, to);
    }
    return kept;
}

/* Whom to ask about which ground, in which days, for the first outing that hangs on it. */
static void add_calls(const struct outings *o, const struct spl_outing_plan *plan,
                      struct spl_plan_outings *out)
{
    guint at = 0;

    for (guint i = 0; i < plan->outings->len; i++) {
        const struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, i);
        struct spl_day day = SPL_OUTING_DAY(o->problem, outing->day)->day;

        for (guint t = 0; t < outing->takes->len; t++, at++) {
            int number = g_array_index(outing->takes, struct spl_outing_take, t).source;
            const struct spl_plan_source *source =
                source_at(o, g_array_index(o->source_of, guint, number));
            const char *about = g_ptr_array_index(o->abouts, at);
            struct spl_plan_call call;
            gboolean said = FALSE;

            if (about == NULL)
                continue;
            for (guint c = 0; c < out->call->len && !said; c++)
                said = strcmp(g_array_index(out->call, struct spl_plan_call, c).site,
                              source->site) == 0;
            if (said)
                continue;
            call = (struct spl_plan_call){.site = g_strdup(source->site),
                                          .who = g_strdup(source->who),
                                          .from = spl_day_add(day, -ASK_DAYS_FROM),
                                          .by = spl_day_add(day, -ASK_DAYS_BEFORE),
                                          .outing = day,
                                          .about = g_strdup(about)};
            if (spl_day_compare(call.from, o->house->today) < 0)
                call.from = o->house->today;
            if (spl_day_compare(call.by, call.from) < 0)
                call.by = call.from;
            g_array_append_val(out->call, call);
        }
    }
}

static gboolean add_missing(const struct outings *o, const struct spl_outing_plan *plan,
                            struct spl_plan_outings *out, GError **error)
{
    g_autoptr(GPtrArray) materials = g_ptr_array_new();
    g_autoptr(GArray) reckoned =
        spl_plan_reckon_short(&o->state, o->sources, o->wish->clear_only, materials, error);

    if (reckoned == NULL)
        return FALSE;
    for (guint m = 0; m < o->materials->len; m++) {
        struct spl_plan_missing missing = {0};

        for (guint n = 0; n < o->problem->needs->len; n++) {
            if (SPL_OUTING_NEED(o->problem, n)->material == (int)m)
                missing.grams += g_array_index(plan->short_g, double, n);
        }
        if (missing.grams < 1)
            continue;
        missing.material = g_strdup(SPL_OUTING_MATERIAL(o->problem, (int)m)->name);
        for (guint r = 0; r < reckoned->len; r++) {
            const struct spl_shortfall *s = &g_array_index(reckoned, struct spl_shortfall, r);

            if (g_ptr_array_index(materials, (guint)s->material) !=
                    g_ptr_array_index(o->materials, m) ||
                s->short_g < missing.grams - 1)
                continue;
            missing.why = g_strdup(s->cause);
            missing.cure = g_strdup(s->cure);
        }
        if (missing.why == NULL) {
            missing.why = g_strdup("the stands could spare it, but the days and hours do not "
                                   "suffice");
            missing.cure = g_strdup("allow more days of the week (--days), longer days (--hours), "
                                    "more people (--pickers), more room to dry, or a later date");
        }
        g_array_append_val(out->missing, missing);
    }
    return TRUE;
}

/* No stand gives any of it: a plan without outings, in which all is short. */
static void nothing_to_be_had(const struct outings *o, struct spl_outing_answer *answer)
{
    answer->plan = spl_outing_plan_new();
    answer->stop = SPL_OUTING_STOP_GAP;
    for (guint n = 0; n < o->problem->needs->len; n++)
        g_array_append_val(answer->plan->short_g, SPL_OUTING_NEED(o->problem, n)->grams);
}

static void outings_clear(struct outings *o)
{
    spl_plan_state_clear(&o->state);
    g_clear_pointer(&o->sources, g_array_unref);
    g_clear_pointer(&o->kept, g_array_unref);
    spl_outing_problem_free(o->problem);
    g_array_unref(o->site_ids);
    g_ptr_array_unref(o->materials);
    g_array_unref(o->source_of);
    g_ptr_array_unref(o->cautions);
    g_ptr_array_unref(o->abouts);
}

static gboolean answer_all(struct outings *o, struct spl_outing_answer *answer, double seconds,
                           struct spl_plan_outings *out, GError **error)
{
    g_autoptr(GPtrArray) names = serve_names(o, answer->plan);
    g_autoptr(GArray) fresh = spl_kept_outings_new();
    guint at = 0;

    if (!judge_days(o, answer->plan, error))
        return FALSE;
    *out = spl_plan_outings_begin();
    for (guint i = 0; i < answer->plan->outings->len; i++) {
        struct spl_kept_outing kept = kept_of(o, answer->plan, i, names, &at);

        g_array_append_val(fresh, kept);
    }
    out->outings_count = (int)answer->plan->outings->len;
    out->lower_bound = answer->count_bound;
    out->cost_h = answer->plan->cost;
    out->cost_bound_h = answer->cost_bound;
    out->gap = answer->gap;
    out->seconds = seconds;
    out->stop = g_strdup(stop_words(answer->stop));
    g_ptr_array_extend(out->cautions, o->cautions, (GCopyFunc)(void (*)(void))g_strdup, NULL);
    add_calls(o, answer->plan, out);
    if (!add_missing(o, answer->plan, out, error) ||
        (o->wish->keep &&
         !spl_plan_store(o->house, o->kept, fresh, o->wish->off, o->wish->n_off, error)))
        return FALSE;
    out->kept = o->wish->keep;
    return spl_plan_show_outings(o->house, o->kept, fresh, out, error);
}

gboolean spl_plan_search(struct spl_house *house, const struct spl_plan_wish *wish,
                         struct spl_plan_outings *plan, GError **error)
{
    struct outings o = {.house = house, .wish = wish};
    struct spl_outing_answer answer = {0};
    double seconds = 0;
    gboolean ok;

    *plan = (struct spl_plan_outings){0};
    if (wish->hours < 0 || !isfinite(wish->hours) || wish->hours > 24) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "--hours: a day has more than 0 and at most 24 hours");
        return FALSE;
    }
    o.site_ids = g_array_new(FALSE, FALSE, sizeof(gint64));
    o.materials = g_ptr_array_new();
    o.source_of = g_array_new(FALSE, FALSE, sizeof(guint));
    o.cautions = g_ptr_array_new_with_free_func(g_free);
    o.abouts = g_ptr_array_new_with_free_func(g_free);
    ok = spl_plan_state_load(house, wish->season, &o.state, error) &&
         (o.sources = spl_plan_sources(house, &o.state, error)) != NULL &&
         (o.kept = spl_kept_outing_list(house->book, o.state.season, error)) != NULL &&
         build(&o, error);
    if (ok && o.problem->sources->len == 0)
        nothing_to_be_had(&o, &answer);
    else
        ok = ok && search(&o, &answer, &seconds, error) &&
             (wish->lp == NULL || write_lp(&o, answer.plan, error));
    ok = ok && answer_all(&o, &answer, seconds, plan, error);
    if (!ok)
        spl_record_clear(&spl_plan_outings_shape, plan);
    spl_outing_answer_clear(&answer);
    outings_clear(&o);
    return ok;
}
