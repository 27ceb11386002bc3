/* SPDX-License-Identifier: MIT
 *
 * Where the wanted materials grow and when: stands, windows and verdicts of every site brought
 * together. See season/plan_private.h.
 */
#include <math.h>
#include <string.h>

#include "book/harvest.h"
#include "season/check_private.h"
#include "season/ground.h"
#include "season/law.h"
#include "season/plan_private.h"
#include "season/stand.h"
#include "season/windows.h"
#include "simpling/error.h"

#define INTERVAL_DAYS 60 /* no picking interval is longer */
#define FLOWERING 60     /* BBCH: before it leaves are at their best; at 70 flowers are over */
#define FRUITING 70

static void clear_source(gpointer data)
{
    struct spl_plan_source *source = data;

    g_free(source->site);
    g_free(source->small);
    g_clear_pointer(&source->asks, g_array_unref);
}

struct walk {
    struct spl_house *house;
    const struct spl_plan_state *state;
    struct spl_window_maker *maker;
    GPtrArray *materials; /* wanted, each once */
    GArray *sources;
    gboolean clear_only;
    int stands; /* numbered so far */
    gint64 done, total;
};

/* ---- the ground ---------------------------------------------------------------------------- */

char *spl_plan_whom_to_ask(struct spl_house *house, const struct spl_site *site, GError **error)
{
    GArray *leaves = spl_permission_list(house->book, site->id, error);
    GArray *notes = leaves != NULL ? spl_spray_list(house->book, site->id, FALSE, error) : NULL;
    char *who = NULL;

    if (leaves != NULL && leaves->len > 0)
        who = g_strdup(g_array_index(leaves, struct spl_permission_note, leaves->len - 1).by);
    else if (notes != NULL && notes->len > 0)
        who = g_strdup(g_array_index(notes, struct spl_spray_record, notes->len - 1).source);
    else if (notes != NULL)
        who = g_strdup("whoever owns or farms it");
    spl_list_free(&spl_permission_note_shape, leaves);
    spl_list_free(&spl_spray_record_shape, notes);
    return who;
}

/* What must be asked before picking on a day: a count, or that it is closed. */
static guint8 asks_on(const struct spl_ground *ground, const struct spl_material *material,
                      struct spl_day day)
{
    struct spl_verdict_result result;
    guint asks = 0;

    spl_ground_verdict(ground, day, material, &result);
    for (guint i = 0; i < result.reasons->len; i++)
        asks += g_array_index(result.reasons, struct spl_reason, i).verdict == SPL_VERDICT_ASK;
    if (result.verdict == SPL_VERDICT_CLOSED)
        asks = SPL_OUTING_CLOSED;
    else if (result.verdict == SPL_VERDICT_CLEAR)
        asks = 0;
    else
        asks = CLAMP(asks, 1, SPL_OUTING_CLOSED - 1);
    spl_verdict_result_clear(&result);
    return (guint8)asks;
}

/* Whether a text is among `texts` already. */
static gboolean is_said(const GPtrArray *texts, const char *text)
{
    return g_ptr_array_find_with_equal_func((GPtrArray *)texts, text, g_str_equal, NULL);
}

gboolean spl_plan_ground(struct spl_house *house, const struct spl_site *site,
                         const struct spl_material *material, struct spl_day day,
                         struct spl_day reserve, enum spl_verdict *verdict,
                         struct spl_plan_stop *stop, GError **error)
{
    const struct spl_day days[] = {day, reserve};
    g_autoptr(spl_ground) ground = spl_ground_load(house, site, error);
    struct spl_verdict_result results[G_N_ELEMENTS(days)] = {0};

    if (ground == NULL)
        return FALSE;
    *verdict = SPL_VERDICT_CLEAR;
    for (gsize i = 0; i < G_N_ELEMENTS(days); i++) {
        if (!spl_day_is_set(days[i]))
            continue;
        spl_ground_verdict(ground, days[i], material, &results[i]);
        *verdict = MAX(*verdict, results[i].verdict);
    }
    for (gsize i = 0; i < G_N_ELEMENTS(days); i++) {
        for (guint r = 0; results[i].reasons != NULL && r < results[i].reasons->len; r++) {
            const struct spl_reason *reason =
                &g_array_index(results[i].reasons, struct spl_reason, r);

            if (reason->verdict == *verdict && *verdict != SPL_VERDICT_CLEAR &&
                !is_said(stop->reasons, reason->what)) {
                struct spl_reason own;

                spl_record_copy(&spl_reason_shape, reason, &own);
                g_array_append_val(stop->because, own);
                g_ptr_array_add(stop->reasons, g_strdup(reason->what));
            }
        }
        if (results[i].reasons != NULL)
            spl_verdict_result_clear(&results[i]);
    }
    return TRUE;
}

