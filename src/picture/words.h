/* SPDX-License-Identifier: MIT
 *
 * Days, hours and figures as the sheets word them. English in every locale. All results: g_free.
 */
#ifndef SPL_PICTURE_WORDS_H
#define SPL_PICTURE_WORDS_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/record/reason.h"

char *spl_words_day(struct spl_day day);      /* "4 May"; unset: "" */
char *spl_words_weekday(struct spl_day day);  /* "Tue 4 May"; unset: "" */
char *spl_words_long_day(struct spl_day day); /* "Tuesday 4 May 2027"; unset: "" */
char *spl_words_date(struct spl_day day);     /* "4 May 2027"; unset: "" */
const char *spl_words_month(int month); /* 1-12: "May" … as on the page's head, whole word */
char *spl_words_clock(int minutes);     /* "09:30"; < 0: "" */
char *spl_words_amount(double amount, const char *unit); /* "87 g", "1.25 L"; NAN: "" */
char *spl_words_percent(double frac); /* "34.2 % vol" with no-break spaces; NAN: "" */
char *spl_words_km(double km);        /* "3.2 km", "450 m", "24 m" (never rounded up); NAN: "" */
char *spl_words_place(double lat, double lon); /* "54.9712, -2.4610"; NAN: "" */

const char *spl_words_verdict(enum spl_verdict verdict); /* "ask"; none: "not checked" */

/* The texts that are neither NULL nor "", with `between` in between. */
char *spl_words_join(const char *between, const char *const *texts, gsize n);

#endif
