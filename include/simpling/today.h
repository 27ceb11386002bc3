/* SPDX-License-Identifier: MIT
 *
 * Today on one screen: what is stopped, today's outing, steps due, what can be gathered where, whom
 * to ask, what runs short or out of date.
 */
#ifndef SIMPLING_TODAY_H
#define SIMPLING_TODAY_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/row.h"

#define SPL_TODAY_AHEAD_DAYS 7    /* steps due within a week */
#define SPL_TODAY_OPENING_DAYS 14 /* windows that may begin within two */
#define SPL_TODAY_EXPIRING_DAYS 30

/* Ground that is closed though something on it is ready, and bottles that may not go out. */
struct spl_today_stop {
    char *what;  /* a site's name, a lot's code, or what part of this cannot be told */
    char *state; /* "closed", "held", "withdrawn"; "damaged": that part */
    char *why;
    char *touches; /* materials, or how much is left; NULL */
};
extern const struct spl_shape spl_today_stop_shape;

struct spl_today_due {
    char *code;
    char *step;
    struct spl_day due;
    char *what;  /* preparation and materials */
    char *words; /* what to do */
};
extern const struct spl_shape spl_today_due_shape;

struct spl_today_opening {
    char *site, *material, *use;
    struct spl_day earliest, likely_start, likely_end;
    char *basis;
    char *verdict; /* of today: clear or ask; closed ground is among the stops */
};
extern const struct spl_shape spl_today_opening_shape;

struct spl_today_ask {
    char *site;
    char *why;       /* every reason, worst first, in words */
    GArray *reasons; /* struct spl_reason */
};
extern const struct spl_shape spl_today_ask_shape;

struct spl_today_short {
    char *material;
    double need_g, short_g;
    char *why, *cure;
};
extern const struct spl_shape spl_today_short_shape;

struct spl_today_expiring {
    char *code;
    char *what;
    struct spl_day use_by;
    double left_ml, left_g;
};
extern const struct spl_shape spl_today_expiring_shape;

struct spl_today {
    struct spl_day date;
    GArray *stops;    /* struct spl_today_stop */
    GArray *outing;   /* struct spl_plan_stop: where today's kept outing goes, in its order */
    GArray *due;      /* struct spl_today_due, overdue ones first */
    GArray *opening;  /* struct spl_today_opening of known stands: what can be gathered where, or
                         soon can;  soonest over first */
    GArray *ask;      /* struct spl_today_ask */
    GArray *shortage; /* struct spl_today_short */
    GArray *expiring; /* struct spl_today_expiring */
};
extern const struct spl_shape spl_today_shape;

gboolean spl_today(struct spl_house *house, struct spl_today *today, GError **error);

#endif
