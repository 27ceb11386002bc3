/* SPDX-License-Identifier: MIT
 *
 * What a person should know on opening the book. See simpling/today.h.
 */
#include "simpling/today.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/harvest.h"
#include "book/site.h"
#include "season/ground.h"
#include "season/house_private.h"
#include "season/question.h"
#include "season/stand.h"
#include "season/state.h"
#include "season/today_press.h"
#include "season/windows.h"
#include "simpling/batch.h"
#include "simpling/error.h"
#include "simpling/plan.h"
#include "simpling/record/reason.h"
#include "simpling/site.h"

#include "simpling/window.h"

struct gather {
    struct spl_house *house;
    struct spl_today *today;
    GHashTable *stands;  /* season/stand.h; NULL: not known yet */
    GHashTable *planned; /* names of places whose calls the kept plan lists */
    struct spl_window_maker *maker;
    struct spl_standings *standings; /* NULL: not known */
    gint64 new_since;                /* stamp: places entered after it are new */
};

static gboolean take_steps(const struct spl_batch *batch, gpointer data, GError **error)
{
    struct gather *gather = data;
    struct spl_day last = spl_day_add(gather->today->date, SPL_TODAY_AHEAD_DAYS);

    (void)error;
    for (guint i = 0; i < batch->steps->len; i++) {
        const struct spl_batch_step *step = &g_array_index(batch->steps, struct spl_batch_step, i);
        struct spl_today_due due;

        if (!step->open || spl_day_compare(step->due, last) > 0)
            continue;
        due = (struct spl_today_due){
            .code = g_strdup(batch->code),
            .step = g_strdup(step->step),
            .due = step->due,
            .what = g_strdup_printf("%s, %s", batch->preparation, batch->materials),
            .words = g_strdup(step->words),
        };
        g_array_append_val(gather->today->due, due);
    }
    return TRUE;
}

static int by_due(gconstpointer a, gconstpointer b)
{
    const struct spl_today_due *x = a, *y = b;
    int order = spl_day_compare(x->due, y->due);

    return order != 0 ? order : strcmp(x->code, y->code);
}

#define DAY_US (G_GINT64_CONSTANT(86400) * 1000000)

/* Open, or to open soon. */
static gboolean is_news(const struct spl_window *window, struct spl_day today)
{
    struct spl_day soon = spl_day_add(today, SPL_TODAY_OPENING_DAYS);

    return spl_day_compare(window->earliest, soon) <= 0 &&
           spl_day_compare(window->likely_end, today) >= 0;
}

/* What closes ground, as what is held says it; what only asks there is said once it is open. */
static GArray *causes_of(const GArray *reasons, const char *site)
{
    GArray *causes = spl_list_new(&spl_cause_shape);

    for (guint i = 0; i < reasons->len; i++) {
        const struct spl_reason *reason = &g_array_index(reasons, struct spl_reason, i);
        struct spl_cause cause;

        if (reason->verdict != SPL_VERDICT_CLOSED)
            continue;
        cause = (struct spl_cause){.kind = g_strdup(spl_reason_kind_names[reason->kind]),
                                   .grade = SPL_STATE_STOP,
                                   .holds = TRUE,
                                   .what = g_strdup(reason->what),
                                   .of = g_strdup(site),
                                   .about = g_strdup(reason->about),
                                   .evidence = g_strdup(reason->evidence),
                                   .next = spl_next_copy(reason->next)};
        g_array_append_val(causes, cause);
    }
    return causes;
}

/* One line a place and reason, with all materials that it stops. */
static void stop_ground(struct gather *gather, const char *site, const char *material,
                        const GArray *reasons, const char *why)
{
    struct spl_today_stop stop;

    for (guint i = 0; i < gather->today->stops->len; i++) {
        struct spl_today_stop *one = &g_array_index(gather->today->stops, struct spl_today_stop, i);

        if (strcmp(one->what, site) == 0 && strcmp(one->why, why) == 0) {
            g_auto(GStrv) named = g_strsplit(one->touches, ", ", -1);

            if (!g_strv_contains((const char *const *)named, material)) {
                g_autofree char *before = one->touches;

                one->touches = g_strdup_printf("%s, %s", before, material);
            }
            return;
        }
    }
    stop = (struct spl_today_stop){g_strdup(site), SPL_STOP_CLOSED, g_strdup(why),
                                   g_strdup(material), causes_of(reasons, site)};
    g_array_append_val(gather->today->stops, stop);
}

