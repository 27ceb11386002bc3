/* SPDX-License-Identifier: MIT
 *
 * Repetition rules by day. See ical_repeat.h. The rule's parts are read by libical; which days they
 * mean is decided here: within each period (day, week, month, year) a day belongs to the set when
 * every part that is given allows it, the parts that are not given being taken from the start
 * (RFC 5545 3.3.10, the table of what expands and what limits).
 */
#include "exchange/ical_repeat.h"

#include "exchange/ical_late.h"
#include "exchange/ical_zone.h"
#include "simpling/error.h"

#define NONE ICAL_RECURRENCE_ARRAY_MAX

struct rule {
    struct icalrecurrencetype parts;
    struct spl_day start;
    int start_month, start_dom, start_weekday; /* weekday: Sunday 0 */
    struct spl_day until;                      /* unset: none */
    int until_min; /* minutes on the start's clock, 1439: the whole day */
    int week_start;
};

static int weekday_of(struct spl_day day)
{
    return ((day.n + 4) % 7 + 7) % 7; /* 1 January 1970 was a Thursday */
}

static gboolean given(const short *list)
{
    return list[0] != NONE;
}

/* TRUE when `value` stands in the list, or its count from the end (`last` is the greatest). */
static gboolean in_list(const short *list, int size, int value, int last)
{
    for (int i = 0; i < size && list[i] != NONE; i++)
        if (list[i] == value || (list[i] < 0 && list[i] + last + 1 == value))
            return TRUE;
    return FALSE;
}

/* Week 1 is the first with at least four days in its year (RFC 5545 3.3.10, BYWEEKNO). */
static int week_number(const struct rule *rule, struct spl_day day, int *last)
{
    int offset = (weekday_of(day) - rule->week_start + 7) % 7;
    struct spl_day fourth = spl_day_add(day, 3 - offset); /* its year is the week's year */
    int year;

    spl_day_to_ymd(fourth, &year, NULL, NULL);
    {
        struct spl_day end = spl_day_from_ymd(year, 12, 31);
        int end_offset = (weekday_of(end) - rule->week_start + 7) % 7;

        *last = end_offset >= 3 ? (spl_day_of_year(end) - end_offset + 3) / 7 + 1
                                : (spl_day_of_year(end) - end_offset + 3 - 7) / 7 + 1;
    }
    return (spl_day_of_year(fourth) - 1) / 7 + 1;
}

/* BYDAY: "MO" any Monday of the period, "2MO" its second, "-1MO" its last. */
static gboolean weekday_allowed(const struct rule *rule, struct spl_day day, gboolean in_month,
                                gboolean ordinal)
{
    int weekday = weekday_of(day), year, month, dom, of_period, length;

    spl_day_to_ymd(day, &year, &month, &dom);
    if (in_month) {
        of_period = dom;
        length = spl_day_diff(spl_day_add_months(spl_day_from_ymd(year, month, 1), 1),
                              spl_day_from_ymd(year, month, 1));
    } else {
        of_period = spl_day_of_year(day);
        length = spl_day_of_year(spl_day_from_ymd(year, 12, 31));
    }
    for (int i = 0; i < ICAL_BY_DAY_SIZE && rule->parts.by_day[i] != NONE; i++) {
        int wanted = (int)icalrecurrencetype_day_day_of_week(rule->parts.by_day[i]) - 1;
        int position = icalrecurrencetype_day_position(rule->parts.by_day[i]);

        if (wanted != weekday)
            continue;
        if (position == 0 || !ordinal || position == (of_period - 1) / 7 + 1 ||
            -position == (length - of_period) / 7 + 1)
            return TRUE;
    }
    return FALSE;
}

