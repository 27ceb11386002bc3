/* SPDX-License-Identifier: MIT
 *
 * The customs of the person at the door: in which units amounts are read and printed, and which
 * number of 7/8 is the month.
 *
 * They hold for the whole process, as a locale does, from one answer to the next: a sentence that
 * names an amount is made at any depth, and what is printed must be read back. spl_house_open sets
 * them from the book's settings "units" and "country"; a face may say others after it, for one
 * call. Inside there are no other units than grams, millilitres, metres and degrees Celsius, and
 * what machines read (JSON, CSV, calendars' properties) is always in these.
 */
#ifndef SIMPLING_CUSTOMS_H
#define SIMPLING_CUSTOMS_H

#include <glib.h>

#include "simpling/day.h"

enum spl_units {
    SPL_UNITS_METRIC, /* a bare pint, cup, gallon or fl oz is refused: they differ */
    SPL_UNITS_US,     /* US customary: NIST Handbook 44, Appendix C */
    SPL_UNITS_IMP     /* imperial: UK SI 1995/1804 */
};

extern const char *const spl_units_names[]; /* "metric" "us" "imp", NULL at the end */

enum spl_slash {
    SPL_SLASH_UNKNOWN,   /* 14/7 is read, 7/8 is asked about */
    SPL_SLASH_DAY_FIRST, /* 7/8 is 7 August */
    SPL_SLASH_MONTH_FIRST
};

struct spl_customs {
    enum spl_units read;  /* of what is typed: whose a bare pint is */
    enum spl_units print; /* of what people read */
    enum spl_slash slash;
    struct spl_day today; /* "yesterday" and days without a year count from it; may be unset */
};

/* Those that hold now; metric at first. Borrowed. */
const struct spl_customs *spl_customs(void);
void spl_customs_set(const struct spl_customs *customs);

/* What an ISO 3166 code ("GB", "US-VT"; NULL: not known) says of 7/8. */
enum spl_slash spl_customs_slash(const char *country);

#endif
