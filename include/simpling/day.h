/* SPDX-License-Identifier: MIT
 *
 * A calendar day without a clock or zone, proleptic Gregorian, years 1 to 9999.
 *
 * One field in a struct, so that a date cannot be taken for a count of days. Arithmetic goes
 * through GDate; only the step between its Julian day number and ours is here.
 */
#ifndef SIMPLING_DAY_H
#define SIMPLING_DAY_H

#include <glib.h>

struct spl_day {
    gint32 n; /* days since 1970-01-01; SPL_DAY_NONE_N: no day */
};

#define SPL_DAY_NONE_N G_MININT32
#define SPL_DAY_NONE ((struct spl_day){SPL_DAY_NONE_N})

#define SPL_DAY_TEXT_SIZE 11 /* "2027-05-04" and the closing NUL */

/* TRUE if `day` holds a day at all. */
gboolean spl_day_is_set(struct spl_day day);

/* So many days after 1970-01-01 (before it, if negative); SPL_DAY_NONE outside the years 1-9999. */
struct spl_day spl_day_from_count(gint64 n);

/* The day of year 1-9999, month 1-12, day of month; SPL_DAY_NONE if there is no such day. */
struct spl_day spl_day_from_ymd(int year, int month, int dom);

/* Splits a set day. Any of the targets may be NULL. */
void spl_day_to_ymd(struct spl_day day, int *year, int *month, int *dom);

/* 1-366. */
int spl_day_of_year(struct spl_day day);

/* The day `days` later (or earlier); SPL_DAY_NONE stays so, and results outside 1-9999 become so.
 */
struct spl_day spl_day_add(struct spl_day day, int days);

/* `months` later, the day of month cut to the target month's length (31 Jan + 1 = 28 Feb). */
struct spl_day spl_day_add_months(struct spl_day day, int months);

/* later - earlier, in days; both must be set. */
int spl_day_diff(struct spl_day later, struct spl_day earlier);

/* <0, 0, >0 as for qsort; no day sorts last. */
int spl_day_compare(struct spl_day a, struct spl_day b);

/* ISO 8601 "2027-05-04" into `text`; an unset day gives "". Returns `text`. */
char *spl_day_format(struct spl_day day, char text[SPL_DAY_TEXT_SIZE]);

/* "4 May 2027" in English, for people; an unset day gives "". Free with g_free. */
char *spl_day_words(struct spl_day day);

/*
 * Reads "2027-05-04". Anything else, and days that do not exist, are refused with the accepted form
 * (SPL_ERROR_INVALID). `what` names the value in the message ("--on").
 */
gboolean spl_day_parse(const char *text, const char *what, struct spl_day *day, GError **error);

/* As above, and "2027-05", which gives that month's first day. */
gboolean spl_day_parse_or_month(const char *text, const char *what, struct spl_day *day,
                                GError **error);

/* Which day is meant where the year, or more, was left out. */
enum spl_day_lie {
    SPL_DAY_NEAR,  /* the nearest one */
    SPL_DAY_PAST,  /* the last that has come */
    SPL_DAY_AHEAD, /* the next that comes */
};

/*
 * Reads a day as people say it: "2027-05-04", "4 May", "Tue 4 May 2027", "May 4, 2027", "4.5.2027",
 * "14/7" and 7/8 by the customs, "today", "yesterday", "last Saturday"; with `month_too` "2027-05",
 * "May 2027" and "May", which give the month's first day, and "2027", the year's. What may be left
 * out counts from the today of the customs (simpling/customs.h). SPL_ERROR_INVALID with both
 * readings of what has two, the true weekday of one that is wrong, or the accepted forms.
 */
gboolean spl_day_read(const char *text, const char *what, enum spl_day_lie lie, gboolean month_too,
                      struct spl_day *day, GError **error);

/*
 * The growing year that `day` belongs to at latitude `lat`: north of the equator the calendar year;
 * south of it 1 July to 30 June, named by the year in which it begins.
 */
int spl_day_season(struct spl_day day, double lat);

/* First and last day of such a growing year. */
void spl_day_season_bounds(int season, double lat, struct spl_day *first, struct spl_day *last);

#endif
