/* SPDX-License-Identifier: MIT
 *
 * The calendar writer: libical makes and folds each component, this file feeds it only what comes
 * out right (reference: RFC 5545 3.1, 3.6, 3.8; RFC 7986 4-5). See ical_write.h.
 */
#include "exchange/ical_write.h"

#include <libical/ical.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/text.h"
#include "exchange/ical_value.h"
#include "exchange/ical_zone.h"
#include "simpling/error.h"

#define PRODID "-//simpling//season calendar//EN"
#define SUMMARY_CHARS 180 /* longer titles are cut by some readers, then better by us */
#define TIMED_MINUTES 30  /* length of a timed reminder */

struct spl_ical_writer {
    spl_file_writer *file; /* NULL: to the stream */
    FILE *stream;
    char *name;
    char *zone; /* NULL: no timed entries but in UTC */
    int year_first, year_last;
    GArray *x;
    gboolean begun; /* the head is written */
    int count;
};

static gboolean put(struct spl_ical_writer *writer, const char *text, gsize size, GError **error)
{
    if (writer->file != NULL)
        return spl_file_writer_write(writer->file, text, size, error);
    if (fwrite(text, 1, size, writer->stream) == size)
        return TRUE;
    g_set_error_literal(
        error, SPL_ERROR, SPL_ERROR_IO,
        "the calendar could not be written to the output: it was closed or is full");
    return FALSE;
}

static gboolean put_text(struct spl_ical_writer *writer, const char *text, GError **error)
{
    return put(writer, text, strlen(text), error);
}

/* TRUE when the text needs no cleaning, as ours never does: one look instead of a copy. */
static gboolean is_clean(const char *text, gboolean lines)
{
    gboolean ascii = TRUE;

    if (*text == '\0' || g_ascii_isspace(*text))
        return FALSE;
    for (const guchar *c = (const guchar *)text; *c != '\0'; c++) {
        if ((*c < 0x20 && !(lines && *c == '\n')) || *c == 0x7f)
            return FALSE;
        ascii = ascii && *c < 0x80;
    }
    return ascii && !g_ascii_isspace(text[strlen(text) - 1]);
}

/* People's text as one line without what would split a list or cannot be escaped in own properties
 * by the library. NULL when nothing is left. */
static char *plain_line(const char *text)
{
    char *line;

    if (text == NULL)
        return NULL;
    line = is_clean(text, FALSE) ? g_strdup(text) : spl_text_scrub(text, FALSE);
    for (char *c = line; *c != '\0'; c++)
        if (*c == ',' || *c == ';' || *c == '\\')
            *c = ' ';
    g_strstrip(line);
    if (*line == '\0')
        g_clear_pointer(&line, g_free);
    return line;
}

/* People's text for a TEXT property; NULL when nothing is left. */
static char *clean_text(const char *text, gboolean lines)
{
    char *clean;

    if (text == NULL)
        return NULL;
    if (is_clean(text, lines))
        return g_strdup(text);
    clean = spl_text_scrub(text, lines);
    g_strstrip(clean);
    if (*clean == '\0')
        g_clear_pointer(&clean, g_free);
    return clean;
}

static struct icaltimetype time_of_day(struct spl_day day, int minutes, gboolean utc)
{
    struct icaltimetype time = icaltime_null_time();

    if (minutes >= 24 * 60) {
        day = spl_day_add(day, minutes / (24 * 60));
        minutes %= 24 * 60;
    }
    spl_day_to_ymd(day, &time.year, &time.month, &time.day);
    if (minutes < 0) {
        time.is_date = 1;
    } else {
        time.hour = minutes / 60;
        time.minute = minutes % 60;
        if (utc)
            time.zone = icaltimezone_get_utc_timezone();
    }
    return time;
}

static struct icaltimetype time_from_unix(gint64 seconds)
{
    return icaltime_from_timet_with_zone((time_t)seconds, 0, icaltimezone_get_utc_timezone());
}

static void add_time(icalcomponent *component, icalproperty *property,
                     const struct spl_entry *entry)
{
    if (entry->start_min >= 0 && strcmp(entry->zone, "UTC") != 0)
        icalproperty_add_parameter(property, icalparameter_new_tzid(entry->zone));
    icalcomponent_add_property(component, property);
}

