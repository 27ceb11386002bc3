/* SPDX-License-Identifier: MIT
 *
 * The first questions, whose answers make a book: a mark, some settings, a first place.
 */
#ifndef SIMPLING_START_H
#define SIMPLING_START_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/row.h"

struct spl_start_words {
    const char *mark; /* NULL: ME */
    const char *who;
    struct spl_coordinates home;
    const char *country;
    const char *press;
    const char *site; /* a place to gather, with `at` */
    struct spl_coordinates at;
    double accuracy_m;   /* how far that may be off; NAN: not said */
    const char *keeping; /* the keeping custom of the shelf; NULL: the table's */
    const char *spirits; /* "40% 96%" */
    const char *units;   /* metric, us or imp; NULL: metric */
};
extern const struct spl_inputs spl_start_inputs;

/* What came out of it. */
struct spl_started {
    char *book;
    char *mark;
    GPtrArray *said;     /* "home: 54.5903,-2.6021" */
    GPtrArray *cautions; /* a place that lies far from home */
};
extern const struct spl_shape spl_started_shape;

/* Whether so much would be taken; a face that asks one thing after the other wants to know early.
 * SPL_ERROR_EXISTS: there is a book already. */
gboolean spl_start_check(const struct spl_house_options *where, const struct spl_start_words *said,
                         GError **error);

/* Makes the book at where->book, with all of it or not at all. `started` is yours on TRUE.
 * SPL_ERROR_EXISTS. */
gboolean spl_start(const struct spl_house_options *where, const struct spl_start_words *said,
                   struct spl_started *started, GError **error);

#endif
