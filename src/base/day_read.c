/* SPDX-License-Identifier: MIT
 *
 * Days as people say them. See spl_day_read in simpling/day.h.
 */
#include <string.h>

#include "base/quantity.h"
#include "simpling/customs.h"
#include "simpling/day.h"
#include "simpling/error.h"

static const char *const months[] = {"january",   "february", "march",    "april",
                                     "may",       "june",     "july",     "august",
                                     "september", "october",  "november", "december"};
static const char *const weekdays[] = {"monday", "tuesday",  "wednesday", "thursday",
                                       "friday", "saturday", "sunday"};

#define DATE_FORMS "2027-05-04, 4 May, 4.5.2027 or yesterday"
#define YEAR_MIN 1900 /* of a year that stands alone */
#define YEAR_MAX 2199
#define WORDS_MAX 6

/* What of a day was said; 0 and -1: not said. */
struct said {
    int year, month, dom, weekday;
    gboolean last, next; /* "last Saturday" */
    int slash[2];        /* "7/8": both numbers */
};

/* The word is the name, or its first letters, three at least. */
static int find_name(const char *const *names, int n, const char *word)
{
    gsize length = strlen(word);

    if (length > 0 && word[length - 1] == '.')
        length--;
    for (int i = 0; i < n && length >= 3; i++) {
        if (strncmp(names[i], word, length) == 0)
            return i;
    }
    return -1;
}

/* "4", "4th", "1st" -> the number; 0: none. */
static int ordinal(const char *word)
{
    static const char *const ends[] = {"", "st", "nd", "rd", "th", ".", NULL};
    char *end;
    guint64 number = g_ascii_isdigit(*word) ? g_ascii_strtoull(word, &end, 10) : 0;

    return number > 0 && number < 10000 && g_strv_contains(ends, end) ? (int)number : 0;
}

/* Two digits are those of this century. */
static int full_year(int year, gsize digits)
{
    return digits <= 2 ? 2000 + year : year;
}

/* "27.6.2027", "27.6.", "14/7", "14/7/27": numbers between `mark`s. FALSE: it has another shape. */
static gboolean take_numbers(const char *word, const char *mark, struct said *said)
{
    g_auto(GStrv) parts = g_strsplit(word, mark, 4);
    guint n = g_strv_length(parts);
    int numbers[3] = {0, 0, 0};

    if (n > 2 && *parts[n - 1] == '\0')
        n--;
    if (n < 2 || n > 3)
        return FALSE;
    for (guint i = 0; i < n; i++) {
        gsize length = strlen(parts[i]);

        if (length == 0 || length > 4 || strspn(parts[i], "0123456789") != length ||
            (i < 2 && length > 2) || length == 3)
            return FALSE;
        numbers[i] = (int)g_ascii_strtoull(parts[i], NULL, 10);
    }
    said->year = n == 3 ? full_year(numbers[2], strlen(parts[2])) : 0;
    if (*mark == '/') {
        said->slash[0] = numbers[0];
        said->slash[1] = numbers[1];
    } else {
        said->dom = numbers[0];
        said->month = numbers[1];
    }
    return TRUE;
}

/* One word more of the day; FALSE: it is none of a day's, or says again what was said. */
static gboolean take_word(const char *word, struct said *said)
{
    int month = find_name(months, G_N_ELEMENTS(months), word);
    int weekday = find_name(weekdays, G_N_ELEMENTS(weekdays), word);
    int number = ordinal(word);

    if (strcmp(word, "of") == 0 || strcmp(word, "the") == 0 || strcmp(word, "on") == 0)
        return TRUE;
    if (strcmp(word, "last") == 0 || strcmp(word, "next") == 0) {
        said->last = *word == 'l';
        said->next = *word == 'n';
        return TRUE;
    }
    if (strcmp(word, "sept") == 0)
        month = 8;
    if (month >= 0 && said->month == 0) {
        said->month = month + 1;
        return TRUE;
    }
    if (weekday >= 0 && said->weekday < 0) {
        said->weekday = weekday;
        return TRUE;
    }
    if (number > 31 && said->year == 0 && number > 999) {
        said->year = number;
        return TRUE;
    }
    if (number > 0 && number <= 31 && said->dom == 0) {
        said->dom = number;
        return TRUE;
    }
    if (said->dom == 0 && said->month == 0 && said->slash[0] == 0)
        return take_numbers(word, ".", said) || take_numbers(word, "/", said);
    return FALSE;
}

