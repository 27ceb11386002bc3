/* SPDX-License-Identifier: MIT
 *
 * Harvest windows as calendar entries: DTSTART to DTEND are the best days. See
 * season/calendar_gather.h.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "book/site.h"
#include "core/stage.h"
#include "core/verdict.h"
#include "core/window.h"
#include "season/calendar_gather.h"
#include "season/check_private.h"
#include "season/ground.h"
#include "season/windows.h"
#include "simpling/error.h"

#define ALARM_MIN (15 * 60) /* nine in the morning of the day before */
#define YEARS_MAX 12
#define STAY_DAYS 2 /* a predicted window that moves by less stays where it was written */

static const char *const basis_words[] = {
    [SPL_BASIS_ALMANAC] = "The days are the almanac's own; they are not yet moved to this place.",
    [SPL_BASIS_SHIFTED] =
        "The almanac's days, moved to this place by latitude, longitude and height.",
    [SPL_BASIS_NORMALS] = "Reckoned by the usual warmth of this place.",
    [SPL_BASIS_WEATHER] =
        "Reckoned by this year's weather so far and the usual warmth for the rest.",
    [SPL_BASIS_OBSERVED] = "Reckoned by what was seen growing.",
    [SPL_BASIS_FIXED] = "The days that you set.",
};

static gboolean moved(struct spl_day was, struct spl_day is)
{
    return !spl_day_is_set(was) || !spl_day_is_set(is) || abs(spl_day_diff(is, was)) >= STAY_DAYS;
}

/* The days as they were written, unless the window really moved. */
static void settle(struct spl_calendar_item *item, const struct spl_window *window)
{
    struct spl_entry *entry = &item->entry;

    entry->first = window->likely_start;
    entry->last = window->likely_end;
    item->outer_first = window->earliest;
    item->outer_last = window->latest;
    if (entry->last.n < entry->first.n)
        entry->last = entry->first;
    if (!item->known || window->basis == SPL_BASIS_FIXED || moved(item->row.first, entry->first) ||
        moved(item->row.last, entry->last) || moved(item->row.outer_first, item->outer_first) ||
        moved(item->row.outer_last, item->outer_last))
        return;
    entry->first = item->row.first;
    entry->last = item->row.last;
    item->outer_first = item->row.outer_first;
    item->outer_last = item->row.outer_last;
}

static void add_stages(GString *text, const struct spl_window *window)
{
    g_autofree char *from = NULL;
    g_autofree char *to = NULL;

    if (isnan(window->stage_from) || isnan(window->stage_to))
        return;
    from = spl_stage_format((int)window->stage_from);
    to = spl_stage_format((int)window->stage_to);
    g_string_append_printf(text, "Growth stage: %s to %s.\n", from, to);
}

static char *text_of(struct spl_calendar_gather *gather, const struct spl_site *site,
                     const struct spl_calendar_item *item, const struct spl_window *window,
                     const struct spl_verdict_result *result, gboolean now)
{
    const struct spl_material *material =
        spl_tables_material_by_slug(gather->house->tables, window->material);
    g_autoptr(GString) text = g_string_new(NULL);
    g_autofree char *earliest = spl_day_words(item->outer_first);
    g_autofree char *first = spl_day_words(item->entry.first);
    g_autofree char *last = spl_day_words(item->entry.last);
    g_autofree char *latest = spl_day_words(item->outer_last);
    g_autofree char *hours =
        spl_picking_words(gather->house, site->lat, site->lon, item->entry.first, window->material);

    g_string_append_printf(text,
                           "For %s. May begin %s, best from %s to %s, mostly over after %s.\n",
                           window->use, earliest, first, last, latest);
    add_stages(text, window);
    if (hours != NULL)
        g_string_append_printf(text, "Pick %s (on %s).\n", hours, first);
    if (window->every_days > 0)
        g_string_append_printf(text, "May be picked again after %d days.\n", window->every_days);
    g_string_append_printf(text, "%s\n", basis_words[window->basis]);
    g_string_append_printf(text, "\nThe ground %s%s: %s.\n", now ? "now" : "on ", now ? "" : first,
                           spl_verdict_words(result->verdict));
    spl_calendar_reasons(result, text);
    if (material != NULL) {
        g_autoptr(GPtrArray) cautions = g_ptr_array_new_with_free_func(g_free);

        spl_material_cautions(gather->house, material, cautions);
        for (guint i = 0; i < cautions->len; i++)
            g_string_append_printf(text, "%sCaution: %s\n", i == 0 ? "\n" : "",
                                   (const char *)g_ptr_array_index(cautions, i));
    }
    return g_strchomp(g_string_free(g_steal_pointer(&text), FALSE));
}

