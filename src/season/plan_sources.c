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
#include "season/plan_private.h"
#include "season/stand.h"
#include "season/windows.h"
#include "simpling/error.h"

#define SAMPLE_DAYS 4    /* a window is judged every so many days, and at its ends */
#define INTERVAL_DAYS 60 /* no picking interval is longer */

static void clear_source(gpointer data)
{
    struct spl_plan_source *source = data;

    g_free(source->site);
    g_free(source->who);
    g_free(source->about);
}

struct walk {
    struct spl_house *house;
    const struct spl_plan_state *state;
    struct spl_window_maker *maker;
    GPtrArray *materials; /* wanted, each once */
    GArray *sources;
    int stands; /* numbered so far */
    gint64 done, total;
};

/* ---- the ground ---------------------------------------------------------------------------- */

/* Who is to be asked: who gave or refused leave last, else who spoke of spraying last. */
static char *whom_to_ask(struct spl_house *house, const struct spl_site *site, GError **error)
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

/* One verdict of a window's day: whether it is closed; the worst other one and its reason. */
static gboolean judge_day(struct walk *walk, const struct spl_site *site,
                          struct spl_plan_source *source, struct spl_day day, gboolean *closed,
                          enum spl_verdict *worst, GError **error)
{
    struct spl_verdict_result result;

    if (!spl_ground_judge(walk->house, site, day, source->material, &result, error))
        return FALSE;
    *closed = result.verdict == SPL_VERDICT_CLOSED;
    if (source->about == NULL || (!*closed && result.verdict > *worst)) {
        g_free(source->about);
        source->about = spl_ground_worst(&result);
    }
    if (!*closed)
        *worst = MAX(*worst, result.verdict);
    spl_verdict_result_clear(&result);
    return TRUE;
}

gboolean spl_plan_ask_about(struct spl_house *house, const struct spl_plan_source *source,
                            struct spl_day day, struct spl_day reserve, char **about,
                            GError **error)
{
    const struct spl_day days[] = {day, reserve};
    struct spl_site site;
    gboolean ok;

    *about = NULL;
    if (source->state != SPL_SUPPLY_ASK)
        return TRUE;
    ok = spl_site_load(house->book, source->site_id, &site, error);
    for (gsize i = 0; ok && *about == NULL && i < G_N_ELEMENTS(days); i++) {
        struct spl_verdict_result result;

        if (!spl_day_is_set(days[i]))
            continue;
        ok = spl_ground_judge(house, &site, days[i], source->material, &result, error);
        if (!ok)
            break;
        if (result.verdict != SPL_VERDICT_CLEAR)
            *about = spl_ground_worst(&result);
        spl_verdict_result_clear(&result);
    }
    spl_record_clear(&spl_site_shape, &site);
    return ok;
}

/*
 * The verdicts over the window, every few days and at both ends. Where it is closed for a part, the
 * longest open stretch stays.
 */
static gboolean judge_window(struct walk *walk, const struct spl_site *site,
                             struct spl_plan_source *source, GError **error)
{
    int best_from = 0, best_to = -1, from = 0, last = source->latest.n;
    enum spl_verdict worst = SPL_VERDICT_CLEAR;
    gboolean running = FALSE;

