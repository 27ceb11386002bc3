/* SPDX-License-Identifier: MIT
 *
 * Corrections that wait, as second readings. See season/readings.h.
 */
#include "season/readings.h"

#include <math.h>
#include <string.h>

#include "book/revision.h"

GArray *spl_readings_load(struct spl_house *house, GError **error)
{
    return spl_revision_readings(house->book, error);
}

static const struct spl_revision_reading *reading_at(const GArray *readings, guint i)
{
    return &g_array_index(readings, struct spl_revision_reading, i);
}

static struct spl_day day_of(const struct spl_revision_reading *reading)
{
    return isnan(reading->number) ? SPL_DAY_NONE : (struct spl_day){(gint32)reading->number};
}

/* ---- words about spraying ---- */

static void set_text(char **text, const char *value)
{
    g_free(*text);
    *text = value != NULL && *value != '\0' ? g_strdup(value) : NULL;
}

/* FALSE: nothing that a verdict looks at. */
static gboolean set_note(struct spl_spray_record *record,
                         const struct spl_revision_reading *reading)
{
    if (strcmp(reading->field, "day") == 0)
        record->on = day_of(reading);
    else if (strcmp(reading->field, "method") == 0)
        set_text(&record->method, reading->text);
    else if (strcmp(reading->field, "until") == 0)
        record->until = day_of(reading);
    else if (strcmp(reading->field, "since") == 0)
        record->since = day_of(reading);
    else
        return FALSE;
    return TRUE;
}

static struct spl_day later(struct spl_day a, struct spl_day b)
{
    return spl_day_compare(a, b) > 0 ? a : b;
}

/* No day is no end. */
static struct spl_day earlier_end(struct spl_day a, struct spl_day b)
{
    if (!spl_day_is_set(a) || !spl_day_is_set(b))
        return spl_day_is_set(a) ? a : b;
    return spl_day_compare(a, b) < 0 ? a : b;
}

/* Of a good word what holds in both readings. FALSE: nothing does. */
static gboolean narrow(struct spl_spray_record *record, const struct spl_spray_record *other)
{
    if (record->kind == SPL_SPRAY_NOT_DONE)
        return spl_day_compare(record->on, other->on) == 0;
    record->on = earlier_end(record->on, other->on);
    record->until = earlier_end(record->until, other->until);
    if (!spl_day_is_set(record->since) || !spl_day_is_set(other->since))
        record->since = SPL_DAY_NONE;
    else
        record->since = later(record->since, other->since);
    return TRUE;
}

void spl_readings_of_notes(const GArray *readings, GArray *records)
{
    const guint noted = records->len;
    g_autofree gboolean *void_word = g_new0(gboolean, MAX(noted, 1));

    for (guint i = 0; i < readings->len; i++) {
        const struct spl_revision_reading *reading = reading_at(readings, i);

        for (guint k = 0; k < noted; k++) {
            struct spl_spray_record *record = &g_array_index(records, struct spl_spray_record, k);
            struct spl_spray_record other;
            gboolean danger =
                record->kind == SPL_SPRAY_SPRAYED || record->kind == SPL_SPRAY_PLANNED;

            if (g_strcmp0(record->uuid, reading->subject) != 0)
                continue;
            spl_record_copy(&spl_spray_record_shape, record, &other);
            if (set_note(&other, reading) && danger) {
                g_array_append_val(records, other); /* `record` may have moved: it is done with */
                break;
            }
            void_word[k] |= !danger && !narrow(record, &other);
            spl_record_clear(&spl_spray_record_shape, &other);
            break;
        }
    }
    for (guint k = noted; k > 0; k--) {
        if (!void_word[k - 1])
            continue;
        spl_record_clear(&spl_spray_record_shape,
                         &g_array_index(records, struct spl_spray_record, k - 1));
        g_array_remove_index(records, k - 1);
    }
}

/* ---- the place ---- */

static void set_site(struct spl_site *site, const struct spl_revision_reading *reading)
{
    if (strcmp(reading->field, "lat") == 0)
        site->lat = reading->number;
    else if (strcmp(reading->field, "lon") == 0)
        site->lon = reading->number;
    else if (strcmp(reading->field, "accuracy_m") == 0)
        site->accuracy_m = reading->number;
    else if (strcmp(reading->field, "own") == 0)
        site->own = reading->number == 1;
    else if (strcmp(reading->field, "outline") == 0) {
        set_text(&site->outline_wkt, reading->text);
        site->damaged = reading->damaged;
    }
}

static gboolean is_first_of(const GArray *readings, guint at)
{
    const struct spl_revision_reading *one = reading_at(readings, at);

    for (guint i = 0; i < at; i++)
        if (strcmp(reading_at(readings, i)->subject, one->subject) == 0 &&
            strcmp(reading_at(readings, i)->mark, one->mark) == 0)
            return FALSE;
    return TRUE;
}

GArray *spl_readings_of_site(const GArray *readings, const struct spl_site *site)
{
    GArray *sites = spl_list_new(&spl_site_shape);

    for (guint i = 0; i < readings->len; i++) {
        const struct spl_revision_reading *first = reading_at(readings, i);
        struct spl_site other;

        if (g_strcmp0(first->subject, site->uuid) != 0 || !is_first_of(readings, i))
            continue;
        spl_record_copy(&spl_site_shape, site, &other);
        for (guint k = i; k < readings->len; k++) {
            const struct spl_revision_reading *reading = reading_at(readings, k);

            if (strcmp(reading->subject, first->subject) == 0 &&
                strcmp(reading->mark, first->mark) == 0)
                set_site(&other, reading);
        }
        g_array_append_val(sites, other);
    }
    return sites;
}
