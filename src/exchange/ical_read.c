/* SPDX-License-Identifier: MIT
 *
 * The reader: the guard's slices through libical into plain structs. libical forgives nearly
 * everything without a word, so each value is looked at again here. See ical_read.h.
 */
#include "exchange/ical_read.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "exchange/ical_late.h"
#include "exchange/ical_value.h"
#include "exchange/ical_zone.h"
#include "simpling/error.h"

#define DAY_MIN (24 * 60)
#define DURATION_DAYS_MAX 4000 /* a longer "event" is a slip of the pen */
/* Far years would overflow sums of days and offsets. */
#define YEAR_MIN 1601
#define YEAR_MAX 9990

struct spl_ical_reader {
    spl_ical_scan *scan;
};

/* A date or time as it stands in a property. */
struct moment {
    struct spl_day day; /* unset: none or unusable */
    int min;            /* -1: a date */
    gboolean utc;
    char *tzid;   /* borrowed from the property, NULL: none */
    gboolean bad; /* there, but no such day or time */
    gboolean far; /* a day, but of a year that is not read; it is unset too */
};

static struct moment moment_of(icalproperty *property, struct icaltimetype time)
{
    struct moment moment = {SPL_DAY_NONE, -1, FALSE, NULL, FALSE, FALSE};
    icalparameter *tzid;

    if (property == NULL)
        return moment;
    moment.day = spl_day_from_ymd(time.year, time.month, time.day);
    /* 25:00 and the like are refused; a leap second is not. */
    if (!time.is_date && (time.hour < 0 || time.hour > 23 || time.minute < 0 || time.minute > 59 ||
                          time.second < 0 || time.second > 60))
        moment.day = SPL_DAY_NONE;
    moment.bad = !spl_day_is_set(moment.day);
    moment.far = !moment.bad && (time.year < YEAR_MIN || time.year > YEAR_MAX);
    if (moment.far)
        moment.day = SPL_DAY_NONE;
    if (!time.is_date)
        moment.min = time.hour * 60 + time.minute;
    moment.utc = icaltime_is_utc(time) != 0;
    tzid = icalproperty_get_first_parameter(property, ICAL_TZID_PARAMETER);
    if (tzid != NULL && !moment.utc && !time.is_date)
        moment.tzid = (char *)icalparameter_get_tzid(tzid);
    return moment;
}

static icalproperty *property_of(icalcomponent *component, icalproperty_kind kind)
{
    return icalcomponent_get_first_property(component, kind);
}

static char *text_of(const char *text, gboolean lines)
{
    char *clean;

    if (text == NULL)
        return NULL;
    clean = g_strstrip(spl_text_scrub(text, lines));
    if (*clean == '\0')
        g_clear_pointer(&clean, g_free);
    return clean;
}

static gint64 unix_of(icalproperty *property, struct icaltimetype time)
{
    struct moment moment = moment_of(property, time);

    if (!spl_day_is_set(moment.day))
        return 0;
    return (gint64)moment.day.n * 86400 + (gint64)MAX(moment.min, 0) * 60 + time.second;
}

static void leave_out(struct spl_ical_reader *reader, const struct spl_entry *entry,
                      const char *why)
{
    spl_ical_scan_leave_out(reader->scan, entry->line,
                            entry->summary != NULL ? entry->summary : "an entry without a title",
                            why);
}

/* The zone of the start; the end's zone is taken to be the same unless it is UTC. */
static void take_zone(struct spl_ical_reader *reader, struct spl_entry *entry, struct moment start)
{
    if (start.min < 0)
        return;
    if (start.utc) {
        entry->zone = g_strdup("UTC");
    } else if (start.tzid != NULL) {
        entry->zone = g_strdup(spl_ical_scan_zone(reader->scan, start.tzid));
        if (entry->zone == NULL)
            entry->tzid = g_strdup(start.tzid);
    } else {
        entry->floating = TRUE;
    }
}