/* DTSTART with DTEND or DUE: exclusive ends (RFC 5545 3.6.1, 3.6.2, 3.8.2.2, 3.8.2.3). */
static void add_times(icalcomponent *component, const struct spl_entry *entry)
{
    gboolean utc = entry->zone != NULL && strcmp(entry->zone, "UTC") == 0;
    gboolean timed = entry->start_min >= 0;
    gboolean task = entry->kind == SPL_ENTRY_TASK;
    struct spl_day last = spl_day_is_set(entry->last) ? entry->last : entry->first;
    int end_min = task ? entry->due_min : entry->end_min;
    struct icaltimetype end;

    if (task && spl_day_is_set(entry->due))
        last = entry->due;
    add_time(
        component,
        icalproperty_new_dtstart(time_of_day(entry->first, timed ? entry->start_min : -1, utc)),
        entry);
    if (!timed)
        end = time_of_day(spl_day_add(last, 1), -1, FALSE);
    else if (end_min >= 0)
        end = time_of_day(last, end_min, utc);
    else if (task)
        end = time_of_day(last, 24 * 60 - 1, utc);
    else
        end = time_of_day(last, entry->start_min + TIMED_MINUTES, utc);
    add_time(component, task ? icalproperty_new_due(end) : icalproperty_new_dtend(end), entry);
}

static icalproperty_status status_of(enum spl_entry_status status)
{
    switch (status) {
    case SPL_ENTRY_TENTATIVE:
        return ICAL_STATUS_TENTATIVE;
    case SPL_ENTRY_CONFIRMED:
        return ICAL_STATUS_CONFIRMED;
    case SPL_ENTRY_NEEDS_ACTION:
        return ICAL_STATUS_NEEDSACTION;
    case SPL_ENTRY_IN_PROCESS:
        return ICAL_STATUS_INPROCESS;
    case SPL_ENTRY_COMPLETED:
        return ICAL_STATUS_COMPLETED;
    case SPL_ENTRY_CANCELLED:
        return ICAL_STATUS_CANCELLED;
    case SPL_ENTRY_NO_STATUS:
        break;
    }
    return ICAL_STATUS_NONE;
}

static icalproperty *own_property(const struct spl_entry_x *own)
{
    g_autofree char *value = plain_line(own->value);
    icalproperty *property;

    if (value == NULL)
        return NULL;
    property = icalproperty_new_x(value);
    icalproperty_set_x_name(property, own->name);
    return property;
}

/* Last in its component: some readers refuse properties after it. */
static void add_alarm(icalcomponent *component, const struct spl_entry *entry, const char *summary)
{
    icalcomponent *alarm = icalcomponent_new(ICAL_VALARM_COMPONENT);
    struct icaltriggertype trigger = {.time = icaltime_null_time()};

    trigger.duration.is_neg = 1;
    trigger.duration.days = (unsigned)entry->alarm_min / (24 * 60);
    trigger.duration.hours = (unsigned)entry->alarm_min / 60 % 24;
    trigger.duration.minutes = (unsigned)entry->alarm_min % 60;
    icalcomponent_add_property(alarm, icalproperty_new_action(ICAL_ACTION_DISPLAY));
    icalcomponent_add_property(alarm, icalproperty_new_description(summary));
    icalcomponent_add_property(alarm, icalproperty_new_trigger(trigger));
    icalcomponent_add_component(component, alarm);
}

static char *short_summary(const struct spl_entry *entry)
{
    char *summary = clean_text(entry->summary, FALSE);

    if (summary != NULL && g_utf8_strlen(summary, -1) > SUMMARY_CHARS) {
        g_autofree char *whole = summary;
        g_autofree char *cut = g_utf8_substring(whole, 0, SUMMARY_CHARS - 1);

        summary = g_strconcat(g_strchomp(cut), "\xe2\x80\xa6", NULL); /* an ellipsis */
    }
    return summary;
}

static gboolean entry_is_writable(const struct spl_ical_writer *writer,
                                  const struct spl_entry *entry, GError **error)
{
    const char *what = entry->summary != NULL ? entry->summary : "without a title";
    const char *wrong = NULL;

    if (!spl_ical_uid_is_valid(entry->uid))
        wrong = "its UID is not 1 to 254 letters, digits and hyphens";
    else if (!spl_day_is_set(entry->first))
        wrong = "it has no first day";
    else if (spl_day_is_set(entry->last) && spl_day_compare(entry->last, entry->first) < 0)
        wrong = "its last day is before its first";
    else if (entry->kind == SPL_ENTRY_TASK && spl_day_is_set(entry->due) &&
             spl_day_compare(entry->due, entry->first) < 0)
        wrong = "it is due before its first day";
    else if (!spl_day_is_set(spl_day_add(entry->first, 2)) ||
             (spl_day_is_set(entry->last) && !spl_day_is_set(spl_day_add(entry->last, 2))) ||
             (spl_day_is_set(entry->due) && !spl_day_is_set(spl_day_add(entry->due, 2))))
        wrong = "its end is after the year 9999";
    else if (entry->start_min >= 24 * 60 || entry->end_min > 24 * 60 || entry->due_min > 24 * 60)
        wrong = "its time of day is past midnight";
    else if (entry->start_min >= 0 && entry->zone == NULL)
        wrong = "it has a time of day but no zone";
    else if (entry->start_min >= 0 && strcmp(entry->zone, "UTC") != 0 &&
             g_strcmp0(entry->zone, writer->zone) != 0)
        wrong = "its zone is not the calendar's";
    else if (entry->start_min >= 0 && entry->end_min >= 0 && entry->end_min <= entry->start_min &&
             (!spl_day_is_set(entry->last) || entry->last.n == entry->first.n) &&
             entry->kind == SPL_ENTRY_EVENT)
        wrong = "it ends before it begins";
    /* The library copies a URI as it stands: a line break would begin a property of its own. */
    else if (entry->url != NULL && *entry->url != '\0' && !spl_ical_uri_is_valid(entry->url))
        wrong = "its URL is not an absolute URI";
    else if (entry->related_uid != NULL && !spl_ical_uid_is_valid(entry->related_uid))
        wrong = "the entry it belongs to has no valid UID";
    else if (!isnan(entry->lat) && !(fabs(entry->lat) <= 90 && fabs(entry->lon) <= 180))
        wrong = "its place is not on the globe";
    if (wrong == NULL)
        return TRUE;
    {
        g_autofree char *title = spl_text_scrub(what, FALSE);

        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "the calendar entry '%s' cannot be written: %s", title, wrong);
    }
    return FALSE;
}

