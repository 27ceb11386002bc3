/* SPDX-License-Identifier: MIT
 *
 * Gathering calendar entries: what all kinds share. See season/calendar_gather.h.
 */
#include "season/calendar_gather.h"

#include <string.h>

#include "base/text.h"
#include "book/setting.h"
#include "book/site.h"
#include "core/verdict.h"
#include "exchange/ical_zone.h"
#include "season/ground.h"
#include "simpling/error.h"

#define ALARM_ALL_DAY_MIN (15 * 60) /* nine in the morning of the day before */
#define ALARM_TIMED_MIN 10
#define NOON_MIN (12 * 60)
#define DONE "Done: "

void spl_calendar_item_clear(struct spl_calendar_item *item)
{
    spl_entry_clear(&item->entry);
    spl_calendar_row_clear(&item->row);
    g_free(item->key);
    item->key = NULL;
    g_clear_pointer(&item->before, g_free);
    g_clear_pointer(&item->before_uid, g_free);
}

/* Whether an entry of this UID may have been met before; it has been from now on. The first 32 bits
 * of the UUID say where in the table; two of one place are looked up, in vain. */
static gboolean may_have_met(guint8 *met, const char *uid)
{
    guint64 place = g_ascii_strtoull(uid, NULL, 16) % (SPL_CALENDAR_MET_SIZE * 8);
    guint8 bit = (guint8)(1U << (place % 8));
    gboolean before = (met[place / 8] & bit) != 0;

    met[place / 8] |= bit;
    return before;
}

static gboolean find_row(struct spl_calendar_gather *gather, struct spl_calendar_item *item,
                         GError **error)
{
    struct spl_calendar_kept kept;

    if (gather->walk == NULL)
        return spl_calendar_row_find(gather->house->book, item->entry.uid, &item->row, &item->known,
                                     error);
    if (!spl_calendar_walk_find(gather->walk, item->entry.uid, &kept, &item->known, error))
        return FALSE;
    if (!item->known)
        return TRUE;
    item->row = kept.row;
    item->had = kept.had;
    item->sent = kept.sent;
    return TRUE;
}

gboolean spl_calendar_item_begin(struct spl_calendar_gather *gather, struct spl_calendar_item *item,
                                 char *key, GError **error)
{
    *item = (struct spl_calendar_item){
        .key = key, .outer_first = SPL_DAY_NONE, .outer_last = SPL_DAY_NONE, .since = SPL_DAY_NONE};
    spl_entry_init(&item->entry);
    item->entry.uid = spl_uuid_v5(gather->space, key);
    spl_calendar_row_clear(&item->row);
    if ((gather->met != NULL && !may_have_met(gather->met, item->entry.uid)) ||
        find_row(gather, item, error))
        return TRUE;
    spl_calendar_item_clear(item);
    return FALSE;
}

/* A colour for each kind, by name (RFC 7986 5.9 takes those of CSS3). */
static const char *color_of(const char *category)
{
    static const struct {
        const char *category, *color;
    } colors[] = {{"windows", "olivedrab"},
                  {"outings", "goldenrod"},
                  {"steps", "peru"},
                  {"checks", "slategray"}};

    for (gsize i = 0; category != NULL && i < G_N_ELEMENTS(colors); i++)
        if (strcmp(colors[i].category, category) == 0)
            return colors[i].color;
    return NULL;
}

gboolean spl_calendar_hand_on(struct spl_calendar_gather *gather, struct spl_calendar_item *item,
                              GError **error)
{
    item->entry.color = color_of(item->entry.category);
    return gather->each(item, gather->data, error);
}

static char *uid_of_task(const struct spl_calendar_gather *gather, const char *key)
{
    g_autofree char *task = g_strconcat("task;", key, NULL);

    return spl_uuid_v5(gather->space, task);
}