/* Where the kept plan goes today, and whom it has to be asked of in the days to come. */
static gboolean take_plan(struct gather *gather, GError **error)
{
    const struct spl_day soon = spl_day_add(gather->today->date, SPL_TODAY_OPENING_DAYS);
    struct spl_plan_outings plan;

    if (!spl_plan_kept(gather->house, 0, &plan, error))
        return FALSE;
    for (guint i = 0; i < plan.outings->len; i++) {
        struct spl_plan_outing *outing = &g_array_index(plan.outings, struct spl_plan_outing, i);

        if (outing->date.n != gather->today->date.n)
            continue;
        g_array_append_vals(gather->today->outing, outing->sites->data, outing->sites->len);
        g_array_set_size(outing->sites, 0); /* they are today's now */
    }
    for (guint i = 0; i < plan.call->len; i++) {
        const struct spl_plan_call *call = &g_array_index(plan.call, struct spl_plan_call, i);
        struct spl_plan_call own;

        if (spl_day_compare(call->from, soon) > 0)
            continue;
        spl_record_copy(&spl_plan_call_shape, call, &own);
        g_array_append_val(gather->today->calls, own);
        g_hash_table_add(gather->planned, g_strdup(call->site));
    }
    spl_record_clear(&spl_plan_outings_shape, &plan);
    return TRUE;
}

static struct spl_today_opening opening_of(const struct spl_window *window,
                                           enum spl_verdict verdict, GArray *reasons)
{
    return (struct spl_today_opening){
        .verdict = verdict,
        .reasons = reasons,
        .site = g_strdup(window->site),
        .material = g_strdup(window->material),
        .use = g_strdup(window->use),
        .earliest = window->earliest,
        .likely_start = window->likely_start,
        .likely_end = window->likely_end,
        .basis = window->basis,
    };
}

/* What is ready there, or soon will be, with the ground of today for this part of the plant: a root
 * needs leave that names roots. `first` gets the first day on which anything is wanted there. */
static void take_windows(struct gather *gather, const struct spl_ground *ground,
                         const struct spl_tables *tables, const GArray *windows,
                         struct spl_day *first)
{
    const struct spl_day today = gather->today->date;

    *first = SPL_DAY_NONE;
    for (guint i = 0; i < windows->len; i++) {
        const struct spl_window *window = &g_array_index(windows, struct spl_window_told, i).window;
        g_autofree char *key = spl_stand_key(window->site, window->material);
        struct spl_verdict_result result;

        if (!is_news(window, today) || !g_hash_table_contains(gather->stands, key))
            continue;
        spl_ground_verdict(ground, today, spl_tables_material_by_slug(tables, window->material),
                           &result);
        if (result.verdict == SPL_VERDICT_CLOSED) {
            g_autofree char *why = spl_ground_why(&result);

            stop_ground(gather, window->site, window->material, result.reasons, why);
        } else {
            struct spl_today_opening one =
                opening_of(window, result.verdict, g_steal_pointer(&result.reasons));
            GArray *list = spl_day_compare(window->earliest, today) <= 0 ? gather->today->gather
                                                                         : gather->today->opening;

            g_array_append_val(list, one);
        }
        if (!spl_day_is_set(*first) || spl_day_compare(window->likely_start, *first) < 0)
            *first = window->likely_start;
        spl_verdict_result_clear(&result);
    }
}

/* Whom to ask, by when: before it is picked. */
static void take_call(struct gather *gather, const struct spl_site *site,
                      const struct spl_ground *ground, struct spl_day first)
{
    const struct spl_day today = gather->today->date;
    struct spl_verdict_result result;

    spl_ground_verdict(ground, today, NULL, &result);
    if (result.verdict == SPL_VERDICT_ASK) {
        struct spl_today_ask ask = {g_strdup(site->name), spl_ground_why(&result),
                                    g_steal_pointer(&result.reasons)};
        const struct spl_plan_call call = {
            .site = site->name,
            .who = spl_ground_speaker(ground, FALSE),
            .from = today,
            .by = spl_day_is_set(first) && spl_day_compare(first, today) > 0 ? first : today,
            .outing = SPL_DAY_NONE,
            .about = ask.why};
        struct spl_plan_call own;

        if (!g_hash_table_contains(gather->planned, site->name)) {
            spl_record_copy(&spl_plan_call_shape, &call, &own);
            g_array_append_val(gather->today->calls, own);
        }
        g_free(call.who);
        g_array_append_val(gather->today->ask, ask);
    }
    spl_verdict_result_clear(&result);
}

