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
#include "season/plan_why.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define ROUND_G 0.01     /* what is arithmetic dust in a take */
#define MOST_SECONDS 600 /* without anything said: nobody waits longer */
#define GAP_PERCENT 0.1  /* the same */

/* ---- what is said -------------------------------------------------------------------------- */

static const struct spl_input off_rows[] = {
    SPL_INPUT(spl_plan_day_off, day, DAY, "day", "a day on which nobody goes", .needed = 1),
};
const struct spl_inputs spl_plan_day_off_inputs =
    SPL_INPUTS("plan_day_off", spl_plan_day_off, off_rows);

static const struct spl_input wish_rows[] = {
    SPL_INPUT(spl_plan_wish, days, NAME, "days", "the days of the week (default: all)",
              .value = "sat,sun"),
    SPL_INPUT(spl_plan_wish, hours, HOURS, "hours", "hours of a day, 5 when nobody has said",
              .min = 0.1, .max = 24, .setting = "hours"),
    SPL_INPUT(spl_plan_wish, pickers, COUNT, "pickers", "people, 1 when nobody has said", .min = 1,
              .max = 1000, .setting = "pickers"),
    SPL_INPUT(spl_plan_wish, home, COORDINATES, "home", "where outings begin", .setting = "home"),
    SPL_INPUT(spl_plan_wish, km_per_h, NUMBER, "speed", "on the road, 40 when nobody has said",
              .value = "KM/H", .min = 1, .max = 130, .setting = "speed"),
    SPL_INPUT(spl_plan_wish, most_sites, COUNT, "sites",
              "at most so many places in one outing (default 4)", .min = 1, .max = 6),
    SPL_INPUT(spl_plan_wish, off, LIST, "off", "a day on which nobody goes",
              .item = &spl_plan_day_off_inputs),
    SPL_INPUT(spl_plan_wish, busy, FILE, "busy", "a calendar whose busy times are kept free",
              .value = "FILE.ics"),
    SPL_INPUT(spl_plan_wish, clear_only, FLAG, "clear_only",
              "leave out sites that must be asked about"),
    SPL_INPUT(spl_plan_wish, keep, FLAG, "keep", "store the plan in the book"),
    SPL_INPUT(spl_plan_wish, season, COUNT, "year", "another season than that of today",
              .value = "Y", .min = 1900, .max = 9999),
    /* for the curious */
    SPL_INPUT(spl_plan_wish, seconds, NUMBER, "seconds",
              "search for so long (default: by work, see nodes)", .value = "S", .min = 0.1,
              .max = 86400, .advanced = 1),
    SPL_INPUT(spl_plan_wish, gap_percent, NUMBER, "gap",
              "stop when proven within P per cent (default 0.1)", .value = "P", .max = 100,
              .advanced = 1),
    SPL_INPUT(spl_plan_wish, nodes, COUNT, "nodes",
              "stop after so much work: the same plan every time (default: by the size of the "
              "season)",
              .min = 1, .max = 100000000, .advanced = 1),
    SPL_INPUT(spl_plan_wish, no_solver, FLAG, "no_solver", "the first plan, at once and unproven",
              .advanced = 1),
    SPL_INPUT(spl_plan_wish, lp, FILE, "lp", "write the model as an LP file", .advanced = 1),
};

static gboolean check_wish(const void *record, GError **error)
{
    unsigned weekdays;

    return spl_plan_weekdays(((const struct spl_plan_wish *)record)->days, &weekdays, error);
}
const struct spl_inputs spl_plan_wish_inputs =
    SPL_INPUTS("plan_outings", spl_plan_wish, wish_rows, .check = check_wish);

/* ---- the search ---------------------------------------------------------------------------- */

struct telling {
    const struct spl_plan_quest *quest;
    gint64 began;
    double seconds;
};

