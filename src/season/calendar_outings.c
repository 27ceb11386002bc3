/* SPDX-License-Identifier: MIT
 *
 * Kept outings as calendar entries. See season/calendar_gather.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/text.h"
#include "book/plan.h"
#include "book/site.h"
#include "core/geodesic.h"
#include "core/verdict.h"
#include "season/calendar_gather.h"
#include "season/check_private.h"
#include "season/ground.h"
#include "season/plan_free.h"
#include "season/plan_problem.h"
#include "simpling/error.h"

#define ALARM_MIN (15 * 60) /* before its day begins: nine in the morning of the day before */
#define DAY_MIN (24 * 60)

static const struct spl_site *site_of(const struct spl_calendar_gather *gather, gint64 id)
{
    GHashTableIter iter;
    gpointer site;

    g_hash_table_iter_init(&iter, gather->sites);
    while (g_hash_table_iter_next(&iter, NULL, &site))
        if (((const struct spl_site *)site)->id == id)
            return site;
    return NULL;
}

/* What to take at one place, and what for. */
static void add_takes(const struct spl_calendar_gather *gather,
                      const struct spl_kept_outing *outing, gint64 site_id, GString *text,
                      GPtrArray *materials)
{
    for (guint i = 0; i < outing->takes->len; i++) {
        const struct spl_kept_take *take = &g_array_index(outing->takes, struct spl_kept_take, i);
        g_autofree char *spoken = spl_calendar_spoken(gather->house->tables, take->material);
        g_autofree char *grams = spl_mass_format(take->grams);

        if (take->site_id != site_id)
            continue;
        g_string_append_printf(text, "- take %s of %s", grams, spoken);
        if (take->what_for != NULL && *take->what_for != '\0') {
            g_autofree char *what_for = g_strdelimit(g_strdup(take->what_for), "\n", ';');

            g_string_append_printf(text, " for %s", what_for);
        }
        g_string_append_c(text, '\n');
        if (!g_ptr_array_find_with_equal_func(materials, take->material, g_str_equal, NULL))
            g_ptr_array_add(materials, take->material);
    }
}

/* A closed place invites to nothing: what was to be taken there is not said, and `closed` gets its
 * name. */
static gboolean add_stop(struct spl_calendar_gather *gather, const struct spl_kept_outing *outing,
                         const struct spl_site *site, GString *text, GPtrArray *materials,
                         GPtrArray *closed, GError **error)
{
    g_autoptr(spl_ground) ground = spl_ground_load(gather->house, site, error);
    struct spl_verdict_result result;
    gboolean today;

    if (ground == NULL)
        return FALSE;
    spl_ground_verdict(ground, outing->day, NULL, &result);
    today = outing->day.n >= gather->house->today.n && spl_calendar_closed_today(gather, ground);
    if (today && result.verdict != SPL_VERDICT_CLOSED) {
        spl_verdict_result_clear(&result);
        spl_ground_verdict(ground, gather->house->today, NULL, &result);
    }
    g_string_append_printf(text, "\n%s: %s.\n", site->name, spl_verdict_words(result.verdict));
    if (result.verdict == SPL_VERDICT_CLOSED) {
        g_ptr_array_add(closed, site->name);
        g_string_append(text, "- take nothing here\n");
    } else {
        add_takes(gather, outing, site->id, text, materials);
    }
    spl_calendar_reason_lines(&result, text);
    spl_verdict_result_clear(&result);
    return TRUE;
}

static void add_cautions(const struct spl_calendar_gather *gather, const GPtrArray *materials,
                         GString *text)
{
    for (guint i = 0; i < materials->len; i++) {
        const struct spl_material *material =
            spl_tables_material_by_slug(gather->house->tables, g_ptr_array_index(materials, i));
        g_autoptr(GPtrArray) cautions = g_ptr_array_new_with_free_func(g_free);

        if (material == NULL)
            continue;
        spl_material_cautions(gather->house, material, cautions);
        for (guint j = 0; j < cautions->len; j++)
            g_string_append_printf(text, "Caution, %s: %s\n", material->spoken,
                                   (const char *)g_ptr_array_index(cautions, j));
    }
}

/* "home to Scarth Wood 6 km, 9 min": a leg by road as the plan reckons it. */
static void add_leg(const struct spl_calendar_gather *gather, struct spl_position from,
                    struct spl_position to, const char *words, GString *text)
{
    double speed = SPL_PLAN_KM_PER_H, km;
    g_autofree char *way = NULL;

    spl_house_setting_number(gather->house, "speed", &speed);
    km = spl_geodesic_inverse(from, to, NULL, NULL) / 1000 * SPL_PLAN_DETOUR;
    way = spl_distance_format(km);
    g_string_append_printf(text, "%s %s, %.0f min", words, way, km / speed * 60);
}

