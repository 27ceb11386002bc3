/* SPDX-License-Identifier: MIT
 *
 * The rules for one component at a time. See ical_rules.h.
 */
#include "exchange/ical_rules.h"

#include <string.h>

#include "exchange/ical_color.h"
#include "exchange/ical_rrule.h"
#include "exchange/ical_value.h"
#include "exchange/ical_zone.h"

const struct spl_ical_rule spl_ical_rules[] = {
    /* octets and lines */
    {"line-end", "RFC 5545 3.1", FALSE},
    {"line-length", "RFC 5545 3.1", TRUE},
    {"split-character", "RFC 5545 3.1", FALSE},
    {"utf-8", "RFC 5545 3.1.4", FALSE},
    {"control-octet", "RFC 5545 3.1", FALSE},
    {"byte-order-mark", "common practice", TRUE},
    {"content-line", "RFC 5545 3.1", FALSE},
    /* the object */
    {"begin-end", "RFC 5545 3.4", FALSE},
    {"one-calendar", "common practice", TRUE},
    {"version", "RFC 5545 3.7.4", FALSE},
    {"prodid", "RFC 5545 3.7.3", FALSE},
    {"empty-calendar", "RFC 5545 3.6", FALSE},
    {"method", "RFC 5546 3.2.1, RFC 4791 4.1", TRUE},
    {"value-parameter", "RFC 7986 5.7, 5.8, 5.10", FALSE},
    /* events and tasks */
    {"uid-missing", "RFC 5545 3.6.1, 3.6.2", FALSE},
    {"uid-form", "RFC 7986 5.3", TRUE},
    {"uid-twice", "RFC 5545 3.8.4.7", FALSE},
    {"dtstamp-missing", "RFC 5545 3.6.1, 3.6.2", FALSE},
    {"dtstart-missing", "RFC 5545 3.6.1", FALSE},
    {"once", "RFC 5545 3.6.1, 3.6.2, 3.6.6", FALSE},
    {"empty-value", "common practice", TRUE},
    {"text", "RFC 5545 3.3.11", FALSE},
    {"category-comma", "common practice", TRUE},
    {"own-property", "RFC 5545 3.8.8.2", TRUE},
    {"uri", "RFC 5545 3.3.13", FALSE},
    {"enumeration", "RFC 5545 3.8.1.3, 3.8.1.11, 3.8.2.7", FALSE},
    {"number", "RFC 5545 3.8.1.8, 3.8.1.9, 3.8.7.4", FALSE},
    {"geo", "RFC 5545 3.8.1.6", FALSE},
    {"color", "RFC 7986 5.9", FALSE},
    {"wrong-component", "RFC 5545 3.6.1, 3.6.2", FALSE},
    /* days and times */
    {"date-form", "RFC 5545 3.3.4, 3.3.5", FALSE},
    {"date-exists", "RFC 5545 3.3.4, 3.3.5", FALSE},
    {"value-type", "RFC 5545 3.2.20, 3.8.2.4", FALSE},
    {"utc", "RFC 5545 3.8.2.1, 3.8.7", FALSE},
    {"end-type", "RFC 5545 3.8.2.2, 3.8.2.3", FALSE},
    {"end-after-start", "RFC 5545 3.8.2.2, 3.8.2.3", FALSE},
    {"end-and-duration", "RFC 5545 3.6.1, 3.6.2", FALSE},
    {"duration", "RFC 5545 3.3.6, 3.8.2.5", FALSE},
    {"tzid-misplaced", "RFC 5545 3.2.19", FALSE},
    {"tzid-undefined", "RFC 5545 3.2.19", FALSE},
    {"floating", "common practice", TRUE},
    {"skipped-time", "RFC 5545 3.3.5", TRUE},
    {"vtimezone", "RFC 5545 3.6.5", FALSE},
    /* rules */
    {"rule", "RFC 5545 3.3.10", FALSE},
    {"until-type", "RFC 5545 3.3.10", FALSE},
    {"until-and-count", "RFC 5545 3.3.10", FALSE},
    /* alarms */
    {"alarm-required", "RFC 5545 3.6.6", FALSE},
    {"alarm-description", "RFC 5545 3.6.6", FALSE},
    {"alarm-trigger", "RFC 5545 3.8.6.3", FALSE},
    {"alarm-repeat", "RFC 5545 3.6.6", FALSE},
    {"alarm-after-start", "common practice", TRUE},
    {"alarm-last", "common practice", TRUE},
    {"alarm-place", "RFC 5545 3.6.6", FALSE},
};
const gsize spl_ical_n_rules = G_N_ELEMENTS(spl_ical_rules);