static char *title_of(const struct spl_calendar_gather *gather, const struct spl_window *window,
                      const struct spl_site *site)
{
    static const char *const times[] = {"second", "third", "fourth"};
    g_autofree char *spoken = spl_calendar_spoken(gather->house->tables, window->material);
    g_autoptr(GString) title = g_string_new(spoken);

    if (strcmp(window->use, SPL_USE_MEDICINE) != 0)
        g_string_append_printf(title, " (%s)", window->use);
    g_string_append_printf(title, ", %s", site->name);
    if (window->flush >= 2 && window->flush <= 4)
        g_string_append_printf(title, ", %s time", times[window->flush - 2]);
    return g_string_free(g_steal_pointer(&title), FALSE);
}

static gboolean take_window(struct spl_calendar_gather *gather, const struct spl_site *site,
                            const struct spl_ground *ground, gboolean closed_today,
                            const struct spl_window *window, GError **error)
{
    const struct spl_material *material =
        spl_tables_material_by_slug(gather->house->tables, window->material);
    struct spl_verdict_result result;
    struct spl_calendar_item item;
    g_autofree char *closed = NULL, *title = NULL;
    gboolean ok, now = FALSE;

    if (!spl_day_is_set(window->likely_start) || !spl_day_is_set(window->likely_end))
        return TRUE;
    if (!spl_calendar_item_begin(
            gather, &item,
            g_strdup_printf("window;%s;%s;%s;%d;%d;%s", site->uuid, window->material, window->use,
                            window->flush, window->year,
                            window->row != NULL && window->row->uid != NULL ? window->row->uid
                                                                            : ""),
            error))
        return FALSE;
    settle(&item, window);
    spl_ground_verdict(ground, item.entry.first, material, &result);
    item.year = window->year;
    item.site = site->name;
    item.entry.status = SPL_ENTRY_CONFIRMED;
    closed = spl_calendar_closed(gather, ground, closed_today, material, &result, item.entry.first,
                                 item.entry.last);
    if (closed_today && item.entry.last.n >= gather->house->today.n) {
        /* That it is closed is what counts, whatever was known of its first day. */
        now = result.verdict != SPL_VERDICT_CLOSED;
        spl_verdict_result_clear(&result);
        spl_ground_verdict(ground, now ? gather->house->today : item.entry.first, material,
                           &result);
    }
    title = title_of(gather, window, site);
    item.entry.summary = g_strconcat(closed, title, NULL);
    item.lead = strlen(closed);
    item.entry.description = text_of(gather, site, &item, window, &result, now);
    item.entry.location = g_strdup(site->name);
    item.entry.category = g_strdup("windows");
    item.entry.alarm_min = ALARM_MIN;
    if (gather->scope->with_places) {
        item.entry.lat = site->lat;
        item.entry.lon = site->lon;
    }
    spl_entry_add_x(&item.entry, "X-SIMPLING-MATERIAL", window->material);
    spl_entry_add_x(&item.entry, "X-SIMPLING-USE", window->use);
    ok = spl_calendar_hand_on(gather, &item, error);
    spl_verdict_result_clear(&result);
    spl_calendar_item_clear(&item);
    return ok;
}

