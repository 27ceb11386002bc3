/* SPDX-License-Identifier: MIT
 *
 * The rules for one RRULE: each of its parts, and what they must not be together. See ical_rrule.h.
 */
#include "exchange/ical_rrule.h"

#include <string.h>

/* A part of a rule: what it may hold, and beside which FREQ (RFC 5545 3.3.10). */
enum part_kind {
    PART_OTHER,
    PART_NUMBERS, /* from 1, or from `least` */
    PART_SIGNED,  /* 1 to most, or as many from the end */
    PART_DAYS,    /* "MO,-1SU" */
    PART_DAY
};

static const struct part {
    const char *name;
    enum part_kind kind;
    int least, most;
    const char *not_with; /* FREQs */
} rule_parts[] = {
    {"FREQ", PART_OTHER, 0, 0, ""},
    {"UNTIL", PART_OTHER, 0, 0, ""},
    {"COUNT", PART_OTHER, 0, 0, ""},
    {"INTERVAL", PART_OTHER, 0, 0, ""},
    {"BYSECOND", PART_NUMBERS, 0, 60, ""},
    {"BYMINUTE", PART_NUMBERS, 0, 59, ""},
    {"BYHOUR", PART_NUMBERS, 0, 23, ""},
    {"BYDAY", PART_DAYS, 1, 53, ""},
    {"BYMONTHDAY", PART_SIGNED, 1, 31, "WEEKLY"},
    {"BYYEARDAY", PART_SIGNED, 1, 366, "DAILY WEEKLY MONTHLY"},
    {"BYWEEKNO", PART_SIGNED, 1, 53, "SECONDLY MINUTELY HOURLY DAILY WEEKLY MONTHLY"},
    {"BYMONTH", PART_NUMBERS, 1, 12, ""},
    {"BYSETPOS", PART_SIGNED, 1, 366, ""},
    {"WKST", PART_DAY, 0, 0, ""},
};

static int part_number(const char *name)
{
    for (gsize i = 0; i < G_N_ELEMENTS(rule_parts); i++)
        if (g_ascii_strcasecmp(name, rule_parts[i].name) == 0)
            return (int)i;
    return -1;
}

/* "MO", "-1SU"; `*numbered` when a number stands before it. */
static gboolean is_weekday(const char *text, gboolean *numbered)
{
    static const char *const days[] = {"MO", "TU", "WE", "TH", "FR", "SA", "SU", NULL};
    gsize size = strlen(text);
    g_autofree char *number = size > 2 ? g_strndup(text, size - 2) : NULL;
    const char *digits = number;

    *numbered = number != NULL;
    if (digits != NULL && (*digits == '+' || *digits == '-'))
        digits++;
    return size >= 2 && spl_ical_is_one_of(text + size - 2, days) &&
           (digits == NULL || spl_ical_integer_parse(digits, 1, 53));
}

static gboolean has_value(const struct part *part, const char *text, gboolean *numbered)
{
    gboolean sign = part->kind == PART_SIGNED && (*text == '+' || *text == '-');

    if (part->kind == PART_DAYS || part->kind == PART_DAY)
        return is_weekday(text, numbered) && (part->kind == PART_DAYS || !*numbered);
    return spl_ical_integer_parse(text + sign, part->least, part->most);
}

/* A rule taken apart: the value of each of rule_parts, NULL: not there. */
struct rule {
    const struct spl_ical_line *line;
    const struct spl_ical_time *start; /* NULL: none */
    const char *values[G_N_ELEMENTS(rule_parts)];
    gboolean numbered_days;
};

static const char *rule_value(const struct rule *rule, const char *name)
{
    return rule->values[part_number(name)];
}

static void check_until(const struct rule *rule, const char *value,
                        const struct spl_ical_sink *sink)
{
    const struct spl_ical_time *start = rule->start;
    struct spl_ical_time time;

    if (!spl_ical_time_parse(value, &time) || !spl_day_is_set(time.day) || time.second == -2)
        spl_ical_find(sink, rule->line->line, "rule", "RRULE UNTIL=%s is no date or time", value);
    else if (start != NULL && (start->second < 0) != (time.second < 0))
        spl_ical_find(sink, rule->line->line, "until-type",
                      "UNTIL=%s is not of the type of DTSTART", value);
    else if (start != NULL && start->second >= 0 && !time.utc)
        spl_ical_find(sink, rule->line->line, "until-type",
                      "UNTIL=%s must be in UTC where DTSTART has a zone", value);
}