void spl_ical_find(const struct spl_ical_sink *sink, int line, const char *rule, const char *format,
                   ...)
{
    g_autofree char *message = NULL;
    va_list arguments;

    va_start(arguments, format);
    message = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    sink->find(sink->data, line, rule, message);
}

/* ---- reading lines --------------------------------------------------------------------------- */

static const struct spl_ical_line *line_of(const struct spl_ical_line *lines, guint n,
                                           const char *name)
{
    for (guint i = 0; i < n; i++)
        if (strcmp(lines[i].name, name) == 0)
            return &lines[i];
    return NULL;
}

static const struct spl_ical_line *get(const struct spl_ical_component *component, const char *name)
{
    return line_of(component->lines, component->n_lines, name);
}

/* The value of a parameter without quotes, NULL when it is not there. Free with g_free. */
static char *parameter(const struct spl_ical_line *line, const char *name)
{
    const char *at = line->parameters;
    gsize size = strlen(name);

    while (*at == ';') {
        const char *from = at + 1;
        gboolean quoted = FALSE;

        for (at = from; *at != '\0' && (quoted || *at != ';'); at++)
            if (*at == '"')
                quoted = !quoted;
        if (g_ascii_strncasecmp(from, name, size) == 0 && from[size] == '=') {
            from += size + 1;
            if (*from == '"' && at - from >= 2)
                return g_strndup(from + 1, (gsize)(at - from) - 2);
            return g_strndup(from, (gsize)(at - from));
        }
    }
    return NULL;
}

gboolean spl_ical_is_one_of(const char *text, const char *const *words)
{
    for (; *words != NULL; words++)
        if (g_ascii_strcasecmp(text, *words) == 0)
            return TRUE;
    return FALSE;
}

/* ---- days and times -------------------------------------------------------------------------- */

/* In spring an hour does not exist: what stands in it is taken by the offset before, or not at all.
 */
static void check_skipped(const struct spl_ical_line *line, const char *tzid,
                          struct spl_ical_time time, const struct spl_ical_sink *sink)
{
    struct spl_day day = time.day;
    int min = time.second / 60, was = min;

    if (!spl_zone_is_known(tzid) || !spl_zone_convert(tzid, "UTC", &day.n, &min) ||
        !spl_zone_convert("UTC", tzid, &day.n, &min))
        return;
    if (day.n != time.day.n || min != was)
        spl_ical_find(sink, line->line, "skipped-time",
                      "%s:%s is skipped by the clocks of %s; readers take it for different moments",
                      line->name, line->value, tzid);
}

/* A date or time with its parameters looked at; FALSE when nothing can be compared with it. */
static gboolean check_time(const struct spl_ical_line *line, const struct spl_ical_sink *sink,
                           struct spl_ical_time *time)
{
    g_autofree char *type = parameter(line, "VALUE");
    g_autofree char *tzid = parameter(line, "TZID");

    if (!spl_ical_time_parse(line->value, time)) {
        spl_ical_find(sink, line->line, "date-form", "%s:%s is neither a date nor a time",
                      line->name, line->value);
        return FALSE;
    }
    if (!spl_day_is_set(time->day) || time->second == -2) {
        spl_ical_find(sink, line->line, "date-exists", "%s:%s does not exist", line->name,
                      line->value);
        return FALSE;
    }
    if (time->second < 0 && (type == NULL || g_ascii_strcasecmp(type, "DATE") != 0))
        spl_ical_find(sink, line->line, "value-type", "%s holds a date but has no VALUE=DATE",
                      line->name);
    if (time->second >= 0 && type != NULL && g_ascii_strcasecmp(type, "DATE-TIME") != 0)
        spl_ical_find(sink, line->line, "value-type", "%s holds a time but has VALUE=%s",
                      line->name, type);
    if (tzid != NULL && (time->second < 0 || time->utc))
        spl_ical_find(sink, line->line, "tzid-misplaced", "%s has a TZID on a date or UTC time",
                      line->name);
    else if (tzid != NULL) {
        g_hash_table_insert(sink->zones_used, g_strdup(tzid), GINT_TO_POINTER(line->line));
        check_skipped(line, tzid, *time, sink);
    } else if (time->second >= 0 && !time->utc)
        spl_ical_find(sink, line->line, "floating",
                      "%s has a time without a zone, which readers take for different moments",
                      line->name);
    return TRUE;
}

