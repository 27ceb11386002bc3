/* SPDX-License-Identifier: MIT
 *
 * Calendar days on top of GDate. See simpling/day.h.
 */
#include "simpling/day.h"

#include <string.h>

#include "simpling/error.h"

#define EPOCH_JULIAN 719163 /* GDate's Julian day number of 1970-01-01 */
#define EPOCH_MARCH 719468  /* days from 0000-03-01 to 1970-01-01 */
#define FIRST_N (-719162)   /* 0001-01-01 */
#define LAST_N 2932896      /* 9999-12-31 */

static const char *const month_names[] = {"January",   "February", "March",    "April",
                                          "May",       "June",     "July",     "August",
                                          "September", "October",  "November", "December"};

gboolean spl_day_is_set(struct spl_day day)
{
    return day.n != SPL_DAY_NONE_N;
}

static struct spl_day from_gdate(const GDate *date)
{
    return (struct spl_day){(gint32)g_date_get_julian(date) - EPOCH_JULIAN};
}

static gboolean to_gdate(struct spl_day day, GDate *date)
{
    gint64 julian = (gint64)day.n + EPOCH_JULIAN;

    g_date_clear(date, 1);
    if (!spl_day_is_set(day) || julian < 1 || julian > G_MAXINT32)
        return FALSE;
    g_date_set_julian(date, (guint32)julian);
    return TRUE;
}

struct spl_day spl_day_from_ymd(int year, int month, int dom)
{
    GDate date;

    if (year < 1 || year > 9999 || month < 1 || month > 12 || dom < 1 || dom > 31)
        return SPL_DAY_NONE;
    if (!g_date_valid_dmy((GDateDay)dom, (GDateMonth)month, (GDateYear)year))
        return SPL_DAY_NONE;
    g_date_clear(&date, 1);
    g_date_set_dmy(&date, (GDateDay)dom, (GDateMonth)month, (GDateYear)year);
    return from_gdate(&date);
}

/* Windows and calendars ask this by the hundred thousand, and GDate takes its time. In years that
 * begin on 1 March the leap day is the last, and months go by 153 days in five; 400 years have
 * 146097 days. */
void spl_day_to_ymd(struct spl_day day, int *year, int *month, int *dom)
{
    int y = 0, m = 0, d = 0;

    if (spl_day_is_set(day) && day.n >= FIRST_N) {
        int cycle = (day.n + EPOCH_MARCH) / 146097, of_cycle = (day.n + EPOCH_MARCH) % 146097;
        int of = (of_cycle - of_cycle / 1460 + of_cycle / 36524 - of_cycle / 146096) / 365;
        int of_year = of_cycle - (365 * of + of / 4 - of / 100), since_march;

        since_march = (5 * of_year + 2) / 153;
        d = of_year - (153 * since_march + 2) / 5 + 1;
        m = since_march < 10 ? since_march + 3 : since_march - 9;
        y = cycle * 400 + of + (m <= 2);
    }
    if (year != NULL)
        *year = y;
    if (month != NULL)
        *month = m;
    if (dom != NULL)
        *dom = d;
}

int spl_day_of_year(struct spl_day day)
{
    GDate date;

    return to_gdate(day, &date) ? (int)g_date_get_day_of_year(&date) : 0;
}

struct spl_day spl_day_from_count(gint64 n)
{
    return n < FIRST_N || n > LAST_N ? SPL_DAY_NONE : (struct spl_day){(gint32)n};
}

struct spl_day spl_day_add(struct spl_day day, int days)
{
    gint64 n;

    if (!spl_day_is_set(day))
        return day;
    n = (gint64)day.n + days;
    if (n < FIRST_N || n > LAST_N)
        return SPL_DAY_NONE;
    return (struct spl_day){(gint32)n};
}

struct spl_day spl_day_add_months(struct spl_day day, int months)
{
    int year, month, dom, total;

    if (!spl_day_is_set(day))
        return day;
    spl_day_to_ymd(day, &year, &month, &dom);
    total = year * 12 + (month - 1) + months;
    if (total < 12 || total >= 10000 * 12)
        return SPL_DAY_NONE;
    year = total / 12;
    month = total % 12 + 1;
    dom = MIN(dom, (int)g_date_get_days_in_month((GDateMonth)month, (GDateYear)year));
    return spl_day_from_ymd(year, month, dom);
}

int spl_day_diff(struct spl_day later, struct spl_day earlier)
{
    return later.n - earlier.n;
}