/* The exclusive end after the start as our inclusive last day and minutes. */
static void take_end(struct spl_entry *entry, struct moment end, struct spl_day *last,
                     int *last_min)
{
    if (end.min < 0) {
        *last = spl_day_add(end.day, -1);
        *last_min = -1;
    } else if (end.min == 0 && spl_day_compare(end.day, entry->first) > 0) {
        *last = spl_day_add(end.day, -1);
        *last_min = DAY_MIN;
    } else {
        *last = end.day;
        *last_min = end.min;
    }
}

/* DTSTART + DURATION as an end; unset when the duration is unusable. */
static struct moment end_of_duration(struct moment start, struct icaldurationtype duration)
{
    struct moment end = start;
    gint64 days = (gint64)duration.weeks * 7 + (gint64)duration.days;
    gint64 minutes =
        (gint64)duration.hours * 60 + (gint64)duration.minutes + (gint64)duration.seconds / 60;

    if (icaldurationtype_is_bad_duration(duration) || duration.is_neg || days > DURATION_DAYS_MAX ||
        minutes > (gint64)DURATION_DAYS_MAX * DAY_MIN) {
        end.day = SPL_DAY_NONE;
        end.bad = TRUE;
        return end;
    }
    if (start.min < 0) {
        end.day = spl_day_add(start.day, (int)(days + minutes / DAY_MIN));
    } else {
        minutes += start.min;
        end.day = spl_day_add(start.day, (int)(days + minutes / DAY_MIN));
        end.min = (int)(minutes % DAY_MIN);
    }
    return end;
}

/* The length of a duration in hours and minutes, which does not hang on the clock; -1: in days. */
static int exact_minutes(struct moment start, struct icaldurationtype duration, gboolean bad)
{
    if (bad || start.min < 0 || duration.days != 0 || duration.weeks != 0)
        return -1;
    return (int)duration.hours * 60 + (int)duration.minutes + (int)duration.seconds / 60;
}

/* An end in UTC beside a start in a zone, as one phone writes it: put on the start's clock. */
static struct moment on_start_clock(struct moment end, const struct spl_entry *entry)
{
    if (end.utc && end.min >= 0 && entry->zone != NULL && strcmp(entry->zone, "UTC") != 0)
        (void)spl_zone_convert("UTC", entry->zone, &end.day.n, &end.min);
    return end;
}

/* DUE without a time is the day itself, as people and programs mean it, not the one before, as the
 * letter of RFC 5545 3.8.2.3 has it; but the day after a DTSTART was written by the letter. */
static void take_due_day(struct spl_entry *entry, struct moment start, struct moment due)
{
    entry->due = due.day;
    if (spl_day_is_set(start.day) && start.min < 0 && spl_day_diff(due.day, start.day) == 1)
        entry->due = start.day;
    if (!spl_day_is_set(start.day) || spl_day_diff(entry->due, start.day) < 0)
        entry->first = entry->due;
}

/* FALSE: no usable day at all. */
static gboolean take_times(struct spl_ical_reader *reader, icalcomponent *component,
                           struct spl_entry *entry)
{
    icalproperty *start_property = property_of(component, ICAL_DTSTART_PROPERTY);
    gboolean task = entry->kind == SPL_ENTRY_TASK;
    icalproperty *end_property =
        property_of(component, task ? ICAL_DUE_PROPERTY : ICAL_DTEND_PROPERTY);
    icalproperty *duration_property = property_of(component, ICAL_DURATION_PROPERTY);
    struct moment start = {SPL_DAY_NONE, -1, FALSE, NULL, FALSE, FALSE};
    struct moment end = start;