/* TRUE when the day belongs to the set of its period. */
static gboolean is_in_set(const struct rule *rule, struct spl_day day)
{
    const struct icalrecurrencetype *parts = &rule->parts;
    gboolean yearly = parts->freq == ICAL_YEARLY_RECURRENCE;
    gboolean monthly = parts->freq == ICAL_MONTHLY_RECURRENCE;
    gboolean by_month = given(parts->by_month), by_day = given(parts->by_day);
    gboolean by_dom = given(parts->by_month_day);
    gboolean by_yearday = yearly && given(parts->by_year_day);
    gboolean by_week = yearly && given(parts->by_week_no);
    int year, month, dom, last_dom, last_week, week;

    spl_day_to_ymd(day, &year, &month, &dom);
    if (by_month && !in_list(parts->by_month, ICAL_BY_MONTH_SIZE, month, 12))
        return FALSE;
    if (by_dom && parts->freq != ICAL_WEEKLY_RECURRENCE) {
        last_dom = spl_day_diff(spl_day_add_months(spl_day_from_ymd(year, month, 1), 1),
                                spl_day_from_ymd(year, month, 1));
        if (!in_list(parts->by_month_day, ICAL_BY_MONTHDAY_SIZE, dom, last_dom))
            return FALSE;
    }
    if (by_yearday && !in_list(parts->by_year_day, ICAL_BY_YEARDAY_SIZE, spl_day_of_year(day),
                               spl_day_of_year(spl_day_from_ymd(year, 12, 31))))
        return FALSE;
    if (by_week) {
        week = week_number(rule, day, &last_week);
        if (!in_list(parts->by_week_no, ICAL_BY_WEEKNO_SIZE, week, last_week))
            return FALSE;
    }
    if (by_day && !weekday_allowed(rule, day, monthly || (yearly && by_month),
                                   monthly || (yearly && !by_week)))
        return FALSE;
    /* What is not given comes from the start. */
    if (parts->freq == ICAL_WEEKLY_RECURRENCE)
        return by_day || weekday_of(day) == rule->start_weekday;
    if (monthly)
        return by_day || by_dom || dom == rule->start_dom;
    if (yearly && by_week)
        return by_day || by_dom || by_yearday || weekday_of(day) == rule->start_weekday;
    if (yearly && !by_day && !by_dom && !by_yearday)
        return dom == rule->start_dom && (by_month || month == rule->start_month);
    return TRUE;
}

/* First day of the period that holds `day`, and of the one `steps` intervals later. */
static struct spl_day period_begin(const struct rule *rule, struct spl_day day)
{
    int year, month;

    spl_day_to_ymd(day, &year, &month, NULL);
    switch (rule->parts.freq) {
    case ICAL_WEEKLY_RECURRENCE:
        return spl_day_add(day, -((weekday_of(day) - rule->week_start + 7) % 7));
    case ICAL_MONTHLY_RECURRENCE:
        return spl_day_from_ymd(year, month, 1);
    case ICAL_YEARLY_RECURRENCE:
        return spl_day_from_ymd(year, 1, 1);
    default:
        return day;
    }
}

static struct spl_day period_add(const struct rule *rule, struct spl_day begin, int periods)
{
    switch (rule->parts.freq) {
    case ICAL_WEEKLY_RECURRENCE:
        return spl_day_add(begin, periods * 7);
    case ICAL_MONTHLY_RECURRENCE:
        return spl_day_add_months(begin, periods);
    case ICAL_YEARLY_RECURRENCE:
        return spl_day_add_months(begin, periods * 12);
    default:
        return spl_day_add(begin, periods);
    }
}

/* Whole periods from one begin to another. */
static int periods_between(const struct rule *rule, struct spl_day later, struct spl_day earlier)
{
    int year, month, first_year, first_month;

    spl_day_to_ymd(later, &year, &month, NULL);
    spl_day_to_ymd(earlier, &first_year, &first_month, NULL);
    switch (rule->parts.freq) {
    case ICAL_WEEKLY_RECURRENCE:
        return spl_day_diff(later, earlier) / 7;
    case ICAL_MONTHLY_RECURRENCE:
        return (year - first_year) * 12 + month - first_month;
    case ICAL_YEARLY_RECURRENCE:
        return year - first_year;
    default:
        return spl_day_diff(later, earlier);
    }
}