/* A place is looked at when something is known to grow there, or when it is new. */
static gboolean take_place(const struct spl_site *site, gint64 at, gpointer data, GError **error)
{
    struct gather *gather = data;
    const struct spl_tables *tables = spl_house_tables(gather->house, error);
    g_autoptr(spl_ground) ground = NULL;
    struct spl_day first = SPL_DAY_NONE;
    GArray *windows;

    if (tables == NULL)
        return FALSE;
    windows =
        spl_window_maker_on(gather->maker, site, gather->today->date, NULL, NULL, FALSE, error);
    if (windows != NULL)
        ground = spl_ground_load(gather->house, site, error);
    if (ground != NULL) {
        take_windows(gather, ground, tables, windows, &first);
        if (spl_day_is_set(first) || at >= gather->new_since)
            take_call(gather, site, ground, first);
    }
    if (windows != NULL)
        spl_list_free(&spl_window_told_shape, windows);
    return ground != NULL;
}

static gboolean take_places(struct gather *gather, GError **error)
{
    g_autoptr(spl_window_maker) maker = spl_window_maker_new(gather->house, 0, error);
    gboolean ok;

    gather->new_since = (gint64)(gather->today->date.n - SPL_TODAY_NEW_DAYS) * DAY_US;
    gather->maker = maker;
    ok = maker != NULL &&
         spl_site_each_known(gather->house->book, gather->new_since, take_place, gather, error);
    gather->maker = NULL;
    return ok;
}

static gboolean take_missing(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    struct gather *gather = data;
    const struct spl_today_missing missing = {
        .code = g_strdup(harvest->code),
        .site = g_strdup(harvest->site),
        .material = g_strdup(harvest->material),
        .date = harvest->date,
        .bags = harvest->bags,
        .in = g_strdup(harvest->handfuls ? "handfuls" : "bags")};

    (void)error;
    g_array_append_val(gather->today->missing_weights, missing);
    return TRUE;
}

static int by_end(gconstpointer a, gconstpointer b)
{
    const struct spl_today_opening *x = a, *y = b;
    int order = spl_day_compare(x->likely_end, y->likely_end);

    if (order == 0)
        order = strcmp(x->material, y->material);
    return order != 0 ? order : g_strcmp0(x->site, y->site);
}

static int by_call(gconstpointer a, gconstpointer b)
{
    const struct spl_plan_call *x = a, *y = b;
    int order = spl_day_compare(x->by, y->by);

    return order != 0 ? order : g_strcmp0(x->site, y->site);
}

static gboolean touches_lot(const struct spl_question *question)
{
    for (guint i = 0; i < question->touches->len; i++) {
        const char *code = g_ptr_array_index(question->touches, i);
        const char *bare = strchr(code, ':') != NULL ? strchr(code, ':') + 1 : code;

        if (*bare == 'L')
            return TRUE;
    }
    return FALSE;
}

static GArray *cause_of_question(const struct spl_question *question)
{
    const struct spl_cause cause = {.kind = g_strdup(question->kind),
                                    .grade = question->grade,
                                    .holds = TRUE,
                                    .what = g_strdup(question->why),
                                    .of = g_strdup(question->about),
                                    .about = g_strdup(question->about),
                                    .evidence = g_strdup(question->evidence),
                                    .ask = g_strdup(question->ask),
                                    .next = spl_next_copy(question->next)};
    GArray *causes = spl_list_new(&spl_cause_shape);

    g_array_append_val(causes, cause);
    return causes;
}