    if (start_property != NULL)
        start = moment_of(start_property, icalproperty_get_dtstart(start_property));
    if (end_property != NULL)
        end = moment_of(end_property, task ? icalproperty_get_due(end_property)
                                           : icalproperty_get_dtend(end_property));
    if (start.bad || end.bad) {
        leave_out(reader, entry, "its day or time does not exist");
        return FALSE;
    }
    if (start.far || end.far) {
        leave_out(reader, entry,
                  "its day lies before " G_STRINGIFY(YEAR_MIN) " or after " G_STRINGIFY(
                      YEAR_MAX) ", which is not read");
        return FALSE;
    }
    if (end_property == NULL && duration_property != NULL && spl_day_is_set(start.day)) {
        end = end_of_duration(start, icalproperty_get_duration(duration_property));
        entry->exact_min =
            exact_minutes(start, icalproperty_get_duration(duration_property), end.bad);
        if (end.bad) {
            leave_out(reader, entry, "its duration cannot be");
            return FALSE;
        }
    }
    if (!spl_day_is_set(start.day) && !(task && spl_day_is_set(end.day))) {
        leave_out(reader, entry, "it has no day that can be read");
        return FALSE;
    }
    take_zone(reader, entry, spl_day_is_set(start.day) ? start : end);
    entry->first = start.day;
    entry->start_min = start.min;
    if (spl_day_is_set(end.day)) {
        end = on_start_clock(end, entry);
        if (task && end_property != NULL && end.min < 0) {
            take_due_day(entry, start, end);
        } else if (task && !spl_day_is_set(start.day)) {
            take_end(entry, end, &entry->due, &entry->due_min);
            entry->first = entry->due;
        } else if (spl_day_diff(end.day, start.day) < 0 ||
                   (end.day.n == start.day.n && (end.min < 0 || end.min <= start.min))) {
            /* An event of no length is legal only as a moment; anything else is said. */
            if (end.day.n != start.day.n || end.min != start.min)
                leave_out(reader, entry, "its end is not after its start: read as one day");
            entry->last = start.day;
            entry->end_min = start.min;
            if (task) {
                entry->due = start.day;
                entry->due_min = start.min;
            }
        } else if (task) {
            take_end(entry, end, &entry->due, &entry->due_min);
        } else {
            take_end(entry, end, &entry->last, &entry->end_min);
        }
    }
    if (!spl_day_is_set(entry->last))
        entry->last = task && spl_day_is_set(entry->due) ? entry->due : entry->first;
    return TRUE;
}

static enum spl_entry_status status_from(icalproperty_status status)
{
    switch (status) {
    case ICAL_STATUS_TENTATIVE:
        return SPL_ENTRY_TENTATIVE;
    case ICAL_STATUS_CONFIRMED:
        return SPL_ENTRY_CONFIRMED;
    case ICAL_STATUS_NEEDSACTION:
        return SPL_ENTRY_NEEDS_ACTION;
    case ICAL_STATUS_INPROCESS:
        return SPL_ENTRY_IN_PROCESS;
    case ICAL_STATUS_COMPLETED:
        return SPL_ENTRY_COMPLETED;
    case ICAL_STATUS_CANCELLED:
        return SPL_ENTRY_CANCELLED;
    default:
        return SPL_ENTRY_NO_STATUS;
    }
}

/* Of a property that stands more than once the first counts, as libical's own getters have it. */
static void take_text(char **target, const char *text, gboolean lines)
{
    if (*target == NULL)
        *target = text_of(text, lines);
}

/* The first is the category; all of them, a comma between, are the categories. */
static void take_category(struct spl_entry *entry, const char *value)
{
    g_autofree char *text = text_of(value, FALSE);

    if (text == NULL)
        return;
    if (entry->category == NULL) {
        entry->category = g_strdup(text);
        entry->categories = g_steal_pointer(&text);
    } else {
        g_autofree char *before = entry->categories;

        entry->categories = g_strconcat(before, ",", text, NULL);
    }
}

static void take_completed(struct spl_entry *entry, struct moment moment)
{
    entry->completed = moment.day;
    entry->completed_min = moment.min;
    entry->done = TRUE;
}