static const char *stage_words(enum spl_outing_stage stage)
{
    static const char *const words[] = {
        [SPL_OUTING_STAGE_GREEDY] = "first plan",
        [SPL_OUTING_STAGE_SLIDE] = "each outing slid to its best day",
        [SPL_OUTING_STAGE_ROOT] = "what no plan can beat",
        [SPL_OUTING_STAGE_THINNED] = "days that are as good as others left out",
        [SPL_OUTING_STAGE_STRETCHES] = "stretches planned anew",
        [SPL_OUTING_STAGE_WHOLE] = "the whole season searched",
        [SPL_OUTING_STAGE_RESERVES] = "reserve days",
    };

    return words[stage];
}

static void tell(const struct spl_outing_step *step, gpointer data)
{
    const struct telling *telling = data;
    double gap = step->cost > 0 ? MAX(step->cost - step->bound, 0) / step->cost : 0;
    g_autofree char *what =
        g_strdup_printf("planning: %d outings, %.1f h, at least %.1f h (%.0f %% open)",
                        step->outings, step->cost, step->bound, 100 * gap);

    spl_progress_tell(&telling->quest->house->progress, what,
                      (g_get_monotonic_time() - telling->began) / G_USEC_PER_SEC,
                      (gint64)ceil(telling->seconds));
}

static gboolean stopped(gpointer data)
{
    const struct spl_plan_quest *quest = ((const struct telling *)data)->quest;

    return quest->stopped != NULL && quest->stopped(quest->stopped_data);
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
    case SPL_OUTING_STOP_HAND:
        return "stopped by hand";
    case SPL_OUTING_STOP_SOLVER:
        return "the first plan, without the solver";
    case SPL_OUTING_STOP_FELL:
        break;
    }
    return "the solver fell over";
}

static gboolean write_lp(const struct spl_plan_quest *o, GError **error)
{
    struct spl_outing_model *model = spl_outing_model_new(o->problem, SPL_OUTING_GOAL_COST, NULL);
    GString *text = spl_mip_lp(model->mip, "outings of a season: hours, kilograms");
    gboolean ok = spl_file_write(o->wish->lp, text->str, text->len, error);

    g_string_free(text, TRUE);
    spl_outing_model_free(model);
    return ok;
}

static gboolean search(struct spl_plan_quest *o, struct spl_outing_answer *answer, double *seconds,
                       GError **error)
{
    double patience = isnan(o->wish->seconds) ? MOST_SECONDS : o->wish->seconds;
    double gap = (isnan(o->wish->gap_percent) ? GAP_PERCENT : o->wish->gap_percent) / 100;
    int nodes = o->wish->nodes != SPL_COUNT_NONE ? o->wish->nodes
                : isnan(o->wish->seconds)        ? spl_outing_default_nodes(o->problem)
                                                 : 0;
    struct telling telling = {o, g_get_monotonic_time(), patience};
    struct spl_outing_wish wish = {gap, nodes, tell, stopped, &telling};
    g_autofree char *program = g_build_filename(o->house->helpers != NULL ? o->house->helpers : "",
                                                "simpling-solve", NULL);
    g_autoptr(GError) why = NULL;
    struct spl_solver *solver =
        o->wish->no_solver ? NULL : spl_solver_open(program, patience, &why);
    struct spl_mip_solver door = {0};
    gboolean ok;

    if (why != NULL)
        spl_caution_add(o->cautions, "%s", why->message);
    if (solver != NULL) {
        door = spl_solver_door(solver);
        spl_solver_set_stop(solver, stopped, &telling);
    }
    ok = spl_outing_search(o->problem, solver != NULL ? &door : NULL, &wish, answer, error);
    spl_progress_tell(&o->house->progress, "planning", 1, 1);
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
        missing = need->grams - g_array_index(plan->short_g, double, which);
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

/* Grams for people: whole ones, up where the stand lets them, so that what is to be picked is
 * picked. */
static double whole_grams(const struct spl_plan_quest *o, const struct spl_outing_plan *plan,
                          const struct spl_outing_take *take)
{
    const struct spl_outing_source *source = SPL_OUTING_SOURCE(o->problem, take->source);
    double used = 0;

    for (guint i = 0; i < plan->outings->len; i++) {
        const struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, i);

        for (guint t = 0; t < outing->takes->len; t++) {
            const struct spl_outing_take *other =
                &g_array_index(outing->takes, struct spl_outing_take, t);
            const struct spl_outing_source *from = SPL_OUTING_SOURCE(o->problem, other->source);

            if (from->stand == source->stand)
                used += ceil(other->grams - ROUND_G) / from->allowance_g;
        }
    }
    return MAX(used <= 1 + 1e-9 ? ceil(take->grams - ROUND_G) : floor(take->grams + 1e-6), 1);
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
        struct spl_kept_stop stop = {.site_id = g_array_index(o->site_ids, gint64, site),
                                     .verdict = SPL_VERDICT_CLEAR};

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
            .grams = whole_grams(o, plan, take)};

        g_ptr_array_add(list, NULL);
        to.what_for = g_strjoinv("\n", (char **)list->pdata);
        g_array_append_val(kept.takes, to);
    }
    return kept;
}

