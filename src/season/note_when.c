/* SPDX-License-Identifier: MIT
 *
 * Which day a note means. See season/note_frame.h.
 *
 * Without a year the latest such day that has come, within 90 days of the reading; one of a weekday
 * that disagrees is refused. "Yesterday" is told from the day of the heading above, or of typing:
 * never from the day of reading.
 */
#include "season/note_frame.h"

#define BACK_MOST 90   /* days that a day without a year may lie back */
#define AHEAD_MOST 300 /* or ahead, where it may */

static int weekday_of(struct spl_day day)
{
    return (int)(((gint64)day.n % 7 + 7 + 3) % 7) + 1; /* 1970-01-01 was a Thursday */
}

static const char *const weekdays[] = {"",         "Monday", "Tuesday",  "Wednesday",
                                       "Thursday", "Friday", "Saturday", "Sunday"};

static gboolean agrees(const struct spl_note_token *token, struct spl_day day,
                       struct spl_note_entry *entry)
{
    g_autofree char *words = NULL;

    if (token->when.weekday == 0 || token->when.weekday == weekday_of(day))
        return TRUE;
    words = spl_day_words(day);
    spl_note_refuse(entry, token, "%s is a %s", words, weekdays[weekday_of(day)]);
    return FALSE;
}

/* The base of "yesterday". */
static struct spl_day base_of(const struct spl_note_context *context)
{
    return spl_day_is_set(context->day) ? context->day : context->written;
}

static gboolean resolve_relative(const struct spl_note_context *context,
                                 const struct spl_note_token *token, gboolean ahead,
                                 struct spl_note_entry *entry, struct spl_day *day)
{
    const struct spl_day base = base_of(context);
    const int weekday = token->when.weekday;

    if (!spl_day_is_set(base)) {
        spl_note_refuse(entry, token,
                        "told from which day? begin with a line that has a date, or say when it "
                        "was written");
        return FALSE;
    }
    if (weekday == 0) {
        *day = spl_day_add(base, -token->when.ago);
        if (token->when.ago >= 0 || ahead)
            return TRUE;
        spl_note_refuse(entry, token, "has not come yet, so nothing was done on it");
        return FALSE;
    }
    if (ahead) {
        *day = spl_day_add(base, (weekday - weekday_of(base) + 7) % 7);
        return TRUE;
    }
    /* Under a dated heading a weekday alone is that day's own name, or wrong. */
    if (token->when.ago == 0 && spl_day_is_set(context->day)) {
        *day = context->day;
        return agrees(token, *day, entry);
    }
    *day = spl_day_add(base, -((weekday_of(base) - weekday + 6) % 7 + 1));
    if (token->when.ago == 0 && weekday == weekday_of(base))
        *day = base;
    return TRUE;
}

/* The day of no said year that is nearest to today on the allowed side; unset: there is none. */
static struct spl_day nearest(struct spl_day today, int month, int dom, gboolean ahead)
{
    int year;

    spl_day_to_ymd(today, &year, NULL, NULL);
    for (int y = year + 1; y >= year - 1; y--) {
        const struct spl_day day = spl_day_from_ymd(y, month, dom);

        if (!spl_day_is_set(day) || (!ahead && day.n > today.n))
            continue;
        if (day.n < today.n - BACK_MOST || day.n > today.n + AHEAD_MOST)
            continue;
        return day;
    }
    return SPL_DAY_NONE;
}

static gboolean resolve_date(const struct spl_note_context *context,
                             const struct spl_note_token *token, int month, int dom, gboolean ahead,
                             struct spl_note_entry *entry, struct spl_day *day)
{
    const struct spl_note_when *when = &token->when;

    *day = when->year > 0 ? spl_day_from_ymd(when->year, month, dom)
                          : nearest(ahead && spl_day_is_set(base_of(context)) ? base_of(context)
                                                                              : context->today,
                                    month, dom, ahead);
    if (!spl_day_is_set(*day)) {
        spl_note_ask(entry,
                     "which year? this year's day lies ahead, and last year's is more than %d days "
                     "back; write the year",
                     BACK_MOST);
        return FALSE;
    }
    if (!ahead && day->n > context->today.n) {
        spl_note_refuse(entry, token, "lies ahead");
        return FALSE;
    }
    return agrees(token, *day, entry);
}

gboolean spl_note_when_resolve(const struct spl_note_context *context,
                               const struct spl_note_token *token, gboolean ahead,
                               struct spl_note_entry *entry, struct spl_day *day)
{
    const struct spl_note_when *when = &token->when;
    const gboolean month_first =
        context->country != NULL && g_str_has_prefix(context->country, "US");
    const struct spl_day first = nearest(context->today, when->month, when->dom, FALSE);
    const struct spl_day other =
        when->either ? nearest(context->today, when->dom, when->month, FALSE) : SPL_DAY_NONE;

    if (when->relative)
        return resolve_relative(context, token, ahead, entry, day);
    if (when->dom == 0) {
        spl_note_refuse(entry, token, "which day?");
        return FALSE;
    }
    if (when->either && (context->country == NULL ||
                         (when->year == 0 && !spl_day_is_set(month_first ? other : first)))) {
        static const char *const months[] = {
            "",     "January", "February",  "March",   "April",    "May",     "June",
            "July", "August",  "September", "October", "November", "December"};

        spl_note_ask(entry, "%d %s or %d %s? write the month as a word", when->dom,
                     months[when->month], when->month, months[when->dom]);
        return FALSE;
    }
    return when->either && month_first
               ? resolve_date(context, token, when->dom, when->month, ahead, entry, day)
               : resolve_date(context, token, when->month, when->dom, ahead, entry, day);
}

gboolean spl_note_when_bound(const struct spl_note_context *context,
                             const struct spl_note_token *token, gboolean last,
                             struct spl_note_entry *entry, struct spl_day *day)
{
    const struct spl_note_when *when = &token->when;
    struct spl_day first;
    int year, month;

    if (when->relative || when->dom > 0)
        return spl_note_when_resolve(context, token, last, entry, day);
    spl_day_to_ymd(spl_day_is_set(base_of(context)) ? base_of(context) : context->today, &year,
                   &month, NULL);
    if (when->month == 0) {
        *day = last ? spl_day_from_ymd(when->year, 12, 31) : spl_day_from_ymd(when->year, 1, 1);
        return TRUE;
    }
    if (when->year > 0)
        year = when->year;
    else if (last && when->month < month)
        year++;
    else if (!last && when->month > month)
        year--;
    first = spl_day_from_ymd(year, when->month, 1);
    *day = last ? spl_day_add(spl_day_add_months(first, 1), -1) : first;
    return TRUE;
}