static gboolean refuse(GError **error, const char *what, const char *text, const char *why)
{
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    g_autofree char *shown = g_strescape(strlen(valid) > 40 ? "(a long text)" : valid, NULL);

    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: '%s' %s", what, shown, why);
    return FALSE;
}

/* Which number is the day: one of them can be no month, or the customs say. */
static gboolean settle_slash(const char *text, const char *what, struct said *said, GError **error)
{
    int a = said->slash[0], b = said->slash[1];
    enum spl_slash slash = spl_customs()->slash;
    gboolean day_first = slash == SPL_SLASH_DAY_FIRST;

    if (a == 0 && b == 0)
        return TRUE;
    if (a > 12 || b > 12)
        day_first = a > 12;
    else if (slash == SPL_SLASH_UNKNOWN && a != b) {
        g_autofree char *why =
            g_strdup_printf("could be %d %c%s or %d %c%s; say which (the setting 'country' "
                            "settles it)",
                            a, months[MAX(b, 1) - 1][0] - 'a' + 'A', months[MAX(b, 1) - 1] + 1, b,
                            months[MAX(a, 1) - 1][0] - 'a' + 'A', months[MAX(a, 1) - 1] + 1);

        return refuse(error, what, text, why);
    }
    said->dom = day_first ? a : b;
    said->month = day_first ? b : a;
    return TRUE;
}

/* 0: Monday. 1970-01-01 was a Thursday. */
static int weekday_of(struct spl_day day)
{
    return ((day.n + 3) % 7 + 7) % 7;
}

/* The day of the month in the year that `lie` means. */
static struct spl_day in_a_year(int month, int dom, enum spl_day_lie lie, struct spl_day today)
{
    struct spl_day best = SPL_DAY_NONE;
    int year;

    spl_day_to_ymd(today, &year, NULL, NULL);
    for (int y = year - 8; y <= year + 8;
         y++) { /* 29 February comes once in eight years at least */
        struct spl_day one = spl_day_from_ymd(y, month, dom);
        int off;

        if (!spl_day_is_set(one))
            continue;
        off = spl_day_diff(one, today);
        if ((lie == SPL_DAY_PAST && off > 0) || (lie == SPL_DAY_AHEAD && off < 0))
            continue;
        if (!spl_day_is_set(best) || ABS(off) < ABS(spl_day_diff(best, today)))
            best = one;
    }
    return best;
}

static struct spl_day next_weekday(const struct said *said, enum spl_day_lie lie,
                                   struct spl_day today)
{
    int back = (weekday_of(today) - said->weekday + 7) % 7;

    if (said->last)
        return spl_day_add(today, back == 0 ? -7 : -back);
    if (said->next)
        return spl_day_add(today, 7 - back);
    if (lie == SPL_DAY_AHEAD)
        return spl_day_add(today, (7 - back) % 7);
    return spl_day_add(today, -back);
}

#define LONG_AGO_DAYS 300