/* Stops in full, bottles by themselves; the rest in one line. */
static gboolean take_questions(struct gather *gather, GError **error)
{
    struct spl_today *today = gather->today;
    g_autoptr(GHashTable) people = g_hash_table_new(g_str_hash, g_str_equal);
    guint open = 0;
    GArray *list = spl_questions_of(gather->house, gather->standings, FALSE, error);

    if (list == NULL)
        return FALSE;
    spl_list_free(&spl_question_shape, today->questions);
    today->questions = list;
    for (guint i = 0; i < list->len; i++) {
        const struct spl_question *one = &g_array_index(list, struct spl_question, i);
        g_autoptr(GPtrArray) codes = NULL;
        struct spl_today_stop stop;

        if (one->grade != SPL_STATE_STOP || !one->holds) {
            g_hash_table_add(people, one->ask);
            open++;
            continue;
        }
        if (touches_lot(one))
            continue;
        codes = g_ptr_array_new();
        for (guint k = 0; k < one->touches->len; k++)
            g_ptr_array_add(codes, g_ptr_array_index(one->touches, k));
        g_ptr_array_add(codes, NULL);
        stop = (struct spl_today_stop){g_strdup(one->about), SPL_STOP_HELD, g_strdup(one->why),
                                       g_strjoinv(", ", (char **)codes->pdata),
                                       cause_of_question(one)};
        g_array_append_val(today->stops, stop);
    }
    if (open > 0)
        today->to_answer = g_strdup_printf(
            "%u %s, %u %s to ask", open, open == 1 ? "question" : "questions",
            g_hash_table_size(people), g_hash_table_size(people) == 1 ? "person" : "people");
    return TRUE;
}

static gboolean is_stopped(const struct gather *gather, gint64 id)
{
    struct spl_standing standing;
    gboolean stopped;

    if (gather->standings == NULL)
        return TRUE; /* nobody can tell */
    spl_standings_get(gather->standings, id, &standing);
    stopped = standing.stopped;
    spl_standing_clear(&standing);
    return stopped;
}

static gboolean take_lot(const struct spl_lot *lot, gpointer data, GError **error)
{
    struct gather *gather = data;
    struct spl_day last = spl_day_add(gather->today->date, SPL_TODAY_EXPIRING_DAYS);
    struct spl_today_expiring expiring;

    (void)error;
    if (lot->state == SPL_STATE_WITHDRAWN ||
        (lot->state == SPL_STATE_IS_HELD && is_stopped(gather, lot->id))) {
        gboolean weighed = !isnan(lot->left_g), withdrawn = lot->state == SPL_STATE_WITHDRAWN;
        g_autofree char *left =
            spl_amount_format(weighed ? lot->left_g : lot->left_ml, weighed ? "g" : "mL");
        struct spl_today_stop stop = {
            g_strdup(lot->code), withdrawn ? SPL_STOP_WITHDRAWN : SPL_STOP_HELD, g_strdup(lot->why),
            g_strdup_printf("%s left, %s, %s", left, lot->preparation, lot->materials),
            spl_list_copy(&spl_cause_shape, lot->because)};

        g_array_append_val(gather->today->stops, stop);
    }
    if (!spl_day_is_set(lot->use_by) || spl_day_compare(lot->use_by, last) > 0)
        return TRUE;
    expiring = (struct spl_today_expiring){
        .code = g_strdup(lot->code),
        .what = g_strdup_printf("%s, %s", lot->preparation, lot->materials),
        .use_by = lot->use_by,
        .left_ml = lot->left_ml,
        .left_g = lot->left_g,
    };
    g_array_append_val(gather->today->expiring, expiring);
    return TRUE;
}

/* What the planned batches want and the stands cannot give. */
static gboolean take_shortages(struct gather *gather, GError **error)
{
    GArray *lines = spl_plan_shortfall(
        gather->house, &(struct spl_plan_short_question){SPL_COUNT_NONE, FALSE}, error);

    for (guint i = 0; lines != NULL && i < lines->len; i++) {
        const struct spl_plan_shortage *line = &g_array_index(lines, struct spl_plan_shortage, i);
        struct spl_today_short shortage;

        if (!(line->short_g > 0))
            continue;
        shortage = (struct spl_today_short){
            .material = g_strdup(line->material),
            .need_g = line->need_g,
            .short_g = line->short_g,
            .why = g_strdup(line->cause),
            .cure = g_strdup(line->cure),
        };
        g_array_append_val(gather->today->shortage, shortage);
    }
    spl_list_free(&spl_plan_shortage_shape, lines);
    return lines != NULL;
}

static gboolean take_due(struct gather *gather, GError **error)
{
    return spl_batch_each_full(gather->house, FALSE, take_steps, gather, error);
}

static gboolean take_openings(struct gather *gather, GError **error)
{
    /* Where nobody has said what grows, every almanac row would fill the screen. */
    gather->stands = spl_stand_known(gather->house, error);
    return gather->stands != NULL && take_places(gather, error);
}