static void take_property(struct spl_entry *entry, icalproperty *property, gint64 *stamp)
{
    switch (icalproperty_isa(property)) {
    case ICAL_UID_PROPERTY:
        take_text(&entry->uid, icalproperty_get_uid(property), FALSE);
        break;
    case ICAL_SUMMARY_PROPERTY:
        take_text(&entry->summary, icalproperty_get_summary(property), FALSE);
        break;
    case ICAL_DESCRIPTION_PROPERTY:
        take_text(&entry->description, icalproperty_get_description(property), TRUE);
        break;
    case ICAL_LOCATION_PROPERTY:
        take_text(&entry->location, icalproperty_get_location(property), FALSE);
        break;
    case ICAL_CATEGORIES_PROPERTY:
        take_category(entry, icalproperty_get_categories(property));
        break;
    case ICAL_URL_PROPERTY:
        take_text(&entry->url, icalproperty_get_url(property), FALSE);
        break;
    case ICAL_RELATEDTO_PROPERTY:
        take_text(&entry->related_uid, icalproperty_get_relatedto(property), FALSE);
        break;
    case ICAL_STATUS_PROPERTY:
        if (entry->status == SPL_ENTRY_NO_STATUS)
            entry->status = status_from(icalproperty_get_status(property));
        break;
    case ICAL_TRANSP_PROPERTY:
        entry->opaque = icalproperty_get_transp(property) != ICAL_TRANSP_TRANSPARENT;
        break;
    case ICAL_SEQUENCE_PROPERTY:
        entry->sequence = CLAMP(icalproperty_get_sequence(property), 0, G_MAXINT - 1);
        break;
    case ICAL_LASTMODIFIED_PROPERTY:
        entry->changed_at = unix_of(property, icalproperty_get_lastmodified(property));
        break;
    case ICAL_DTSTAMP_PROPERTY:
        *stamp = unix_of(property, icalproperty_get_dtstamp(property));
        break;
    case ICAL_PERCENTCOMPLETE_PROPERTY:
        entry->percent = CLAMP(icalproperty_get_percentcomplete(property), 0, 100);
        break;
    case ICAL_COMPLETED_PROPERTY:
        take_completed(entry, moment_of(property, icalproperty_get_completed(property)));
        break;
    case ICAL_CLASS_PROPERTY:
        entry->confidential = icalproperty_get_class(property) != ICAL_CLASS_PUBLIC;
        break;
    case ICAL_RRULE_PROPERTY:
        if (entry->rule == NULL) {
            char *text = icalproperty_get_value_as_string_r(property);

            entry->rule = text_of(text, FALSE);
            icalmemory_free_buffer(text);
        }
        break;
    case ICAL_GEO_PROPERTY: {
        struct icalgeotype geo = icalproperty_get_geo(property);

        if (fabs(geo.lat) <= 90 && fabs(geo.lon) <= 180) {
            entry->lat = geo.lat;
            entry->lon = geo.lon;
        }
        break;
    }
    default:
        break;
    }
}

static void add_day(GArray **days, struct moment moment, const struct spl_entry *entry)
{
    moment = on_start_clock(moment, entry);
    if (!spl_day_is_set(moment.day))
        return;
    if (*days == NULL)
        *days = g_array_new(FALSE, FALSE, sizeof(struct spl_day));
    g_array_append_val(*days, moment.day);
}

/* An RDATE: a day, a time or a period, which has an end of its own (RFC 5545 3.3.9). FALSE: no such
 * day. */
static gboolean add_extra(icalproperty *property, struct spl_entry *entry)
{
    struct icaldatetimeperiodtype value = icalproperty_get_rdate(property);
    gboolean period = icaltime_is_null_time(value.time);
    struct moment start =
        on_start_clock(moment_of(property, period ? value.period.start : value.time), entry);
    struct spl_entry_extra extra = {start.day, start.min, SPL_DAY_NONE, -1};

    if (!spl_day_is_set(start.day))
        return FALSE;
    if (period) {
        struct moment end = {SPL_DAY_NONE, -1, FALSE, NULL, FALSE, FALSE};

        if (!icaltime_is_null_time(value.period.end))
            end = on_start_clock(moment_of(property, value.period.end), entry);
        else
            end = end_of_duration(start, value.period.duration);
        if (spl_day_is_set(end.day) && end.min >= 0) {
            extra.last = end.day;
            extra.end_min = end.min;
        }
    }
    if (entry->extra == NULL)
        entry->extra = g_array_new(FALSE, FALSE, sizeof extra);
    g_array_append_val(entry->extra, extra);
    return TRUE;
}