/* The way from home by all stops and back. */
static void add_travel(const struct spl_calendar_gather *gather, const GPtrArray *sites,
                       GString *text)
{
    struct spl_position home, at;

    if (sites->len == 0 || !spl_house_setting_place(gather->house, &home.lat, &home.lon))
        return;
    at = home;
    g_string_append(text, "Travel: ");
    for (guint i = 0; i < sites->len; i++) {
        const struct spl_site *site = g_ptr_array_index(sites, i);
        struct spl_position here = {.lat = site->lat, .lon = site->lon};
        g_autofree char *words = g_strconcat(i == 0 ? "to " : "; to ", site->name, NULL);

        add_leg(gather, at, here, words, text);
        at = here;
    }
    add_leg(gather, at, home, "; way home", text);
    g_string_append(text, ".\n");
}

/* From the hour in which the dew is off at the first stop, as long as it takes. */
static void set_times(const struct spl_calendar_gather *gather,
                      const struct spl_kept_outing *outing, const struct spl_site *first,
                      struct spl_calendar_item *item, GString *text)
{
    struct spl_entry *entry = &item->entry;
    struct spl_plan_free dry;

    entry->opaque = TRUE;
    entry->alarm_min = ALARM_MIN;
    if (gather->clock == NULL || first == NULL) {
        g_string_append(text, "All day, as long as the book has no zone.\n");
        return;
    }
    dry = spl_plan_free_on(gather->house, NULL, outing->day, first->lat, first->lon);
    entry->start_min = CLAMP(dry.from_min, 0, DAY_MIN - 2);
    entry->end_min =
        CLAMP(entry->start_min + (int)ceil(outing->hours * 60), entry->start_min + 1, DAY_MIN - 1);
    entry->zone = g_strdup(gather->clock);
    entry->alarm_min = ALARM_MIN + entry->start_min;
    g_string_append_printf(text, "From %02d:%02d, when the dew is off, until about %02d:%02d.\n",
                           entry->start_min / 60, entry->start_min % 60, entry->end_min / 60,
                           entry->end_min % 60);
}

static gboolean take_outing(struct spl_calendar_gather *gather,
                            const struct spl_kept_outing *outing, GError **error)
{
    const struct spl_site *first;
    struct spl_calendar_item item;
    g_autoptr(GString) text = g_string_new(NULL);
    g_autoptr(GString) places = g_string_new(NULL);
    g_autoptr(GPtrArray) materials = g_ptr_array_new();
    g_autoptr(GPtrArray) closed = g_ptr_array_new();
    g_autoptr(GString) title = g_string_new(NULL);
    g_autoptr(GString) stops = g_string_new(NULL);
    g_autoptr(GPtrArray) sites = g_ptr_array_new();
    g_autofree char *way = spl_distance_format(outing->km);
    gboolean ok = TRUE;

    g_string_append_printf(text, "About %.1f hours, %s.", outing->hours, way);
    if (spl_day_is_set(outing->reserve)) {
        g_autofree char *reserve = spl_day_words(outing->reserve);

        g_string_append_printf(text, " If it rains: %s.", reserve);
    }
    g_string_append_c(text, '\n');
    for (guint i = 0; ok && i < outing->stops->len; i++) {
        const struct spl_site *site =
            site_of(gather, g_array_index(outing->stops, struct spl_kept_stop, i).site_id);

        if (site == NULL)
            continue;
        g_ptr_array_add(sites, (gpointer)site);
        g_string_append_printf(places, "%s%s", places->len > 0 ? ", " : "", site->name);
        ok = add_stop(gather, outing, site, stops, materials, closed, error);
    }
    g_string_append(stops, "\nCheck again before picking.\n");
    add_cautions(gather, materials, stops);
    if (!ok ||
        !spl_calendar_item_begin(gather, &item, g_strdup_printf("outing;%s", outing->uuid), error))
        return FALSE;
    item.entry.first = item.entry.last = outing->day;
    spl_day_to_ymd(outing->day, &item.year, NULL, NULL);
    item.entry.status = SPL_ENTRY_CONFIRMED;
    first = sites->len > 0 ? g_ptr_array_index(sites, 0) : NULL;
    set_times(gather, outing, first, &item, text);
    add_travel(gather, sites, text);
    g_string_append(text, stops->str);
    for (guint i = 0; i < closed->len; i++)
        g_string_append_printf(title, "%s%s", i == 0 ? "CLOSED: " : ", ",
                               (const char *)g_ptr_array_index(closed, i));
    g_string_append(title, closed->len > 0 ? "; " : "");
    item.lead = title->len;
    g_string_append_printf(title, "Outing: %s", places->str);
    item.entry.summary = g_strdup(title->str);
    item.entry.description = g_strdup(g_strchomp(text->str));
    item.entry.location = g_strdup(places->str);
    item.entry.category = g_strdup("outings");
    if (gather->scope->with_places && first != NULL) {
        item.entry.lat = first->lat;
        item.entry.lon = first->lon;
    }
    ok = spl_calendar_hand_on(gather, &item, error);
    spl_calendar_item_clear(&item);
    return ok;
}

gboolean spl_calendar_gather_outings(struct spl_calendar_gather *gather, GError **error)
{
    g_autoptr(GArray) outings = spl_kept_outing_list(gather->house->book, gather->season, error);

    if (outings == NULL)
        return FALSE;
    for (guint i = 0; i < outings->len; i++)
        if (!take_outing(gather, &g_array_index(outings, struct spl_kept_outing, i), error))
            return FALSE;
    return TRUE;
}
