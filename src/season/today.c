/* SPDX-License-Identifier: MIT
 *
 * What a person should know on opening the book. See simpling/today.h.
 */
#include "simpling/today.h"

#include <math.h>
#include <string.h>

#include "book/site.h"
#include "season/ground.h"
#include "season/house_private.h"
#include "simpling/batch.h"
#include "simpling/error.h"
#include "simpling/plan.h"
#include "simpling/record/reason.h"
#include "simpling/site.h"
#include "simpling/stand.h"
#include "simpling/window.h"

static const struct spl_field stop_fields[] = {
    SPL_FIELD(spl_today_stop, what, SPL_TEXT, "what", "what"),
    SPL_FIELD(spl_today_stop, state, SPL_TEXT, "state", "state"),
    SPL_FIELD(spl_today_stop, why, SPL_TEXT, "why", "why"),
    SPL_FIELD(spl_today_stop, touches, SPL_TEXT, "touches", "touches"),
};
const struct spl_shape spl_today_stop_shape = SPL_SHAPE("stop", spl_today_stop, stop_fields);

static const struct spl_field due_fields[] = {
    SPL_FIELD(spl_today_due, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_today_due, step, SPL_TEXT, "step", "step"),
    SPL_FIELD(spl_today_due, due, SPL_DAY, "due", "due"),
    SPL_FIELD(spl_today_due, what, SPL_TEXT, "what", "what"),
    SPL_FIELD(spl_today_due, words, SPL_TEXT, "words", "to do"),
};
const struct spl_shape spl_today_due_shape = SPL_SHAPE("due", spl_today_due, due_fields);

static const struct spl_field opening_fields[] = {
    SPL_FIELD(spl_today_opening, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_today_opening, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_today_opening, verdict, SPL_TEXT, "verdict", "verdict"),
    SPL_FIELD(spl_today_opening, use, SPL_TEXT, "use", "use"),
    SPL_FIELD(spl_today_opening, earliest, SPL_DAY, "earliest", "may begin"),
    SPL_FIELD(spl_today_opening, likely_start, SPL_DAY, "likely_start", "likely from"),
    SPL_FIELD(spl_today_opening, likely_end, SPL_DAY, "likely_end", "likely to"),
    SPL_FIELD_SHOW(spl_today_opening, basis, SPL_TEXT, "basis", "basis"),
};
const struct spl_shape spl_today_opening_shape =
    SPL_SHAPE("opening", spl_today_opening, opening_fields);

static const struct spl_field ask_fields[] = {
    SPL_FIELD(spl_today_ask, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_today_ask, why, SPL_TEXT, "why", "why"),
    SPL_FIELD_LIST(spl_today_ask, reasons, &spl_reason_shape, "reasons", NULL),
};
const struct spl_shape spl_today_ask_shape = SPL_SHAPE("ask", spl_today_ask, ask_fields);

static const struct spl_field short_fields[] = {
    SPL_FIELD(spl_today_short, material, SPL_TEXT, "material", "material"),
    SPL_FIELD_NUM(spl_today_short, need_g, 0, "need_g", "need g"),
    SPL_FIELD_NUM(spl_today_short, short_g, 0, "short_g", "short g"),
    SPL_FIELD(spl_today_short, why, SPL_TEXT, "why", "why"),
    SPL_FIELD(spl_today_short, cure, SPL_TEXT, "cure", "what helps"),
};
const struct spl_shape spl_today_short_shape = SPL_SHAPE("short", spl_today_short, short_fields);

static const struct spl_field expiring_fields[] = {
    SPL_FIELD(spl_today_expiring, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_today_expiring, what, SPL_TEXT, "what", "what"),
    SPL_FIELD(spl_today_expiring, use_by, SPL_DAY, "use_by", "use by"),
    SPL_FIELD_NUM(spl_today_expiring, left_ml, 0, "left_ml", "left mL"),
    SPL_FIELD_NUM(spl_today_expiring, left_g, 0, "left_g", "left g"),
};
const struct spl_shape spl_today_expiring_shape =
    SPL_SHAPE("expiring", spl_today_expiring, expiring_fields);