static gboolean settle(const struct said *said, const char *text, const char *what,
                       enum spl_day_lie lie, gboolean month_too, struct spl_day *day,
                       GError **error)
{
    struct spl_day today = spl_customs()->today, found;
    gboolean whole_month = said->dom == 0 && said->month > 0;

    if (said->month > 12 || (whole_month && !month_too) || (said->dom > 0 && said->month == 0) ||
        (said->month == 0 && (said->weekday < 0 || said->year > 0)) ||
        (said->month > 0 && (said->last || said->next)))
        return refuse(error, what, text,
                      said->month > 12 ? "is no day of the calendar; look at that month"
                      : whole_month    ? "does not say which day of the month; write 4 May"
                                       : "is not a date; write it as " DATE_FORMS);
    if (!spl_day_is_set(today) && said->year == 0)
        return refuse(error, what, text, "does not say the year; write it as 2027-05-04");
    if (said->month == 0)
        found = next_weekday(said, lie, today);
    else if (said->year > 0)
        found = spl_day_from_ymd(said->year, said->month, MAX(said->dom, 1));
    else
        found = in_a_year(said->month, MAX(said->dom, 1), lie, today);
    if (!spl_day_is_set(found))
        return refuse(error, what, text, "is no day of the calendar; look at that month");
    if (said->year == 0 && said->month > 0 && lie == SPL_DAY_PAST && !whole_month &&
        spl_day_diff(today, found) > LONG_AGO_DAYS)
        return refuse(error, what, text,
                      "lies ahead in this year; say the year if it is an earlier");
    if (said->weekday >= 0 && weekday_of(found) != said->weekday) {
        const char *true_name = weekdays[weekday_of(found)];
        g_autofree char *words = spl_day_words(found);
        g_autofree char *why = g_strdup_printf("has the wrong weekday: %s is a %c%s", words,
                                               true_name[0] - 'a' + 'A', true_name + 1);

        return refuse(error, what, text, why);
    }
    *day = found;
    return TRUE;
}

/* "today", "yesterday", "tomorrow". */
static gboolean read_relative(const char *folded, struct spl_day *day)
{
    static const struct {
        const char *word;
        int days;
    } words[] = {{"today", 0}, {"yesterday", -1}, {"tomorrow", 1}, {"day before yesterday", -2}};

    for (gsize i = 0; i < G_N_ELEMENTS(words); i++) {
        if (strcmp(folded, words[i].word) == 0 && spl_day_is_set(spl_customs()->today)) {
            *day = spl_day_add(spl_customs()->today, words[i].days);
            return TRUE;
        }
    }
    return FALSE;
}

/* "2020", where its first day will do. */
static gboolean read_year(const char *folded, struct spl_day *day)
{
    guint64 year;

    if (strlen(folded) != 4 ||
        !g_ascii_string_to_unsigned(folded, 10, YEAR_MIN, YEAR_MAX, &year, NULL))
        return FALSE;
    *day = spl_day_from_ymd((int)year, 1, 1);
    return TRUE;
}

gboolean spl_day_read(const char *text, const char *what, enum spl_day_lie lie, gboolean month_too,
                      struct spl_day *day, GError **error)
{
    g_autofree char *folded = spl_quantity_fold(text);
    g_autofree char *lower = g_ascii_strdown(folded, -1);
    g_auto(GStrv) words = NULL;
    struct said said = {.weekday = -1};
    guint n = 0;

    /* What begins as an ISO date has its own words for what is wrong with it. */
    if (g_ascii_isdigit(lower[0]) && strlen(lower) > 4 && strspn(lower, "0123456789") == 4 &&
        lower[4] == '-')
        return month_too ? spl_day_parse_or_month(lower, what, day, error)
                         : spl_day_parse(lower, what, day, error);
    if (read_relative(lower, day) || (month_too && read_year(lower, day)))
        return TRUE;
    words = g_strsplit_set(lower, " ,", -1);
    for (guint i = 0; words[i] != NULL; i++) {
        if (*words[i] == '\0')
            continue;
        if (++n > WORDS_MAX || !take_word(words[i], &said))
            return refuse(error, what, text,
                          month_too ? "is not a date; write it as " DATE_FORMS
                                      ", or a whole month as 2027-05"
                                    : "is not a date; write it as " DATE_FORMS);
    }
    return settle_slash(text, what, &said, error) &&
           settle(&said, text, what, lie, month_too, day, error);
}