static gboolean rule_parse(struct rule *rule, const char *text, int start_min, const char *zone,
                           GError **error)
{
    const struct icalrecurrencetype *parts = &rule->parts;
    const char *why = NULL;
    struct icaltimetype until;

    if (!spl_ical_load(error))
        return FALSE;
    rule->parts = icalrecurrencetype_from_string(text);
    if (parts->freq == ICAL_SECONDLY_RECURRENCE || parts->freq == ICAL_MINUTELY_RECURRENCE ||
        parts->freq == ICAL_HOURLY_RECURRENCE)
        why = "it repeats more often than daily";
    else if (parts->freq == ICAL_NO_RECURRENCE || parts->interval < 1)
        why = "its rule cannot be read";
    else if (given(parts->by_second) || given(parts->by_minute) ||
             (given(parts->by_hour) && parts->by_hour[1] != NONE))
        why = "it repeats within the day";
    if (why != NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s", why);
        return FALSE;
    }
    spl_day_to_ymd(rule->start, NULL, &rule->start_month, &rule->start_dom);
    rule->start_weekday = weekday_of(rule->start);
    rule->week_start = parts->week_start == ICAL_NO_WEEKDAY ? 1 : ((int)parts->week_start - 1) % 7;
    until = parts->until;
    rule->until = SPL_DAY_NONE;
    rule->until_min = 24 * 60 - 1;
    if (!icaltime_is_null_time(until)) {
        rule->until = spl_day_from_ymd(until.year, until.month, until.day);
        if (!until.is_date && start_min >= 0) {
            rule->until_min = until.hour * 60 + until.minute;
            if (icaltime_is_utc(until) && zone != NULL)
                (void)spl_zone_convert("UTC", zone, &rule->until.n, &rule->until_min);
        }
    }
    return TRUE;
}

/* The days of one period that belong to the set, BYSETPOS applied. */
static void period_days(const struct rule *rule, struct spl_day begin, struct spl_day next,
                        GArray *days)
{
    const short *positions = rule->parts.by_set_pos;
    guint kept = 0;

    g_array_set_size(days, 0);
    for (struct spl_day day = begin; day.n < next.n; day.n++)
        if (is_in_set(rule, day))
            g_array_append_val(days, day);
    if (!given(positions))
        return;
    for (guint i = 0; i < days->len; i++)
        if (in_list(positions, ICAL_BY_SETPOS_SIZE, (int)i + 1, (int)days->len))
            g_array_index(days, struct spl_day, kept++) = g_array_index(days, struct spl_day, i);
    g_array_set_size(days, kept);
}

GArray *spl_repeat_days(const char *text, struct spl_day start, int start_min, const char *zone,
                        struct spl_day from, struct spl_day to, gint64 *budget, GError **error)
{
    struct rule rule = {.start = start};
    g_autoptr(GArray) found = g_array_new(FALSE, FALSE, sizeof(struct spl_day));
    g_autoptr(GArray) days = g_array_new(FALSE, FALSE, sizeof(struct spl_day));
    struct spl_day first, begin;
    int step, count = 0, period = 0;

    if (!rule_parse(&rule, text, start_min, zone, error))
        return NULL;
    step = rule.parts.interval;
    first = period_begin(&rule, start);
    /* Without a COUNT nothing before the span matters. */
    if (rule.parts.count == 0 && spl_day_compare(from, start) > 0)
        period = periods_between(&rule, period_begin(&rule, from), first) / step * step;
    for (;; period += step) {
        struct spl_day next;

        begin = period_add(&rule, first, period);
        next = spl_day_is_set(begin) ? period_add(&rule, begin, 1) : begin;
        if (!spl_day_is_set(begin) || !spl_day_is_set(next) || begin.n > to.n ||
            (spl_day_is_set(rule.until) && begin.n > rule.until.n) || period > G_MAXINT - 40000)
            break;
        *budget -= spl_day_diff(next, begin);
        if (*budget < 0) {
            g_set_error_literal(error, SPL_ERROR, SPL_ERROR_LIMIT,
                                "the rules of this file are too many to be counted out");
            return NULL;
        }
        period_days(&rule, begin, next, days);
        for (guint i = 0; i < days->len; i++) {
            struct spl_day day = g_array_index(days, struct spl_day, i);

            if (day.n < start.n)
                continue;
            if ((spl_day_is_set(rule.until) &&
                 (day.n > rule.until.n || (day.n == rule.until.n && start_min > rule.until_min))) ||
                (rule.parts.count > 0 && count >= rule.parts.count))
                return g_steal_pointer(&found);
            count++;
            if (day.n >= from.n && day.n <= to.n)
                g_array_append_val(found, day);
        }
        if (rule.parts.count > 0 && count >= rule.parts.count)
            break;
    }
    return g_steal_pointer(&found);
}
