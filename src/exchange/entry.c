/* SPDX-License-Identifier: MIT
 *
 * The calendar entry: making, clearing, its own properties, its hash. See entry.h.
 */
#include "exchange/entry.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/digest.h"
#include "exchange/entry_mark.h"
#include "exchange/ical_zone.h"

void spl_entry_init(struct spl_entry *entry)
{
    *entry = (struct spl_entry){
        .first = SPL_DAY_NONE,
        .last = SPL_DAY_NONE,
        .due = SPL_DAY_NONE,
        .completed = SPL_DAY_NONE,
        .override_day = SPL_DAY_NONE,
        .start_min = -1,
        .end_min = -1,
        .due_min = -1,
        .exact_min = -1,
        .completed_min = -1,
        .percent = -1,
        .n_alarms = -1,
        .lat = NAN,
        .lon = NAN,
    };
}

void spl_entry_clear(struct spl_entry *entry)
{
    g_free(entry->uid);
    g_free(entry->summary);
    g_free(entry->description);
    g_free(entry->location);
    g_free(entry->note);
    g_free(entry->category);
    g_free(entry->categories);
    g_free(entry->url);
    g_free(entry->related_uid);
    g_free(entry->zone);
    g_free(entry->tzid);
    g_free(entry->rule);
    g_clear_pointer(&entry->x, g_array_unref);
    g_clear_pointer(&entry->except, g_array_unref);
    g_clear_pointer(&entry->extra, g_array_unref);
    spl_entry_init(entry);
}

static void entry_x_clear(gpointer data)
{
    struct spl_entry_x *own = data;

    g_free(own->name);
    g_free(own->value);
}

void spl_entry_add_x(struct spl_entry *entry, const char *name, const char *value)
{
    struct spl_entry_x own = {g_strdup(name), g_strdup(value)};

    if (entry->x == NULL) {
        entry->x = g_array_new(FALSE, FALSE, sizeof(struct spl_entry_x));
        g_array_set_clear_func(entry->x, entry_x_clear);
    }
    g_array_append_val(entry->x, own);
}

const char *spl_entry_get_x(const struct spl_entry *entry, const char *name)
{
    for (guint i = 0; entry->x != NULL && i < entry->x->len; i++) {
        const struct spl_entry_x *own = &g_array_index(entry->x, struct spl_entry_x, i);

        if (g_ascii_strcasecmp(own->name, name) == 0)
            return own->value;
    }
    return NULL;
}

static int compare_minutes(gconstpointer a, gconstpointer b)
{
    gint64 one = *(const gint64 *)a, other = *(const gint64 *)b;

    return (one > other) - (one < other);
}

/* A moment as minutes before the start, whose clock is its own zone's, or else `zone`'s. */
static gint64 before_start(const struct spl_entry *entry, const char *zone, gint64 moment)
{
    struct spl_day day = entry->first;
    int min = MAX(entry->start_min, 0);

    if (entry->zone != NULL)
        zone = entry->zone;
    if (zone != NULL && strcmp(zone, "UTC") != 0)
        (void)spl_zone_convert(zone, "UTC", &day.n, &min);
    return (gint64)day.n * 24 * 60 + min - moment;
}

char *spl_entry_alarms_text(const struct spl_entry *entry, const char *zone)
{
    GString *text = g_string_new(NULL);
    gint64 minutes[SPL_ENTRY_ALARMS_MAX];

    for (int i = 0; i < entry->n_alarms; i++)
        minutes[i] = entry->alarms[i].moment ? before_start(entry, zone, entry->alarms[i].minutes)
                                             : entry->alarms[i].minutes;
    if (entry->n_alarms > 1)
        qsort(minutes, (size_t)entry->n_alarms, sizeof *minutes, compare_minutes);
    for (int i = 0; i < entry->n_alarms; i++)
        g_string_append_printf(text, "%s%" G_GINT64_FORMAT, i > 0 ? "," : "", minutes[i]);
    return g_string_free(text, FALSE);
}

void spl_entry_set_alarms(struct spl_entry *entry, const char *text)
{
    char *end;

    entry->n_alarms = 0;
    for (; entry->n_alarms < SPL_ENTRY_ALARMS_MAX; text = end) {
        gint64 minutes = g_ascii_strtoll(text, &end, 10);

        if (end == text)
            break;
        entry->alarms[entry->n_alarms++] = (struct spl_entry_alarm){FALSE, minutes};
        end += *end == ',';
    }
}

/* The closing NUL goes in as well, so that "ab","c" and "a","bc" differ. */
static void hash_text(struct spl_digest *sum, const char *text)
{
    if (text == NULL)
        text = "";
    spl_digest_add(sum, text, strlen(text) + 1);
}

/* In millionths of a degree; none is off the globe. */
static gint64 micro_degrees(double degrees)
{
    return isnan(degrees) ? 1000000000 : llrint(degrees * 1e6);
}

/* Numbers in decimal, a blank between. */
static void write_numbers(char *at, const gint64 *numbers, gsize count)
{
    for (gsize i = 0; i < count; i++) {
        char digits[24];
        int n = 0;
        gint64 rest = ABS(numbers[i]);

        do
            digits[n++] = (char)('0' + rest % 10);
        while ((rest /= 10) > 0);
        if (i > 0)
            *at++ = ' ';
        if (numbers[i] < 0)
            *at++ = '-';
        while (n > 0)
            *at++ = digits[--n];
    }
    *at = '\0';
}

/* Counted up when the same entry comes to stand otherwise in files. */
#define FORM 2

char *spl_entry_hash(const struct spl_entry *entry)
{
    g_autoptr(spl_digest) sum = spl_digest_new();
    const gint64 values[] = {entry->kind,
                             entry->status,
                             entry->first.n,
                             entry->last.n,
                             entry->start_min,
                             entry->end_min,
                             entry->due.n,
                             entry->due_min,
                             entry->alarm_min,
                             entry->opaque,
                             entry->completed.n,
                             FORM,
                             micro_degrees(entry->lat),
                             micro_degrees(entry->lon)};
    char numbers[24 * G_N_ELEMENTS(values)];

    write_numbers(numbers, values, G_N_ELEMENTS(values));
    hash_text(sum, numbers);
    hash_text(sum, entry->summary);
    hash_text(sum, entry->description);
    hash_text(sum, entry->location);
    hash_text(sum, entry->note);
    hash_text(sum, entry->categories != NULL ? entry->categories : entry->category);
    if (entry->n_alarms >= 0) {
        g_autofree char *alarms = spl_entry_alarms_text(entry, NULL);

        hash_text(sum, alarms);
    }
    hash_text(sum, entry->url);
    hash_text(sum, entry->related_uid);
    hash_text(sum, entry->color);
    hash_text(sum, entry->zone);
    for (guint i = 0; entry->x != NULL && i < entry->x->len; i++) {
        const struct spl_entry_x *own = &g_array_index(entry->x, struct spl_entry_x, i);

        if (strcmp(own->name, SPL_ENTRY_MARK_NAME) == 0)
            continue;
        hash_text(sum, own->name);
        hash_text(sum, own->value);
    }
    return spl_digest_hex(sum);
}
