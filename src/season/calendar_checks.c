/* SPDX-License-Identifier: MIT
 *
 * The days on which a place's verdict changes with nothing new noted, as calendar entries: a word
 * that grows too old, a planned spraying, a hold that ends. See season/calendar_gather.h.
 */
#include <string.h>

#include "book/site.h"
#include "core/verdict.h"
#include "season/calendar_gather.h"
#include "season/ground.h"
#include "simpling/error.h"

#define CHANGES_MAX 24 /* of one place in a season */

/* The latest day on which anything was noted about the place; from there the verdicts follow. */
static gboolean last_noted(struct spl_house *house, const struct spl_site *site,
                           struct spl_day *day, GError **error)
{
    GArray *notes = spl_spray_list(house->book, site->id, FALSE, error);
    GArray *permissions = notes != NULL ? spl_permission_list(house->book, site->id, error) : NULL;

    for (guint i = 0; notes != NULL && i < notes->len; i++) {
        const struct spl_spray_record *note = &g_array_index(notes, struct spl_spray_record, i);

        /* A planned spraying lies ahead, called off or not: it is one of the changes. */
        if (spl_day_is_set(note->on) && note->kind != SPL_SPRAY_PLANNED &&
            note->kind != SPL_SPRAY_NOT_DONE && note->on.n > day->n)
            *day = note->on;
    }
    for (guint i = 0; permissions != NULL && i < permissions->len; i++) {
        const struct spl_permission_note *note =
            &g_array_index(permissions, struct spl_permission_note, i);

        if (spl_day_is_set(note->on) && note->on.n > day->n)
            *day = note->on;
    }
    spl_list_free(&spl_spray_record_shape, notes);
    spl_list_free(&spl_permission_note_shape, permissions);
    return notes != NULL && permissions != NULL;
}

static char *title_of(const struct spl_site *site, enum spl_verdict verdict)
{
    switch (verdict) {
    case SPL_VERDICT_ASK:
        return g_strdup_printf("Ask again about %s", site->name);
    case SPL_VERDICT_CLOSED:
        return g_strdup_printf("%s is closed from today", site->name);
    case SPL_VERDICT_CLEAR:
    case SPL_VERDICT_NONE:
        break;
    }
    return g_strdup_printf("Nothing known against %s from today", site->name);
}

static gboolean hand_on(struct spl_calendar_gather *gather, const struct spl_site *site,
                        struct spl_day day, const struct spl_verdict_result *result, int number,
                        GError **error)
{
    struct spl_calendar_item item;
    g_autoptr(GString) text = g_string_new(NULL);
    g_autofree char *words = spl_day_words(day);

    if (!spl_calendar_item_begin(
            gather, &item, g_strdup_printf("check;%s;%d;%d", site->uuid, gather->season, number),
            error))
        return FALSE;
    g_string_append_printf(text, "The ground from %s on: %s.\n", words,
                           spl_verdict_words(result->verdict));
    spl_calendar_reasons(result, text);
    item.year = gather->season;
    item.site = site->name;
    item.entry.first = day;
    item.entry.summary = title_of(site, result->verdict);
    item.entry.description = g_strdup(g_strchomp(text->str));
    item.entry.location = g_strdup(site->name);
    item.entry.category = g_strdup("checks");
    if (gather->scope->with_places) {
        item.entry.lat = site->lat;
        item.entry.lon = site->lon;
    }
    return spl_calendar_remind(gather, &item, TRUE, error);
}

static gboolean take_site(struct spl_calendar_gather *gather, const struct spl_site *site,
                          GError **error)
{
    struct spl_day day = gather->first;
    struct spl_verdict_result result;
    g_autoptr(spl_ground) ground = NULL;
    gboolean ok = last_noted(gather->house, site, &day, error);
    int number = 0;

    if (ok) {
        ground = spl_ground_load(gather->house, site, error);
        ok = ground != NULL;
    }
    if (!ok)
        return FALSE;
    spl_ground_verdict(ground, day, NULL, &result);
    for (int i = 0; ok && i < CHANGES_MAX; i++) {
        struct spl_day next = result.until;

        if (!spl_day_is_set(next) || next.n > gather->last.n || next.n <= day.n)
            break;
        day = next;
        spl_verdict_result_clear(&result);
        spl_ground_verdict(ground, day, NULL, &result);
        if (day.n >= gather->first.n)
            ok = hand_on(gather, site, day, &result, ++number, error);
    }
    spl_verdict_result_clear(&result);
    return ok;
}

gboolean spl_calendar_gather_checks(struct spl_calendar_gather *gather, GError **error)
{
    g_autoptr(GPtrArray) sites = spl_calendar_sites(gather);

    for (guint i = 0; i < sites->len; i++)
        if (!take_site(gather, g_ptr_array_index(sites, i), error))
            return FALSE;
    return TRUE;
}