/* libical drops a rule that it cannot read; that there is one must be known. */
static char *rule_text(const char *slice)
{
    static const char *const begins[] = {"RRULE:", "RRULE;"};

    for (const char *line = slice; line != NULL; line = strstr(line, "\r\n")) {
        line += line == slice ? 0 : 2;
        for (gsize i = 0; i < G_N_ELEMENTS(begins); i++)
            if (g_ascii_strncasecmp(line, begins[i], strlen(begins[i])) == 0) {
                const char *value = strchr(line, ':');

                return value != NULL ? g_strndup(value + 1, strcspn(value + 1, "\r\n")) : NULL;
            }
    }
    return NULL;
}

/* What can only be read once the start's clock is known. */
static void take_repetition(struct spl_ical_reader *reader, icalcomponent *component,
                            struct spl_entry *entry)
{
    for (icalproperty *property = property_of(component, ICAL_EXDATE_PROPERTY); property != NULL;
         property = icalcomponent_get_next_property(component, ICAL_EXDATE_PROPERTY))
        add_day(&entry->except, moment_of(property, icalproperty_get_exdate(property)), entry);
    for (icalproperty *property = property_of(component, ICAL_RDATE_PROPERTY); property != NULL;
         property = icalcomponent_get_next_property(component, ICAL_RDATE_PROPERTY))
        if (!add_extra(property, entry))
            leave_out(reader, entry, "one of its further days does not exist: it is not counted");
    {
        icalproperty *property = property_of(component, ICAL_RECURRENCEID_PROPERTY);

        if (property != NULL) {
            struct moment moment =
                on_start_clock(moment_of(property, icalproperty_get_recurrenceid(property)), entry);

            entry->override = TRUE;
            entry->override_day = moment.day;
            entry->override_future =
                icalproperty_get_first_parameter(property, ICAL_RANGE_PARAMETER) != NULL;
        }
    }
}

/* From the start to the end of an entry, in minutes on its own clock. */
static gint64 length_of(const struct spl_entry *entry)
{
    gboolean task = entry->kind == SPL_ENTRY_TASK && spl_day_is_set(entry->due);
    struct spl_day last = task ? entry->due : entry->last;
    int end = task ? entry->due_min : entry->end_min;
    gint64 days = spl_day_diff(last, entry->first);

    if (entry->start_min >= 0)
        return days * DAY_MIN + MAX(end, 0) - entry->start_min;
    return (task ? days : days + 1) * DAY_MIN; /* a task's DUE is the day itself */
}

/* One TRIGGER line; what cannot be read is none. */
static void take_trigger(struct spl_entry *entry, const char *line)
{
    struct spl_entry_alarm one = {FALSE, 0};
    g_autofree char *upper = g_ascii_strup(line, -1);
    const char *value = strrchr(upper, ':');
    struct spl_ical_span span;
    struct spl_ical_time time;

    if (value == NULL || entry->n_alarms >= SPL_ENTRY_ALARMS_MAX)
        return;
    if (spl_ical_span_parse(value + 1, &span)) {
        one.minutes = -span.seconds / 60;
        if (strstr(upper, "RELATED=END") != NULL)
            one.minutes -= length_of(entry);
    } else if (spl_ical_time_parse(value + 1, &time) && spl_day_is_set(time.day) &&
               time.second >= 0) {
        one.moment = TRUE;
        one.minutes = (gint64)time.day.n * DAY_MIN + time.second / 60;
    } else {
        return;
    }
    entry->alarms[entry->n_alarms++] = one;
}

static void take_alarms(struct spl_entry *entry, const char *lines)
{
    entry->n_alarms = 0;
    while (*lines != '\0') {
        gsize size = strcspn(lines, "\n");
        g_autofree char *line = g_strndup(lines, size);

        take_trigger(entry, line);
        lines += size + 1;
    }
}