static icalcomponent *component_new(const struct spl_entry *entry)
{
    gboolean task = entry->kind == SPL_ENTRY_TASK;
    icalcomponent *component =
        icalcomponent_new(task ? ICAL_VTODO_COMPONENT : ICAL_VEVENT_COMPONENT);
    struct icaltimetype changed = time_from_unix(entry->changed_at);
    g_autofree char *summary = short_summary(entry);
    g_autofree char *description = clean_text(entry->description, TRUE);
    g_autofree char *location = clean_text(entry->location, FALSE);
    g_autofree char *category = plain_line(entry->category);

    icalcomponent_add_property(component, icalproperty_new_uid(entry->uid));
    icalcomponent_add_property(component, icalproperty_new_dtstamp(changed));
    icalcomponent_add_property(component, icalproperty_new_lastmodified(changed));
    icalcomponent_add_property(component, icalproperty_new_sequence(MAX(entry->sequence, 0)));
    if (summary != NULL)
        icalcomponent_add_property(component, icalproperty_new_summary(summary));
    add_times(component, entry);
    if (description != NULL)
        icalcomponent_add_property(component, icalproperty_new_description(description));
    if (location != NULL)
        icalcomponent_add_property(component, icalproperty_new_location(location));
    if (category != NULL)
        icalcomponent_add_property(component, icalproperty_new_categories(category));
    if (entry->status != SPL_ENTRY_NO_STATUS)
        icalcomponent_add_property(component, icalproperty_new_status(status_of(entry->status)));
    if (task && entry->status == SPL_ENTRY_COMPLETED) {
        icalcomponent_add_property(component, icalproperty_new_percentcomplete(100));
        icalcomponent_add_property(component, icalproperty_new_completed(changed));
    }
    if (!task)
        icalcomponent_add_property(
            component,
            icalproperty_new_transp(entry->opaque ? ICAL_TRANSP_OPAQUE : ICAL_TRANSP_TRANSPARENT));
    if (!isnan(entry->lat) && !isnan(entry->lon))
        icalcomponent_add_property(
            component, icalproperty_new_geo((struct icalgeotype){entry->lat, entry->lon}));
    if (entry->url != NULL && *entry->url != '\0')
        icalcomponent_add_property(component, icalproperty_new_url(entry->url));
    if (entry->related_uid != NULL)
        icalcomponent_add_property(component, icalproperty_new_relatedto(entry->related_uid));
    for (guint i = 0; entry->x != NULL && i < entry->x->len; i++) {
        icalproperty *own = own_property(&g_array_index(entry->x, struct spl_entry_x, i));

        if (own != NULL)
            icalcomponent_add_property(component, own);
    }
    /* What is off needs no reminder (RFC 5546 3.2.5 forbids one there). */
    if (entry->alarm_min > 0 && entry->status != SPL_ENTRY_CANCELLED &&
        entry->status != SPL_ENTRY_COMPLETED)
        add_alarm(component, entry, summary != NULL ? summary : "Reminder");
    return component;
}

static gboolean put_property(struct spl_ical_writer *writer, icalproperty *property, GError **error)
{
    char *text = icalproperty_as_ical_string_r(property);
    gboolean ok = put_text(writer, text, error);

    icalmemory_free_buffer(text);
    icalproperty_free(property);
    return ok;
}