/* The verdicts as they are shown are also what is stored. */
static void note_verdicts(const struct spl_plan_outings *out, guint first, GArray *fresh)
{
    for (guint i = 0; i < fresh->len; i++) {
        const struct spl_plan_outing *shown =
            &g_array_index(out->outings, struct spl_plan_outing, first + i);
        GArray *stops = g_array_index(fresh, struct spl_kept_outing, i).stops;

        for (guint s = 0; s < stops->len && s < shown->sites->len; s++) {
            struct spl_kept_stop *stop = &g_array_index(stops, struct spl_kept_stop, s);

            stop->verdict = g_array_index(shown->sites, struct spl_plan_stop, s).verdict;
        }
    }
}

static void add_weighs(struct spl_plan_outings *out, const char *what, double hours)
{
    struct spl_plan_weighs weighs = {g_strdup(what), hours};

    if (hours > 0)
        g_array_append_val(out->weighs, weighs);
    else
        g_free(weighs.what);
}

static void add_account(const struct spl_plan_quest *o, const struct spl_outing_answer *answer,
                        struct spl_plan_outings *out)
{
    const struct spl_outing_cost *parts = &answer->plan->parts;

    add_weighs(out, "setting out", parts->outings);
    add_weighs(out, "on the road and from the car to the first cut", parts->rounds);
    add_weighs(out, "picked early or late in its time", parts->edges);
    add_weighs(out, "still to ask", parts->asks);
    add_weighs(out, "small stands", parts->cautions);
    add_weighs(out, "left open", parts->open);
    for (guint i = 0; answer->steps != NULL && i < answer->steps->len; i++) {
        const struct spl_outing_step *step =
            &g_array_index(answer->steps, struct spl_outing_step, i);
        struct spl_plan_stage stage = {g_strdup(stage_words(step->stage)), step->cost, step->bound,
                                       step->outings, step->nodes};

        g_array_append_val(out->stages, stage);
    }
    for (guint i = 0; i < spl_plan_n_weights; i++) {
        struct spl_plan_price price = {
            g_strdup(spl_plan_weights[i].key), g_strdup(spl_plan_weights[i].about),
            G_STRUCT_MEMBER(double, o->problem, spl_plan_weights[i].offset)};

        g_array_append_val(out->prices, price);
    }
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
    g_array_unref(o->free);
    g_ptr_array_unref(o->cautions);
}

static void add_totals(const struct spl_outing_answer *answer, double seconds,
                       struct spl_plan_outings *out)
{
    out->outings_count = (int)answer->plan->outings->len;
    out->lower_bound = answer->count_bound;
    out->hours = out->km = 0;
    for (guint i = 0; i < answer->plan->outings->len; i++) {
        out->hours += g_array_index(answer->plan->outings, struct spl_outing, i).hours;
        out->km += g_array_index(answer->plan->outings, struct spl_outing, i).km;
    }
    out->cost_h = answer->plan->cost;
    out->reserve_h = answer->reserve_hours;
    /* Without a solver little is proven: better nothing than a bound that says nothing. */
    if (answer->stop != SPL_OUTING_STOP_SOLVER) {
        out->cost_bound_h = answer->cost_bound;
        out->gap = answer->gap;
    }
    out->seconds = seconds;
    out->stop = g_strdup(stop_words(answer->stop));
    out->stopped = answer->stop == SPL_OUTING_STOP_HAND;
}