static const struct spl_field today_fields[] = {
    SPL_FIELD(spl_today, date, SPL_DAY, "date", "today"),
    SPL_FIELD_LIST(spl_today, stops, &spl_today_stop_shape, "stops", "stops"),
    SPL_FIELD_LIST(spl_today, outing, &spl_plan_stop_shape, "outing", "today's outing"),
    SPL_FIELD_LIST(spl_today, due, &spl_today_due_shape, "due", "steps due"),
    SPL_FIELD_LIST(spl_today, opening, &spl_today_opening_shape, "opening",
                   "windows open or opening"),
    SPL_FIELD_LIST(spl_today, ask, &spl_today_ask_shape, "ask", "to ask about"),
    SPL_FIELD_LIST(spl_today, shortage, &spl_today_short_shape, "short", "runs short"),
    SPL_FIELD_LIST(spl_today, expiring, &spl_today_expiring_shape, "expiring",
                   "out of date, or soon"),
};
const struct spl_shape spl_today_shape = SPL_SHAPE("today", spl_today, today_fields);

struct gather {
    struct spl_house *house;
    struct spl_today *today;
    GArray *sites;      /* struct spl_site, all */
    GHashTable *stands; /* "SITE\nMATERIAL" of what the sites are known to bear */
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

static char *stand_key(const char *site, const char *material)
{
    return g_strconcat(site, "\n", material, NULL);
}

/* Where nobody has said what grows, every almanac row would fill the screen: only known stands. */
static gboolean know_stands(struct gather *gather, GError **error)
{
    GArray *lines =
        spl_stand_lines(gather->house, &(struct spl_stand_question){.year = SPL_COUNT_NONE}, error);

    for (guint i = 0; lines != NULL && i < lines->len; i++) {
        const struct spl_stand_line *line = &g_array_index(lines, struct spl_stand_line, i);

        g_hash_table_add(gather->stands, stand_key(line->site, line->material));
    }
    spl_list_free(&spl_stand_line_shape, lines);
    return lines != NULL;
}

/* Open, or to open soon. */
static gboolean is_news(const struct spl_window *window, struct spl_day today)
{
    struct spl_day soon = spl_day_add(today, SPL_TODAY_OPENING_DAYS);

    return spl_day_compare(window->earliest, soon) <= 0 &&
           spl_day_compare(window->likely_end, today) >= 0;
}

/* One line a place and reason, with all materials that it stops. */
static void stop_ground(struct gather *gather, const char *site, const char *material,
                        const char *why)
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
    stop = (struct spl_today_stop){g_strdup(site), g_strdup("closed"), g_strdup(why),
                                   g_strdup(material)};
    g_array_append_val(gather->today->stops, stop);
}

/* The ground of today for this part of the plant: a root needs leave that names roots. Of two
 * places of one name (after a merge) the worse. */
static gboolean judge_material(struct gather *gather, const char *site_name, const char *slug,
                               enum spl_verdict *verdict, char **why, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(gather->house, error);

    *verdict = SPL_VERDICT_CLEAR;
    for (guint i = 0; tables != NULL && i < gather->sites->len; i++) {
        const struct spl_site *site = &g_array_index(gather->sites, struct spl_site, i);
        struct spl_verdict_result result;

        if (strcmp(site->name, site_name) != 0)
            continue;
        if (!spl_ground_judge(gather->house, site, gather->today->date,
                              spl_tables_material_by_slug(tables, slug), &result, error))
            return FALSE;
        if (*why == NULL || result.verdict > *verdict) {
            g_free(*why);
            *why = spl_ground_why(&result);
            *verdict = result.verdict;
        }
        spl_verdict_result_clear(&result);
    }
    return tables != NULL;
}

/* Where the kept plan goes today. */
static gboolean take_outing(struct gather *gather, GError **error)
{
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
    spl_record_clear(&spl_plan_outings_shape, &plan);
    return TRUE;
}