static gboolean put_head(struct spl_ical_writer *writer, GError **error)
{
    if (!put_text(writer, "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:" PRODID "\r\n", error))
        return FALSE;
    if (writer->name != NULL) {
        struct spl_entry_x own = {(char *)"X-WR-CALNAME", writer->name};

        if (!put_property(writer, icalproperty_new_name(writer->name), error) ||
            !put_property(writer, own_property(&own), error))
            return FALSE;
    }
    for (guint i = 0; writer->x != NULL && i < writer->x->len; i++) {
        icalproperty *own = own_property(&g_array_index(writer->x, struct spl_entry_x, i));

        if (own != NULL && !put_property(writer, own, error))
            return FALSE;
    }
    if (writer->zone != NULL) {
        g_autofree char *component =
            spl_zone_component(writer->zone, writer->year_first, writer->year_last, error);

        if (component == NULL || !put_text(writer, component, error))
            return FALSE;
    }
    return TRUE;
}

static struct spl_ical_writer *writer_new(const struct spl_ical_options *options, GError **error)
{
    struct spl_ical_writer *writer;

    if (options->zone != NULL && !spl_zone_is_known(options->zone)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "zone '%s' is not known here: give an IANA name such as Europe/London",
                    options->zone);
        return NULL;
    }
    writer = g_new0(struct spl_ical_writer, 1);
    writer->name = plain_line(options->name);
    if (options->zone != NULL && strcmp(options->zone, "UTC") != 0)
        writer->zone = g_strdup(options->zone);
    writer->year_first = options->year_first;
    writer->year_last = options->year_last;
    if (options->x != NULL)
        writer->x = g_array_ref(options->x);
    return writer;
}

struct spl_ical_writer *spl_ical_writer_open(const char *path,
                                             const struct spl_ical_options *options, GError **error)
{
    g_autoptr(spl_ical_writer) writer = writer_new(options, error);

    if (writer == NULL)
        return NULL;
    writer->file = spl_file_writer_open(path, error);
    return writer->file != NULL ? g_steal_pointer(&writer) : NULL;
}

struct spl_ical_writer *
spl_ical_writer_open_stream(FILE *stream, const struct spl_ical_options *options, GError **error)
{
    struct spl_ical_writer *writer = writer_new(options, error);

    if (writer != NULL)
        writer->stream = stream;
    return writer;
}

gboolean spl_ical_writer_add(struct spl_ical_writer *writer, const struct spl_entry *entry,
                             GError **error)
{
    icalcomponent *component;
    char *text;
    gboolean ok;

    if (!entry_is_writable(writer, entry, error))
        return FALSE;
    if (!writer->begun && !put_head(writer, error))
        return FALSE;
    writer->begun = TRUE;
    component = component_new(entry);
    text = icalcomponent_as_ical_string_r(component);
    ok = text != NULL && put_text(writer, text, error);
    if (text == NULL)
        g_set_error(error, SPL_ERROR, SPL_ERROR_INTERNAL,
                    "the calendar entry '%s' could not be put into words: report this", entry->uid);
    icalmemory_free_buffer(text);
    icalcomponent_free(component);
    writer->count += ok ? 1 : 0;
    return ok;
}

int spl_ical_writer_count(const struct spl_ical_writer *writer)
{
    return writer->count;
}

gboolean spl_ical_writer_commit(struct spl_ical_writer *writer, GError **error)
{
    if (writer->count == 0) {
        g_set_error_literal(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                            "there is nothing to write: no entry falls into this calendar, and an "
                            "empty one is not allowed (RFC 5545 3.6)");
        return FALSE;
    }
    if (!put_text(writer, "END:VCALENDAR\r\n", error))
        return FALSE;
    if (writer->file != NULL)
        return spl_file_writer_commit(writer->file, error);
    if (fflush(writer->stream) == 0)
        return TRUE;
    g_set_error_literal(
        error, SPL_ERROR, SPL_ERROR_IO,
        "the calendar could not be written to the output: it was closed or is full");
    return FALSE;
}

char *spl_ical_writer_checksum(const struct spl_ical_writer *writer)
{
    return writer->file != NULL ? spl_file_writer_checksum(writer->file) : NULL;
}

void spl_ical_writer_free(struct spl_ical_writer *writer)
{
    if (writer == NULL)
        return;
    spl_file_writer_free(writer->file);
    g_free(writer->name);
    g_free(writer->zone);
    if (writer->x != NULL)
        g_array_unref(writer->x);
    g_free(writer);
}

gboolean spl_ical_write_one(const char *path, const struct spl_ical_options *options,
                            const struct spl_entry *entry, GError **error)
{
    g_autoptr(spl_ical_writer) writer = spl_ical_writer_open(path, options, error);

    return writer != NULL && spl_ical_writer_add(writer, entry, error) &&
           spl_ical_writer_commit(writer, error);
}
