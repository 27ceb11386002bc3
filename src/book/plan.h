/* SPDX-License-Identifier: MIT
 *
 * The season's plan in the book: planned batches, kept outings, days off.
 */
#ifndef SPL_BOOK_PLAN_H
#define SPL_BOOK_PLAN_H

#include <glib.h>

#include "book/book.h"
#include "simpling/day.h"
#include "simpling/record/reason.h"

/* ---- planned batches ---- */

struct spl_planned_part {
    char *material; /* slug */
    double parts;
};

struct spl_planned {
    gint64 id;
    char *uuid;
    int season;
    char *name, *preparation;
    double yield_ml, yield_g; /* NAN: not said so */
    char *jars;               /* "6x500 1x250", nominal mL; NULL */
    struct spl_day by;        /* unset: any time of the season */
    gboolean dry;             /* the herb goes in dried */
    double ratio;             /* 5 for 1:5; NAN: the tables' */
    double strength_frac;     /* of what is poured on; NAN: the tables' */
    char *recipe;             /* its name, last or none; NULL: as is usual */
    char *remark;
    GArray *parts; /* struct spl_planned_part */
};
void spl_planned_clear(struct spl_planned *planned);

/* Writes it (id and uuid filled in). Inside a transaction. */
gboolean spl_planned_add(struct spl_book *book, struct spl_planned *planned, GError **error);

/* Those of a season that were not dropped, in the order planned: a GArray that clears its elements;
 * NULL with an error. */
GArray *spl_planned_list(struct spl_book *book, int season, GError **error);

/* ---- kept outings ---- */

struct spl_kept_stop {
    gint64 site_id;
    enum spl_verdict verdict; /* when it was planned */
};

struct spl_kept_take {
    gint64 site_id;
    char *material;
    double grams;
    char *what_for; /* names of planned batches, a line each */
};

struct spl_kept_outing {
    gint64 id;
    char *uuid;
    int season;
    struct spl_day day, reserve;
    double hours, km;
    gboolean fixed; /* the person set its day */
    char *why;      /* it is as it is now: "rained off"; NULL */
    GArray *stops;  /* struct spl_kept_stop, in the order of the round */
    GArray *takes;  /* struct spl_kept_take */
};
void spl_kept_outing_clear(struct spl_kept_outing *outing);
/* Gives it empty lists that clear their elements. */
void spl_kept_outing_begin(struct spl_kept_outing *outing);
/* An array for them that clears its elements. */
GArray *spl_kept_outings_new(void);

/* A new outing (id and uuid filled in), or with id > 0 a new version of that one. Inside a
 * transaction. */
gboolean spl_kept_outing_put(struct spl_book *book, struct spl_kept_outing *outing, GError **error);

/* Those of a season that stand, by day; NULL with an error. */
GArray *spl_kept_outing_list(struct spl_book *book, int season, GError **error);

/* ---- both ---- */

/* Takes a planned batch or a kept outing out of the plan. Inside a transaction. */
gboolean spl_plan_strike(struct spl_book *book, const char *uuid, const char *by, const char *why,
                         GError **error);

/* Notes a day off; again is no fault. Inside a transaction. */
gboolean spl_day_off_add(struct spl_book *book, struct spl_day day, GError **error);
/* A GArray of struct spl_day, ascending. */
GArray *spl_day_off_list(struct spl_book *book, GError **error);

#endif