    for (int day = source->earliest.n;; day = MIN(day + SAMPLE_DAYS, last)) {
        gboolean closed;

        if (!judge_day(walk, site, source, (struct spl_day){day}, &closed, &worst, error))
            return FALSE;
        if (!closed && !running)
            from = day;
        running = !closed;
        if (running && day - from > best_to - best_from) {
            best_from = from;
            best_to = day;
        }
        if (day >= last)
            break;
    }
    if (best_to < best_from) {
        source->state = SPL_SUPPLY_CLOSED;
        return TRUE;
    }
    source->earliest.n = best_from;
    source->latest.n = best_to;
    source->likely_start.n = CLAMP(source->likely_start.n, best_from, best_to);
    source->likely_end.n = CLAMP(source->likely_end.n, source->likely_start.n, best_to);
    if (worst == SPL_VERDICT_ASK) {
        source->state = SPL_SUPPLY_ASK;
        source->who = whom_to_ask(walk->house, site, error);
        return source->who != NULL;
    }
    return TRUE;
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

/* What lies before today is no use; what is said of the ground counts from today. */
static void from_today(struct spl_day today, struct spl_plan_source *source)
{
    if (spl_day_compare(source->latest, today) < 0) {
        if (source->state == SPL_SUPPLY_OPEN)
            source->state = SPL_SUPPLY_OVER;
        return;
    }
    source->earliest.n = MAX(source->earliest.n, today.n);
    source->likely_start.n = MAX(source->likely_start.n, today.n);
    source->likely_end.n = MAX(source->likely_end.n, today.n);
}

/* The windows for medicine, or if there are none whatever there is. */
static gboolean add_windows(struct walk *walk, const struct spl_site *site,
                            const struct spl_plan_source *like, GError **error)
{
    GArray *told = spl_window_maker_at(walk->maker, site, walk->state->season, like->material->slug,
                                       NULL, FALSE, error);
    gboolean medicine = FALSE, any = FALSE, ok = TRUE;

    if (told == NULL)
        return FALSE;
    for (guint i = 0; i < told->len; i++)
        medicine |=
            g_strcmp0(g_array_index(told, struct spl_window_told, i).window.use, "medicine") == 0;
    for (guint i = 0; i < told->len && ok; i++) {
        const struct spl_window *window = &g_array_index(told, struct spl_window_told, i).window;
        struct spl_plan_source source = *like;

        if (medicine && g_strcmp0(window->use, "medicine") != 0)
            continue;
        source.site = g_strdup(site->name);
        source.earliest = window->earliest;
        source.likely_start = window->likely_start;
        source.likely_end = window->likely_end;
        source.latest = window->latest;
        source.every_days = window->every_days;
        from_today(walk->house->today, &source);
        if (source.every_days > 1)
            ok = last_picked(walk, site, like->material, &source.last_picked, error);
        if (ok && source.state == SPL_SUPPLY_OPEN)
            ok = judge_window(walk, site, &source, error);
        g_array_append_val(walk->sources, source);
        any = TRUE;
    }
    if (ok && !any) {
        struct spl_plan_source source = *like;

        source.site = g_strdup(site->name);
        if (source.state == SPL_SUPPLY_OPEN)
            source.state = SPL_SUPPLY_NO_WINDOW;
        source.earliest = source.likely_start = source.likely_end = source.latest = SPL_DAY_NONE;
        g_array_append_val(walk->sources, source);
    }
    spl_list_free(&spl_window_told_shape, told);
    return ok;
}

static gboolean add_site(const struct spl_site *site, gpointer data, GError **error)
{
    struct walk *walk = data;
    g_autoptr(GHashTable) stands = g_hash_table_new(g_str_hash, g_str_equal);

    for (guint m = 0; m < walk->materials->len; m++) {
        const struct spl_material *material = g_ptr_array_index(walk->materials, m);
        const char *plant = material->plant->slug;
        struct spl_stand_allowance allowance;
        struct spl_plan_source source = {
            .site_id = site->id, .lat = site->lat, .lon = site->lon, .material = material};
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
        source.caution = allowance.caution;
        source.state = state_of(&allowance);
        spl_stand_allowance_clear(&allowance);
        if (spl_protection_refuses(walk->house, material, NULL))
            source.state = SPL_SUPPLY_REFUSED;
        if (!add_windows(walk, site, &source, error))
            return FALSE;
    }
    spl_progress_tell(&walk->house->progress, "looking at sites", ++walk->done, walk->total);
    return TRUE;
}

GArray *spl_plan_sources(struct spl_house *house, const struct spl_plan_state *state,
                         GError **error)
{
    g_autoptr(spl_window_maker) maker = spl_window_maker_new(house, 0, error);
    g_autoptr(GPtrArray) materials = g_ptr_array_new();
    struct walk walk = {.house = house, .state = state, .maker = maker, .materials = materials};

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
    if (!spl_site_each(house->book, add_site, &walk, error)) {
        g_array_unref(walk.sources);
        return NULL;
    }
    return walk.sources;
}