static void check_utc(const struct spl_ical_component *component, const char *name,
                      const struct spl_ical_sink *sink)
{
    const struct spl_ical_line *line = get(component, name);
    struct spl_ical_time time;

    if (line == NULL)
        return;
    if (!spl_ical_time_parse(line->value, &time))
        spl_ical_find(sink, line->line, "date-form", "%s:%s is not a time", name, line->value);
    else if (!spl_day_is_set(time.day) || time.second == -2)
        spl_ical_find(sink, line->line, "date-exists", "%s:%s does not exist", name, line->value);
    else if (!time.utc || strstr(line->parameters, "TZID=") != NULL)
        spl_ical_find(sink, line->line, "utc", "%s must be a time in UTC, with Z", name);
}

/* One day or time of a list; a period's end stands behind a slash (3.3.9). */
static void check_moment(const struct spl_ical_line *line, char *text,
                         const struct spl_ical_sink *sink)
{
    char *end = strchr(text, '/');
    struct spl_ical_span span;
    struct spl_ical_time time;

    if (end != NULL)
        *end++ = '\0';
    if (!spl_ical_time_parse(text, &time))
        spl_ical_find(sink, line->line, "date-form", "%s: %s is neither a date nor a time",
                      line->name, text);
    else if (!spl_day_is_set(time.day) || time.second == -2)
        spl_ical_find(sink, line->line, "date-exists", "%s: %s does not exist", line->name, text);
    if (end != NULL && *end == 'P' && !spl_ical_span_parse(end, &span))
        spl_ical_find(sink, line->line, "duration", "%s: %s is no duration", line->name, end);
    else if (end != NULL && *end != 'P')
        check_moment(line, end, sink);
}

/* The days of a repetition beside its rule: more, fewer, another instead. */
static void check_further_days(const struct spl_ical_component *component,
                               const struct spl_ical_sink *sink)
{
    static const char *const names[] = {"RDATE", "EXDATE", "RECURRENCE-ID", NULL};

    for (guint i = 0; i < component->n_lines; i++) {
        const struct spl_ical_line *line = &component->lines[i];
        g_auto(GStrv) values = NULL;

        if (!spl_ical_is_one_of(line->name, names) || *line->value == '\0')
            continue;
        values = g_strsplit(line->value, ",", -1);
        for (char **value = values; *value != NULL; value++)
            check_moment(line, *value, sink);
    }
}

static void check_times(const struct spl_ical_component *component, gboolean task,
                        const struct spl_ical_sink *sink)
{
    const struct spl_ical_line *start_line = get(component, "DTSTART");
    const struct spl_ical_line *end_line = get(component, task ? "DUE" : "DTEND");
    const struct spl_ical_line *duration = get(component, "DURATION");
    const struct spl_ical_line *rule = get(component, "RRULE");
    struct spl_ical_time start, end;
    struct spl_ical_span span;
    gboolean started = start_line != NULL && check_time(start_line, sink, &start);

    if (start_line == NULL && !task)
        spl_ical_find(sink, component->line, "dtstart-missing", "the event has no DTSTART");
    if (end_line != NULL && check_time(end_line, sink, &end) && started) {
        g_autofree char *zone = parameter(start_line, "TZID");
        g_autofree char *end_zone = parameter(end_line, "TZID");

        if ((start.second < 0) != (end.second < 0))
            spl_ical_find(sink, end_line->line, "end-type",
                          "%s is not of the type of DTSTART (date or time)", end_line->name);
        /* Times in different zones cannot be compared without the zone's own data. */
        else if (start.utc == end.utc && g_strcmp0(zone, end_zone) == 0 &&
                 spl_ical_time_compare(end, start) <= 0)
            spl_ical_find(sink, end_line->line, "end-after-start", "%s is not after DTSTART",
                          end_line->name);
    }
    if (end_line != NULL && duration != NULL)
        spl_ical_find(sink, duration->line, "end-and-duration",
                      "%s and DURATION exclude each other", end_line->name);
    if (duration != NULL) {
        if (!spl_ical_span_parse(duration->value, &span))
            spl_ical_find(sink, duration->line, "duration", "DURATION:%s is no duration",
                          duration->value);
        else if (span.seconds <= 0)
            spl_ical_find(sink, duration->line, "duration", "DURATION:%s is not positive",
                          duration->value);
        else if (started && start.second < 0 && !span.whole_days)
            spl_ical_find(sink, duration->line, "duration",
                          "DURATION:%s is not in whole days beside a date", duration->value);
        else if (start_line == NULL)
            spl_ical_find(sink, duration->line, "duration", "DURATION needs a DTSTART");
    }
    if (rule != NULL)
        spl_ical_check_rrule(rule, started ? &start : NULL, sink);
    check_further_days(component, sink);
    check_utc(component, "DTSTAMP", sink);
    check_utc(component, "LAST-MODIFIED", sink);
    check_utc(component, "CREATED", sink);
    check_utc(component, "COMPLETED", sink);
}