static gboolean take_bags(struct gather *gather, GError **error)
{
    return spl_harvest_each_unweighed(gather->house->book, take_missing, gather, error);
}

static gboolean take_presses(struct gather *gather, GError **error)
{
    GArray *list = spl_today_to_press(gather->house, error);

    if (list == NULL)
        return FALSE;
    spl_list_free(&spl_today_press_shape, gather->today->to_press);
    gather->today->to_press = list;
    return TRUE;
}

static gboolean take_answers(struct gather *gather, GError **error)
{
    gather->standings = spl_standings_load(gather->house, error);
    return gather->standings != NULL && take_questions(gather, error);
}

static gboolean take_shelf(struct gather *gather, GError **error)
{
    return spl_lot_lines(gather->house, &(struct spl_lot_question){0}, take_lot, gather, error);
}

/* A thing that is damaged stops what hangs on it and nothing else; a disk that fails stops all. */
static gboolean is_damage(const GError *error)
{
    return error->domain == SPL_ERROR && error->code != SPL_ERROR_BUSY &&
           error->code != SPL_ERROR_READ_ONLY && error->code != SPL_ERROR_IO &&
           error->code != SPL_ERROR_INTERNAL;
}

/* Part by part: one that cannot be told is a stop that says why. FALSE when none can. */
static gboolean gather_parts(struct gather *gather, GError **error)
{
    static const struct {
        const char *what;
        gboolean (*take)(struct gather *gather, GError **error);
    } parts[] = {
        {"today's outing", take_plan},
        {"steps due", take_due},
        {"windows", take_openings},
        {"what is to be answered", take_answers},
        {"weights that are missing", take_bags},
        {"bottles on the shelf", take_shelf},
        {"what runs short", take_shortages},
        {"what is to be pressed", take_presses},
    };
    GArray *untold = spl_list_new(&spl_today_stop_shape);
    gboolean ok = TRUE;

    for (gsize i = 0; ok && i < G_N_ELEMENTS(parts); i++) {
        GError *failed = NULL;

        if (parts[i].take(gather, &failed))
            continue;
        ok = is_damage(failed) && untold->len + 1 < G_N_ELEMENTS(parts);
        if (ok) {
            struct spl_today_stop stop = {g_strdup(parts[i].what), SPL_STOP_DAMAGED,
                                          g_strdup(failed->message), NULL, NULL};

            g_array_append_val(untold, stop);
            g_error_free(failed);
        } else {
            g_propagate_error(error, failed);
        }
    }
    if (ok) { /* first, as nobody knows what they hide */
        g_array_prepend_vals(gather->today->stops, untold->data, untold->len);
        g_array_set_size(untold, 0);
    }
    spl_list_free(&spl_today_stop_shape, untold);
    return ok;
}

gboolean spl_today(struct spl_house *house, struct spl_today *today, GError **error)
{
    g_autoptr(GHashTable) planned = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    struct spl_today gathered;
    struct gather gather = {.house = house, .today = &gathered, .planned = planned};
    gboolean ok;

    gathered = (struct spl_today){
        .date = house->today,
        .stops = spl_list_new(&spl_today_stop_shape),
        .outing = spl_list_new(&spl_plan_stop_shape),
        .calls = spl_list_new(&spl_plan_call_shape),
        .missing_weights = spl_list_new(&spl_today_missing_shape),
        .due = spl_list_new(&spl_today_due_shape),
        .to_press = spl_list_new(&spl_today_press_shape),
        .gather = spl_list_new(&spl_today_opening_shape),
        .opening = spl_list_new(&spl_today_opening_shape),
        .questions = spl_list_new(&spl_question_shape),
        .ask = spl_list_new(&spl_today_ask_shape),
        .shortage = spl_list_new(&spl_today_short_shape),
        .expiring = spl_list_new(&spl_today_expiring_shape),
    };
    ok = gather_parts(&gather, error);
    spl_standings_free(gather.standings);
    g_clear_pointer(&gather.stands, g_hash_table_unref);
    if (!ok) {
        spl_record_clear(&spl_today_shape, &gathered);
        return FALSE;
    }
    g_array_sort(gathered.calls, by_call);
    g_array_sort(gathered.due, by_due);
    g_array_sort(gathered.gather, by_end);
    g_array_sort(gathered.opening, by_end);
    *today = gathered;
    return TRUE;
}