/* The same entry as a task, under a UID of its own. */
static gboolean hand_on_task(struct spl_calendar_gather *gather,
                             const struct spl_calendar_item *event, GError **error)
{
    struct spl_calendar_item item;
    gboolean ok;

    if (!spl_calendar_item_begin(gather, &item, g_strconcat("task;", event->key, NULL), error))
        return FALSE;
    item.year = event->year;
    item.done = event->done;
    item.in_book = event->in_book;
    item.code = event->code;
    item.site = event->site;
    item.since = event->since;
    item.entry.kind = SPL_ENTRY_TASK;
    item.entry.status = event->done ? SPL_ENTRY_COMPLETED : SPL_ENTRY_NEEDS_ACTION;
    item.entry.summary = g_strdup(event->entry.summary);
    item.entry.description = g_strdup(event->entry.description);
    item.entry.location = g_strdup(event->entry.location);
    item.entry.category = g_strdup(event->entry.category);
    item.entry.first = event->entry.first;
    item.entry.last = event->entry.last;
    item.entry.due = event->entry.last;
    item.entry.start_min = event->entry.start_min;
    item.entry.zone = g_strdup(event->entry.zone);
    item.entry.alarm_min = event->entry.alarm_min;
    item.entry.lat = event->entry.lat;
    item.entry.lon = event->entry.lon;
    item.entry.completed = event->entry.completed;
    item.entry.completed_min = event->entry.completed_min;
    if (gather->scope->tasks == SPL_CALENDAR_TASKS_TOO)
        item.entry.related_uid = g_strdup(event->entry.uid);
    else if (event->before != NULL)
        item.entry.related_uid = uid_of_task(gather, event->before);
    ok = spl_calendar_hand_on(gather, &item, error);
    spl_calendar_item_clear(&item);
    return ok;
}

gboolean spl_calendar_remind(struct spl_calendar_gather *gather, struct spl_calendar_item *item,
                             gboolean alarm, GError **error)
{
    struct spl_entry *entry = &item->entry;
    gboolean ok = TRUE;

    entry->status = SPL_ENTRY_CONFIRMED;
    if (!spl_day_is_set(entry->last))
        entry->last = entry->first;
    if (gather->zone != NULL) {
        struct spl_day day = entry->first;
        int min = gather->scope->at_min;

        /* In spring an hour does not exist: what would fall into it begins when it is over. */
        (void)spl_zone_convert(gather->zone, "UTC", &day.n, &min);
        (void)spl_zone_convert("UTC", gather->zone, &day.n, &min);
        entry->start_min = day.n == entry->first.n ? min : gather->scope->at_min;
        entry->zone = g_strdup(gather->zone);
    }
    if (item->done && spl_day_is_set(entry->first)) { /* noon where the person is */
        g_autofree char *zone = spl_house_setting_text(gather->house, "zone");

        entry->completed = entry->first;
        entry->completed_min = NOON_MIN;
        (void)spl_zone_convert(zone, "UTC", &entry->completed.n, &entry->completed_min);
    }
    entry->related_uid = g_strdup(item->before_uid);
    if (alarm && !item->done)
        entry->alarm_min = gather->zone != NULL ? ALARM_TIMED_MIN : ALARM_ALL_DAY_MIN;
    if (gather->scope->tasks != SPL_CALENDAR_EVENTS)
        ok = hand_on_task(gather, item, error);
    if (ok && gather->scope->tasks != SPL_CALENDAR_TASKS_ONLY) {
        if (item->done) { /* an event has no state for it */
            g_autofree char *title = entry->summary;

            entry->summary = g_strconcat(DONE, title, NULL);
            item->lead = strlen(DONE);
        }
        ok = spl_calendar_hand_on(gather, item, error);
    }
    spl_calendar_item_clear(item);
    return ok;
}

char *spl_calendar_spoken(const struct spl_tables *tables, const char *slug)
{
    const struct spl_material *material = spl_tables_material_by_slug(tables, slug);
    char *spoken = g_strdup(material != NULL ? material->spoken : slug);

    *spoken = g_ascii_toupper(*spoken);
    return spoken;
}

void spl_calendar_reason_lines(const struct spl_verdict_result *result, GString *text)
{
    for (guint i = 0; i < result->reasons->len; i++) {
        const struct spl_reason *reason = &g_array_index(result->reasons, struct spl_reason, i);
        g_autofree char *date = spl_day_words(reason->date);

        g_string_append_printf(text, "- %s: %s", spl_verdict_names[reason->verdict], reason->what);
        if (*date != '\0')
            g_string_append_printf(text, " (%s)", date);
        g_string_append_c(text, '\n');
    }
}

void spl_calendar_reasons(const struct spl_verdict_result *result, GString *text)
{
    spl_calendar_reason_lines(result, text);
    g_string_append(text, "Check again before picking.\n");
}

gboolean spl_calendar_closed_today(const struct spl_calendar_gather *gather,
                                   const struct spl_ground *ground)
{
    struct spl_verdict_result result;
    gboolean closed;

    spl_ground_verdict(ground, gather->house->today, NULL, &result);
    closed = result.verdict == SPL_VERDICT_CLOSED;
    spl_verdict_result_clear(&result);
    return closed;
}