/* ---- properties ------------------------------------------------------------------------------ */

static void check_once(const struct spl_ical_component *component, const char *const *names,
                       const struct spl_ical_sink *sink)
{
    for (; *names != NULL; names++) {
        int times = 0;

        for (guint i = 0; i < component->n_lines; i++)
            if (strcmp(component->lines[i].name, *names) == 0 && ++times == 2)
                spl_ical_find(sink, component->lines[i].line, "once", "%s stands more than once",
                              *names);
    }
}

static void check_property(const struct spl_ical_line *line, gboolean task,
                           const struct spl_ical_sink *sink)
{
    static const char *const texts[] = {"SUMMARY", "DESCRIPTION", "LOCATION",
                                        "COMMENT", "CONTACT",     "UID",
                                        "NAME",    "RELATED-TO",  NULL};
    static const char *const lists[] = {"CATEGORIES", "RESOURCES", NULL};
    static const char *const uris[] = {"URL", "SOURCE", "CONFERENCE", NULL};
    static const char *const typed[] = {"REFRESH-INTERVAL", "SOURCE", "IMAGE", "CONFERENCE", NULL};
    static const char *const event_states[] = {"TENTATIVE", "CONFIRMED", "CANCELLED", NULL};
    static const char *const task_states[] = {"NEEDS-ACTION", "COMPLETED", "IN-PROCESS",
                                              "CANCELLED", NULL};
    static const char *const transps[] = {"OPAQUE", "TRANSPARENT", NULL};
    g_autofree char *type = NULL;

    if (*line->value == '\0') {
        spl_ical_find(sink, line->line, "empty-value", "%s is empty, which libraries read as wrong",
                      line->name);
        return;
    }
    if (spl_ical_is_one_of(line->name, texts) && !spl_ical_text_is_valid(line->value, FALSE))
        spl_ical_find(sink, line->line, "text",
                      "%s has a comma, semicolon or backslash that is not escaped", line->name);
    if (spl_ical_is_one_of(line->name, lists) && !spl_ical_text_is_valid(line->value, TRUE))
        spl_ical_find(sink, line->line, "text", "%s has a semicolon or backslash not escaped",
                      line->name);
    if (strcmp(line->name, "CATEGORIES") == 0 && strchr(line->value, ',') != NULL)
        spl_ical_find(sink, line->line, "category-comma",
                      "CATEGORIES has a comma; some readers split or break it, write one category");
    type = parameter(line, "VALUE");
    if (g_str_has_prefix(line->name, "X-") && (type == NULL || g_str_equal(type, "TEXT")) &&
        !spl_ical_text_is_valid(line->value, FALSE))
        spl_ical_find(sink, line->line, "own-property",
                      "%s has a comma, semicolon or backslash that is not escaped", line->name);
    if (spl_ical_is_one_of(line->name, uris) && !spl_ical_uri_is_valid(line->value))
        spl_ical_find(sink, line->line, "uri", "%s:%s is not an absolute URI", line->name,
                      line->value);
    if (spl_ical_is_one_of(line->name, typed) && type == NULL)
        spl_ical_find(sink, line->line, "value-parameter", "%s needs a VALUE parameter",
                      line->name);
    if ((strcmp(line->name, "STATUS") == 0 &&
         !spl_ical_is_one_of(line->value, task ? task_states : event_states)) ||
        (strcmp(line->name, "TRANSP") == 0 && !spl_ical_is_one_of(line->value, transps)))
        spl_ical_find(sink, line->line, "enumeration", "%s:%s is not one of the values allowed",
                      line->name, line->value);
    if ((strcmp(line->name, "SEQUENCE") == 0 &&
         !spl_ical_integer_parse(line->value, 0, G_MAXINT)) ||
        (strcmp(line->name, "PRIORITY") == 0 && !spl_ical_integer_parse(line->value, 0, 9)) ||
        (strcmp(line->name, "PERCENT-COMPLETE") == 0 &&
         !spl_ical_integer_parse(line->value, 0, 100)))
        spl_ical_find(sink, line->line, "number", "%s:%s is no number in its range", line->name,
                      line->value);
    if (strcmp(line->name, "COLOR") == 0 && !spl_ical_color_is_valid(line->value))
        spl_ical_find(sink, line->line, "color", "COLOR:%s is none of the colour names of CSS3",
                      line->value);
    if (strcmp(line->name, "GEO") == 0 && !spl_ical_geo_is_valid(line->value))
        spl_ical_find(sink, line->line, "geo", "GEO:%s is not \"latitude;longitude\" in degrees",
                      line->value);
    if ((task && (strcmp(line->name, "TRANSP") == 0 || strcmp(line->name, "DTEND") == 0)) ||
        (!task && (strcmp(line->name, "DUE") == 0 || strcmp(line->name, "COMPLETED") == 0 ||
                   strcmp(line->name, "PERCENT-COMPLETE") == 0)))
        spl_ical_find(sink, line->line, "wrong-component", "%s does not belong into a %s",
                      line->name, task ? "VTODO" : "VEVENT");
}