static void take_own(struct spl_entry *entry, const char *lines)
{
    while (*lines != '\0') {
        const char *value = strchr(lines, ':') + 1;
        gsize size = strcspn(value, "\n");
        g_autofree char *name = g_strndup(lines, (gsize)(value - lines) - 1);
        g_autofree char *raw = spl_ical_unescape(value, size), *text = text_of(raw, FALSE);

        if (text != NULL)
            spl_entry_add_x(entry, name, text);
        lines = value + size + 1;
    }
}

/* FALSE: left out, and said. */
static gboolean take_component(struct spl_ical_reader *reader, icalcomponent *component,
                               struct spl_entry *entry)
{
    gint64 stamp = 0;

    entry->opaque = entry->kind == SPL_ENTRY_EVENT;
    for (icalproperty *property = property_of(component, ICAL_ANY_PROPERTY); property != NULL;
         property = icalcomponent_get_next_property(component, ICAL_ANY_PROPERTY))
        take_property(entry, property, &stamp);
    if (entry->changed_at == 0)
        entry->changed_at = stamp;
    if (entry->kind == SPL_ENTRY_TASK)
        entry->done = entry->done || entry->status == SPL_ENTRY_COMPLETED || entry->percent == 100;
    else
        entry->done = FALSE;
    if (!take_times(reader, component, entry))
        return FALSE;
    take_repetition(reader, component, entry);
    return TRUE;
}

gboolean spl_ical_reader_next(struct spl_ical_reader *reader, struct spl_entry *entry,
                              GError **error)
{
    struct spl_ical_slice slice;

    while (spl_ical_scan_next(reader->scan, &slice, error)) {
        icalcomponent *component;
        gboolean taken = FALSE;

        spl_entry_clear(entry);
        entry->line = slice.line;
        if (strcmp(slice.kind, "VEVENT") == 0) {
            entry->kind = SPL_ENTRY_EVENT;
        } else if (strcmp(slice.kind, "VTODO") == 0) {
            entry->kind = SPL_ENTRY_TASK;
        } else {
            if (strcmp(slice.kind, "VTIMEZONE") != 0)
                spl_ical_scan_leave_out(reader->scan, slice.line, slice.kind,
                                        "only events and tasks are read");
            continue;
        }
        component = icalparser_parse_string(slice.text);
        if (component != NULL) {
            taken = take_component(reader, component, entry);
            if (taken && entry->rule == NULL)
                entry->rule = rule_text(slice.text);
            if (taken) {
                take_own(entry, slice.own);
                take_alarms(entry, slice.alarms);
            }
            icalcomponent_free(component);
        } else {
            leave_out(reader, entry, "it cannot be read");
        }
        if (taken)
            return TRUE;
    }
    spl_entry_clear(entry);
    return FALSE;
}

static struct spl_ical_reader *reader_new(spl_ical_scan *scan, GError **error)
{
    struct spl_ical_reader *reader;

    if (scan == NULL)
        return NULL;
    if (!spl_ical_load(error)) {
        spl_ical_scan_free(scan);
        return NULL;
    }
    reader = g_new0(struct spl_ical_reader, 1);
    reader->scan = scan;
    return reader;
}

struct spl_ical_reader *spl_ical_reader_open(const char *path, const struct spl_ical_limits *limits,
                                             GError **error)
{
    return reader_new(spl_ical_scan_open(path, limits, error), error);
}

struct spl_ical_reader *spl_ical_reader_open_bytes(const char *bytes, gsize size,
                                                   const struct spl_ical_limits *limits,
                                                   GError **error)
{
    return reader_new(spl_ical_scan_open_bytes(bytes, size, limits, error), error);
}

struct spl_ical_scan *spl_ical_reader_scan(struct spl_ical_reader *reader)
{
    return reader->scan;
}

void spl_ical_reader_free(struct spl_ical_reader *reader)
{
    if (reader == NULL)
        return;
    spl_ical_scan_free(reader->scan);
    g_free(reader);
}