/* The verdicts over the window, day by day from today on, and what follows for the source. */
static void judge_window(struct walk *walk, const struct spl_ground *ground,
                         struct spl_plan_source *source)
{
    int first = source->earliest.n, last = source->latest.n;
    int from = MAX(first, walk->house->today.n);
    gboolean ask = FALSE, clear = FALSE;

    source->asks = g_array_new(FALSE, FALSE, sizeof(guint8));
    for (int day = first; day <= last; day++) {
        guint8 asks = day < from ? SPL_OUTING_CLOSED
                                 : asks_on(ground, source->material, (struct spl_day){day});

        ask |= asks > 0 && asks != SPL_OUTING_CLOSED;
        clear |= asks == 0;
        if (asks > 0 && walk->clear_only)
            asks = SPL_OUTING_CLOSED;
        g_array_append_val(source->asks, asks);
        if (asks == SPL_OUTING_CLOSED)
            continue;
        if (!spl_day_is_set(source->open_from))
            source->open_from.n = day;
        source->open_to.n = day;
    }
    if (!ask && !clear)
        source->state = SPL_SUPPLY_CLOSED;
    else if (walk->clear_only && !clear)
        source->state = SPL_SUPPLY_UNASKED;
    else if (ask && !walk->clear_only)
        source->state = SPL_SUPPLY_ASK;
}

/* ---- the stand ----------------------------------------------------------------------------- */

static enum spl_supply_state state_of(const struct spl_stand_allowance *allowance)
{
    switch (allowance->refusal) {
    case SPL_STAND_UNSIZED:
        return SPL_SUPPLY_UNSIZED;
    case SPL_STAND_RESTS:
        return SPL_SUPPLY_RESTS;
    case SPL_STAND_FEW:
    case SPL_STAND_DUG:
        return SPL_SUPPLY_FEW;
    case SPL_STAND_FREE:
        break;
    }
    return SPL_SUPPLY_OPEN;
}

static gboolean last_picked(struct walk *walk, const struct spl_site *site,
                            const struct spl_material *material, struct spl_day *day,
                            GError **error)
{
    *day = SPL_DAY_NONE;
    for (struct spl_day d = walk->house->today; d.n > walk->house->today.n - INTERVAL_DAYS;
         d = spl_day_add(d, -1)) {
        GError *failed = NULL;

        /* Only the last weeks matter for a picking interval. */
        if (spl_harvest_taken_g(walk->house->book, site->id, material->slug, d, d, &failed) > 0) {
            *day = d;
            return TRUE;
        }
        if (failed != NULL) {
            g_propagate_error(error, failed);
            return FALSE;
        }
    }
    return TRUE;
}

/* Whether the part is spoilt after the window: leaves once the plant flowers, flowers and tops
 * once they go over. Roots, bark, fruit and seed wait. */
static gboolean spoils(const struct spl_material *material, const struct spl_window *window)
{
    switch (material->part) {
    case SPL_PART_LEAF:
        return window->stage_to < FLOWERING;
    case SPL_PART_HERB:
        return window->stage_to < FRUITING;
    case SPL_PART_FLOWER:
    case SPL_PART_TOPS:
    case SPL_PART_BUD:
    case SPL_PART_SAP:
        return TRUE;
    default:
        return FALSE;
    }
}