int spl_day_compare(struct spl_day a, struct spl_day b)
{
    if (!spl_day_is_set(a) || !spl_day_is_set(b))
        return (int)spl_day_is_set(b) - (int)spl_day_is_set(a);
    return (a.n > b.n) - (a.n < b.n);
}

/* So many digits of a number, written in place. */
static void put_digits(char *at, int digits, int number)
{
    for (; digits > 0; digits--, number /= 10)
        at[digits - 1] = (char)('0' + number % 10);
}

char *spl_day_format(struct spl_day day, char text[SPL_DAY_TEXT_SIZE])
{
    int year, month, dom;

    if (!spl_day_is_set(day)) {
        text[0] = '\0';
        return text;
    }
    spl_day_to_ymd(day, &year, &month, &dom);
    put_digits(text, 4, year);
    put_digits(text + 5, 2, month);
    put_digits(text + 8, 2, dom);
    text[4] = text[7] = '-';
    text[10] = '\0';
    return text;
}

/* A number from 1 to 9999 in decimal. */
static char *put_number(char *at, int number)
{
    for (int unit = 1000; unit > 0; unit /= 10)
        if (number >= unit || unit == 1)
            *at++ = (char)('0' + number / unit % 10);
    return at;
}

char *spl_day_words(struct spl_day day)
{
    char text[40], *at = text;
    int year, month, dom;

    if (!spl_day_is_set(day))
        return g_strdup("");
    spl_day_to_ymd(day, &year, &month, &dom);
    if (month == 0) /* no day of the calendar */
        return g_strdup("");
    at = put_number(at, dom);
    *at++ = ' ';
    at = g_stpcpy(at, month_names[month - 1]);
    *at++ = ' ';
    *put_number(at, year) = '\0';
    return g_strdup(text);
}

/* Reads exactly `width` digits. */
static gboolean take_digits(const char **cursor, int width, int *value)
{
    *value = 0;
    for (int i = 0; i < width; i++, (*cursor)++) {
        if (!g_ascii_isdigit(**cursor))
            return FALSE;
        *value = *value * 10 + (**cursor - '0');
    }
    return TRUE;
}

static gboolean take(const char **cursor, char wanted)
{
    if (**cursor != wanted)
        return FALSE;
    (*cursor)++;
    return TRUE;
}

static gboolean parse(const char *text, const char *what, gboolean month_allowed,
                      struct spl_day *day, GError **error)
{
    const char *cursor = text;
    int year, month, dom = 1;
    gboolean shaped, is_month;

    shaped =
        take_digits(&cursor, 4, &year) && take(&cursor, '-') && take_digits(&cursor, 2, &month);
    is_month = shaped && *cursor == '\0';
    if (shaped && !(month_allowed && is_month))
        shaped = take(&cursor, '-') && take_digits(&cursor, 2, &dom);
    if (!shaped || *cursor != '\0') {
        g_autofree char *shown = g_strescape(strlen(text) > 40 ? "(a long text)" : text, NULL);

        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: '%s' %s; write it as 2027-05-04%s",
                    what, shown, is_month ? "does not say which day of the month" : "is not a date",
                    month_allowed ? " or, for a whole month, 2027-05" : "");
        return FALSE;
    }
    *day = spl_day_from_ymd(year, month, dom);
    if (!spl_day_is_set(*day)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: there is no day %s; look at the calendar for that month", what, text);
        return FALSE;
    }
    return TRUE;
}

gboolean spl_day_parse(const char *text, const char *what, struct spl_day *day, GError **error)
{
    return parse(text, what, FALSE, day, error);
}

gboolean spl_day_parse_or_month(const char *text, const char *what, struct spl_day *day,
                                GError **error)
{
    return parse(text, what, TRUE, day, error);
}

int spl_day_season(struct spl_day day, double lat)
{
    int year, month;

    spl_day_to_ymd(day, &year, &month, NULL);
    if (lat < 0 && month < 7)
        return year - 1;
    return year;
}

void spl_day_season_bounds(int season, double lat, struct spl_day *first, struct spl_day *last)
{
    if (lat < 0) {
        *first = spl_day_from_ymd(season, 7, 1);
        *last = spl_day_from_ymd(season + 1, 6, 30);
    } else {
        *first = spl_day_from_ymd(season, 1, 1);
        *last = spl_day_from_ymd(season, 12, 31);
    }
}