static gboolean answer_all(struct spl_plan_quest *o, struct spl_outing_answer *answer,
                           double seconds, struct spl_plan_outings *out, GError **error)
{
    g_autoptr(GPtrArray) names = serve_names(o, answer->plan);
    g_autoptr(GArray) fresh = spl_kept_outings_new();
    guint at = 0, first;

    *out = spl_plan_outings_begin();
    for (guint i = 0; i < answer->plan->outings->len; i++) {
        struct spl_kept_outing kept = kept_of(o, answer->plan, i, names, &at);

        g_array_append_val(fresh, kept);
    }
    add_totals(answer, seconds, out);
    if (!spl_plan_show_outings(o->house, o->kept, fresh, out, error))
        return FALSE;
    first = out->outings->len - fresh->len;
    note_verdicts(out, first, fresh);
    spl_plan_say_changes(o->house, o->kept, fresh, out->changes);
    if (!spl_plan_add_calls(o->house, out, error))
        return FALSE;
    spl_plan_say_why(o, answer->plan, out, first);
    add_account(o, answer, out);
    if (!spl_plan_say_missing(o, answer->plan, out, error))
        return FALSE;
    g_ptr_array_extend(out->cautions, o->cautions, (GCopyFunc)(void (*)(void))g_strdup, NULL);
    if (!o->wish->keep || out->stopped)
        return TRUE;
    if (!spl_plan_store(o->house, o->kept, fresh, o->wish->off, error))
        return FALSE;
    out->kept = TRUE;
    for (guint i = 0; i < fresh->len; i++) {
        struct spl_plan_outing *shown =
            &g_array_index(out->outings, struct spl_plan_outing, first + i);

        g_free(shown->uuid);
        shown->uuid = g_strdup(g_array_index(fresh, struct spl_kept_outing, i).uuid);
    }
    return TRUE;
}

static gboolean build(struct spl_plan_quest *o, GError **error)
{
    spl_plan_narrow(&o->state, o->sources);
    return spl_plan_quest_build(o, error);
}

gboolean spl_plan_search(struct spl_house *house, const struct spl_plan_wish *said,
                         gboolean (*is_stopped)(gpointer data), gpointer data,
                         struct spl_plan_outings *plan, GError **error)
{
    struct spl_plan_wish wish;
    struct spl_plan_quest o = {
        .house = house, .wish = &wish, .stopped = is_stopped, .stopped_data = data};
    struct spl_outing_answer answer = {0};
    struct spl_plan_outings told = {0};
    double seconds = 0;
    gboolean ok;

    if (!spl_entry_take(house, &spl_plan_wish_inputs, said, &wish, error))
        return FALSE;
    o.site_ids = g_array_new(FALSE, FALSE, sizeof(gint64));
    o.materials = g_ptr_array_new();
    o.source_of = g_array_new(FALSE, FALSE, sizeof(guint));
    o.free = g_array_new(FALSE, FALSE, sizeof(struct spl_plan_free));
    o.cautions = g_ptr_array_new_with_free_func(g_free);
    ok = spl_plan_weekdays(wish.days, &o.weekdays, error) &&
         spl_plan_state_load(house, wish.season == SPL_COUNT_NONE ? 0 : wish.season, &o.state,
                             error) &&
         (o.sources = spl_plan_sources(house, &o.state, wish.clear_only, error)) != NULL &&
         (o.kept = spl_kept_outing_list(house->book, o.state.season, error)) != NULL &&
         build(&o, error);
    if (ok && o.problem->sources->len == 0)
        nothing_to_be_had(&o, &answer);
    else
        ok = ok && search(&o, &answer, &seconds, error) && (wish.lp == NULL || write_lp(&o, error));
    ok = ok && answer_all(&o, &answer, seconds, &told, error);
    if (ok)
        *plan = told;
    else
        spl_record_clear(&spl_plan_outings_shape, &told);
    spl_outing_answer_clear(&answer);
    outings_clear(&o);
    spl_inputs_clear(&spl_plan_wish_inputs, &wish);
    return ok;
}