static int compare_slugs(gconstpointer a, gconstpointer b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* What the site is known to bear, by slug: a calendar is for what one has seen there. */
static GPtrArray *known_materials(struct spl_calendar_gather *gather, const struct spl_site *site,
                                  GError **error)
{
    GPtrArray *slugs = NULL, *plants = NULL;
    GPtrArray *all = spl_tables_materials(gather->house->tables);

    if (!spl_calendar_known(gather->house->book, site->id, &slugs, &plants, error))
        return NULL;
    for (guint i = 0; i < plants->len; i++)
        for (guint j = 0; j < all->len; j++) {
            const struct spl_material *material = g_ptr_array_index(all, j);

            if (strcmp(material->plant->slug, g_ptr_array_index(plants, i)) == 0 &&
                !g_ptr_array_find_with_equal_func(slugs, material->slug, g_str_equal, NULL))
                g_ptr_array_add(slugs, g_strdup(material->slug));
        }
    g_ptr_array_unref(plants);
    g_ptr_array_sort(slugs, compare_slugs);
    return slugs;
}

/* `season` 0: what is open or comes in the growing year of today. */
static gboolean take_site(struct spl_calendar_gather *gather, spl_window_maker *maker,
                          const struct spl_site *site, int season, GError **error)
{
    g_autoptr(GPtrArray) materials = known_materials(gather, site, error);
    g_autoptr(spl_ground) ground = NULL;
    struct spl_day today = gather->house->today;
    int this_season = spl_day_season(today, site->lat);
    gboolean ok = materials != NULL, closed_today = FALSE;

    if (ok && materials->len > 0) {
        ground = spl_ground_load(gather->house, site, error);
        ok = ground != NULL;
        closed_today = ok && spl_calendar_closed_today(gather, ground);
    }
    for (guint i = 0; ok && i < materials->len; i++) {
        const char *material = g_ptr_array_index(materials, i);
        GArray *windows =
            season != 0 ? spl_window_maker_at(maker, site, season, material, NULL, FALSE, error)
                        : spl_window_maker_on(maker, site, today, material, NULL, FALSE, error);

        ok = windows != NULL;
        for (guint j = 0; ok && j < windows->len; j++) {
            const struct spl_window *window =
                &g_array_index(windows, struct spl_window_told, j).window;

            if (season == 0 && window->year > this_season)
                continue;
            /* Of the last growing year only what is still open is asked for, so that nothing else
             * of it counts as withdrawn. */
            if (season != 0 || window->year == this_season)
                g_hash_table_add(gather->years, GINT_TO_POINTER(window->year));
            ok = take_window(gather, site, ground, closed_today, window, error);
        }
        spl_list_free(&spl_window_told_shape, windows);
    }
    return ok;
}

gboolean spl_calendar_gather_windows(struct spl_calendar_gather *gather, GError **error)
{
    const struct spl_calendar_scope *scope = gather->scope;
    g_autoptr(spl_window_maker) maker = spl_window_maker_new(gather->house, 0, error);
    g_autoptr(GPtrArray) sites = spl_calendar_sites(gather);
    int first = 0, last = 0;

    if (maker == NULL)
        return FALSE;
    /* Without bounds the growing year of today, by each place; else every one that they touch. */
    if (spl_day_is_set(scope->from) || spl_day_is_set(scope->to)) {
        spl_day_to_ymd(spl_day_is_set(scope->from) ? scope->from : gather->first, &first, NULL,
                       NULL);
        spl_day_to_ymd(spl_day_is_set(scope->to) ? scope->to : gather->last, &last, NULL, NULL);
        first--; /* south of the equator it began in the year before */
        last = MIN(last, first + YEARS_MAX);
    }
    for (guint i = 0; i < sites->len; i++)
        for (int season = first; season <= last; season++)
            if (!take_site(gather, maker, g_ptr_array_index(sites, i), season, error))
                return FALSE;
    return TRUE;
}