static gboolean take_window(const struct spl_window_told *told, gpointer data, GError **error)
{
    struct gather *gather = data;
    const struct spl_window *window = &told->window;
    g_autofree char *key = stand_key(window->site, window->material);
    struct spl_today_opening opening;
    enum spl_verdict verdict;
    g_autofree char *why = NULL;

    if (!is_news(window, gather->today->date) || !g_hash_table_contains(gather->stands, key))
        return TRUE;
    if (!judge_material(gather, window->site, window->material, &verdict, &why, error))
        return FALSE;
    if (verdict == SPL_VERDICT_CLOSED) {
        stop_ground(gather, window->site, window->material, why);
        return TRUE;
    }
    opening = (struct spl_today_opening){
        .verdict = g_strdup(spl_verdict_name(verdict)),
        .site = g_strdup(window->site),
        .material = g_strdup(window->material),
        .use = g_strdup(window->use),
        .earliest = window->earliest,
        .likely_start = window->likely_start,
        .likely_end = window->likely_end,
        .basis = g_strdup(window->basis),
    };
    g_array_append_val(gather->today->opening, opening);
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

static gboolean take_site(const struct spl_site_line *line, gpointer data, GError **error)
{
    struct gather *gather = data;
    struct spl_today_ask ask;

    (void)error;
    if (strcmp(line->verdict, "ask") != 0)
        return TRUE;
    ask = (struct spl_today_ask){g_strdup(line->name), g_strdup(line->why),
                                 spl_list_copy(&spl_reason_shape, line->reasons)};
    g_array_append_val(gather->today->ask, ask);
    return TRUE;
}

static gboolean take_lot(const struct spl_lot *lot, gpointer data, GError **error)
{
    struct gather *gather = data;
    struct spl_day last = spl_day_add(gather->today->date, SPL_TODAY_EXPIRING_DAYS);
    struct spl_today_expiring expiring;

    (void)error;
    if (strcmp(lot->state, "held") == 0 || strcmp(lot->state, "withdrawn") == 0) {
        gboolean weighed = !isnan(lot->left_g);
        struct spl_today_stop stop = {
            g_strdup(lot->code), g_strdup(lot->state), g_strdup(lot->why),
            g_strdup_printf("%.0f %s left, %s, %s", weighed ? lot->left_g : lot->left_ml,
                            weighed ? "g" : "mL", lot->preparation, lot->materials)};

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
    const struct spl_window_words words = {.year = SPL_COUNT_NONE, .near = {NAN, NAN}};

    gather->sites = spl_site_all(gather->house->book, error);
    return gather->sites != NULL && know_stands(gather, error) &&
           spl_window_list(gather->house, &words, take_window, gather, error);
}

static gboolean take_questions(struct gather *gather, GError **error)
{
    return spl_site_lines(gather->house, &(struct spl_site_question){gather->today->date},
                          take_site, gather, error);
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
        {"today's outing", take_outing},      {"steps due", take_due},
        {"windows", take_openings},           {"places to ask about", take_questions},
        {"bottles on the shelf", take_shelf}, {"what runs short", take_shortages},
    };
    GArray *untold = spl_list_new(&spl_today_stop_shape);
    gboolean ok = TRUE;

    for (gsize i = 0; ok && i < G_N_ELEMENTS(parts); i++) {
        GError *failed = NULL;

        if (parts[i].take(gather, &failed))
            continue;
        ok = is_damage(failed) && untold->len + 1 < G_N_ELEMENTS(parts);
        if (ok) {
            struct spl_today_stop stop = {g_strdup(parts[i].what), g_strdup("damaged"),
                                          g_strdup(failed->message), NULL};

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
    g_autoptr(GHashTable) stands = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    struct spl_today gathered;
    struct gather gather = {house, &gathered, NULL, stands};
    gboolean ok;

    gathered = (struct spl_today){
        .date = house->today,
        .stops = spl_list_new(&spl_today_stop_shape),
        .outing = spl_list_new(&spl_plan_stop_shape),
        .due = spl_list_new(&spl_today_due_shape),
        .opening = spl_list_new(&spl_today_opening_shape),
        .ask = spl_list_new(&spl_today_ask_shape),
        .shortage = spl_list_new(&spl_today_short_shape),
        .expiring = spl_list_new(&spl_today_expiring_shape),
    };
    ok = gather_parts(&gather, error);
    spl_list_free(&spl_site_shape, gather.sites);
    if (!ok) {
        spl_record_clear(&spl_today_shape, &gathered);
        return FALSE;
    }
    g_array_sort(gathered.due, by_due);
    g_array_sort(gathered.opening, by_end);
    *today = gathered;
    return TRUE;
}