/* ---- components ------------------------------------------------------------------------------ */

static void check_uid(const struct spl_ical_component *component, const struct spl_ical_sink *sink)
{
    const struct spl_ical_line *uid = get(component, "UID");

    if (uid == NULL) {
        spl_ical_find(sink, component->line, "uid-missing", "the %s has no UID", component->kind);
        return;
    }
    if (*uid->value != '\0' && !spl_ical_uid_is_valid(uid->value))
        spl_ical_find(sink, uid->line, "uid-form",
                      "the UID is not fewer than 255 letters, digits and hyphens");
    if (get(component, "RECURRENCE-ID") != NULL)
        return;
    if (g_hash_table_contains(sink->uids, uid->value))
        spl_ical_find(sink, uid->line, "uid-twice", "the UID stands already in line %d",
                      GPOINTER_TO_INT(g_hash_table_lookup(sink->uids, uid->value)));
    else
        g_hash_table_insert(sink->uids, g_strdup(uid->value), GINT_TO_POINTER(uid->line));
}

static void check_entry(const struct spl_ical_component *component, gboolean task,
                        const struct spl_ical_sink *sink)
{
    static const char *const once[] = {
        "UID",    "DTSTAMP",  "DTSTART",  "DTEND",     "DUE",           "DURATION",
        "CLASS",  "CREATED",  "SUMMARY",  "STATUS",    "DESCRIPTION",   "GEO",
        "TRANSP", "LOCATION", "PRIORITY", "SEQUENCE",  "LAST-MODIFIED", "ORGANIZER",
        "URL",    "COLOR",    "RRULE",    "COMPLETED", "RECURRENCE-ID", "PERCENT-COMPLETE",
        NULL};

    check_uid(component, sink);
    if (get(component, "DTSTAMP") == NULL)
        spl_ical_find(sink, component->line, "dtstamp-missing", "the %s has no DTSTAMP",
                      component->kind);
    check_once(component, once, sink);
    for (guint i = 0; i < component->n_lines; i++)
        check_property(&component->lines[i], task, sink);
    check_times(component, task, sink);
}

static void check_trigger(const struct spl_ical_component *alarm,
                          const struct spl_ical_line *trigger, const struct spl_ical_sink *sink)
{
    g_autofree char *type = parameter(trigger, "VALUE");
    g_autofree char *related = parameter(trigger, "RELATED");
    gboolean from_end = related != NULL && g_ascii_strcasecmp(related, "END") == 0;
    struct spl_ical_span span;
    struct spl_ical_time time;

    if (type != NULL && g_ascii_strcasecmp(type, "DATE-TIME") == 0) {
        if (!spl_ical_time_parse(trigger->value, &time) || !time.utc || related != NULL)
            spl_ical_find(sink, trigger->line, "alarm-trigger",
                          "TRIGGER:%s must be a time in UTC without RELATED", trigger->value);
        return;
    }
    if (!spl_ical_span_parse(trigger->value, &span)) {
        spl_ical_find(sink, trigger->line, "alarm-trigger", "TRIGGER:%s is no duration",
                      trigger->value);
        return;
    }
    if (!from_end && line_of(alarm->parent_lines, alarm->n_parent_lines, "DTSTART") == NULL)
        spl_ical_find(sink, trigger->line, "alarm-trigger",
                      "TRIGGER counts from a start that the entry does not have");
    else if (from_end && line_of(alarm->parent_lines, alarm->n_parent_lines, "DTEND") == NULL &&
             line_of(alarm->parent_lines, alarm->n_parent_lines, "DUE") == NULL &&
             line_of(alarm->parent_lines, alarm->n_parent_lines, "DURATION") == NULL)
        spl_ical_find(sink, trigger->line, "alarm-trigger",
                      "TRIGGER counts from an end that the entry does not have");
    else if (!from_end && span.seconds > 0)
        spl_ical_find(sink, trigger->line, "alarm-after-start",
                      "TRIGGER:%s is after the start, which some readers turn into before",
                      trigger->value);
}