/* The windows for medicine, or if there are none whatever there is. */
static gboolean add_windows(struct walk *walk, const struct spl_site *site,
                            const struct spl_ground *ground, const struct spl_plan_source *like,
                            GError **error)
{
    struct spl_day today = walk->house->today;
    /* This season's, with what of the last one is still open. */
    GArray *told = walk->state->season == spl_day_season(today, site->lat)
                       ? spl_window_maker_on(walk->maker, site, today, like->material->slug, NULL,
                                             FALSE, error)
                       : spl_window_maker_at(walk->maker, site, walk->state->season,
                                             like->material->slug, NULL, FALSE, error);
    gboolean medicine = FALSE, any = FALSE, ok = TRUE;

    if (told == NULL)
        return FALSE;
    for (guint i = 0; i < told->len; i++)
        medicine |= g_strcmp0(g_array_index(told, struct spl_window_told, i).window.use,
                              SPL_USE_MEDICINE) == 0;
    for (guint i = 0; i < told->len && ok; i++) {
        const struct spl_window *window = &g_array_index(told, struct spl_window_told, i).window;
        struct spl_plan_source source = *like;

        if ((medicine && g_strcmp0(window->use, SPL_USE_MEDICINE) != 0) ||
            window->year > walk->state->season)
            continue;
        source.site = g_strdup(site->name);
        source.small = g_strdup(like->small);
        source.spoils = spoils(like->material, window);
        source.earliest = window->earliest;
        source.likely_start = window->likely_start;
        source.likely_end = window->likely_end;
        source.latest = window->latest;
        source.every_days = window->every_days;
        if (source.state == SPL_SUPPLY_OPEN &&
            spl_day_compare(source.latest, walk->house->today) < 0)
            source.state = SPL_SUPPLY_OVER;
        if (source.every_days > 1)
            ok = last_picked(walk, site, like->material, &source.last_picked, error);
        if (ok && source.state == SPL_SUPPLY_OPEN)
            judge_window(walk, ground, &source);
        g_array_append_val(walk->sources, source);
        any = TRUE;
    }
    if (ok && !any) {
        struct spl_plan_source source = *like;

        source.site = g_strdup(site->name);
        source.small = g_strdup(like->small);
        if (source.state == SPL_SUPPLY_OPEN)
            source.state = SPL_SUPPLY_NO_WINDOW;
        source.earliest = source.likely_start = source.likely_end = source.latest = SPL_DAY_NONE;
        g_array_append_val(walk->sources, source);
    }
    spl_list_free(&spl_window_told_shape, told);
    return ok;
}

static gboolean add_site(const struct spl_site *site, gint64 at, gpointer data, GError **error)
{
    struct walk *walk = data;
    g_autoptr(GHashTable) stands = g_hash_table_new(g_str_hash, g_str_equal);
    g_autoptr(spl_ground) ground = spl_ground_load(walk->house, site, error);

    (void)at;
    if (ground == NULL)
        return FALSE;
    for (guint m = 0; m < walk->materials->len; m++) {
        const struct spl_material *material = g_ptr_array_index(walk->materials, m);
        const char *plant = material->plant->slug;
        struct spl_stand_allowance allowance;
        struct spl_plan_source source = {.site_id = site->id,
                                         .lat = site->lat,
                                         .lon = site->lon,
                                         .material = material,
                                         .open_from = SPL_DAY_NONE,
                                         .open_to = SPL_DAY_NONE};
        g_autofree char *small = NULL;
        gboolean known;

        if (!spl_stand_judge(walk->house, site, material, walk->house->today, &allowance, &known,
                             error))
            return FALSE;
        if (!known) {
            spl_stand_allowance_clear(&allowance);
            continue;
        }
        if (!g_hash_table_contains(stands, plant))
            g_hash_table_insert(stands, (gpointer)plant, GINT_TO_POINTER(walk->stands++));
        source.stand = GPOINTER_TO_INT(g_hash_table_lookup(stands, plant));
        source.left_g = allowance.left_g;
        source.plants = allowance.plants;
        if (allowance.caution)
            source.small = small = g_strdup(allowance.reason);
        source.state = state_of(&allowance);
        spl_stand_allowance_clear(&allowance);
        if (spl_law_refuses(walk->house, material, NULL))
            source.state = SPL_SUPPLY_REFUSED;
        if (!add_windows(walk, site, ground, &source, error))
            return FALSE;
    }
    spl_progress_tell(&walk->house->progress, "looking at sites", ++walk->done, walk->total);
    return TRUE;
}

GArray *spl_plan_sources(struct spl_house *house, const struct spl_plan_state *state,
                         gboolean clear_only, GError **error)
{
    g_autoptr(spl_window_maker) maker = spl_window_maker_new(house, 0, error);
    g_autoptr(GPtrArray) materials = g_ptr_array_new();
    struct walk walk = {.house = house,
                        .state = state,
                        .maker = maker,
                        .materials = materials,
                        .clear_only = clear_only};

    if (maker == NULL)
        return NULL;
    for (guint w = 0; w < state->wants->len; w++) {
        const struct spl_material *material =
            g_array_index(state->wants, struct spl_plan_want, w).material;

        if (!g_ptr_array_find(materials, material, NULL))
            g_ptr_array_add(materials, (gpointer)material);
    }
    walk.sources = g_array_new(FALSE, TRUE, sizeof(struct spl_plan_source));
    g_array_set_clear_func(walk.sources, clear_source);
    /* Where no stand is known nothing is picked by a plan. */
    if (materials->len > 0 &&
        !spl_site_each_known(house->book, G_MAXINT64, add_site, &walk, error)) {
        g_array_unref(walk.sources);
        return NULL;
    }
    return walk.sources;
}
