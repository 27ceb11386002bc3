/* SPDX-License-Identifier: MIT
 *
 * The outings of a season: the book's stands, windows, wants and days become the problem of
 * core/outing_problem.h; its answer becomes a plan for people. See simpling/plan.h.
 */
#include <math.h>
#include <string.h>

#include "base/file.h"
#include "core/outing_model.h"
#include "core/outing_search.h"
#include "exchange/solver.h"
#include "season/check_private.h"
#include "season/plan_keep.h"
#include "season/plan_problem.h"
#include "simpling/error.h"

#define ASK_DAYS_BEFORE 7 /* by when to have asked */
#define ASK_DAYS_FROM 55  /* a word holds 60 days in season: not before */

static const struct spl_plan_source *source_at(const struct spl_plan_quest *o, guint i)
{
    return &g_array_index(o->sources, struct spl_plan_source, i);
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

static gboolean write_lp(const struct spl_plan_quest *o, const struct spl_outing_plan *plan,
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

static gboolean search(struct spl_plan_quest *o, struct spl_outing_answer *answer, double *seconds,
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
static GPtrArray *serve_names(const struct spl_plan_quest *o, const struct spl_outing_plan *plan)
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
static gboolean judge_days(struct spl_plan_quest *o, const struct spl_outing_plan *plan,
                           GError **error)
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
static gboolean is_to_ask(const struct spl_plan_quest *o, const struct spl_outing *outing,
                          guint first, int site)
{
    for (guint t = 0; t < outing->takes->len; t++) {
        int source = g_array_index(outing->takes, struct spl_outing_take, t).source;

        if (SPL_OUTING_SOURCE(o->problem, source)->site == site &&
            g_ptr_array_index(o->abouts, first + t) != NULL)
            return TRUE;
    }
    return FALSE;
}

static struct spl_kept_outing kept_of(const struct spl_plan_quest *o,
                                      const struct spl_outing_plan *plan, guint which,
                                      const GPtrArray *names, guint *at)
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
static void add_calls(const struct spl_plan_quest *o, const struct spl_outing_plan *plan,
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

static gboolean add_missing(const struct spl_plan_quest *o, const struct spl_outing_plan *plan,
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
static void nothing_to_be_had(const struct spl_plan_quest *o, struct spl_outing_answer *answer)
{
    answer->plan = spl_outing_plan_new();
    answer->stop = SPL_OUTING_STOP_GAP;
    for (guint n = 0; n < o->problem->needs->len; n++)
        g_array_append_val(answer->plan->short_g, SPL_OUTING_NEED(o->problem, n)->grams);
}

static void outings_clear(struct spl_plan_quest *o)
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

static gboolean answer_all(struct spl_plan_quest *o, struct spl_outing_answer *answer,
                           double seconds, struct spl_plan_outings *out, GError **error)
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
    struct spl_plan_quest o = {.house = house, .wish = wish};
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
         spl_plan_quest_build(&o, error);
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