static void check_alarm(const struct spl_ical_component *alarm, const struct spl_ical_sink *sink)
{
    static const char *const once[] = {"ACTION", "TRIGGER", "DURATION", "REPEAT", NULL};
    const struct spl_ical_line *action = get(alarm, "ACTION");
    const struct spl_ical_line *trigger = get(alarm, "TRIGGER");

    check_once(alarm, once, sink);
    if (action == NULL || trigger == NULL)
        spl_ical_find(sink, alarm->line, "alarm-required", "the alarm has no %s",
                      action == NULL ? "ACTION" : "TRIGGER");
    if (action != NULL && g_ascii_strcasecmp(action->value, "DISPLAY") == 0 &&
        get(alarm, "DESCRIPTION") == NULL)
        spl_ical_find(sink, alarm->line, "alarm-description",
                      "the alarm has ACTION:DISPLAY but no DESCRIPTION");
    if ((get(alarm, "DURATION") == NULL) != (get(alarm, "REPEAT") == NULL))
        spl_ical_find(sink, alarm->line, "alarm-repeat",
                      "DURATION and REPEAT of an alarm need each other");
    if (alarm->parent == NULL ||
        (strcmp(alarm->parent, "VEVENT") != 0 && strcmp(alarm->parent, "VTODO") != 0)) {
        spl_ical_find(sink, alarm->line, "alarm-place", "an alarm belongs into an event or task");
        return;
    }
    if (trigger != NULL)
        check_trigger(alarm, trigger, sink);
}

static void check_zone(const struct spl_ical_component *zone, const struct spl_ical_sink *sink)
{
    const struct spl_ical_line *tzid = get(zone, "TZID");

    if (tzid == NULL || *tzid->value == '\0')
        spl_ical_find(sink, zone->line, "vtimezone", "the VTIMEZONE has no TZID");
    else
        g_hash_table_add(sink->zones, g_strdup(tzid->value));
    if (zone->children == 0)
        spl_ical_find(sink, zone->line, "vtimezone",
                      "the VTIMEZONE has neither STANDARD nor "
                      "DAYLIGHT");
}

static void check_observance(const struct spl_ical_component *part,
                             const struct spl_ical_sink *sink)
{
    static const char *const offsets[] = {"TZOFFSETFROM", "TZOFFSETTO", NULL};
    const struct spl_ical_line *start = get(part, "DTSTART");
    struct spl_ical_time time;

    if (start == NULL || !spl_ical_time_parse(start->value, &time) || time.utc || time.second < 0 ||
        !spl_day_is_set(time.day))
        spl_ical_find(sink, part->line, "vtimezone", "the %s has no DTSTART as a plain time",
                      part->kind);
    for (const char *const *name = offsets; *name != NULL; name++) {
        const struct spl_ical_line *offset = get(part, *name);

        if (offset == NULL || !spl_ical_offset_is_valid(offset->value))
            spl_ical_find(sink, part->line, "vtimezone", "the %s has no %s like +0100", part->kind,
                          *name);
    }
}

void spl_ical_rules_component(const struct spl_ical_component *component,
                              const struct spl_ical_sink *sink)
{
    if (strcmp(component->kind, "VEVENT") == 0)
        check_entry(component, FALSE, sink);
    else if (strcmp(component->kind, "VTODO") == 0)
        check_entry(component, TRUE, sink);
    else if (strcmp(component->kind, "VALARM") == 0)
        check_alarm(component, sink);
    else if (strcmp(component->kind, "VTIMEZONE") == 0)
        check_zone(component, sink);
    else if (strcmp(component->kind, "STANDARD") == 0 || strcmp(component->kind, "DAYLIGHT") == 0)
        check_observance(component, sink);
}