static void check_part(struct rule *rule, const struct part *part, const char *value,
                       const struct spl_ical_sink *sink)
{
    g_auto(GStrv) members = g_strsplit(value, ",", -1);
    const char *freq = rule_value(rule, "FREQ");
    g_auto(GStrv) not_with = g_strsplit(part->not_with, " ", -1);

    for (char **member = members; part->kind != PART_OTHER && *member != NULL; member++) {
        gboolean numbered = FALSE;

        if (!has_value(part, *member, &numbered)) {
            spl_ical_find(sink, rule->line->line, "rule", "RRULE %s=%s: '%s' is none of its values",
                          part->name, value, *member);
            break;
        }
        rule->numbered_days = rule->numbered_days || numbered;
    }
    if (freq != NULL && spl_ical_is_one_of(freq, (const char *const *)not_with))
        spl_ical_find(sink, rule->line->line, "rule", "RRULE %s does not go with FREQ=%s",
                      part->name, freq);
    if (rule->start != NULL && rule->start->second < 0 &&
        (strcmp(part->name, "BYHOUR") == 0 || strcmp(part->name, "BYMINUTE") == 0 ||
         strcmp(part->name, "BYSECOND") == 0))
        spl_ical_find(sink, rule->line->line, "rule", "RRULE %s does not go with a date",
                      part->name);
    if ((strcmp(part->name, "COUNT") == 0 || strcmp(part->name, "INTERVAL") == 0) &&
        !spl_ical_integer_parse(value, 1, G_MAXINT))
        spl_ical_find(sink, rule->line->line, "rule", "RRULE %s=%s is not a positive number",
                      part->name, value);
}

/* What its parts must not be together. */
static void check_together(const struct rule *rule, const struct spl_ical_sink *sink)
{
    static const char *const freqs[] = {"SECONDLY", "MINUTELY", "HOURLY", "DAILY",
                                        "WEEKLY",   "MONTHLY",  "YEARLY", NULL};
    const char *freq = rule_value(rule, "FREQ");
    gboolean other = FALSE;
    int line = rule->line->line;

    for (gsize i = 0; i < G_N_ELEMENTS(rule_parts); i++)
        other = other || (rule->values[i] != NULL && g_str_has_prefix(rule_parts[i].name, "BY") &&
                          strcmp(rule_parts[i].name, "BYSETPOS") != 0);
    if (freq == NULL || !spl_ical_is_one_of(freq, freqs))
        spl_ical_find(sink, line, "rule", "RRULE has no known FREQ");
    else if (rule->numbered_days && g_ascii_strcasecmp(freq, "MONTHLY") != 0 &&
             (g_ascii_strcasecmp(freq, "YEARLY") != 0 || rule_value(rule, "BYWEEKNO") != NULL))
        spl_ical_find(sink, line, "rule",
                      "RRULE BYDAY=%s: a number goes with months and years alone",
                      rule_value(rule, "BYDAY"));
    if (rule_value(rule, "BYSETPOS") != NULL && !other)
        spl_ical_find(sink, line, "rule", "RRULE BYSETPOS needs another BY part");
    if (rule_value(rule, "UNTIL") != NULL && rule_value(rule, "COUNT") != NULL)
        spl_ical_find(sink, line, "until-and-count", "RRULE has both UNTIL and COUNT");
}

void spl_ical_check_rrule(const struct spl_ical_line *line, const struct spl_ical_time *start,
                          const struct spl_ical_sink *sink)
{
    g_auto(GStrv) pieces = g_strsplit(line->value, ";", -1);
    struct rule rule = {.line = line, .start = start};

    for (char **piece = pieces; *piece != NULL; piece++) {
        char *value = strchr(*piece, '=');
        int number;

        if (value != NULL)
            *value++ = '\0';
        number = part_number(*piece);
        if (value == NULL || *value == '\0' || number < 0)
            spl_ical_find(sink, line->line, "rule", "RRULE part '%s' is not known", *piece);
        else if (rule.values[number] != NULL)
            spl_ical_find(sink, line->line, "rule", "RRULE %s stands more than once", *piece);
        else
            rule.values[number] = value;
    }
    for (gsize i = 0; i < G_N_ELEMENTS(rule_parts); i++)
        if (rule.values[i] != NULL)
            check_part(&rule, &rule_parts[i], rule.values[i], sink);
    if (rule_value(&rule, "UNTIL") != NULL)
        check_until(&rule, rule_value(&rule, "UNTIL"), sink);
    check_together(&rule, sink);
}