/* "CLOSED from 2 June: "; the entry has its year. */
static char *closed_from(struct spl_day day)
{
    g_autofree char *words = spl_day_words(day);
    char *year = strrchr(words, ' ');

    if (year != NULL)
        *year = '\0';
    return g_strdup_printf("CLOSED from %s: ", words);
}

char *spl_calendar_closed(const struct spl_calendar_gather *gather, const struct spl_ground *ground,
                          gboolean closed_today, const struct spl_material *material,
                          const struct spl_verdict_result *on_first, struct spl_day first,
                          struct spl_day last)
{
    struct spl_day day = on_first->until;

    if (last.n < gather->house->today.n)
        return g_strdup("");
    if (closed_today || on_first->verdict == SPL_VERDICT_CLOSED)
        return g_strdup("CLOSED: ");
    while (spl_day_is_set(day) && day.n > first.n && day.n <= last.n) {
        struct spl_verdict_result result;
        struct spl_day until;
        gboolean closed;

        spl_ground_verdict(ground, day, material, &result);
        closed = result.verdict == SPL_VERDICT_CLOSED;
        until = result.until;
        spl_verdict_result_clear(&result);
        if (closed)
            return closed_from(day);
        if (!spl_day_is_set(until) || until.n <= day.n)
            break;
        day = until;
    }
    return g_strdup("");
}

static void site_free(gpointer site)
{
    spl_record_free(&spl_site_shape, site);
}

static gboolean take_site(const struct spl_site *site, gpointer data, GError **error)
{
    GHashTable *sites = data;
    struct spl_site *copy = g_new0(struct spl_site, 1);

    (void)error;
    spl_record_copy(&spl_site_shape, site, copy);
    copy->id = site->id;
    if (copy->uuid == NULL)
        copy->uuid = g_strdup(site->uuid);
    g_hash_table_insert(sites, copy->name, copy);
    return TRUE;
}

static int compare_names(gconstpointer a, gconstpointer b)
{
    const struct spl_site *const *one = a, *const *other = b;

    return strcmp((*one)->name, (*other)->name);
}

GPtrArray *spl_calendar_sites(const struct spl_calendar_gather *gather)
{
    GPtrArray *sites = g_ptr_array_new();
    GHashTableIter iter;
    gpointer site;

    g_hash_table_iter_init(&iter, gather->sites);
    while (g_hash_table_iter_next(&iter, NULL, &site))
        g_ptr_array_add(sites, site);
    g_ptr_array_sort(sites, compare_names);
    return sites;
}

gboolean spl_calendar_gather(struct spl_calendar_gather *gather, GError **error)
{
    int what = gather->scope->what;
    double lat = 50, lon = 0;

    gather->sites = g_hash_table_new_full(g_str_hash, g_str_equal, NULL, site_free);
    gather->years = g_hash_table_new(NULL, NULL);
    gather->space = spl_setting_uuid(gather->house->book, error);
    if (gather->space == NULL) {
        if (error != NULL && *error == NULL)
            g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                        "%s: has no identity of its own, which calendar entries need; checking the "
                        "book says what else is wrong with it",
                        spl_book_path(gather->house->book));
        return FALSE;
    }
    if (spl_house_tables(gather->house, error) == NULL ||
        !spl_site_each(gather->house->book, take_site, gather->sites, error))
        return FALSE;
    (void)spl_house_setting_place(gather->house, &lat, &lon);
    gather->season = spl_day_season(gather->house->today, lat);
    spl_day_season_bounds(gather->season, lat, &gather->first, &gather->last);
    return ((what & SPL_CALENDAR_WINDOWS) == 0 || spl_calendar_gather_windows(gather, error)) &&
           ((what & SPL_CALENDAR_OUTINGS) == 0 || spl_calendar_gather_outings(gather, error)) &&
           ((what & SPL_CALENDAR_STEPS) == 0 || spl_calendar_gather_steps(gather, error)) &&
           ((what & SPL_CALENDAR_CHECKS) == 0 || spl_calendar_gather_checks(gather, error));
}

void spl_calendar_gather_clear(struct spl_calendar_gather *gather)
{
    g_clear_pointer(&gather->sites, g_hash_table_unref);
    g_clear_pointer(&gather->years, g_hash_table_unref);
    g_clear_pointer(&gather->space, g_free);
}
